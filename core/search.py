"""One step of the search for a proven region: which cells are below, inside, fine enough, or split.

Three economies, none of which a proof rests on: the strongest emitter is looked at first, because it
decides most cells; a cell that will be split anyway is not evaluated in full; emitters that vary little
over a cell are *settled*: their majorant at the corners is kept and interpolated for all descendants.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from core.arrays import Bools, Floats
from core.assess import CLOSE, Assessor, Pairs, any_by, squared, summed, unknown
from core.bounds.base import ALL_REACTIVE, NOT_REACTIVE, Bound
from core.cells import Leaves, Open, Rule, gather, join, whole
from core.quadtree import Indices

_STABLE = 0.85
"""A bound that a cell of half the side does not lower below this share is not made anew for smaller ones."""

_HOPELESS = 0.7
"""A cell whose predicted slack is above this share of the threshold is split without evaluation."""

_LOWER = 0.1
"""Slacks by which the field is assumed to fall below the corners' least value inside a cell. The slacks
are many times what fields really do; this only decides how closely the inside is searched for places
below the threshold, and what is kept counts as inside."""


_PLAIN = ((2.0, 10.0), (1.0, 4.0), (0.5, 2.0), (0.25, 1.1))
"""A cell of at most so many metres whose corners are all over the threshold by this factor is inside."""


@dataclass(frozen=True, slots=True)
class _Sums:
    """Majorants, values (m, functions, corners) and slacks (m, functions) of cells.

    A function is one total at one height, or the mean of one total over the heights.
    """

    over: Floats
    value: Floats
    slack: Floats


@dataclass(frozen=True, slots=True)
class Search:
    """What stays the same over all steps."""

    at: Assessor
    rule: Rule

    @property
    def _means(self) -> bool:
        return any(t.mean for t in self.at.found.totals)

    def start(self, index: Indices) -> Open:
        """Return the undecided cells of the first level."""
        n, e, t = len(index), len(self.at.found.emitters), len(self.at.found.totals)
        h, k = len(self.at.plane.rises), len(self.at.steps)
        return Open(
            index=index,
            open=np.ones((n, e), bool),
            known=unknown((n, e)),
            stable=np.zeros((n, e), bool),
            active=np.ones((n, h), bool),
            best=np.full(n, h // 2),
            seen=np.full((n, e), np.inf),
            over=np.zeros((n, h, t, k)),
            slack=np.zeros((n, h, t)),
        )

    def step(self, level: int, cells: Open, last: bool) -> tuple[Leaves, Open]:
        """Return the finished cells, and the children of the rest (none if ``last``)."""
        cells, sup, guess, blocked, inside = self._bounded(level, cells)
        leaves = [whole(level, cells.index[inside])]
        keep = ~inside
        cells, sup, guess, blocked = cells.part(keep), sup[keep], guess[keep], blocked[keep]
        inside, full = self._peek(level, cells, sup, guess, blocked, last)
        if cells.active.shape[1] > 1 and not self._means:
            inside, full = self._look(level, cells, sup, inside, full, last)
        leaves.append(whole(level, cells.index[inside]))
        done, split = self._judge(level, cells.part(full), sup[full], last)
        leaves.append(done)
        late = cells.part(~inside & ~full)
        if last:
            return gather(level, [*leaves, whole(level, late.index)]), split
        return gather(level, leaves), join([late.split(), split])

    def _bounded(self, level: int, cells: Open) -> tuple[Open, Floats, Floats, Bools, Bools]:
        """Bound the cells and drop those below the threshold.

        Returns the rest; suprema and predicted slacks (n, emitters, totals); which may be reactive
        somewhere, which are everywhere.
        """
        wanted = cells.open & ~cells.stable
        before = cells.known.e.copy(), cells.known.e_curve.copy()
        self.at.columns(level, cells.index, wanted, cells.known)
        now = cells.known.e, cells.known.e_curve
        settled = [a >= _STABLE * b for a, b in zip(now, before, strict=True)]
        # A bound that says nothing yet may still start to say something.
        useful = cells.known.slacks(0.5 * self.at.lattice.side_at(level))[0] < now[0]
        stable = cells.stable | (wanted & settled[0] & settled[1] & useful)
        sup, guess = self._predicted(level, cells)
        active = (cells.over.max(axis=3) + sup.sum(axis=1)[:, None] > self.rule.proof).any(axis=2)
        active &= cells.active
        if self._means:
            active = np.repeat(active.any(axis=1)[:, None], active.shape[1], axis=1)
        code = np.where(cells.open, cells.known.reactive, NOT_REACTIVE)
        blocked = (code != NOT_REACTIVE).any(axis=1)
        inside = (code == ALL_REACTIVE).any(axis=1)
        if active.shape[1] > 1:
            blocked, inside = self._blocked_heights(level, cells, code, blocked, inside)
        cells = cells.with_(active=active | blocked[:, None], stable=stable)
        rest = cells.active.any(axis=1) | inside
        return cells.part(rest), sup[rest], guess[rest], blocked[rest], inside[rest]

    def _predicted(self, level: int, cells: Open) -> tuple[Floats, Floats]:
        n, e = cells.open.shape
        b = cells.known
        e_slack, h_slack = b.slacks(0.5 * self.at.lattice.side_at(level))
        with np.errstate(invalid="ignore", over="ignore"):
            e2 = np.fmin(b.e**2, e_slack * (2.0 * b.e + e_slack))
            h2 = np.fmin(b.h**2, h_slack * (2.0 * b.h + h_slack))
        who = np.tile(np.arange(e), n)
        out = []
        for x, y in ((squared(b.e), squared(b.h)), (e2, h2)):
            part = self.at.found.fractions(who, x.ravel(), y.ravel()).reshape(n, e, -1)
            out.append(part * cells.open[:, :, None])
        return out[0], out[1]

    def _blocked_heights(
        self, level: int, cells: Open, code: NDArray[np.int8], blocked: Bools, inside: Bools
    ) -> tuple[Bools, Bools]:
        """Look at the body's heights apart where a whole column may be reactive."""
        if self.at.lattice.side_at(level) > 4.0 * self.at.plane.span:
            return blocked, inside
        n, h = cells.active.shape
        cell, emitter = np.nonzero((code != NOT_REACTIVE) & ~inside[:, None])
        pairs = Pairs(np.repeat(cell, h), np.tile(np.arange(h), len(cell)), np.repeat(emitter, h))
        own = self.at.heights(level, cells.index, pairs).reactive
        return (
            any_by(pairs.cell, own != NOT_REACTIVE, n),
            inside | any_by(pairs.cell, own == ALL_REACTIVE, n),
        )

    def _known(self, level: int, cells: Open, pairs: Pairs) -> Bound:
        """Return the bounds of pairs, made for their own height where the column is close to the metal."""
        known = cells.known.part((pairs.cell, pairs.emitter))
        if cells.active.shape[1] == 1:
            return known
        radius = self.at.column_radius(level)
        close = np.flatnonzero(radius > CLOSE * np.maximum(known.gap - radius, 0.0))
        if close.size:
            own = self.at.heights(level, cells.index, pairs.part(close))
            for name in Bound.__slots__:
                getattr(known, name)[close] = getattr(own, name)
        return known

    def _peek(
        self, level: int, cells: Open, sup: Floats, guess: Floats, blocked: Bools, last: bool
    ) -> tuple[Bools, Bools]:
        """Look at the strongest emitter at one height: return what is inside, what to judge in full."""
        n = len(cells)
        likely = np.minimum(sup.max(axis=2, initial=0.0), cells.seen)
        top = np.where(cells.open, likely, -1.0).argmax(axis=1)
        mine = np.arange(n)
        others = guess.sum(axis=1) - guess[mine, top]
        settled = cells.slack[mine, cells.best]
        near_full = (others + settled < _HOPELESS * self.rule.threshold).all(axis=1)
        # A slack far over the field itself decides nothing.
        able = (guess[mine, top] < 3.0 * np.maximum(sup[mine, top], self.rule.threshold)).any(
            axis=1
        )
        look = np.flatnonzero((able | blocked) & cells.open.any(axis=1))
        pairs = Pairs(look, cells.best[look], top[look])
        over, value = self.at.evaluate(level, cells.index, pairs, self._known(level, cells, pairs))
        base = np.maximum(cells.over - cells.slack[..., None], 0.0)[look, cells.best[look]]
        cells.seen[look, top[look]] = value.max(axis=(1, 2))
        value = value + base
        slack = (over + base - value).max(axis=2) + settled[look]
        least = value.min(axis=2)
        inside = np.zeros(n, bool)
        smooth = (least - _LOWER * slack >= self.rule.threshold) & ~blocked[look, None]
        inside[look] = (smooth | self._plainly(value, level)).any(axis=1)
        if self._means:
            inside[:] = False
        sure = value.max(axis=2) > self.rule.threshold
        metres, share = self._slacks(value, slack, level)
        coarse = (sure & (share > self.rule.share) & (metres > self.rule.metres)).any(axis=1)
        if level % 2 == 0:
            # The lead alone is on both sides of the threshold; all together may well be above.
            coarse &= ~((least > 0.5 * self.rule.threshold) & (share < 1.0)).any(axis=1)
        full = near_full.copy()
        full[look] &= ~coarse
        full &= able
        full = (full | last | ~cells.open.any(axis=1)) & ~blocked & ~inside
        return inside, full

    def _look(
        self, level: int, cells: Open, sup: Floats, inside: Bools, full: Bools, last: bool
    ) -> tuple[Bools, Bools]:
        """Look at all emitters at the strongest height, before all heights are judged."""
        kept = np.flatnonzero(full)
        one = np.zeros_like(cells.active)
        one[np.arange(len(cells)), cells.best] = True
        part = cells.with_(active=one).part(kept)
        row, emitter = np.nonzero(part.open)
        pairs = Pairs(row, part.best[row], emitter)
        over, value = self._evaluated(level, part, pairs, sup[kept])
        sums, _ = self._summed(part, pairs, over, value, (over - value).max(axis=2))
        metres, share = self._slacks(sums.value, sums.slack, level)
        above = sums.over.max(axis=2) > self.rule.proof
        coarse = (above & (share > self.rule.share) & (metres > self.rule.metres)).any(axis=1)
        inside, full = inside.copy(), full.copy()
        inside[kept] = self._is_inside(sums, level)
        full[kept] = ~inside[kept] & (~coarse | last)
        return inside, full

    def _is_inside(self, sums: _Sums, level: int) -> Bools:
        least = sums.value.min(axis=2) - _LOWER * sums.slack
        found = (least >= self.rule.threshold) | self._plainly(sums.value, level)
        return np.asarray(np.any(found, axis=1), dtype=bool)

    def _plainly(self, value: Floats, level: int) -> Bools:
        """Return which functions (m, f) are over the threshold at all corners of a small enough cell.

        A place below the threshold that is hidden between such corners is too small to stand in; like
        all of the inside, it only makes the region larger.
        """
        side = self.at.lattice.side_at(level)
        least = value.min(axis=2) / self.rule.threshold
        enough = np.inf
        for most, times in _PLAIN:
            if side <= most:
                enough = times
        return np.asarray(least >= enough)

    def _judge(self, level: int, cells: Open, sup: Floats, last: bool) -> tuple[Leaves, Open]:
        """Evaluate cells in full; return what is finished and the children of the rest."""
        n = len(cells)
        if n == 0:
            return whole(level, cells.index), cells
        cell, rise = np.nonzero(cells.active)
        wanted = cells.open[cell]
        row, emitter = np.nonzero(wanted)
        pairs = Pairs(cell[row], rise[row], emitter)
        over, value = self._evaluated(level, cells, pairs, sup)
        slack = (over - value).max(axis=2)
        sums, dense = self._summed(cells, pairs, over, value, slack)
        above = sums.over.max(axis=2) > self.rule.proof
        inside = self._is_inside(sums, level)
        metres, share = self._slacks(sums.value, sums.slack, level)
        fine = ((share <= self.rule.share) | (metres <= self.rule.metres) | ~above).all(axis=1)
        alive = above.any(axis=1) & ~inside
        leaf = alive & (fine | last)
        leaves = Leaves(
            level,
            cells.index[leaf],
            sums.over.max(axis=1)[leaf],
            np.where(above, metres, 0.0).max(axis=1)[leaf],
            np.where(above, share, 0.0).max(axis=1)[leaf],
        )
        done = gather(level, [leaves, whole(level, cells.index[inside])])
        active = cells.active
        if not self._means:
            active = active & (dense.max(axis=3) > self.rule.proof).any(axis=2)
        best = dense.mean(axis=3).max(axis=2, initial=0.0).argmax(axis=1)
        seen = np.zeros(cells.open.shape)
        np.maximum.at(seen, (pairs.cell, pairs.emitter), value.max(axis=(1, 2)))
        go = alive & ~leaf
        settled = self._settled(cells, pairs, over, slack, dense)
        settled = settled.with_(active=active, best=best, seen=seen)
        return done, settled.part(go).split()

    def _evaluated(
        self, level: int, cells: Open, pairs: Pairs, sup: Floats
    ) -> tuple[Floats, Floats]:
        """Return majorants and values of pairs; what is too weak to matter keeps its supremum."""
        k = len(self.at.steps)
        share = min(self.rule.share, 0.05) if self.rule.share > 0 else 0.0
        speck = max(0.1 * share, 1e-4) * self.rule.threshold / cells.open.shape[1]
        flat = sup[pairs.cell, pairs.emitter]
        over = np.repeat(flat[:, :, None], k, axis=2)
        value = np.zeros_like(over)
        worth = np.flatnonzero(flat.max(axis=1, initial=0.0) > speck)
        chosen = pairs.part(worth)
        known = self._known(level, cells, chosen)
        over[worth], value[worth] = self.at.evaluate(level, cells.index, chosen, known)
        return over, value

    def _summed(
        self, cells: Open, pairs: Pairs, over: Floats, value: Floats, slack: Floats
    ) -> tuple[_Sums, Floats]:
        """Return the functions of the cells, and the summed majorants by height and total."""
        m, h, t, k = cells.over.shape
        slot = pairs.cell * h + pairs.rise
        on = cells.active[:, :, None]
        all_over = (cells.over + summed(slot, over, m * h).reshape(m, h, t, k)) * on[..., None]
        all_slack = (cells.slack + summed(slot, slack, m * h).reshape(m, h, t)) * on
        low = np.maximum(cells.over - cells.slack[..., None], 0.0)
        all_value = (low + summed(slot, value, m * h).reshape(m, h, t, k)) * on[..., None]
        return _Sums(*(self._functions(a) for a in (all_over, all_value, all_slack))), all_over

    def _functions(self, values: Floats) -> Floats:
        totals = self.at.found.totals
        means = [i for i, t in enumerate(totals) if t.mean]
        peaks = [i for i, t in enumerate(totals) if not t.mean]
        m, h = values.shape[:2]
        each = values[:, :, peaks].reshape(m, h * len(peaks), *values.shape[3:])
        return np.concatenate([each, values[:, :, means].mean(axis=1)], axis=1)

    def _slacks(self, value: Floats, slack: Floats, level: int) -> tuple[Floats, Floats]:
        """Return the slacks (m, functions) as metres along the slope, and as shares of the threshold."""
        side, d = self.at.lattice.side_at(level), self.at.steps.shape[1]
        slope2 = np.zeros(slack.shape)
        for axis in range(d):
            high = self.at.steps[:, axis] == 1
            rise = value[:, :, high].mean(axis=2) - value[:, :, ~high].mean(axis=2)
            slope2 += (rise / side) ** 2
        metres = slack / np.maximum(np.sqrt(slope2), 1e-300)
        return np.minimum(metres, side * np.sqrt(d)), slack / self.rule.threshold

    def _settled(
        self, cells: Open, pairs: Pairs, over: Floats, slack: Floats, dense: Floats
    ) -> Open:
        """Move the emitters whose slack is a small part of what is allowed into the settled sum.

        What is allowed in metres is turned into a share with the slope 2/r of a field that falls with
        1/r², r being the distance to the nearest metal.
        """
        m, h, t, k = cells.over.shape
        e = cells.open.shape[1]
        slot = pairs.cell * h + pairs.rise
        near = np.where(cells.open, cells.known.gap, np.inf).min(axis=1, initial=np.inf)
        allowed = np.maximum(0.6 * self.rule.share, 0.8 * self.rule.metres / np.maximum(near, 0.1))
        total = np.maximum(dense.max(axis=3).reshape(m * h, t)[slot], 1e-300)
        part = np.maximum(over.max(axis=2) / total, 1.0 / e)
        budget = 0.5 * np.minimum(allowed, 0.05)[pairs.cell][:, None] * self.rule.threshold * part
        worst = np.zeros(m * e)
        excess = (slack / budget).max(axis=1, initial=0.0)
        np.maximum.at(worst, pairs.cell * e + pairs.emitter, excess)
        settle = cells.open & (worst.reshape(m, e) <= 1.0)
        mine = settle[pairs.cell, pairs.emitter]
        add = summed(slot[mine], over[mine], m * h).reshape(m, h, t, k)
        loose = summed(slot[mine], slack[mine], m * h).reshape(m, h, t)
        return cells.with_(
            open=cells.open & ~settle, over=cells.over + add, slack=cells.slack + loose
        )
