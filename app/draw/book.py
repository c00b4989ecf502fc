"""Sheets as a file: all of them in a PDF, the first one as a picture; the same bytes for the same sheets."""

from __future__ import annotations

import io
from collections.abc import Sequence
from pathlib import Path
from threading import Lock

import numpy as np
from matplotlib import rc_context
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.backends.backend_pdf import PdfPages
from matplotlib.figure import Figure
from numpy.typing import NDArray

from app.draw.furniture import Sheet
from core.errors import InputError
from core.files.atomic import write_file

FORMATS = (".png", ".svg", ".pdf")
_LETTERS = Lock()


def check_format(path: Path, endings: Sequence[str] = FORMATS) -> str:
    """Return the ending of a file's name, small.

    Raises
    ------
    InputError
        If sheets cannot be written as that.
    """
    ending = path.suffix.lower()
    if ending not in endings:
        *most, last = endings
        raise InputError(
            f"{path.suffix or 'no ending'} is not a picture format",
            source=str(path),
            fix=f"End it in {', '.join(most)} or {last}" if most else f"End it in {last}",
        )
    return ending


def numbered(sheets: Sequence[Sheet]) -> tuple[Sheet, ...]:
    """Write on every sheet which of how many it is."""
    for i, sheet in enumerate(sheets, 1):
        sheet.number(i, len(sheets))
    return tuple(sheets)


def as_pdf(sheets: Sequence[Sheet]) -> bytes:
    """Return sheets that are numbered as the pages of a PDF, each as large as its paper."""
    buffer = io.BytesIO()
    title = f"{sheets[0].title.site}: {sheets[0].title.what}"
    with PdfPages(buffer, metadata={"CreationDate": None, "Title": title}) as book:
        for sheet in sheets:
            book.savefig(sheet.figure)
    return buffer.getvalue()


def as_picture(page: Figure, ending: str, width_px: int) -> bytes:
    """Return one page as PNG or SVG."""
    buffer = io.BytesIO()
    # Hinted letters are wider than those that were measured, and lines would leave their column. How letters are hinted
    # is one setting of the process: threads that set it at the same time would leave each other's behind.
    with _LETTERS, rc_context({"text.hinting": "no_hinting"}):
        page.savefig(
            buffer,
            format=ending.removeprefix("."),
            dpi=width_px / page.get_figwidth(),
            metadata={"Date": None} if ending == ".svg" else None,
        )
    return buffer.getvalue()


def as_pixels(sheet: Sheet, dpi: int) -> NDArray[np.uint8]:
    """Return a sheet as pixels (rows, columns, 4), red, green, blue and opacity."""
    figure = sheet.figure
    figure.set_dpi(dpi)
    canvas = FigureCanvasAgg(figure)
    canvas.draw()
    return np.array(canvas.buffer_rgba(), dtype=np.uint8)


def save_sheets(path: Path, sheets: Sequence[Sheet], *, width_px: int = 2000) -> str:
    """Write sheets by the file's ending, and return what a picture leaves out, or nothing.

    Raises
    ------
    InputError
        If the ending is another one, or the file cannot be written.
    """
    ending = check_format(path)
    ready = numbered(sheets)
    if ending == ".pdf":
        write_file(path, as_pdf(ready))
        return ""
    write_file(path, as_picture(ready[0].figure, ending, width_px))
    more = len(ready) - 1
    if not more:
        return ""
    return (
        f"sheet 1 of {len(ready)}: a picture holds one sheet. End the file in .pdf for all of them"
    )
