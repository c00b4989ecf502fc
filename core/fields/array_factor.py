"""The sum over an array seen from well outside it.

From ten times its reach the directions to all elements differ by less than 6°, so the element pattern
may be taken once from the array's centre while every distance stays exact: phases are what makes lobes.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from core.arrays import Complexes, Floats, Points

FAR_REACHES = 10.0
"""Distance from the centre, in reaches of the array, from which the common direction is used. At the
farthest element the direction is 5.7° off, which moves a dipole's pattern by 0.04 dB abeam."""

FAR_ELEVATION = 0.8
"""Sine of the elevation up to which the common direction is used: nearer to the axis of a vertical
array its elements point their nulls there, and small angles decide."""

_CHUNK = 8192


def array_factor(
    centre: Floats, weight: NDArray[np.complex128], k: float, points: Points
) -> tuple[Complexes, Floats]:
    """Return Σ w exp(-jkr)/r, complex (n,), and Σ |w|²/r², (n,), over the elements.

    Parameters
    ----------
    centre : array, shape (m, 3)
        Element centres, m.
    weight : complex array, shape (m,)
    k : float
        Wave number, rad/m.
    points : array, shape (n, 3)
        Places outside the array, m; their precision is kept.
    """
    n = len(points)
    real = points.dtype.type
    ctype = np.complex64 if real is np.float32 else np.complex128
    total: Complexes = np.zeros(n, dtype=ctype)
    each: Floats = np.zeros(n, points.dtype)
    for start in range(0, n, _CHUNK):
        part = slice(start, start + _CHUNK)
        x, y, z = np.ascontiguousarray(points[part].T)
        re, im, square = np.zeros_like(x), np.zeros_like(x), np.zeros_like(x)
        for (cx, cy, cz), w in zip(centre, weight, strict=True):
            r2 = (x - real(cx)) ** 2
            r2 += (y - real(cy)) ** 2
            r2 += (z - real(cz)) ** 2
            r = np.sqrt(r2)
            # exp(-jkr) w = |w| exp(-j(kr - arg w))
            phase = r * real(k)
            phase -= real(np.angle(w))
            fall = real(abs(w)) / r
            re += np.cos(phase) * fall
            im -= np.sin(phase) * fall
            square += fall * fall
        total[part].real, total[part].imag = re, im
        each[part] = square
    return total, each
