"""A schedule as rows of cells: from a file or a paste, whatever stands between the cells."""

from __future__ import annotations

import codecs
import csv
import io
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from core.errors import InputError
from core.files.paths import is_file
from core.files.schedule.columns import Column, columns_of, known

LARGEST_FILE = 20_000_000
MOST_ROWS = 10_000
MOST_COLUMNS = 2_000
_DELIMITERS = ("\t", ";", ",")
_HEADERS = 3
"""Known headers without a number among them that make a row another row of headers."""
_TITLES = 30
"""Rows within which the header is looked for: spreadsheets have titles above it."""


@dataclass(frozen=True, slots=True)
class Row:
    """One row with its number as a spreadsheet shows it, from 1."""

    number: int
    cells: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Table:
    """The rows below the header, its columns, in which row it stands, and what stands between the cells."""

    columns: tuple[Column, ...]
    rows: tuple[Row, ...]
    header: int
    between: str = ","


def read_table_text(path: Path | str) -> str:
    """Return the text of a table file: UTF-8, UTF-16 with a mark, or the Western code page of spreadsheets.

    Parameters
    ----------
    path : Path | str
        The file.

    Raises
    ------
    InputError
        If it cannot be read.
    """
    source, path = str(path), Path(path)
    try:
        if not is_file(path):
            what = "is no ordinary file" if path.exists() else "does not exist"
            raise InputError(what, source=source, fix="Name a CSV file")
        if path.stat().st_size > LARGEST_FILE:
            raise InputError("is too large for an antenna schedule", source=source, fix="Split it")
        data = path.read_bytes()
    except InputError:
        raise
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or error
        raise InputError(
            f"cannot be read ({reason})", source=source, fix="Check the path and the rights"
        ) from None
    utf16 = data.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE))
    for encoding in ("utf-16",) if utf16 else ("utf-8-sig", "cp1252"):
        try:
            return data.decode(encoding)
        except UnicodeDecodeError:
            continue
    raise InputError("is not text", source=source, fix="Save the table as CSV in UTF-8")


def table_of(text: str) -> Table:
    """Return the table in a ``text`` of cells with tabs, semicolons or commas between.

    Raises
    ------
    InputError
        If there is no row of headers with a column of antenna names, or the table is far too large.
    """
    if len(text) > LARGEST_FILE:
        raise InputError("is too large for an antenna schedule", fix="Split it")
    # What marks a file's encoding comes along with a paste of it.
    text = text.removeprefix("\ufeff")
    best: tuple[int, int, list[Row], str] | None = None
    for delimiter in _DELIMITERS:
        rows = _rows(text, delimiter)
        for i, row in enumerate(rows[:_TITLES]):
            columns = columns_of(row.cells[:MOST_COLUMNS])
            score = known(columns) if any(c.key == "name" for c in columns) else 0
            if score > (best[0] if best is not None else 0):
                best = score, i, rows, delimiter
    if best is None:
        raise InputError(
            "has no row of headers with a column 'antenna' or 'name'",
            fix="Begin with a row like: antenna, kind, x (m), y (m), AGL (ft), azimuth, frequency, ERP (kW)",
        )
    _, at, rows, between = best
    _check_quotes(text, between)
    header = rows[at]
    below = _below(header, rows[at + 1 :])
    if len(header.cells) > MOST_COLUMNS:
        raise InputError(f"has {len(header.cells)} columns", fix=f"Use at most {MOST_COLUMNS}")
    if len(below) > MOST_ROWS:
        raise InputError(f"has {len(below)} rows", fix=f"Use at most {MOST_ROWS}")
    return Table(columns_of(header.cells), below, header.number, between)


def _check_quotes(text: str, between: str) -> None:
    """Refuse quotes that do not close their cell: rows below would vanish in it."""
    read = csv.reader(io.StringIO(text, newline=""), delimiter=between, strict=True)
    try:
        for _ in read:
            pass
    except csv.Error:
        raise InputError(
            f"has a cell whose quote is not closed before the next, at line {read.line_num} or above",
            fix="Close it, or write a quote inside a cell twice",
        ) from None


def _below(header: Row, rows: Sequence[Row]) -> tuple[Row, ...]:
    """Return the rows under the header, without the same headers again, as on each page of a long table.

    Other headers are refused: their units would not be those of the rows under them.
    """
    first = tuple(cell.strip() for cell in header.cells)
    kept = []
    for row in rows:
        cells = tuple(cell.strip() for cell in row.cells)
        if cells == first:
            continue
        kept.append(row)
        if any(c.isdigit() for cell in cells for c in cell):
            continue
        columns = columns_of(cells[:MOST_COLUMNS])
        if known(columns) >= _HEADERS and any(c.key == "name" for c in columns):
            raise InputError(
                f"has other headers again in row {row.number}",
                fix="Take the tables one after the other",
            )
    return tuple(kept)


def _rows(text: str, delimiter: str) -> list[Row]:
    """Return the rows that have anything in them."""
    try:
        read = list(csv.reader(io.StringIO(text, newline=""), delimiter=delimiter))
    except csv.Error as error:
        raise InputError(
            f"is no table ({error})", fix="Give CSV, or copy the cells again"
        ) from None
    return [
        Row(number, tuple(cells))
        for number, cells in enumerate(read, 1)
        if any(cell.strip() for cell in cells)
    ]
