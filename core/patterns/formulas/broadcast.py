"""Textbook elements and stacks of broadcast antennas, as relative field (1 at the maximum).

The forms are those on which ITU-R BS.1195-1 rests (from memory). Nulls in them are ideal: for
exposure give the ``floor`` that mounting, tower and manufacture leave, 0.1 to 0.5 by element.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from core.patterns.model import wrap

Array = NDArray[np.float64]


def sinusoidal_field(elevation: ArrayLike, *, height: float = 90.0) -> Array:
    """Return the vertical pattern of a thin radiator with sinusoidal current.

    ``[cos(G sin e) - cos G] / [(1 - cos G) cos e]``: a tower of ``height`` G electrical degrees over
    perfect ground (47 CFR 73.160(b)(1), form from memory), or a dipole of half-length G in free
    space; 90 is the half-wave dipole. Negative beyond a null. 0 at the zenith.

    Parameters
    ----------
    elevation : array_like
        Degrees up.
    """
    up = np.radians(np.asarray(elevation, dtype=np.float64))
    g = np.radians(height)
    across = np.cos(up)
    pole = np.abs(across) < 1e-6
    shape = (np.cos(g * np.sin(up)) - np.cos(g)) / np.where(pole, 1.0, across)
    return np.where(pole, 0.0, shape / (1.0 - np.cos(g)))


def stack_field(
    elevation: ArrayLike, *, bays: int, spacing: float, tilt: float = 0.0, floor: float = 0.0
) -> Array:
    """Return the relative field of equal bays one above the other, each with a cosine element.

    Parameters
    ----------
    bays : int
        Number N of bays.
    spacing : float
        Wavelengths between bays.
    tilt : float
        Beam tilt by phase, degrees positive down.
    floor : float
        Smallest relative field anywhere. With one wavelength of spacing the array factor is 1
        straight down, and only the element's ideal null hides it.
    elevation : array_like
        Degrees up.

    Notes
    -----
    ``|sin(N u/2) / (N sin(u/2))| cos e``, ``u = 2 pi spacing (sin e + sin tilt)``.
    """
    up = np.radians(np.asarray(elevation, dtype=np.float64))
    half = np.pi * spacing * (np.sin(up) + np.sin(np.radians(tilt)))
    below = np.sin(half)
    flat = np.abs(below) < 1e-9
    factor = np.where(flat, 1.0, np.sin(bays * half) / np.where(flat, 1.0, bays * below))
    return np.asarray(np.maximum(np.abs(factor) * np.abs(np.cos(up)), floor))


def cosine_power_field(azimuth: ArrayLike, *, width: float, floor: float = 0.0) -> Array:
    """Return ``cos^n(azimuth)`` in front and ``floor`` behind, for a panel.

    ``n`` follows from the half-power ``width`` in degrees (under 180): the field is ``1/sqrt(2)``
    at half of it.

    Raises
    ------
    ValueError
        If it cannot be used.
    """
    if not 0.0 < width < 180.0:
        raise ValueError("the half-power width must lie between 0 and 180 degrees")
    n = np.log(0.5) / (2.0 * np.log(np.cos(np.radians(width / 2.0))))
    cosine = np.maximum(np.cos(np.radians(wrap(azimuth))), 0.0)
    return np.asarray(np.maximum(cosine**n, floor))
