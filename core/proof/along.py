"""What a site's exposure cannot exceed along a straight way, for every height of the body that moves on it.

No threshold is searched for: cells are halved until the majorant of each emitter is close to its field, wherever that
is. So a profile is bounded between its samples, not only at them. An emitter whose majorant is close on a cell is
settled: what it has at the corners is interpolated for all smaller cells, while others are still looked at.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from core.arrays import Bools, Floats, highest
from core.progress import Asked, stop_if
from core.proof.assess import Assessor, Pairs, Plane, squared, summed
from core.proof.bounds.base import ALL_REACTIVE, NOT_REACTIVE, Bound
from core.proof.cells import Open, Unsettled, join
from core.proof.enclosure import Enclosure
from core.proof.lattice import Indices, cover
from core.proof.settling import remembered
from core.proof.step import Stepper
from core.proof.tolerance import Fineness

SHARE = 0.02
"""An emitter is close enough on a cell when its majorant is over its field by less than this share of it, or by less
than the grain of the total."""
FINEST = 0.01
"""m: cells are not made smaller."""
_BOX_SHARE = 0.05
"""A peak is close enough when it is over a field that was seen by less than this share of it."""
_ACROSS = 32
_ACROSS_BOX = {1: 16, 2: 8, 3: 4}
_POINT = 1e-3
"""m: a side no longer than this is none."""
_WEAK = 0.1
"""Of the grain: an emitter that cannot make more on a cell counts as if it made that much on all of it."""
_HOPEFUL = 3.0
"""Times what is close enough: an emitter that is likely to be farther off on a cell is not looked at yet."""
_NO_FIGURE = 1e6
"""Times the limit: larger figures are none."""
_CELLS, _PAIRS = 16_384, 200_000
_MOST = 150_000
"""Cells of a level at most: more are not halved, which makes the bound looser, never lower."""


@dataclass(frozen=True, slots=True)
class Strip:
    """A majorant over a way: cells (n,) from ``low`` to ``high`` m along it, which may lie on each other.

    On each of them every total is at most the straight line between ``left`` and ``right`` (n, totals), whatever the
    height of the body.
    """

    low: Floats
    high: Floats
    left: Floats
    right: Floats


def along(
    enclosed: Enclosure,
    held: Floats,
    start: NDArray[np.float64],
    end: NDArray[np.float64],
    heights: tuple[float, float],
    grain: Floats,
    cancelled: Asked | None = None,
) -> Strip:
    """Return a majorant of every total over the places of a body on a straight way.

    Parameters
    ----------
    enclosed : Enclosure
        The radiators with the totals that are asked for.
    held : array, shape (radiators, totals)
        What stands for a radiator in its reactive region.
    start, end : array, shape (3,)
        Ends of the way, m; not the same place.
    heights : (low, high)
        The body's column over a place of the way, m.
    grain : array, shape (totals,)
        How much of each total, as a fraction of its limit, may be added for each radiator at most.
    cancelled : Asked or None
        Asked between pieces of work.

    Returns
    -------
    Strip
        Along the way; on a way that is not level the column reaches before its start and past its end.
    """
    way = end - start
    length = float(np.linalg.norm(way))
    way = way / length
    across = np.array([0.0, 0.0, 1.0]) - way[2] * way
    rise = float(np.linalg.norm(across))
    reach = np.array(heights) * way[2]
    low, high = float(min(0.0, reach.min())), float(length + max(0.0, reach.max()))
    if rise < 1e-9:
        directions, box = way[None, :], (np.array([low]), np.array([high]))
    else:
        directions = np.stack([way, across / rise])
        box = (np.array([low, heights[0] * rise]), np.array([high, heights[1] * rise]))
    if not enclosed.radiators:
        nothing = np.zeros((1, len(enclosed.totals)))
        return Strip(np.array([low]), np.array([high]), nothing, nothing)
    plane = Plane(start, directions, np.zeros(1), np.zeros(1))
    lattice, index = cover(*box, _ACROSS)
    steps = Stepper(Assessor(enclosed, plane, lattice), Fineness(1.0, SHARE, FINEST))
    return _Refining(steps, held, grain, cancelled).all_levels(index, box[1])


@dataclass(frozen=True, slots=True)
class _Refining:
    steps: Stepper
    held: Floats
    grain: Floats
    cancelled: Asked | None = None

    def all_levels(self, index: Indices, end: Floats) -> Strip:
        """Return the finished cells of all levels."""
        at = self.steps.at
        cells = self.steps.start(index, np.zeros(len(index), np.intp))
        done: list[Strip] = []
        level = 0
        while len(cells):
            low = at.lattice.corners(cells.index, level)
            cells = cells.part(np.asarray((low < end - 1e-9).all(axis=1)))
            last = at.lattice.side_at(level) <= FINEST or len(cells) > _MOST
            rest: list[Open] = []
            for block in cells.blocks(_CELLS, _PAIRS):
                stop_if(self.cancelled)
                looked = self._looked(level, block, last=last)
                closed = np.bincount(looked.pairs.cell, minlength=len(looked)) == 0
                done.append(self._strip(level, looked.part(closed)))
                rest.append(looked.part(~closed).split())
            cells = join(rest)
            level += 1
        return Strip(*(np.concatenate([getattr(s, n) for s in done]) for n in Strip.__slots__))

    def _looked(self, level: int, cells: Open, *, last: bool) -> Open:
        """Return cells with the emitters settled that are close enough; with ``last`` all of them."""
        own = self.steps.renewed(level, cells)
        most, likely = self._likely(level, own)
        weak = (most <= _WEAK * self.grain).all(axis=1) & (own.known.reactive == NOT_REACTIVE)
        n = len(cells)
        flat = summed(own.cell[weak], most[weak], n)
        cells = cells.with_(pairs=own.part(~weak), over=cells.over + flat[:, None, :, None])
        own, most, likely = cells.pairs, most[~weak], likely[~weak]
        every = own.known.reactive == ALL_REACTIVE
        hopeful = (
            (likely <= _HOPEFUL * np.maximum(self.grain, SHARE * most)).all(axis=1) | every | last
        )
        rows = np.flatnonzero(hopeful)
        pairs = Pairs(own.cell[rows], np.zeros(len(rows), np.intp), own.radiator[rows])
        known = own.known.part(rows)
        over, value = self.steps.at.evaluate(level, cells, pairs, known)
        over, gap = self._with_held(over, value, known, pairs.radiator)
        close = (gap <= np.maximum(self.grain, SHARE * highest(value))).all(axis=1)
        # Where some places are reactive smaller cells may tell which.
        close = (close & (known.reactive == NOT_REACTIVE)) | every[rows] | last
        own = remembered(own, rows, value, over, 1)
        add = summed(pairs.cell[close], over[close], n)
        stay = np.ones(len(own), bool)
        stay[rows[close]] = False
        return cells.with_(pairs=own.part(stay), over=cells.over + add[:, None])

    def peak(self, index: Indices, end: Floats) -> Floats:
        """Return the largest majorant of every total (totals,): only what may still be larger is halved."""
        at = self.steps.at
        cells = self.steps.start(index, np.zeros(len(index), np.intp))
        most, seen = (np.zeros(len(at.enclosed.totals)) for _ in range(2))
        level = 0
        while len(cells):
            low = at.lattice.corners(cells.index, level)
            cells = cells.part(np.asarray((low < end - 1e-9).all(axis=1)))
            last = at.lattice.side_at(level) <= FINEST or len(cells) > _MOST
            tops, rest = [], []
            for block in cells.blocks(_CELLS, _PAIRS):
                own = self.steps.renewed(level, block)
                sure = summed(own.cell, self._likely(level, own)[0], len(block))
                open_ = self._open(sure, seen)
                most = np.maximum(most, sure[~open_].max(axis=0, initial=0.0))
                looked, top, value = self._tops(level, block.with_(pairs=own).part(open_))
                seen = np.maximum(seen, value.max(axis=0, initial=0.0))
                tops.append(top)
                rest.append(looked)
            cells, top = join(rest), np.concatenate(tops)
            more = self._open(top, seen) & (not last)
            most = np.maximum(most, top[~more].max(axis=0, initial=0.0))
            cells = cells.part(more).split()
            level += 1
        return most

    def _open(self, top: Floats, seen: Floats) -> Bools:
        """Return where totals that do not exceed ``top`` (n, totals) may be larger than what was seen."""
        return np.asarray((top > seen * (1.0 + _BOX_SHARE) + 4.0 * self.grain).any(axis=1))

    def _tops(self, level: int, cells: Open) -> tuple[Open, Floats, Floats]:
        """Return cells, and what their totals (n, totals) cannot exceed and have at corners."""
        own, n = cells.pairs, len(cells)
        pairs = Pairs(own.cell, np.zeros(len(own), np.intp), own.radiator)
        over, value = self.steps.at.evaluate(level, cells, pairs, own.known)
        over, gap = self._with_held(over, value, own.known, own.radiator)
        top = highest(summed(own.cell, over, n))
        own = remembered(own, np.arange(len(own)), value, over, 1)
        return cells.with_(pairs=own), top, np.maximum(top - summed(own.cell, gap, n), 0.0)

    def _likely(self, level: int, own: Unsettled) -> tuple[Floats, Floats]:
        """Return what pairs (p, totals) cannot exceed, and how far their majorant is likely over their field."""
        enclosed = self.steps.at.enclosed
        most = enclosed.fractions(own.radiator, squared(own.known.e), squared(own.known.h))
        most = np.minimum(most, own.cap[:, None])
        slacks = own.known.slacks(0.5 * self.steps.at.lattice.side_at(level))
        slack = enclosed.fractions(own.radiator, *(squared(s) for s in slacks))
        field = np.minimum(most, 2.0 * own.seen[:, None])
        return most, np.minimum(slack + 2.0 * np.sqrt(slack) * np.sqrt(field), most)

    def _with_held(
        self, over: Floats, value: Floats, known: Bound, radiator: NDArray[np.intp]
    ) -> tuple[Floats, Floats]:
        """Return majorants (p, totals, corners) with what stands for reactive regions, and their gaps (p, totals)."""
        held = self.held[radiator][:, :, None]
        near: Bools = (known.reactive != NOT_REACTIVE)[:, None, None]
        every: Bools = (known.reactive == ALL_REACTIVE)[:, None, None]
        over = np.where(every, held, np.where(near, np.maximum(over, held), over))
        over = np.minimum(over, _NO_FIGURE)
        return over, highest(over - np.minimum(value, over))

    def _strip(self, level: int, cells: Open) -> Strip:
        at = self.steps.at
        side = at.lattice.side_at(level)
        low = at.lattice.origin[0] + cells.index[:, 0] * side
        over = cells.over[:, 0]
        ends = [over[:, :, at.steps[:, 0] == s].max(axis=2) for s in (0, 1)]
        return Strip(low, low + side, ends[0], ends[1])


def peak(
    enclosed: Enclosure,
    held: Floats,
    low: NDArray[np.float64],
    high: NDArray[np.float64],
    grain: Floats,
) -> Floats:
    """Return what no total (totals,) exceeds anywhere in a box between two corners.

    Parameters
    ----------
    enclosed, held, grain
        As :func:`along`.
    low, high : array, shape (3,)
        Least and largest corner in the site frame, m; sides may be 0.
    """
    if not enclosed.radiators:
        return np.zeros(len(enclosed.totals))
    sides = np.flatnonzero(high - low > _POINT)
    if not len(sides):
        # A place is looked at as a way too short to matter.
        sides, high = np.array([2]), high + np.array([0.0, 0.0, _POINT])
    plane = Plane(low, np.eye(3)[sides], np.zeros(1), np.zeros(1))
    box = np.zeros(len(sides)), (high - low)[sides]
    lattice, index = cover(*box, _ACROSS_BOX[len(sides)])
    steps = Stepper(Assessor(enclosed, plane, lattice), Fineness(1.0, SHARE, FINEST))
    return _Refining(steps, held, grain).peak(index, box[1])
