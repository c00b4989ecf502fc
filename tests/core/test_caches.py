"""What is kept for reuse stays under one bound in bytes."""

from __future__ import annotations

from dataclasses import dataclass
from threading import Thread

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from core.caches import SHARED, Store, bytes_of, kept
from core.fields.arms import sphere


@dataclass(frozen=True)
class Pair:
    one: np.ndarray
    other: tuple[np.ndarray, ...]


def test_bytes_are_those_of_the_arrays() -> None:
    big = np.zeros(1000)
    assert bytes_of(big) == 8000
    assert bytes_of(Pair(big, (big, big))) == 24_000
    assert bytes_of({"a": [big]}) == 8000


@given(st.lists(st.integers(1, 400), max_size=60))
def test_the_bound_holds_after_every_value_and_the_newest_stays(sizes: list[int]) -> None:
    store = Store(1000)
    for i, size in enumerate(sizes):
        store.put(i, np.zeros(size, np.uint8))
        assert store.size <= 1000
        assert store.get(i) is not None


def test_what_was_used_last_stays_longest() -> None:
    store = Store(300)
    for key in "abc":
        store.put(key, np.zeros(100, np.uint8))
    assert store.get("a") is not None
    store.put("d", np.zeros(100, np.uint8))
    assert store.get("b") is None
    assert store.get("a") is not None


def test_a_value_over_the_bound_is_not_kept_and_drops_nothing() -> None:
    store = Store(100)
    store.put("small", np.zeros(50, np.uint8))
    store.put("huge", np.zeros(101, np.uint8))
    assert store.get("huge") is None
    assert store.get("small") is not None


def test_a_kept_function_is_called_once_for_each_argument() -> None:
    calls = []

    @kept
    def twice(x: int, *, also: int = 0) -> int:
        calls.append(x)
        return 2 * x + also

    assert [twice(1), twice(1), twice(2), twice(1, also=3), twice(1, also=3)] == [2, 2, 4, 5, 5]
    assert calls == [1, 2, 1]


def test_spheres_of_all_sizes_together_stay_under_the_bound() -> None:
    before = SHARED.most_bytes
    SHARED.clear()
    try:
        SHARED.most_bytes = 30_000_000
        for reach in (5.0, 10.0, 15.0, 20.0, 25.0, 28.0):
            sphere(reach)
            assert SHARED.size <= 30_000_000
    finally:
        SHARED.most_bytes = before


def test_threads_may_share_a_store() -> None:
    store = Store(10_000)

    def work(seed: int) -> None:
        rng = np.random.default_rng(seed)
        for key in rng.integers(0, 40, 2000):
            if store.get(int(key)) is None:
                store.put(int(key), np.zeros(int(rng.integers(1, 900)), np.uint8))

    threads = [Thread(target=work, args=(i,)) for i in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert store.size <= 10_000
    assert store.size == sum(size for _, size in store._values.values())
