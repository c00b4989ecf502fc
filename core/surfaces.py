"""Walking surfaces as shapes: what lies under a point, and where people can stand."""

from __future__ import annotations

from functools import lru_cache

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import MultiPolygon, Polygon

from core.arrays import Floats
from core.site import Site, Surface


@lru_cache(maxsize=512)
def surface_shape(surface: Surface) -> MultiPolygon:
    """Return a surface as a valid shape with its holes; empty where the outline has no area.

    An outline that crosses itself is read by the even-odd rule.
    """
    outer = shapely.make_valid(Polygon(surface.outline))
    for hole in surface.holes:
        outer = outer.difference(shapely.make_valid(Polygon(hole)))
    shape = only_areas(outer)
    shapely.prepare(shape)
    return shape


def only_areas(shape: shapely.Geometry) -> MultiPolygon:
    """Return the polygons of any shape, without the points and lines that have no area."""
    parts = [p for p in shapely.get_parts(shape) if isinstance(p, Polygon) and p.area > 0.0]
    nested = [p for p in shapely.get_parts(shape) if isinstance(p, shapely.GeometryCollection)]
    for inner in nested:
        parts.extend(only_areas(inner).geoms)
    return MultiPolygon(parts)


def surface_height(site: Site, xy: Floats) -> NDArray[np.float64]:
    """Return the height (n,) in m of the highest surface under points (n, 2); the datum where none.

    Edges belong to the surface.
    """
    xy = np.asarray(xy, dtype=np.float64)
    height = np.full(len(xy), -np.inf)
    for surface in site.surfaces:
        under = shapely.intersects_xy(surface_shape(surface), xy[:, 0], xy[:, 1])
        np.maximum(height, surface.height, where=under, out=height)
    height[np.isneginf(height)] = 0.0
    return height


def standing_on(site: Site, x: float, y: float) -> tuple[float, str]:
    """Return the height in m of the highest surface under a point, and its name in words."""
    best: Surface | None = None
    for surface in site.surfaces:
        if shapely.intersects_xy(surface_shape(surface), x, y) and (
            best is None or surface.height > best.height
        ):
            best = surface
    if best is None:
        return 0.0, "the site datum at 0 m (no surface is drawn here)"
    return best.height, f"{best.name} at {best.height:g} m"
