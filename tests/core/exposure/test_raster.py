"""Rasters: same figures as readings, one layer a moved antenna, clear refusals."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from core.antennas.dish import Dish
from core.errors import InputError
from core.exposure.raster import LayerCache, raster
from core.exposure.sources import sources, whole_column
from core.exposure.totals import exposure
from core.progress import Cancelled
from core.site.reflection import Reflection, ReflectionKind
from core.site.site import Condition as C
from core.site.site import Site, State
from core.views.body import CLIMBING, POINT, STANDING, Body
from core.views.defaults import default_elevation, default_plan
from core.views.views import ElevationView, Height


@pytest.mark.parametrize("average", [False, True])
def test_a_plan_shows_what_a_reading_gives(demo: Site, average: bool) -> None:
    view = default_plan(demo, body=replace(STANDING, average=average))
    picture = raster(demo, view, (14, 17))
    exact = exposure(demo, view.points(demo, (14, 17)), view.body)
    clear = ~exact.reactive
    for tier in ("public", "occupational"):
        shown = picture.of(tier).ravel()[clear]
        # float32 phases at the far end of the map: a part in a thousand.
        np.testing.assert_allclose(shown, exact.of(tier).total[clear], rtol=4e-3)
    np.testing.assert_array_equal(picture.reactive.ravel(), exact.reactive)


@pytest.mark.parametrize("body", [CLIMBING, POINT, replace(CLIMBING, average=True)])
def test_an_elevation_shows_what_a_reading_gives(demo: Site, body: Body) -> None:
    whole = default_elevation(demo, 70.0)
    view = ElevationView(
        whole.origin, 70.0, (-12.0, 15.0), (whole.up[1] - 22.0, whole.up[1] - 6.0), body
    )
    picture = raster(demo, view, (40, 21))
    rows, columns = picture.public.shape
    u0, v0, u1, v1 = picture.bounds
    u = u0 + (np.arange(columns) + 0.5) * (u1 - u0) / columns
    v = v0 + (np.arange(rows) + 0.5) * (v1 - v0) / rows
    points = view.to_site(demo, np.tile(u, rows), np.repeat(v, columns))
    exact = exposure(demo, points, body)
    clear = ~exact.reactive & ~picture.reactive.ravel()
    assert clear.mean() > 0.8
    np.testing.assert_allclose(picture.public.ravel()[clear], exact.public.total[clear], rtol=4e-3)


@pytest.mark.parametrize("asked", [(30, 3), (97, 2), (2100, 1), (7, 5)])
@pytest.mark.parametrize("average", [False, True])
def test_a_tall_elevation_with_a_narrow_beam_shows_what_a_reading_gives(
    demo: Site, asked: tuple[int, int], average: bool
) -> None:
    """Rows several steps apart share the heights of their bodies; each cell is still a body at its own place."""
    a = demo.antennas[0]
    dish = replace(a, kind=Dish(diameter=0.15), carriers=(replace(a.carriers[0], frequency=18e9),))
    site = replace(demo, antennas=(replace(dish, position=(0.0, 0.0, 31.0), azimuth=70.0),))
    body = replace(CLIMBING, average=average)
    view = ElevationView((0.0, 0.0), 70.0, (1.0, 15.0), (-3.0, 77.0), body)
    picture = raster(site, view, asked)
    rows, columns = picture.public.shape
    assert rows >= asked[0]
    assert columns == asked[1]
    u0, v0, u1, v1 = picture.bounds
    assert (u0, v0, u1) == (1.0, -3.0, 15.0)
    assert 77.0 - 1e-6 <= v1 < 77.0 + 80.0 / rows
    u = u0 + (np.arange(columns) + 0.5) * (u1 - u0) / columns
    v = v0 + (np.arange(rows) + 0.5) * (v1 - v0) / rows
    points = view.to_site(site, np.tile(u, rows), np.repeat(v, columns))
    whole = whole_column(sources(site), body, *view.up)
    assert len(whole.heights) > 6 * len(body.heights)
    exact = exposure(site, points, whole, whole=True)
    clear = ~exact.reactive & ~picture.reactive.ravel()
    assert clear.mean() > 0.8
    np.testing.assert_allclose(picture.public.ravel()[clear], exact.public.total[clear], rtol=4e-3)


def test_moving_one_antenna_computes_its_layers_only(roof: Site) -> None:
    cache, view = LayerCache(), default_plan(roof, Height(17.5), POINT)
    raster(roof, view, (20, 20), cache)
    first = cache.computed
    assert first == sum(len(a.carriers) for a in roof.antennas)
    moved = replace(roof.antennas[0], position=(1.0, 13.0, 18.6))
    raster(replace(roof, antennas=(moved, *roof.antennas[1:])), view, (20, 20), cache)
    assert cache.computed - first == len(moved.carriers)


def test_power_state_reflection_and_limits_compute_nothing(roof: Site) -> None:
    roof = replace(roof, reflection=Reflection(ReflectionKind.GROUND))
    cache, view = LayerCache(), default_plan(roof, Height(17.5), POINT)
    base = raster(roof, view, (20, 20), cache)
    first = cache.computed
    quiet = tuple(replace(a, state=State(C.REDUCED, 50.0)) for a in roof.antennas)
    half = raster(replace(roof, antennas=quiet), view, (20, 20), cache)
    clear = ~base.reactive
    np.testing.assert_allclose(half.public[clear], base.public[clear] / 2.0, rtol=1e-5)
    free = raster(replace(roof, reflection=Reflection(ReflectionKind.NONE)), view, (20, 20), cache)
    np.testing.assert_allclose(free.public[clear], base.public[clear] / 2.56, rtol=1e-5)
    raster(replace(roof, limit_set="ICNIRP2020"), view, (20, 20), cache)
    assert cache.computed == first


def test_no_cell_is_negative_or_not_finite(demo: Site) -> None:
    for view in (default_plan(demo), default_elevation(demo, 33.0)):
        picture = raster(demo, view, (40, 40))
        for values in (picture.public, picture.occupational):
            assert np.all(np.isfinite(values))
            assert np.all(values >= 0.0)


@pytest.mark.parametrize("shape", [(25_000, 40_000), (1, 10**9), (0, 5)])
def test_an_absurd_raster_is_one_clear_error(roof: Site, shape: tuple[int, int]) -> None:
    with pytest.raises(InputError) as caught:
        raster(roof, default_plan(roof), shape)
    assert caught.value.fix


def test_a_cancelled_raster_stops_and_keeps_nothing(roof: Site) -> None:
    cache = LayerCache()
    with pytest.raises(Cancelled):
        raster(roof, default_plan(roof), (30, 30), cache, cancelled=lambda: True)
    assert cache.computed == 0


def test_the_cache_drops_the_oldest_layers(roof: Site) -> None:
    cache = LayerCache(most_bytes=60_000)
    view = default_plan(roof, Height(17.5), POINT)
    raster(roof, view, (60, 60), cache)
    assert 0 < cache._store.size <= 60_000


def test_a_site_without_antennas_is_zero_everywhere() -> None:
    picture = raster(
        Site(name="empty", antennas=()), default_plan(Site(name="empty", antennas=())), (5, 5)
    )
    assert not picture.public.any()
