"""Making kept bounds: cells as fine as each radiator by itself asks for, near what is asked first.

A radiator is settled on a cell once its slack is a small part of its own field there, or of the least total that will
be asked about; where it alone is far over everything that will be asked; and where its supremum does not matter. A
cell is halved while a radiator is not settled on it and the total may be within a factor of a threshold: a small
factor first, larger ones as long as there is time and room. So any radiator may be turned down, up or off afterwards,
and the edge of the zone lies in cells whose slack is a small part of what is left. No proof rests on any of this: what
is not settled when a ceiling is met has the best majorant there is, and a coarse cell.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Hashable, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from core.arrays import Bools, Floats, highest, lowest
from core.progress import Cancelled
from core.proof.assess import Assessor, Pairs, Plane, squared
from core.proof.bounds.base import (
    ALL_REACTIVE,
    MAYBE_REACTIVE,
    NOT_REACTIVE,
    Bound,
    Majorant,
)
from core.proof.domains import Domains
from core.proof.enclosure import Enclosure
from core.proof.kept import (
    ENDLESS,
    Guard,
    Kept,
    Shelf,
    Singles,
    columns_of,
    keys_of,
    largest,
    together,
    weighed,
)
from core.proof.lattice import Indices, Lattice
from core.proof.tolerance import Ceiling

FACTORS = (1.2, 2.0, 5.0)
"""How near totals have to be to a threshold for their cells to be halved, one after the other."""

SLACK = 0.1
"""Part of a radiator's field that may be slack on a settled cell."""

FINEST = 0.06
"""m: smaller cells are not made."""

CEILING = Ceiling(seconds=20.0, cells=60_000)
"""How long bounds are made for, and how many cells are kept, at most."""

MOST_BYTES = 100_000_000
"""What the numbers of one view may take; with many emitters there are fewer cells."""

_PAIRS = 60_000
_LATER = 1e-3
_LEAST = 0.1
"""A radiator whose supremum is under a slack of this part of the least total asked about does not matter."""


@dataclass(frozen=True, slots=True)
class Wanted:
    """What will be asked of kept bounds: radiators with their weights against a tier, and thresholds."""

    enclosed: Enclosure
    thresholds: tuple[float, ...]

    @property
    def high(self) -> float:
        """What is far over everything that is asked."""
        return max(self.thresholds) * max(FACTORS)

    @property
    def slight(self) -> float:
        """What the slack of one radiator may be where its field does not matter."""
        low = min(self.thresholds) / max(FACTORS)
        return SLACK * low * max(_LEAST, 1.0 / max(len(self.enclosed.radiators), 1))

    def is_under(self, cells: Shelf) -> Bools:
        """Return the cells (n,) of all radiators whose total is far under everything that is asked."""
        e, columns = self.enclosed, range(len(self.enclosed.radiators))
        total = largest(e, weighed(e, columns, cells.e2_over, cells.h2_over)).max(axis=1)
        under: Bools = np.asarray(total < min(self.thresholds) / max(FACTORS))
        return under

    def near(self, cells: Shelf, keys: Sequence[Hashable], factor: float) -> Floats:
        """Return how urgent smaller cells are, (n,): 0 where no total may be within a factor of a threshold.

        ``keys`` are of the columns. The most urgent cells are those that will likely turn out to be under it.
        """
        e, columns = self.enclosed, columns_of(keys, self.enclosed)
        most = largest(e, weighed(e, columns, cells.e2_over, cells.h2_over)).max(axis=1)
        field = largest(e, weighed(e, columns, cells.e2, cells.h2, majorant=False))
        least = _of_places(cells, field)
        urgent = np.zeros(len(cells))
        for threshold in self.thresholds:
            some = (most >= threshold / factor) & (least <= threshold * factor)
            now = (most >= threshold) & (least <= threshold)
            urgent[some] = np.maximum(urgent[some], _LATER)
            urgent[now] = np.maximum(urgent[now], threshold / most[now])
        urgent[(cells.reactive[:, columns] == MAYBE_REACTIVE).any(axis=1)] = 1.0
        return urgent


def _of_places(cells: Shelf, field: Singles) -> Singles:
    """Return the least corner value (n,) of cells; of cubes the largest of those that stand on one place.

    Their floors and ceilings count apart: a place is inside if it is so at one height.
    """
    if field.shape[1] < 8:
        return np.asarray(field.min(axis=1))
    own = np.maximum(field[:, :4].min(axis=1), field[:, 4:].min(axis=1))
    place = np.column_stack([cells.layer, cells.index[:, :2]])
    _, who = np.unique(place, axis=0, return_inverse=True)
    best = np.zeros(int(who.max(initial=-1)) + 1, np.float32)
    np.maximum.at(best, who.ravel(), own)
    return np.asarray(best[who.ravel()])


def nothing_yet(
    wanted: Wanted, plane: Plane, lattice: Lattice, index: Indices, where: Domains
) -> Kept:
    """Return the cells of a first level, of which no bound is known.

    Parameters
    ----------
    wanted : Wanted
        The radiators.
    plane : Plane
        Where the cells lie.
    lattice : Lattice
        The lattice.
    index : int array, shape (n, d)
        Cells of each layer.
    where : Domains
        Where the layers count.
    """
    layer = np.repeat(np.arange(len(plane.layers)), len(index))
    index = np.tile(index, (len(plane.layers), 1))
    keep = where.touched(lattice, 0, index, layer)
    index, layer = index[keep], layer[keep]
    n, r = len(index), len(wanted.enclosed.radiators)
    shape = (n, len(plane.rises), 1 << index.shape[1], r)
    endless, zero = np.full(shape, ENDLESS), np.zeros(shape, np.float32)
    reactive, settled = np.ones((n, r), np.int8), np.zeros((n, r), bool)
    looked = np.zeros(n, bool)
    shelf = Shelf(0, index, layer, endless, endless, zero, zero, reactive, settled, looked)
    return Kept(plane, lattice, where, keys_of(wanted.enclosed), (shelf,))


def fitted(kept: Kept, wanted: Wanted, cancelled: Callable[[], bool] | None = None) -> Kept:
    """Return kept bounds with the radiators that are wanted, in their order; those that are new are looked at once.

    Parameters
    ----------
    kept : Kept
        What there is.
    wanted : Wanted
        Radiators at their full weight.
    cancelled : callable, optional
        Asked between pieces of work.

    Raises
    ------
    Cancelled
        If asked to stop.
    """
    keys = keys_of(wanted.enclosed)
    if keys == kept.keys:
        return kept
    columns, new = _moved(kept.keys, keys)
    looker = _Looker(Assessor(wanted.enclosed, kept.plane, kept.lattice), (wanted,))
    shelves = []
    for shelf in kept.shelves:
        if cancelled is not None and cancelled():
            raise Cancelled
        cells = shelf.with_radiators(columns)
        if len(new):
            ask = np.zeros_like(cells.settled)
            ask[:, new] = True
            cells = looker.look(cells, ask)
        shelves.append(cells)
    return replace(kept, keys=keys, shelves=tuple(shelves))


def _moved(old: Sequence[Hashable], new: Sequence[Hashable]) -> tuple[list[int], NDArray[np.intp]]:
    """Return the old columns of new keys, past the last where there is none, and which of them have none."""
    number = {key: i for i, key in enumerate(old)}
    columns = [number.get(key, len(old)) for key in new]
    return columns, np.flatnonzero(np.array(columns, np.intp) == len(old))


def guarding(guard: Guard, keys: Sequence[Hashable], enclosed: Enclosure) -> Guard:
    """Return a guard with other radiators.

    Parameters
    ----------
    guard : Guard
        What there is.
    keys : sequence
        Of its columns.
    enclosed : Enclosure
        The radiators that are wanted.
    """
    columns, new = _moved(keys, keys_of(enclosed))
    n, r = len(guard.index), len(new)
    at = Assessor(enclosed, guard.plane, guard.lattice)
    bound = at.columns(guard.level, guard, np.repeat(np.arange(n), r), np.tile(new, n))
    return guard.with_radiators(columns, new, bound)


def refined(
    kept: Kept,
    wanted: Sequence[Wanted],
    now: Sequence[Wanted] = (),
    ceiling: Ceiling = CEILING,
    cancelled: Callable[[], bool] | None = None,
) -> Kept:
    """Return kept bounds on smaller cells, where radiators are not settled yet.

    Parameters
    ----------
    kept : Kept
        What there is, of the radiators that are wanted (:func:`fitted`).
    wanted : sequence of Wanted
        The same radiators at their full weight against each tier.
    now : sequence of Wanted
        Some of them with the weights they have now: their zones are looked at first.
    ceiling : Ceiling
        Where to stop; cells are then left as they are.
    cancelled : callable, optional
        Asked between pieces of work.

    Raises
    ------
    Cancelled
        If asked to stop.
    """
    deadline = time.perf_counter() + ceiling.seconds
    at = Assessor(wanted[0].enclosed, kept.plane, kept.lattice)
    each = sum(a.nbytes for a in _numbers(kept.shelves[0].part(slice(0, 1)))) if kept.cells else 1
    most = min(ceiling.cells, MOST_BYTES // max(each, 1))
    making = _Making(_Looker(at, tuple(wanted)), most, deadline, cancelled)
    for factor in FACTORS:
        for some in (now, wanted):
            if some and not (making.stopped or making.full):
                kept = making.halved(kept, some, factor)
    return kept


def _numbers(cells: Shelf) -> tuple[Singles, ...]:
    return cells.e2_over, cells.h2_over, cells.e2, cells.h2


@dataclass(slots=True)
class _Making:
    looker: _Looker
    most: int
    deadline: float
    cancelled: Callable[[], bool] | None
    stopped: bool = False
    full: bool = False

    def halved(self, kept: Kept, some: Sequence[Wanted], factor: float) -> Kept:
        """Return the bounds with cells halved until all radiators are settled near the thresholds."""
        waiting: dict[int, list[Shelf]] = {}
        for shelf in kept.shelves:
            waiting.setdefault(shelf.level, []).append(shelf)
        done: list[Shelf] = []
        count = kept.cells
        while waiting:
            level = min(waiting)
            cells = together(waiting.pop(level))
            near = self._near(cells, some, kept.keys, factor) > 0.0
            done.append(cells.part(~near))
            cells = self._looked(cells.part(near))
            split = np.zeros(len(cells), bool)
            if kept.lattice.side_at(level + 1) >= FINEST and not self.full:
                urgent = self._near(cells, some, kept.keys, factor)
                room = max(self.most - count, 0) // ((1 << cells.index.shape[1]) - 1)
                first = np.argsort(-urgent, kind="stable")[:room]
                split[first] = urgent[first] > 0.0
                self.full = bool(split.sum() < (urgent > 0.0).sum())
            done.append(cells.part(~split))
            below = cells.part(split).split()
            touched = kept.where.touched(kept.lattice, level + 1, below.index, below.layer)
            below = below.part(touched)
            count += len(below) - int(split.sum())
            if len(below):
                waiting.setdefault(level + 1, []).append(below)
        return replace(kept, shelves=tuple(shelf for shelf in done if len(shelf)))

    def _near(
        self, cells: Shelf, some: Sequence[Wanted], keys: Sequence[Hashable], factor: float
    ) -> Floats:
        urgent = np.max([one.near(cells, keys, factor) for one in some], axis=0)
        return np.where(cells.settled.all(axis=1), 0.0, urgent)

    def _looked(self, cells: Shelf) -> Shelf:
        """Return the cells with numbers of their own where they have those of an ancestor."""
        radiators, heights = cells.settled.shape[1], len(self.looker.at.plane.rises)
        size = max(1, _PAIRS // (radiators * heights))
        looked = [cells.part(slice(0, 0))]
        for start in range(0, len(cells), size):
            if self.cancelled is not None and self.cancelled():
                raise Cancelled
            self.stopped |= time.perf_counter() > self.deadline
            self.full |= self.stopped
            block = cells.part(slice(start, start + size))
            ask = ~block.settled & ~block.looked[:, None]
            looked.append(block if self.stopped else self.looker.look(block, ask))
        return together(looked)


@dataclass(frozen=True, slots=True)
class _Looker:
    at: Assessor
    wanted: tuple[Wanted, ...]

    def look(self, cells: Shelf, ask: Bools) -> Shelf:
        """Return the cells with new numbers for some of their radiators (n, r)."""
        cell, radiator = np.nonzero(ask)
        if not cell.size:
            return cells
        cells = cells.copied()
        cells.looked[:] = True
        bound = self.at.columns(cells.level, cells, cell, radiator)
        e2, h2 = squared(bound.e), squared(bound.h)
        flat = Majorant(np.zeros_like(e2), np.zeros_like(h2), e2, h2)
        cells.put(cell, radiator, _shaped(flat, (len(cell), 1, 1)))
        cells.reactive[cell, radiator] = bound.reactive
        metal = bound.reactive != NOT_REACTIVE
        slight, far = ~metal, np.ones(len(cells), bool)
        for one in self.wanted:
            most = one.enclosed.fractions(radiator, e2, h2).max(axis=1)
            slight &= most <= one.slight
            far &= one.is_under(cells)
        cells.settled[cell, radiator] = slight | (bound.reactive == ALL_REACTIVE)
        # A slack that is over the supremum itself decides nothing.
        side = self.at.lattice.side_at(cells.level)
        hopeless = bound.slacks(0.5 * side)[0] >= bound.e
        rows = np.flatnonzero(~metal & ~slight & ~hopeless & ~far[cell])
        if rows.size:
            self._evaluated(cells, cell[rows], radiator[rows], bound.part(rows))
        return cells

    def _evaluated(
        self, cells: Shelf, cell: NDArray[np.intp], radiator: NDArray[np.intp], bound: Bound
    ) -> None:
        """Put the majorants of pairs onto cells that are a copy."""
        p, h = len(cell), len(self.at.plane.rises)
        pairs = Pairs(np.repeat(cell, h), np.tile(np.arange(h), p), np.repeat(radiator, h))
        known = bound.part(np.repeat(np.arange(p), h))
        got = self.at.majorants(cells.level, cells, pairs, known)
        cells.put(cell, radiator, _shaped(got, (p, h, got.e2.shape[1])))
        settled = np.ones(p, bool)
        for one in self.wanted:
            of = one.enclosed.fractions
            over = of(pairs.radiator, got.e2_over, got.h2_over, majorant=True)
            value = np.minimum(of(pairs.radiator, got.e2, got.h2), over)
            slack = _most(highest(over - value), p)
            enough = slack <= np.maximum(SLACK * _most(highest(value), p), one.slight)
            settled &= enough | (-_most(-lowest(value), p) >= one.high)
        cells.settled[cell, radiator] = settled


def _most(values: Floats, pairs: int) -> Floats:
    """Return the largest (p,) of values (p × heights, totals)."""
    most: Floats = values.reshape(pairs, -1).max(axis=1)
    return most


def _shaped(of: Majorant, shape: tuple[int, int, int]) -> Majorant:
    return Majorant(*(getattr(of, name).reshape(shape) for name in Majorant.__slots__))
