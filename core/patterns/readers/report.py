"""What every reader shares: choices a person may make, warnings, refusals, strict numbers."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass, field
from typing import Literal

from core.errors import InputError

MOST_POINTS = 100_000
"""Points in one cut."""
MOST_NODES = 1_000_000
"""Directions in one 3-D pattern."""

_NUMBER = re.compile(r"[+-]?(?:[0-9]+(?:\.[0-9]*)?|\.[0-9]+)(?:[eE][+-]?[0-9]+)?")


@dataclass(frozen=True, slots=True, kw_only=True)
class Choices:
    """Answers to what a file can leave open; see :func:`core.patterns.readers.read_pattern`."""

    linear: Literal["field", "power"] | None = None
    flip_elevation: bool = False
    negate: bool = False
    renormalise: bool = False
    accept_count: bool = False
    frequency_unit: Literal["Hz", "kHz", "MHz", "GHz"] | None = None
    frequency: float | None = None
    polarisations: Literal["sum", "larger"] | None = None
    gain_dbi: float | None = None


@dataclass(slots=True)
class Report:
    """Collects warnings of one file and words its refusals.

    Codes start with E for what refuses a file or a part of it and W for what is used and said.
    """

    source: str
    notes: list[str] = field(default_factory=list)

    def warn(self, code: str, text: str, *, line: int = 0, tag: str = "") -> None:
        """Keep a warning."""
        place = self._place(line, tag)
        self.notes.append(f"{code} {place}: {text}" if place else f"{code}: {text}")

    def refuse(self, code: str, text: str, *, fix: str, line: int = 0, tag: str = "") -> InputError:
        """Return the error to raise."""
        return InputError(
            f"{code} {text}", source=self.source, field=self._place(line, tag), fix=fix
        )

    @staticmethod
    def _place(line: int, tag: str) -> str:
        return " ".join(part for part in (f"line {line}" if line else "", tag) if part)

    def number(self, text: str, *, line: int, tag: str, low: float, high: float) -> float:
        """Return a plain decimal number between ``low`` and ``high``.

        Raises
        ------
        InputError
            E06: blank, a unit or a decimal comma in it, not finite, or out of range.
        """
        text = text.strip()
        value = float(text) if _NUMBER.fullmatch(text) else math.nan
        if math.isnan(value):
            raise self.refuse(
                "E06",
                f"{shown(text)} is not a number",
                line=line,
                tag=tag,
                fix="Write a plain number with a decimal point and no unit",
            )
        if not low <= value <= high:
            raise self.refuse(
                "E06",
                f"{shown(text)} lies outside {low:g} to {high:g}",
                line=line,
                tag=tag,
                fix="Check the value and its unit",
            )
        return value


def shown(text: str) -> str:
    """Return text from a file in quotes, short enough for an error line."""
    clean = "".join(letter if letter.isprintable() else "?" for letter in text)
    return f'"{clean[:37]}..."' if len(clean) > 40 else f'"{clean}"'
