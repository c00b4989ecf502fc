"""Power bookkeeping: three ways in, one power out, disagreements named."""

from __future__ import annotations

import numpy as np
import pytest

from core.antennas.base import Kind
from core.antennas.panel import Panel, PanelBand
from core.antennas.panel_ring import PanelRing
from core.antennas.stack import Stack
from core.errors import InputError
from core.exposure.power import radiated
from core.site.site import Antenna, Carrier, Power
from core.units import to_db

FM = Stack(bay="slant-ring", bays=4, design_frequency=98e6)
PANEL = Panel(
    length=2.0,
    width=0.3,
    bands=(PanelBand(low=698e6, high=896e6, elements=6, spacing=0.32),),
)
RING = PanelRing(levels=4, spacing=1.15, faces=4, radius=0.4, panel_height=1.0)


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
    assert result.eirp == pytest.approx(32.8e3)
    assert result.power == pytest.approx(32.8e3 / FM.directivity(98e6))


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
