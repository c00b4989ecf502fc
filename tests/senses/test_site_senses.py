"""One known direction for planes, bodies, mirrors, cuts and fences, in site coordinates."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
import shapely
from matplotlib.figure import Figure
from PIL import Image

from app.draw.picture import draw_picture
from core.antennas.dish import Dish
from core.exposure.fractions import Weight, split, weight
from core.exposure.raster import raster
from core.exposure.totals import exposure
from core.fences.walls import Walls, margin_of, settle
from core.limits.sets import get_set
from core.site.places import Anchor, Picture
from core.site.reflection import Reflection, ReflectionKind
from core.site.site import Antenna, Carrier, Power, Site
from core.units import SPEED_OF_LIGHT
from core.views.body import CLIMBING, POINT, STANDING, Body
from core.views.defaults import default_elevation, true_azimuth
from core.views.views import ElevationView, Height, PlanView
from core.zones.zone import zone
from support.simple_sites import FREE, isotropic

# --- views ------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("azimuth", "to"), [(0.0, (0.0, 10.0)), (90.0, (10.0, 0.0)), (180.0, (0.0, -10.0)), (270.0, (-10.0, 0.0))]
)  # fmt: skip
def test_an_elevation_runs_along_its_azimuth_clockwise_from_north(
    azimuth: float, to: tuple[float, float]
) -> None:
    view = ElevationView((3.0, 4.0), azimuth, (-20.0, 20.0), (0.0, 10.0))
    (point,) = view.to_site(Site(name="s", antennas=()), 10.0, 7.0)
    assert point == pytest.approx((3.0 + to[0], 4.0 + to[1], 7.0))
    assert view.to_view(np.array([point]))[0] == pytest.approx((10.0, 7.0))


def test_an_elevation_asked_for_by_a_true_azimuth_follows_a_turned_grid() -> None:
    """The y axis points east: an elevation to the true east runs along +y, one to the true north along -x."""
    site = Site(
        name="s", antennas=(isotropic("a", 98e6, 10.0),),
        anchor=Anchor(latitude=50.0, longitude=10.0, grid_north=90.0), extent=(-20, -20, 20, 20),
    )  # fmt: skip
    east = default_elevation(site, 90.0)
    assert east.to_site(site, 10.0, 0.0)[0] == pytest.approx((0.0, 10.0, 0.0), abs=1e-9)
    assert true_azimuth(site, east) == pytest.approx(90.0)
    north = default_elevation(site, 0.0)
    assert north.to_site(site, 10.0, 0.0)[0] == pytest.approx((-10.0, 0.0, 0.0), abs=1e-9)


def test_a_raster_has_west_first_and_south_first() -> None:
    """A source in the north-east corner lights the last row and the last column."""
    site = Site(name="s", antennas=(isotropic("a", 98e6, 10.0, (8.0, 8.0, 0.0)),), reflection=FREE)
    picture = raster(site, PlanView((-10.0, -10.0, 10.0, 10.0), Height(0.0), POINT), (20, 20))
    assert picture.public[18, 18] > 20.0 * picture.public[1, 1]
    assert picture.public[18, 10] > 2.0 * picture.public[1, 10]
    assert picture.public[10, 18] > 2.0 * picture.public[10, 1]


def test_a_picture_turns_clockwise(tmp_path: Path) -> None:
    """A picture whose right end is dark, turned by 90°: the dark end points south."""
    figure = Figure()
    axes = figure.subplots()
    axes.set_xlim(-10.0, 10.0)
    axes.set_ylim(-10.0, 10.0)
    Image.new("RGB", (40, 10)).save(tmp_path / "p.png")
    picture = Picture(file="p.png", metres_per_pixel=0.1, origin=(1.0, 2.0), rotation=90.0)
    artist = draw_picture(axes, Site(name="s", antennas=(), picture=picture), tmp_path / "p.png")
    assert artist is not None
    to_metres = artist.get_transform() - axes.transData
    # 4 m along the picture's own x from its lower left corner.
    assert to_metres.transform((4.0, 0.0)) == pytest.approx((1.0, 2.0 - 4.0))
    assert to_metres.transform((0.0, 1.0)) == pytest.approx((1.0 + 1.0, 2.0))


# --- the mirror --------------------------------------------------------------------------------------------


def looking_down(plane: float) -> Site:
    """A dish 10 m up that looks straight down on a metal plane."""
    antenna = Antenna(
        name="d", kind=Dish(diameter=0.6), position=(0.0, 0.0, 10.0), tilt=90.0,
        carriers=(Carrier(name="c", frequency=6e9, power=Power(transmitter=10.0)),),
    )  # fmt: skip
    metal = Reflection(ReflectionKind.TWO_RAY, conductivity=1e7, plane=plane)
    return Site(name="s", antennas=(antenna,), reflection=metal)


ABOVE = np.array([[0.0, 0.0, 12.0]])


def test_the_mirror_is_where_its_plane_is() -> None:
    """Two metres above the dish the beam comes back from the plane at 5 m after 5 + 7 = 12 m of way, and from one
    at -5 m after 15 + 17 = 32 m. On the axis the field is that of the free beam at that distance."""
    for plane, way in ((5.0, 12.0), (-5.0, 32.0)):
        free = replace(looking_down(plane), reflection=FREE)
        behind, beam = exposure(free, np.array([*ABOVE, (0.0, 0.0, 10.0 - way)])).public.total
        shown = exposure(looking_down(plane), ABOVE).public.total[0]
        assert shown == pytest.approx((np.sqrt(behind) + np.sqrt(beam)) ** 2, rel=0.02)


def test_the_mirror_is_at_the_same_height_in_rasters_and_zones() -> None:
    plan = PlanView((-1.0, -1.0, 1.0, 1.0), Height(12.0), POINT)
    for plane in (5.0, -5.0):
        site = looking_down(plane)
        at = float(exposure(site, ABOVE).public.total[0])
        middle = raster(site, plan, (3, 3)).public[1, 1]
        assert middle == pytest.approx(at, rel=1e-3)
        over = zone(site, 0.9 * at, "public", plan).region
        assert over.contains(shapely.Point(0.0, 0.0))
        assert not zone(site, 1.1 * at, "public", plan).region.contains(shapely.Point(0.0, 0.0))


# --- bodies --------------------------------------------------------------------------------------------------


def ball(height: float, radius: float) -> Site:
    """A source whose occupational limit lies on a ball."""
    # A worst-case source with full reflection: S = EIRP/(π d²) (1 + 1/x² + 1/x⁴), x = 2π d/λ; 10 W/m² for workers at
    # 98 MHz.
    x = 2.0 * np.pi * radius * 98e6 / SPEED_OF_LIGHT
    eirp = 10.0 * np.pi * radius**2 / (1.0 + x**-2 + x**-4)
    return Site(
        name="s", antennas=(isotropic("a", 98e6, eirp, (0.0, 0.0, height)),),
        reflection=FREE,
    )  # fmt: skip


@pytest.mark.parametrize(
    ("body", "low", "high"), [(POINT, -3.0, 3.0), (STANDING, -5.0, 3.0), (CLIMBING, -4.0, 4.0)]
)
def test_a_body_on_an_elevation_reaches_up_from_its_feet_or_both_ways_from_its_middle(
    body: Body, low: float, high: float
) -> None:
    """A ball of 3 m about a source 20 m up. Feet 4.9 m below it are over (the head is in the ball), feet 3.1 m above it
    are not; a climber is over from 4 m below to 4 m above."""
    site = ball(20.0, 3.0)
    view = ElevationView((0.0, 0.0), 90.0, (-8.0, 8.0), (8.0, 32.0), body)
    region = zone(site, 1.0, "occupational", view).region
    _, v0, _, v1 = region.bounds
    assert v0 == pytest.approx(20.0 + low, abs=0.05)
    assert v1 == pytest.approx(20.0 + high, abs=0.05)
    picture = raster(site, view, (96, 64))
    rows = np.linspace(8.0, 32.0, len(picture.occupational) + 1)
    rows = 0.5 * (rows[1:] + rows[:-1])
    over = rows[(picture.occupational >= 1.0).any(axis=1)]
    assert over.min() == pytest.approx(20.0 + low, abs=0.4)
    assert over.max() == pytest.approx(20.0 + high, abs=0.4)


def test_an_unsymmetric_body_on_an_elevation_raster_is_not_turned_over() -> None:
    """From 0.5 m below to 2 m above: over from 5 m below the source to 3.5 m above it."""
    site = ball(20.0, 3.0)
    body = Body((-0.5, 0.0, 0.5, 1.0, 1.5, 2.0))
    view = ElevationView((0.0, 0.0), 0.0, (-6.0, 6.0), (10.0, 30.0), body)
    picture = raster(site, view, (80, 48))
    edges = np.linspace(10.0, 30.0, len(picture.occupational) + 1)
    rows = 0.5 * (edges[1:] + edges[:-1])
    over = rows[(picture.occupational >= 1.0).any(axis=1)]
    assert over.min() == pytest.approx(15.0, abs=0.3)
    assert over.max() == pytest.approx(23.5, abs=0.3)


def test_a_standing_body_on_a_plan_reaches_up() -> None:
    """A source 4 m above the datum with a ball of 3 m: heads at 2 m are 2 m below it, so people there are over out to
    √(9 - 4) m; nobody's feet are."""
    site = ball(4.0, 3.0)
    plan = PlanView((-8.0, -8.0, 8.0, 8.0), Height(0.0), STANDING)
    region = zone(site, 1.0, "occupational", plan).region
    assert region.bounds[2] == pytest.approx(np.sqrt(5.0), abs=0.05)
    assert zone(site, 1.0, "occupational", replace(plan, body=POINT)).region.is_empty


# --- which field counts ---------------------------------------------------------------------------------------


def test_where_only_power_density_is_limited_the_larger_field_counts() -> None:
    """10 W/m² allowed. E of 61.4 V/m is 10 W/m² in a plane wave (377 Ω), H of 0.326 A/m is 40 W/m²: 400 %."""
    w = Weight(density=1.0 / 10.0)
    for e, h, most in (
        (61.4, 0.326, 4.0),
        (122.8, 0.163, 4.0),
        (61.4, 0.163, 1.0),
        (6.14, 0.163, 1.0),
    ):
        both = split(np.array([e * e]), np.array([h * h]), np.zeros(1, bool), w)
        for part in both:
            assert part[0] == pytest.approx(most, rel=5e-3)


def test_a_magnetic_limit_is_not_read_as_an_electric_one() -> None:
    """FCC occupational, 98 MHz: 61.4 V/m and 0.163 A/m (47 CFR 1.1310, table 1). Twice the H alone is 400 % of the
    magnetic total and leaves the electric one at 0."""
    limits = get_set("FCC")
    table = next(t for t in limits.of("occupational") if t.at(98e6) is not None)
    w = weight(table.at(98e6), table, limits, 98e6)
    electric, magnetic = split(np.zeros(1), np.array([(2 * 0.163) ** 2]), np.zeros(1, bool), w)
    assert electric[0] == 0.0
    assert magnetic[0] == pytest.approx(4.0, rel=2e-3)
    electric, magnetic = split(np.array([(2 * 61.4) ** 2]), np.zeros(1), np.zeros(1, bool), w)
    assert magnetic[0] == 0.0
    assert electric[0] == pytest.approx(4.0, rel=2e-3)


# --- fences -----------------------------------------------------------------------------------------------------


def test_a_fence_that_goes_round_a_thin_wall_keeps_its_margin() -> None:
    """A solid 0.1 m thick stands 0.2 m from the zone. Round its far side a chain would hang 0.3 m from the zone,
    less than the margin of 0.5 m: the fence must not follow it there."""
    region = shapely.MultiPolygon([shapely.box(0.0, 0.0, 4.0, 4.0)])
    thin = shapely.box(4.2, -3.0, 4.3, 7.0)
    outline = shapely.box(-0.5, -0.5, 4.5, 4.5)
    for made in settle([outline], region, margin=0.5, walls=Walls(solids=(thin,))):
        assert margin_of(made, region) >= 0.5 - 2e-4
    ground = shapely.box(-20.0, -20.0, 20.0, 20.0)
    for made in settle([outline], region, margin=0.5, surface=ground, walls=Walls(solids=(thin,))):
        assert margin_of(made, region, ground) >= 0.5 - 2e-4
