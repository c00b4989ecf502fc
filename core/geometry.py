"""Frames, directions and distances.

Site frame: x east, y north, z up. Antenna frame: x forward along the boresight, y to the left, z up,
right-handed. Azimuth runs clockwise from true north, tilt is positive down, roll is clockwise seen
from behind the antenna.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from core.arrays import Floats, Points


def axes(azimuth: float, tilt: float = 0.0, roll: float = 0.0) -> NDArray[np.float64]:
    """Return the antenna's axes in the site frame.

    Parameters
    ----------
    azimuth, tilt, roll : float
        Degrees. The order on the mount is azimuth, then mechanical tilt, then roll.

    Returns
    -------
    array, shape (3, 3)
        Columns are the unit vectors forward, left and up: ``site = local @ axes.T``.
    """
    a, b, c = np.radians([azimuth, tilt, roll])
    forward = np.array([np.sin(a) * np.cos(b), np.cos(a) * np.cos(b), -np.sin(b)])
    left = np.array([-np.cos(a), np.sin(a), 0.0])
    up = np.cross(forward, left)
    rolled_left = left * np.cos(c) + up * np.sin(c)
    rolled_up = up * np.cos(c) - left * np.sin(c)
    return np.stack([forward, rolled_left, rolled_up], axis=1)


def to_local(points: Points, origin: Floats, frame: NDArray[np.float64]) -> Floats:
    """Return site points (n, 3) in the antenna frame, in the dtype of ``points``.

    Parameters
    ----------
    origin : array
        Position in the site frame, m.
    """
    offset = points - np.asarray(origin, dtype=points.dtype)
    local: Floats = offset @ frame.astype(points.dtype)
    return local


def directions(local: Points) -> tuple[Floats, Floats, Floats]:
    """Return distance (m), azimuth off boresight (degrees, clockwise) and elevation (degrees, up).

    Parameters
    ----------
    local : array, shape (n, 3)
        Places in the antenna frame, m.
    """
    x, y, z = local[:, 0], local[:, 1], local[:, 2]
    across = np.hypot(x, y)
    return np.hypot(across, z), np.degrees(np.arctan2(-y, x)), np.degrees(np.arctan2(z, across))


def segment_distance(points: Points, start: Floats, end: Floats) -> Floats:
    """Return the distance (n,) from points (n, 3) to the segment from ``start`` to ``end``."""
    span = np.asarray(end, dtype=points.dtype) - np.asarray(start, dtype=points.dtype)
    offset = points - np.asarray(start, dtype=points.dtype)
    length2 = float(span @ span)
    along = np.clip(offset @ span / length2, 0.0, 1.0) if length2 > 0 else np.zeros(len(points))
    nearest = offset - along[:, None].astype(points.dtype) * span
    distance: Floats = np.sqrt(np.einsum("ij,ij->i", nearest, nearest))
    return distance


def bearing(azimuth: float) -> tuple[float, float]:
    """Return the unit vector (east, north) of an azimuth in degrees.

    Examples
    --------
    >>> [round(c, 6) for c in bearing(90.0)]
    [1.0, 0.0]
    """
    angle = np.radians(azimuth)
    return float(np.sin(angle)), float(np.cos(angle))
