"""Outlines with ever fewer corners: each holds the one before, and bays of a zone are followed."""

from __future__ import annotations

import itertools

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import MultiPolygon, Polygon, affinity

from core.fences.around import LEAST_SIDE, fit
from core.fences.fence import check
from core.fences.fewer import fewer
from core.fences.walls import Walls
from support.effort import many

ELL = Polygon(((0, 0), (30, 0), (30, 6), (6, 6), (6, 24), (0, 24)))
"""A zone along two sides of a roof."""


def corners(shape: Polygon) -> int:
    return len(shape.exterior.coords) - 1


def star(seed: int) -> Polygon:
    """Return an outline of many corners about a point, with deep bays."""
    rng = np.random.default_rng(seed)
    count = int(rng.integers(5, 60))
    angle = np.sort(rng.uniform(0.0, 2.0 * np.pi, count))
    reach = rng.uniform(2.0, 20.0, count)
    return Polygon(np.stack([reach * np.cos(angle), reach * np.sin(angle)], axis=1)).buffer(0.2)


@settings(max_examples=many(60), deadline=None)
@given(seed=st.integers(0, 100_000), clockwise=st.booleans())
def test_every_outline_holds_the_one_before_and_has_a_corner_less(
    seed: int, *, clockwise: bool
) -> None:
    outline = shapely.Polygon(star(seed).exterior)
    outline = outline.reverse() if clockwise else shapely.normalize(outline)
    found = list(fewer(outline, least=4))
    assert corners(found[-1]) <= max(4, corners(outline) // 2)
    for one, less in itertools.pairwise(found):
        assert corners(less) == corners(one) - 1
        assert less.is_valid
        assert less.buffer(1e-9).contains(one)
    areas = [one.area for one in found]
    assert areas == sorted(areas)


@pytest.mark.parametrize("turn", [0.0, 33.0])
def test_a_zone_with_a_corner_inward_gets_six_corners_and_no_more_room_than_it_needs(
    turn: float,
) -> None:
    zone = affinity.rotate(ELL, turn)
    (fence,) = fit(MultiPolygon([zone]), margin=0.2, slack=0.3)
    assert corners(fence) == 6
    assert check(fence, zone).margin == pytest.approx(0.2, abs=0.03)
    # Its hull has 1.75 times its area.
    assert fence.area / zone.area < 1.12
    assert fence.area / shapely.convex_hull(zone).area < 0.7
    # With corners for no bay, the bay is inside.
    (four,) = fit(MultiPolygon([zone]), margin=0.2, slack=0.3, corners=4)
    assert corners(four) == 4
    assert check(four, zone).holds


@settings(max_examples=many(40), deadline=None)
@given(seed=st.integers(0, 100_000), margin=st.sampled_from([0.0, 0.2, 0.5]))
def test_a_fence_about_any_zone_holds_with_its_margin_and_has_sides_one_can_chain(
    seed: int, margin: float
) -> None:
    zone = star(seed)
    (fence,) = fit(MultiPolygon([zone]), margin=margin, slack=0.3)
    assert corners(fence) <= 8
    assert check(fence, zone).holds
    assert fence.exterior.distance(zone) >= margin - 1e-6
    points = shapely.get_coordinates(fence.exterior)
    assert np.hypot(*np.diff(points, axis=0).T).min() >= LEAST_SIDE


def test_corners_of_edges_and_walls_are_made_up_for() -> None:
    """A zone cut by a jagged edge of its roof: what the edge adds, the free side gives back."""
    zone = shapely.Point(0, 0).buffer(9.0)
    steps = [(-12, -12), (12, -12), (12, 3), (8, 3), (8, 5), (4, 5), (4, 7), (-12, 7)]
    roof = Polygon(steps)
    held = MultiPolygon([zone.intersection(roof)])
    bare = fit(held, margin=0.2, slack=0.3)
    made = fit(held, margin=0.2, slack=0.3, surface=roof, walls=Walls())
    assert all(check(p, held, roof).holds for p in made)
    assert max(corners(p) for p in made) <= max(8, corners(bare[0]) + 2)
