"""Flat pieces of the site that are looked at: a plan, or a vertical plane.

A view has its own coordinates (u, v): x and y on a plan; metres along the azimuth and height above the
datum on an elevation. Zones, fences and rasters are all made in them.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from core.arrays import Floats
from core.errors import InputError
from core.geometry import bearing
from core.site.places import FARTHEST
from core.site.site import Site
from core.site.surfaces import surface_height
from core.units import show_length
from core.views.body import CLIMBING, STANDING, Body

LEAST_SIDE = 0.1
"""m: a view narrower than this shows nothing."""


@dataclass(frozen=True, slots=True)
class Height:
    """Where the body's column starts: ``metres`` above the datum, or above the surface under it."""

    metres: float = 0.0
    above_surface: bool = False

    @property
    def words(self) -> str:
        """The height in words, in m."""
        return self.said()

    def said(self, *, feet: bool = False) -> str:
        """Return the height in words, in m or ft."""
        if self.above_surface and self.metres == 0.0:
            return "on the surface under each point"
        base = "the surface under each point" if self.above_surface else "the site datum"
        return f"{show_length(self.metres, feet=feet)} above {base}"


ON_SURFACE = Height(0.0, True)


@dataclass(frozen=True, slots=True)
class PlanView:
    """A plan: ``region`` is (west, south, east, north) in m."""

    region: tuple[float, float, float, float]
    height: Height = ON_SURFACE
    body: Body = STANDING

    def __post_init__(self) -> None:
        west, south, east, north = self.region
        _span(west, east, "region")
        _span(south, north, "region")
        if not abs(self.height.metres) <= FARTHEST:
            raise InputError(
                f"{self.height.metres:g} m is not a height", field="height", fix="Use metres"
            )

    @property
    def bounds(self) -> tuple[float, float, float, float]:
        return self.region

    def to_site(self, site: Site, u: ArrayLike, v: ArrayLike) -> NDArray[np.float64]:
        x, y = np.broadcast_arrays(np.asarray(u, dtype=np.float64), np.asarray(v, np.float64))
        points = np.stack([x.ravel(), y.ravel(), np.full(x.size, self.height.metres)], axis=1)
        if self.height.above_surface:
            points[:, 2] += surface_height(site, points[:, :2])
        return points

    def to_view(self, points: Floats) -> NDArray[np.float64]:
        return np.array(points[:, :2], dtype=np.float64)

    def points(self, site: Site, shape: tuple[int, int]) -> NDArray[np.float64]:
        return self.to_site(site, *cell_centres(self.bounds, shape))


@dataclass(frozen=True, slots=True)
class ElevationView:
    """A vertical plane through ``origin`` (x, y) along ``azimuth`` (degrees).

    ``along`` is the span of metres from the origin in that direction, ``up`` the span of heights above
    the datum. ``body`` is usually one point or the climber's column.
    """

    origin: tuple[float, float]
    azimuth: float
    along: tuple[float, float]
    up: tuple[float, float]
    body: Body = CLIMBING

    def __post_init__(self) -> None:
        for value in (*self.origin, self.azimuth):
            if not abs(value) <= FARTHEST:
                raise InputError(f"{value:g} is not a number of metres or degrees", field="origin")
        _span(*self.along, "along")
        _span(*self.up, "up")

    @property
    def bounds(self) -> tuple[float, float, float, float]:
        return self.along[0], self.up[0], self.along[1], self.up[1]

    @property
    def datum_along(self) -> float:
        """m along the azimuth from the datum to the origin: what u = 0 is, counted from the datum."""
        east, north = bearing(self.azimuth)
        return self.origin[0] * east + self.origin[1] * north

    def to_site(self, site: Site, u: ArrayLike, v: ArrayLike) -> NDArray[np.float64]:
        a, z = np.broadcast_arrays(np.asarray(u, dtype=np.float64), np.asarray(v, np.float64))
        east, north = bearing(self.azimuth)
        x, y = self.origin
        return np.stack([x + a.ravel() * east, y + a.ravel() * north, z.ravel()], axis=1)

    def to_view(self, points: Floats) -> NDArray[np.float64]:
        east, north = bearing(self.azimuth)
        along = (points[:, 0] - self.origin[0]) * east + (points[:, 1] - self.origin[1]) * north
        return np.stack([along, points[:, 2]], axis=1).astype(np.float64)

    def points(self, site: Site, shape: tuple[int, int]) -> NDArray[np.float64]:
        return self.to_site(site, *cell_centres(self.bounds, shape))


View = PlanView | ElevationView
"""Any view. Both have ``bounds``, ``body``, ``to_site``, ``to_view`` and ``points``."""


def cell_centres(
    bounds: tuple[float, float, float, float], shape: tuple[int, int]
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return u and v (rows × columns,) of the cell centres of a raster over ``bounds``.

    Row-major; rows go up (v ascending), columns go along u.

    Parameters
    ----------
    shape : tuple[int, int]
        Rows and columns.
    """
    rows, columns = shape
    u0, v0, u1, v1 = bounds
    u = u0 + (np.arange(columns) + 0.5) * ((u1 - u0) / columns)
    v = v0 + (np.arange(rows) + 0.5) * ((v1 - v0) / rows)
    return np.tile(u, rows), np.repeat(v, columns)


def _span(low: float, high: float, field: str) -> None:
    if not all(math.isfinite(x) and abs(x) <= FARTHEST for x in (low, high)):
        raise InputError(
            f"from {low:g} to {high:g} m is not a place on a site",
            field=field,
            fix="Use metres within 100 km of the datum",
        )
    if high - low < LEAST_SIDE:
        raise InputError(
            f"from {low:g} to {high:g} m is empty",
            field=field,
            fix=f"Give the lower number first, at least {LEAST_SIDE:g} m apart",
        )
