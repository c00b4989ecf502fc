"""Zones of a site, not of a picture: each case is one in which a zone once ended where the danger did not."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely

from core.antennas.wire import HfDipole
from core.arrays import Bools
from core.exposure.totals import exposure
from core.proof import reach as reach_module
from core.proof.assess import Assessor, Plane
from core.proof.enclosure import enclosure
from core.proof.search import Outcome, search, shape_of
from core.proof.tolerance import Ceiling, Fineness, Tolerance
from core.proof.undecided import undecided
from core.reading.reading import read
from core.shapes import only_areas
from core.site.places import Ladder, Surface
from core.site.site import Antenna, Carrier, Power, Site
from core.views.body import POINT, STANDING, Body
from core.views.defaults import default_elevation, default_plan
from core.views.views import ON_SURFACE, ElevationView, Height, PlanView
from core.zones.extent import open_sides, unknown_ground, whole_view
from core.zones.ladders import ladder_zone
from core.zones.site_zones import site_zone, site_zones
from core.zones.zone import zone
from support.layouts import layout, rectangle
from support.outside import throw
from support.simple_sites import FREE, ground, isotropic

COARSE = Tolerance(percent=2.0, metres=0.05)


def site(
    *surfaces: Surface,
    antennas: tuple[Antenna, ...] = (),
    extent: tuple[float, float, float, float] | None = None,
) -> Site:
    return Site(
        name="s", antennas=antennas, surfaces=surfaces, reflection=FREE, extent=extent, limit_set="FCC"
    )  # fmt: skip


def source(height: float = 12.0, eirp: float = 4000.0, x: float = 0.0) -> Antenna:
    return isotropic("source", 900e6, eirp, (x, 0.0, height))


def reached(one: Site, tier: str, height: float) -> float:
    """How far an isotropic source is over its limit at a height: its fraction falls with the square."""
    z = one.antennas[0].position[2]
    fraction = float(exposure(one, np.array([[0.0, 0.0, z + 10.0]])).of(tier).total[0])
    away2 = fraction * 100.0 - (height - z) ** 2
    return math.sqrt(away2) if away2 > 0 else 0.0


def test_a_zone_goes_past_the_frame_and_says_so() -> None:
    one = site(ground(), antennas=(source(3.0),), extent=(-4.0, -4.0, 4.0, 4.0))
    view = PlanView((-4.0, -4.0, 4.0, 4.0), ON_SURFACE, POINT)
    found = site_zone(one, 1.0, "public", view, COARSE)
    radius = reached(one, "public", 0.0)
    assert radius > 8.0
    assert found.area == pytest.approx(math.pi * radius**2, rel=0.03)
    assert shapely.Point(0, 0).buffer(0.999 * radius, 64).within(found.region)
    assert found.open_sides == ()
    said = " ".join(site_zones(one, view, COARSE).notes)
    assert "goes on beyond the picture all around" in said


def test_a_region_that_was_asked_for_is_open_where_the_danger_goes_on() -> None:
    one = site(ground(), antennas=(source(3.0),))
    radius = reached(one, "public", 0.0)
    view = PlanView((-200.0, -200.0, 2.0, 200.0), ON_SURFACE, POINT)
    found = site_zones(one, view, COARSE, within=True)
    assert found.zones[0][1].open_sides == ("east",)
    assert found.zones[0][1].region.bounds[2] <= 2.0
    assert any("OPEN" in n and "to the east" in n for n in found.notes)
    # A piece that does not touch the border is open as well.
    far = PlanView((radius + 5.0, -5.0, radius + 9.0, 5.0), ON_SURFACE, POINT)
    assert "west" in open_sides(one, 1.0, "public", far)
    assert open_sides(one, 1.0, "public", default_plan(site(ground(20.0)))) == ()


@pytest.mark.parametrize("azimuth", [0.0, 70.0])
def test_an_elevation_goes_past_its_frame_but_not_into_the_ground(azimuth: float) -> None:
    one = site(ground(), antennas=(source(30.0),))
    view = ElevationView((0.0, 0.0), azimuth, (-3.0, 3.0), (-1.0, 31.0), POINT)
    found = site_zone(one, 1.0, "public", view, COARSE)
    radius = reached(one, "public", 30.0)
    assert found.region.bounds[2] == pytest.approx(radius, rel=0.02)
    assert found.region.bounds[3] == pytest.approx(30.0 + radius, rel=0.02)
    assert found.view.bounds[1] == -1.0
    bare = site(antennas=(source(30.0),))
    assert site_zone(bare, 1.0, "public", view, COARSE).region.bounds[1] == pytest.approx(
        30.0 - radius, rel=0.02
    )


def test_the_view_holds_everything_at_any_power() -> None:
    """Ten thousand places far outside of the view that is searched: none is over."""
    rng = np.random.default_rng(3)
    for eirp in (1.0, 1e3, 1e6, 1e9):
        one = site(ground(), antennas=(source(5.0, eirp, x=40.0),))
        searched = whole_view(one, 1.0, "public", PlanView((0, 0, 1, 1), ON_SURFACE, STANDING)).view
        west, south, east, north = searched.bounds
        away = 10.0 ** rng.uniform(-2, 4.9, 4000)
        turn = rng.uniform(0, 2 * np.pi, 4000)
        xy = np.column_stack([40.0 + away * np.cos(turn), away * np.sin(turn)])
        out = (xy[:, 0] < west) | (xy[:, 0] > east) | (xy[:, 1] < south) | (xy[:, 1] > north)
        points = np.column_stack([xy[out], rng.uniform(0, 2, out.sum())])
        assert exposure(one, points).public.total.max(initial=0.0) <= 1.0


def test_a_plan_at_a_height_is_not_clipped_to_roofs() -> None:
    roof = Surface(name="Roof", kind="roof", height=9.0, outline=rectangle(0, 0, 4, 4))
    one = site(roof, antennas=(source(12.0),))
    view = PlanView((-3.0, -3.0, 3.0, 3.0), Height(12.0), POINT)
    found = site_zone(one, 1.0, "public", view, COARSE)
    assert found.area == pytest.approx(math.pi * reached(one, "public", 12.0) ** 2, rel=0.03)
    assert found.parts == ()


def test_ground_that_nobody_drew_is_unknown_and_counts_at_the_datum() -> None:
    platform = Surface(name="Rest", kind="platform", height=9.0, outline=rectangle(0, 0, 2, 2))
    one = site(platform, antennas=(source(10.0, 9000.0),))
    found = site_zones(one, default_plan(one), COARSE)
    public = found.zones[0][1]
    radius = reached(one, "public", 2.0)
    assert {p.floor.is_drawn for p in public.parts} == {True, False}
    assert public.undrawn.area == pytest.approx(math.pi * radius**2 - 4.0, rel=0.03)
    assert any("no surface is drawn, counted as ground at the datum" in n for n in found.notes)
    assert any(n.startswith("UNKNOWN") and "all around" in n for n in found.notes)
    assert unknown_ground(one, 1.0, "public").contains(shapely.Point(radius, 0.0))
    wide = site(platform, ground(300.0), antennas=one.antennas)
    assert site_zones(wide, default_plan(wide), COARSE).unknown == ()
    # Drawn to the west only: the other sides are unknown.
    half = Surface(
        name="Half", kind="ground", height=0.0, outline=((-300, -300), (0, -300), (0, 300), (-300, 300))
    )  # fmt: skip
    west = site(platform, half, antennas=one.antennas)
    assert site_zones(west, default_plan(west), COARSE).unknown == ("south", "east", "north")


def test_unknown_ground_may_be_as_high_as_the_antennas() -> None:
    """At the datum nothing is over; on a neighbour's roof nobody drew somebody could be."""
    platform = Surface(name="Rest", kind="platform", height=29.0, outline=rectangle(0, 0, 2, 2))
    one = site(platform, antennas=(source(30.5, 1000.0),))
    found = site_zones(one, default_plan(one), COARSE)
    assert found.zones[0][1].undrawn.area == 0.0
    assert found.unknown == ("west", "south", "east", "north")
    assert unknown_ground(one, 1.0, "public").bounds[2] > reached(one, "public", 30.5)


def test_a_climber_on_a_ladder_is_over_from_a_metre_below_to_a_metre_above() -> None:
    ladder = Ladder(name="L", points=((0.0, 0.0, 0.0), (0.0, 0.0, 40.0)))
    one = site(ground(), antennas=(source(20.0, 200.0),))
    radius = reached(one, "public", 20.0)
    (only,) = ladder_zone(one, ladder, 1.0, "public").intervals
    assert only.low == pytest.approx(19.0 - radius, rel=0.01)
    assert only.high == pytest.approx(21.0 + radius, rel=0.01)
    lean = Ladder(name="L", points=((0.0, 0.0, 0.0), (0.4, 0.0, 40.0)))
    (leaning,) = ladder_zone(one, lean, 1.0, "public").intervals
    assert leaning.low == pytest.approx(only.low, abs=0.05)
    assert leaning.high == pytest.approx(only.high, abs=0.05)


def test_the_surface_below_a_canopy_has_its_zone() -> None:
    canopy = Surface(name="Canopy", kind="platform", height=9.0, outline=rectangle(0, 0, 30, 30))
    one = site(ground(50.0, name="Street"), canopy, antennas=(source(2.5, 300.0),))
    found = site_zone(one, 1.0, "public", default_plan(one), COARSE)
    assert [p.floor.names for p in found.parts if p.region.area] == [("Street",)]
    assert found.hidden.area == pytest.approx(found.area)
    assert read(one, (0.5, 0.0, 0.0), STANDING).public.total > 1.0
    # And the other way about: what is over on the canopy is seen.
    above = site(ground(50.0), canopy, antennas=(source(11.0, 300.0),))
    shown = site_zone(above, 1.0, "public", default_plan(above), COARSE)
    assert [p.floor.names for p in shown.parts if p.region.area] == [("Canopy",)]
    assert shown.hidden.area == 0.0


def test_every_height_of_a_body_counts() -> None:
    """A beam of 20 cm across a chest, between any two of nine heights."""
    for up in (0.11, 1.13, 1.37, 1.62):
        one = site(ground(), antennas=(source(up, 0.02),))
        radius = reached(one, "public", up)
        assert 0.01 < radius < 0.12
        view = PlanView((-1.0, -1.0, 1.0, 1.0), ON_SURFACE, STANDING)
        found = site_zone(one, 1.0, "public", view)
        disc = shapely.Point(0, 0).buffer(0.999 * radius, 64)
        assert disc.within(found.region)
        assert found.region.bounds[2] < radius + 0.1


def test_a_climber_is_over_at_every_height_that_reaches_in() -> None:
    one = site(ground(), antennas=(source(20.0, 0.5),))
    radius = reached(one, "public", 20.0)
    view = ElevationView((0.0, 0.0), 0.0, (-1.0, 1.0), (15.0, 25.0), Body((-1.0, 0.0, 1.0)))
    found = site_zone(one, 1.0, "public", view)
    # One piece from a metre below to a metre above, not three.
    assert len(found.region.geoms) == 1
    assert found.region.bounds[1] == pytest.approx(19.0 - radius, abs=0.03)
    assert found.region.bounds[3] == pytest.approx(21.0 + radius, abs=0.03)


def test_no_place_outside_is_over_on_any_floor() -> None:
    """A short run of tests/bench/outside.py: up to ten frames away, at heights to the centimetre."""
    count = 0
    for seed in (1005, 1011):
        one = layout(seed)
        found = site_zone(one, 1.0, "public", default_plan(one), COARSE)
        thrown = throw(one, found, "public", 1.0, 4000, seed)
        assert thrown.over == 0, thrown
        count += thrown.count
    assert count > 4_000


def test_there_are_no_stripes_along_the_ground_of_a_model() -> None:
    """The field of a wire over ground has a corner at the ground; cells across it were never decided."""
    wire = Antenna(
        name="wire", kind=HfDipole(length=19.0, height=7.0), position=(0.0, 0.0, 0.0),
        carriers=(Carrier(name="c", frequency=7.1e6, power=Power(transmitter=300.0)),),
    )  # fmt: skip
    one = site(ground(60.0), antennas=(wire,), extent=(-20.0, -20.0, 20.0, 20.0))
    found = site_zone(one, 1.0, "public", default_elevation(one))
    assert found.area > 10.0
    assert found.undecided.area == 0.0
    assert len(found.region.geoms) == 1


def test_a_piece_in_which_nothing_was_seen_is_undecided() -> None:
    """A ceiling leaves whole cells: where no field near the threshold was found, they are no edge of anything."""
    one = site(ground(60.0), antennas=(source(3.0),))
    view = PlanView((-60.0, -60.0, 60.0, 60.0), ON_SURFACE, POINT)
    whole = zone(one, 1.0, "public", view)
    assert whole.undecided.is_empty
    cells = shapely.box(20.0, 20.0, 20.01, 40.0)
    outcome, fineness = _searched(one, view)
    both = only_areas(shapely.union_all([whole.region, cells]))
    assert undecided(outcome, fineness, both).equals(shapely.MultiPolygon([cells]))
    # A search that was stopped at once has seen nothing.
    early, _ = _searched(one, view, Ceiling(cells=1))
    everything = shape_of(early, fineness.proof)
    assert undecided(early, fineness, everything).area == everything.area > 0.0


def _searched(
    one: Site, view: PlanView, ceiling: Ceiling | None = None
) -> tuple[Outcome, Fineness]:
    fineness = Tolerance().fineness(1.0)
    plane = Plane(np.zeros(3), np.eye(3)[:2], np.zeros(1), np.zeros(1))
    west, south, east, north = view.region
    box = np.array([west, south]), np.array([east, north])
    return search(
        enclosure(one, "public", POINT), plane, box, fineness, ceiling or Ceiling()
    ), fineness


def test_the_reach_of_an_absurd_site_is_found_in_a_few_thousand_cells(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """A surface at -90 km: layers of kilometres, in which cells of a metre would decide nothing."""
    looked: list[int] = []
    real = reach_module._may_exceed

    def counted(at: Assessor, level: int, cells: reach_module._Cells, threshold: float) -> Bools:
        looked.append(len(cells.index))
        return real(at, level, cells, threshold)

    monkeypatch.setattr(reach_module, "_may_exceed", counted)
    deep = Surface(name="Deep", kind="ground", height=-90_000.0, outline=rectangle(0, 0, 9, 9))
    one = site(deep, antennas=(source(3.0),))
    assert unknown_ground(one, 1.0, "public").area > 0.0
    whole_view(one, 1.0, "public", default_plan(one))
    assert sum(looked) < 60_000
