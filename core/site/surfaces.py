"""Walking surfaces as shapes: what lies under a point, and where people can stand."""

from __future__ import annotations

from functools import lru_cache
from itertools import zip_longest

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import MultiPolygon, Polygon

from core.arrays import Floats
from core.shapes import only_areas
from core.site.places import Surface
from core.site.site import Site


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


def surface_height(site: Site, xy: Floats) -> NDArray[np.float64]:
    """Return the height (n,) in m of the highest surface under points (n, 2); the datum where none.

    Edges belong to the surface.

    Parameters
    ----------
    site : Site
        The site.
    xy : array
        Places on the plan, m.
    """
    xy = np.asarray(xy, dtype=np.float64)
    height = np.full(len(xy), -np.inf)
    for surface in site.surfaces:
        under = shapely.intersects_xy(surface_shape(surface), xy[:, 0], xy[:, 1])
        np.maximum(height, surface.height, where=under, out=height)
    height[np.isneginf(height)] = 0.0
    return height


def has_surface(site: Site, x: float, y: float) -> bool:
    """Return whether any walking surface is drawn under or over a place.

    Parameters
    ----------
    site : Site
        The site.
    x : float
        m east.
    y : float
        m north.
    """
    return any(bool(shapely.intersects_xy(surface_shape(s), x, y)) for s in site.surfaces)


def floors_at(site: Site, x: float, y: float) -> list[Surface]:
    """Return the surfaces at a place, from the lowest up, but for those inside of what stands there.

    Parameters
    ----------
    site : Site
        The site.
    x : float
        m east.
    y : float
        m north.
    """
    here = sorted(
        (s for s in site.surfaces if shapely.intersects_xy(surface_shape(s), x, y)),
        key=lambda s: s.height,
    )
    solid = [
        (one.base - MEANT, one.top + MEANT)
        for one in site.structures
        if one.kind in SOLID and shapely.intersects_xy(shapely.Polygon(one.outline), x, y)
    ]
    return [
        s
        for s, over in zip_longest(here, here[1:])
        if over is None or not any(a <= s.height and over.height <= b for a, b in solid)
    ]


SOLID = ("building", "penthouse", "plant")
"""Kinds of structures that nobody stands inside of."""
MEANT = 0.5
"""m: a height this near to a surface means that surface."""


def foot_height(site: Site, points: Floats) -> NDArray[np.float64]:
    """Return the height (n,) in m at which bodies stand for points (n, 3).

    The surface within half a metre of the point's own height, where there is one; else the highest
    surface under it; else the datum.

    Parameters
    ----------
    site : Site
        The site.
    """
    points = np.asarray(points, dtype=np.float64)
    height = surface_height(site, points[:, :2])
    nearest = np.full(len(points), MEANT)
    for surface in site.surfaces:
        under = shapely.intersects_xy(surface_shape(surface), points[:, 0], points[:, 1])
        off = np.abs(points[:, 2] - surface.height)
        meant = under & (off <= nearest)
        height[meant], nearest[meant] = surface.height, off[meant]
    return height


def standing_on(site: Site, x: float, y: float, z: float | None = None) -> tuple[float, str, str]:
    """Return where a body stands at a place: height in m, the surface in words, and a warning.

    ``z`` picks the surface when it is within half a metre of one; otherwise the highest counts, and the
    warning says that ``z`` was not used. Without ``z`` there is no warning.

    Parameters
    ----------
    site : Site
        The site.
    x : float
        m east.
    y : float
        m north.
    """
    wanted = np.inf if z is None else z
    height = float(foot_height(site, np.array([[x, y, wanted]]))[0])
    here = [
        s
        for s in site.surfaces
        if s.height == height and shapely.intersects_xy(surface_shape(s), x, y)
    ]
    if here:
        words = f"{here[0].name} at {height:g} m"
    else:
        words = f"the site datum at {height:g} m (no surface is drawn here)"
    off = 0.0 if z is None else z - height
    if abs(off) <= MEANT:
        return height, words, ""
    side = "below" if off > 0 else "above"
    warning = f"z {z:g} m is not used: the body stands on {words}, {abs(off):.4g} m {side} it"
    return height, words, warning
