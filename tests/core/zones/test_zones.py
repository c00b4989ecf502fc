"""Zones: fractions as the readings have them, shapes that hold their majorants, pieces, heights, causes."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from core.antennas.mast import Mast
from core.antennas.stack import Stack
from core.exposure.totals import exposure
from core.limits.sets import SETS
from core.proof.enclosure import enclosure
from core.proof.lattice import above, child_weights, children, cover, offsets
from core.proof.tolerance import Ceiling, Tolerance
from core.site.places import AccessPoint, Ladder, Surface
from core.site.reflection import Reflection, ReflectionKind
from core.site.site import Antenna, Carrier, Power, Site
from core.site.terraces import floors
from core.views.body import CLIMBING, POINT, STANDING
from core.views.views import ON_SURFACE, ElevationView, Height, PlanView
from core.zones.ladders import in_words, ladder_zone, rounded
from core.zones.zone import _closed, approaches, pieces_of, zone
from support.effort import many
from support.simple_sites import isotropic

FREE = Reflection(ReflectionKind.NONE)


def carrier(frequency: float, watts: float, name: str = "c") -> Carrier:
    return Carrier(name=name, frequency=frequency, power=Power(transmitter=watts))


def mixed() -> tuple[Antenna, ...]:
    """Antennas from medium wave to UHF, one with two carriers on one frequency."""
    stack = Stack(bay="vertical-dipole", bays=2, design_frequency=98e6)
    stick = Stack(bay="vertical-dipole", bays=4, design_frequency=450e6)
    return (
        Antenna(
            name="am", kind=Mast(height=60.0), position=(0, 0, 0), carriers=(carrier(1e6, 9e3),)
        ),
        Antenna(name="fm", kind=stack, position=(9, 3, 12), carriers=(carrier(98e6, 3e3),)),
        Antenna(
            name="stick",
            kind=stick,
            position=(-6, 8, 9),
            carriers=(carrier(450e6, 50.0, "one"), carrier(450e6, 80.0, "two")),
        ),
    )


def square(low: float, high: float) -> tuple[tuple[float, float], ...]:
    return ((low, low), (high, low), (high, high), (low, high))


@pytest.mark.parametrize("reflection", [FREE, Reflection(ReflectionKind.TWO_RAY)])
@pytest.mark.parametrize("tier", ["public", "occupational"])
@pytest.mark.parametrize("limit_set", SETS)
def test_fractions_add_up_to_the_totals_of_a_reading(
    limit_set: str, tier: str, reflection: Reflection
) -> None:
    site = Site(name="s", antennas=mixed(), limit_set=limit_set, reflection=reflection)
    points = np.random.default_rng(1).uniform([-30, -30, 1], [30, 30, 30], (200, 3))
    found = enclosure(site, tier, POINT)
    reading = exposure(site, points)
    total = np.zeros((len(points), len(found.totals)))
    for i, emitter in enumerate(found.radiators):
        unit = found.sources[emitter.members[0]].unit_field(points)
        total += found.fractions(np.full(len(points), i), unit.e2, unit.h2)
    usable = ~reading.reactive
    expected = reading.of(tier).total[usable]
    np.testing.assert_allclose(total.max(axis=1)[usable], expected, rtol=1e-12)


@settings(max_examples=many(200))
@given(st.lists(st.floats(0.0, 3.0), min_size=4, max_size=4))
def test_a_polygon_holds_every_place_where_the_bilinear_majorant_reaches_one(
    values: list[float],
) -> None:
    corners = np.array([[[0.0, 0.0], [1.0, 0.0], [0.0, 1.0], [1.0, 1.0]]])
    shape = above(corners, np.array([values]), 1.0)[0]
    u, v = (a.ravel() for a in np.meshgrid(np.linspace(0, 1, 41), np.linspace(0, 1, 41)))
    a, b, c, d = values
    level = a * (1 - u) * (1 - v) + b * u * (1 - v) + c * (1 - u) * v + d * u * v
    high = level >= 1.0 + 1e-9
    if not high.any():
        return
    assert shape is not None
    assert shape.buffer(1e-9).covers(shapely.MultiPoint(np.stack([u[high], v[high]], axis=1)))


def test_children_cover_their_parents_and_interpolate_their_corners() -> None:
    lattice, index = cover(np.array([0.0, -5.0]), np.array([40.0, 15.0]), 8)
    assert lattice.side == 5.0
    assert len(index) == 32
    below = children(index)
    middle = lattice.centres(below, 1).reshape(32, 4, 2).mean(axis=1)
    np.testing.assert_allclose(middle, lattice.centres(index, 0))
    weights = child_weights(2)
    np.testing.assert_allclose(weights.sum(axis=2), 1.0)
    # A linear function is met exactly at every corner of every child.
    steps = offsets(2)
    plane = 1.0 + 2.0 * steps[:, 0] - 3.0 * steps[:, 1]
    for child in range(4):
        at = 0.5 * (steps[child] + steps)
        np.testing.assert_allclose(weights[child] @ plane, 1.0 + 2.0 * at[:, 0] - 3.0 * at[:, 1])


def roof_site(**changes: object) -> Site:
    """An isotropic source 10 m over a yard, with a roof of 6 m beside and a courtyard in it."""
    roof = Surface(
        name="roof", kind="roof", height=6.0, outline=square(2.0, 12.0), holes=(square(5.0, 7.0),)
    )
    yard = Surface(name="yard", kind="ground", height=0.0, outline=square(-15.0, 15.0))
    site = Site(
        name="s",
        antennas=(isotropic("source", 900e6, 2000.0, (3.0, 3.0, 10.0)),),
        surfaces=(yard, roof),
        reflection=FREE,
    )
    return replace(site, **changes)


def radius(site: Site, tier: str, view: PlanView, at: tuple[float, float], height: float) -> float:
    """Distance in plan to which an isotropic source's zone reaches at a height below it."""
    point = np.array([[at[0], at[1], height]])
    total = float(exposure(site, point).of(tier).total[0])
    fall = 10.0 - height
    return float(np.sqrt(max(total * fall**2 - fall**2, 0.0)))


def test_each_surface_is_judged_at_its_own_height() -> None:
    site = roof_site()
    view = PlanView((-15.0, -15.0, 15.0, 15.0), ON_SURFACE, POINT)
    found = zone(site, 1.0, "public", view, Tolerance(percent=0.2, metres=0.005))
    on_roof = radius(site, "public", view, (3.0, 3.0), 6.0)
    in_yard = radius(site, "public", view, (3.0, 3.0), 0.0)
    assert on_roof > in_yard
    top, below = floors(site)
    roof = top.shape
    disc = shapely.Point(3.0, 3.0).buffer(on_roof, 256)
    small = shapely.Point(3.0, 3.0).buffer(in_yard, 256) if in_yard else shapely.Polygon()
    # The yard goes on below the roof, where it is drawn.
    expected = disc.intersection(roof).union(small.intersection(below.shape))
    assert expected.difference(found.region.buffer(1e-3)).area < 1e-9
    assert found.area == pytest.approx(expected.area, rel=0.02)
    # The courtyard is part of the yard, 6 m farther down.
    assert [f.height for f in (top, below)] == [6.0, 0.0]
    assert not roof.contains(shapely.Point(6.0, 6.0))


def test_a_surface_without_area_changes_nothing() -> None:
    flat = Surface(name="line", kind="platform", height=9.0, outline=((0, 0), (4, 0), (2, 0)))
    view = PlanView((-15.0, -15.0, 15.0, 15.0), ON_SURFACE, POINT)
    plain = roof_site()
    more = roof_site(surfaces=(*plain.surfaces, flat))
    assert zone(more, 1.0, "public", view).area == zone(plain, 1.0, "public", view).area


def test_a_standing_body_is_held_back_by_its_worst_height() -> None:
    site = roof_site()
    region = (-15.0, -15.0, 15.0, 15.0)
    standing = zone(site, 1.0, "public", PlanView(region, Height(6.0), STANDING))
    top = zone(site, 1.0, "public", PlanView(region, Height(8.0), POINT))
    assert standing.area == pytest.approx(top.area, rel=0.02)
    mean = replace(STANDING, average=True)
    averaged = zone(site, 1.0, "public", PlanView(region, Height(6.0), mean))
    feet = zone(site, 1.0, "public", PlanView(region, Height(6.0), POINT))
    assert feet.area < averaged.area < standing.area


def test_pieces_name_the_emitters_that_cause_them_and_access_points_their_distance() -> None:
    far = (isotropic("west", 900e6, 400.0, (-20.0, 0.0, 2.0)),)
    near = (isotropic("east", 900e6, 1600.0, (20.0, 0.0, 2.0)),)
    door = AccessPoint(name="door", kind="door", position=(0.0, 0.0, 0.0))
    hatch = AccessPoint(name="hatch", kind="hatch", position=(20.0, 1.0, 0.0))
    site = Site(name="s", antennas=(*far, *near), access_points=(door, hatch), reflection=FREE)
    view = PlanView((-40.0, -40.0, 40.0, 40.0), Height(2.0), POINT)
    found = zone(site, 1.0, "public", view)
    pieces = pieces_of(site, found)
    assert [p.causes[0].source for p in pieces] == ["east: only", "west: only"]
    assert pieces[0].area > pieces[1].area
    assert pieces[0].extent[0] > 0.0
    distances = {a.name: a for a in approaches(site, found)}
    assert distances["hatch"].inside
    reach = pieces[0].extent[0]
    assert distances["door"].distance == pytest.approx(min(reach, 20.0 - reach), rel=0.2)
    assert not distances["door"].inside


def test_specks_are_joined_and_tiny_holes_filled() -> None:
    plate = shapely.box(0.0, 0.0, 2.0, 2.0)
    hole = shapely.box(0.5, 0.5, 0.51, 0.51)
    room = shapely.box(1.0, 1.0, 1.5, 1.5)
    speck = shapely.box(2.01, 1.0, 2.02, 1.01)
    far = shapely.box(3.0, 0.0, 3.01, 0.01)
    found = _closed(shapely.MultiPolygon([plate - hole - room, speck, far]), 0.02)
    assert len(found.geoms) == 2
    whole = max(found.geoms, key=lambda p: p.area)
    assert len(whole.interiors) == 1
    assert whole.covers(speck)
    assert whole.covers(hole)
    assert found.covers(far)
    assert found.area == pytest.approx(4.0 - 0.25, abs=0.01)


def test_an_elevation_shows_the_same_reach_as_the_plan_through_it() -> None:
    site = roof_site(antennas=(isotropic("source", 900e6, 1000.0, (3.0, 3.0, 10.0)),))
    height = 9.0
    plan = zone(site, 1.0, "public", PlanView((-15, -15, 15, 15), Height(height), POINT))
    upright = ElevationView((3.0, 3.0), 90.0, (-18.0, 12.0), (0.0, 25.0), POINT)
    side = zone(site, 1.0, "public", upright)
    line = shapely.LineString([(-18.0, height), (12.0, height)])
    across = side.region.intersection(line).length
    width = plan.region.intersection(shapely.LineString([(-15.0, 3.0), (15.0, 3.0)])).length
    assert across == pytest.approx(width, abs=0.1)
    climbing = zone(site, 1.0, "public", replace(upright, body=CLIMBING))
    low, high = side.region.bounds[1], climbing.region.bounds[1]
    assert low - high == pytest.approx(1.0, abs=0.05)


def test_ladder_heights_are_intervals_rounded_outward() -> None:
    ladder = Ladder(name="tower", points=((4.0, 0.0, 0.0), (4.0, 0.0, 30.0)))
    site = Site(
        name="s",
        antennas=(
            isotropic("low", 900e6, 500.0, (0, 0, 8.0)),
            isotropic("top", 900e6, 500.0, (0, 0, 24.0)),
        ),
        ladders=(ladder,),
        reflection=FREE,
    )
    found = ladder_zone(site, ladder, 1.0, "public", POINT, Tolerance(percent=0.1, metres=0.002))
    assert len(found.intervals) == 2
    for interval, middle in zip(found.intervals, (8.0, 24.0), strict=True):
        assert interval.low < middle < interval.high
        ends = (
            interval.low - 0.01,
            interval.low + 0.03,
            interval.high - 0.03,
            interval.high + 0.01,
        )
        total = exposure(site, np.array([(4.0, 0.0, z) for z in ends])).public.total
        assert (total > 1.0).tolist() == [False, True, True, False]
    assert found.words.startswith("over the general population/uncontrolled limit from ")
    assert " and from " in found.words
    assert rounded(86.53, up=False) == pytest.approx(86.5)
    assert rounded(120.91, up=True) == pytest.approx(121.0)
    assert rounded(10.0, up=True, feet=True) == pytest.approx(33 * 0.3048)
    assert in_words((), "the limit") == "nowhere over the limit"


def test_slanting_ladders_and_their_bodies_are_searched_along_the_way() -> None:
    ladder = Ladder(name="ramp", points=((-9.0, 0.0, 0.0), (9.0, 0.0, 9.0), (9.0, 0.0, 9.0)))
    site = Site(
        name="s",
        antennas=(isotropic("a", 900e6, 600.0, (0.0, 2.0, 5.5)),),
        ladders=(ladder,),
        reflection=FREE,
    )
    found = ladder_zone(site, ladder, 1.0, "public")
    s = np.linspace(0.0, 1.0, 2001)[:, None]
    way = np.array([-9.0, 0.0, 0.0]) * (1 - s) + np.array([9.0, 0.0, 9.0]) * s
    over = exposure(site, way, CLIMBING).public.total > 1.0
    along = (s * np.linalg.norm([18.0, 0.0, 9.0])).ravel()
    held = np.zeros(len(along), bool)
    for interval in found.intervals:
        held |= (along >= interval.start) & (along <= interval.end)
    assert not (over & ~held).any()
    assert held.mean() < over.mean() + 0.02


def test_a_carrier_without_a_limit_leaves_the_zone_round_its_metal() -> None:
    """162 kHz is below the first row of 47 CFR 1.1310 table 1 (300 kHz): no total, but metal is metal."""
    mast = Antenna(
        name="am", kind=Mast(height=60.0), position=(0, 0, 0), carriers=(carrier(162e3, 1e3),)
    )
    site = Site(name="s", antennas=(mast,), reflection=FREE, extent=(-20.0, -20.0, 20.0, 20.0))
    found = zone(site, 1.0, "public", PlanView(site.extent, Height(1.0, True), POINT))
    trusted = mast.kind.trust(162e3)
    assert found.complete
    assert found.region.area == pytest.approx(np.pi * trusted**2, rel=0.1)
    assert found.region.contains(shapely.Point(0.0, 0.0).buffer(0.99 * trusted))


def test_a_short_ceiling_is_a_short_search_and_the_region_still_holds() -> None:
    """Many radiators on a large plan: a ceiling of a twentieth of a second is not one of ten."""
    antennas = tuple(
        Antenna(
            name=f"a{i}",
            kind=Stack(bay="circular", bays=8, design_frequency=98e6, beam_tilt=0.0),
            position=(40.0 * (i % 4), 40.0 * (i // 4), 30.0),
            carriers=(carrier(98e6 + 2e5 * i, 3e3),),
        )
        for i in range(16)
    )
    site = Site(
        name="many", antennas=antennas, reflection=FREE, extent=(-40.0, -40.0, 160.0, 160.0)
    )
    view = PlanView((-40.0, -40.0, 160.0, 160.0), Height(1.5, False), STANDING)
    found = zone(site, 1.0, "public", view, ceiling=Ceiling(seconds=1e-6))
    hurried = zone(site, 1.0, "public", view, ceiling=Ceiling(seconds=0.05))
    assert not found.complete
    assert found.evaluations == 0
    assert not hurried.complete
    # Blocks of full size would have asked for all cells of the first level at once.
    assert hurried.evaluations < 200_000
    places = np.array([[3.0, 3.0, 1.5], [83.0, 43.0, 1.5]])
    over = exposure(site, places, STANDING).public.total > 1.0
    for x, y, _ in places[over]:
        assert hurried.region.contains(shapely.Point(x, y))
        assert found.region.contains(shapely.Point(x, y))
