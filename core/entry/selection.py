"""One option out of each block, at least cost, under rows of loads that may not be exceeded: solved exactly.

A block is an emitter, or those that share a place on the air; its options are the states it can be in. Every option
adds its load to every row (a place and a total: what is left of its percent there), costs whole numbers on one or more
levels and touches owners. Wanted is the option of each block with which no row exceeds 1, at a cost that is least
level by level: the least of the first, among those the least of the second, and so on.

How it is exact. Branch and bound over which options are left. A branch is given up only where an option's least load
does not fit (propagation), or where the Lagrangian bound of the branch is not under the best that is known: for any
u ≥ 0

    L(u) = Σ over blocks of min over options of (cost + Σ_k u_k load_k)  −  Σ_k u_k

is at most the cost of everything in the branch that keeps the rows (weak duality; Fisher, "The Lagrangian relaxation
method for solving integer programming problems", Management Science 27, 1981, from memory). An owner costs 1 once,
however many of his blocks are touched: his blocks are taken together, either none of them is touched or he counts.
"""

from __future__ import annotations

import time
from dataclasses import dataclass

from core.entry.branching import Level
from core.entry.choices import Picks, Selection


@dataclass(frozen=True, slots=True)
class Best:
    """The best selection and what no other can be under.

    Attributes
    ----------
    picks : int array, shape (blocks,)
    cost, bound : tuple of float
        By level: its cost, and what is proven to be the least on that level given those before. They agree where
        ``exact``.
    branches : int
        How many branches were looked at.
    exact : bool
        False where the ceiling was met first.
    """

    picks: Picks
    cost: tuple[float, ...]
    bound: tuple[float, ...]
    branches: int
    exact: bool


class Unsolved(Exception):
    """The ceiling was met before anything was found, or proven not to be there."""


def select(problem: Selection, *, seconds: float = 20.0) -> Best | None:
    """Return the best selection, None where there is none.

    Parameters
    ----------
    problem : Selection
        What is to be selected from.
    seconds : float
        Ceiling of wall time for each level; the best known counts then, with what is proven of it.

    Raises
    ------
    Unsolved
        If nothing was found by then, and it is not proven that there is nothing.
    """
    best: Picks | None = None
    bounds: list[float] = []
    kept: list[tuple[int, float]] = []
    branches, exact = 0, True
    for level in range(problem.levels):
        run = Level(problem, level, tuple(kept), best, time.perf_counter() + seconds)
        run.solve()
        branches += run.branches
        exact = exact and not run.stopped
        if run.best is None:
            if run.stopped:
                raise Unsolved
            return None
        best = run.best
        reached = problem.cost(best)[level]
        bounds.append(min(run.lowest, reached))
        kept.append((level, reached))
    assert best is not None
    return Best(best, problem.cost(best), tuple(bounds), branches, exact)
