"""Band edges of the limit tables: the smaller limit counts, and float noise changes nothing."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.limits.model import LimitTable
from core.limits.sets import TABLES, limit

EDGES = [(table, row.low_hz) for table in TABLES.values() for row in table.rows[1:]]


def table_name(table: object) -> str:
    return table.key if isinstance(table, LimitTable) else str(table)


@pytest.mark.parametrize(("table", "edge_hz"), EDGES, ids=table_name)
def test_edge_takes_the_smaller_limit_of_each_quantity_from_both_rows(
    table: LimitTable, edge_hz: float
) -> None:
    at_edge = table.at(edge_hz)
    assert at_edge is not None
    sides = [row.at(edge_hz) for row in table.rows if row.holds(edge_hz)]
    assert len(sides) == 2
    for name in ("e", "h", "s", "b_ut"):
        candidates = [getattr(side, name) for side in sides if getattr(side, name) is not None]
        assert getattr(at_edge, name) == min(candidates, default=None)
    assert all(side.formula in at_edge.formula for side in sides)


@given(edge=st.sampled_from(EDGES), noise=st.floats(-9e-10, 9e-10))
def test_float_noise_on_an_edge_changes_no_limit(
    edge: tuple[LimitTable, float], noise: float
) -> None:
    table, edge_hz = edge
    exact, noisy = table.at(edge_hz), table.at(edge_hz * (1.0 + noise))
    assert exact is not None
    assert noisy is not None
    for name in ("e", "h", "s", "b_ut", "averaging_minutes"):
        value, other = getattr(exact, name), getattr(noisy, name)
        assert (other is None) == (value is None)
        assert other is None or other == pytest.approx(value, rel=1e-8)
    assert noisy.plane_wave_s == exact.plane_wave_s


@pytest.mark.parametrize("edge_mhz", [0.3, 1.34, 3.0, 30.0, 300.0, 1500.0, 100000.0])
@pytest.mark.parametrize("tier", ["gp", "occ"])
def test_a_frequency_that_went_through_other_units_finds_the_same_limit(
    edge_mhz: float, tier: str
) -> None:
    found = limit("FCC", tier, edge_mhz)
    assert found is not None
    for roundabout in (
        edge_mhz / 1000.0 * 1000.0,
        edge_mhz * 1000.0 / 1000.0,
        (edge_mhz / 7.0) * 7.0,
        math.nextafter(edge_mhz, 0.0),
        math.nextafter(edge_mhz, math.inf),
    ):
        again = limit("FCC", tier, roundabout)
        assert again is not None
        assert again.formula == found.formula
        assert again.s == pytest.approx(found.s, rel=1e-12)


def test_thirty_megahertz_written_as_gigahertz_is_still_the_edge() -> None:
    found = limit("FCC", "gp", 0.03 * 1000)
    assert found is not None
    assert found.e == pytest.approx(824 / 30)
    assert found.s == 2.0
    assert not found.plane_wave_s


def test_time_at_an_edge_is_the_shorter_one_and_none_is_the_shortest() -> None:
    below_instantaneous = TABLES["EU1999/519 gp"].at(100e3)
    assert below_instantaneous is not None
    assert below_instantaneous.averaging_minutes is None


def test_status_and_source_at_an_edge_are_those_of_both_rows() -> None:
    found = limit("EU1999/519", "gp", 10)
    assert found is not None
    assert found.status == "from memory"
    assert "S from memory" in found.source
    assert "B in NISV" in found.source
