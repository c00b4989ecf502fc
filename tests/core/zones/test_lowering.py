"""A region of an elevation swept down by a body, beside the trace of every side by itself."""

from __future__ import annotations

import itertools

import numpy as np
import pytest
import shapely
from shapely import MultiPolygon, Polygon

from core.views.body import STANDING, Body
from core.zones.lowering import lowered
from support.effort import many


def side_by_side(region: MultiPolygon, body: Body) -> shapely.Geometry:
    """Return the hull of each side at both ends of its way, and the region there: the definition."""
    low, high = min(body.heights), max(body.heights)
    parts = [shapely.affinity.translate(region, yoff=-h) for h in (low, high)]
    for piece in region.geoms:
        for ring in (piece.exterior, *piece.interiors):
            xy = shapely.get_coordinates(ring)
            for a, b in itertools.pairwise(xy):
                both = [p - (0.0, h) for p in (a, b) for h in (low, high)]
                parts.append(shapely.MultiPoint(both).convex_hull)
    return shapely.union_all(parts)


def rough(rng: np.random.Generator) -> MultiPolygon:
    """Return invented pieces with holes, upright and nearly upright sides, tips and needles."""
    turn = np.sort(rng.uniform(0.0, 2.0 * np.pi, rng.integers(5, 60)))
    reach = rng.uniform(0.2, 6.0, len(turn))
    star = Polygon(np.column_stack([reach * np.cos(turn), reach * np.sin(turn)]))
    hole = shapely.box(-0.4, -0.3, 0.5, rng.uniform(0.0, 3.0))
    stairs = Polygon([(8, 0), (10, 0), (10 + 1e-13, 7), (9, 7), (9, 3), (8 - 2e-7, 3)])
    cells = [shapely.box(x, y, x + 0.3, y + 0.3) for x, y in rng.integers(40, 60, (90, 2)) * 0.3]
    made = shapely.union_all([star.buffer(0.0).difference(hole), stairs, *cells])
    return MultiPolygon([p for p in shapely.get_parts(made) if p.area > 0.0])


@pytest.mark.parametrize("seed", range(many(60)))
def test_runs_of_sides_sweep_what_the_sides_do(seed: int) -> None:
    region = rough(np.random.default_rng(seed))
    swept, meant = lowered(region, STANDING), side_by_side(region, STANDING)
    assert swept.symmetric_difference(meant).area < 1e-9
    assert meant.buffer(-1e-6).difference(swept).area < 1e-12


def test_a_region_reaches_down_and_not_up() -> None:
    swept = lowered(MultiPolygon([shapely.box(0.0, 10.0, 1.0, 10.5)]), STANDING)
    low, high = min(STANDING.heights), max(STANDING.heights)
    assert swept.bounds == pytest.approx((0.0, 10.0 - high, 1.0, 10.5 - low))
