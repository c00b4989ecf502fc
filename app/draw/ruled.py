"""Ruled tables on a sheet, every cell wrapped; what is filled in by hand has room to write."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from app.draw.furniture import Sheet
from app.draw.paper import POINT, Box
from app.draw.words import LEADING, measured, wrapped
from core.entry.sheet_tables import LOUD, Table

_PAD = 0.7
"""mm between a rule and the words of a cell."""
_UNDER = 0.6
"""mm between a heading and its table."""
HAND = 5.6
"""mm: least height of a row with a cell that is written by hand."""


def table_height(table: Table, width: float, size: float) -> float:
    """Return the height in mm of a table of a width in mm, with text of a size in points."""
    head = size * LEADING * POINT + _UNDER
    return head + sum(_height(row, table, width, size) for row in (table.head, *table.rows))


def _widths(table: Table, width: float, size: float) -> list[float]:
    """Return the widths of the columns, mm: those asked for, or by what stands in them, the widest giving way."""
    if table.widths:
        return [part * width for part in table.widths]
    columns = list(zip(table.head, *table.rows, strict=True))
    pad = 2.0 * _PAD + 0.1
    least = [pad + max(_long(w, size) for c in col for w in c.split() or [""]) for col in columns]
    need = [
        max(low, pad + max(_long(c, size) for c in col[1:]))
        for low, col in zip(least, columns, strict=True)
    ]
    spare = width - sum(need)
    if spare >= 0.0:
        return [n + spare / len(need) for n in need]
    give = [n - low for n, low in zip(need, least, strict=True)]
    share = min(1.0, -spare / sum(give)) if sum(give) > 0.0 else 0.0
    given = [n - share * g for n, g in zip(need, give, strict=True)]
    return [g * width / sum(given) for g in given]


def _long(text: str, size: float) -> float:
    return measured(text, size) * POINT


def _cells(row: Sequence[str], widths: Sequence[float], size: float) -> list[list[str]]:
    return [
        wrapped(text, size, (width - 2.0 * _PAD) / POINT, heavy=True, broken=True)
        for text, width in zip(row, widths, strict=True)
    ]


def _height(row: Sequence[str], table: Table, width: float, size: float) -> float:
    lines = max(len(cell) for cell in _cells(row, _widths(table, width, size), size))
    printed = lines * size * LEADING * POINT + 2.0 * _PAD * 0.8
    by_hand = row is not table.head and not row[-1]
    return max(printed, HAND) if by_hand else printed


def draw_table(sheet: Sheet, box: Box, table: Table, size: float) -> float:
    """Draw a table from the top of a rectangle, mm, and return the height of its lower edge."""
    y = box.top - size * LEADING * POINT
    sheet.write(table.heading, box.left, y + _UNDER, size=size + 1.0, heavy=True)
    y -= _UNDER
    top = y
    widths = _widths(table, box.width, size)
    for row in (table.head, *table.rows):
        heavy = row is table.head
        sheet.line(box.left, y, box.right, y, width=0.9 if row is table.head else 0.4)
        x = box.left
        for whole, cell, part in zip(row, _cells(row, widths, size), widths, strict=True):
            bold = heavy or any(loud in whole for loud in LOUD)
            for i, line in enumerate(cell):
                base = y - _PAD * 0.8 - (0.82 + i * LEADING) * size * POINT
                sheet.write(line, x + _PAD, base, size=size, heavy=bold)
            x += part
        y -= _height(row, table, box.width, size)
    sheet.line(box.left, y, box.right, y, width=0.9)
    x = box.left
    for part in (*widths, 0.0):
        sheet.line(x, top, x, y, width=0.4)
        x += part
    return y


def first_rows(table: Table, width: float, height: float, size: float) -> Table:
    """Return the first rows of a table, as many as a height in mm has room for, but one at least."""
    few, most = 1, len(table.rows)
    while few < most:
        middle = (few + most + 1) // 2
        part = replace(table, rows=table.rows[:middle])
        fits = table_height(part, width, size) <= height
        few, most = (middle, most) if fits else (few, middle - 1)
    return replace(table, rows=table.rows[:few])
