"""Canvases that keep the letters they have drawn: half of what a map takes to draw, and most of them stay the same."""

from __future__ import annotations

from functools import lru_cache
from typing import Any

import matplotlib as mpl
import numpy as np
from matplotlib.backends.backend_agg import RendererAgg
from matplotlib.backends.backend_qtagg import FigureCanvasQTAgg
from matplotlib.font_manager import FontProperties
from numpy.typing import NDArray

Colour = tuple[float, float, float, float]


class _KeepingLetters(RendererAgg):
    """Draws words as pictures of them; they stand on whole pixels."""

    def draw_text(
        self,
        gc: Any,
        x: float,
        y: float,
        s: str,
        prop: FontProperties,
        angle: float,
        ismath: bool | str = False,  # noqa: FBT002  (matplotlib's own)
        mtext: Any = None,
    ) -> None:
        if ismath:
            super().draw_text(gc, x, y, s, prop, angle, ismath, mtext)
            return
        red, green, blue, alpha = gc.get_rgb()
        # A picture takes nothing but its clipping from the pen.
        colour = red, green, blue, gc.get_alpha() if gc.get_forced_alpha() else alpha
        hinting = str(mpl.rcParams["text.hinting"])
        picture, left, below = _letters(s, prop.copy(), angle, colour, self.dpi, hinting)
        if picture.size:
            self.draw_image(gc, round(x) + left, self.height - round(y) + below, picture)


@lru_cache(maxsize=1024)
def _letters(
    text: str, font: FontProperties, angle: float, colour: Colour, dpi: float, _hinting: str
) -> tuple[NDArray[np.uint8], int, int]:
    """Return a picture of words, from the lowest row up, and where its corner lies from where they begin, in pixels."""
    first = RendererAgg(1, 1, dpi)
    wide, high, _ = first.get_text_width_height_descent(text, font, False)
    half = int(wide + high) + 4
    paper = RendererAgg(2 * half, 2 * half, dpi)
    pen = paper.new_gc()
    pen.set_foreground(colour, isRGBA=True)
    paper.draw_text(pen, half, half, text, font, angle)
    pixels = np.asarray(paper.buffer_rgba())
    rows, columns = np.nonzero(pixels[:, :, 3])
    if not len(rows):
        return np.zeros((0, 0, 4), np.uint8), 0, 0
    top, bottom = int(rows.min()), int(rows.max()) + 1
    left, right = int(columns.min()), int(columns.max()) + 1
    return pixels[top:bottom, left:right][::-1].copy(), left - half, half - bottom


class KeepingCanvas(FigureCanvasQTAgg):
    """A canvas on screen whose letters are drawn once."""

    def get_renderer(self) -> Any:
        renderer = super().get_renderer()
        if not isinstance(renderer, _KeepingLetters):
            renderer = _KeepingLetters(renderer.width, renderer.height, renderer.dpi)
            self.renderer = renderer
        return renderer
