"""Reference patterns against values worked out independently from the published equations."""

import numpy as np
import pytest

from core.patterns.directivity import directivity, mean_gain
from core.patterns.formulas import (
    IMPROVED,
    TYPICAL,
    PlanarArray,
    cosine_power_field,
    f699_dish,
    f1336_low_gain,
    f1336_omni,
    f1336_sector,
    f1336_sector_above_6ghz,
    fcc_fixed_link,
    m2101_array,
    m2101_envelope,
    sinusoidal_field,
    stack_field,
    tr25996_sector,
    tr36814_sector,
    tr38901_element,
)
from core.patterns.formulas.f1336 import f1336_tilted

MILLI = {"abs": 6e-4}
"""Published check values have three decimals."""
CENTI = {"abs": 6e-3}


def test_three_sector_pattern_of_tr_25996():
    assert tr25996_sector([0, 35, 60, 90, 180]) == pytest.approx(
        [14.000, 11.000, 5.184, -5.837, -6.000], **MILLI
    )


def test_six_sector_pattern_of_tr_25996():
    got = tr25996_sector([17.5, 30, 60], gain=17.0, width=35.0, limit=23.0)
    assert got == pytest.approx([14.000, 8.184, -6.000], **MILLI)


def test_sector_pattern_of_tr_36814():
    azimuth, elevation = [0, 35, 60, 0, 35, 180], [-15, -15, -15, 0, 0, -15]
    assert tr36814_sector(azimuth, elevation) == pytest.approx(
        [14.000, 11.000, 5.184, -6.000, -9.000, -11.000], **MILLI
    )
    assert tr36814_sector([0, 35], [0, -10], tilt=6.0) == pytest.approx([9.680, 9.080], **MILLI)


def test_element_pattern_of_tr_38901():
    azimuth, elevation = [0, 32.5, 45, 0, 120, 180], [0, 0, -20, -65, 30, 0]
    assert tr38901_element(azimuth, elevation) == pytest.approx(
        [8.000, 5.000, 1.112, -4.000, -22.000, -22.000], **MILLI
    )
    indoor = tr38901_element(
        45, -20, gain=5.0, width=90.0, limit=25.0, vertical_width=90.0, vertical_limit=25.0
    )
    assert indoor == pytest.approx(1.407, **MILLI)


def test_element_of_tr_38901_has_9_825_dbi_of_directivity():
    az, el = np.arange(-180.0, 180.0), np.arange(-90.0, 90.5)
    level = tr38901_element(az[None, :], el[:, None])
    assert directivity(az, el, level) == pytest.approx(9.825, abs=2e-3)


def test_array_of_m_2101_at_boresight():
    azimuth, elevation = [0, 5, 0, 60], [0, 0, -10, 0]
    assert m2101_array(azimuth, elevation, PlanarArray()) == pytest.approx(
        [24.462, 22.640, -6.569, 1.205], **MILLI
    )


def test_array_of_m_2101_steered():
    got = m2101_array(
        [30, 30, 30, 0], [-8, -10, 0, 0], PlanarArray(), beam_azimuth=30.0, beam_elevation=-8.0
    )
    assert got == pytest.approx([22.947, 22.312, 11.591, -26.333], **MILLI)


def test_array_of_m_2101_has_the_directivity_of_its_size():
    az, el = np.arange(-180.0, 180.0), np.arange(-90.0, 90.25, 0.5)
    level = m2101_array(az[None, :], el[:, None], PlanarArray())
    # Stated 24.65; Gauss-Legendre quadrature gives 24.670 for the same pattern.
    assert directivity(az, el, level) == pytest.approx(24.65, abs=0.03)


def test_uncorrelated_elements_leave_the_element_pattern():
    alone = PlanarArray(correlation=0.0)
    assert m2101_array([10, 70], [5, -30], alone) == pytest.approx(
        alone.element([10, 70], [5, -30])
    )


def test_envelope_over_the_beams_of_m_2101():
    expected = {
        0: [24.46, 23.13, 19.13, 7.95, 3.13, -5.54],
        -20: [18.32, 16.94, 12.91, 3.97, -3.09, -10.54],
        -40: [3.43, 1.89, -2.08, -8.63, -18.08, -22.03],
        -60: [-3.65, -4.99, -9.11, -15.70, -23.55, -23.43],
        -90: [-15.20, -16.53, -20.53, -22.20, -22.20, -22.20],
    }
    rows = np.array(list(expected), dtype=float)
    got = m2101_envelope(
        np.array([0.0, 30, 60, 90, 120, 180])[None, :],
        rows[:, None],
        PlanarArray(),
        beam_azimuths=np.arange(-60.0, 61.0, 5.0),
        beam_elevations=np.arange(-14.0, 3.0, 2.0),
    )
    assert got == pytest.approx(np.array(list(expected.values())), **CENTI)


ELEVATIONS = [0, 2.5, 5, 10, 20, 45, 90]


@pytest.mark.parametrize(
    ("gain", "k", "levels"),
    [
        (6.0, 0.7, [6.000, 5.897, 5.589, 4.357, -0.571, -5.335, -6.632]),
        (10.0, 0.7, [10.000, 9.352, 7.409, 0.304, -1.607, -2.878, -3.300]),
        (10.0, 0.0, [10.000, 9.352, 7.409, -0.365, -6.038, -11.321, -15.836]),
    ],
)
def test_omni_pattern_of_f_1336(gain, k, levels):
    assert f1336_omni(ELEVATIONS, gain=gain, k=k) == pytest.approx(levels, **MILLI)
    assert f1336_omni([-20], gain=gain, k=k) == pytest.approx(levels[4], **MILLI)


def test_tilt_of_f_1336_moves_the_beam_and_keeps_the_poles():
    assert f1336_tilted([-6, 0, 30, 90, -90], 6.0) == pytest.approx([0, 5.625, 33.75, 90, -90])
    assert f1336_omni(-6.0, gain=10.0, tilt=6.0) == pytest.approx(10.0)


@pytest.mark.parametrize(("gain", "k"), [(6.0, 0.7), (10.0, 0.7), (10.0, 0.0), (3.0, 0.2)])
def test_omni_pattern_of_f_1336_is_continuous(gain, k):
    width = 107.6 * 10 ** (-0.1 * gain)
    for bend in (width * np.sqrt(1 - np.log10(k + 1) / 1.2), width):
        below, above = f1336_omni([bend * (1 - 1e-9), bend * (1 + 1e-9)], gain=gain, k=k)
        assert below == pytest.approx(above, abs=1e-6)


SECTOR_DIRECTIONS = (
    [0, 32.5, 60, 180, 0, 0, 0, 0, 60, 120],
    [0, 0, 0, 0, 5, -10, -45, -90, -10, -30],
)


def test_typical_sector_pattern_of_f_1336():
    got = f1336_sector(*SECTOR_DIRECTIONS, gain=18.0, width=65.0)
    assert got == pytest.approx(
        [18.000, 15.000, 9.322, -6.457, 12.749, 7.326, 0.928, -6.457, 2.436, -5.679], **MILLI
    )


def test_improved_sector_pattern_of_f_1336():
    got = f1336_sector(*SECTOR_DIRECTIONS, gain=18.0, width=65.0, lobes=IMPROVED)
    assert got == pytest.approx(
        [18.000, 15.000, 9.059, -6.457, 12.749, 5.810, -0.903, -6.457, 1.326, -6.457], **MILLI
    )


@pytest.mark.parametrize("lobes", [TYPICAL, IMPROVED])
@pytest.mark.parametrize(("gain", "width"), [(18.0, 65.0), (15.0, 90.0), (12.0, 120.0)])
def test_sector_pattern_of_f_1336_reaches_its_back_level_without_a_step(gain, width, lobes):
    up3 = 31000 * 10 ** (-0.1 * gain) / width
    # The printed shoulder, sqrt(1 - 0.36 kv), meets the next piece to 0.14 dB only.
    bends = {up3 * np.sqrt(1 - 0.36 * lobes.kv): 0.15, 4 * up3: 1e-6, 90 * (1 - 1e-9): 1e-6}
    for bend, step in bends.items():
        ends = np.array([bend * (1 - 1e-9), bend * (1 + 1e-9)])
        below, above = f1336_sector(0.0, ends, gain=gain, width=width, lobes=lobes)
        assert below == pytest.approx(above, abs=step)
    half = f1336_sector([0.5 * width - 1e-8, 0.5 * width + 1e-8], 0.0, gain=gain, width=width)
    assert half == pytest.approx([gain - 3.0, gain - 3.0], abs=1e-6)


def test_sector_pattern_of_f_1336_above_6_ghz():
    azimuth, elevation = [0, 30, 60, 0, 90, 180], [0, 0, 0, 7, -20, 0]
    got = f1336_sector_above_6ghz(azimuth, elevation, gain=19.0, width=60.0, vertical_width=7.0)
    assert got == pytest.approx([19.000, 16.000, 7.000, 7.000, -2.967, -14.153], **MILLI)


def test_sector_pattern_of_f_1336_above_6_ghz_is_continuous_in_front_and_never_rises_at_the_sides():
    fine = np.linspace(0.0, 90.0, 9001)
    for elevation in (0.0, 3.0, -5.0):
        got = f1336_sector_above_6ghz(fine, elevation, gain=19.0, width=60.0, vertical_width=7.0)
        assert np.abs(np.diff(got)).max() < 0.02
        front, behind = f1336_sector_above_6ghz(
            [90 - 1e-6, 90 + 1e-6], elevation, gain=19.0, width=60.0, vertical_width=7.0
        )
        assert behind < front


def test_low_gain_pattern_of_f_1336():
    got = f1336_low_gain([0, 20, 40, 60, 90, 180], gain=12.0)
    assert got == pytest.approx([12.000, 9.182, 0.730, -2.000, -3.914, -8.000], **MILLI)


def test_low_gain_pattern_of_f_1336_is_continuous():
    width = np.sqrt(27000 * 10**-1.2)
    for bend, step in (
        (1.08 * width, 0.004),
        (1.9 * width, 1e-6),
        (1.9 * width * 10 ** (6 / 32), 1e-6),
    ):
        below, above = f1336_low_gain([bend * (1 - 1e-9), bend * (1 + 1e-9)], gain=12.0)
        # 12 * 1.08^2 is 13.997, so the published corner itself steps by 0.003 dB.
        assert below == pytest.approx(above, abs=step)


@pytest.mark.parametrize(
    ("diameter", "frequency", "peak", "levels"),
    [
        (
            0.6,
            38e9,
            45.32,
            {0.5: 41.71, 1: 30.86, 2: 25.66, 5: 15.72, 10: 8.19, 30: -3.74, 60: -8.81},
        ),
        (
            1.2,
            11e9,
            40.58,
            {0.5: 39.36, 1: 35.73, 2: 26.66, 5: 18.09, 10: 10.56, 30: -1.37, 60: -6.44},
        ),
        (
            3.0,
            6e9,
            43.27,
            {0.5: 41.02, 1: 34.26, 2: 26.69, 5: 16.74, 10: 9.22, 30: -2.71, 60: -7.79},
        ),
        (4.0, 0.5e9, 24.18, {10: 14.36, 30: 6.83, 60: -0.70}),
    ],
)
def test_dish_envelope_of_f_699(diameter, frequency, peak, levels):
    got = f699_dish([0.0, *levels], diameter=diameter, frequency=frequency)
    assert got == pytest.approx([peak, *levels.values()], **CENTI)


@pytest.mark.parametrize(
    ("diameter", "frequency"), [(0.6, 38e9), (3.0, 6e9), (3.0, 23e9), (4.0, 0.5e9), (1.0, 0.9e9)]
)
def test_dish_envelope_of_f_699_is_continuous(diameter, frequency):
    angle = np.linspace(0.0, 180.0, 1_800_001)
    level = f699_dish(angle, diameter=diameter, frequency=frequency)
    size = diameter * frequency / 299_792_458.0
    # The printed constants are rounded; the steepest part of the main lobe moves 0.0001 deg a step.
    steepest = 0.005 * size**2 * 20.0 / size * 5.0 * 1e-4
    assert np.abs(np.diff(level)).max() < max(0.1, steepest)


def test_dish_envelope_of_f_699_refuses_what_it_does_not_cover():
    with pytest.raises(ValueError, match=r"F\.699"):
        f699_dish(0.0, diameter=1.0, frequency=80e9)
    with pytest.raises(ValueError, match=r"F\.699"):
        f699_dish(0.0, diameter=0.5, frequency=0.2e9)


@pytest.mark.parametrize(
    ("category", "suppression"),
    # 47 CFR 74.536 and 47 CFR 30.406.
    [("A", [0, 25, 29, 33, 36, 42, 55, 55]), ("B", [0, 20, 24, 28, 32, 35, 36, 36])],
)
def test_fixed_link_limits_of_the_fcc(category, suppression):
    inside = [2.0, 7.0, 12.0, 17.0, 25.0, 60.0, 120.0, 170.0]
    got = fcc_fixed_link(inside, gain=38.0, category=category)
    assert got == pytest.approx(38.0 - np.array(suppression, dtype=float))
    edges = fcc_fixed_link([5, 10, 15, 20, 30, 100, 140, -140], gain=38.0, category=category)
    assert edges == pytest.approx(38.0 - np.array([*suppression[:-1], suppression[6]], dtype=float))


def test_half_wave_dipole():
    az, el = np.arange(-180.0, 180.0, 10.0), np.arange(-85.0, 90.0, 10.0)
    # Mid-point bands, the peak put on by hand: 1.6409 at any step from 10 degrees to 0.5.
    field = sinusoidal_field(el)
    weight = np.diff(np.sin(np.radians(np.arange(-90.0, 91.0, 10.0))))
    assert 2.0 / np.sum(field**2 * weight) == pytest.approx(1.6409, abs=0.004)
    fine = np.linspace(-90.0, 90.0, 721)
    level = 20 * np.log10(np.maximum(sinusoidal_field(fine), 1e-9))
    got = directivity(az, fine, np.repeat(level[:, None], az.size, axis=1))
    assert got == pytest.approx(2.151, abs=1e-3)


@pytest.mark.parametrize(
    ("height", "values"),
    [
        (90, [1.000, 0.978, 0.816, 0.628, 0.418, 0.137]),
        (120, [1.000, 0.971, 0.770, 0.556, 0.346, 0.107]),
        (190, [1.000, 0.933, 0.522, 0.204, 0.021, -0.022]),
        (225, [1.000, 0.882, 0.219, -0.188, -0.304, -0.138]),
    ],
)
def test_vertical_pattern_of_a_plain_tower(height, values):
    # 47 CFR 73.160(b)(1).
    assert sinusoidal_field([0, 10, 30, 45, 60, 80], height=height) == pytest.approx(
        values, abs=6e-4
    )
    assert sinusoidal_field(90.0, height=height) == 0.0


@pytest.mark.parametrize(
    ("bays", "spacing", "at", "largest_below", "width"),
    [
        (4, 1.0, [0.9527, 0.3886, 0.3040], -9.5, 12.9),
        (8, 1.0, [0.8132, 0.2230, 10 ** (-29.3 / 20)], -12.5, 6.4),
        (8, 0.5, [0.9505, 0.3742, 10 ** (-23.9 / 20)], -23.9, 12.7),
        (12, 1.0, [0.6078, 10 ** (-27.7 / 20), 10 ** (-20.3 / 20)], -14.2, 4.2),
    ],
)
def test_stacks_of_bays(bays, spacing, at, largest_below, width):
    got = stack_field([-2.5, -10.0, -60.0], bays=bays, spacing=spacing)
    assert got == pytest.approx(at, rel=6e-3)
    fine = np.linspace(-90.0, 0.0, 90_001)
    level = 20 * np.log10(np.maximum(stack_field(fine, bays=bays, spacing=spacing), 1e-9))
    assert level[fine <= -60.0].max() == pytest.approx(largest_below, abs=0.06)
    assert -2 * fine[level >= -3.0].min() == pytest.approx(width, abs=0.06)


def test_a_stack_tilts_down_and_keeps_its_floor():
    fine = np.linspace(-10.0, 10.0, 2001)
    field = stack_field(fine, bays=8, spacing=1.0, tilt=2.0)
    assert fine[field.argmax()] == pytest.approx(-2.0, abs=0.05)
    assert stack_field(-90.0, bays=8, spacing=1.0, floor=0.1) == 0.1


def test_panel_is_half_power_at_half_its_width():
    got = cosine_power_field([0.0, 30.0, -30.0, 120.0], width=60.0, floor=0.05)
    assert got == pytest.approx([1.0, np.sqrt(0.5), np.sqrt(0.5), 0.05])
    with pytest.raises(ValueError, match="width"):
        cosine_power_field(0.0, width=180.0)


def test_peak_envelopes_radiate_more_than_they_can():
    """The stated excess of the envelopes, in dB: F.1336 sector 1.7 to 2.3, omni 1.7."""
    az, el = np.arange(-180.0, 180.0, 2.0), np.arange(-90.0, 90.25, 0.5)
    flat = np.zeros(az.size)
    sector = f1336_sector(az[None, :], el[:, None], gain=18.0, width=65.0)
    omni = f1336_omni(el[:, None] + flat[None, :], gain=10.0)
    assert 1.65 <= 10 * np.log10(mean_gain(az, el, sector)) <= 2.35
    assert 10 * np.log10(mean_gain(az, el, omni)) == pytest.approx(1.7, abs=0.06)
