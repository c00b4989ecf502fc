"""The page of a change: both maps, both differences, and the list of what changed and what it does."""

from __future__ import annotations

import io
from collections.abc import Iterator
from pathlib import Path

import numpy as np
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.backends.backend_pdf import PdfPages
from matplotlib.figure import Figure
from numpy.typing import NDArray

from app.draw import style
from app.draw.book import as_picture, check_format
from app.draw.change_art import NO_SHADING, ChangeArt, change_legend, shade_legend
from app.draw.change_bands import change_bands
from app.draw.change_style import UNITS, Quantity
from app.draw.furniture import MARGIN
from app.draw.map import MapView
from app.draw.pages import figures
from app.draw.paper import Paper
from app.draw.titles import where
from app.draw.words import fitted, measured, wrapped
from core.changes.comparison import Comparison
from core.changes.difference_map import ChangeMap
from core.changes.report import heading, sections, verdict
from core.exposure.raster import Raster
from core.files.atomic import write_file
from core.limits.sets import get_set
from core.limits.tier import Tier
from core.reading.cautions import FULL, SHORT
from core.site.site import Site
from core.validation.document import Section
from core.views.words import body_words

_SIZE = (14.0, 8.5)
"""Inches."""
_LEFT, _MIDDLE, _UPPER, _LOWER = 0.045, 0.386, 0.54, 0.105
_WIDE, _HIGH = 0.24, 0.345
_LIST, _RIGHT = 0.71, 0.99
_ROWS = 62
_ROW = 0.0141
_TITLE, _TEXT = 14.0, 7.0
"""Points of the heading at most, and of the list."""


def save_changes(
    path: Path,
    comparison: Comparison,
    change: ChangeMap,
    *,
    tier: Tier,
    feet: bool = False,
    folder: Path | None = None,
    width_px: int = 1600,
) -> None:
    """Write the page of a change as PNG, SVG or PDF; a PDF has the whole list on further pages.

    Raises
    ------
    InputError
        If the ending is another one, or the file cannot be written.
    """
    ending = check_format(path)
    pages = change_pages(comparison, change, tier=tier, feet=feet, folder=folder)
    if ending != ".pdf":
        write_file(path, as_picture(next(pages), ending, width_px))
        return
    buffer = io.BytesIO()
    with PdfPages(buffer, metadata={"CreationDate": None, "Title": _title(comparison)}) as book:
        for page in pages:
            book.savefig(page)
    write_file(path, buffer.getvalue())


def change_pages(
    comparison: Comparison,
    change: ChangeMap,
    *,
    tier: Tier,
    feet: bool = False,
    folder: Path | None = None,
) -> Iterator[Figure]:
    """Yield the page of a change, and after it the whole list on further pages."""
    yield change_sheet(comparison, change, tier=tier, feet=feet, folder=folder)
    yield from figures(list_sections(comparison, feet=feet), _title(comparison))


def on_paper(page: Figure, paper: Paper, dpi: int) -> NDArray[np.uint8]:
    """Return a page as pixels (rows, columns, 4) of a sheet of paper: as large as fits inside its margins."""
    width, height = (round(side * dpi / 25.4) for side in (paper.width, paper.height))
    room = [side - round(2.0 * MARGIN * dpi / 25.4) for side in (width, height)]
    page.set_dpi(min(side / size for side, size in zip(room, page.get_size_inches(), strict=True)))
    canvas = FigureCanvasAgg(page)
    canvas.draw()
    drawn = np.asarray(canvas.buffer_rgba(), dtype=np.uint8)
    sheet = np.full((height, width, 4), 255, np.uint8)
    top, left = (height - drawn.shape[0]) // 2, (width - drawn.shape[1]) // 2
    sheet[top : top + drawn.shape[0], left : left + drawn.shape[1]] = drawn
    return sheet


def _title(comparison: Comparison) -> str:
    return f"{comparison.after.name}: what a change does"


def list_sections(comparison: Comparison, *, feet: bool = False) -> tuple[Section, ...]:
    """Return the whole list as sections for pages."""
    first = Section(
        title="What a change does", paragraphs=(heading(comparison), verdict(comparison)), level=1
    )
    parts = [
        Section(title=title, paragraphs=tuple(f"* {line}" for line in lines) or ("nothing",))
        for title, lines in sections(comparison, feet=feet)
    ]
    cautions = Section(title="Cautions", paragraphs=tuple(f"* {line}" for line in FULL))
    return (first, *parts, cautions)


def change_sheet(
    comparison: Comparison,
    change: ChangeMap,
    *,
    tier: Tier,
    feet: bool = False,
    folder: Path | None = None,
) -> Figure:
    """Return the page as a figure, 14 × 8.5 inches."""
    figure = Figure(figsize=_SIZE, facecolor=style.PAPER)
    FigureCanvasAgg(figure)
    before, after = comparison.before, comparison.after
    size, said = fitted(
        heading(comparison),
        _points(_RIGHT - _LEFT),
        2.0 * _TITLE,
        most=_TITLE,
        least=_TEXT,
        heavy=True,
    )
    figure.text(
        _LEFT, 0.968, "\n".join(said), fontsize=size, fontweight="bold", color=style.INK, va="center",
        parse_math=False,
    )  # fmt: skip
    seen, key = change.after.view, get_set(after.limit_set)
    words = (
        f"Percent of the {key.key} {key.name_of(tier)} limit; {where(after, seen, feet=feet)}; "
        f"{body_words(seen.body, feet=feet)}"
    )
    figure.text(
        _LEFT, 0.926, "\n".join(wrapped(words, 8.0, _points(_LIST - 0.02 - _LEFT), heavy=False)),
        fontsize=8, color=style.INK, va="center", parse_math=False,
    )  # fmt: skip
    figure.text(_LEFT, 0.022, SHORT, fontsize=8, color=style.INK, va="center")
    figure.text(_LEFT, 0.044, NO_SHADING, fontsize=7, color=style.QUIET, va="center")
    limits = get_set(after.limit_set)
    states: tuple[tuple[str, float, Site, Raster], ...] = (
        ("before", _LEFT, before, change.before),
        ("after", _MIDDLE, after, change.after),
    )
    for title, left, site, raster in states:
        view = _map(figure, left, _UPPER, title, site, raster, folder, feet=feet)
        view.show_raster(raster, tier, style.CONTOURS)
        key = get_set(site.limit_set)
        bar = figure.add_axes((left + _WIDE + 0.008, _UPPER + 0.02, 0.009, _HIGH - 0.09))
        shade_legend(bar, f"% of {key.key} {tier}")
    quantities: tuple[tuple[Quantity, float, str], ...] = (
        ("decibels", _LEFT, "difference in decibels"),
        ("points", _MIDDLE, "difference in percent points"),
    )
    for quantity, left, title in quantities:
        view = _map(figure, left, _LOWER, title, after, change.after, folder, feet=feet)
        ChangeArt(view).show(change_bands(change, tier, quantity))
        bar = figure.add_axes((left + _WIDE + 0.008, _LOWER + 0.02, 0.009, _HIGH - 0.09))
        change_legend(bar, f"{UNITS[quantity]}, {limits.key} {tier}", quantity)
    _list(figure, comparison, feet=feet)
    return figure


def _map(
    figure: Figure,
    left: float,
    bottom: float,
    title: str,
    site: Site,
    raster: Raster,
    folder: Path | None,
    *,
    feet: bool,
) -> MapView:
    axes = figure.add_axes((left, bottom, _WIDE, _HIGH))
    axes.set_title(title, fontsize=9, color=style.INK, loc="left", pad=4)
    view = MapView(axes, folder)
    view.feet = feet
    view.show_site(site, raster.view)
    return view


def _list(figure: Figure, comparison: Comparison, *, feet: bool) -> None:
    """Print the list beside the maps; what has no room is on the pages of a PDF, and in the text of the command."""
    rows = list(_rows(comparison, feet=feet))
    if len(rows) > _ROWS:
        more = len(rows) - _ROWS + 1
        rows = [
            *rows[: _ROWS - 1],
            (f"… and {more} more lines: see the pages of the PDF, or the command's text", False),
        ]
    for i, (text, heavy) in enumerate(rows):
        figure.text(
            _LIST, 0.94 - _ROW * i, text, fontsize=_TEXT, color=style.INK, va="top", parse_math=False,
            fontweight="bold" if heavy else "normal",
        )  # fmt: skip


def _rows(comparison: Comparison, *, feet: bool) -> Iterator[tuple[str, bool]]:
    width = _points(_RIGHT - _LIST)
    indent = measured("· ", _TEXT, heavy=False)
    for line in wrapped(verdict(comparison), _TEXT, width, broken=True):
        yield line, True
    for title, lines in sections(comparison, feet=feet):
        yield f"{title}: nothing" if not lines else title, True
        for line in lines:
            rows = wrapped(line, _TEXT, width - indent, heavy=False, broken=True)
            for i, row in enumerate(rows):
                yield f"{'  ' if i else '· '}{row}", False


def _points(part: float) -> float:
    """Return a part of the width of the page in points."""
    return part * _SIZE[0] * 72.0
