"""Settling: emitters that hardly vary over a cell are taken out of the search below it.

The majorant at the corners is kept and interpolated for all descendants, so nothing of the proof is lost; what
it costs is slack, and that is rationed here.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from core.arrays import Floats, highest
from core.assess import Assessor, Pairs, summed
from core.bounds.base import NOT_REACTIVE
from core.cells import Open, Rule


@dataclass(frozen=True, slots=True)
class Settling:
    """What stays the same over all steps."""

    at: Assessor
    rule: Rule

    def without_weak(self, cells: Open, sup: Floats, guess: Floats) -> tuple[Open, Floats, Floats]:
        """Settle the weakest emitters at their suprema, as long as together they hardly matter."""
        n, e = cells.open.shape
        top = np.where(cells.open, sup.max(axis=0, initial=0.0), np.inf)
        order = np.argsort(top, axis=1)
        run = np.cumsum(np.take_along_axis(top, order, axis=1), axis=1)
        room = self._room(cells, 0.2)
        weak = np.zeros((n, e), bool)
        np.put_along_axis(weak, order, run <= room[:, None], axis=1)
        weak &= cells.known.reactive == NOT_REACTIVE
        added = (sup * weak).sum(axis=2).T
        settled = cells.with_(
            open=cells.open & ~weak,
            over=cells.over + added[:, None, :, None],
            slack=cells.slack + added[:, None, :],
        )
        return settled, sup * ~weak, guess * ~weak

    def early(
        self, level: int, cells: Open, sup: Floats, guess: Floats
    ) -> tuple[Open, Floats, Floats]:
        """Settle emitters that will hardly vary over the cells, whatever becomes of the cells."""
        n, e = cells.open.shape
        if n == 0 or e < 2:
            return cells, sup, guess
        strength = sup.max(axis=0, initial=0.0)
        part = strength / np.maximum(strength.sum(axis=1, keepdims=True), 1e-300)
        budget = 0.25 * self._room(cells, 0.5)[:, None] * np.maximum(part, 1.0 / e)
        able = cells.open & (cells.known.reactive == NOT_REACTIVE)
        cell, emitter = np.nonzero(able & (guess.max(axis=0, initial=0.0) <= budget))
        if cell.size == 0:
            return cells, sup, guess
        m, h, t, k = cells.over.shape
        pairs = Pairs(np.repeat(cell, h), np.tile(np.arange(h), cell.size), np.repeat(emitter, h))
        known = cells.known.part((pairs.cell, pairs.emitter))
        over, value = self.at.evaluate(level, cells, pairs, known)
        slack = highest(over - value)
        worst = np.zeros((n, e))
        np.maximum.at(worst, (pairs.cell, pairs.emitter), slack.max(axis=1, initial=0.0))
        gone = np.zeros((n, e), bool)
        gone[cell, emitter] = worst[cell, emitter] <= 2.0 * budget[cell, emitter]
        seen, cap = remembered(cells, pairs, value, over)
        mine = gone[pairs.cell, pairs.emitter]
        slot = (pairs.cell * h + pairs.rise)[mine]
        settled = cells.with_(
            open=cells.open & ~gone,
            over=cells.over + summed(slot, over[mine], m * h).reshape(m, h, t, k),
            slack=cells.slack + summed(slot, slack[mine], m * h).reshape(m, h, t),
            seen=seen,
            cap=cap,
        )
        return settled, sup * ~gone, guess * ~gone

    def evaluated(
        self, cells: Open, pairs: Pairs, over: Floats, slack: Floats, dense: Floats
    ) -> Open:
        """Move the emitters whose slack is a small part of what is allowed into the settled sum."""
        m, h, t, k = cells.over.shape
        e = cells.open.shape[1]
        slot = pairs.cell * h + pairs.rise
        total = np.maximum(highest(dense).reshape(m * h, t)[slot], 1e-300)
        part = np.maximum(highest(over) / total, 1.0 / e)
        budget = 0.5 * self._room(cells, 0.7)[pairs.cell][:, None] * part
        worst = np.zeros(m * e)
        excess = (slack / np.maximum(budget, 1e-300)).max(axis=1, initial=0.0)
        np.maximum.at(worst, pairs.cell * e + pairs.emitter, excess)
        settle = cells.open & (worst.reshape(m, e) <= 1.0)
        mine = settle[pairs.cell, pairs.emitter]
        add = summed(slot[mine], over[mine], m * h).reshape(m, h, t, k)
        loose = summed(slot[mine], slack[mine], m * h).reshape(m, h, t)
        return cells.with_(
            open=cells.open & ~settle, over=cells.over + add, slack=cells.slack + loose
        )

    def _allowed(self, cells: Open) -> Floats:
        """Return the slack that may be left in cells (n,), as a share of the threshold.

        Where only metres are asked for, they are turned into a share with the slope 2/r of a field that falls
        with 1/r², r being the distance to the nearest metal.
        """
        if self.rule.share > 0.0:
            return np.full(len(cells), self.rule.share)
        near = cells.known.gap.min(axis=1, initial=np.inf)
        return np.asarray(np.minimum(2.0 * self.rule.metres / np.maximum(near, 0.1), 0.1))

    def _room(self, cells: Open, part: float) -> Floats:
        """Return what the settled slack (n,) may still grow by: to ``part`` of what is allowed in all."""
        most = part * self._allowed(cells) * self.rule.threshold
        return np.asarray(np.maximum(most - cells.slack.max(axis=(1, 2), initial=0.0), 0.0))


def remembered(cells: Open, pairs: Pairs, value: Floats, over: Floats) -> tuple[Floats, Floats]:
    """Return what was seen of the emitters (n, emitters), and what they cannot exceed."""
    out = []
    for found in (value, over):
        most = np.zeros(cells.open.shape)
        np.maximum.at(most, (pairs.cell, pairs.emitter), highest(found).max(axis=1, initial=0.0))
        out.append(most)
    looked = np.zeros(cells.open.shape, bool)
    looked[pairs.cell, pairs.emitter] = True
    seen = np.where(looked, out[0], cells.seen)
    return seen, np.where(looked, np.minimum(cells.cap, out[1]), cells.cap)
