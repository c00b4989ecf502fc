"""A blank sheet: paper of its true size, a frame, a title block, the caution, and room for what is drawn.

Everything is placed in mm from the lower left corner. Maps are axes of a true scale; words, swatches and lines
go on one layer of ink over the whole sheet.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

from matplotlib.axes import Axes
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from matplotlib.lines import Line2D
from matplotlib.patches import Rectangle

from app.draw import style
from app.draw.paper import A4, MM, POINT, Box, Paper
from app.draw.words import LEADING, SAFE, fitted
from core.reading.cautions import SHORT

MARGIN = 10.0
"""mm between the frame and the edge of the paper: what common printers cannot reach (common practice, no source)."""
STRIP, CAUTION = 25.0, 6.0
"""mm: heights of the title block and of the line of caution under it."""
GAP = 3.0
"""mm between what stands inside the frame."""
PAD = 1.2
NO_DRAWING = "none: no drawing on this sheet"
NO_PLAN = "none: no plan on this sheet"


def frame_of(paper: Paper) -> Box:
    """Return the frame of a sheet, mm."""
    return Box(MARGIN, MARGIN, paper.width - 2.0 * MARGIN, paper.height - 2.0 * MARGIN)


def room_of(paper: Paper) -> Box:
    """Return what is free inside the frame of a sheet, mm."""
    frame, taken = frame_of(paper), STRIP + CAUTION + GAP
    return Box(
        frame.left + GAP, frame.low + taken, frame.width - 2.0 * GAP, frame.height - taken - GAP
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Setup:
    """How sheets are made: paper, N of the scale (None: the best that fits), job, date and units.

    ``date`` is printed as it is given; the same site gives the same bytes on any day.
    """

    paper: Paper = A4
    scale: int | None = None
    job: str = ""
    date: str = ""
    feet: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Title:
    """What the title block says. An empty text is printed as not given."""

    site: str
    what: str
    limit_set: str
    tier: str
    body: str
    scale: str = NO_DRAWING
    north: str = NO_PLAN
    job: str = ""
    revision: str = ""
    date: str = ""


@dataclass(slots=True)
class Sheet:
    """A sheet of paper with its title block; ``room`` is what is left for drawings and words, mm."""

    paper: Paper
    title: Title
    figure: Figure = field(init=False)
    ink: Axes = field(init=False)

    def __post_init__(self) -> None:
        w, h = self.paper.width, self.paper.height
        self.figure = Figure(figsize=(w * MM, h * MM), facecolor=style.PAPER)
        FigureCanvasAgg(self.figure)
        self.ink = self.figure.add_axes((0.0, 0.0, 1.0, 1.0), zorder=40)
        self.ink.set_axis_off()
        self.ink.patch.set_visible(False)
        self.ink.set_xlim(0.0, w)
        self.ink.set_ylim(0.0, h)
        self._title_block()

    @property
    def frame(self) -> Box:
        """The frame, mm."""
        return frame_of(self.paper)

    @property
    def room(self) -> Box:
        """What is free inside the frame, mm."""
        return room_of(self.paper)

    def axes(self, box: Box) -> Axes:
        """Return axes that fill a rectangle exactly."""
        w, h = self.paper.width, self.paper.height
        return self.figure.add_axes((box.left / w, box.low / h, box.width / w, box.height / h))

    def write(
        self,
        text: str,
        x: float,
        y: float,
        *,
        size: float,
        heavy: bool = False,
        colour: str = style.INK,
        ha: str = "left",
    ) -> None:
        """Write one line with its baseline at (x, y)."""
        self.ink.text(
            x, y, text, fontsize=size, fontweight="bold" if heavy else "normal", color=colour,
            ha=ha, va="baseline",
        )  # fmt: skip

    def line(
        self, x0: float, y0: float, x1: float, y1: float, *, width: float = 0.5, dash: object = "-"
    ) -> None:
        """Draw a straight line of a width in points."""
        one = Line2D([x0, x1], [y0, y1], lw=width, color=style.INK, ls=dash)
        self.ink.add_line(one)

    def box(self, box: Box, *, width: float = 0.5, fill: str = "none") -> None:
        """Draw a rectangle."""
        self.ink.add_patch(
            Rectangle((box.left, box.low), box.width, box.height, lw=width, ec=style.INK, fc=fill)
        )

    def write_in(
        self, text: str, box: Box, *, most: float, heavy: bool = False, colour: str = style.INK
    ) -> None:
        """Write text from the top of a rectangle, wrapped, and smaller until it fits."""
        size, lines = fitted(
            text, SAFE * box.width / POINT, box.height / POINT, most=most, heavy=heavy
        )
        for row, line in enumerate(lines):
            y = box.top - (0.82 + row * LEADING) * size * POINT
            self.write(line, box.left, y, size=size, heavy=heavy, colour=colour)

    def swatch(self, paint: Callable[[Sheet, Box], None], box: Box) -> None:
        """Draw a symbol of a key into a rectangle."""
        paint(self, box)

    def number(self, number: int, count: int) -> None:
        """Write which of how many sheets this is."""
        self._cell(self._page_cell(), "Sheet", f"{number} of {count}", most=8.0)

    def _title_block(self) -> None:
        frame, title = self.frame, self.title
        self.box(frame, width=1.2)
        low = frame.low + CAUTION
        self.line(frame.left, low, frame.right, low)
        self.line(frame.left, low + STRIP, frame.right, low + STRIP, width=1.2)
        self.write_in(
            SHORT,
            Box(frame.left + GAP, frame.low, frame.width - 2.0 * GAP, CAUTION - 1.4),
            most=8.0,
            heavy=True,
        )
        wide = 0.32 * frame.width
        self._cell(Box(frame.left, low, wide, STRIP), "Site", "", most=8.0)
        name = Box(frame.left + PAD, low + 0.44 * STRIP, wide - 2.0 * PAD, 0.56 * STRIP - 3.2)
        self.write_in(title.site, name, most=12.0, heavy=True)
        what = Box(name.left, low + 0.6, name.width, 0.44 * STRIP - 0.8)
        self.write_in(title.what, what, most=8.0)
        for box, (label, text) in zip(self._cells(), self._said(), strict=True):
            self._cell(box, label, text or "not given", most=8.0)

    def _said(self) -> tuple[tuple[str, str], ...]:
        t = self.title
        return (
            ("Job", t.job),
            ("Revision", t.revision),
            ("Date", t.date),
            ("Scale", t.scale),
            ("Limit set", t.limit_set),
            ("Tier", t.tier),
            ("Body rule", t.body),
            ("North", t.north),
        )

    def _cells(self) -> list[Box]:
        """Return the places of the cells, row by row; the last place of the first row is the sheet's number."""
        frame = self.frame
        left, low = frame.left + 0.32 * frame.width, frame.low + CAUTION
        width, half = frame.right - left, STRIP / 2.0
        cells = []
        for row, parts in ((1, (0.32, 0.23, 0.14, 0.20)), (0, (0.17, 0.24, 0.36, 0.23))):
            x = left
            for part in parts:
                cells.append(Box(x, low + row * half, part * width, half))
                x += part * width
        return cells

    def _page_cell(self) -> Box:
        before = self._cells()[3]
        return Box(before.right, before.low, self.frame.right - before.right, before.height)

    def _cell(self, box: Box, label: str, text: str, *, most: float) -> None:
        self.box(box)
        self.write(label, box.left + PAD, box.top - 2.6, size=5.5, colour=style.QUIET)
        inside = Box(box.left + PAD, box.low + 0.4, box.width - 2.0 * PAD, box.height - 3.6)
        if text:
            self.write_in(text, inside, most=most)


class Trial(Sheet):
    """A sheet on which nothing is printed, for finding out what fits: laying ink out takes far longer than words."""

    def __post_init__(self) -> None:
        pass

    def write(
        self,
        text: str,
        x: float,
        y: float,
        *,
        size: float,
        heavy: bool = False,
        colour: str = style.INK,
        ha: str = "left",
    ) -> None:
        """Write nothing."""

    def line(
        self, x0: float, y0: float, x1: float, y1: float, *, width: float = 0.5, dash: object = "-"
    ) -> None:
        """Draw nothing."""

    def box(self, box: Box, *, width: float = 0.5, fill: str = "none") -> None:
        """Draw nothing."""

    def write_in(
        self, text: str, box: Box, *, most: float, heavy: bool = False, colour: str = style.INK
    ) -> None:
        """Write nothing: what is made to fit always fits."""

    def swatch(self, paint: Callable[[Sheet, Box], None], box: Box) -> None:
        """Draw nothing."""
