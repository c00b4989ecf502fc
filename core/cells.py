"""The cells of a search: the undecided ones of a level, and those that are finished."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from core.arrays import Bools, Floats
from core.bounds.base import ROUNDING, Bound
from core.enclosure import HUGE
from core.quadtree import Indices, child_weights, children


@dataclass(frozen=True, slots=True)
class Rule:
    """When a cell is fine enough: slack under ``share`` of the threshold, or ``metres`` at the edge."""

    threshold: float
    share: float
    metres: float

    @property
    def proof(self) -> float:
        """The threshold with the margin for rounding."""
        return self.threshold * (1.0 - ROUNDING)


@dataclass(frozen=True, slots=True)
class Open:
    """Undecided cells (n,) of one level.

    Attributes
    ----------
    index : int array, shape (n, d)
    layer : int array, shape (n,)
        Which layer of the plane the cell lies in.
    open : bool array, shape (n, emitters)
        Emitters not yet settled.
    known : Bound of shape (n, emitters)
        Bounds of the cell (or of an ancestor) that hold at every height of the body.
    stable : bool array, shape (n, emitters)
        Smaller cells would hardly improve the bound.
    seen : array, shape (n, emitters)
        The largest part of the total last seen of each emitter, inf where it was never looked at.
    cap : array, shape (n, emitters)
        What no total of an emitter exceeds, from its last evaluation; inf before.
    over, slack : array, shape (n, heights, totals, corners) and (n, heights, totals)
        Majorant and slack of the settled emitters.
    """

    index: Indices
    layer: NDArray[np.intp]
    open: Bools
    known: Bound
    stable: Bools
    seen: Floats
    cap: Floats
    over: Floats
    slack: Floats

    def part(self, rows: slice | Bools | NDArray[np.intp]) -> Open:
        """Return some of the cells; a mask of all of them copies nothing."""
        if isinstance(rows, np.ndarray) and rows.dtype == np.bool_ and rows.all():
            return self
        known = self.known.part(rows)
        return self.with_(
            **{n: getattr(self, n)[rows] for n in Open.__slots__ if n != "known"}, known=known
        )

    def with_(self, **changes: Any) -> Open:
        """Return the cells with some arrays replaced."""
        return Open(**{n: changes.get(n, getattr(self, n)) for n in Open.__slots__})

    def split(self) -> Open:
        """Return the children."""
        d = self.index.shape[1]
        n = 1 << d
        over = np.einsum("pjk,nhtk->nphtj", child_weights(d), self.over)
        again = {
            name: np.repeat(getattr(self, name), n, axis=0)
            for name in ("layer", "open", "stable", "seen", "cap", "slack")
        }
        known = Bound(*(np.repeat(getattr(self.known, f), n, axis=0) for f in Bound.__slots__))
        return Open(
            index=children(self.index),
            known=known,
            over=over.reshape(-1, *self.over.shape[1:]),
            **again,
        )

    def __len__(self) -> int:
        return len(self.index)


def join(parts: list[Open]) -> Open:
    """Return cells together."""
    if len(parts) == 1:
        return parts[0]
    names = [n for n in Open.__slots__ if n != "known"]
    known = Bound(*(np.concatenate([getattr(p.known, f) for p in parts]) for f in Bound.__slots__))
    return Open(known=known, **{n: np.concatenate([getattr(p, n) for p in parts]) for n in names})


@dataclass(frozen=True, slots=True)
class Leaves:
    """Finished cells of one level: ``values`` (n, corners) of the majorant, HUGE for wholly inside.

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
    """Return cells that count as wholly inside."""
    n, d = cells.index.shape
    values = np.full((n, 1 << d), HUGE)
    return Leaves(level, cells.index, cells.layer, values, np.full(n, metres), np.full(n, share))


def gather(level: int, parts: list[Leaves]) -> Leaves:
    """Return the leaves of one level together."""
    names = ("index", "layer", "values", "metres", "share")
    return Leaves(level, *(np.concatenate([getattr(p, n) for p in parts]) for n in names))
