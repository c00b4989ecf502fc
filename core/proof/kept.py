"""Kept bounds: what each radiator of a plane cannot exceed for 1 W, cell by cell, to be weighed again.

Power, state, tier, limit set and threshold are only weights of fields that stay as they are. The cells here are not
those of a search, which drops what a threshold does not need: they are as fine as each radiator by itself asks for
(:mod:`core.proof.keeping`), and every radiator has a majorant on all of them.

Why it is a proof. On a cell the square of a radiator's field for 1 W is at most the multilinear interpolation of its
numbers at the corners (contract of :mod:`core.proof.bounds.base`; it may be that of an ancestor, interpolated). A
total is a sum of these with weights that are not negative, a root is replaced by its tangent, and of several totals
the larger counts at each corner: the interpolation of those lies over all of them. So no place of a cell is over a
threshold that its corner numbers stay below. Beyond the box that is covered a :class:`Guard` keeps cells that were left
out, with their suprema: where one may be over when weighed again, the box is too small.

Numbers are kept in float32, rounded up; a sum of n of them with weights rounded once loses at most (n + 2) 2^-24 of
itself, and is raised by twice that.
"""

from __future__ import annotations

from collections.abc import Hashable, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import NDArray

from core.arrays import Bools, Floats
from core.proof.assess import Plane, squared
from core.proof.bounds.base import MAYBE_REACTIVE, NOT_REACTIVE, ROUNDING, Bound, Majorant
from core.proof.bounds.surroundings import HUGE
from core.proof.cells import Leaves
from core.proof.domains import Domains
from core.proof.enclosure import Enclosure
from core.proof.lattice import Indices, Lattice, child_weights, children
from core.proof.merging import merged
from core.proof.search import Outcome
from core.proof.tolerance import Fineness
from core.units import ETA0

Singles = NDArray[np.float32]

KEPT = "kept bounds"
"""What stopped a search that was none."""

ENDLESS = np.float32(1e30)
"""Stands for a square that has no bound."""

_SQUARES = ("e2_over", "h2_over", "e2", "h2")


@dataclass(frozen=True, slots=True)
class Shelf:
    """Cells (n,) of one level with the squares of every radiator (r,) for 1 W.

    Attributes
    ----------
    index : int array, shape (n, d)
    layer : int array, shape (n,)
    e2_over, h2_over : float32 array, shape (n, heights, corners, r)
        What the squares cannot exceed, interpolated from the corners.
    e2, h2 : float32 array, same shape
        The squares themselves there, or less.
    reactive : int8 array, shape (n, r)
    settled : bool array, shape (n, r)
        Smaller cells need not be looked at for this radiator.
    looked : bool array, shape (n,)
        Whether the numbers are the cell's own, where radiators are not settled; else they are an ancestor's.
    """

    level: int
    index: Indices
    layer: NDArray[np.intp]
    e2_over: Singles
    h2_over: Singles
    e2: Singles
    h2: Singles
    reactive: NDArray[np.int8]
    settled: Bools
    looked: Bools

    def part(self, rows: Bools | slice | NDArray[np.intp]) -> Shelf:
        """Return some of the cells."""
        return self._each(lambda a: a[rows])

    def split(self) -> Shelf:
        """Return the children."""
        d = self.index.shape[1]
        n = 1 << d
        weights = child_weights(d)
        parts: dict[str, Any] = {}
        for name in _SQUARES:
            old = getattr(self, name).astype(np.float64)
            new = np.einsum("pjk,nhkr->nphjr", weights, old).reshape(-1, *old.shape[1:])
            parts[name] = upward(new) if name.endswith("over") else new.astype(np.float32)
        return Shelf(
            level=self.level + 1,
            index=children(self.index),
            layer=np.repeat(self.layer, n),
            reactive=np.repeat(self.reactive, n, axis=0),
            settled=np.repeat(self.settled, n, axis=0),
            looked=np.zeros(n * len(self), bool),
            **parts,
        )

    def with_radiators(self, columns: Sequence[int]) -> Shelf:
        """Return the cells with other radiators; of those with a column past the last nothing is known."""
        unknown = {"e2": 0.0, "h2": 0.0, "reactive": MAYBE_REACTIVE, "settled": False}
        parts: dict[str, Any] = {}
        for name in (*_SQUARES, "reactive", "settled"):
            old = getattr(self, name)
            new = np.full((*old.shape[:-1], 1), unknown.get(name, ENDLESS), old.dtype)
            parts[name] = np.concatenate([old, new], axis=-1)[..., columns]
        return replace(self, **parts)

    def copied(self) -> Shelf:
        """Return the cells with numbers that are their own."""
        return self._each(np.copy)

    def put(self, cell: NDArray[np.intp], radiator: NDArray[np.intp], new: Majorant) -> None:
        """Exchange the squares of pairs (p,) for ``new`` ones (p, heights, corners), on a copy."""
        for name in _SQUARES:
            values = getattr(new, name)
            values = upward(values) if name.endswith("over") else values.astype(np.float32)
            getattr(self, name)[cell, :, :, radiator] = values

    def _each(self, change: Any) -> Shelf:
        names = [n for n in Shelf.__slots__ if n != "level"]
        return Shelf(self.level, *(change(getattr(self, n)) for n in names))

    def __len__(self) -> int:
        return len(self.index)


def together(shelves: Sequence[Shelf]) -> Shelf:
    """Return cells of one level on one shelf.

    Parameters
    ----------
    shelves : sequence of Shelf
        Of one level.
    """
    if len(shelves) == 1:
        return shelves[0]
    names = [n for n in Shelf.__slots__ if n != "level"]
    return Shelf(
        shelves[0].level, *(np.concatenate([getattr(s, n) for s in shelves]) for n in names)
    )


def upward(values: Floats) -> Singles:
    """Return squares in float32, none smaller than it was.

    Parameters
    ----------
    values : array
        Squares.
    """
    capped = np.minimum(np.nan_to_num(values, nan=np.inf), ENDLESS)
    raised: Singles = np.nextafter(capped.astype(np.float32), np.float32(np.inf))
    return raised


@dataclass(frozen=True, slots=True)
class Guard:
    """Cells (n,) of a plane beyond the box, with the suprema of every radiator's squares (n, r) for 1 W."""

    plane: Plane
    lattice: Lattice
    level: int
    index: Indices
    layer: NDArray[np.intp]
    e2: Singles
    h2: Singles
    reactive: NDArray[np.int8]

    def with_radiators(self, columns: Sequence[int], new: NDArray[np.intp], bound: Bound) -> Guard:
        """Return the cells with other radiators; those that are ``new`` have the bounds (cells × new,)."""
        n = len(self.index)
        fresh: dict[str, Any] = {
            "e2": upward(squared(bound.e)),
            "h2": upward(squared(bound.h)),
            "reactive": bound.reactive,
        }
        parts: dict[str, Any] = {}
        for name, values in fresh.items():
            old = getattr(self, name)
            parts[name] = np.hstack([old, np.zeros((n, 1), old.dtype)])[:, columns]
            parts[name][:, new] = values.reshape(n, len(new))
        return replace(self, **parts)

    def over(self, enclosed: Enclosure, columns: Sequence[int], threshold: float) -> Bools:
        """Return which cells (n,) can be over a threshold, or reactive."""
        metal = (self.reactive[:, columns] != NOT_REACTIVE).any(axis=1)
        total = weighed(enclosed, columns, self.e2[:, None, None], self.h2[:, None, None])
        # What is no number is not under the threshold.
        return np.asarray(metal | ~(total <= threshold * (1.0 - ROUNDING)).all(axis=(1, 2, 3)))


@dataclass(frozen=True)
class Kept:
    """Kept bounds of a plane.

    ``keys`` (r,) say which unit field a column is of; ``shelves`` cover all of the domains in a box.
    """

    plane: Plane
    lattice: Lattice
    where: Domains
    keys: tuple[Hashable, ...]
    shelves: tuple[Shelf, ...]

    @cached_property
    def cells(self) -> int:
        """How many cells there are."""
        return sum(len(shelf) for shelf in self.shelves)


def keys_of(enclosed: Enclosure) -> tuple[Hashable, ...]:
    """Return what says which unit field each radiator is.

    Parameters
    ----------
    enclosed : Enclosure
        The radiators.
    """
    return tuple(enclosed.sources[r.members[0]].key for r in enclosed.radiators)


def weighed(
    enclosed: Enclosure,
    columns: Sequence[int],
    e2: Singles,
    h2: Singles,
    *,
    majorant: bool = True,
) -> Singles:
    """Return the totals (n, heights, corners, totals) of squares (n, heights, corners, r) for 1 W.

    Parameters
    ----------
    enclosed : Enclosure
        The weights.
    columns : sequence of int
        The columns of its radiators.
    e2, h2 : array
        Squares; no total is more than what is returned where ``majorant``.
    majorant : bool
        Corners are interpolated: roots are their tangents, and sums are rounded up.
    """
    every = len(columns) == e2.shape[-1] and list(columns) == list(range(e2.shape[-1]))
    if not every:
        e2, h2 = e2[..., columns], h2[..., columns]
    out = np.zeros((*e2.shape[:-1], len(enclosed.totals)), np.float32)
    for term in np.flatnonzero(enclosed.coefficients.any(axis=(0, 1))):
        if term % 3 == 2:
            y = np.maximum(e2 / np.float32(ETA0), h2 * np.float32(ETA0))
        else:
            y = (e2, h2)[term % 3]
        if term >= 3:
            y = _rooted(y, majorant=majorant)
        with np.errstate(under="ignore"):
            # One large product: numpy would take one for each cell and height.
            rows = y.reshape(-1, y.shape[-1]) @ enclosed.coefficients[:, :, term].astype(np.float32)
        out += rows.reshape(out.shape)
    margin = 2.0 * (e2.shape[-1] + 8) * 2.0**-24
    if majorant:
        out = out * np.float32(1.0 + margin) + np.float32(1e-30)
    return np.minimum(out, ENDLESS)


def _rooted(y: Singles, *, majorant: bool) -> Singles:
    if not majorant:
        return np.sqrt(y)
    middle = np.maximum(y.mean(axis=-2, keepdims=True), np.float32(1e-30))
    tangent: Singles = (y + middle) / (2.0 * np.sqrt(middle))
    return tangent


def columns_of(keys: Sequence[Hashable], enclosed: Enclosure) -> list[int]:
    """Return the columns of radiators among those of some keys.

    Parameters
    ----------
    keys : sequence
        Of all columns.
    enclosed : Enclosure
        The radiators.
    """
    number = {key: i for i, key in enumerate(keys)}
    return [number[key] for key in keys_of(enclosed)]


def reweighed(kept: Kept, enclosed: Enclosure, fineness: Fineness) -> Outcome:
    """Return the region over a threshold from kept bounds, in the box that they cover.

    Parameters
    ----------
    kept : Kept
        Bounds of all radiators that are weighed.
    enclosed : Enclosure
        The radiators against the tier.
    fineness : Fineness
        The threshold.
    """
    columns = columns_of(kept.keys, enclosed)
    found = [_leaves(shelf, enclosed, columns, fineness, kept.lattice) for shelf in kept.shelves]
    leaves = merged([leaf for leaf in found if len(leaf.index)], fineness.proof)
    metres = max((float(leaf.metres.max()) for leaf in leaves), default=0.0)
    share = max((float(leaf.share.max()) for leaf in leaves), default=0.0)
    return Outcome(kept.lattice.flat, leaves, kept.where.of, metres, share, 0, 0.0, KEPT)


def _leaves(
    shelf: Shelf, enclosed: Enclosure, columns: Sequence[int], fineness: Fineness, lattice: Lattice
) -> Leaves:
    """Return the cells that may be over the threshold.

    The slack of one that counts as a whole is what its least corner is under the threshold.
    """
    blocked = (shelf.reactive[:, columns] != NOT_REACTIVE).any(axis=1)
    over = largest(enclosed, weighed(enclosed, columns, shelf.e2_over, shelf.h2_over))
    # What is no number is not under the threshold.
    rows = np.flatnonzero(blocked | ~(over < fineness.proof).all(axis=1))
    shelf, over = shelf.part(rows), over[rows].astype(np.float64)
    field = weighed(enclosed, columns, shelf.e2, shelf.h2, majorant=False)
    value = np.minimum(largest(enclosed, field).astype(np.float64), over)
    over[blocked[rows]] = HUGE
    value[blocked[rows]] = HUGE
    if over.shape[1] == 8:
        over, value = (np.maximum(a[:, :4], a[:, 4:]) for a in (over, value))
    full = (over >= fineness.proof).all(axis=1)
    under = np.maximum(1.0 - value.min(axis=1) / fineness.threshold, 0.0)
    slack = np.where(full, under, (over - value).max(axis=1) / fineness.threshold)
    share = np.minimum(slack, 1.0)
    side, d = lattice.side_at(shelf.level), min(shelf.index.shape[1], 2)
    metres = np.where(slack > 0.0, side * np.sqrt(d), 0.0)
    slope = np.maximum(_slope(over, side) / fineness.threshold, 1e-12)
    metres[~full] = np.minimum(metres, slack / slope)[~full]
    return Leaves(shelf.level, shelf.index[:, :2], shelf.layer, over, metres, share)


def _slope(values: Floats, side: float) -> Floats:
    """Return the slope (n,) of corner values (n, 2^d), along a line or over a square."""
    if values.shape[1] == 2:
        return np.asarray(np.abs(values[:, 1] - values[:, 0]) / side)
    right = values[:, [1, 3]].mean(axis=1) - values[:, [0, 2]].mean(axis=1)
    up = values[:, 2:].mean(axis=1) - values[:, :2].mean(axis=1)
    return np.asarray(np.hypot(right, up) / side)


def largest(enclosed: Enclosure, totals: Singles) -> Singles:
    """Return the largest (n, corners) of all peaks and means of totals (n, heights, corners, totals).

    Parameters
    ----------
    enclosed : Enclosure
        Whose totals they are.
    totals : array
        As :func:`weighed` returns them.
    """
    means = [i for i, t in enumerate(enclosed.totals) if t.mean]
    peaks = [i for i, t in enumerate(enclosed.totals) if not t.mean]
    found = [totals[..., peaks].max(axis=(1, 3))] if peaks else []
    found += [totals[..., means].mean(axis=1).max(axis=2)] if means else []
    largest: Singles = np.max(found, axis=0)
    return largest
