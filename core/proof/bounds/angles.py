"""Angles under which patches are seen, and largest values of functions of an angle over a range."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from core.arrays import Floats
from core.proof.bounds.base import Patches
from core.proof.bounds.jet import Jet, compose

STEP = 0.02
"""Degrees between the samples of a function of an angle."""


def spread(distance: Floats, radius: Floats) -> Floats:
    """Return the half-angle (n,) in degrees under which a ball is seen; 180 from inside it.

    Parameters
    ----------
    distance : array
        m.
    radius : array
        m.
    """
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


def azimuth_jet(patches: Patches) -> Jet:
    """Return the jet of the azimuth in rad about the z axis: |φ'| ≤ 1/r⊥, |φ''| ≤ 1/r⊥².

    Parameters
    ----------
    patches : Patches
        The patches, in the antenna's frame.
    """
    c = patches.centre
    near = np.maximum(np.hypot(c[:, 0], c[:, 1]) - patches.radius, 1e-9)
    full = np.full_like(near, 2.0 * np.pi)
    return Jet(full, 1.0 / near, patches.dimension / near**2)


def slope_jet(distance: Floats, low: Floats, high: Floats, dimension: int) -> Jet:
    """Return the jet of the angle t off a fixed axis, in rad, at distances ≥ ``distance``.

    |t'| ≤ 1/D and |t''| ≤ (1 + |cot t|)/D², the second because t'' = sin t cos t α'² - 2 D' t'/D with the
    turn α about the axis, |α'| ≤ 1/(D sin t). ``low`` and ``high`` are the range of t in degrees.

    Parameters
    ----------
    dimension : int
        Directions along which the patch extends.
    """
    away = np.maximum(distance, 1e-9)
    least = np.maximum(np.minimum(low, 180.0 - high), 1e-6)
    flat = 1.0 / np.tan(np.radians(np.minimum(least, 89.99)))
    full = np.full_like(away, np.pi)
    return Jet(full, 1.0 / away, dimension * (1.0 + flat) / away**2)


class RangeMaximum:
    """Largest samples over ranges of an angle: windows of 2^k samples for every k."""

    def __init__(self, low: float, values: Floats) -> None:
        self._low = low
        rows = [np.asarray(values)]
        width = 1
        while 2 * width <= len(values):
            row = rows[-1]
            rows.append(np.maximum(row[: len(row) - width], row[width:]))
            width *= 2
        # One after another, so that a single look-up serves windows of any width.
        self._table = np.concatenate(rows)
        self._start = np.cumsum([0, *(len(r) for r in rows[:-1])])
        self._last = len(values) - 1

    @property
    def top(self) -> float:
        """The largest of all."""
        return float(self._table[: self._last + 1].max())

    def over(self, low: Floats, high: Floats) -> Floats:
        """Return the largest sample in and next to ranges (degrees), held to the span."""
        # Held before the cast, as floats; ceil and floor of what is in the span are indices.
        a = np.floor(np.clip((low - self._low) / STEP, 0.0, self._last)).astype(np.intp)
        b = np.ceil(np.clip((high - self._low) / STEP, 0.0, self._last)).astype(np.intp)
        size = np.frexp((b - a + 1).astype(np.float64))[1] - 1
        start = self._start[size]
        first, second = self._table[start + a], self._table[start + b + 1 - (1 << size)]
        most: Floats = np.maximum(first, second)
        return most


@dataclass(frozen=True, eq=False)
class Curve:
    """A function of an angle in degrees: largest values and derivatives (per rad) over ranges.

    All come from samples every STEP, raised by 2 % for derivatives and by 1e-6 for values: the functions
    here are smooth on a scale of degrees.
    """

    value: RangeMaximum
    first: RangeMaximum
    second: RangeMaximum

    def jet(self, low: Floats, high: Floats, angle: Jet) -> Jet:
        """Return the jet of the function of an angle with a jet in rad and a range in degrees."""
        found = (t.over(low, high) for t in (self.value, self.first, self.second))
        value, first, second = found
        return compose(value, first, second, angle)


def curve(
    function: Callable[[Floats], Floats], low: float, high: float, *, factor: bool = False
) -> Curve:
    """Return the curve of a smooth function on a span of degrees.

    ``factor`` is for functions ≥ 0 that multiply an amplitude: only a negative second derivative can lift the
    product above its chord, so a positive one (as at a corner where the function leaves zero) is left out.

    Parameters
    ----------
    low : float
        Where the range of angles begins, degrees.
    high : float
        Where it ends.
    """
    count = max(int(np.ceil((high - low) / STEP)), 2) + 1
    x = np.minimum(low + STEP * np.arange(count), high)
    y = function(x)
    step = np.radians(STEP)
    first = np.abs(np.diff(y)) / step
    bend = np.diff(y, 2) / step**2
    # The last step may be shorter: its neighbour stands for it.
    first[-1], bend[-1] = first[-2], bend[-2]
    bend = np.maximum(-bend, 0.0) if factor else np.abs(bend)
    # A difference belongs to all the samples it was made from.
    first = np.maximum(np.append(first, 0.0), np.insert(first, 0, 0.0)) * 1.02
    padded = np.concatenate([[bend[0]], bend, [bend[-1]]]) * 1.02
    second = np.maximum(padded, np.maximum(np.roll(padded, 1), np.roll(padded, -1)))
    return Curve(
        RangeMaximum(low, np.abs(y) * (1.0 + 1e-6)),
        RangeMaximum(low, first),
        RangeMaximum(low, second),
    )
