"""A body is a whole column: no beam is so narrow that it passes between the heights that are looked at."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from core.antennas.base import Kind
from core.antennas.beam_array import BeamArray
from core.antennas.dish import Dish
from core.antennas.generic import Generic
from core.antennas.panel import Panel, PanelBand
from core.antennas.stack import Stack
from core.exposure.raster import LayerCache, Raster, raster
from core.exposure.raster import _grid as raster_grid
from core.exposure.sources import sources
from core.exposure.totals import exposure
from core.limits.tier import TIERS
from core.site.places import Ladder, Surface
from core.site.site import Antenna, Carrier, Power, Site
from core.views.body import CLIMBING, POINT, STANDING, Body, resolved
from core.views.views import ON_SURFACE, ElevationView, PlanView
from core.zones.ladders import ladder_zone
from core.zones.zone import zone
from support.effort import many
from support.simple_sites import FREE

SQUARE = ((-9.0, -9.0), (9.0, -9.0), (9.0, 9.0), (-9.0, 9.0))


def site_with(kind: Kind, frequency: float, height: float, tilt: float = 0.0) -> Site:
    """A roof at 0 m and an antenna at x = -2 m that looks east along it."""
    carrier = Carrier(name="c", frequency=frequency, power=Power(transmitter=1.0))
    return Site(
        name="column",
        antennas=(
            Antenna(
                name="a",
                kind=kind,
                position=(-2.0, 0.0, height),
                azimuth=90.0,
                tilt=tilt,
                carriers=(carrier,),
            ),
        ),
        surfaces=(Surface(name="roof", kind="roof", height=0.0, outline=SQUARE),),
        reflection=FREE,
        extent=(-9.0, -9.0, 9.0, 9.0),
    )


def searched(site: Site, x: float, low: float, high: float) -> float:
    """Return the largest public total over a column at millimetres."""
    z = np.arange(low, high + 1e-9, 0.002)
    at = np.stack([np.full(len(z), x), np.zeros(len(z)), z], axis=1)
    return float(exposure(site, at, POINT).public.total.max())


SMALL_PANEL = Panel(
    length=0.13,
    width=0.06,
    bands=(PanelBand(low=25e9, high=27e9, elements=20, spacing=0.006, electrical_tilt=0.0),),
)


NARROW: list[tuple[Kind, float]] = [
    (Dish(diameter=0.1), 80e9),
    (Dish(diameter=0.3), 18e9),
    (Generic(entry="dish-0-6-m"), 18e9),
    (SMALL_PANEL, 26e9),
    (BeamArray(rows=8, columns=8), 28e9),
]


@settings(max_examples=many(30), deadline=None)
@given(
    st.sampled_from(NARROW),
    st.floats(0.05, 1.95),
    st.floats(-1.4, 6.0),
    st.floats(-8.0, 8.0),
)
def test_the_peak_of_a_body_is_that_of_the_whole_column(
    antenna: tuple[Kind, float], height: float, x: float, tilt: float
) -> None:
    site = site_with(*antenna, height, tilt)
    shown = float(exposure(site, np.array([[x, 0.0, 0.0]]), STANDING).public.total[0])
    assert 10.0 * np.log10(shown / searched(site, x, 0.0, 2.0)) > -0.5
    climber = float(exposure(site, np.array([[x, 0.0, 1.0]]), CLIMBING).public.total[0])
    assert climber == pytest.approx(shown, rel=1e-9)


@pytest.mark.parametrize("height", [0.62, 1.13, 1.385])
def test_reading_raster_and_zone_agree_on_a_beam_between_two_quarter_metres(height: float) -> None:
    site = site_with(Dish(diameter=0.1), 80e9, height)
    truth = searched(site, 0.5, 0.0, 2.0)
    read = float(exposure(site, np.array([[0.5, 0.0, 0.0]]), STANDING).public.total[0])
    view = PlanView((0.45, -0.05, 0.55, 0.05), ON_SURFACE, STANDING)
    drawn = float(raster(site, view, (5, 5)).public[2, 2])
    up = ElevationView((0.5, 0.0), 0.0, (-0.05, 0.05), (0.5, 1.5), CLIMBING)
    climbing = raster(site, up, (4, 5))
    middle = float(climbing.public[:, 2].max())
    for value in (read, drawn, middle):
        assert 10.0 * np.log10(value / truth) == pytest.approx(0.0, abs=0.5)
    region = zone(site, 0.8 * truth, "public", view).region
    assert region.contains(shapely.Point(0.5, 0.0))
    spans = ladder_zone(
        site, Ladder(name="l", points=((0.5, 0.0, -1.0), (0.5, 0.0, 3.0))), 0.8 * truth, "public"
    ).intervals
    (span,) = spans
    # The climber's middle is within 1 m of the beam: all of the column counts, feet and head alike.
    assert span.low == pytest.approx(height - 1.0, abs=0.06)
    assert span.high == pytest.approx(height + 1.0, abs=0.06)


def test_a_level_beam_over_all_heads_asks_for_no_more_heights() -> None:
    at = np.array([[1.0, 0.0, 0.0]])
    dish = Dish(diameter=0.1)
    assert len(exposure(site_with(dish, 80e9, 5.0), at, STANDING).body.heights) == 9
    assert len(exposure(site_with(dish, 80e9, 5.0, 40.0), at, STANDING).body.heights) > 100
    # What stands for a class is asked, not the class.
    named = Generic(entry="dish-0-6-m")
    assert len(exposure(site_with(named, 18e9, 1.0), at, STANDING).body.heights) == 17
    stick = Stack(bay="vertical-dipole", bays=2, design_frequency=450e6)
    assert len(exposure(site_with(stick, 450e6, 1.0), at, STANDING).body.heights) == 9


@given(st.floats(0.01, 5.0))
def test_a_resolved_body_keeps_its_ends_and_its_old_heights(narrowest: float) -> None:
    fine = resolved(STANDING, narrowest)
    assert fine.heights[0] == 0.0
    assert fine.heights[-1] == 2.0
    assert np.isin(np.round(STANDING.heights, 9), np.round(fine.heights, 9)).all()
    step = float(np.diff(fine.heights).max())
    assert step <= max(0.25 * narrowest, 0.25 / 16.0) * (1.0 + 1e-6)
    assert resolved(Body((0.0,)), narrowest) == Body((0.0,))


@pytest.mark.parametrize("up", [(0.2, 3.0), (-20.0, 60.0)])
@pytest.mark.parametrize("wide", [True, False])
def test_a_quick_picture_misses_no_beam(up: tuple[float, float], *, wide: bool) -> None:
    """Each emitter at the heights its own beam asks for: the narrow ones as in the full picture, the others 0.5 dB."""
    site = site_with(Dish(diameter=0.15), 23e9, 1.135)
    if wide:
        stick = Stack(bay="vertical-dipole", bays=3, design_frequency=450e6)
        power = Power(transmitter=50.0)
        other = replace(
            site.antennas[0],
            name="stick",
            kind=stick,
            position=(4.0, 1.0, 2.3),
            carriers=(Carrier(name="c", frequency=450e6, power=power),),
        )
        site = replace(site, antennas=(*site.antennas, other))
    plan = PlanView((-3.0, -3.0, 9.0, 3.0), ON_SURFACE, STANDING)
    for view in (plan, ElevationView((0.0, 0.0), 90.0, (-3.0, 9.0), up, CLIMBING)):
        cache = LayerCache()
        full, quick = (raster(site, view, (12, 25), cache, quick=q) for q in (False, True))
        assert quick.bounds == full.bounds
        np.testing.assert_array_equal(quick.reactive | full.reactive, quick.reactive)
        # A quarter of a metre from arms the field falls within a step of heights, whatever else stands there.
        u, v = np.meshgrid(*(np.linspace(a, b, n) for a, b, n in _centres(quick)))
        clear = np.hypot(u - 4.0, v - (1.0 if view is plan else 2.3)) > 1.0
        for tier in TIERS:
            low = 10.0 * np.log10(quick.of(tier) / full.of(tier))
            assert low[clear].min() > (-0.5 if wide else -1e-6)
            # Between two heights the larger counts, up to a step beyond the ends of a body.
            assert low[clear].max() < 3.0
        assert cache.computed == (3 if wide else 1)
    for emitter in site.antennas:
        alone = raster(replace(site, antennas=(emitter,)), plan, (12, 25))
        both = raster(site, plan, (12, 25), quick=True)
        for tier in TIERS:
            assert (both.of(tier) >= (1.0 - 1e-6) * alone.of(tier)).all()


def _centres(picture: Raster) -> list[tuple[float, float, int]]:
    """Return first, last and number of the cells' middles along both sides."""
    u0, v0, u1, v1 = picture.bounds
    rows, columns = picture.public.shape
    half = (u1 - u0) / columns / 2.0, (v1 - v0) / rows / 2.0
    return [(u0 + half[0], u1 - half[0], columns), (v0 + half[1], v1 - half[1], rows)]


def test_heights_of_a_quick_picture_keep_both_ends_and_say_the_larger_neighbour() -> None:
    site = site_with(Dish(diameter=0.15), 23e9, 1.135)
    grid = raster_grid(
        site, PlanView((0.0, 0.0, 1.0, 1.0), ON_SURFACE, STANDING), (2, 3), sources(site)
    )
    cells, heights, beside = grid.axes
    assert (cells, beside) == (6, 1)
    for apart in (1, 3, 5, heights, 10 * heights):
        kept = grid.heights(apart)
        assert kept[0] == 0
        assert kept[-1] == heights - 1
        assert np.diff(kept).max() <= apart
        z = grid.at(kept)[:, 2].reshape(cells, -1)
        every = grid.between(z, kept).reshape(cells, heights)
        exact = grid.points[:, 2].reshape(cells, heights)
        assert (every >= exact).all()
        np.testing.assert_array_equal(every[:, kept], exact[:, kept])
        down = -grid.between(-z, kept).reshape(cells, heights)
        assert (down <= exact).all()
