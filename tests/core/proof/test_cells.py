"""Undecided cells keep each its own radiators through every cut, split and join (core.proof.cells)."""

from __future__ import annotations

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from core.proof.bounds.base import Bound
from core.proof.cells import Open, Unsettled, join
from core.proof.lattice import children
from core.proof.parts import unknown
from support.effort import many


def cells(counts: list[int], seed: int) -> Open:
    """Return cells with so many unsettled radiators each, every pair with a number of its own."""
    rng = np.random.default_rng(seed)
    n, p = len(counts), sum(counts)
    known = unknown(p)
    known.gap[:] = np.arange(p)
    pairs = Unsettled(
        cell=np.repeat(np.arange(n), counts),
        radiator=rng.integers(0, 60, p),
        known=known,
        stable=rng.random(p) < 0.5,
        seen=rng.random(p),
        cap=rng.random(p),
        row=rng.integers(0, 99, p),
    )
    index = np.stack([np.arange(n), rng.integers(0, 9, n)], axis=1)
    return Open(
        index, rng.integers(0, 3, n), pairs, rng.random((n, 2, 1, 4)), rng.random((n, 2, 1))
    )


def of_each(found: Open) -> list[tuple[object, ...]]:
    """Return what belongs to each cell, in order."""
    out = []
    for i in range(len(found)):
        mine = np.flatnonzero(found.pairs.cell == i)
        one = found.pairs.part(mine)
        out.append(
            (
                tuple(found.index[i]),
                int(found.layer[i]),
                tuple(zip(one.radiator, one.known.gap, one.stable, one.seen, one.cap, strict=True)),
                found.over[i].tobytes(),
                found.slack[i].tobytes(),
            )
        )
    return out


COUNTS = st.lists(st.integers(0, 5), min_size=1, max_size=12)


@settings(max_examples=many(60), deadline=None)
@given(COUNTS, st.integers(1, 5), st.integers(1, 9), st.integers(0, 99))
def test_blocks_joined_are_the_cells(counts: list[int], most: int, pairs: int, seed: int) -> None:
    whole = cells(counts, seed)
    blocks = list(whole.blocks(most, pairs))
    assert all(0 < len(b) <= most for b in blocks)
    # A block takes at least one cell, however many pairs it has.
    assert all(len(b.pairs) <= max(pairs, max(counts)) for b in blocks)
    assert of_each(join(blocks)) == of_each(whole)


@settings(max_examples=many(60), deadline=None)
@given(COUNTS, st.integers(0, 99))
def test_a_part_keeps_each_cells_own(counts: list[int], seed: int) -> None:
    whole = cells(counts, seed)
    keep = np.random.default_rng(seed).random(len(whole)) < 0.6
    kept = [one for one, k in zip(of_each(whole), keep, strict=True) if k]
    assert of_each(whole.part(keep)) == kept
    assert whole.part(np.ones(len(whole), bool)) is whole


@settings(max_examples=many(60), deadline=None)
@given(COUNTS, st.integers(0, 99))
def test_children_have_the_emitters_of_their_parent(counts: list[int], seed: int) -> None:
    whole = cells(counts, seed)
    below = whole.split()
    np.testing.assert_array_equal(below.index, children(whole.index))
    parents, found = of_each(whole), of_each(below)
    for i, child in enumerate(found):
        assert (child[1], child[2], child[4]) == (
            parents[i // 4][1], parents[i // 4][2], parents[i // 4][4],
        )  # fmt: skip
    # The corner a child shares with its parent keeps its value; the middle is the mean.
    over = below.over.reshape(len(whole), 4, 2, 1, 4)
    for corner in range(4):
        np.testing.assert_allclose(over[:, corner, ..., corner], whole.over[..., corner])
    np.testing.assert_allclose(over[:, 0, ..., 3], whole.over.mean(axis=-1))


def test_bounds_are_exchanged_row_by_row() -> None:
    old, new = unknown(4), unknown(2)
    new.e[:] = (1.0, 2.0)
    changed = old.replaced(np.array([3, 1]), new)
    assert changed.e.tolist() == [np.inf, 2.0, np.inf, 1.0]
    assert np.isinf(old.e).all(), "the old ones stay"
    assert isinstance(changed, Bound)
