"""Letters that are kept look like letters that are drawn."""

from __future__ import annotations

import numpy as np
import pytest
from matplotlib.backends.backend_agg import RendererAgg
from matplotlib.font_manager import FontProperties
from matplotlib.text import Text
from numpy.typing import NDArray

from app.window.letters import KeepingCanvas, _KeepingLetters, _letters
from app.window.main_window import MainWindow

WIDE, HIGH = 240, 160
ANGLES = (0.0, 90.0, 30.0, 270.0)


def drawn(renderer: RendererAgg, angle: float, weight: str, colour: str) -> NDArray[np.uint8]:
    """Return the pixels of words over a ground."""
    pen = renderer.new_gc()
    pen.set_foreground(colour)
    font = FontProperties(size=11, weight=weight)
    for y, words in ((80, "Sector gÄ 100 %"), (40, "g"), (20, "   ")):
        renderer.draw_text(pen, 120, y, words, font, angle)
    return np.array(renderer.buffer_rgba())


@pytest.mark.parametrize("angle", ANGLES)
def test_on_whole_pixels_they_are_the_same(angle: float) -> None:
    for weight, colour in (("normal", "black"), ("bold", "#aa2266")):
        plain = drawn(RendererAgg(WIDE, HIGH, 96.0), angle, weight, colour)
        assert plain[:, :, 3].max() == 255
        for _ in range(2):
            kept = drawn(_KeepingLetters(WIDE, HIGH, 96.0), angle, weight, colour)
            assert (kept[:, :, 3] == plain[:, :, 3]).all()
            ink = plain[:, :, 3] > 0
            assert np.abs(kept[ink].astype(int) - plain[ink]).max() <= 2


def test_what_differs_is_drawn_by_itself_and_what_does_not_is_drawn_once() -> None:
    _letters.cache_clear()
    renderer = _KeepingLetters(WIDE, HIGH, 96.0)
    for _ in range(3):
        drawn(renderer, 0.0, "normal", "black")
    assert _letters.cache_info().misses == 3
    drawn(renderer, 0.0, "normal", "red")
    drawn(renderer, 0.0, "bold", "red")
    drawn(renderer, 90.0, "bold", "red")
    drawn(_KeepingLetters(WIDE, HIGH, 192.0), 90.0, "bold", "red")
    assert _letters.cache_info().misses == 3 * 5


def test_pale_words_are_as_pale(window: MainWindow) -> None:
    canvas = window.panes[0].canvas
    assert isinstance(canvas, KeepingCanvas)
    dark = []
    for alpha in (1.0, 0.4):
        renderer = _KeepingLetters(WIDE, HIGH, 96.0)
        words = Text(20, 20, "pale", alpha=alpha, color="black", figure=canvas.figure)
        words.draw(renderer)
        dark.append(float(np.asarray(renderer.buffer_rgba())[:, :, 3].max()))
    assert dark[0] == 255.0
    assert dark[1] == pytest.approx(0.4 * 255.0, abs=2.0)
