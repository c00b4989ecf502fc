"""The worst moving average of exposure along a way with stays, exact for piecewise constant exposure.

A stay is "at most so long": people may leave a place earlier, so a rest in between never lowers the result, and more
dwell never does. The average is over every window of the set's averaging time, with no exposure before the start and
after the end (sum of level times time over any window ≤ limit times window: FCC OET Bulletin 65, time averaging).

How it is found. P(m) is the exposure gathered by moving up to the moving time m. A window holds the moves from a to b
and stays between them; the time left by the moves goes to the stays with the highest levels first. For stays F in full
and one more, q of level u, in part, what a window gathers is

    P(b) - u b - (P(a) - u a) + Σ_F level · time + u (window - Σ_F time),

with b - a between two gaps: for each b the least of the second term over a range of a, a moving minimum. P is straight
between the steps of the grid, so the largest value lies on it; the gaps are widened to whole steps, which errs high.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from core.arrays import Floats

_SMALL = 1e-4
"""Fraction of the limit: stays at lower levels are added as they are, whatever else the window holds."""
_HALVINGS = 22
"""Of the averaging time, to find a longest stay: well under a tenth of a second."""


@dataclass(frozen=True, slots=True)
class Stay:
    """A stay of at most ``seconds`` at ``level`` (fraction of the limit), after ``step`` steps of the moves."""

    step: int
    level: float
    seconds: float


@dataclass(frozen=True, slots=True)
class Moves:
    """Exposure on the move: fraction of the limit (n,) in each of n steps of ``step`` seconds."""

    levels: Floats
    step: float


@dataclass(frozen=True, slots=True)
class Worst:
    """The largest average: as a fraction of the limit, and the steps of the moves between which it lies."""

    average: float
    first: int
    last: int


def worst_window(
    moves: Moves, stays: Sequence[Stay], window: float, using: int | None = None
) -> Worst:
    """Return the largest average over any window of a way.

    Parameters
    ----------
    moves : Moves
        Exposure on the move.
    stays : sequence of Stay
        In the order of the way.
    window : float
        Averaging time, s.
    using : int, optional
        Only windows that hold this stay, or a part of it.

    Examples
    --------
    Twice the limit for three minutes, then nothing:

    >>> still = Moves(np.zeros(0), 0.1)
    >>> worst_window(still, [Stay(0, 2.0, 180.0)], 360.0).average
    1.0
    """
    gathered = np.concatenate([[0.0], np.cumsum(moves.levels)]) * moves.step
    small = [s for s in stays if s.level < _SMALL]
    large = [s for s in stays if s.level >= _SMALL and s.seconds > 0.0]
    extra = sum(s.level * min(s.seconds, window) for s in small)
    best = Worst(0.0, 0, 0)
    wanted = None if using is None else stays[using]
    for filled in _fillings(large, window, wanted):
        one = _best(gathered, moves.step, filled, window)
        if one is not None and one.average > best.average:
            best = one
    return replace(best, average=best.average + extra / window)


@dataclass(frozen=True, slots=True)
class _Filling:
    """Stays that a window holds: in full for ``seconds`` with what they give, and one more in part.

    ``level`` and ``most`` of the one in part; the moves reach from step ``first`` or earlier to ``last`` or later.
    """

    first: int
    last: int
    seconds: float
    gathered: float
    level: float
    most: float


def _fillings(stays: Sequence[Stay], window: float, wanted: Stay | None) -> Iterator[_Filling]:
    """Yield the stays a window can hold, filled with the highest levels first; those with the ``wanted`` one only."""
    if wanted is None:
        yield _Filling(-1, 0, 0.0, 0.0, 0.0, math.inf)
    for i, j in itertools.combinations_with_replacement(range(len(stays)), 2):
        inside = sorted(stays[i : j + 1], key=lambda s: -s.level)
        first, last = stays[i].step, stays[j].step
        seconds = gathered = 0.0
        held = wanted is None
        for stay in inside:
            held = held or stay is wanted
            if held:
                yield _Filling(first, last, seconds, gathered, stay.level, stay.seconds)
            seconds += stay.seconds
            gathered += stay.level * stay.seconds
            if seconds >= window:
                break
        else:
            if held:
                yield _Filling(first, last, seconds, gathered, 0.0, math.inf)


def _best(gathered: Floats, step: float, filled: _Filling, window: float) -> Worst | None:
    left = window - filled.seconds
    least = max(0, math.floor(max(0.0, left - filled.most) / step + 1e-9))
    most = math.ceil(left / step - 1e-9)
    count = len(gathered)
    first = count - 1 if filled.first < 0 else filled.first
    last_end = min(count - 1, first + most)
    if last_end < filled.last:
        return None
    drift = gathered - filled.level * step * np.arange(count)
    # Steps a from b - most to b - least, none after ``first``.
    starts = np.full(last_end + 1 + most, np.inf)
    starts[most : most + min(first, last_end) + 1] = drift[: min(first, last_end) + 1]
    ends = np.arange(filled.last, last_end + 1)
    lowest = _moving_minimum(starts[filled.last :], most - least + 1)[: len(ends)]
    value = drift[ends] - lowest
    top = int(np.argmax(value))
    if not np.isfinite(value[top]):
        return None
    end = int(ends[top])
    reach = starts[end : end + most - least + 1]
    start = end - most + int(np.argmin(reach))
    total = float(value[top]) + filled.gathered + filled.level * left
    return Worst(total / window, start, end)


def _moving_minimum(values: Floats, width: int) -> Floats:
    """Return the least of every ``width`` neighbours (n - width + 1,), by doubling."""
    size, least = 1, values
    while 2 * size <= width:
        least = np.minimum(least[:-size], least[size:])
        size *= 2
    count = len(values) - width + 1
    return np.minimum(least[:count], least[width - size : width - size + count])


def longest_stay(
    moves: Sequence[Moves], stays: Sequence[Sequence[Stay]], windows: Sequence[float], index: int
) -> float:
    """Return how long a stay can be, the rest of the way as it is, with no window that holds it over the limit.

    Parameters
    ----------
    moves : sequence of Moves
        One for each group of emitters that has an averaging time of its own; their averages add.
    stays : sequence of sequence of Stay
        The same for the stays.
    windows : sequence of float
        Averaging times, s.
    index : int
        Which stay is asked for.

    Returns
    -------
    float
        s; 0 where what lies around it is over the limit already, infinity where a stay can be of any length.
    """

    def average(seconds: float) -> float:
        total = 0.0
        for moved, stayed, window in zip(moves, stays, windows, strict=True):
            changed = [
                replace(s, seconds=seconds) if i == index else s for i, s in enumerate(stayed)
            ]
            total += worst_window(moved, changed, window, index).average
        return total

    low, high = 0.0, max(windows)
    if average(high) <= 1.0 + 1e-12:
        return math.inf
    if average(low) > 1.0:
        return 0.0
    for _ in range(_HALVINGS):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if average(middle) <= 1.0 + 1e-12 else (low, middle)
    return low
