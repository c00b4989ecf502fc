"""Power bookkeeping: three ways in, one power out, disagreements named."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from core.antennas.base import Kind
from core.antennas.dish import Dish
from core.antennas.generic import Generic
from core.antennas.panel import Panel, PanelBand
from core.antennas.panel_ring import PanelRing
from core.antennas.stack import Stack
from core.antennas.worst_case import WorstCase
from core.antennas.yagi import Yagi
from core.errors import InputError
from core.exposure.power import radiated
from core.site.site import Antenna, Carrier, Power
from core.units import to_db

FM = Stack(bay="slant-ring", bays=4, design_frequency=98e6, beam_tilt=0.0)
PANEL = Panel(
    length=2.0,
    width=0.3,
    bands=(PanelBand(low=698e6, high=896e6, elements=6, spacing=0.32, electrical_tilt=0.0),),
)
RING = PanelRing(levels=4, spacing=1.15, faces=4, radius=0.4, panel_height=1.0, beam_tilt=0.0)


def with_power(
    kind: Kind, frequency: float, power: Power, duty: float = 1.0
) -> tuple[Antenna, Carrier]:
    carrier = Carrier(name="c", frequency=frequency, power=power, duty=duty, duty_source="test")
    return Antenna(name="a", kind=kind, position=(0.0, 0.0, 0.0), carriers=(carrier,)), carrier


def test_transmitter_power_less_line_loss_is_radiated() -> None:
    result = radiated(*with_power(FM, 98e6, Power(transmitter=1000.0, loss=3.0)))
    assert result.power == pytest.approx(501.187, rel=1e-5)


def test_circular_erp_counts_both_polarisations() -> None:
    # FCC practice (from memory): 10 + 10 kW ERP are 1.64 × 20 kW = 32.8 kW EIRP.
    result = radiated(*with_power(FM, 98e6, Power(erp=10e3, erp_vertical=10e3)))
    assert result.power * FM.licence_gain(98e6) == pytest.approx(32.8e3)
    # The horizon is where rings are strongest: within a hundredth the pattern's own peak.
    assert result.eirp == pytest.approx(32.8e3, rel=1e-2)


def test_a_stated_gain_above_the_pattern_is_an_error_that_shows_both_numbers() -> None:
    gain = to_db(FM.directivity(98e6)) + 2.15
    with pytest.raises(InputError) as caught:
        radiated(*with_power(FM, 98e6, Power(transmitter=1000.0, gain=gain)))
    assert "dBd and dBi" in caught.value.message
    assert f"{to_db(FM.directivity(98e6)):.2f}" in caught.value.message


def test_erp_and_transmitter_power_that_disagree_are_an_error_with_both_figures() -> None:
    with pytest.raises(InputError) as caught:
        radiated(*with_power(FM, 98e6, Power(transmitter=1000.0, gain=7.5, erp=50e3)))
    assert "164 kW" in caught.value.message
    assert "5.62" in caught.value.message


def test_a_lower_stated_gain_earns_no_credit_for_loss() -> None:
    low = radiated(*with_power(PANEL, 751e6, Power(transmitter=40.0, gain=14.0)))
    assert low.power == pytest.approx(40.0)


@pytest.mark.parametrize(
    ("kind", "frequency"),
    [
        (Dish(diameter=0.6, gain=38.3), 18e9),
        (Dish(diameter=1.2), 11.2e9),
        (Yagi(gain=12.0, boom=1.5, elements=6), 450e6),
        (Generic(entry="sector-700"), 746e6),
    ],
)
def test_a_stated_gain_far_under_the_models_lets_all_the_power_count(
    kind: Kind, frequency: float
) -> None:
    """What does not go into the beam goes elsewhere: beside the antenna it is as strong."""
    low = radiated(*with_power(kind, frequency, Power(transmitter=10.0, gain=3.0)))
    plain = radiated(*with_power(kind, frequency, Power(transmitter=10.0)))
    assert low.power == pytest.approx(plain.power)
    assert any("under the pattern's" in w for w in low.words)
    # Where every direction has the largest gain, a lower one lowers all of them.
    sphere = WorstCase(gain=12.0)
    low = radiated(*with_power(sphere, frequency, Power(transmitter=10.0, gain=3.0)))
    assert low.eirp == pytest.approx(10.0 * 10.0**0.3)


def test_a_duty_factor_lowers_the_power_and_needs_a_source() -> None:
    assert radiated(*with_power(FM, 98e6, Power(transmitter=100.0), 0.75)).power == pytest.approx(
        75.0
    )
    with pytest.raises(InputError, match="names no source"):
        Carrier(name="c", frequency=3.5e9, power=Power(transmitter=1.0), duty=0.5)


@pytest.mark.parametrize(
    ("kind", "frequency", "tolerance"),
    [(FM, 98e6, 1e-3), (PANEL, 751e6, 0.02), (RING, 557e6, 1e-3)],
    ids=["stack", "panel", "ring"],
)
def test_the_best_estimate_radiates_the_power_that_went_in(
    kind: Kind, frequency: float, tolerance: float
) -> None:
    """Integrate S over a distant sphere: what comes out is the watt that went in."""
    nodes, weights = np.polynomial.legendre.leggauss(160)
    phi = (np.arange(240) + 0.5) * 2.0 * np.pi / 240
    s = np.sqrt(1.0 - nodes**2)
    unit = np.stack(
        [np.outer(s, np.cos(phi)).ravel(), np.outer(s, np.sin(phi)).ravel(), np.repeat(nodes, 240)],
        axis=1,
    )
    radius = 4000.0
    density = kind.unit_field(unit * radius, frequency, conservative=False).power_density
    total = radius**2 * float(density @ np.repeat(weights, 240)) * 2.0 * np.pi / 240
    assert total == pytest.approx(1.0, rel=tolerance)


# --- what ERP, EIRP and gain mean ------------------------------------------------------------------------


@pytest.mark.parametrize("bays", [1, 2, 4, 6])
def test_erp_is_that_of_the_horizon_beam_of_a_turnstile_too(bays: int) -> None:
    """Turnstiles radiate more upward than along the horizon; a licence means the horizon. S = 1.64 ERP/(4π r²) there
    (FCC OET Bulletin 65, eq. 5 to 7, from memory), whatever the sky gets."""
    kind = Stack(bay="turnstile", bays=bays, design_frequency=98e6)
    found = radiated(*with_power(kind, 98e6, Power(erp=50e3)))
    far = np.array([[5000.0, 0.0, 0.0], [0.0, 5000.0, 0.0], [3535.5, 3535.5, 0.0]])
    unit = kind.unit_field(far, 98e6, conservative=False)
    s = found.power * unit.e2.max() / 376.730313668
    # Which currents its bays have is not known: those that need the most power count, a twentieth of a decibel here.
    licensed = 1.64 * 50e3 / (4.0 * np.pi * 5000.0**2)
    assert licensed * 0.995 <= s <= licensed * 1.015


def test_the_right_transmitter_beside_the_right_erp_is_accepted() -> None:
    kind = Stack(bay="turnstile", bays=4, design_frequency=98e6)
    right = 1.64 * 50e3 / kind.licence_gain(98e6)
    found = radiated(*with_power(kind, 98e6, Power(erp=50e3, transmitter=right)))
    assert found.power == pytest.approx(right)
    with pytest.raises(InputError):
        radiated(*with_power(kind, 98e6, Power(erp=50e3, transmitter=0.6 * right)))


def test_a_beam_tilted_stack_means_its_tilted_beam() -> None:
    kind = Stack(bay="vertical-dipole", bays=8, design_frequency=98e6, beam_tilt=4.0)
    assert kind.licence_gain(98e6) == pytest.approx(kind.directivity(98e6), rel=0.03)


def test_eirp_and_gain_together_say_the_power_that_goes_in() -> None:
    """100 W into 15 dBi is 3162 W EIRP; that the pattern's ideal directivity is more earns no credit."""
    gain = to_db(PANEL.directivity(800e6)) - 3.0
    eirp = 100.0 * 10.0 ** (gain / 10.0)
    known = radiated(*with_power(PANEL, 800e6, Power(transmitter=100.0)))
    stated = radiated(*with_power(PANEL, 800e6, Power(eirp=eirp, gain=gain)))
    assert stated.power == pytest.approx(known.power)


def test_eirp_alone_counts_the_lowest_usual_gain_of_a_panel_and_says_so() -> None:
    found = radiated(*with_power(PANEL, 800e6, Power(eirp=1000.0)))
    assert found.power == pytest.approx(1000.0 / PANEL.directivity(800e6) * 10.0**0.35)
    assert any(w.startswith("ASSUMED") and "3.5 dB" in w for w in found.words)


def test_kinds_without_a_usual_loss_are_as_their_pattern_says() -> None:
    found = radiated(*with_power(FM, 98e6, Power(eirp=1000.0)))
    assert found.power == pytest.approx(1000.0 / FM.licence_gain(98e6))


def test_erp_alone_in_the_fm_band_counts_both_polarisations_unless_the_file_says_linear() -> None:
    ring = PanelRing(levels=6, spacing=2.6, faces=4, radius=1.2, panel_height=1.8, beam_tilt=0.0)
    open_, linear, circular = (
        radiated(*with_power(kind, 98e6, Power(erp=50e3)))
        for kind in (ring, replace(ring, circular=False), replace(ring, circular=True))
    )
    assert open_.power == pytest.approx(2.0 * linear.power)
    assert circular.power == pytest.approx(open_.power)
    assert any(w.startswith("ASSUMED circular") for w in open_.words)
    assert not any("ASSUMED circular" in w for w in circular.words)
    tv = PanelRing(levels=8, spacing=1.15, faces=4, radius=0.45, panel_height=1.0, beam_tilt=0.0)
    outside = radiated(*with_power(tv, 557e6, Power(erp=50e3)))
    assert not any("polarisation" in w for w in outside.words)
