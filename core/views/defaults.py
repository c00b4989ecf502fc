"""Which piece of a site to look at when nobody has said."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from core.geometry import bearing
from core.site.places import FARTHEST, Structure
from core.site.site import Site
from core.views.body import CLIMBING, STANDING, Body
from core.views.views import ON_SURFACE, ElevationView, Height, PlanView

_LEAST = 10.0


def site_extent(site: Site) -> tuple[float, float, float, float]:
    """Return (west, south, east, north) in m: as the site says, or around all that stands on it."""
    if site.extent is not None:
        return site.extent
    xy = [a.position[:2] for a in site.antennas]
    outlines = [s.outline for s in site.structures]
    outlines += [s.outline for s in site.surfaces if s.kind != "ground"]
    for outline in outlines:
        xy.extend(outline)
    if not xy:
        xy = [p for s in site.surfaces for p in s.outline] or [(0.0, 0.0)]
    points = np.array(xy)
    low, high = points.min(axis=0), points.max(axis=0)
    middle, half = (low + high) / 2.0, np.maximum((high - low).max() * 0.65, _LEAST)
    west, south = _held(middle - half)
    east, north = _held(middle + half)
    return west, south, east, north


def _held(values: NDArray[np.float64]) -> tuple[float, float]:
    """Return two coordinates no farther out than any view may go."""
    first, second = np.clip(values, -FARTHEST, FARTHEST)
    return float(first), float(second)


def default_plan(site: Site, height: Height = ON_SURFACE, body: Body = STANDING) -> PlanView:
    """Return the plan of the whole site.

    Parameters
    ----------
    height : Height
        m.
    body : Body
        The column of heights that is exposed.
    """
    return PlanView(site_extent(site), height, body)


def main_structure(site: Site) -> Structure | None:
    """Return the tallest tower or mast, or the tallest structure.

    Parameters
    ----------
    site : Site
        The site.
    """
    towers = [s for s in site.structures if s.kind in ("tower", "mast")] or list(site.structures)
    return max(towers, key=lambda s: s.top - s.base, default=None)


def default_origin(site: Site) -> tuple[float, float]:
    """Return where an elevation cuts: the main structure's middle, or the antennas' middle.

    Parameters
    ----------
    site : Site
        The site.
    """
    structure = main_structure(site)
    if structure is not None:
        x, y = np.mean(np.array(structure.outline), axis=0)
    elif site.antennas:
        x, y = np.mean([a.position[:2] for a in site.antennas], axis=0)
    else:
        west, south, east, north = site_extent(site)
        x, y = (west + east) / 2.0, (south + north) / 2.0
    return float(x), float(y)


def default_elevation(
    site: Site,
    azimuth: float = 90.0,
    origin: tuple[float, float] | None = None,
    body: Body = CLIMBING,
) -> ElevationView:
    """Return the vertical plane through ``origin`` along ``azimuth`` (true), as wide as the site.

    The view's own azimuth is from the site's y axis.

    Parameters
    ----------
    body : Body
        The column of heights that is exposed.
    """
    azimuth = (azimuth - site.grid_north) % 360.0
    x, y = origin if origin is not None else default_origin(site)
    west, south, east, north = site_extent(site)
    direction = np.array(bearing(azimuth))
    corners = np.array([(west, south), (west, north), (east, south), (east, north)])
    along = (corners - [x, y]) @ direction
    heights = [a.position[2] for a in site.antennas] + [s.top for s in site.structures]
    heights += [s.height for s in site.surfaces] or [0.0]
    floor = min([s.height for s in site.surfaces] or [0.0])
    top = max(heights)
    room = max(3.0, 0.08 * (top - floor))
    across = _held(np.array([along.min(), along.max()]))
    up = _held(np.array([floor - 0.3 * room, top + room]))
    return ElevationView((x, y), azimuth, across, up, body)


def true_azimuth(site: Site, view: ElevationView) -> float:
    """Return the azimuth of an elevation from true north, degrees.

    Parameters
    ----------
    site : Site
        The site.
    view : ElevationView
        The view.
    """
    return (view.azimuth + site.grid_north) % 360.0
