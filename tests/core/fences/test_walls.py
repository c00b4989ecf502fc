"""Fences beside walls: they keep their promise, cut no solid, and follow a wall that is near."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
import shapely
from hypothesis import example, given, settings
from hypothesis import strategies as st
from shapely import LineString, MultiPolygon, Polygon, affinity

from core.fences.around import MARGIN, fit
from core.fences.fence import check
from core.fences.site_fences import check_plan, fit_plan
from core.fences.walls import SNAP, Walls, settle, walls_at
from core.shapes import only_areas
from core.site.places import Structure, Surface
from core.site.site import Site
from core.views.defaults import default_plan
from core.zones.zone import zone
from support.effort import many
from support.simple_sites import FREE, isotropic

ROOF = shapely.box(-40, -30, 40, 30)


def rough(rng: np.random.Generator) -> MultiPolygon:
    """A zone of one to three rough pieces on the roof."""
    shapes = []
    for _ in range(rng.integers(1, 4)):
        angle = np.sort(rng.uniform(0, 2 * np.pi, 30))
        radius = rng.uniform(1.0, 9.0) * rng.uniform(0.6, 1.4, 30)
        centre = rng.uniform((-40, -30), (40, 30))
        ring = np.stack([np.cos(angle), np.sin(angle)], axis=1) * radius[:, None] + centre
        shapes.append(shapely.make_valid(Polygon(ring)))
    return only_areas(shapely.union_all(shapes).intersection(ROOF))


def obstacles(rng: np.random.Generator) -> Walls:
    """Some boxes, turned, and some straight walls."""
    boxes = []
    for _ in range(rng.integers(0, 5)):
        x, y = rng.uniform((-38, -28), (38, 28))
        box = shapely.box(x, y, x + rng.uniform(0.5, 12), y + rng.uniform(0.5, 8))
        boxes.append(affinity.rotate(box, rng.choice([0.0, rng.uniform(0, 90)])))
    lines = tuple(
        LineString(rng.uniform((-40, -30), (40, 30), (2, 2))) for _ in range(rng.integers(0, 3))
    )
    return Walls(tuple(only_areas(shapely.union_all(boxes)).geoms), lines)


@settings(max_examples=many(250), deadline=None)
@example(seed=5160, margin=0.5)
@given(seed=st.integers(0, 100_000), margin=st.sampled_from([0.0, 0.3, 0.5, 1.5]))
def test_beside_any_walls_a_fence_holds_its_zone_with_its_margin_and_cuts_no_solid(
    seed: int, margin: float
) -> None:
    rng = np.random.default_rng(seed)
    region, walls = rough(rng), obstacles(rng)
    surface = ROOF if seed % 3 else None
    fences = fit(region, margin=margin, surface=surface, walls=walls)
    assert shapely.union_all(fences).buffer(1e-6).contains(region)
    for fence in fences:
        assert fence.is_valid
        assert not fence.interiors
        assert check(fence, region.intersection(fence), surface).margin >= margin - 1e-3
        line = fence.exterior
        if surface is not None:
            line = line.difference(surface.boundary.buffer(1e-3))
        for solid in walls.solids:
            assert line.intersection(solid.buffer(-2e-3)).length < 1e-3
    for i, one in enumerate(fences):
        assert all(one.intersection(other).area < 1e-3 for other in fences[i + 1 :])


@settings(max_examples=many(60), deadline=None)
@example(seed=35036)
@given(seed=st.integers(0, 100_000))
def test_without_a_cut_solid_a_fence_steps_out_by_at_most_twice_the_snap_distance(
    seed: int,
) -> None:
    rng = np.random.default_rng(seed)
    region, walls = rough(rng), obstacles(rng)
    outlines = fit(region, surface=None)
    plain = shapely.union_all(outlines)
    outside = tuple(s for s in walls.solids if s.intersection(plain).area < 1e-9)
    # The same outlines put up beside walls: fitted there anew, one with fewer corners may be taken.
    beside = Walls(outside, walls.lines)
    walled = shapely.union_all(settle(outlines, region, margin=MARGIN, walls=beside))
    if walled.difference(plain).area > 1e-9:
        assert shapely.hausdorff_distance(walled.union(plain), plain) <= 2.0 * SNAP + 1e-3


def test_a_fence_goes_to_a_wall_within_reach_and_not_to_one_beyond() -> None:
    region = MultiPolygon([shapely.box(0, 0, 10, 4)])
    near, far = LineString([(-20, 4.9), (30, 4.9)]), LineString([(-20, 5.2), (30, 5.2)])
    (to_wall,) = fit(region, margin=0.5, slack=0.5, walls=Walls(lines=(near,)))
    assert to_wall.bounds == pytest.approx((-0.5, -0.5, 10.5, 4.9), abs=2e-3)
    assert len(to_wall.exterior.coords) - 1 == 4
    (free,) = fit(region, margin=0.5, slack=0.5, walls=Walls(lines=(far,)))
    assert free.bounds[3] == pytest.approx(4.5, abs=1e-5)


def test_a_fence_ends_at_a_wall_where_nothing_is_behind_it_but_not_nearer_than_its_margin() -> None:
    # A triangle: the fence of four corners reaches past the wall, the zone does not.
    region = MultiPolygon([Polygon([(0, 0), (12, 0), (0, 12)])])
    wall = LineString([(8.0, -30.0), (8.0, 30.0)])
    round_zone = MultiPolygon([shapely.Point(0, 0).buffer(7.0)])
    (fence,) = fit(round_zone, margin=0.5, slack=5.0, walls=Walls(lines=(wall,)))
    assert fence.bounds[2] <= 8.0 + 1e-3
    assert check(fence, round_zone).margin >= 0.5 - 1e-6
    (through,) = fit(region, margin=0.5, slack=5.0, walls=Walls(lines=(wall,)))
    assert through.contains(region)


def test_a_chain_goes_round_plant_with_zone_in_it_and_before_plant_without() -> None:
    plant = shapely.box(8, 1, 14, 3)
    reaching = MultiPolygon([shapely.box(0, 0, 9, 4)])
    (fence,) = fit(reaching, margin=0.5, slack=0.0, walls=Walls((plant,)))
    assert fence.buffer(1e-6).contains(plant)
    long = shapely.box(9.2, -10, 30, 14)
    short = MultiPolygon([shapely.Point(0, 2).buffer(8.0)])
    (before,) = fit(short, margin=0.5, slack=3.0, corners=4, walls=Walls((long,)))
    assert before.intersection(long).area < 1e-3
    assert check(before, short).margin >= 0.5 - 1e-6


def test_a_fence_a_wall_parts_is_two_fences_that_lose_nothing() -> None:
    # The roof between the two arms is a hole: one convex fence over both would be cut in two by it.
    roof = shapely.box(0, 0, 30, 20).difference(shapely.box(10, -1, 20, 21))
    region = MultiPolygon([shapely.box(8, 8, 10, 12), shapely.box(20, 8, 22, 12)])
    fences = fit(region, margin=0.5, slack=12.0, surface=roof)
    assert len(fences) == 2
    assert shapely.union_all(fences).buffer(1e-6).contains(region)


def structure(kind: str, base: float, top: float) -> Structure:
    outline = ((0.0, 0.0), (4.0, 0.0), (4.0, 3.0), (0.0, 3.0))
    return Structure(
        name=f"{kind} {base:g} {top:g}", kind=kind, outline=outline, base=base, top=top
    )


@pytest.mark.parametrize(
    ("base", "top", "stands"),
    [(16.0, 18.0, True), (0.0, 16.0, False), (16.0, 16.2, False), (18.0, 20.0, False)],
)
def test_only_what_stands_in_the_way_at_a_height_is_a_wall(
    base: float, top: float, stands: bool
) -> None:
    site = Site(name="s", antennas=(), structures=(structure("plant", base, top),))
    assert bool(walls_at(site, 16.0, ROOF).solids) == stands
    inner = shapely.box(0.5, 0.5, 3.5, 2.5)
    assert not walls_at(site, 16.0, inner).solids, "a room one stands in is no wall"


def test_a_fitted_site_fence_goes_round_the_plant_and_holds() -> None:
    square = ((-30.0, -30.0), (30.0, -30.0), (30.0, 30.0), (-30.0, 30.0))
    site = Site(
        name="s",
        antennas=(isotropic("source", 98e6, 2000.0, (2.0, 1.0, 4.0)),),
        reflection=FREE,
        surfaces=(Surface(name="yard", kind="ground", height=0.0, outline=square),),
        extent=(-28.0, -28.0, 28.0, 28.0),
    )
    found = zone(site, 1.0, "public", default_plan(site))
    west, _, _, _ = found.region.bounds
    x = west - 0.3
    plant = Structure(
        name="p", kind="plant", outline=((x - 3, -2.0), (x, -2.0), (x, 3.0), (x - 3, 3.0)),
        base=0.0, top=2.0,
    )  # fmt: skip
    walled = replace(site, structures=(plant,))
    fences = fit_plan(walled, found)
    solid = Polygon(plant.outline)
    for fence in fences:
        assert Polygon(fence.outline).exterior.intersection(solid.buffer(-2e-3)).is_empty
    checks = check_plan(walled, fences, found)
    assert all(c.holds and c.margin >= MARGIN for c in checks.values())
    bare = fit_plan(site, found)
    assert any(Polygon(f.outline).exterior.intersects(solid.buffer(-0.01)) for f in bare)
