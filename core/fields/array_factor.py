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


_FEW = 2_000
"""Pairs of an element and a direction that one product of matrices has done before they are sorted."""


def direction_factor(
    centre: Floats, weight: NDArray[np.complex128], k: float, unit: Floats
) -> Complexes:
    """Return Σ w exp(jk c·u), complex (n,), over the elements towards directions u.

    Elements above one another share their phase across, and directions of one height that follow each other, as in the
    bands of a sphere, share the sum along the vertical: nothing is left out, only less is computed twice.

    Parameters
    ----------
    centre : array, shape (m, 3)
        Element centres, m.
    weight : complex array, shape (m,)
    k : float
        Wave number, rad/m.
    unit : array, shape (n, 3)
        Unit vectors of directions.
    """
    if len(unit) * len(centre) <= _FEW:
        few: Complexes = weight @ turned(k * (centre @ unit.T))
        return few
    start, count = runs(unit[:, 2])
    levels = k * unit[start, 2]
    total: Complexes = np.zeros(len(unit), np.complex128)
    columns: dict[tuple[float, float], list[int]] = {}
    for i, (x, y, _) in enumerate(centre.tolist()):
        columns.setdefault((x, y), []).append(i)
    for (x, y), rows in columns.items():
        along = np.repeat(_along(centre[rows, 2], weight[rows], levels), count)
        if x or y:
            along *= turned(k * (unit[:, 0] * x + unit[:, 1] * y))
        total += along
    return total


def runs(values: Floats) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
    """Return where equal values that follow each other begin, and how many each time, (m,) both.

    Parameters
    ----------
    values : array, shape (n,)
    """
    edge = np.flatnonzero(values[1:] != values[:-1]) + 1
    start = np.concatenate(([0], edge)) if len(values) else edge
    return start, np.diff(start, append=len(values))


def turned(phase: Floats) -> Complexes:
    """Return exp(j phase), real and imaginary part apart: half the time of a complex exponential.

    Parameters
    ----------
    phase : array
        rad.
    """
    wave: Complexes = np.empty(phase.shape, np.complex128)
    np.cos(phase, out=wave.real)
    np.sin(phase, out=wave.imag)
    return wave


_EVEN = 1e-12
"""Part of their extent by which heights may be off even steps: phases then are good to 1e-10 rad at any size."""


def _along(height: Floats, weight: NDArray[np.complex128], levels: Floats) -> Complexes:
    """Return Σ w exp(j z l), (n,), over heights z (m,), at n levels; even steps as one polynomial."""
    step = (height[-1] - height[0]) / max(len(height) - 1, 1)
    even = height[0] + step * np.arange(len(height))
    if np.abs(height - even).max() > _EVEN * abs(step) * len(height):
        return turned(np.outer(levels, height)) @ weight
    wave = turned(step * levels)
    total = np.full(len(levels), weight[-1])
    for w in weight[-2::-1]:
        total *= wave
        total += w
    total *= turned(height[0] * levels)
    return total
