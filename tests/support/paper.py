"""Sheets measured: words inside the frame, words over one another, lines of a PDF in points."""

from __future__ import annotations

import re
import zlib
from unittest.mock import patch

import numpy as np
from matplotlib.figure import Figure
from matplotlib.text import Text
from matplotlib.transforms import Bbox

from app.draw.furniture import Sheet
from app.draw.paper import MM

_LINE = re.compile(rb"([-\d.]+) ([-\d.]+) m\n([-\d.]+) ([-\d.]+) l\n")


def drawn(figure: Figure) -> list[Text]:
    """Return the texts that are drawn of a figure, each once; not those that stand ready for other views."""
    found: list[Text] = []
    plain = Text.draw

    def draw(self: Text, renderer: object, *args: object, **more: object) -> None:
        found.append(self)
        plain(self, renderer, *args, **more)

    with patch.object(Text, "draw", draw):
        # As a drawing goes, without a stroke: where words are is all that is asked.
        figure.draw_without_rendering()
    return [t for t in dict.fromkeys(found) if t.get_visible() and t.get_text().strip()]


def words(sheet: Sheet) -> list[tuple[str, Bbox]]:
    """Return every text that is drawn on a sheet, with the rectangle in mm that is seen of it."""
    figure = sheet.figure
    texts = drawn(figure)
    renderer = figure.canvas.get_renderer()  # type: ignore[attr-defined]
    per_mm = figure.dpi * MM
    found = []
    for text in texts:
        box = Text.get_window_extent(text, renderer)
        if text.get_clip_on() and text.axes is not None:
            seen = Bbox.intersection(box, text.axes.bbox)
            if seen is None:
                continue
            box = seen
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
    if not found:
        return []
    corners = np.array([b.extents for _, b in found]) + np.array([0.3, 0.5, -0.3, -0.3])
    low, high = corners[:, :2], corners[:, 2:]
    real = (high > low).all(axis=1)
    over = ((low[:, None] <= high) & (low <= high[:, None])).all(axis=2) & real & real[:, None]
    return [(found[i][0], found[j][0]) for i, j in np.argwhere(np.triu(over, 1))]


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
