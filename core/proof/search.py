"""Proven regions: every point whose exposure reaches a threshold lies inside.

A quadtree over the view. Cells whose majorant stays below the threshold are dropped, cells that lie above
are kept, the rest is halved until its slack is under the tolerance. On a last cell the majorant is
multilinear, so only the part where its concave envelope reaches the threshold is kept: a convex polygon,
not the whole cell. Whatever is undecided when a ceiling is met counts as inside.

A peak over the heights of a body is searched in cubes: every height of the column counts, not a few of them. What is
inside at one height need not be looked at in the others.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from shapely import MultiPolygon

from core.arrays import Bools, Floats
from core.progress import Cancelled
from core.proof.assess import Assessor, Plane
from core.proof.bounds.surroundings import HUGE
from core.proof.cells import Leaves, Open, join, whole
from core.proof.domains import Domain, Domains, domains_of
from core.proof.enclosure import Enclosure
from core.proof.lattice import Lattice, above, boxes, cover, cover_columns, joined
from core.proof.step import Stepper
from core.proof.tolerance import Ceiling, Fineness

ACROSS = 32
_BLOCK, _PAIRS = 16_384, 400_000
"""Cells worked on together: at most so many, and so many pairs of cell and radiator."""

_UNHURRIED = 10.0
"""Seconds: with ceilings from here on blocks have their full size."""

_DEEPEST = 40

FIRST_FOUND = "the first place found"
"""What a search says that stopped because it was to stop there."""


@dataclass(frozen=True, slots=True)
class Outcome:
    """The finished cells of a search.

    ``domain_of`` (layers,) tells to which domain a layer belongs. ``metres`` and ``share`` are the
    largest slacks on the boundary: how far the region may reach past the true one, and how far below the
    threshold (as a fraction of it) the field may be at its edge. ``stopped`` tells which ceiling was met.
    """

    lattice: Lattice
    leaves: tuple[Leaves, ...]
    domain_of: NDArray[np.intp]
    metres: float
    share: float
    evaluations: int
    seconds: float
    stopped: str


def search(
    enclosed: Enclosure,
    plane: Plane,
    bounds: tuple[Floats, Floats],
    fineness: Fineness,
    ceiling: Ceiling,
    *,
    domains: Sequence[Domain] = (),
    progress: Callable[[float], None] | None = None,
    cancelled: Callable[[], bool] | None = None,
    started: float | None = None,
    first: bool = False,
    across: int = ACROSS,
) -> Outcome:
    """Return the cells that may reach the threshold, over a box or segment in view coordinates.

    Without ``domains`` every layer counts everywhere.

    Parameters
    ----------
    enclosed : Enclosure
        The radiators against the tier.
    plane : Plane
        Where the view lies in the site, with its layers.
    fineness : Fineness
        When a cell is fine enough.
    ceiling : Ceiling
        Where the search stops; the default where None.
    progress : Callable[[float], None] or None
        Told the part done, 0 to 1.
    started : float or None
        When the clock was started, where that was before.
    first : bool
        Stop at the first cells that may reach it: enough where the answer wanted is that there is none.
    across : int
        Cells over the longest side to begin with: many where most have to be looked at closely anyway.

    Raises
    ------
    InputError
        If an antenna kind has no bound.
    Cancelled
        If ``cancelled`` says so.
    """
    begin = time.perf_counter()
    deadline = (started if started is not None else begin) + ceiling.seconds
    where = domains_of(domains, len(plane.layers), plane.column)
    over_all = cover_columns if len(plane.directions) == 3 else cover
    lattice, index = over_all(*bounds, across)
    order = [
        layer for domain in where.members for layer in _strongest_first(enclosed, plane, domain)
    ]
    run = _Run(where, deadline, ceiling, cancelled, first)
    steps = Stepper(Assessor(enclosed, plane, lattice), fineness)
    start = steps.start(np.tile(index, (len(order), 1)), np.repeat(order, len(index)))
    leaves = run.all_levels(steps, start, progress) if enclosed.radiators else []
    evaluations = steps.at.evaluations
    metres = max((float(leaf.metres.max()) for leaf in leaves if len(leaf.metres)), default=0.0)
    share = max((float(leaf.share.max()) for leaf in leaves if len(leaf.share)), default=0.0)
    seconds = time.perf_counter() - begin
    return Outcome(
        lattice.flat, tuple(leaves), where.of, metres, share, evaluations, seconds, run.stopped
    )


def _strongest_first(enclosed: Enclosure, plane: Plane, domain: Domain) -> list[int]:
    """Return a domain's layers, those nearest to the radiators' heights first.

    What is inside there is left out of the others; the order matters for speed only.
    """
    heights = np.array([e.position[2] for e in enclosed.radiators] or [0.0])
    gaps = [np.abs(plane.origin[2] + plane.layers[i] - heights).min() for i in domain.layers]
    return [domain.layers[i] for i in np.argsort(gaps, kind="stable")]


@dataclass(slots=True)
class _Run:
    where: Domains
    deadline: float
    ceiling: Ceiling
    cancelled: Callable[[], bool] | None
    first: bool = False
    stopped: str = ""

    def all_levels(
        self, steps: Stepper, cells: Open, progress: Callable[[float], None] | None
    ) -> list[Leaves]:
        """Return all leaves, level by level."""
        leaves: list[Leaves] = []
        lattice = steps.at.lattice
        deepest = _last_level(lattice, steps.fineness)
        cells = self._within(lattice, cells, 0)
        first, level = max(len(cells), 1), 0
        while len(cells):
            if len(cells) > self.ceiling.cells:
                self.stopped = f"{self.ceiling.cells} undecided cells"
            pending, done = self._one_level(steps, cells, level, last=level >= deepest)
            leaves += done
            if self.first and any(len(leaf.index) for leaf in leaves):
                self.stopped = FIRST_FOUND
                break
            if not pending:
                break
            cells = join(pending)
            level += 1
            if progress is not None:
                left = len(cells) / first * 0.25**level
                progress(float(min(0.99, -np.log2(max(left, 1e-9)) / (2.0 * max(deepest, 1)))))
        return leaves

    def _one_level(
        self, steps: Stepper, cells: Open, level: int, *, last: bool
    ) -> tuple[list[Open], list[Leaves]]:
        pending: list[Open] = []
        leaves: list[Leaves] = []
        inside = np.zeros((0, min(cells.index.shape[1], 2) + 1), np.int64)
        # A ceiling is looked at between blocks: a short one asks for small blocks, or one block would take longer.
        share = float(np.clip(self.ceiling.seconds / _UNHURRIED, 1.0 / 32.0, 1.0))
        size = max(1, int(_BLOCK * share)), max(1, int(_PAIRS * share))
        side = steps.at.lattice.side_at(level)
        # Where cubes are hardly larger than what was asked for, one that may be over is enough for its place.
        one_is_enough = steps.at.enough(level, steps.fineness.metres)
        rounds = self._by_promise(cells) if one_is_enough else [cells]
        for block in (b for some in rounds for b in some.blocks(*size)):
            if self.cancelled is not None and self.cancelled():
                raise Cancelled
            if not self.stopped and time.perf_counter() > self.deadline:
                self.stopped = f"{self.ceiling.seconds:g} s"
            if not self.stopped and steps.at.evaluations > self.ceiling.evaluations:
                self.stopped = f"{self.ceiling.evaluations:g} evaluations"
            if self.stopped:
                diagonal = side * float(np.sqrt(cells.index.shape[1]))
                leaves.append(whole(level, block, metres=diagonal, share=np.inf))
                continue
            block = block.part(~_among(self._keys(block.index, block.layer), inside))
            if len(block) == 0:
                continue
            done, rest = steps.step(level, block, last=last)
            full = (done.values >= steps.fineness.proof).all(axis=1)
            if one_is_enough:
                full = (done.values >= steps.fineness.proof).any(axis=1)
                done.values[full] = HUGE
            leaves.append(done)
            pending.append(self._within(steps.at.lattice, rest, level + 1))
            inside = np.vstack([inside, self._keys(done.index[full], done.layer[full])])
        if len(inside):
            parents = [p.part(~_among(self._keys(p.index // 2, p.layer), inside)) for p in pending]
            pending = parents
        return pending, leaves

    def _by_promise(self, cells: Open) -> list[Open]:
        """Return the likely strongest cube over every place, and the others."""
        own = cells.pairs
        likely = np.minimum(np.minimum(own.seen, own.cap), HUGE)
        # Without any pairs numpy counts in whole numbers, weights or not.
        strength = np.bincount(own.cell, weights=likely, minlength=len(cells)).astype(np.float64)
        strength += cells.over.max(axis=(1, 2, 3), initial=0.0)
        order = np.argsort(-strength, kind="stable")
        _, first = np.unique(self._keys(cells.index, cells.layer)[order], axis=0, return_index=True)
        best = np.zeros(len(cells), bool)
        best[order[first]] = True
        return [some for some in (cells.part(best), cells.part(~best)) if len(some)]

    def _keys(self, index: NDArray[np.int64], layer: NDArray[np.intp]) -> NDArray[np.int64]:
        """Return domain and place (n, ≤ 3): all heights of one domain share what is inside."""
        return np.column_stack([self.where.of[layer], index[:, :2]])

    def _within(self, lattice: Lattice, cells: Open, level: int) -> Open:
        """Return the cells that touch their domain and its column."""
        return cells.part(self.where.touched(lattice, level, cells.index, cells.layer))


def _among(keys: NDArray[np.int64], others: NDArray[np.int64]) -> Bools:
    """Return which rows of keys (n, k) are among the rows of others."""
    if len(keys) == 0 or len(others) == 0:
        return np.zeros(len(keys), bool)
    low = np.minimum(keys.min(axis=0), others.min(axis=0))
    size = np.maximum(keys.max(axis=0), others.max(axis=0)) - low + 1
    flat = [np.zeros(len(k), np.int64) for k in (keys, others)]
    for axis in range(keys.shape[1]):
        flat = [
            f * size[axis] + (k[:, axis] - low[axis])
            for f, k in zip(flat, (keys, others), strict=True)
        ]
    return np.asarray(np.isin(flat[0], flat[1]))


def _last_level(lattice: Lattice, fineness: Fineness) -> int:
    finest = fineness.metres if fineness.metres > 0 else 1e-3
    return int(np.clip(np.ceil(np.log2(lattice.side * 1.5 / finest)), 0, _DEEPEST))


def shape_of(result: Outcome, threshold: float, domain: int = 0) -> MultiPolygon:
    """Return the region of a search in a plane, in one of its domains, not yet clipped to it.

    Parameters
    ----------
    result : Outcome
        What a search has found.
    threshold : float
        Fraction of the limit.
    """
    shapes = []
    for leaf in result.leaves:
        mine = result.domain_of[leaf.layer] == domain
        full = mine & (leaf.values >= threshold).all(axis=1)
        some = mine & ~full
        shapes.append(boxes(result.lattice, np.unique(leaf.index[full], axis=0), leaf.level))
        if not some.any():
            continue
        index = leaf.index[some]
        steps = np.array([[0, 0], [1, 0], [0, 1], [1, 1]])
        grid = (index[:, None, :] + steps).reshape(-1, 2)
        corners = result.lattice.corners(grid, leaf.level).reshape(-1, 4, 2)
        shapes.append(above(corners, leaf.values[some], threshold))
    if not shapes:
        return MultiPolygon()
    return joined(np.concatenate(shapes))


def intervals_of(result: Outcome, threshold: float) -> list[tuple[float, float]]:
    """Return the intervals, ascending and joined, of a search along a line.

    Parameters
    ----------
    result : Outcome
        What a search has found.
    threshold : float
        Fraction of the limit.
    """
    pieces: list[tuple[float, float]] = []
    for leaf in result.leaves:
        low = result.lattice.corners(leaf.index, leaf.level)[:, 0]
        side = result.lattice.side_at(leaf.level)
        a, b = leaf.values.T
        # Where an end is below, the straight majorant crosses on the way from the other end.
        with np.errstate(invalid="ignore", divide="ignore"):
            cut = np.where(a != b, (threshold - a) / (b - a), 0.0)
        start = np.where(a >= threshold, 0.0, cut)
        end = np.where(b >= threshold, 1.0, cut)
        some = (a >= threshold) | (b >= threshold)
        pieces += zip(low[some] + side * start[some], low[some] + side * end[some], strict=True)
    joined_up: list[tuple[float, float]] = []
    for low_end, high_end in sorted((float(x), float(y)) for x, y in pieces):
        if joined_up and low_end <= joined_up[-1][1] + 1e-6:
            joined_up[-1] = (joined_up[-1][0], max(joined_up[-1][1], high_end))
        else:
            joined_up.append((low_end, high_end))
    return joined_up
