"""Percent along a way: what the exposure cannot exceed in each step of time on it, and at each of its places."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from core.arrays import Bools, Floats
from core.entry.measures import Measures
from core.entry.way import Piece, Place, Way
from core.progress import Asked, stop_if
from core.proof.along import Strip, along, peak

_STEPS = 3600
"""Steps of time in the shortest averaging time."""
_LONGEST = 40_000
"""Steps of time on a way at most: on longer ways they are longer."""
_STILL = 1.0
"""s: steps of a way where no averaging time is known."""


@dataclass(frozen=True, slots=True)
class Profile:
    """Exposure on a way.

    Attributes
    ----------
    step : float
        Seconds of a step of the moves.
    levels : array, shape (steps, totals)
        What no total exceeds during each step on the move.
    at : array of int, shape (places,)
        After how many steps of the moves each place is reached.
    still : array, shape (places, totals)
        What no total exceeds at each place.
    points : array, shape (steps, 3)
        Where each step begins, m.
    climbs : bool array, shape (steps,)
        Whether each step is on a ladder.
    """

    step: float
    levels: Floats
    at: tuple[int, ...]
    still: Floats
    points: Floats
    climbs: Bools


def profile(way: Way, against: Measures, cancelled: Asked | None = None) -> Profile:
    """Return the exposure on a way.

    Parameters
    ----------
    way : Way
        Places and legs.
    against : Measures
        The totals that are asked for.
    cancelled : Asked or None
        Asked between pieces of work.
    """
    windows = [c.window for c in against.columns if c.window is not None]
    moving = sum(leg.seconds for leg in way.legs)
    step = max(min(windows) / _STEPS if windows else _STILL, moving / _LONGEST)
    known: dict[tuple[object, ...], Floats] = {}
    levels: list[Floats] = [np.zeros((0, len(against.columns)))]
    points: list[Floats] = [np.zeros((0, 3))]
    climbs: list[Bools] = [np.zeros(0, bool)]
    at = [0]
    for leg in way.legs:
        count = 0
        for piece in leg.pieces:
            n = max(1, math.ceil(piece.seconds / step - 1e-9))
            # The way back over the same piece is the same the other way round.
            forward = piece.start <= piece.end
            ends = (piece.start, piece.end) if forward else (piece.end, piece.start)
            key = (*ends, piece.heights, n)
            if key not in known:
                part = Piece(*ends, piece.heights, piece.seconds)
                known[key] = _levels(part, n, against, cancelled)
            levels.append(known[key] if forward else known[key][::-1])
            points.append(np.linspace(piece.start, piece.end, n, endpoint=False))
            climbs.append(np.full(n, piece.climbs))
            count += n
        at.append(at[-1] + count)
    still: dict[tuple[object, ...], Floats] = {}
    for place in way.places:
        spot = (place.position, place.heights)
        if spot not in still:
            stop_if(cancelled)
            still[spot] = level_at(place, against)
    return Profile(
        step,
        np.concatenate(levels),
        tuple(at),
        np.array([still[p.position, p.heights] for p in way.places]),
        np.concatenate(points),
        np.concatenate(climbs),
    )


def level_at(place: Place, against: Measures) -> Floats:
    """Return what no total (totals,) exceeds over the whole column of a body at a place.

    Parameters
    ----------
    place : Place
        The place.
    against : Measures
        The totals that are asked for.
    """
    foot = np.array(place.position, dtype=np.float64)
    low, high = (foot + np.array([0.0, 0.0, h]) for h in place.heights)
    return peak(against.enclosed, against.held, low, high, against.grain)


def _levels(piece: Piece, count: int, against: Measures, cancelled: Asked | None) -> Floats:
    """Return what no total exceeds on each of ``count`` equal parts of a piece, (count, totals)."""
    start, end = (np.array(p, dtype=np.float64) for p in (piece.start, piece.end))
    length = float(np.linalg.norm(end - start))
    strip = along(
        against.enclosed, against.held, start, end, piece.heights, against.grain, cancelled
    )
    part = length / count
    reach = np.array(piece.heights) * (end - start)[2] / length
    low, high = min(0.0, float(reach.min())), max(0.0, float(reach.max()))
    before, after = math.ceil(-low / part - 1e-9), math.ceil(high / part - 1e-9)
    most = _most_by_part(strip, -before * part, part, count + before + after)
    # A body at a place has its column from ``low`` to ``high`` m along the way from there.
    least_reach = math.floor(float(reach.min()) / part + 1e-9)
    most_reach = math.ceil(float(reach.max()) / part - 1e-9)
    first, width = before + least_reach, most_reach - least_reach + 1
    return _moving_most(most[first:], width)[:count]


def _most_by_part(strip: Strip, start: float, part: float, count: int) -> Floats:
    """Return the most (count, totals) on equal parts of the way from ``start`` on."""
    out = np.zeros((count, strip.left.shape[1]))
    first = np.clip(np.floor((strip.low - start) / part - 1e-9), 0, count - 1).astype(int)
    last = np.clip(np.ceil((strip.high - start) / part + 1e-9) - 1, 0, count - 1).astype(int)
    many = np.maximum(last - first + 1, 0)
    cell = np.repeat(np.arange(len(many)), many)
    which = first[cell] + np.arange(len(cell)) - np.repeat(np.cumsum(many) - many, many)
    side = strip.high[cell] - strip.low[cell]
    for edge in (0, 1):
        way = np.clip((start + (which + edge) * part - strip.low[cell]) / side, 0.0, 1.0)[:, None]
        value = strip.left[cell] + way * (strip.right[cell] - strip.left[cell])
        np.maximum.at(out, which, value)
    return out


def _moving_most(values: Floats, width: int) -> Floats:
    """Return the largest of every ``width`` neighbours (n - width + 1, totals), by doubling."""
    size, most = 1, values
    while 2 * size <= width:
        most = np.maximum(most[:-size], most[size:])
        size *= 2
    count = len(values) - width + 1
    return np.maximum(most[:count], most[width - size : width - size + count])
