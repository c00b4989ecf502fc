"""The rows of a schedule that belong to one antenna, and what their cells say."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from core.errors import InputError
from core.files.schedule.cells import value_of
from core.files.schedule.columns import Column, heading
from core.files.schedule.draft import Draft, Problem
from core.files.schedule.numbers import QUANTITIES, Decimals
from core.files.schedule.table import Row
from core.files.schedule.writer import CLEAR
from core.site.site import Site
from core.units import parse_quantity

_KEPT = ("name", "kind", "x", "y", "z", "agl", "above surface", "azimuth", "tilt", "roll", "state", "carrier",
         "frequency", "power")  # fmt: skip
"""Keys that an antenna cannot be without."""
_TO_A_HUNDREDTH = ("power", "frequency", "share", "wavelengths")


class AntennaRows:
    """The rows of one antenna; what is wrong in them is noted in its draft."""

    def __init__(
        self,
        site: Site,
        columns: Sequence[Column],
        rows: Sequence[Row],
        decimals: Decimals,
        draft: Draft,
    ) -> None:
        self.site, self.columns, self.rows, self.decimals = site, columns, rows, decimals
        self.draft = draft

    def problem(self, row: Row, key: str, message: str, fix: str) -> None:
        """Note a problem in a row, in the column of a key."""
        header = next((c.header for c in self.columns if c.key == key), heading(key))
        self.draft.problems.append(Problem(row.number, header, message, fix, self.draft.name))

    def said(self, *keys: str) -> tuple[Row, Column] | None:
        """Return the first cell of some ``keys`` that is not empty; None where there is none."""
        return next(
            (
                (r, c)
                for r in self.rows
                for c in self.columns
                if c.key in keys and text_of(r, c).strip()
            ),
            None,
        )

    def cell(self, key: str, rows: Sequence[Row]) -> tuple[Any, Row] | None:
        """Return the value of a key in some rows and its row; None where no cell says it. Cells have to agree."""
        found: tuple[Any, Row] | None = None
        for row in rows:
            for column in self.columns:
                text = text_of(row, column)
                if column.key != key or not text.strip():
                    continue
                try:
                    value = self.value(text, column)
                except InputError as error:
                    self.refused(row, column, error)
                    continue
                if found is not None and not agree(found[0], value, column.form):
                    self.refused(row, column, unlike(text, found[1].number))
                found = found or (value, row)
        return found

    def value(self, text: str, column: Column) -> Any:
        """Return the value of a cell's ``text``; None where it clears. Raises InputError where it cannot be used."""
        if text.strip().lower() != CLEAR:
            return value_of(text, column, self.decimals)
        if column.key in _KEPT:
            raise InputError("cannot be cleared", fix="Leave the cell empty to keep what is there")
        return None

    def refused(self, row: Row, column: Column, error: InputError) -> None:
        """Note an error of a cell."""
        self.draft.problems.append(
            Problem(row.number, column.header, error.message, error.fix, self.draft.name)
        )


def text_of(row: Row, column: Column) -> str:
    """Return the cell of a ``row`` in a ``column``; empty where the row is shorter."""
    return row.cells[column.index] if column.index < len(row.cells) else ""


def agree(a: Any, b: Any, form: str) -> bool:
    """Return whether ``a`` and ``b`` of two cells of a ``form`` say the same, as far as rounding and units go.

    A power, a frequency and a share are the same to a hundredth of themselves; lengths, angles and decibels near zero
    also to what one decimal of the coarser unit leaves.
    """
    if a == b or a is None or b is None:
        return bool(a == b)
    if form in QUANTITIES and isinstance(a, str) and isinstance(b, str):
        a, b = parse_quantity(a, form), parse_quantity(b, form)
    if isinstance(a, float) and isinstance(b, float):
        slack = 0.0 if form in _TO_A_HUNDREDTH else 0.06
        return abs(a - b) <= 0.01 * max(abs(a), abs(b)) + slack
    return isinstance(a, str) and isinstance(b, str) and a.strip() == b.strip()


def settled(old: object, new: object) -> object:
    """Return the ``new`` value of a cell without spaces at its ends; the ``old`` one where only those differ."""
    if not isinstance(new, str):
        return new
    return old if isinstance(old, str) and old.strip() == new.strip() else new.strip()


def unlike(text: str, row: int) -> InputError:
    """Return the error of a cell whose ``text`` is not what another ``row`` says of the same antenna."""
    return InputError(
        f"{text.strip()[:60]!r} is not what row {row} says of the same antenna",
        fix="Correct one of them, or leave one empty",
    )
