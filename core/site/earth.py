"""Where a site lies on the earth: plan metres to longitude and latitude, through the tangent plane at its anchor.

The plan is the plane that touches the WGS84 ellipsoid at the anchor (east, north, up, NIMA TR8350.2 for the
ellipsoid's constants). A point of it is brought to geocentric coordinates by rotation, and these to latitude by
Bowring's formula (Bowring 1976, Survey Review 23, p. 323, from memory), which is exact to far below a millimetre at
heights of a few kilometres.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from core.arrays import Floats
from core.site.places import Anchor

SEMI_MAJOR = 6_378_137.0
"""Semi-major axis of the ellipsoid, m (WGS84, NIMA TR8350.2 table 3.1)."""
FLATTENING = 1.0 / 298.257_223_563
"""Flattening of the ellipsoid (WGS84, NIMA TR8350.2 table 3.1)."""
_E2 = FLATTENING * (2.0 - FLATTENING)
_SEMI_MINOR = SEMI_MAJOR * (1.0 - FLATTENING)


def to_geographic(anchor: Anchor, xy: Floats) -> NDArray[np.float64]:
    """Return longitude and latitude (n, 2) in degrees of plan points ``xy`` (n, 2) in m.

    Longitudes run on past ±180° beside an ``anchor`` near the antimeridian, so that shapes stay whole.
    """
    east, north = _east_north(anchor, np.asarray(xy, dtype=np.float64))
    phi = np.radians(anchor.latitude)
    sin, cos = np.sin(phi), np.cos(phi)
    normal = SEMI_MAJOR / np.sqrt(1.0 - _E2 * sin * sin)
    # Geocentric, turned so that the anchor's meridian is the first one.
    outward = normal * cos - sin * north
    axial = normal * (1.0 - _E2) * sin + cos * north
    across = np.hypot(outward, east)
    theta = np.arctan2(axial * SEMI_MAJOR, across * _SEMI_MINOR)
    second = _E2 / (1.0 - _E2)
    latitude = np.arctan2(
        axial + second * _SEMI_MINOR * np.sin(theta) ** 3,
        across - _E2 * SEMI_MAJOR * np.cos(theta) ** 3,
    )
    longitude = np.arctan2(east, outward)
    return np.stack([anchor.longitude + np.degrees(longitude), np.degrees(latitude)], axis=1)


def metres_per_degree(latitude: float) -> tuple[float, float]:
    """Return the lengths in m of a degree of longitude and of latitude at a ``latitude`` in degrees.

    From the ellipsoid's radii of curvature in the parallel and the meridian (textbook).
    """
    sin = np.sin(np.radians(latitude))
    root = np.sqrt(1.0 - _E2 * sin * sin)
    parallel = SEMI_MAJOR / root * np.cos(np.radians(latitude))
    meridian = SEMI_MAJOR * (1.0 - _E2) / root**3
    return float(np.radians(parallel)), float(np.radians(meridian))


def _east_north(anchor: Anchor, xy: Floats) -> tuple[Floats, Floats]:
    g = np.radians(anchor.grid_north)
    return (
        xy[:, 0] * np.cos(g) + xy[:, 1] * np.sin(g),
        xy[:, 1] * np.cos(g) - xy[:, 0] * np.sin(g),
    )
