"""Settling: radiators that hardly vary over a cell are taken out of the search below it.

The majorant at the corners is kept and interpolated for all descendants, so nothing of the proof is lost; what
it costs is slack, and that is rationed here.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from core.arrays import Bools, Floats, highest
from core.proof.assess import Assessor, Pairs, largest, summed
from core.proof.bounds.base import NOT_REACTIVE
from core.proof.cells import Open, Unsettled
from core.proof.parts import Parts, shared
from core.proof.tolerance import Fineness


@dataclass(frozen=True, slots=True)
class Settling:
    """What stays the same over all steps."""

    at: Assessor
    fineness: Fineness

    def without_weak(self, cells: Open, sup: Floats, guess: Floats) -> tuple[Open, Floats, Floats]:
        """Settle the weakest radiators at their suprema, as long as together they hardly matter.

        ``sup`` and ``guess`` (p, totals) belong to the pairs; those of the pairs that stay are returned.
        """
        pairs, n = cells.pairs, len(cells)
        top = sup.max(axis=1, initial=0.0)
        # In rooms, and no more than matters: sums over all cells must not lose the small ones.
        room = np.maximum(self._room(cells, 0.2), 1e-300)[pairs.cell]
        top = np.where(
            pairs.known.reactive == NOT_REACTIVE, np.minimum(top, 2.0 * room) / room, 2.0
        )
        order = np.lexsort((top, pairs.cell))
        run = np.cumsum(top[order])
        first = np.searchsorted(pairs.cell, np.arange(n))
        before = np.concatenate([[0.0], run])[first][pairs.cell]
        weak = np.zeros(len(pairs), bool)
        weak[order] = run - before <= 1.0
        weak &= top < 2.0
        added = summed(pairs.cell[weak], sup[weak], n)
        settled = cells.with_(
            pairs=pairs.part(~weak),
            over=cells.over + added[:, None, :, None],
            slack=cells.slack + added[:, None, :],
        )
        return settled, sup[~weak], guess[~weak]

    def early(
        self, level: int, cells: Open, sup: Floats, guess: Floats, parts: Parts | None
    ) -> tuple[Open, Floats, Floats]:
        """Settle radiators that will hardly vary over the cells, whatever becomes of the cells."""
        own, n, e = cells.pairs, len(cells), len(self.at.enclosed.radiators)
        # Every other level is enough: what may be settled now may be so in a quarter of the cell.
        if len(own) == 0 or e < 2 or level % 2:
            return cells, sup, guess
        strength = sup.max(axis=1, initial=0.0)
        whole = np.maximum(summed(own.cell, strength[:, None], n)[:, 0], 1e-300)
        part = strength / whole[own.cell]
        budget = 0.25 * self._room(cells, 0.5)[own.cell] * np.maximum(part, 1.0 / e)
        able = own.known.reactive == NOT_REACTIVE
        rows = np.flatnonzero(able & (guess.max(axis=1, initial=0.0) <= budget))
        if rows.size == 0:
            return cells, sup, guess
        m, h, t, k = cells.over.shape
        pairs = at_heights(own, rows, h)
        again = np.repeat(rows, h)
        over, value = self.at.evaluate(
            level, cells, pairs, own.known.part(again), shared(parts, own.row[again])
        )
        slack = highest(over - value)
        little = worst(slack, h) <= 2.0 * budget[rows]
        stay = np.ones(len(own), bool)
        stay[rows[little]] = False
        mine = np.repeat(little, h)
        slot = (pairs.cell * h + pairs.rise)[mine]
        settled = cells.with_(
            pairs=remembered(own, rows, value, over, h).part(stay),
            over=cells.over + summed(slot, over[mine], m * h).reshape(m, h, t, k),
            slack=cells.slack + summed(slot, slack[mine], m * h).reshape(m, h, t),
        )
        return settled, sup[stay], guess[stay]

    def evaluated(
        self,
        cells: Open,
        pairs: Pairs,
        over: Floats,
        slack: Floats,
        dense: Floats,
        able: Bools,
    ) -> Open:
        """Move the radiators whose slack is a small part of what is allowed into the settled sum.

        ``pairs`` are all of the cells' at all heights; ``able`` (p,) tells which may be settled.
        """
        m, h, t, k = cells.over.shape
        slot = pairs.cell * h + pairs.rise
        total = np.maximum(highest(dense).reshape(m * h, t)[slot], 1e-300)
        part = np.maximum(highest(over) / total, 1.0 / len(self.at.enclosed.radiators))
        budget = 0.5 * self._room(cells, 0.7)[pairs.cell][:, None] * part
        excess = slack / np.maximum(budget, 1e-300)
        settle = (worst(excess, h) <= 1.0) & able
        mine = np.repeat(settle, h)
        add = summed(slot[mine], over[mine], m * h).reshape(m, h, t, k)
        loose = summed(slot[mine], slack[mine], m * h).reshape(m, h, t)
        return cells.with_(
            pairs=cells.pairs.part(~settle), over=cells.over + add, slack=cells.slack + loose
        )

    def _allowed(self, cells: Open) -> Floats:
        """Return the slack that may be left in cells (n,), as a share of the threshold.

        Where only metres are asked for, they are turned into a share with the slope 2/r of a field that falls
        with 1/r², r being the distance to the nearest metal.
        """
        if self.fineness.share > 0.0:
            return np.full(len(cells), self.fineness.share)
        near = -largest(cells.pairs.cell, -cells.pairs.known.gap, len(cells), -np.inf)
        return np.asarray(np.minimum(2.0 * self.fineness.metres / np.maximum(near, 0.1), 0.1))

    def _room(self, cells: Open, part: float) -> Floats:
        """Return what the settled slack (n,) may still grow by: to ``part`` of what is allowed in all."""
        most = part * self._allowed(cells) * self.fineness.threshold
        return np.asarray(np.maximum(most - cells.slack.max(axis=(1, 2), initial=0.0), 0.0))


def at_heights(own: Unsettled, rows: NDArray[np.intp], heights: int) -> Pairs:
    """Return some of the pairs at every height of the body, those of one pair together.

    Parameters
    ----------
    own : Unsettled
        Pairs of a cell and a radiator.
    rows : array
        Which of the rows.
    """
    rise = np.tile(np.arange(heights), len(rows))
    return Pairs(np.repeat(own.cell[rows], heights), rise, np.repeat(own.radiator[rows], heights))


def remembered(
    own: Unsettled, rows: NDArray[np.intp], value: Floats, over: Floats, heights: int
) -> Unsettled:
    """Return the pairs with what was seen of some of them, and what these cannot exceed.

    ``value`` and ``over`` are those of the rows at every height, (rows × heights, totals, corners).

    Parameters
    ----------
    own : Unsettled
        Pairs of a cell and a radiator.
    """
    seen, cap = own.seen.copy(), own.cap.copy()
    seen[rows] = worst(highest(value), heights)
    cap[rows] = np.minimum(cap[rows], worst(highest(over), heights))
    return own.with_(seen=seen, cap=cap)


def worst(values: Floats, heights: int) -> Floats:
    """Return the largest (r,) of values (r × heights, totals) of pairs at every height."""
    most: Floats = values.max(axis=1, initial=0.0).reshape(-1, heights).max(axis=1, initial=0.0)
    return most
