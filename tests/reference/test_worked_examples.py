"""Published worked values against our models, the source beside each number.

"Computed" marks values worked out for this project from the stated formula with a separate program.
"""

from __future__ import annotations

import numpy as np
import pytest

from core.antennas import elements as el
from core.antennas.dish import axis_chain
from core.antennas.stack import Stack, stack_heights
from core.antennas.worst_case import REFLECTION, WorstCase
from core.units import DIPOLE_GAIN, ETA0, SPEED_OF_LIGHT, from_db

GROUND = 2.56
MILLIWATT_PER_CM2 = 10.0
MICROWATT_PER_CM2 = 0.01
FOOT = 0.3048


def sphere_density(eirp: float, distance: float, factor: float = 1.0) -> float:
    """Our isotropic model at a distance, without its own full reflection, times a ground factor."""
    kind = WorstCase(gain=0.0, size=0.0)
    field = kind.unit_field(np.array([[distance, 0.0, 0.0]]), 300e6, conservative=True)
    return eirp * factor / REFLECTION * float(field.power_density[0])


def test_ground_level_fm_constant() -> None:
    # FCC OET Bulletin 65 eq. 9 (page 21 as quoted in a municipal filing): 33.4 ERP/R²;
    # ERP 44.25 W at 19.6 m is 3.85 µW/cm².
    s = sphere_density(DIPOLE_GAIN * 44.25, 19.6, GROUND)
    assert s / MICROWATT_PER_CM2 == pytest.approx(3.85, abs=0.005)


@pytest.mark.parametrize(
    ("watts", "gain", "metres", "mw_per_cm2"),
    [
        # Module user manual quoting OET 65 eq. 3: 39.811 mW, gain 1, 20 cm.
        (0.039811, 1.0, 0.20, 0.00792),
        # Equipment filing RI7UC864G: 408.263 mW, gain 1.99526, 20 cm.
        (0.408263, 1.99526, 0.20, 0.162058),
        # Equipment filing SWX-M5N: 972.75 mW, gain 39.81, 1 mW/cm² at 55.53 cm (exact 55.51).
        (0.97275, 39.81, 0.5551, 1.0),
    ],
)
def test_spherical_formula_of_equipment_filings(
    watts: float, gain: float, metres: float, mw_per_cm2: float
) -> None:
    s = sphere_density(watts * gain, metres)
    assert s / MILLIWATT_PER_CM2 == pytest.approx(mw_per_cm2, rel=2e-3)


def test_margin_of_a_filing_in_decibels() -> None:
    # Same filing: limit 0.549333 mW/cm² at 824 MHz (f/1500), margin 5.30 dB.
    s = sphere_density(0.408263 * 1.99526, 0.20) / MILLIWATT_PER_CM2
    assert 10 * np.log10(0.549333 / s) == pytest.approx(5.30, abs=0.005)


def test_digital_tv_filing() -> None:
    # Broadcast filing: 91 kW ERP, F = 0.1, R = 114 m gives 2.3394 µW/cm² by 33.4 F² ERP/R².
    s = sphere_density(DIPOLE_GAIN * 91e3 * 0.1**2, 114.0, GROUND)
    assert s / MICROWATT_PER_CM2 == pytest.approx(2.3394, rel=1e-3)


def test_amateur_example_with_the_ground_factor() -> None:
    # Amateur page after OET 65 Supplement B: 1500 W, 2.2 dBi, 100 ft, factor 2.56: 0.0546 mW/cm².
    s = sphere_density(1500.0 * from_db(2.2), 100.0 * FOOT, GROUND)
    assert s / MILLIWATT_PER_CM2 == pytest.approx(0.0546, abs=1e-4)


@pytest.mark.parametrize(("feet", "limit"), [(287.0, 10.0), (642.0, 2.0)])
def test_moon_bounce_row_of_supplement_b(feet: float, limit: float) -> None:
    # OET 65 Supplement B (row seen in an excerpt): 1500 W, 24 dBi, 144 MHz: 287 ft and 642 ft.
    assert sphere_density(1500.0 * from_db(24.0), feet * FOOT, GROUND) == pytest.approx(
        limit, rel=4e-3
    )


@pytest.mark.parametrize(("eirp", "metres"), [(1e3, 6.31), (10e3, 19.95), (100e3, 63.1)])
def test_compliance_distances_without_reflection(eirp: float, metres: float) -> None:
    # Transceiver manual: 2 W/m² at 6.5, 20 and 65 m, printed rounded up; formula 6.31, 19.95, 63.1.
    assert sphere_density(eirp, metres) == pytest.approx(2.0, rel=4e-3)


def test_low_power_fm_distance() -> None:
    # FCC LPFM sheet asks for 6 m for 100 W H + 100 W V at 200 µW/cm²; the formula gives 5.78 m.
    s = sphere_density(DIPOLE_GAIN * 200.0, 5.78, GROUND)
    assert s / MICROWATT_PER_CM2 == pytest.approx(200.0, rel=2e-3)


def test_isotropic_field_strengths() -> None:
    # Amateur forum table: 100 W isotropic, 54.8 V/m at 1 m and 0.856 V/m at 64 m.
    for metres, field in ((1.0, 54.8), (64.0, 0.856)):
        assert np.sqrt(sphere_density(100.0, metres) * ETA0) == pytest.approx(field, rel=1e-3)


def test_field_at_one_kilometre_for_5_15_dbi() -> None:
    # Published 313.37 mV/m for 1 kW, 5.15 dBi at 1 km.
    e = np.sqrt(sphere_density(1000.0 * from_db(5.15), 1000.0) * ETA0)
    assert e == pytest.approx(0.31337, rel=1e-3)


def test_beam_array_distances_with_duty_and_power_factor() -> None:
    # Computed: 120 W, 24 dBi to 10 W/m²: 15.49 m; with TDD 0.75 and power factor 0.25: 6.71 m.
    eirp = 120.0 * from_db(24.0)
    assert sphere_density(eirp, 15.49) == pytest.approx(10.0, rel=2e-3)
    assert sphere_density(eirp * 0.75 * 0.25, 6.71) == pytest.approx(10.0, rel=2e-3)


def test_61_4_volt_per_metre_is_one_milliwatt() -> None:
    # FCC OET Bulletin 65 eq. 1 (from memory): S = E²/3770 mW/cm².
    assert pytest.approx(1.000, abs=1.5e-3) == 61.4**2 / ETA0 / MILLIWATT_PER_CM2


class TestDishes:
    """FCC OET Bulletin 65 eqs. 11 to 18 as filings print them."""

    def test_earth_station_of_2_4_metres(self) -> None:
        # Filing 0640-EX-ST-2004: 2.17 W, 14.2 GHz, 49.2 dBi: 4P/A 1.92, eta 0.653, S_nf 1.25 W/m².
        chain = axis_chain(2.4, from_db(49.2), SPEED_OF_LIGHT / 14.2e9)
        assert 2.17 * chain.surface == pytest.approx(1.92, abs=0.005)
        assert 2.17 * chain.near == pytest.approx(1.25, abs=0.005)

    def test_earth_station_of_4_6_metres(self) -> None:
        # Filing SES-LIC-INTR2009-07567: 573.97 W, lambda 0.0211 m, G 2.773e5: R_nf 250.711 m,
        # R_ff 601.706 m, S_ff 3.499 mW/cm²; with its own efficiency 0.698, S_nf 9.645 mW/cm².
        chain = axis_chain(4.6, 2.773e5, 0.0211)
        assert chain.near_end == pytest.approx(250.711, rel=1e-4)
        assert chain.far_start == pytest.approx(601.706, rel=1e-4)
        far = 573.97 * float(chain.at(np.array([601.8]))[0]) / 10
        assert far == pytest.approx(3.499, rel=1e-3)
        stated = axis_chain(4.6, 0.698 * (np.pi * 4.6 / 0.0211) ** 2, 0.0211)
        assert 573.97 * stated.near / 10 == pytest.approx(9.645, rel=1e-3)

    def test_panel_and_dish_of_a_link_filing(self) -> None:
        # Filing SBRFL8310: dish 0.6096 m, 0.05 W, eta 1, 5.8 GHz (lambda 0.0517 m as used there):
        # 4P/A 0.6856, R_nf 1.7961 m, S_nf 0.6853 W/m².
        lam = 0.6096**2 / (4 * 1.7961)
        chain = axis_chain(0.6096, (np.pi * 0.6096 / lam) ** 2, lam)
        assert 0.05 * chain.surface == pytest.approx(0.6856, rel=1e-3)
        assert 0.05 * chain.near == pytest.approx(0.6853, rel=1e-3)
        # Its flat panel, taken as D 0.431 m: R_nf 0.8978 m; 2 m out 0.6153 W/m² from S_nf 1.3708.
        lam = 0.431**2 / (4 * 0.8978)
        panel = axis_chain(0.431, (np.pi * 0.431 / lam) ** 2, lam)
        assert 0.05 * panel.near == pytest.approx(1.3708, rel=1e-3)
        assert 0.05 * float(panel.at(np.array([2.0]))[0]) == pytest.approx(0.6153, rel=1e-3)

    def test_earth_station_of_3_8_metres(self) -> None:
        # Computed: 100 W, 14.25 GHz, 53.2 dBi.
        chain = axis_chain(3.8, from_db(53.2), SPEED_OF_LIGHT / 14.25e9)
        assert 100 * chain.surface == pytest.approx(35.27, rel=1e-3)
        assert 100 * chain.near == pytest.approx(22.88, rel=2e-3)
        assert chain.near_end == pytest.approx(171.6, rel=1e-3)
        assert chain.far_start == pytest.approx(411.8, rel=1e-3)
        assert 100 * float(chain.at(np.array([412.0]))[0]) == pytest.approx(9.80, rel=3e-3)


def cosine_stack(bays: int, spacing: float, frequency: float) -> el.Elements:
    """Bays with an ideal cos(elevation) pattern, the textbook FM stack."""
    lam = SPEED_OF_LIGHT / frequency
    centre = np.zeros((bays, 3))
    centre[:, 2] = stack_heights(bays, spacing * lam)
    return el.normalised(
        el.Elements(
            centre,
            np.zeros(bays),
            np.ones(bays, np.complex128),
            el.uniform,
            el.cosine_elevation,
            "vertical",
            2 * np.pi / lam,
            0.1,
        )
    )


def relative_power(elements: el.Elements, depression: float) -> float:
    angle = np.radians([0.0, depression])
    unit = np.stack([np.cos(angle), 0 * angle, -np.sin(angle)], axis=1)
    flat, down = el.far_intensity(elements, unit)
    return float(down / flat)


def test_elevation_pattern_of_four_full_wave_bays() -> None:
    # Broadcast mailing list, June 2006: percent of power at these depressions of a 4-bay antenna.
    stack = cosine_stack(4, 1.0, 98e6)
    for degrees, percent in (
        (1.68, 95.75),
        (0.92, 98.71),
        (0.71, 99.24),
        (0.62, 99.41),
        (0.60, 99.46),
    ):
        assert 100 * relative_power(stack, degrees) == pytest.approx(percent, abs=0.1)


def test_gain_of_four_full_wave_bays_per_polarisation() -> None:
    # Radio forum table: 3.09 dBd per polarisation; an ideal cos element gives 3.26 (computed).
    gain = el.directivity(cosine_stack(4, 1.0, 98e6)) / 2.0 / DIPOLE_GAIN
    assert 10 * np.log10(gain) == pytest.approx(3.09, abs=0.25)
    assert 10 * np.log10(gain) == pytest.approx(3.26, abs=0.02)


@pytest.mark.parametrize(
    ("bays", "spacing", "directivity"),
    # Computed by integration for an ideal cos(elevation) element.
    [
        (4, 1.0, 6.954),
        (6, 1.0, 10.773),
        (10, 1.0, 18.542),
        (2, 0.5, 2.301),
        (4, 0.5, 4.295),
        (8, 0.5, 8.289),
    ],
)
def test_directivity_of_cosine_stacks(bays: int, spacing: float, directivity: float) -> None:
    assert el.directivity(cosine_stack(bays, spacing, 98e6)) == pytest.approx(directivity, rel=2e-3)


def test_ground_field_of_a_four_bay_circular_fm() -> None:
    # Computed: 98 MHz, 10 + 10 kW ERP, centre 50 m, points 2 m up, factor 2.56; superposition of bays:
    # 11.62, 27.44, 0.443 µW/cm² at 10, 20 and 40 m; far-field pattern 11.31, 27.02, 0.510.
    stack = cosine_stack(4, 1.0, 98e6)
    power = DIPOLE_GAIN * 20e3 / el.directivity(stack)
    points = np.array([[x, 0.0, -48.0] for x in (10.0, 20.0, 40.0)])
    e2, h2 = el.phasor_sum(stack, points)
    scale = power * GROUND / MICROWATT_PER_CM2
    assert scale * h2 * ETA0 == pytest.approx([11.62, 27.44, 0.443], rel=2e-3)
    # The electric sum is 0.4 dB higher in the lobe flank; the larger of the two is what counts.
    assert np.all(e2 / ETA0 >= 0.999 * h2 * ETA0)


def test_exact_fields_beside_a_collinear_array() -> None:
    # Computed from exact dipole fields: eight in-phase half-wave dipoles 0.9 wavelength apart, 900 MHz,
    # 100 W: mean and peak over 2.265 m at these distances; directivity 11.56 dBi.
    kind = Stack(bay="vertical-dipole", bays=8, design_frequency=900e6, spacing=0.9, arm_length=0.5)
    assert 10 * np.log10(kind.directivity(900e6)) == pytest.approx(11.56, abs=0.02)
    z = np.linspace(-2.265 / 2, 2.265 / 2, 601)
    for rho, mean, peak in (
        (0.5, 13.4, 18.0), (1.0, 6.57, 9.55), (2.0, 3.17, 4.31), (5.0, 1.203, 2.31),
        (10.0, 0.563, 0.962), (20.0, 0.230, 0.273), (50.0, 0.0440, 0.0452),
    ):  # fmt: skip
        points = np.stack([np.full_like(z, rho), 0 * z, z], axis=1)
        s = 100.0 * kind.unit_field(points, 900e6, conservative=False).e2 / ETA0
        assert s.mean() == pytest.approx(mean, rel=0.02)
        assert s.max() == pytest.approx(peak, rel=0.04)
