"""Sheets measured: words inside the frame, words over one another, lines of a PDF in points."""

from __future__ import annotations

import re
import zlib
from itertools import combinations

from matplotlib.text import Text
from matplotlib.transforms import Bbox

from app.draw.furniture import Sheet
from app.draw.paper import MM

_LINE = re.compile(rb"([-\d.]+) ([-\d.]+) m\n([-\d.]+) ([-\d.]+) l\n")


def words(sheet: Sheet) -> list[tuple[str, Bbox]]:
    """Return every text that can be seen on a sheet, with its rectangle in mm."""
    figure = sheet.figure
    figure.canvas.draw()
    renderer = figure.canvas.get_renderer()  # type: ignore[attr-defined]
    found = []
    for text in figure.findobj(Text):
        if text.get_visible() and text.get_text().strip():
            box = Text.get_window_extent(text, renderer)
            per_mm = figure.dpi * MM
            found.append((text.get_text(), Bbox(box.get_points() / per_mm)))
    return found


def on_ink(sheet: Sheet) -> list[tuple[str, Bbox]]:
    """Return the texts of the layer of ink, with their rectangles in mm."""
    renderer = sheet.figure.canvas.get_renderer()  # type: ignore[attr-defined]
    per_mm = sheet.figure.dpi * MM
    return [
        (t.get_text(), Bbox(t.get_window_extent(renderer).get_points() / per_mm))
        for t in sheet.ink.texts
        if t.get_text().strip()
    ]


def outside(sheet: Sheet, found: list[tuple[str, Bbox]]) -> list[str]:
    """Return the words that reach out of the frame."""
    f = sheet.frame
    return [
        text
        for text, b in found
        if b.x0 < f.left - 0.3 or b.x1 > f.right + 0.3 or b.y0 < f.low - 0.3 or b.y1 > f.top + 0.3
    ]


def overlapping(found: list[tuple[str, Bbox]]) -> list[tuple[str, str]]:
    """Return the pairs of words that lie over each other by more than a hair."""
    boxes = [
        (text, Bbox.from_extents(b.x0 + 0.3, b.y0 + 0.5, b.x1 - 0.3, b.y1 - 0.3))
        for text, b in found
    ]
    return [
        (one, other)
        for (one, a), (other, b) in combinations(boxes, 2)
        if a.width > 0 and b.width > 0 and a.height > 0 and b.height > 0 and a.overlaps(b)
    ]


def pdf_lines(data: bytes) -> list[tuple[float, float, float, float]]:
    """Return the straight strokes of a PDF's pages, points."""
    lines = []
    for stream in re.findall(rb"stream\r?\n(.*?)\r?\nendstream", data, re.S):
        try:
            content = zlib.decompress(stream)
        except zlib.error:
            continue
        lines += [tuple(float(x) for x in one) for one in _LINE.findall(content)]
    return lines  # type: ignore[return-value]
