"""A strict walk through read JSON: every answer is typed, every error knows its place."""

from __future__ import annotations

import difflib
import math
from collections.abc import Iterator, Sequence
from typing import TypeVar

from core.errors import InputError
from core.units import parse_quantity

Word = TypeVar("Word", bound=str)

MOST_NUMBERS = 1_000
"""Numbers in one list that is no outline."""


class Node:
    """One JSON object and the path that led to it.

    Parameters
    ----------
    value : object
        What JSON gave; must be an object.
    path : str
        Where it is, for error texts.
    known : sequence of str
        The keys it may have; any other is an error that offers the nearest known one.
    """

    def __init__(self, value: object, path: str, known: Sequence[str]) -> None:
        self.path = path
        if not isinstance(value, dict):
            raise InputError("must be an object in braces", field=path, fix="Write { ... }")
        self.values: dict[str, object] = value
        for key in value:
            if key not in known:
                near = difflib.get_close_matches(key[:80], known, n=1, cutoff=0.5)
                fix = f"Did you mean {near[0]!r}?" if near else f"Known here: {', '.join(known)}"
                raise InputError(f"{key!r} is not known", field=self.at(key), fix=fix)

    def at(self, key: str) -> str:
        """Return the path of a key."""
        if not self.path:
            return key
        return f"{self.path} {key}" if self.path.endswith(":") else f"{self.path}.{key}"

    def error(self, key: str, message: str, fix: str) -> InputError:
        """Return an error at a key."""
        return InputError(message, field=self.at(key), fix=fix)

    def has(self, key: str) -> bool:
        """Return whether the key is there and not null."""
        return self.values.get(key) is not None

    def _required(self, key: str) -> object:
        if not self.has(key):
            raise self.error(key, "is missing", "Add it")
        return self.values[key]

    def text(self, key: str, default: str | None = None) -> str:
        """Return text."""
        if not self.has(key) and default is not None:
            return default
        value = self._required(key)
        if not isinstance(value, str):
            raise self.error(key, f"{value!r} is not text", "Write it in quotes")
        return value

    def choice(self, key: str, options: Sequence[Word], default: Word | None = None) -> Word:
        """Return one of a few words."""
        value = self.text(key, default)
        for option in options:
            if value == option:
                return option
        raise self.error(key, f"{value!r} is not known", f"Use one of {', '.join(options)}")

    def flag(self, key: str, *, default: bool) -> bool:
        """Return true or false."""
        if not self.has(key):
            return default
        value = self.values[key]
        if not isinstance(value, bool):
            raise self.error(key, f"{value!r} is not true or false", "Write true or false")
        return value

    def number(
        self,
        key: str,
        default: float | None = None,
        low: float = -math.inf,
        high: float = math.inf,
    ) -> float:
        """Return a finite number within its range."""
        if not self.has(key) and default is not None:
            return default
        return self._number(self._required(key), key, low, high)

    def _number(
        self, value: object, key: str, low: float = -math.inf, high: float = math.inf
    ) -> float:
        if isinstance(value, bool) or not isinstance(value, int | float):
            raise self.error(key, f"{value!r} is not a number", "Write a plain number")
        try:
            number = float(value)
        except OverflowError:
            number = math.inf
        if not math.isfinite(number):
            raise self.error(key, "is not a finite number", "Check the value")
        return self.within(number, key, low, high)

    def within(self, number: float, key: str, low: float, high: float) -> float:
        """Return the number if it is in its range."""
        if not low <= number <= high:
            raise self.error(key, f"{number:g} is out of range", f"Use {_span(low, high)}")
        return number

    def count(self, key: str, low: int, high: int, default: int | None = None) -> int:
        """Return a whole number within its range."""
        number = self.number(key, None if default is None else float(default), low, high)
        if number != int(number):
            raise self.error(key, f"{number:g} is not a whole number", f"Use {low} to {high}")
        return int(number)

    def quantity(self, key: str, kind: str) -> float:
        """Return the SI value of text with a unit."""
        try:
            return parse_quantity(self._required(key), kind)
        except InputError as error:
            raise error.within(self.at(key)) from None

    def numbers(self, key: str, length: int | None = None) -> tuple[float, ...]:
        """Return a list of finite numbers."""
        value = self._required(key)
        if not isinstance(value, list) or (length is not None and len(value) != length):
            wanted = f"a list of {length} numbers" if length is not None else "a list of numbers"
            raise self.error(key, f"is not {wanted}", "Write it as [1.0, 2.0, ...]")
        if len(value) > MOST_NUMBERS:
            raise self.error(key, f"has {len(value)} numbers", f"Use at most {MOST_NUMBERS}")
        return tuple(self._number(v, key) for v in value)

    def points(self, key: str, width: int) -> tuple[tuple[float, ...], ...]:
        """Return a list of points, each a list of ``width`` numbers."""
        return self._points(self._required(key), key, width)

    def _points(self, value: object, key: str, width: int) -> tuple[tuple[float, ...], ...]:
        if not isinstance(value, list):
            raise self.error(key, "is not a list of points", "Write it as [[x, y], [x, y], ...]")
        if len(value) > 100_000:
            raise self.error(key, f"has {len(value)} points", "Use at most 100 000")
        for point in value:
            if not isinstance(point, list) or len(point) != width:
                raise self.error(
                    key, f"{point!r} is not a point", f"Write each point as {width} numbers in m"
                )
        return tuple(tuple(self._number(v, key) for v in point) for point in value)

    def rings(self, key: str) -> tuple[tuple[tuple[float, ...], ...], ...]:
        """Return a list of outlines; empty when the key is absent."""
        if not self.has(key):
            return ()
        value = self.values[key]
        if not isinstance(value, list):
            raise self.error(key, "is not a list of outlines", "Write [[[x, y], ...], ...]")
        return tuple(self._points(ring, key, 2) for ring in value)

    def children(self, key: str, *, required: bool = False) -> Iterator[tuple[str, object]]:
        """Yield (path, value) of the objects in a list; the path carries the object's name."""
        if not self.has(key):
            if required:
                raise self.error(key, "is missing", "Add it as a list")
            return
        value = self.values[key]
        if not isinstance(value, list):
            raise self.error(key, "is not a list", "Write [ ... ]")
        if len(value) > 10_000:
            raise self.error(key, f"has {len(value)} entries", "Use at most 10 000")
        for i, child in enumerate(value):
            name = child.get("name") if isinstance(child, dict) else None
            label = f' "{name}":' if isinstance(name, str) and name else ""
            yield f"{self.at(key)}[{i}]{label}", child


def _span(low: float, high: float) -> str:
    if math.isinf(high):
        return f"{low:g} or more"
    if math.isinf(low):
        return f"{high:g} or less"
    return f"{low:g} to {high:g}"
