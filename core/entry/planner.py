"""Plans of a site for an area on places that grow; why that ends at the best is in :mod:`core.entry.power_plan`."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from core.arrays import Floats
from core.entry.choices import SLACK, Picks, Selection
from core.entry.criteria import Criterion, Shares, shares
from core.entry.pieces import Area
from core.entry.plans import Least, Plan
from core.entry.proving import TOLERANCES, prove
from core.entry.selection import Best, Unsolved, select
from core.entry.steps import OUT, Option, Step, blocks
from core.exposure.sources import Source, sources
from core.limits.model import LimitSet
from core.limits.sets import get_set
from core.progress import Asked
from core.site.site import Site
from core.site.state import ON, Condition
from core.site.states import with_states

_MOST, _FINEST, _NEARLY = 3000, 0.1, 0.95
_TABLE = 8_000_000
"""Figures of places by sources by totals that are kept at most."""
_AT_ONCE, _APART = 8, 0.3
_CHOOSING = 0.25
"""Part of the ceiling that each level of a selection gets; the rest of it is for proofs, piece by piece."""
_ROUNDS = 400
"""Times a plan is made anew at most."""
OWNER_LEVEL = 2
_STRICTER = 0.98
"""Part of what a refused plan makes at a place no search can decide that the next ones may make there."""


@dataclass(frozen=True, slots=True)
class Task:
    area: Area
    criteria: tuple[Criterion, ...]
    seconds: float
    cancelled: Asked | None
    said: Callable[[str], None] | None = None


class Planner:
    """Plans of a site for an area: the places that are looked at grow, so each is quicker than the one before."""

    def __init__(
        self, site: Site, asked: Task, silent: frozenset[str], *, broken: bool = False
    ) -> None:
        self.site, self.asked = site, asked
        self.blocks = blocks(site, sources(site), silent, broken=broken)
        self.limit_set: LimitSet = get_set(site.limit_set)
        self.sources = self._at_full_power()
        self.shares = self._shares(self._samples())
        self.active: list[int] = []
        self.looked: set[tuple[float, ...]] = set()
        self.spacing = _FINEST
        self.refused: list[Picks] = []
        self.strict: list[Floats] = []
        self.bound: tuple[float, ...] = ()
        self.excluded: list[frozenset[str]] = []
        self.factors = self._factors()

    def _at_full_power(self) -> tuple[Source, ...]:
        """Return the sources with everything on that an option lets radiate, and the rest out."""
        on = {
            name for block in self.blocks for o in block for name, s in o.states if s.factor > 0.0
        }
        states = {a.name: ON if a.name in on else OUT for a in self.site.antennas}
        return sources(with_states(self.site, states))

    def _samples(self) -> NDArray[np.float64]:
        columns = 8 * len(self.asked.criteria) * max(len(self.sources), 1)
        return self.asked.area.samples(max(200, min(_MOST, _TABLE // columns)), _FINEST)

    def _shares(self, points: NDArray[np.float64]) -> Shares:
        return shares(self.sources, self.limit_set, self.asked.criteria, points)

    def _factors(self) -> list[list[Floats]]:
        """Return the factor of every source (sources,) for every option of every block; 0 for those of other blocks."""
        out = []
        for block in self.blocks:
            rows = []
            for option in block:
                factor = dict(option.states)
                rows.append(
                    np.array(
                        [
                            factor[s.antenna.name].factor if s.antenna.name in factor else 0.0
                            for s in self.sources
                        ]
                    )
                )
            out.append(rows)
        return out

    def before(self) -> float:
        """Return the highest total seen with the site as it is."""
        now = np.array([s.antenna.state.factor for s in self._now()])
        return float(self.shares.at(now).max(initial=0.0))

    def _now(self) -> list[Source]:
        states = {a.name: a for a in self.site.antennas}
        return [replace(s, antenna=states[s.antenna.name]) for s in self.sources]

    def without(self, plans: Sequence[tuple[Step, ...]]) -> None:
        """Leave out plans that touch all of what one of these touches.

        Where a block is touched in another way (its auxiliary put on), that is not the same.
        """
        self.excluded = [frozenset(s.antenna for s in steps) for steps in plans]

    def plan(self) -> tuple[Plan, Least] | None:
        """Return the best plan that is proven, and what is proven of it; None where there is none."""
        branches = 0
        for rounds in range(1, _ROUNDS):
            if self.asked.said is not None:
                self.asked.said(f"round {rounds}, {len(self.active)} places decide")
            problem = self._problem()
            best = select(problem, seconds=_CHOOSING * self.asked.seconds)
            if best is None and self.strict:
                raise Unsolved
            if best is None:
                return None
            branches += best.branches
            if not self.refused:
                # What is refused, or stricter than asked for, says nothing of how little would do.
                self.bound = best.bound
            factors = sum(
                (self.factors[b][o] for b, o in enumerate(best.picks)), np.zeros(len(self.sources))
            )
            totals = self.shares.at(factors)
            if self._add(totals) or self._add_near(totals, factors):
                continue
            if not self._proven(best.picks, factors):
                continue
            at = int(totals.argmax()) if len(totals) else 0
            return self._as_plan(best.picks, totals, at), self._least(best, branches, rounds)
        raise Unsolved

    def _add(self, totals: Floats) -> bool:
        """Make the places that are over (n,) active, the worst of each neighbourhood; say whether there was one."""
        totals = totals.copy()
        found = False
        for _ in range(_AT_ONCE):
            worst = int(totals.argmax())
            if totals[worst] <= 1.0 + SLACK:
                break
            found = True
            self.active.append(worst)
            near = np.linalg.norm(self.shares.points - self.shares.points[worst], axis=1) < _APART
            totals[near] = 0.0
        return found

    def _add_near(self, totals: Floats, factors: Floats) -> bool:
        """Look close about the places that are nearly over (n,), once about each; say whether one there is over."""
        totals = totals.copy()
        found: list[NDArray[np.float64]] = []
        while len(totals) and len(found) < _AT_ONCE and totals.max() >= _NEARLY:
            worst = self.shares.points[int(totals.argmax())]
            totals[np.linalg.norm(self.shares.points - worst, axis=1) < _APART] = 0.0
            key = tuple(worst.tolist())
            if key not in self.looked:
                self.looked.add(key)
                found.append(self.asked.area.near(worst, self.spacing))
        if not found:
            return False
        there = self._shares(np.concatenate(found))
        at = there.at(factors)
        # What is nearly over may be over in the next plan.
        close = np.flatnonzero(at > _NEARLY)
        before = len(self.shares.points)
        self.shares = self.shares.joined(there.part(close))
        over = at[close] > 1.0 + SLACK
        if over.any():
            self.active.append(before + int(at[close].argmax()))
        return bool(over.any())

    def _keep(self, there: Shares) -> None:
        """Let a place join those that are looked at, and be active."""
        self.shares = self.shares.joined(there)
        self.active.append(len(self.shares.points) - 1)

    def _proven(self, picks: Picks, factors: Floats) -> bool:
        """Return whether a plan is proven; else a place that is over joins the others, or the plan is refused."""
        site = with_states(
            self.site, {n: s for b, o in enumerate(picks) for n, s in self.blocks[b][o].states}
        )
        used = sources(site)
        room = 1.0 - float(self.shares.at(factors).max(initial=0.0))
        undecided: Shares | None = None
        for fineness in range(_coarsest(room), len(TOLERANCES)):
            proof = prove(
                site,
                used,
                self.asked.area,
                self.asked.criteria,
                fineness,
                seconds=self.asked.seconds,
                cancelled=self.asked.cancelled,
            )
            if proof.proven:
                return True
            if len(proof.doubtful):
                undecided = there = self._shares(proof.doubtful)
                totals = there.at(factors)
                over = np.argsort(-totals)[:_AT_ONCE]
                over = over[totals[over] > 1.0 + SLACK]
                if len(over):
                    # One place of a neighbourhood is enough: the worst.
                    self._keep(there.part(over[:1]))
                    return False
            if proof.stopped:
                break
        self.refused.append(picks)
        if undecided is not None:
            self._be_strict(undecided, factors)
        return False

    def _be_strict(self, there: Shares, factors: Floats) -> None:
        """Let the next plans make less than these factors at the worst of places that no search could decide.

        Else a hundred plans like the refused one would be tried there, one after another.
        """
        totals = there.at(factors)
        worst = int(totals.argmax())
        if totals[worst] > 0.0:
            self.strict.append(there.parts[:, [worst]] / (_STRICTER * totals[worst]))

    def _problem(self) -> Selection:
        """Return what is to be selected from, on the active places."""
        widest = max(len(block) for block in self.blocks) if self.blocks else 1
        shape = len(self.blocks), widest
        there = np.zeros(shape, bool)
        costs = np.zeros((4, *shape))
        names = list(dict.fromkeys(n for b in self.blocks for o in b for n in o.owners))
        owners = np.zeros((*shape, max(len(names), 1)), bool)
        for b, block in enumerate(self.blocks):
            for o, option in enumerate(block):
                there[b, o] = True
                costs[:, b, o] = len(option.broken), len(option.steps), 0.0, option.lost
                owners[b, o, [names.index(n) for n in option.owners]] = True
        loads = [self._place_loads(shape)]
        loads += [self._touching(shape, names_) for names_ in self.excluded]
        loads += [self._as_high_as(shape, picks) for picks in self.refused]
        return Selection(there, np.concatenate(loads, axis=2), costs, owners, OWNER_LEVEL)

    def _place_loads(self, shape: tuple[int, int]) -> Floats:
        """Return what each option adds at the active places (blocks, options, rows), of the rows that can be over."""
        active = list(dict.fromkeys(self.active))
        parts = np.concatenate([self.shares.parts[:, active], *self.strict], axis=1)
        rows = parts.shape[1] * parts.shape[2]
        loads = np.zeros((*shape, rows))
        for b, block in enumerate(self.blocks):
            for o in range(len(block)):
                total = np.zeros(parts.shape[1:])
                for source, factor in enumerate(self.factors[b][o]):
                    if factor > 0.0:
                        total += self.shares.scaled(parts[source], float(factor))
                loads[b, o] = total.ravel()
        can = loads.max(axis=1, initial=0.0).sum(axis=0) > 1.0
        kept = loads[:, :, can]
        if not kept.shape[2]:
            return kept
        return np.unique(kept.reshape(-1, kept.shape[2]), axis=1).reshape(*shape, -1)

    def _touching(self, shape: tuple[int, int], names: frozenset[str]) -> Floats:
        """Return a row (blocks, options, 1) that is over where all of some emitters are touched."""
        row = np.zeros((*shape, 1))
        blocks_of_it = 0
        for b, block in enumerate(self.blocks):
            mine = names & {name for o in block for name, _ in o.states}
            blocks_of_it += bool(mine)
            for o, option in enumerate(block):
                row[b, o, 0] = bool(mine) and mine == {s.antenna for s in option.steps}
        return row / (blocks_of_it - 0.5)

    def _as_high_as(self, shape: tuple[int, int], picks: Picks) -> Floats:
        """Return a row (blocks, options, 1) that is over where no emitter is lower than in a refused plan."""
        row = np.zeros((*shape, 1))
        for b, block in enumerate(self.blocks):
            for o in range(len(block)):
                row[b, o, 0] = (self.factors[b][o] >= self.factors[b][picks[b]]).all()
        return row / (len(self.blocks) - 0.5)

    def _as_plan(self, picks: Picks, totals: Floats, at: int) -> Plan:
        chosen = [self.blocks[b][o] for b, o in enumerate(picks)]
        steps = tuple(s for o in chosen for s in o.steps)
        order = {a.name: i for i, a in enumerate(self.site.antennas)}
        x, y, z = (float(c) for c in self.shares.points[at]) if len(totals) else (0.0, 0.0, 0.0)
        return Plan(
            tuple(sorted(steps, key=lambda s: order[s.antenna])),
            self._locks(chosen),
            tuple(dict.fromkeys(n for o in chosen for n in o.owners)),
            sum(o.lost for o in chosen),
            float(totals.max(initial=0.0)),
            (x, y, z),
            tuple(r for o in chosen for r in o.broken),
        )

    def _locks(self, chosen: Sequence[Option]) -> tuple[Step, ...]:
        """Return the emitters that are off as they were, and have to be locked out."""
        after = {n: s for o in chosen for n, s in o.states}
        return tuple(
            Step(a.name, a.state, OUT)
            for a in self.site.antennas
            if after[a.name].condition is Condition.OFF
        )

    def _least(self, best: Best, branches: int, rounds: int) -> Least:
        _, touched, owners, lost = self.bound
        return Least(
            touched,
            owners,
            lost,
            best.exact and not self.refused,
            branches,
            rounds,
            len(set(self.active)),
            len(self.refused),
        )

    def why_none(self) -> str:
        """Return why no plan that is allowed is enough, in words."""
        stuck = [a.name for a in self.site.antennas if self._has_no_option(a.name)]
        if stuck:
            return f"{', '.join(stuck)} must be silent, and may not be"
        least = np.array(
            [
                [
                    min(
                        (self._load(b, o, p, t) for o in range(len(block))),
                        default=0.0,
                    )
                    for b, block in enumerate(self.blocks)
                ]
                for p, t in self._rows()
            ]
        )
        if not len(least) or float(least.sum(axis=1).max()) <= 1.0:
            return (
                "no combination of what the rules allow keeps all places under the target together"
            )
        row = int(least.sum(axis=1).argmax())
        place, _ = self._rows()[row]
        x, y, z = self.shares.points[place]
        who = []
        for b in np.argsort(-least[row])[:3]:
            if least[row, b] > 0.01 * least[row].sum():
                who.append(" or ".join(n for n, _ in self.blocks[b][0].states))
        much = float(least[row].sum())
        seen = (
            "it is inside a reactive region"
            if much > 1e5
            else f"{100.0 * much:.4g} % of what is allowed is left"
        )
        return (
            f"with everything as low as its rules let it go, {seen} at {x:.2f}, {y:.2f}, {z:.2f} m, "
            f"by {', '.join(who)}"
        )

    def _has_no_option(self, name: str) -> bool:
        """Return whether an antenna is in a block without any option: in none that has one."""
        return all(name != n for block in self.blocks for o in block for n, _ in o.states)

    def _rows(self) -> list[tuple[int, int]]:
        active = list(dict.fromkeys(self.active))
        return [(p, t) for p in active for t in range(self.shares.parts.shape[2])]

    def _load(self, block: int, option: int, place: int, total: int) -> float:
        factors = self.factors[block][option]
        return float(
            sum(
                self.shares.scaled(self.shares.parts[s, place], float(f))[total]
                for s, f in enumerate(factors)
                if f > 0.0
            )
        )


def _coarsest(room: float) -> int:
    """Return the first tolerance with which a search can tell that nothing is over, where so much room is left."""
    for i, tolerance in enumerate(TOLERANCES[:-1]):
        if tolerance.percent is not None and tolerance.percent < 100.0 * room:
            return i
    return len(TOLERANCES) - 1
