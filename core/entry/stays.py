"""How long people may stay on a way: worst windows against every table of a tier, and the longest stay at each stop.

Each table is averaged over its own time; where emitters in one table have different times, the worst averages of each
are added, which errs high. A table that allows no averaging for an emitter that radiates counts at its peak.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from core.arrays import Floats
from core.entry.measures import Measures
from core.entry.profile import Profile
from core.entry.way import Way
from core.entry.window import Moves, Stay, longest_stay, worst_window
from core.limits.tier import Tier


@dataclass(frozen=True, slots=True)
class WorstWindow:
    """The worst average on a way, as a fraction of the limit.

    ``window`` is the averaging time in s, None where there is none and the peak counts; ``start`` and ``end`` are s
    from the start of the way with every stay in full. ``cut_short`` says that it is worse when a stay is left early.
    """

    average: float
    window: float | None
    start: float
    end: float
    cut_short: bool = False


@dataclass(frozen=True, slots=True)
class Timed:
    """A way against one tier: a profile, the stays, and the columns of each table by averaging time."""

    profile: Profile
    dwell: tuple[float, ...]
    against: Measures
    tier: Tier

    def groups(self, table: int) -> list[tuple[float, Moves, list[Stay]]]:
        """Return for each averaging time of a table the moves and the stays."""
        out = []
        for window, columns in self.against.averaged(self.tier, table).items():
            moves = Moves(_most(self.profile.levels, columns), self.profile.step)
            still = _most(self.profile.still, columns)
            stays = [
                Stay(at, float(level), seconds)
                for at, level, seconds in zip(self.profile.at, still, self.dwell, strict=True)
            ]
            out.append((window, moves, stays))
        return out

    @property
    def tables(self) -> list[int]:
        """The tables of the tier."""
        return [table for tier, table in self.against.tables if tier == self.tier]

    @property
    def unaveraged(self) -> list[int]:
        """Those that allow no averaging."""
        return [table for tier, table in self.against.unaveraged if tier == self.tier]

    def peaks(self, table: int) -> tuple[Floats, Floats]:
        """Return the levels (steps,) on the move and (places,) at the places, of all emitters of a table."""
        columns = [i for i in self.against.of(self.tier) if self.against.columns[i].table == table]
        return _most(self.profile.levels, columns), _most(self.profile.still, columns)


def _most(levels: Floats, columns: Sequence[int]) -> Floats:
    return np.asarray(levels[:, list(columns)].max(axis=1, initial=0.0))


def timed(way: Way, profile: Profile, against: Measures, tier: Tier) -> Timed:
    """Return a way against one tier.

    Parameters
    ----------
    way : Way
        Its places and stays.
    profile : Profile
        Its exposure.
    against : Measures
        What the exposure is held against.
    tier : {"public", "occupational"}
        Whose limit.
    """
    return Timed(profile, tuple(p.stop.dwell for p in way.places), against, tier)


def worst_of(one: Timed) -> WorstWindow:
    """Return the worst window of one way against all tables of a tier."""
    return max((_worst(one, table) for table in one.tables), key=lambda w: w.average)


def peak_of(one: Timed, table: int) -> WorstWindow:
    """Return the peak on one way as a window of no length, for a table of a tier."""
    moves, still = one.peaks(table)
    clock = _clock(one)
    if len(moves) and moves.max() > still.max():
        step = int(np.argmax(moves))
        at = step * one.profile.step + _stayed(one, step)
        return WorstWindow(float(moves[step]), None, at, at + one.profile.step)
    place = int(np.argmax(still))
    return WorstWindow(float(still[place]), None, clock[place], clock[place] + one.dwell[place])


def _worst(one: Timed, table: int) -> WorstWindow:
    if table in one.unaveraged:
        return peak_of(one, table)
    found = [(w, worst_window(m, s, w), m, s) for w, m, s in one.groups(table)]
    if not found:
        return WorstWindow(0.0, None, 0.0, 0.0)
    total = sum(average for _, average, _, _ in found)
    window, average, moves, stays = max(found, key=lambda f: f[1])
    planned, end = _as_planned(moves, stays, window)
    return WorstWindow(total, window, max(0.0, end - window), end, average > 1.01 * planned)


def _as_planned(moves: Moves, stays: Sequence[Stay], window: float) -> tuple[float, float]:
    """Return the largest average with every stay in full, and the time at which that window ends, s."""
    clock, gathered = timeline(moves, stays)
    ends = np.unique(np.concatenate([clock, clock + window]))
    value = np.interp(ends, clock, gathered) - np.interp(ends - window, clock, gathered)
    top = int(np.argmax(value))
    return float(value[top]) / window, float(ends[top])


def timeline(moves: Moves, stays: Sequence[Stay]) -> tuple[Floats, Floats]:
    """Return times (n,) in s and the exposure gathered until then (n,), limit times s, every stay in full.

    Parameters
    ----------
    moves : Moves
        Exposure on the move.
    stays : sequence of Stay
        In the order of the way.
    """
    steps = len(moves.levels)
    place = np.array([s.step for s in stays], dtype=np.intp)
    seconds = np.insert(np.full(steps, moves.step), place, [s.seconds for s in stays])
    levels = np.insert(moves.levels, place, [s.level for s in stays])
    clock = np.concatenate([[0.0], np.cumsum(seconds)])
    return clock, np.concatenate([[0.0], np.cumsum(seconds * levels)])


def stays_allowed(one: Timed, ceiling: float) -> list[float]:
    """Return the longest stay at each place of a way, s; infinity where it can be of any length.

    Parameters
    ----------
    one : Timed
        The way against a tier that may be averaged over time.
    ceiling : float
        Fraction of the limit above which no stay is allowed.
    """
    out = [math.inf] * len(one.dwell)
    for table in one.tables:
        _, still = one.peaks(table)
        if table in one.unaveraged:
            out = [0.0 if level > 1.0 else stay for level, stay in zip(still, out, strict=True)]
            continue
        groups = one.groups(table)
        windows = [w for w, _, _ in groups]
        for i, level in enumerate(still):
            if level > ceiling:
                out[i] = 0.0
            elif groups and out[i] > 0.0:
                own = longest_stay([m for _, m, _ in groups], [s for _, _, s in groups], windows, i)
                out[i] = min(out[i], own)
    return out


def _clock(one: Timed) -> list[float]:
    """Return when each place is reached, s from the start."""
    out, stayed = [], 0.0
    for at, seconds in zip(one.profile.at, one.dwell, strict=True):
        out.append(at * one.profile.step + stayed)
        stayed += seconds
    return out


def _stayed(one: Timed, step: int) -> float:
    return sum(s for at, s in zip(one.profile.at, one.dwell, strict=True) if at <= step)
