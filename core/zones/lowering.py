"""The zone of a body on an elevation from that of a point."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import shapely
from shapely import MultiPolygon, affinity

from core.arrays import Floats
from core.shapes import only_areas
from core.views.body import Body

_UPRIGHT = 1e-6
"""m across: sides that are less so count as upright."""


def lowered(region: MultiPolygon, body: Body) -> MultiPolygon:
    """Return where a body with its feet (or middle) reaches into a region of an elevation with any of its heights.

    Parameters
    ----------
    region : MultiPolygon
        In view coordinates, m.
    body : Body
        The column of heights that is exposed.
    """
    low, high = min(body.heights), max(body.heights)
    if low == high or region.is_empty:
        return only_areas(affinity.translate(region, yoff=-low))
    # What a region passes over on its way down: itself at both ends, and the trace of every side.
    traces = [
        np.concatenate([run - (0.0, high), run[::-1] - (0.0, low), run[:1] - (0.0, high)])
        for piece in region.geoms
        for ring in (piece.exterior, *piece.interiors)
        for run in _runs(shapely.get_coordinates(ring), 0.5 * (high - low))
    ]
    which = np.repeat(np.arange(len(traces)), [len(trace) for trace in traces])
    swept = shapely.polygons(shapely.linearrings(np.concatenate(traces), indices=which))
    ends = [affinity.translate(region, yoff=-h) for h in (low, high)]
    return only_areas(shapely.union_all([*ends, *shapely.buffer(swept, 0.0)]))


def _runs(ring: Floats, most: float) -> Iterator[Floats]:
    """Yield the sides of a ring (n, 2) in runs that go one way across: the trace of each is one simple polygon.

    Upright sides belong to a run as long as they rise or fall by less than ``most``; its trace, twice as deep, cannot
    meet itself there.
    """
    start, way, rise = 0, 0.0, 0.0
    for i, (across, up) in enumerate(np.diff(ring, axis=0).tolist()):
        by_itself = rise > most
        rise = rise + abs(up) if abs(across) < _UPRIGHT else 0.0
        if i > start and (by_itself or rise > most or across * way < 0.0):
            yield ring[start : i + 1]
            start, way = i, 0.0
            rise = abs(up) if rise else 0.0
        way = way or across
    yield ring[start:]
