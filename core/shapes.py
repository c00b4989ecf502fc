"""Shapes in a plane, without a site."""

from __future__ import annotations

import shapely
from shapely import MultiPolygon, Polygon


def only_areas(shape: shapely.Geometry) -> MultiPolygon:
    """Return the polygons of any shape, without the points and lines that have no area."""
    parts = [p for p in shapely.get_parts(shape) if isinstance(p, Polygon) and p.area > 0.0]
    nested = [p for p in shapely.get_parts(shape) if isinstance(p, shapely.GeometryCollection)]
    for inner in nested:
        parts.extend(only_areas(inner).geoms)
    return MultiPolygon(parts)
