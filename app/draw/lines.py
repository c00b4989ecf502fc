"""Lines of equal percent whose corners are computed, not interpolated: a raster says where they are about.

A line crosses from one cell's middle to the next where one is over its percent and the other is not. Between the two
the place is found by halving, in float64. Corners where a line runs along the row or the column that it crosses are
left out: there the place says little. So a line that follows an edge (a roof, a wall, the end of a beam) lies on the
edge and has no teeth of the size of a cell.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely
from contourpy import LineType, contour_generator
from numpy.typing import NDArray

from core.arrays import Bools, Floats
from core.exposure.batch import read_many
from core.exposure.raster import Raster
from core.exposure.raster import raster as raster_of
from core.limits.tier import Tier
from core.shapes import only_areas
from core.site.site import Site
from core.views.body import POINT
from core.views.views import ElevationView
from core.zones.lowering import lowered

Lines = tuple[tuple[float, tuple[NDArray[np.float64], ...]], ...]
"""Percents, each with its lines (n, 2) in view coordinates, m."""

_LEAST = 1e-6
"""Percent that everything lower is taken for."""
_NOTHING = -9.0
_HAIR = 1e-6
_HALVINGS = 4
"""A corner is found to a sixteenth of a cell, on the side that is under: what is over lies inside its line."""
_FLAT = 4.0
"""Times that cells may be wider than high."""
_ALONG = 0.6
"""A corner counts where the slope along what it lies on is at least this part of the slope across."""


def refined_lines(site: Site, raster: Raster, tier: Tier, percents: Sequence[float]) -> Lines:
    """Return the lines of a raster at percents of a tier's limit, their corners computed.

    Parameters
    ----------
    site : Site
        The site the raster was made of.
    raster : Raster
        Where the lines are about.
    tier : {"public", "occupational"}
        Whose limit.
    percents : sequence of float
        Percents of the limit; those that nothing reaches are left out.

    Raises
    ------
    InputError
        If the site's powers or frequencies are inconsistent.
    """
    rows, columns = raster.public.shape
    if rows < 2 or columns < 2:
        return ()
    body = raster.view.body
    if isinstance(raster.view, ElevationView) and len(body.heights) > 1 and not body.average:
        return _of_a_climber(site, raster, tier, percents)
    return _lines(site, raster, tier, percents)


def _of_a_climber(site: Site, raster: Raster, tier: Tier, percents: Sequence[float]) -> Lines:
    """Return the lines of a body's peak on an elevation: those of a point, swept by the whole body.

    A column of heights that is looked at here and there has a peak that goes up and down from row to row.
    """
    view, rows = raster.view, raster.public.shape[0]
    assert isinstance(view, ElevationView)
    low, high = view.up[0] + min(view.body.heights), view.up[1] + max(view.body.heights)
    columns, (left, _, right, _) = raster.public.shape[1], view.bounds
    # Rows much closer than columns show nothing more.
    finest = math.ceil(_FLAT * columns * (high - low) / (right - left))
    more = min(round(rows * (high - low) / (view.up[1] - view.up[0])), finest)
    tall = replace(view, body=POINT, up=(low, high))
    points = raster_of(site, tall, (max(more, 2), columns))
    u0, v0, u1, v1 = view.bounds
    frame = shapely.box(u0 + _HAIR, v0 + _HAIR, u1 - _HAIR, v1 - _HAIR)
    out = []
    for percent, rings in _lines(site, points, tier, percents, closed=True):
        region: shapely.Geometry = shapely.MultiPolygon()
        for ring in rings:
            # A ring in another is the edge of a hole.
            region = region.symmetric_difference(shapely.make_valid(shapely.Polygon(ring)))
        edge = lowered(only_areas(region), view.body).boundary.intersection(frame)
        parts = [p for p in shapely.get_parts(shapely.line_merge(edge)) if p.length > 0.0]
        out.append((percent, tuple(shapely.get_coordinates(p) for p in parts)))
    return tuple((percent, lines) for percent, lines in out if lines)


def _lines(
    site: Site, raster: Raster, tier: Tier, percents: Sequence[float], *, closed: bool = False
) -> Lines:
    """Return the lines of a raster; ``closed`` ones go round what reaches its edge, just outside."""
    shown = np.log10(np.maximum(100.0 * raster.of(tier).astype(np.float64), _LEAST))
    grid = _Grid(
        raster, np.pad(shown, 1, constant_values=_NOTHING) if closed else shown, int(closed)
    )
    # In cells: the middle of the first cell is 0.
    generator = contour_generator(z=grid.shown, line_type=LineType.Separate)
    found: list[tuple[float, list[Floats]]] = []
    for percent in sorted(set(percents)):
        level = np.log10(percent)
        if grid.shown.min() < level < shown.max():
            lines = [_telling(np.asarray(line), grid.shown) for line in generator.lines(level)]
            found.append((percent, [line for line in lines if len(line) > 2 - closed]))
    corners = [line for _, lines in found for line in lines]
    if not corners:
        return ()
    levels = np.concatenate([np.full(len(line), p) for p, lines in found for line in lines])
    moved = _moved(site, grid, tier, np.concatenate(corners), levels)
    pieces = np.split(moved, np.cumsum([len(line) for line in corners])[:-1])
    out, first = [], 0
    for percent, lines in found:
        mine = pieces[first : first + len(lines)]
        out.append((percent, tuple(np.asarray(one, np.float64) for one in mine)))
        first += len(lines)
    return tuple(out)


@dataclass(frozen=True, slots=True)
class _Grid:
    """The logarithm of the percents of a raster, with ``margin`` cells of nothing around them."""

    raster: Raster
    shown: Floats
    margin: int

    def in_metres(self, cells: Floats) -> Floats:
        """Return places in cells as view coordinates."""
        rows, columns = self.raster.public.shape
        u0, v0, u1, v1 = self.raster.bounds
        size = np.array([(u1 - u0) / columns, (v1 - v0) / rows])
        out: Floats = np.array([u0, v0]) + (cells - self.margin + 0.5) * size
        return out


def _on_a_row(places: Floats) -> Bools:
    """Return whether places (n, 2), in cells, lie on a row rather than on a column."""
    off = np.abs(places - np.round(places))
    return np.asarray(off[:, 1] <= off[:, 0])


def _telling(line: Floats, shown: Floats) -> Floats:
    """Return a line without the corners where it runs along the row or column that it crosses."""
    rises: tuple[Floats, Floats] = tuple(np.gradient(shown))
    column, row = (
        np.clip(np.round(line[:, i]).astype(int), 0, shown.shape[1 - i] - 1) for i in (0, 1)
    )
    across, up = np.abs(rises[1][row, column]), np.abs(rises[0][row, column])
    flat = _on_a_row(line)
    kept = np.where(flat, across >= _ALONG * up, up >= _ALONG * across)
    closed = bool((line[0] == line[-1]).all())
    if closed:
        inner = line[:-1][kept[:-1]]
        return np.concatenate([inner, inner[:1]]) if len(inner) > 2 else line
    kept[[0, -1]] = True
    return line[kept]


def _moved(site: Site, grid: _Grid, tier: Tier, places: Floats, percents: Floats) -> Floats:
    """Return places in cells as places in m, each moved along its row or column to where its percent is."""
    shown, view = grid.shown, grid.raster.view
    step = np.where(_on_a_row(places)[:, None], [1.0, 0.0], [0.0, 1.0])
    # What lies on the row is exact there; contours have a rounding of their own.
    exact = np.where(step > 0.0, places, np.round(places))
    first = np.where(step > 0.0, np.floor(places), exact)
    second = np.minimum(first + step, np.array(shown.shape[::-1]) - 1)
    ends: list[Floats] = []
    for place in (first, second):
        column, row = place.astype(int).T
        ends.append(np.asarray(shown[row, column]))
    levels = np.log10(percents)
    rising: Bools = np.greater_equal(ends[1], ends[0]).reshape(-1, 1)
    over, under = np.where(rising, second, first), np.where(rising, first, second)
    chosen = np.flatnonzero((np.maximum(*ends) >= levels) & (np.minimum(*ends) < levels))
    over, under = over[chosen], under[chosen]
    for _ in range(_HALVINGS):
        middle = 0.5 * (over + under)
        at = grid.in_metres(middle)
        batch = read_many(site, view.to_site(site, at[:, 0], at[:, 1]), view.body)
        value = batch.public if tier == "public" else batch.occupational
        is_over = (100.0 * value >= percents[chosen])[:, None]
        over, under = np.where(is_over, middle, over), np.where(is_over, under, middle)
    exact[chosen] = under
    return grid.in_metres(exact)
