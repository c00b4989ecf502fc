"""One bound in bytes over everything that is kept for reuse.

Pattern spheres and layers of a raster can take a hundred megabytes each, so that a count of entries says nothing
of memory. All of them share one store; the ones used longest ago go first.
"""

from __future__ import annotations

import dataclasses
import functools
from collections import OrderedDict
from collections.abc import Callable, Hashable
from threading import RLock
from typing import Any, ParamSpec, TypeVar

import numpy as np

P = ParamSpec("P")
T = TypeVar("T")

MOST_BYTES = 500_000_000
"""What the shared store holds at most; with the program itself a window stays under 1 GB."""


def bytes_of(value: object) -> int:
    """Return roughly how many bytes a value keeps alive: its arrays, through dataclasses and containers."""
    if isinstance(value, np.ndarray):
        return int(value.nbytes)
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        return sum(bytes_of(getattr(value, f.name)) for f in dataclasses.fields(value))
    if isinstance(value, tuple | list):
        return sum(bytes_of(v) for v in value)
    if isinstance(value, dict):
        return sum(bytes_of(v) for v in value.values())
    return 64


class Store:
    """Values by key, at most so many bytes, the ones used longest ago dropped first. Safe between threads."""

    def __init__(self, most_bytes: int = MOST_BYTES) -> None:
        self.most_bytes = most_bytes
        self._values: OrderedDict[Hashable, tuple[Any, int]] = OrderedDict()
        self._lock = RLock()
        self._size = 0

    @property
    def size(self) -> int:
        """Bytes held."""
        return self._size

    def __len__(self) -> int:
        return len(self._values)

    def get(self, key: Hashable) -> Any | None:
        """Return the value of a key, or None; it counts as used now."""
        with self._lock:
            if key not in self._values:
                return None
            self._values.move_to_end(key)
            return self._values[key][0]

    def put(self, key: Hashable, value: object) -> None:
        """Keep a value; one that alone is over the bound is not kept."""
        size = bytes_of(value)
        with self._lock:
            if key in self._values or size > self.most_bytes:
                return
            self._values[key] = value, size
            self._size += size
            while self._size > self.most_bytes:
                _, (_, old) = self._values.popitem(last=False)
                self._size -= old

    def replace(self, key: Hashable, value: object) -> None:
        """Keep a value in place of what there is."""
        with self._lock:
            if key in self._values:
                self._size -= self._values.pop(key)[1]
            self.put(key, value)

    def clear(self) -> None:
        """Forget everything."""
        with self._lock:
            self._values.clear()
            self._size = 0


SHARED = Store()
"""The store of the whole program."""


def kept(function: Callable[P, T]) -> Callable[P, T]:
    """Keep what a function of hashable arguments returns, which is never None, in the shared store."""

    @functools.wraps(function)
    def look_up(*args: P.args, **kwargs: P.kwargs) -> T:
        key = (function.__module__, function.__qualname__, args, tuple(sorted(kwargs.items())))
        value: T | None = SHARED.get(key)
        if value is None:
            value = function(*args, **kwargs)
            SHARED.put(key, value)
        return value

    return look_up
