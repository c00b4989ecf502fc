"""The exact selection against all selections of small cases, and its bound."""

from __future__ import annotations

import itertools

import numpy as np
import pytest

from core.entry.choices import Picks, Selection
from core.entry.selection import Unsolved, select


def problem(
    rng: np.random.Generator, blocks: int, options: int, rows: int, people: int
) -> Selection:
    """Emitters with steps: local ones, all alike, or all mixed, as ``rng`` draws."""
    shape = blocks, rows
    kind = rng.integers(0, 3)
    if kind == 0:
        full = rng.lognormal(0.0, 1.5, shape) * (rng.random(shape) < 0.4) + 0.01 * rng.random(shape)
    elif kind == 1:
        full = np.full(shape, 2.0 / blocks)
    else:
        full = rng.random(shape) * 4.0 / blocks
    steps = np.sort(rng.random((blocks, options - 1)), axis=1)[:, ::-1]
    steps[:, -1] = np.where(rng.random(blocks) < 0.6, 0.0, steps[:, -1])
    factors = np.concatenate([np.ones((blocks, 1)), steps], axis=1)
    costs = np.zeros((3, blocks, options))
    costs[0, :, 1:] = 1.0
    costs[2] = rng.lognormal(5.0, 2.0, blocks)[:, None] * (1.0 - factors)
    owners = np.zeros((blocks, options, people), bool)
    owners[np.arange(blocks), 1:, rng.integers(0, people, blocks)] = True
    there = np.ones((blocks, options), bool)
    # Some blocks have fewer options, and one has an owner more for its last.
    there[rng.integers(0, blocks), options - 1] = options == 2
    owners[rng.integers(0, blocks), options - 1, rng.integers(0, people)] = True
    return Selection(there, full[:, None, :] * factors[:, :, None], costs, owners, 1)


def best_of_all(one: Selection) -> tuple[float, ...] | None:
    """The least cost of all selections, tried one by one."""
    blocks, options = one.there.shape
    found = []
    for picks in itertools.product(range(options), repeat=blocks):
        chosen: Picks = np.array(picks)
        if one.there[np.arange(blocks), chosen].all() and (one.total(chosen) <= 1.0 + 1e-9).all():
            found.append(one.cost(chosen))
    return min(found, default=None)


@pytest.mark.parametrize("seed", range(60))
def test_no_selection_is_better_than_the_one_found(seed: int) -> None:
    rng = np.random.default_rng(seed)
    one = problem(rng, *(int(n) for n in rng.integers((1, 2, 1, 1), (6, 4, 6, 4))))
    found, wanted = select(one), best_of_all(one)
    if wanted is None:
        assert found is None
        return
    assert found is not None
    assert found.exact
    assert found.cost == pytest.approx(wanted, rel=1e-6)
    assert found.bound == pytest.approx(wanted, rel=1e-6)
    assert (one.total(found.picks) <= 1.0 + 1e-9).all()


def test_forty_alike_are_proven_without_trying_their_choices() -> None:
    """20 of 40 have to be silent: 10^11 choices, one bound."""
    there = np.ones((40, 2), bool)
    loads = np.zeros((40, 2, 1))
    loads[:, 0, 0] = 0.05
    costs = np.zeros((3, 40, 2))
    costs[0, :, 1] = 1.0
    costs[2, :, 1] = np.arange(40)
    owners = np.zeros((40, 2, 4), bool)
    owners[np.arange(40), 1, np.arange(40) % 4] = True
    found = select(Selection(there, loads, costs, owners, 1))
    assert found is not None
    assert found.exact
    # Two owners have ten each; those with the least watts are 0 and 1.
    assert found.cost == (20.0, 2.0, float(sum(i for i in range(40) if i % 4 < 2)))
    assert found.bound == pytest.approx(found.cost, rel=1e-6)
    assert found.branches < 300


def test_a_ceiling_leaves_a_bound_that_is_true_and_says_that_it_is_not_exact() -> None:
    rng = np.random.default_rng(5)
    full = rng.random((40, 20)) * 0.1
    factors = np.concatenate([np.ones((40, 1)), rng.random((40, 4))], axis=1)
    costs = np.zeros((3, 40, 5))
    costs[0, :, 1:] = 1.0
    costs[2] = 1.0 - factors
    owners = np.zeros((40, 5, 1), bool)
    one = Selection(
        np.ones((40, 5), bool), full[:, None, :] * factors[:, :, None], costs, owners, 1
    )
    found = select(one, seconds=0.3)
    assert found is not None
    assert (one.total(found.picks) <= 1.0 + 1e-9).all()
    assert all(b <= c + 1e-9 for b, c in zip(found.bound, found.cost, strict=True))
    assert found.exact == (found.bound == pytest.approx(found.cost, rel=1e-6))


def test_without_time_and_a_lucky_guess_nothing_is_said_to_be_proven() -> None:
    loads = np.array([[[0.9, 0.0], [0.0, 1.0]], [[0.2, 0.0], [0.0, 0.95]]])
    one = Selection(np.ones((2, 2), bool), loads, np.zeros((1, 2, 2)), np.zeros((2, 2, 1), bool), 0)
    with pytest.raises(Unsolved):
        select(one, seconds=0.0)
    found = select(one)
    assert found is not None
    assert (one.total(found.picks) <= 1.0).all()
