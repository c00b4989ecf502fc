"""Bounds of the rays that a radiator's bound is made of, kept while the same patches are worked on.

Where something stands about a radiator its bound is one of the direct field and of every image put together; a
majorant needs them apart. Most patches are bounded and evaluated in one step of a search, and need not be bounded
twice.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from core.arrays import Bools
from core.proof.bounds.base import MAYBE_REACTIVE, Bound, Patches


@dataclass(frozen=True, slots=True)
class Parts:
    """Bounds (n,) of the direct ray and of each image by its number, with which of them are known."""

    rays: tuple[Bound, ...]
    known: tuple[Bools, ...]

    def put(self, ray: int, rows: NDArray[np.intp], bound: Bound) -> None:
        """Keep the bound of a ray for some of the patches."""
        self.rays[ray].put(rows, bound)
        self.known[ray][rows] = True


def unknown(n: int) -> Bound:
    """Return bounds (n,) that say nothing."""
    endless, zero = np.full(n, np.inf), np.zeros(n)
    return Bound(
        e=endless,
        h=endless.copy(),
        e_curve=endless.copy(),
        h_curve=endless.copy(),
        e_jump=zero,
        h_jump=zero.copy(),
        e_floor=zero.copy(),
        h_floor=zero.copy(),
        gap=zero.copy(),
        reactive=np.full(n, MAYBE_REACTIVE, np.int8),
    )


def no_parts(n: int, rays: int) -> Parts:
    """Return room for the bounds of n patches, none of them known.

    Parameters
    ----------
    rays : int
        The direct one and the images.
    """
    return Parts(
        tuple(unknown(n) for _ in range(rays)), tuple(np.zeros(n, bool) for _ in range(rays))
    )


@dataclass(frozen=True, slots=True)
class Share:
    """Patches of one task among those of :class:`Parts`: their rows."""

    parts: Parts
    rows: NDArray[np.intp]

    def put(self, ray: int, mine: NDArray[np.intp], bound: Bound) -> None:
        """Keep the bound of a ray for some of the task's patches."""
        self.parts.put(ray, self.rows[mine], bound)


def shared(parts: Parts | None, rows: NDArray[np.intp]) -> Share | None:
    """Return the share of some rows, None where nothing is kept.

    Parameters
    ----------
    parts : Parts or None
        What is kept.
    rows : int array
        Which patches.
    """
    return None if parts is None else Share(parts, rows)


Asked = tuple[int, NDArray[np.intp]]
"""A ray, and the rows of a task."""


def bound_again(
    ask: Callable[[Patches], Bound], patches: Patches, share: Share | None, asked: Sequence[Asked]
) -> Bound:
    """Return the bounds of patches, those that are known from what is kept.

    Parameters
    ----------
    ask : callable
        Returns the bound of patches.
    patches : Patches
        Of all rays, one after another.
    share : Share or None
        What is kept.
    asked : sequence of (ray, rows)
        Which patches these are.
    """
    if share is None:
        return ask(patches)
    known = np.concatenate([share.parts.known[ray][share.rows[mine]] for ray, mine in asked])
    if not known.any():
        return ask(patches)
    kept = [share.parts.rays[ray].part(share.rows[mine]) for ray, mine in asked]
    out = Bound(*(np.concatenate([getattr(b, n) for b in kept]) for n in Bound.__slots__))
    rest = np.flatnonzero(~known)
    if rest.size:
        out.put(rest, ask(patches.part(rest)))
    return out
