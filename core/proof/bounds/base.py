"""What a bound is, and the dispatch from an antenna kind to the module that has its bound.

Everything is said of the *amplitudes* √E² and √H² that ``kind.unit_field`` gives for 1 W, on flat
patches: squares (or segments) of half-side a, spanned by one or two orthogonal directions d_j.

The contract. On the part of a patch that is not reactive, f being either amplitude:

1. ``f ≤ sup``;
2. ``f(p) ≤ Σ w_c f(corner c) + slack`` for the multilinear weights w_c of p, where ``slack`` is finite.

Where it comes from. If f = |v| for a smooth vector function v (phasors in any frame of reference: the
phase of a common reference may be taken out), then along a line f is a supremum of functions
Re⟨w, v⟩ with |w| = 1, each with a second derivative of at least -|v''|. So f + |v''| s²/2 is convex,
and on a segment of half-length a f lies below its chord plus a²/2 · sup|v''|. One direction after
the other gives

    slack = a²/2 · Σ_j sup |∂²v/∂d_j²|.

The maximum of several such functions has the largest of their slacks. Squares follow: with B the
multilinear interpolation, f² ≤ (B(f) + t)² ≤ B(f²) + 2 t max f(corners) + t² because B(f)² ≤ B(f²).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import singledispatch
from typing import Any

import numpy as np
from numpy.typing import NDArray

from core.antennas.base import Kind
from core.arrays import Bools, Floats, Points, highest
from core.errors import InputError

ROUNDING = 1e-9
"""Relative margin of every proof for float64 rounding: far above what the sums here can lose."""


ENDLESS = 1e60
"""Stands for a bound that does not exist inside sums and products, where infinity would turn into no number."""


@dataclass(frozen=True, slots=True)
class Patches:
    """Patches in an antenna's frame.

    Attributes
    ----------
    centre : array, shape (n, 3)
        m.
    directions : array, shape (n, d, 3)
        One to three orthogonal unit vectors that span each patch.
    half : array, shape (n,)
        Half the side, m.
    radius : array, shape (n,)
        Every point spoken of is within this of the centre; at least half · √d.
    """

    centre: Floats
    directions: Floats
    half: Floats
    radius: Floats

    @property
    def dimension(self) -> int:
        """1 for segments, 2 for squares, 3 for cubes."""
        return int(self.directions.shape[1])

    def part(self, rows: slice | Bools | NDArray[np.intp]) -> Patches:
        """Return some of the patches."""
        return Patches(self.centre[rows], self.directions[rows], self.half[rows], self.radius[rows])

    def __len__(self) -> int:
        return len(self.centre)


NOT_REACTIVE, MAYBE_REACTIVE, ALL_REACTIVE = 0, 1, 2


@dataclass(frozen=True, slots=True)
class Bound:
    """Bounds of the amplitudes for 1 W on patches; see the module's contract.

    A bound of a patch also holds on every patch inside it, with that one's smaller half-side.

    Attributes
    ----------
    e, h : array, shape (n,)
        Suprema of √E² (V/m) and √H² (A/m); inf where there is none.
    e_curve, h_curve : array
        Σ_j sup |∂²v/∂d_j²|, inf where unknown.
    e_jump, h_jump : array
        What steps of the model add to a slack, whatever the size of the patch.
    e_floor, h_floor : array
        Where the amplitude is the larger of a sum and a floor, the curve of the floor; ``e_curve`` then
        belongs to the sum. 0 where there is no floor.
    gap : array
        Distance from the patch's centre to the metal, m.
    reactive : int8 array
        Whether no point, perhaps some, or every point of the patch is in the reactive region.
    """

    e: Floats
    h: Floats
    e_curve: Floats
    h_curve: Floats
    e_jump: Floats
    h_jump: Floats
    e_floor: Floats
    h_floor: Floats
    gap: Floats
    reactive: NDArray[np.int8]

    def part(self, rows: Any) -> Bound:
        """Return some of the patches, by any index."""
        return Bound(*(getattr(self, name)[rows] for name in Bound.__slots__))

    def replaced(self, rows: NDArray[np.intp], new: Bound) -> Bound:
        """Return the bounds with those of some rows exchanged for ``new`` ones."""
        out = Bound(*(getattr(self, name).copy() for name in Bound.__slots__))
        for name in Bound.__slots__:
            getattr(out, name)[rows] = getattr(new, name)
        return out

    def copied(self) -> Bound:
        """Return a copy whose arrays are its own."""
        return Bound(*(np.array(getattr(self, name)) for name in Bound.__slots__))

    def put(self, rows: NDArray[np.intp], new: Bound) -> None:
        """Exchange some rows of a copy (:meth:`copied`) in place."""
        for name in Bound.__slots__:
            getattr(self, name)[rows] = getattr(new, name)

    def slacks(self, half: Floats | float) -> tuple[Floats, Floats]:
        """Return the slacks of both amplitudes on patches of a half-side, m."""
        reach2 = 0.5 * half * half
        e, h = np.maximum(self.e_curve, self.e_floor), np.maximum(self.h_curve, self.h_floor)
        return reach2 * e + self.e_jump, reach2 * h + self.h_jump


@dataclass(frozen=True, slots=True)
class Majorant:
    """Squares on patches (n,) with corners (n, c): field and what it cannot exceed.

    ``e2``, ``h2`` are the model's own values at the corners (or a lower stand-in where the patch is
    bounded as a whole); the field anywhere in the patch is at most the multilinear interpolation of
    ``e2_over``, ``h2_over``.
    """

    e2: Floats
    h2: Floats
    e2_over: Floats
    h2_over: Floats

    def copied(self) -> Majorant:
        """Return a copy whose arrays are its own."""
        return Majorant(*(np.array(getattr(self, name)) for name in Majorant.__slots__))

    def part(self, rows: Any) -> Majorant:
        """Return some of the patches, by any index."""
        return Majorant(*(getattr(self, name)[rows] for name in Majorant.__slots__))

    def put(self, rows: NDArray[np.intp], new: Majorant) -> None:
        """Exchange some rows of a copy (:meth:`copied`) in place."""
        for name in Majorant.__slots__:
            getattr(self, name)[rows] = getattr(new, name)


def largest_bound(found: Sequence[Bound]) -> Bound:
    """Return the bound of the largest of several fields on the same patches.

    Parameters
    ----------
    found : sequence of Bound
        One of each field.
    """
    if len(found) == 1:
        return found[0]

    def all_of(name: str) -> NDArray[np.float64]:
        return np.stack([getattr(one, name) for one in found])

    return Bound(**{
        name: all_of(name).min(axis=0) if name == "gap" else all_of(name).max(axis=0)
        for name in Bound.__slots__
    })  # fmt: skip


@singledispatch
def bound(kind: Kind, frequency: float, patches: Patches, *, conservative: bool) -> Bound:
    """Return the bound of a kind on patches in its frame, for 1 W.

    Parameters
    ----------
    frequency : float
        Hz.
    conservative : bool
        With the printed floors and decibels; else the best estimate.

    Raises
    ------
    InputError
        If the kind has no bound: a zone of it could not be proven.
    """
    raise InputError(
        f"antennas of kind {kind.KEY!r} have no proven bound",
        fix="Use readings and maps for it, or describe it as another kind",
    )


@singledispatch
def majorant(
    kind: Kind,
    frequency: float,
    patches: Patches,
    known: Bound,
    points: Points,
    corners: NDArray[np.intp],
    *,
    conservative: bool,
) -> Majorant:
    """Return values at the corners and the majorant on patches in the antenna's frame, for 1 W.

    Parameters
    ----------
    known : Bound
        What :func:`bound` returned for the same patches.
    points : array, shape (m, 3)
        Where the field is evaluated.
    corners : int array, shape (n, c)
        Which of the points are each patch's corners.
    frequency : float
        Hz.
    conservative : bool
        With the printed floors and decibels; else the best estimate.

    Notes
    -----
    This is the second half of the contract in the module's text, with the kind's own field at the
    corners. Kinds made of several models override it.
    """
    unit = kind.unit_field(points, frequency, conservative=conservative)
    return from_values(unit.e2, unit.h2, known, patches, corners)


def from_values(
    e2_at: Floats, h2_at: Floats, known: Bound, patches: Patches, corners: NDArray[np.intp]
) -> Majorant:
    """Return the majorant from squares (m,) at the evaluated points.

    Parameters
    ----------
    e2_at : array
        E² at the points.
    h2_at : array
        H² at the points.
    known : Bound
        Bounds that are known of the same patches.
    patches : Patches
        The patches, in the antenna's frame.
    corners : array
        Which of the points are each patch's corners.
    """
    e2, h2 = e2_at[corners], h2_at[corners]
    e_slack, h_slack = known.slacks(patches.half)
    return Majorant(e2, h2, over(e2, known.e, e_slack), over(h2, known.h, h_slack))


def from_branches(
    first: tuple[Floats, Floats],
    floor: tuple[Floats, Floats],
    known: Bound,
    patches: Patches,
    corners: NDArray[np.intp],
) -> Majorant:
    """Return the majorant where the field is the larger of a sum (E², H², each (m,)) and a floor.

    Each has its own slack: where the sum stays well below the floor, its phases do not count.

    Parameters
    ----------
    first : tuple[Floats, Floats]
        E² and H² of the sum.
    known : Bound
        Bounds that are known of the same patches.
    patches : Patches
        The patches, in the antenna's frame.
    corners : array
        Which of the points are each patch's corners.
    """
    reach2 = 0.5 * patches.half**2
    values, overs = [], []
    for i, sup, curve, jump, smooth in (
        (0, known.e, known.e_curve, known.e_jump, known.e_floor),
        (1, known.h, known.h_curve, known.h_jump, known.h_floor),
    ):
        one, two = first[i][corners], floor[i][corners]
        values.append(np.maximum(one, two))
        each = [over(v, sup, reach2 * c + jump) for v, c in ((one, curve), (two, smooth))]
        overs.append(np.maximum(*each))
    return Majorant(values[0], values[1], overs[0], overs[1])


def over(square: Floats, sup: Floats, slack: Floats) -> Floats:
    """Return the majorant (n, c) of squares from corner squares (n, c), sup (n,) and slack (n,)."""
    top = np.sqrt(highest(square))
    with np.errstate(invalid="ignore", over="ignore"):
        rise = slack * (2.0 * top + slack)
        raised: Floats = square + rise[:, None]
        flat = sup * sup
    # Two majorants, of which the lower counts as a whole; a mix of both would not be one.
    use_flat = ~(highest(raised) <= flat)
    return np.where(use_flat[:, None], flat[:, None], raised)


def reactive_code(gap: Floats, radius: Floats, trust: float) -> NDArray[np.int8]:
    """Return the reactive code of patches whose centres are ``gap`` from the metal.

    Parameters
    ----------
    radius : array
        m.
    trust : float
        m: nearer than this there is no figure.

    Returns
    -------
    array
        Same shape as the arrays given.
    """
    some = gap - radius < trust * (1.0 + ROUNDING)
    every = gap + radius < trust * (1.0 - ROUNDING)
    code: NDArray[np.int8] = some.astype(np.int8) + every.astype(np.int8)
    return code
