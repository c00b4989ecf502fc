"""The zone of a body on an elevation from that of a point."""

from __future__ import annotations

import numpy as np
import shapely
from shapely import MultiPolygon, affinity

from core.shapes import only_areas
from core.views.body import Body


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
    moved: list[shapely.Geometry] = [affinity.translate(region, yoff=-h) for h in (low, high)]
    for piece in region.geoms:
        # What a piece passes over on its way down: itself at both ends, and the trace of every side.
        for ring in (piece.exterior, *piece.interiors):
            xy = shapely.get_coordinates(ring)
            start, end = xy[:-1], xy[1:]
            way = np.array([[0.0, -high], [0.0, -low]])
            traces = np.stack([start + way[0], end + way[0], end + way[1], start + way[1]], axis=1)
            moved += list(shapely.buffer(shapely.polygons(traces), 0.0))
    return only_areas(shapely.union_all(moved))
