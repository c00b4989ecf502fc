"""Branch and bound on one level of cost of a selection; how and why is told in :mod:`core.entry.selection`."""

from __future__ import annotations

import math
import time
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from core.arrays import Bools, Floats
from core.entry.choices import SLACK, Picks, Selection

_NEVER = 1e15
"""Stands for the cost of an option that is not there."""
_ROOT, _NODE, _PATIENCE = 150, 12, 8
"""Steps of the bound's search for good multipliers, at the start and in a branch; steps without a gain before they
are halved."""


@dataclass(slots=True)
class Level:
    """The search on one level: rows that keep what earlier levels have reached are added to those of the places."""

    problem: Selection
    level: int
    kept: tuple[tuple[int, float], ...]
    best: Picks | None
    deadline: float
    branches: int = 0
    stopped: bool = False
    lowest: float = math.inf
    loads: Floats = field(init=False)
    cost: Floats = field(init=False)
    limit: float = field(init=False)
    _home: NDArray[np.intp] = field(init=False)
    _touches: Bools = field(init=False)
    _step: float = field(init=False)
    _reached: float = field(init=False)

    def __post_init__(self) -> None:
        p = self.problem
        extra = []
        self.limit = math.inf
        for level, reached in self.kept:
            if level == p.owner_level:
                self.limit = reached
            else:
                # A hair more than was reached, for the rounding of sums of watts.
                extra.append(p.costs[level] / max(reached * (1.0 + SLACK), 1e-12))
        self.loads = np.concatenate(
            [p.loads, *(np.minimum(e, 1e6)[:, :, None] for e in extra)], axis=2
        )
        cost = p.costs[self.level]
        whole = bool((cost == np.round(cost)).all())
        most = float(cost[p.there].max(initial=0.0))
        self._step = 1.0 if whole or self.level == p.owner_level else 1e-7 * max(most, 1e-300)
        self.cost = np.where(p.there, cost, _NEVER)
        self._touches = np.asarray(p.owners.any(axis=2))
        self._reached = math.inf if self.best is None else self.value(self.best)
        self._home = self._homes()

    def _homes(self) -> NDArray[np.intp]:
        """Return the owner (blocks,) whom alone a block's options touch, -1 where there is no such one."""
        by_block = (self.problem.owners & self.problem.there[:, :, None]).any(axis=1)
        alone = by_block.sum(axis=1) == 1
        return np.where(alone, by_block.argmax(axis=1), -1)

    @property
    def _owner_cost(self) -> float:
        return 1.0 if self.level == self.problem.owner_level else 0.0

    def value(self, picks: Picks) -> float:
        """Return the cost on this level."""
        return self.problem.cost(picks)[self.level]

    def keeps(self, picks: Picks) -> bool:
        """Return whether picks keep every row and the number of owners."""
        rows = np.arange(len(picks))
        sums = self.loads[rows, picks].sum(axis=0)
        if (sums > 1.0 + SLACK).any():
            return False
        return self.problem.cost(picks)[self.problem.owner_level] <= self.limit

    def solve(self) -> None:
        """Search until nothing better can be left, or the deadline."""
        nobody = np.zeros(self.problem.owners.shape[2], bool)
        start = self._propagated(self.problem.there.copy(), nobody)
        if start is None:
            self.lowest = self._reached
            return
        u = np.zeros(self.loads.shape[2])
        self._offer(np.where(start, self.loads.sum(axis=2), np.inf).argmin(axis=1))
        stack: list[_Open] = [_Open(0.0, start, nobody, u, 0.0)]
        steps = _ROOT
        while stack:
            one = stack.pop()
            if one.bound > self._cutoff:
                continue
            if time.perf_counter() > self.deadline:
                self.stopped = True
                self.lowest = min([one.bound, *(s.bound for s in stack)])
                return
            self.branches += 1
            node = self._bounded(one, steps)
            steps = _NODE
            if node is None:
                continue
            for child, called in self._children(node):
                left = self._propagated(child, called)
                if left is not None:
                    stack.append(_Open(node.bound, left, called, node.u, node.mu))
        self.lowest = self._reached

    @property
    def _cutoff(self) -> float:
        """What a bound must not exceed for its branch to be of interest."""
        return self._reached - self._step * (1.0 - 1e-6)

    def _propagated(self, alive: Bools, called: Bools) -> Bools | None:
        """Return the options that can still be picked; None where a block has none left."""
        loads, p = self.loads, self.problem
        while True:
            if not alive.any(axis=1).all():
                return None
            least = np.where(alive[:, :, None], loads, np.inf).min(axis=1)
            room = 1.0 + SLACK - least.sum(axis=0)
            if (room < 0.0).any():
                return None
            fits = (loads - least[:, None, :] <= room).all(axis=2)
            left: Bools = np.asarray(alive & fits)
            if math.isfinite(self.limit):
                forced = called | (p.owners | ~left[:, :, None]).all(axis=1).any(axis=0)
                count = int(forced.sum())
                if count > self.limit:
                    return None
                if count == self.limit:
                    left = left & ~(p.owners & ~forced).any(axis=2)
            if (left == alive).all():
                return left
            alive = left

    def _bounded(self, one: _Open, steps: int) -> _Node | None:
        """Return the branch with a bound as good as some steps give it; None where it is given up."""
        alive, called, u, mu = one.alive, one.called, one.u, one.mu
        best: _Priced | None = None
        best_u, best_mu = u, mu
        scale, fails = 1.2, 0
        limited = math.isfinite(self.limit)
        unit = 1.0 / max(self.limit, 1.0) if limited else 0.0
        way = np.zeros(len(u) + 1)
        for i in range(steps):
            priced = self._priced(alive, called, u, mu)
            if best is None or priced.bound > best.bound:
                best, best_u, best_mu, fails = priced, u, mu, 0
            else:
                fails += 1
                if fails >= _PATIENCE:
                    scale, fails = 0.5 * scale, 0
                    u, mu, way = best_u, best_mu, np.zeros_like(way)
            if best.bound > self._cutoff:
                return None
            self._offer(priced.picks)
            gone = priced.regret + priced.bound > self._cutoff
            if (gone & alive).any():
                left = self._propagated(alive & ~gone, called)
                if left is None:
                    return None
                alive = left
            sums = self.loads[np.arange(len(priced.picks)), priced.picks].sum(axis=0)
            slope = np.append(sums - 1.0, (priced.owners - self.limit) * unit if limited else 0.0)
            at = np.append(u, mu / unit if limited else 0.0)
            slope = np.where((at <= 0.0) & (slope < 0.0), 0.0, slope)
            norm = float(slope @ slope)
            if norm < 1e-18 or scale < 1e-3:
                break
            # What pulls back where the last step came from is turned aside (Camerini, Fratta and Maffioli 1975, from
            # memory): without it the steps zigzag.
            back = float(slope @ way)
            if back < 0.0:
                slope = slope - 1.5 * back / float(way @ way) * way
            way, norm = slope, max(float(slope @ slope), 1e-18)
            goal = self._cutoff if self.best is not None else priced.bound + max(self._step, 1.0)
            length = scale * max(goal - priced.bound, 0.05 * self._step) / norm
            at = np.maximum(at + length * slope, 0.0)
            u, mu = at[:-1], float(at[-1]) * unit
            if i % 40 == 20:
                self._repaired(alive, priced.picks)
        assert best is not None
        final = self._priced(alive, called, best_u, best_mu)
        bound = max(one.bound, best.bound, final.bound)
        if self.branches % 8 == 1:
            self._repaired(alive, final.picks)
        if bound > self._cutoff:
            return None
        if (alive.sum(axis=1) == 1).all():
            # One option of each block: it keeps the rows by propagation, so it was or is offered.
            self._offer(alive.argmax(axis=1))
            return None
        return _Node(alive, called, best_u, best_mu, bound, final)

    def _priced(self, alive: Bools, called_on: Bools, u: Floats, mu: float) -> _Priced:
        """Return the Lagrangian bound at multipliers, where it is taken, and what each option adds to it."""
        price = np.where(alive, self.cost + self.loads @ u, _NEVER)
        least = price.min(axis=1)
        owner = self._owner_cost + mu
        constant = float(u.sum()) + (mu * self.limit if math.isfinite(self.limit) else 0.0)
        if owner == 0.0:
            picks = price.argmin(axis=1)
            return _Priced(float(least.sum()) - constant, picks, price - least[:, None], 0.0)
        bare = np.where(self._touches, _NEVER, price)
        least_bare = bare.min(axis=1)
        home, w = self._home, self.problem.owners.shape[2]
        owned = home >= 0
        spared = np.bincount(home[owned], weights=least_bare[owned], minlength=w)
        spared[called_on] = _NEVER
        called = owner + np.bincount(home[owned], weights=least[owned], minlength=w)
        term = np.minimum(spared, called)
        bound = float(term.sum() + least[~owned].sum()) - constant
        is_called = called < spared
        free = ~owned | is_called[home]
        picks = np.where(free, price.argmin(axis=1), bare.argmin(axis=1))
        count = float(self.problem.owners[np.arange(len(picks)), picks].any(axis=0).sum())
        # What the bound would be with an option forced: its owner is called if it touches him.
        mine = np.maximum(home, 0)
        called_with = called[mine][:, None] - least[:, None] + price
        spared_with = spared[mine][:, None] - least_bare[:, None] + bare
        can = (spared[mine] < 0.5 * _NEVER)[:, None] & ~self._touches
        with_it = np.where(can, np.minimum(called_with, spared_with), called_with)
        regret = np.where(owned[:, None], with_it - term[mine][:, None], price - least[:, None])
        return _Priced(bound, picks, regret, count)

    def _offer(self, picks: Picks) -> None:
        """Take picks for the best if they keep the rows and cost less."""
        value = self.value(picks)
        if value >= self._reached:
            return
        if self.keeps(picks) and self.problem.there[np.arange(len(picks)), picks].all():
            self.best, self._reached = picks.copy(), value

    def _repaired(self, alive: Bools, picks: Picks) -> None:
        """Change picks where most is gained for the cost until they keep the rows; then take back what was too much."""
        rows = np.arange(len(picks))
        picks = picks.copy()
        weight = self.cost + self._owner_cost * self._touches
        unit = max(self._step, float(np.abs(weight[self.problem.there]).max()) * 1e-6)
        for _ in range(2 * len(picks)):
            sums = self.loads[rows, picks].sum(axis=0)
            over = np.maximum(sums - 1.0, 0.0)
            short = float(over.sum())
            if short <= SLACK:
                break
            changed = sums[None, None, :] - self.loads[rows, picks][:, None, :] + self.loads
            gain = short - np.maximum(changed - 1.0, 0.0).sum(axis=2)
            price = np.maximum(weight - weight[rows, picks][:, None], 0.0) + unit
            score = np.where(alive & (gain > 1e-12), gain / price, -1.0)
            at = int(score.argmax())
            if score.flat[at] <= 0.0:
                return
            picks[at // score.shape[1]] = at % score.shape[1]
        self._offer(picks)
        for i in np.argsort(-weight[rows, picks], kind="stable"):
            for j in np.argsort(weight[i], kind="stable"):
                if not alive[i, j] or weight[i, j] >= weight[i, picks[i]]:
                    break
                other = picks.copy()
                other[i] = j
                if self.keeps(other):
                    picks = other
                    break
        self._offer(picks)

    def _children(self, node: _Node) -> list[tuple[Bools, Bools]]:
        """Return the branches of a node with the owners that are called in them, the more promising one last."""
        alive, priced = node.alive, node.priced
        open_ = alive.sum(axis=1) > 1
        rows = np.arange(len(open_))
        sums = self.loads[rows, priced.picks].sum(axis=0)
        weight = node.u + np.maximum(sums - 1.0, 0.0)
        load = np.where(alive[:, :, None], self.loads, np.nan)
        with np.errstate(invalid="ignore"):
            span = np.where(open_[:, None], np.nanmax(load, axis=1) - np.nanmin(load, axis=1), 0.0)
        if self._owner_cost or math.isfinite(self.limit):
            owner = self._open_owner(node, span @ weight)
            if owner is not None:
                return self._by_owner(node, owner)
        block = int(np.where(open_, span @ weight, -1.0).argmax())
        touched = self._touches[block] & alive[block]
        rest = alive[block] & ~touched
        if not touched.any() or not rest.any():
            touched = np.zeros_like(touched)
            touched[priced.picks[block]] = True
            rest = alive[block] & ~touched
        picked = touched if touched[priced.picks[block]] else rest
        out = []
        for part in (alive[block] & ~picked, picked):
            child = alive.copy()
            child[block] = part
            out.append((child, node.called))
        return out

    def _open_owner(self, node: _Node, weight: Floats) -> int | None:
        """Return the owner of whom it is open whether he is called and whose blocks (blocks,) weigh most."""
        touched = (self.problem.owners & node.alive[:, :, None]).any(axis=1)
        open_ = touched.any(axis=0) & ~node.called
        if not open_.any():
            return None
        return int(
            np.where(open_, (touched * (1e-12 + weight[:, None])).sum(axis=0), -1.0).argmax()
        )

    def _by_owner(self, node: _Node, owner: int) -> list[tuple[Bools, Bools]]:
        """Return the branches in which an owner is not touched and in which he counts."""
        rows = np.arange(len(node.alive))
        is_called = self.problem.owners[rows, node.priced.picks, owner].any()
        called = node.called.copy()
        called[owner] = True
        out = [(node.alive & ~self.problem.owners[:, :, owner], node.called), (node.alive, called)]
        return out if is_called else out[::-1]


@dataclass(frozen=True, slots=True)
class _Priced:
    """A bound at some multipliers: ``picks`` (blocks,) that give it, ``regret`` (blocks, options), owners touched."""

    bound: float
    picks: Picks
    regret: Floats
    owners: float


@dataclass(frozen=True, slots=True)
class _Open:
    """A branch that is not looked at yet: the options (blocks, options) left, owners that count, multipliers."""

    bound: float
    alive: Bools
    called: Bools
    u: Floats
    mu: float


@dataclass(frozen=True, slots=True)
class _Node:
    """A branch with its bound and where that is taken."""

    alive: Bools
    called: Bools
    u: Floats
    mu: float
    bound: float
    priced: _Priced
