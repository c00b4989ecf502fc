"""Places at which two states are read beside each other: over every walking surface, on ladders, at the ways in."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import MultiPolygon

from core.arrays import Bools
from core.exposure.fractions import Exposure
from core.exposure.totals import exposure
from core.limits.tier import TIERS, Tier
from core.progress import Asked, Cancelled
from core.shapes import only_areas
from core.site.site import Site
from core.site.surfaces import foot_height
from core.site.terraces import floors, undrawn
from core.views.body import CLIMBING, STANDING, Body
from core.views.defaults import site_extent
from core.zones.site_zones import SiteZones

MOST = 600
"""Places on each walking surface at most, and again in each zone."""
RUNGS = 0.5
"""m between the places on a ladder."""
_AT_ONCE = 400


@dataclass(frozen=True, slots=True)
class Spot:
    """Places of one kind: where they are in words, coordinates (n, 3) in m, and the body that stands or hangs there.

    ``apart`` is how far they are from each other, m; 0 for single ones.
    """

    where: str
    points: NDArray[np.float64]
    body: Body
    apart: float


@dataclass(frozen=True, slots=True)
class Look:
    """What was read at the places of a spot, in one state.

    ``total`` has shape (tiers, n), ``shares`` (antennas, tiers, n), both as fractions of the limit; ``reactive`` (n,).
    """

    names: tuple[str, ...]
    total: NDArray[np.float64]
    shares: NDArray[np.float64]
    reactive: Bools

    def of(self, tier: Tier) -> NDArray[np.float64]:
        """Return the totals (n,) of a tier."""
        total: NDArray[np.float64] = self.total[TIERS.index(tier)]
        return total


def spots(before: Site, after: Site, zones: SiteZones) -> tuple[Spot, ...]:
    """Return where the state after is looked at, and the state before at the same places.

    Parameters
    ----------
    before, after : Site
        The two states.
    zones : SiteZones
        The zones of the state after: places over a limit lie in them.
    """
    ends = [site_extent(site) for site in (before, after)]
    frame = tuple(pick(e[i] for e in ends) for i, pick in enumerate((min, min, max, max)))
    west, south, east, north = frame
    box = shapely.box(west, south, east, north)
    walked = [*floors(after), undrawn(after, (west, south, east, north))]
    out = [
        _grid(f.words, only_areas(f.shape.intersection(box)), f.height) for f in walked
    ]  # fmt: skip
    for _, zone in zones.zones:
        out += [_grid(p.floor.words, p.region, p.floor.height) for p in zone.parts]
    for ladder in after.ladders:
        out.append(Spot(ladder.name, along(ladder.points, RUNGS), CLIMBING, RUNGS))
    for access in after.access_points:
        at = np.array([access.position], dtype=np.float64)
        at[:, 2] = foot_height(after, at)
        out.append(Spot(access.name, at, STANDING, 0.0))
    return tuple(s for s in out if len(s.points))


def _grid(where: str, shape: MultiPolygon, height: float) -> Spot:
    """Return places spread evenly over a shape, and one inside each of its pieces."""
    if shape.is_empty:
        return Spot(where, np.zeros((0, 3)), STANDING, 0.0)
    x0, y0, x1, y1 = shape.bounds
    apart = float(np.sqrt(shape.area / MOST))
    columns, rows = (max(1, int(np.ceil(d / apart))) for d in (x1 - x0, y1 - y0))
    if columns * rows > 40 * MOST:
        # A thin or scattered shape would need a grid much larger than itself.
        apart *= float(np.sqrt(columns * rows / (40.0 * MOST)))
        columns, rows = (max(1, int(np.ceil(d / apart))) for d in (x1 - x0, y1 - y0))
    x = x0 + (np.arange(columns) + 0.5) * (x1 - x0) / columns
    y = y0 + (np.arange(rows) + 0.5) * (y1 - y0) / rows
    xy = np.stack([np.tile(x, rows), np.repeat(y, columns)], axis=1)
    shapely.prepare(shape)
    xy = xy[shapely.intersects_xy(shape, xy[:, 0], xy[:, 1])]
    pieces = sorted(shape.geoms, key=lambda p: -p.area)[:MOST]
    middles = shapely.get_coordinates([p.representative_point() for p in pieces])
    xy = np.concatenate([xy, middles])
    return Spot(where, np.column_stack([xy, np.full(len(xy), height)]), STANDING, apart)


def along(points: Sequence[tuple[float, float, float]], apart: float) -> NDArray[np.float64]:
    """Return places (n, 3) along a line of points, its corners with them.

    Parameters
    ----------
    points : sequence of (x, y, z)
        Its corners, m.
    apart : float
        m from one place to the next, at most.
    """
    way = np.array(points, dtype=np.float64)
    pieces = [
        np.linspace(a, b, int(np.ceil(np.linalg.norm(b - a) / apart)) + 1)
        for a, b in itertools.pairwise(way)
    ]
    places: NDArray[np.float64] = np.concatenate(pieces)
    return places


def look(site: Site, spot: Spot, cancelled: Asked | None = None) -> Look:
    """Return what a site reads at the places of a spot, antenna by antenna.

    Parameters
    ----------
    site : Site
        One state.
    spot : Spot
        Where.
    cancelled : callable
        Asked between pieces of work; True stops with :class:`core.progress.Cancelled`.

    Raises
    ------
    Cancelled
        If asked to stop.
    """
    names = tuple(a.name for a in site.antennas)
    parts = []
    for one in _pieces(site, spot):
        if cancelled is not None and cancelled():
            raise Cancelled
        total = np.stack([one.of(t).total for t in TIERS]).astype(np.float64)
        shares = np.zeros((len(names), *total.shape))
        for i, source in enumerate(one.sources):
            row = names.index(source.antenna.name)
            shares[row] += np.stack([one.of(t).shares[i] for t in TIERS])
        parts.append((total, shares, one.reactive))
    total, shares, reactive = (np.concatenate(p, axis=-1) for p in zip(*parts, strict=True))
    return Look(names, total, shares, reactive)


def _pieces(site: Site, spot: Spot) -> Iterator[Exposure]:
    for start in range(0, len(spot.points), _AT_ONCE):
        yield exposure(site, spot.points[start : start + _AT_ONCE], spot.body)
