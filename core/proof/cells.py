"""The cells of a search: the undecided ones of a level, and those that are finished.

Far from most antennas only a few matter to a cell, so radiators are kept as pairs of a cell and a radiator:
work and memory follow what is undecided, not the number of antennas on the site.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from core.arrays import Bools, Floats
from core.proof.bounds.base import Bound
from core.proof.bounds.surroundings import HUGE
from core.proof.lattice import Indices, child_weights, children


@dataclass(frozen=True, slots=True)
class Unsettled:
    """Radiators that still vary over a cell: pairs (p,) of a cell and a radiator, in the order of the cells.

    Attributes
    ----------
    cell, radiator : int array, shape (p,)
    known : Bound of shape (p,)
        Bounds of the cell (or of an ancestor) that hold at every height of the body.
    stable : bool array, shape (p,)
        Smaller cells would hardly improve the bound.
    seen : array, shape (p,)
        The largest part of the total last seen, inf where it was never looked at.
    cap : array, shape (p,)
        What no total exceeds, from the last evaluation; inf before.
    row : int array, shape (p,)
        Where what is known of the pair in this step is found, among the pairs that it began with.
    """

    cell: NDArray[np.intp]
    radiator: NDArray[np.intp]
    known: Bound
    stable: Bools
    seen: Floats
    cap: Floats
    row: NDArray[np.intp]

    def part(self, rows: slice | Bools | NDArray[np.intp]) -> Unsettled:
        """Return some of the pairs."""
        return Unsettled(*(_rows(getattr(self, n), rows) for n in Unsettled.__slots__))

    def with_(self, **changes: Any) -> Unsettled:
        """Return the pairs with some arrays replaced."""
        return Unsettled(*(changes.get(n, getattr(self, n)) for n in Unsettled.__slots__))

    def __len__(self) -> int:
        return len(self.cell)


def _rows(array: Any, rows: Any) -> Any:
    return array.part(rows) if isinstance(array, Bound) else array[rows]


@dataclass(frozen=True, slots=True)
class Open:
    """Undecided cells (n,) of one level.

    Attributes
    ----------
    index : int array, shape (n, d)
    layer : int array, shape (n,)
        Which layer of the plane the cell lies in.
    pairs : Unsettled
        Radiators not yet settled.
    over, slack : array, shape (n, heights, totals, corners) and (n, heights, totals)
        Majorant and slack of the settled radiators.
    """

    index: Indices
    layer: NDArray[np.intp]
    pairs: Unsettled
    over: Floats
    slack: Floats

    def part(self, keep: Bools) -> Open:
        """Return the cells of a mask; one of all of them copies nothing."""
        if keep.all():
            return self
        number = np.cumsum(keep) - 1
        pairs = self.pairs.part(keep[self.pairs.cell])
        return Open(
            self.index[keep],
            self.layer[keep],
            pairs.with_(cell=number[pairs.cell]),
            self.over[keep],
            self.slack[keep],
        )

    def with_(self, **changes: Any) -> Open:
        """Return the cells with some arrays replaced."""
        return Open(*(changes.get(n, getattr(self, n)) for n in Open.__slots__))

    def blocks(self, cells: int, pairs: int) -> Iterator[Open]:
        """Yield the cells in blocks of at most so many, and of about so many pairs."""
        first = np.searchsorted(self.pairs.cell, np.arange(len(self) + 1))
        start = 0
        while start < len(self):
            full = int(np.searchsorted(first, first[start] + pairs, side="right")) - 1
            end = min(max(full, start + 1), start + cells, len(self))
            mine = self.pairs.part(slice(first[start], first[end]))
            rows = slice(start, end)
            yield Open(
                self.index[rows],
                self.layer[rows],
                mine.with_(cell=mine.cell - start),
                self.over[rows],
                self.slack[rows],
            )
            start = end

    def split(self) -> Open:
        """Return the children."""
        d = self.index.shape[1]
        n = 1 << d
        over = np.einsum("pjk,nhtk->nphtj", child_weights(d), self.over)
        # Each cell's pairs once for each of its children, these together as they were.
        count = np.repeat(np.bincount(self.pairs.cell, minlength=len(self)), n)
        first = np.repeat(np.searchsorted(self.pairs.cell, np.arange(len(self))), n)
        cell = np.repeat(np.arange(len(count)), count)
        place = np.arange(len(cell)) - np.repeat(np.cumsum(count) - count, count)
        pairs = self.pairs.part(first[cell] + place).with_(cell=cell)
        return Open(
            index=children(self.index),
            layer=np.repeat(self.layer, n),
            pairs=pairs,
            over=over.reshape(-1, *self.over.shape[1:]),
            slack=np.repeat(self.slack, n, axis=0),
        )

    def __len__(self) -> int:
        return len(self.index)


def join(parts: list[Open]) -> Open:
    """Return cells together.

    Parameters
    ----------
    parts : list[Open]
        Cells of one level.
    """
    parts = [p for p in parts if len(p)] or parts[:1]
    if len(parts) == 1:
        return parts[0]
    offsets = np.cumsum([0, *(len(p) for p in parts[:-1])])
    pairs = [p.pairs.with_(cell=p.pairs.cell + o) for p, o in zip(parts, offsets, strict=True)]
    known = Bound(*(np.concatenate([getattr(p.known, f) for p in pairs]) for f in Bound.__slots__))

    def together(of: list[Any], name: str) -> Any:
        return np.concatenate([getattr(p, name) for p in of])

    others = {n: together(pairs, n) for n in Unsettled.__slots__ if n != "known"}
    return Open(
        pairs=Unsettled(known=known, **others),
        **{n: together(parts, n) for n in Open.__slots__ if n != "pairs"},
    )


@dataclass(frozen=True, slots=True)
class Leaves:
    """Finished cells of one level: ``values`` (n, corners) of the majorant, HUGE for wholly inside.

    Cubes are seen from above: what a place can be at any of their heights.

    ``layer`` (n,) tells where they lie; ``metres`` and ``share`` (n,) are the slacks of those on the
    boundary, 0 for the inside.
    """

    level: int
    index: Indices
    layer: NDArray[np.intp]
    values: Floats
    metres: Floats
    share: Floats


def whole(level: int, cells: Open, metres: float = 0.0, share: float = 0.0) -> Leaves:
    """Return cells that count as wholly inside.

    Parameters
    ----------
    level : int
        Level of the lattice.
    metres : float
        m.
    share : float
        Part of the threshold.
    """
    index = cells.index[:, :2]
    n, d = index.shape
    values = np.full((n, 1 << d), HUGE)
    return Leaves(level, index, cells.layer, values, np.full(n, metres), np.full(n, share))


def gather(level: int, parts: list[Leaves]) -> Leaves:
    """Return the leaves of one level together.

    Parameters
    ----------
    parts : list[Leaves]
        What is put together, one after another.
    """
    names = ("index", "layer", "values", "metres", "share")
    return Leaves(level, *(np.concatenate([getattr(p, n) for p in parts]) for n in names))
