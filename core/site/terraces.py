"""A plan cut into pieces of one walking height each."""

from __future__ import annotations

import shapely
from shapely import MultiPolygon

from core.shapes import only_areas
from core.site.site import Site
from core.site.surfaces import surface_shape


def pieces(
    site: Site, region: tuple[float, float, float, float]
) -> tuple[tuple[float, MultiPolygon], ...]:
    """Return (height in m, shape) of the parts of a plan with one walking height.

    The highest surface counts where several overlap, the datum where there is none. The shapes cover the
    region (west, south, east, north) and share only edges.

    Parameters
    ----------
    site : Site
        The site.
    """
    rest = shapely.box(*region)
    by_height: dict[float, list[MultiPolygon]] = {}
    for surface in site.surfaces:
        by_height.setdefault(surface.height, []).append(surface_shape(surface))
    parts = []
    for height in sorted(by_height, reverse=True):
        here = shapely.union_all(by_height[height])
        piece = only_areas(rest.intersection(here))
        if not piece.is_empty:
            parts.append((height, piece))
            rest = rest.difference(here)
    ground = only_areas(rest)
    if not ground.is_empty:
        parts.append((0.0, ground))
    return tuple(parts)


def walking_surfaces(site: Site) -> MultiPolygon:
    """Return everywhere on the plan where a surface is drawn.

    Parameters
    ----------
    site : Site
        The site.
    """
    return only_areas(shapely.union_all([surface_shape(s) for s in site.surfaces]))
