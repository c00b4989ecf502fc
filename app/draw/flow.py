"""Blocks of words that run down columns and go on where the next column is: nothing is cut off."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from app.draw.furniture import Sheet
from app.draw.paper import POINT, Box
from app.draw.words import LEADING, SAFE, wrapped

Swatch = Callable[[Sheet, Box], None]
"""Draws what a line of a key is about, into a small rectangle."""

HEADING, BODY = 8.0, 7.0
SWATCH = 11.0, 4.2
"""mm: width and height of a swatch."""
_BEFORE = 2.2
"""mm over a heading."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """A paragraph, after a swatch where it explains one.

    ``indent``, the height ``tall`` of the swatch and the space ``apart`` after the entry are in mm.
    """

    text: str
    swatch: Swatch | None = None
    heavy: bool = False
    indent: float = 0.0
    size: float = BODY
    tall: float = SWATCH[1]
    apart: float = 0.8


@dataclass(frozen=True, slots=True, kw_only=True)
class Block:
    """A heading, of a ``size`` in points, with its entries."""

    heading: str
    entries: tuple[Entry, ...]
    size: float = HEADING

    @property
    def rest_heading(self) -> str:
        """The heading over what did not fit on the sheet before."""
        end = " (continued)"
        return self.heading if self.heading.endswith(end) else self.heading + end


def lines_of(texts: Sequence[str], *, indent: float = 0.0) -> tuple[Entry, ...]:
    """Return one plain entry for each text."""
    return tuple(Entry(text=text, indent=indent) for text in texts)


def flow(sheet: Sheet, columns: Sequence[Box], blocks: Sequence[Block]) -> tuple[Block, ...]:
    """Write blocks into columns, one after the other, and return what did not fit.

    Parameters
    ----------
    sheet : Sheet
        Where they are written.
    columns : sequence of Box
        The columns, mm, in the order they are filled.
    blocks : sequence of Block
        What is written.
    """
    pen = _Pen(sheet, list(columns))
    left = list(blocks)
    while left:
        block = left[0]
        rest = pen.block(block)
        if rest is not None:
            return (rest, *left[1:])
        left.pop(0)
    return ()


class _Pen:
    """Writes downward in columns; ``y`` is where the next line begins."""

    def __init__(self, sheet: Sheet, columns: list[Box]) -> None:
        self.sheet, self.columns = sheet, columns
        self.y = columns[0].top if columns else 0.0

    def block(self, block: Block) -> Block | None:
        """Write a block; returns what of it did not fit."""
        heading, entries, done = block.heading, list(block.entries), False
        while entries:
            if not self.columns:
                return replace(
                    block,
                    heading=block.rest_heading if done else block.heading,
                    entries=tuple(entries),
                )
            entry = entries[0]
            lines, head = self._wrapped(entry), self._head(heading, block.size)
            room = self.y - self.columns[0].low - head
            if self._needs(entry, lines) > room + 1e-6:
                step = entry.size * LEADING * POINT
                fitting = int(room / step + 1e-6)
                if self._needs(entry, lines) + head > self.columns[0].height and fitting >= 3:
                    # Longer than a column: as many lines as there is room for, then the rest.
                    self._heading(heading, block.size)
                    self._entry(entry, lines[:fitting])
                    entries[0] = replace(entry, text=" ".join(lines[fitting:]), swatch=None)
                    done = True
                self._next_column()
                heading = block.rest_heading if done else block.heading
                continue
            self._heading(heading, block.size)
            self._entry(entry, lines)
            entries.pop(0)
            heading, done = "", True
        return None

    def _next_column(self) -> None:
        self.columns.pop(0)
        self.y = self.columns[0].top if self.columns else 0.0

    def _inset(self, entry: Entry) -> float:
        return entry.indent + (SWATCH[0] + 1.5 if entry.swatch is not None else 0.0)

    def _wrapped(self, entry: Entry) -> list[str]:
        width = SAFE * (self.columns[0].width - self._inset(entry)) / POINT
        return wrapped(entry.text, entry.size, width, heavy=entry.heavy, broken=True)

    def _needs(self, entry: Entry, lines: list[str]) -> float:
        height = len(lines) * entry.size * LEADING * POINT
        return (height if entry.swatch is None else max(height, entry.tall)) + entry.apart

    def _heading_lines(self, heading: str, size: float) -> list[str]:
        width = SAFE * self.columns[0].width / POINT
        return wrapped(heading, size, width, broken=True) if heading else []

    def _head(self, heading: str, size: float) -> float:
        lines = self._heading_lines(heading, size)
        if not lines:
            return 0.0
        before = 0.0 if self.y >= self.columns[0].top - 1e-6 else _BEFORE
        return len(lines) * size * LEADING * POINT + 0.8 + before

    def _heading(self, heading: str, size: float) -> None:
        lines = self._heading_lines(heading, size)
        if not lines:
            return
        column = self.columns[0]
        if self.y < column.top - 1e-6:
            self.y -= _BEFORE
        for line in lines:
            y = self.y - 0.82 * size * POINT
            self.sheet.write(line, column.left, y, size=size, heavy=True)
            self.y -= size * LEADING * POINT
        self.y -= 0.8

    def _entry(self, entry: Entry, lines: list[str]) -> None:
        column = self.columns[0]
        step, top = entry.size * LEADING * POINT, self.y
        if entry.swatch is not None:
            box = Box(column.left + entry.indent, self.y - entry.tall, SWATCH[0], entry.tall)
            self.sheet.swatch(entry.swatch, box)
            top -= max(0.0, 0.5 * (entry.tall - len(lines) * step))
        x = column.left + self._inset(entry)
        for row, line in enumerate(lines):
            y = top - row * step - 0.9 * entry.size * POINT
            self.sheet.write(line, x, y, size=entry.size, heavy=entry.heavy)
        self.y -= self._needs(entry, lines)
