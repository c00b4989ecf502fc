"""Angles under which patches are seen, and largest values of functions of an angle over a range."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from core.arrays import Floats
from core.bounds.base import Patches
from core.bounds.jet import Jet, compose

STEP = 0.02
"""Degrees between the samples of a function of an angle."""


def spread(distance: Floats, radius: Floats) -> Floats:
    """Return the half-angle (n,) in degrees under which a ball is seen; 180 from inside it."""
    inside = radius >= distance
    ratio = np.where(inside, 1.0, radius / np.where(inside, 1.0, distance))
    return np.where(inside, 180.0, np.degrees(np.arcsin(ratio)) + 1e-7)


def azimuth_range(patches: Patches) -> tuple[Floats, Floats]:
    """Return the least and the largest angle |φ| (n,) off the x axis, in plan, over patches, degrees."""
    c = patches.centre
    across = np.hypot(c[:, 0], c[:, 1])
    middle = np.degrees(np.arctan2(np.abs(c[:, 1]), c[:, 0]))
    wide = spread(across, patches.radius)
    return np.maximum(middle - wide, 0.0), np.minimum(middle + wide, 180.0)


def azimuth_jet(patches: Patches, origin: Floats | None = None) -> Jet:
    """Return the jet of the azimuth in rad about a vertical axis: |φ'| ≤ 1/r, |φ''| ≤ 1/r²."""
    c = patches.centre if origin is None else patches.centre - origin
    near = np.maximum(np.hypot(c[:, 0], c[:, 1]) - patches.radius, 1e-9)
    full = np.full_like(near, 2.0 * np.pi)
    return Jet(full, 1.0 / near, patches.dimension / near**2)


@dataclass(frozen=True, eq=False)
class Curve:
    """A function of an angle in degrees with bounds of its derivatives.

    ``value`` finds largest values over ranges; ``first`` and ``second`` bound the derivatives with
    respect to the angle in rad over the whole span. All come from samples every STEP, raised by 2 %
    for the derivatives and by 1e-6 for values: the functions here are smooth on a scale of degrees.
    """

    low: float
    high: float
    table: tuple[Floats, ...]
    first: float
    second: float

    def over(self, low: Floats, high: Floats) -> Floats:
        """Return the largest value (n,) on ranges of the angle, held to the span."""
        last = len(self.table[0]) - 1
        a = np.clip(np.floor((low - self.low) / STEP), 0, last).astype(np.intp)
        b = np.clip(np.ceil((high - self.low) / STEP), 0, last).astype(np.intp)
        size = np.frexp((b - a + 1).astype(np.float64))[1] - 1
        out = np.empty(len(a))
        for k in np.unique(size):
            mine = size == k
            row = self.table[k]
            out[mine] = np.maximum(row[a[mine]], row[b[mine] - (1 << int(k)) + 1])
        return out

    def jet(self, low: Floats, high: Floats, angle: Jet) -> Jet:
        """Return the jet of the function of an angle with a jet in rad and a range in degrees."""
        return compose(self.over(low, high), self.first, self.second, angle)


def curve(function: Callable[[Floats], Floats], low: float, high: float) -> Curve:
    """Return the curve of a smooth function on a span of degrees."""
    count = max(int(np.ceil((high - low) / STEP)), 2) + 1
    x = low + STEP * np.arange(count)
    y = np.abs(function(np.minimum(x, high))) * (1.0 + 1e-6)
    inner = function(np.linspace(low, high, count))
    step = np.radians((high - low) / (count - 1))
    first = float(np.max(np.abs(np.diff(inner)))) / step * 1.02
    second = float(np.max(np.abs(np.diff(inner, 2)))) / step**2 * 1.02
    table = [y]
    width = 1
    while 2 * width <= count:
        row = table[-1]
        table.append(np.maximum(row[: len(row) - width], row[width:]))
        width *= 2
    return Curve(low, high, tuple(table), first, second)
