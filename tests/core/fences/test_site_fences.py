"""Fences of a site: they hold where people walk, not on paper; each case is one in which a check once lied."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely

from core.exposure.totals import exposure
from core.fences.around import MARGIN
from core.fences.fence import Check, Leak, as_fences, check_stops, leak
from core.fences.site_fences import (
    Fit,
    chain,
    check_plan,
    check_site,
    fence_view,
    fit_ladders,
    fit_plan,
)
from core.proof.tolerance import Tolerance
from core.site.places import AccessPoint, Fence, Ladder, Structure, Surface
from core.site.site import Site
from core.site.terraces import terraces
from core.zones.ladders import Interval
from core.zones.site_zones import site_zone
from support.effort import many
from support.fenced import over_outside
from support.layouts import layout, rectangle
from support.simple_sites import FREE, ground, isotropic

COARSE = Tolerance(percent=2.0, metres=0.05)


def roofs(
    step: float, *more: Surface, structures: tuple[Structure, ...] = (), eirp: float = 250.0
) -> Site:
    """Two roofs side by side at 10 m and ``step`` higher, an antenna near their common edge."""
    one = Surface(
        name="A", kind="roof", height=10.0, outline=((-30, -30), (0, -30), (0, 30), (-30, 30))
    )
    two = Surface(
        name="B", kind="roof", height=10.0 + step, outline=((0, -30), (30, -30), (30, 30), (0, 30))
    )
    antenna = isotropic("source", 900e6, eirp, (-2.0, 0.0, 11.5))
    return Site(
        name="roofs", antennas=(antenna,), surfaces=(one, two, *more), structures=structures, reflection=FREE,
        limit_set="FCC",
    )  # fmt: skip


def fitted(site: Site, settings: Fit | None = None) -> tuple[tuple[Fence, ...], dict[str, Check]]:
    found = site_zone(site, 1.0, "public", fence_view(site), COARSE)
    drop = settings.drop if settings else 1.0
    fences = fit_plan(site, found, settings)
    assert over_outside(site, found, fences, "public", 1.0, 3000, 1) == []
    return fences, check_plan(site, fences, found, drop)


@pytest.mark.parametrize(
    ("step", "joined"), [(0.15, True), (-0.15, True), (0.9, True), (1.2, False), (-3.0, False)]
)
def test_a_step_is_no_edge(step: float, joined: bool) -> None:
    site = roofs(step)
    fences, checks = fitted(site)
    assert all(c.holds for c in checks.values())
    both = [shapely.Polygon(f.outline) for f in fences]
    across = [p for p in both if p.bounds[0] < -0.5 and p.bounds[2] > 0.5]
    assert bool(across) == joined
    # A fence that ends at the step leaks over it, if it is one that people step over.
    half = as_fences([shapely.box(-12, -12, 0, 12)], "public", 1.0, "half")
    found = site_zone(site, 1.0, "public", fence_view(site), COARSE)
    on_b = shapely.box(0.1, -30, 30, 30).intersection(found.region).area > 0.1
    assert on_b
    assert not check_plan(site, half, found)["half 1"].holds
    assert len(terraces(site, (-50, -50, 50, 50))) == (2 if joined else 3)


def test_what_is_an_edge_is_a_setting() -> None:
    site = roofs(1.2)
    fences, checks = fitted(site, Fit(drop=1.5))
    assert all(c.holds for c in checks.values())
    assert any(
        shapely.Polygon(f.outline).bounds[2] > 0.5 and shapely.Polygon(f.outline).bounds[0] < -0.5
        for f in fences
    )


def test_ground_goes_on_where_the_drawing_ends() -> None:
    """A fence on the border of what is drawn is a fence across open ground."""
    small = Surface(name="Yard", kind="ground", height=0.0, outline=rectangle(0, 0, 6, 6))
    site = Site(
        name="yard", antennas=(isotropic("source", 900e6, 4000.0, (0.0, 0.0, 2.0)),), surfaces=(small,),
        reflection=FREE, limit_set="FCC", extent=(-3.0, -3.0, 3.0, 3.0),
    )  # fmt: skip
    fences, checks = fitted(site)
    (only,) = fences
    assert checks[only.name].holds
    assert checks[only.name].margin == pytest.approx(MARGIN, abs=0.02)
    (border,) = as_fences([shapely.box(-3, -3, 3, 3)], "public", 1.0, "border")
    held = check_site(Site(**{**_fields(site), "fences": (border,)}))["border 1"]
    radius = float(np.sqrt(shapely.Polygon(only.outline).area / math.pi))
    assert not held.holds
    assert held.leaks[0].distance > 0.5 * (radius - 3.0)


@pytest.mark.parametrize("height", [0.0, 5.0, -3.0])
def test_drawn_ground_and_what_nobody_drew_are_one_terrace(height: float) -> None:
    yard = Surface(name="Yard", kind="ground", height=height, outline=rectangle(0, 0, 6, 6))
    roof = Surface(name="Roof", kind="roof", height=5.0, outline=rectangle(0, 0, 6, 6))
    assert len(terraces(Site(name="s", antennas=(), surfaces=(yard,)), (-9, -9, 9, 9))) == 1
    assert len(terraces(Site(name="s", antennas=(), surfaces=(roof,)), (-9, -9, 9, 9))) == 2


def _fields(site: Site) -> dict[str, object]:
    return {name: getattr(site, name) for name in site.__slots__}


def test_a_railing_stops_people_and_no_waves() -> None:
    line = ((-6.0, -30.0), (-6.0, 30.0))
    railing = Structure(name="Railing", kind="railing", outline=line, base=10.0, top=11.1)
    site, bare = roofs(5.0, structures=(railing,), eirp=120.0), roofs(5.0, eirp=120.0)
    at = np.array([[-8.0, 0.0, 11.0]])
    assert exposure(site, at).public.total[0] == exposure(bare, at).public.total[0]
    fences, _ = fitted(site)
    most = max(fences, key=lambda f: shapely.Polygon(f.outline).area)
    free, along = chain(bare, most), chain(site, most)
    touching = (
        shapely.LineString(line)
        .intersection(shapely.Polygon(most.outline).boundary.buffer(2e-3))
        .length
    )
    assert free.length - along.length == pytest.approx(touching, abs=0.05)


def test_a_chain_is_counted_and_a_way_in_that_it_shuts_is_named() -> None:
    site = roofs(5.0)
    gate = AccessPoint(name="Gate", kind="gate", position=(-20.0, 0.0, 10.0), public=True)
    staff = AccessPoint(name="Hatch", kind="hatch", position=(-21.0, 0.0, 10.0), public=False)
    site = Site(**{**_fields(site), "access_points": (gate, staff)})
    (fence,) = as_fences([shapely.box(-25, -5, -15, 5)], "public", 1.0, "f")
    found = chain(site, fence)
    assert found.length == pytest.approx(40.0)
    assert found.posts == 16
    assert found.shut_in == ("Gate",)
    assert found.words() == "40.0 m of chain on 16 posts; SHUTS IN Gate, open to the public"
    (edge,) = as_fences([shapely.box(-30, -5, -20, 5)], "public", 1.0, "f")
    assert chain(site, edge).length == pytest.approx(30.0, abs=0.01)
    assert chain(site, edge).posts == 13
    assert "131.2 ft" in found.words(feet=True)


def test_fences_hold_straight_after_they_are_fitted() -> None:
    for seed in (3, 11, 14):
        fences, checks = fitted(layout(seed))
        assert fences
        assert all(c.holds for c in checks.values()), {k: c.words() for k, c in checks.items()}


def test_a_leak_is_as_far_as_it_goes_from_all_fences() -> None:
    fences = shapely.MultiPolygon([shapely.box(0, 0, 10, 10), shapely.box(20, 0, 30, 10)])
    between = shapely.box(10, 4, 20, 6)
    assert leak(between, fences).distance == pytest.approx(5.0, abs=0.05)
    assert leak(between, fences).place[0] == pytest.approx(15.0, abs=0.1)
    rng = np.random.default_rng(4)
    for _ in range(many(20, least=6)):
        piece = shapely.convex_hull(shapely.MultiPoint(rng.uniform(-40, 40, (6, 2)))).difference(
            fences
        )
        for part in shapely.get_parts(piece):
            fine = shapely.points(shapely.get_coordinates(shapely.segmentize(part.exterior, 2e-3)))
            most = float(shapely.distance(fine, fences).max())
            assert leak(part, fences).distance == pytest.approx(most, rel=0.01, abs=0.01)


def test_small_lengths_are_said_in_millimetres() -> None:
    assert Check(1.0, (Leak((1.0, 2.0), 0.0004),)).words() == "LEAKS by 0.4 mm at 1.00, 2.00"
    assert Check(0.0123, ()).words() == "holds with a margin of 12.3 mm"
    assert Check(math.inf, (), holding=True).words() == "holds: edges and walls all around"
    assert Check(math.inf, ()).words() == "holds: no part of its zone is inside"
    assert not Check(1.0, (), open_sides=("east",)).holds
    assert "NOT PROVEN" in Check(1.0, (), open_sides=("east",)).words()
    assert "MAY LEAK" in Check(1.0, (Leak((1.0, 2.0), 0.4),), loose=True).words()


def test_stops_stay_on_the_ladder_and_leave_out_what_is_no_place_to_stop() -> None:
    site = Site(
        name="mast", antennas=(isotropic("source", 900e6, 300.0, (0.0, 0.3, 20.0)),), reflection=FREE,
        surfaces=(ground(),), ladders=(Ladder(name="L", points=((0.0, 0.0, 0.0), (0.0, 0.0, 21.0))),),
        limit_set="FCC",
    )  # fmt: skip
    (fence,) = fit_ladders(site, "public", 1.0, margin=0.5)
    assert fence.stops[-1][1] == 21.0
    assert fence.stops[0][0] < 18.0
    checks = check_site(Site(**{**_fields(site), "fences": (fence,)}))
    assert checks[fence.name].holds
    assert checks[fence.name].margin >= 0.5
    short = Interval(start=0.0, end=0.018, low=5.0, high=5.018)
    assert check_stops([], [short]).holds
    assert not check_stops([], [Interval(start=0.0, end=0.4, low=5.0, high=5.4)]).holds
