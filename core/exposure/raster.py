"""Rasters of percent of the limit over a plan or an elevation: one cached layer an antenna, summed.

A layer is the field for 1 W of one antenna at one frequency. Moving one antenna computes one layer;
power, state, reflection and limit set only rescale. Pictures use float32.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, replace
from itertools import count
from threading import BoundedSemaphore
from typing import Any

import numpy as np
from numpy.typing import NDArray

from core.arrays import Bools, Floats, Points
from core.caches import SHARED, Store
from core.errors import InputError
from core.exposure.fractions import split, weight
from core.exposure.sources import Source, sources, whole_column
from core.exposure.surveyed import added, raises
from core.fields.unit_field import UnitField
from core.limits.model import LimitSet, LimitTable
from core.limits.sets import get_set
from core.limits.tier import TIERS, Tier
from core.progress import Cancelled
from core.site.site import Site
from core.views.body import column
from core.views.views import ElevationView, PlanView, View, cell_centres

MOST_CELLS = 4_000_000
"""A picture with more cells than this shows nothing more and would only fill the memory."""

MOST_PLACES = 30_000_000
"""Places of all cells and heights of bodies; some 40 bytes each."""

MOST_VALUES = 100_000_000
"""Places times emitters: what is held while a picture is computed takes some 10 bytes each, 1 GB in all."""

CLIMB_STEP = 0.25
"""m between the heights of a climber's column, and so the step of an elevation's rows."""

MOST_ROWS = 2_000
"""An elevation that is taller than this many steps has rows that are several steps apart."""

_CHUNK = 32_768


@dataclass(frozen=True, slots=True)
class Raster:
    """Fractions of the limit over a view.

    ``public`` and ``occupational`` have shape (rows, columns), rows upwards; ``reactive`` marks cells
    where some antenna gives no figure. ``bounds`` is (u0, v0, u1, v1) of the outer cell edges.
    """

    view: View
    bounds: tuple[float, float, float, float]
    public: NDArray[np.float32]
    occupational: NDArray[np.float32]
    reactive: Bools

    def of(self, tier: Tier) -> NDArray[np.float32]:
        """Return the raster of a tier."""
        return self.public if tier == "public" else self.occupational


_CORES = BoundedSemaphore(os.cpu_count() or 1)
"""Of all rasters together: pieces beyond the cores are no sooner done, and keep whoever else runs Python waiting."""

_numbers = count()

_Key = tuple[Any, ...]
"""A layer's: source, heights taken, grid."""


class LayerCache:
    """Unit fields by antenna geometry and view, in the store of the whole program. Safe between threads.

    ``most_bytes`` gives it a store of its own.
    """

    def __init__(self, most_bytes: int | None = None) -> None:
        self._store = SHARED if most_bytes is None else Store(most_bytes)
        self._number = next(_numbers)
        self.computed = 0

    def get(self, key: tuple[object, ...]) -> UnitField | None:
        """Return a layer, or None."""
        layer: UnitField | None = self._store.get((self._number, key))
        return layer

    def put(self, key: tuple[object, ...], layer: UnitField) -> None:
        """Keep a layer."""
        self.computed += 1
        self._store.put((self._number, key), layer)


def raster(
    site: Site,
    view: View,
    shape: tuple[int, int],
    cache: LayerCache | None = None,
    *,
    quick: bool = False,
    cancelled: Callable[[], bool] | None = None,
    progress: Callable[[float], None] | None = None,
) -> Raster:
    """Return the raster of a view.

    Parameters
    ----------
    shape : (rows, columns)
        Wanted resolution; an elevation's rows are set by the climber's column instead, at least as fine
        as asked.
    quick : bool
        For a first look: each emitter at as many heights of a body as its own beam asks for, and between them the
        larger of both neighbours, where otherwise all are taken at the heights that the narrowest beam asks for. No
        beam is missed by it; each emitter is as exact as where it stands alone (:func:`core.views.body.resolved`).
    cancelled : callable
        Asked between pieces of work; True stops with :class:`Cancelled`.
    progress : callable
        Told the part done, 0 to 1.
    cache : LayerCache or None
        Where layers are kept.

    Raises
    ------
    InputError
        If the raster would be too large, or the site's data are inconsistent.
    """
    all_sources = sources(site)
    grid = _grid(site, view, shape, all_sources)
    _check_work(all_sources, len(grid.points))
    apart = [grid.coarser(s) if quick else 1 for s in all_sources]
    layers = _layers(all_sources, apart, grid, cache or LayerCache(), cancelled, progress)
    limit_set = get_set(site.limit_set)
    reactive: Bools = np.zeros(len(grid.points), bool)
    for source, layer in zip(all_sources, layers, strict=True):
        if layer is not None and source.power > 0 and source.is_blocked(limit_set.key):
            reactive |= layer.reactive
    flags = np.asarray(grid.fold(reactive).any(axis=0))
    tiers = [
        _surveyed(site, view, grid, tier, _total(all_sources, layers, limit_set, tier, grid, flags))
        for tier in TIERS
    ]
    return Raster(view, grid.bounds, tiers[0], tiers[1], flags)


def _surveyed(
    site: Site, view: View, grid: _Grid, tier: Tier, total: NDArray[np.float32]
) -> NDArray[np.float32]:
    """Return the totals of the models raised about readings that are above them."""
    all_raises = raises(site)
    if not all_raises:
        return total
    foot = view.to_site(site, *cell_centres(grid.bounds, grid.shape))
    more = added(all_raises, foot, view.body, total.ravel(), tier)
    return (total + more.reshape(total.shape)).astype(np.float32, copy=False)


@dataclass(frozen=True)
class _Grid:
    """Sample points of a raster and how they fold into (heights, rows, columns).

    ``axes`` says how they lie in memory: (columns, heights, places side by side). ``coarser`` says of a source how
    many of the steps between heights its own beam asks for.
    """

    key: tuple[object, ...]
    points: Points
    bounds: tuple[float, float, float, float]
    shape: tuple[int, int]
    average: bool
    fold: Callable[[NDArray[np.generic]], NDArray[np.generic]]
    axes: tuple[int, int, int]
    coarser: Callable[[Source], int] = lambda source: 1

    def heights(self, apart: int) -> NDArray[np.intp]:
        """Return which heights are taken where they may be so many steps apart: both ends always."""
        last = self.axes[1] - 1
        return np.unique(np.append(np.arange(0, last, apart), last))

    def at(self, heights: NDArray[np.intp]) -> Points:
        """Return the sample points (n, 3) at some of the heights."""
        return np.ascontiguousarray(self.points.reshape(*self.axes, 3)[:, heights]).reshape(-1, 3)

    def between(self, values: NDArray[Any], heights: NDArray[np.intp]) -> NDArray[Any]:
        """Return values of some heights at all of them: the larger of the neighbours, above and below."""
        table = values.reshape(self.axes[0], len(heights), self.axes[2])
        every = np.arange(self.axes[1])
        below = np.searchsorted(heights, every, "right") - 1
        above = np.searchsorted(heights, every, "left")
        larger: NDArray[Any] = np.maximum(table[:, below], table[:, above]).ravel()
        return larger


def _grid(site: Site, view: View, shape: tuple[int, int], all_sources: Sequence[Source]) -> _Grid:
    rows, columns = shape
    if rows < 1 or columns < 1:
        raise InputError(
            f"a raster of {rows} × {columns} cells is empty", fix="Ask for at least 1 × 1"
        )
    _check_size(rows, columns, len(view.body.heights))
    if isinstance(view, ElevationView):
        low, high = view.up
    else:
        foot = view.points(site, shape)[:, 2]
        low, high = float(foot.min()), float(foot.max())
    body, whole = view.body, whole_column(all_sources, view.body, low, high)

    def coarser(source: Source) -> int:
        own = whole_column((source,), body, low, high)
        return max(1, len(whole.heights) - 1) // max(1, len(own.heights) - 1)

    view = replace(view, body=whole)
    if isinstance(view, ElevationView):
        return replace(_elevation_grid(site, view, shape), coarser=coarser)
    _check_size(rows, columns, len(whole.heights))
    return replace(_columns_grid(site, view, shape), coarser=coarser)


def _columns_grid(site: Site, view: View, shape: tuple[int, int]) -> _Grid:
    """A column of its own for each cell."""
    rows, columns = shape
    foot = view.points(site, shape)
    heights = len(view.body.heights)
    points = column(foot, view.body).astype(np.float32)

    def fold(values: NDArray[np.generic]) -> NDArray[np.generic]:
        return np.moveaxis(values.reshape(rows, columns, heights), 2, 0)

    on_surfaces = isinstance(view, PlanView) and view.height.above_surface
    surfaces = site.surfaces if on_surfaces else ()
    key, axes = (view, shape, surfaces), (rows * columns, heights, 1)
    return _Grid(key, points, view.bounds, shape, view.body.average, fold, axes)


def _check_size(rows: int, columns: int, heights: int = 1) -> None:
    most = min(MOST_CELLS, MOST_PLACES // heights)
    if rows * columns > most:
        raise InputError(
            f"a raster of {rows} × {columns} = {rows * columns:.3g} cells is too large",
            fix=f"Ask for at most {most:,} cells".replace(",", " "),
        )


def _check_work(all_sources: Sequence[Source], places: int) -> None:
    layers = len({s.key for s in all_sources if s.power > 0})
    if places * layers > MOST_VALUES:
        share = MOST_VALUES / (places * layers)
        raise InputError(
            f"a picture with {layers} emitters at {places:.3g} places needs more than the memory allowed for it",
            fix=f"Ask for at most {100.0 * share:.2g} % of the cells",
        )


def _elevation_grid(site: Site, view: ElevationView, shape: tuple[int, int]) -> _Grid:
    """Rows at a whole part of the climber's step, so that the column is a window over the rows."""
    offsets = np.array(view.body.heights)
    low, high = view.up
    columns = shape[1]
    step = min(CLIMB_STEP, float(np.diff(np.sort(offsets)).min(initial=CLIMB_STEP)))
    regular = np.allclose(np.round(offsets / step) * step, offsets, atol=1e-9)
    if not regular:
        raise InputError(
            "a column on an elevation needs heights in steps of 0.25 m",
            fix="Use the climbing column or a point",
        )
    split_by = max(1, int(np.ceil(shape[0] * step / (high - low))))
    step /= split_by
    rows = int(np.ceil((high - low) / step))
    # Steps from row to row: bodies of neighbouring rows share their heights even where not every step is a row.
    apart = 1 if rows <= MOST_ROWS else max(1, int((high - low) / (shape[0] * step)))
    if apart >= len(offsets):
        return _columns_grid(site, view, shape)
    rows = int(np.ceil((high - low) / (apart * step)))
    _check_size(rows, columns)
    window = np.round(offsets / step).astype(int)
    below, above = -min(0, window.min()), max(0, window.max())
    last = (rows - 1) * apart
    v = low + (np.arange(-below, last + 1 + above) + 0.5 * apart) * step
    u0, u1 = view.along
    u = u0 + (np.arange(columns) + 0.5) * (u1 - u0) / columns
    points = view.to_site(site, np.tile(u, len(v)), np.repeat(v, columns)).astype(np.float32)

    def fold(values: NDArray[np.generic]) -> NDArray[np.generic]:
        table = values.reshape(len(v), columns)
        return np.stack([table[below + w : below + w + last + 1 : apart] for w in window])

    bounds = (u0, low, u1, low + rows * apart * step)
    key = (view, rows, columns, apart)
    axes = (1, len(v), columns)
    return _Grid(key, points, bounds, (rows, columns), view.body.average, fold, axes)


def _layers(
    all_sources: Sequence[Source],
    apart: Sequence[int],
    grid: _Grid,
    cache: LayerCache,
    cancelled: Callable[[], bool] | None,
    progress: Callable[[float], None] | None,
) -> list[UnitField | None]:
    """Return one layer a source, from the cache or computed on all cores; None where silent.

    ``apart`` says of each source which heights are taken: every, every second, ...
    """
    keys: list[_Key] = [(s.key, n, *grid.key) for s, n in zip(all_sources, apart, strict=True)]
    wanted = dict.fromkeys(k for k, s in zip(keys, all_sources, strict=True) if s.power > 0)
    known = {key: cache.get(key) for key in wanted}
    by_key = dict(zip(keys, all_sources, strict=True))
    heights = {n: grid.heights(n) for n in set(apart)}
    points = {n: grid.points if n == 1 else grid.at(h) for n, h in heights.items()}
    tasks = [
        (key, start)
        for key, layer in known.items()
        if layer is None
        for start in range(0, len(points[key[1]]), _CHUNK)
    ]
    pieces: dict[_Key, list[UnitField]] = {key: [] for key, _ in tasks}

    def work(task: tuple[_Key, int]) -> UnitField:
        key, start = task
        if cancelled is not None and cancelled():
            raise Cancelled
        with _CORES:
            return by_key[key].unit_field(points[key[1]][start : start + _CHUNK])

    with ThreadPoolExecutor(os.cpu_count() or 1) as pool:
        for done, (task, piece) in enumerate(zip(tasks, pool.map(work, tasks), strict=True), 1):
            pieces[task[0]].append(piece)
            if progress is not None:
                progress(done / len(tasks))
    for key, parts in pieces.items():
        e2, h2, reactive = (
            np.concatenate([getattr(p, name) for p in parts]) for name in ("e2", "h2", "reactive")
        )
        if key[1] > 1:
            e2, h2, reactive = (grid.between(x, heights[key[1]]) for x in (e2, h2, reactive))
        e2, h2 = (x.astype(np.float32, copy=False) for x in (e2, h2))
        layer = UnitField(e2, h2, reactive, np.zeros(0, np.int8))
        known[key] = layer
        cache.put(key, layer)
    return [known.get(key) for key in keys]


def _total(
    all_sources: Sequence[Source],
    layers: Sequence[UnitField | None],
    limit_set: LimitSet,
    tier: Tier,
    grid: _Grid,
    reactive: Bools,
) -> NDArray[np.float32]:
    best: Floats = np.zeros(grid.shape, np.float32)
    for table in limit_set.of(tier):
        one = _table_total(all_sources, layers, limit_set, table, grid, reactive)
        np.maximum(best, one, out=best)
    result: NDArray[np.float32] = best.astype(np.float32, copy=False)
    if not np.isfinite(result).all():
        raise InputError(
            "the fields in this picture are beyond what can be computed",
            fix="Check powers, lengths and frequencies and their units",
        )
    return result


def _table_total(
    all_sources: Sequence[Source],
    layers: Sequence[UnitField | None],
    limit_set: LimitSet,
    table: LimitTable,
    grid: _Grid,
    reactive: Bools,
) -> Floats:
    electric = np.zeros(len(grid.points), np.float32)
    magnetic = np.zeros_like(electric)
    for source, layer in zip(all_sources, layers, strict=True):
        if layer is None:
            continue
        f = source.carrier.frequency
        tiny = source.absorbed(limit_set.key, table.tier)
        w = weight(table.at(f), table, limit_set, f, tiny)
        scale = np.float32(source.power * source.reflection.power_factor)
        e, h = split(layer.e2 * scale, layer.h2 * scale, layer.reactive, w)
        electric += e
        magnetic += h
    if not (grid.average and table.spatial == "mean"):
        worst: Floats = grid.fold(np.maximum(electric, magnetic)).max(axis=0)
        return worst
    e_fold, h_fold = grid.fold(electric), grid.fold(magnetic)
    peak = np.maximum(e_fold, h_fold).max(axis=0)
    mean = np.maximum(e_fold.mean(axis=0), h_fold.mean(axis=0))
    held: Floats = np.where(reactive, peak, mean)
    return held
