"""Lines of equal percent have computed corners and no teeth (app.draw.lines)."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest

from app.draw.lines import refined_lines
from core.exposure.batch import read_many
from core.exposure.raster import raster
from core.site.site import Site
from core.views.body import CLIMBING, POINT, Body
from core.views.views import ElevationView, Height, PlanView

F, EIRP = 100e6, 5_000.0
CELLS, SIDE = 41, 60.0


def radius(site: Site, fraction: float) -> float:
    """How far from the source the public fraction is reached, by halving."""
    low, high = 0.5, 500.0
    for _ in range(60):
        middle = 0.5 * (low + high)
        over = read_many(site, np.array([[middle, 0.0, 0.0]]), POINT).public[0] >= fraction
        low, high = (middle, high) if over else (low, middle)
    return low


@pytest.mark.parametrize("percent", [20.0, 100.0, 1000.0])
def test_corners_lie_on_the_line_and_never_inside_it(
    percent: float, one_source: Callable[[float, float], Site]
) -> None:
    site = one_source(F, EIRP)
    exact = radius(site, percent / 100.0)
    view = PlanView((-SIDE, -SIDE, SIDE, SIDE), Height(0.0, False), POINT)
    ((said, lines),) = refined_lines(site, raster(site, view, (CELLS, CELLS)), "public", [percent])
    assert said == percent
    out = np.hypot(*np.concatenate(lines).T)
    cell = 2.0 * SIDE / CELLS
    # Found to a sixteenth of a cell along a row or column, which meets the circle at more than 30°.
    assert out.min() >= exact - 1e-6
    assert out.max() <= exact + cell / 16.0


@pytest.mark.parametrize("body", [CLIMBING, POINT], ids=["climber", "point"])
def test_the_side_of_a_climbers_line_is_straight(
    body: Body, one_source: Callable[[float, float], Site]
) -> None:
    site = one_source(F, EIRP)
    exact = radius(site, 1.0)
    view = ElevationView((0.0, 0.0), 90.0, (-SIDE, SIDE), (-SIDE, SIDE), body)
    ((_, lines),) = refined_lines(site, raster(site, view, (CELLS, CELLS)), "public", [100.0])
    corners = np.concatenate(lines)
    u, v = np.abs(corners[:, 0]), np.abs(corners[:, 1])
    # A climber is over where a circle about any height of the body holds the place.
    swept = np.hypot(u, np.maximum(v - max(body.heights), 0.0))
    cell = 2.0 * SIDE / CELLS
    assert np.all(swept >= exact - cell / 16.0)
    assert np.all(swept <= exact + cell / 8.0)


def test_lines_end_at_the_frame_and_percents_that_nothing_reaches_are_left_out(
    one_source: Callable[[float, float], Site],
) -> None:
    site = one_source(F, EIRP)
    exact = radius(site, 1.0)
    half = 0.8 * exact
    view = ElevationView((0.0, 0.0), 90.0, (-half, half), (-2.0 * exact, 2.0 * exact), CLIMBING)
    found = refined_lines(site, raster(site, view, (40, 20)), "public", [100.0, 1e8])
    assert [percent for percent, _ in found] == [100.0]
    corners = np.concatenate(found[0][1])
    assert np.abs(corners[:, 0]).max() == pytest.approx(half, abs=1e-3)


def test_a_line_along_an_edge_lies_on_the_edge(roof: Site) -> None:
    # East of the roof people stand on the ground, 16 m lower: the percent jumps at x = 20 m.
    view = PlanView((15.0, -12.0, 25.0, -2.0), body=POINT)
    found = refined_lines(roof, raster(roof, view, (15, 13)), "public", [20.0])
    corners = np.concatenate([line for _, lines in found for line in lines])
    edge = corners[(np.abs(corners[:, 0] - 20.0) < 0.7) & (np.abs(corners[:, 1] + 7.0) < 4.0)]
    assert len(edge) > 5
    assert np.all(np.abs(edge[:, 0] - 20.0) <= 10.0 / 13.0 / 16.0 + 1e-9)
