"""The worst moving average of exposure along a way with stays, exact for piecewise constant exposure.

A stay is "at most so long": people may leave a place earlier, so a rest in between never lowers the result, and more
dwell never does. The average is over every window of the set's averaging time, with no exposure before the start and
after the end (sum of level times time over any window ≤ limit times window: FCC OET Bulletin 65, time averaging).

How it is found. P(m) is the exposure gathered by moving up to the moving time m. A window holds the moves from a to b
and stays between them; the time left by the moves goes to the stays with the highest levels first. For stays F in full
and one more, q of level u, in part, what a window gathers is

    P(b) - u b - (P(a) - u a) + Σ_F level · time + u (window - Σ_F time),

with b - a between two gaps. P is straight between the steps of the moves, so the largest value has a or b on a step:
both, which is a moving minimum over a for each b, or one of them, and b - a at one of the two gaps.
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
_NOISE = 1e-9
_HALVINGS = 16
"""Of the averaging time, to find a longest stay: to well under a tenth of a second."""


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


def worst_window(
    moves: Moves, stays: Sequence[Stay], window: float, using: int | None = None
) -> float:
    """Return the largest average over any window of a way, as a fraction of the limit.

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
    >>> worst_window(still, [Stay(0, 2.0, 180.0)], 360.0)
    1.0
    """
    gathered = np.concatenate([[0.0], np.cumsum(moves.levels)]) * moves.step
    small = [s for s in stays if s.level < _SMALL]
    large = [s for s in stays if s.level >= _SMALL and s.seconds > 0.0]
    extra = sum(s.level * min(s.seconds, window) for s in small)
    wanted = None if using is None else stays[using]
    most = 0.0
    for filled in _fillings(large, window, wanted):
        most = max(most, _most(gathered, moves.step, filled, window))
    return (most + extra) / window


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
        # Without its first or its last stay the window is one of fewer stays, which is looked at by itself.
        needed = [s for s in (stays[i], stays[j], wanted) if s is not None]
        seconds = gathered = 0.0
        for n, stay in enumerate(inside, 1):
            if all(any(s is held for held in inside[:n]) for s in needed):
                yield _Filling(first, last, seconds, gathered, stay.level, stay.seconds)
            seconds += stay.seconds
            gathered += stay.level * stay.seconds
            if seconds >= window:
                break
        else:
            if wanted is None or any(s is wanted for s in inside):
                yield _Filling(first, last, seconds, gathered, 0.0, math.inf)


def _most(gathered: Floats, step: float, filled: _Filling, window: float) -> float:
    """Return the most that a window with a filling gathers, limit times s; 0 where there is no such window."""
    left = window - filled.seconds
    if (filled.last - filled.first) * step > left and filled.first >= 0:
        return 0.0
    gaps = max(0.0, left - filled.most) / step, left / step
    end = len(gathered) - 1
    first = end if filled.first < 0 else filled.first
    steps = np.arange(len(gathered))
    drift = gathered - filled.level * step * steps
    found = [-np.inf, _on_steps(drift, first, filled.last, gaps)]
    for gap in gaps:
        starts = steps[: first + 1]
        starts = starts[(starts + gap >= filled.last - _NOISE) & (starts + gap <= end + _NOISE)]
        ends = steps[filled.last :]
        ends = ends[(ends - gap >= -_NOISE) & (ends - gap <= first + _NOISE)]
        for rise in (
            np.interp(starts + gap, steps, drift) - drift[starts],
            drift[ends] - np.interp(ends - gap, steps, drift),
        ):
            found.append(float(rise.max(initial=-np.inf)))
    return max(found) + filled.gathered + filled.level * left if max(found) > -np.inf else 0.0


def _on_steps(drift: Floats, first: int, last: int, gaps: tuple[float, float]) -> float:
    """Return the largest rise of the drift from a step up to ``first`` to one from ``last`` on, by whole gaps."""
    least, most = math.ceil(gaps[0] - _NOISE), math.floor(gaps[1] + _NOISE)
    last_end = min(len(drift) - 1, first + most)
    if least > most or last_end < last:
        return -math.inf
    # Steps a from b - most to b - least, none after ``first``.
    starts = np.full(last_end + 1 + most, np.inf)
    reach = min(first, last_end)
    starts[most : most + reach + 1] = drift[: reach + 1]
    lowest = _moving_minimum(starts[last:], most - least + 1)[: last_end + 1 - last]
    return float((drift[last : last_end + 1] - lowest).max())


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
            total += worst_window(moved, changed, window, index)
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
