"""The electric and the magnetic total, each where it is the one that counts, and constants of the ground."""

from __future__ import annotations

import numpy as np
import pytest

from core.antennas.wire import HfDipole
from core.exposure.fractions import weight
from core.exposure.raster import raster
from core.exposure.totals import exposure
from core.fields.ground import complex_permittivity, fresnel
from core.limits.model import Limit
from core.limits.sets import get_set
from core.site.site import Antenna, Carrier, Power, Site
from core.units import ETA0
from core.views.body import POINT
from core.views.views import Height, PlanView
from support.simple_sites import FREE


def wires() -> Site:
    """Two half-wave wires end to end, 30 m up: high voltage at their tips, little current there."""
    return Site(
        name="s",
        antennas=tuple(
            Antenna(
                name=f"wire {x}", kind=HfDipole(length=10.0, height=30.0, ground="none"),
                position=(x, 0.0, 0.0),
                carriers=(Carrier(name="c", frequency=14.2e6, power=Power(transmitter=40.0)),),
            )
            for x in (-6.0, 6.0)
        ),
        reflection=FREE,
    )  # fmt: skip


BESIDE = np.array([[2.0, 0.5, 30.6]])


def test_the_larger_of_the_two_totals_counts() -> None:
    """Beside the tip of a wire E² over its limit is a third more than H² over its own."""
    shown = exposure(wires(), BESIDE).public
    assert shown.electric[0] > 1.3 * shown.magnetic[0] > 0.0
    assert shown.total[0] == shown.electric[0]
    assert shown.shares[:, 0].sum() == pytest.approx(shown.total[0])


def test_a_raster_sums_the_electric_parts_of_all_sources() -> None:
    plan = PlanView((1.94, 0.44, 2.06, 0.56), Height(30.6), POINT)
    middle = raster(wires(), plan, (3, 3)).public[1, 1]
    assert middle == pytest.approx(float(exposure(wires(), BESIDE).public.total[0]), rel=2e-3)


def test_power_density_beside_field_limits_counts_for_both_fields() -> None:
    """A row with E, H and S where S is checked: S = 1 W/m² is E² = 377 V²/m² and H² = 1/377 A²/m², so each field alone
    at these values is 100 %."""
    limits = get_set("ICNIRP2020")
    table = next(
        t for t in limits.tables
        if (row := t.at(100e6)) is not None and row.s is not None and not row.plane_wave_s and row.h is not None
    )  # fmt: skip
    row = table.at(100e6)
    assert isinstance(row, Limit)
    w = weight(row, table, limits, 100e6)
    assert row.s is not None
    assert w.magnetic >= ETA0 / row.s * (1.0 - 1e-12)
    assert w.electric >= 1.0 / (ETA0 * row.s) * (1.0 - 1e-12)


def test_the_permittivity_of_a_lossy_ground() -> None:
    """σ/(ω ε₀) at 1 MHz and 1 mS/m: 0.001/(2π 10⁶ · 8.854·10⁻¹²) = 17.98, so ε = 15 - 17.98j (textbook)."""
    assert complex_permittivity(15.0, 0.001, 1e6) == pytest.approx(15.0 - 17.975j, rel=1e-3)


def test_reflection_straight_down_is_the_same_for_both_polarisations() -> None:
    """(1 - √ε)/(1 + √ε) for E along the ground; sea water, ε = 80, 5 S/m at 100 MHz: close to -1 (textbook)."""
    ground = complex_permittivity(80.0, 5.0, 100e6)
    horizontal, vertical = fresnel(np.array([np.pi / 2]), ground)
    root = np.sqrt(ground)
    assert horizontal[0] == pytest.approx((1.0 - root) / (1.0 + root))
    assert abs(vertical[0]) == pytest.approx(abs(horizontal[0]))
    # Along the ground both are turned round.
    horizontal, vertical = fresnel(np.array([1e-6]), ground)
    assert horizontal[0] == pytest.approx(-1.0, abs=1e-3)
    assert vertical[0] == pytest.approx(-1.0, abs=1e-3)
