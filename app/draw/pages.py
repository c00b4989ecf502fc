"""Sections of text and tables as pages: every cell wrapped, heads repeated. The report's pages are A4 across."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from io import BytesIO

from matplotlib.backends.backend_pdf import FigureCanvasPdf, PdfPages
from matplotlib.figure import Figure
from matplotlib.lines import Line2D

from app.draw import style
from app.draw.words import LEADING, measured, wrapped
from core.validation.document import Section, Table

WIDTH, HEIGHT = 841.89, 595.28
"""A4 across, points."""
MARGIN, FOOT = 36.0, 30.0
GAP, PAD = 6.0, 1.6
"""Space between columns, and above and below the text of a row, points."""
BODY, CELL, SMALL, SMALLEST = 9.0, 7.2, 6.0, 4.6
EASY = 100.0
"""Width in points that a column of words gets before the text is made smaller than SMALL."""
HEADINGS = {1: 17.0, 2: 13.0, 3: 10.5}


@dataclass(frozen=True, slots=True)
class _Word:
    """A line of text with its baseline's place, points from the lower left corner."""

    x: float
    y: float
    text: str
    size: float
    heavy: bool
    right: bool


@dataclass(frozen=True, slots=True)
class Room:
    """What of a page is filled, points from its lower left corner."""

    left: float
    low: float
    width: float
    top: float


REPORT = Room(MARGIN, FOOT, WIDTH - 2.0 * MARGIN, HEIGHT - MARGIN)


@dataclass(slots=True)
class _Page:
    words: list[_Word] = field(default_factory=list)
    rules: list[tuple[float, float, float]] = field(default_factory=list)
    """y, from x, to x."""


def pdf(sections: Sequence[Section], title: str) -> bytes:
    """Return the sections as a PDF, byte for byte the same for the same sections."""
    pages = laid_out(sections, REPORT)
    buffer = BytesIO()
    with PdfPages(buffer, metadata={"CreationDate": None, "Title": title}) as book:
        for number, page in enumerate(pages, 1):
            book.savefig(_figure(page, f"{title}   {number} / {len(pages)}"))
    return buffer.getvalue()


def laid_out(sections: Sequence[Section], room: Room) -> list[_Page]:
    """Return the pages that sections fill, each no more than ``room``."""
    layout = _Layout(room)
    for section in sections:
        layout.section(section)
    return layout.pages


def _figure(page: _Page, foot: str) -> Figure:
    figure = Figure(figsize=(WIDTH / 72.0, HEIGHT / 72.0), facecolor=style.PAPER)
    FigureCanvasPdf(figure)
    words = [*page.words, _Word(WIDTH - MARGIN, FOOT - 12.0, foot, CELL, False, True)]
    for word in words:
        figure.text(
            word.x / WIDTH,
            word.y / HEIGHT,
            word.text,
            fontsize=word.size,
            fontweight="bold" if word.heavy else "normal",
            ha="right" if word.right else "left",
            va="baseline",
            color=style.INK,
            parse_math=False,
        )
    for y, start, stop in page.rules:
        figure.add_artist(
            Line2D(
                [start / WIDTH, stop / WIDTH],
                [y / HEIGHT, y / HEIGHT],
                linewidth=0.4,
                color=style.QUIET,
            )
        )
    return figure


class _Layout:
    """Fills pages from top to bottom."""

    def __init__(self, room: Room = REPORT) -> None:
        self.room = room
        self.pages: list[_Page] = [_Page()]
        self._y = room.top

    def section(self, section: Section) -> None:
        """Add a heading with its paragraphs and tables."""
        size = HEADINGS[section.level]
        # A heading stays with what it heads.
        self._make_room(size * LEADING + 110.0)
        self._line(section.title, size, heavy=True, before=size)
        self._y -= 4.0
        for paragraph in section.paragraphs:
            for line in wrapped(plain(paragraph), BODY, self.room.width, heavy=False):
                self._line(line, BODY)
            self._y -= 4.0
        for table in section.tables:
            self._table(table)
            self._y -= 6.0

    def _line(self, text: str, size: float, *, heavy: bool = False, before: float = 0.0) -> None:
        self._make_room(size * LEADING)
        if self.pages[-1].words:
            self._y -= before
        self._y -= size * LEADING
        self.pages[-1].words.append(_Word(self.room.left, self._y, text, size, heavy, False))

    def _make_room(self, height: float) -> None:
        if self._y - height < self.room.low:
            self.pages.append(_Page())
            self._y = self.room.top

    def _table(self, table: Table) -> None:
        size, widths = columns(table, self.room.width)
        head = _cells(table.head, widths, size)
        self._make_room((max(map(len, head)) + 2.0) * size * LEADING + 8.0 * PAD)
        self._row(head, widths, table.numeric, size, heavy=True)
        self._rule(widths)
        first = ""
        for row in table.rows:
            cells = _cells(row, widths, size)
            first = row[0] or first
            before = len(self.pages)
            self._make_room(max(map(len, cells)) * size * LEADING + 2.0 * PAD)
            if len(self.pages) > before:
                # What a blank first cell stands for is on the page before.
                cells = _cells((first, *row[1:]), widths, size)
                self._row(head, widths, table.numeric, size, heavy=True)
                self._rule(widths)
            self._row(cells, widths, table.numeric, size)

    def _rule(self, widths: Sequence[float]) -> None:
        total = sum(widths) + GAP * (len(widths) - 1)
        self.pages[-1].rules.append((self._y, self.room.left, self.room.left + total))

    def _row(
        self,
        cells: Sequence[Sequence[str]],
        widths: Sequence[float],
        numeric: frozenset[int],
        size: float,
        *,
        heavy: bool = False,
    ) -> None:
        top = self._y - PAD
        x = self.room.left
        for i, (lines, width) in enumerate(zip(cells, widths, strict=True)):
            right = i in numeric
            for j, line in enumerate(lines):
                place = (x + width if right else x, top - (j + 0.8) * LEADING * size)
                if line:
                    bold = heavy or line == "MISS"
                    self.pages[-1].words.append(_Word(*place, line, size, bold, right))
            x += width + GAP
        self._y = top - max(map(len, cells)) * size * LEADING - PAD


def _cells(row: Iterable[str], widths: Sequence[float], size: float) -> list[list[str]]:
    return [wrapped(cell, size, width) for cell, width in zip(row, widths, strict=True)]


def columns(table: Table, width: float = REPORT.width) -> tuple[float, list[float]]:
    """Return the text size and the column widths, in points, with which a table fits a width.

    Every column gets what it needs while there is room. Otherwise the widest are cut to one width and
    wrap: not below an easy width while the text can still get smaller, never below their longest word.
    """
    count = len(table.head)
    room = width - GAP * (count - 1)
    every = (table.head, *table.rows)
    size = CELL
    while True:
        need = [max(measured(row[i], size) for row in every) for i in range(count)]
        least = [max(_longest(row[i], size) for row in every) for i in range(count)]
        if size > SMALL:
            least = [max(low, min(high, EASY)) for low, high in zip(least, need, strict=True)]
        if sum(least) <= room or size <= SMALLEST:
            return size, _levelled(need, least, room)
        size -= 0.2


def _longest(text: str, size: float) -> float:
    return max((measured(word, size) for word in text.split()), default=0.0)


def _levelled(need: Sequence[float], least: Sequence[float], room: float) -> list[float]:
    """Return widths cut at one level so that they fill the room."""
    if sum(need) <= room:
        return list(need)
    low, high = 0.0, max(need)
    for _ in range(60):
        level = 0.5 * (low + high)
        total = sum(min(n, max(m, level)) for n, m in zip(need, least, strict=True))
        low, high = (level, high) if total <= room else (low, level)
    return [min(n, max(m, low)) for n, m in zip(need, least, strict=True)]


def plain(text: str) -> str:
    """Return a paragraph of markdown without its list mark."""
    return "•" + text[1:] if text.startswith("* ") else text
