"""Fewer leaves for the same region: four that are wholly inside are one of the level above."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from core.arrays import Bools
from core.proof.bounds.surroundings import HUGE
from core.proof.cells import Leaves

_BITS = 24
"""Of a lattice index: cells are far fewer across."""


def merged(leaves: Sequence[Leaves], threshold: float) -> tuple[Leaves, ...]:
    """Return leaves with the same region, or a little more of it.

    Those on one place count as one, with the largest corner values; those over a place that is wholly inside are left
    out. Slacks are the largest of what was put together, but 0 where one of a place is inside without any.

    Parameters
    ----------
    leaves : sequence of Leaves
        In a plane, or seen from above; along a line they are left as they are.
    threshold : float
        From here on corners are inside.
    """
    if not leaves or leaves[0].index.shape[1] != 2:
        return tuple(leaves)
    out: list[Leaves] = []
    coming: list[Leaves] = []
    for level in range(max(leaf.level for leaf in leaves), -1, -1):
        here = [leaf for leaf in leaves if leaf.level == level] + coming
        coming = []
        if not here:
            continue
        one = _on_places(level, here, threshold)
        if level:
            up, gone = _parents(one, threshold)
            coming = [up] if len(up.index) else []
            one = _part(one, ~gone)
        out.append(one)
    return _uncovered(out[::-1], threshold)


def _part(leaf: Leaves, rows: Bools | NDArray[np.intp]) -> Leaves:
    names = ("index", "layer", "values", "metres", "share")
    return Leaves(leaf.level, *(getattr(leaf, n)[rows] for n in names))


def _key(leaf: Leaves, up: int = 0) -> NDArray[np.int64]:
    """Return one number for each place, or for that of the ancestor so many levels up."""
    x, y = (leaf.index >> up).T
    key: NDArray[np.int64] = (leaf.layer.astype(np.int64) << 2 * _BITS) | (x << _BITS) | y
    return key


def _full(leaf: Leaves, threshold: float) -> Bools:
    return np.asarray((leaf.values >= threshold).all(axis=1))


def _on_places(level: int, leaves: Sequence[Leaves], threshold: float) -> Leaves:
    names = ("index", "layer", "values", "metres", "share")
    every = Leaves(level, *(np.concatenate([getattr(leaf, n) for leaf in leaves]) for n in names))
    _, first, who = np.unique(_key(every), return_index=True, return_inverse=True)
    one = _gathered(every, first, who)
    sure = np.zeros(len(first), bool)
    sure[who[_full(every, threshold) & (every.share == 0.0)]] = True
    one.share[sure] = 0.0
    one.metres[sure] = 0.0
    return one


def _gathered(every: Leaves, first: NDArray[np.intp], who: NDArray[np.intp]) -> Leaves:
    """Return one leaf for each number in ``who``, with the place of the ``first`` of them."""
    arrays = []
    for old in (every.values, every.metres, every.share):
        new = np.zeros((len(first), *old.shape[1:]))
        np.maximum.at(new, who, old)
        arrays.append(new)
    return Leaves(every.level, every.index[first], every.layer[first], *arrays)


def _parents(leaf: Leaves, threshold: float) -> tuple[Leaves, Bools]:
    """Return the parents of which all children are inside, and which leaves these are."""
    rows = np.flatnonzero(_full(leaf, threshold))
    key = _key(_part(leaf, rows), 1)
    _, who, count = np.unique(key, return_inverse=True, return_counts=True)
    taken = rows[count[who] == 4]
    gone = np.zeros(len(leaf.index), bool)
    gone[taken] = True
    children = _part(leaf, taken)
    children.values[:] = HUGE
    up = Leaves(
        leaf.level - 1, children.index >> 1, children.layer, children.values, children.metres, children.share
    )  # fmt: skip
    _, first, who = np.unique(_key(up), return_index=True, return_inverse=True)
    return _gathered(up, first, who), gone


def _uncovered(leaves: Sequence[Leaves], threshold: float) -> tuple[Leaves, ...]:
    """Return the leaves, coarsest first, that do not lie in a coarser one that is wholly inside."""
    out: list[Leaves] = []
    for leaf in leaves:
        keep = np.ones(len(leaf.index), bool)
        for other in out:
            inside = _key(_part(other, _full(other, threshold)))
            keep &= ~np.isin(_key(leaf, leaf.level - other.level), inside)
        out.append(_part(leaf, keep))
    return tuple(leaf for leaf in out if len(leaf.index))
