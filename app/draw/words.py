"""Words on paper: measured, wrapped and made to fit, in points."""

from __future__ import annotations

from functools import cache, lru_cache

from matplotlib.font_manager import FontProperties
from matplotlib.textpath import TextToPath

LEADING = 1.28
"""Distance of lines in parts of the size of the text."""
SAFE = 0.97
"""Part of a width that words are made to fit: the letters of a picture are a little wider than those of a PDF."""
_STEP = 0.25


def wrapped(
    text: str, size: float, width: float, *, heavy: bool = True, broken: bool = False
) -> list[str]:
    """Return lines no wider than ``width`` points; a single word may be wider unless it may be ``broken``."""
    lines, line = [], ""
    for whole in text.split():
        for word in _parts(whole, size, width, heavy=heavy) if broken else (whole,):
            longer = f"{line} {word}" if line else word
            if line and measured(longer, size, heavy=heavy) > width + 0.01:
                lines.append(line)
                line = word
            else:
                line = longer
    return [*lines, line]


def _parts(word: str, size: float, width: float, *, heavy: bool) -> list[str]:
    """Return a word in pieces that are not wider than ``width`` points."""
    parts = []
    while len(word) > 1 and measured(word, size, heavy=heavy) > width:
        low, high = 1, len(word)
        while high - low > 1:
            middle = (low + high) // 2
            short = measured(word[:middle], size, heavy=heavy) <= width
            low, high = (middle, high) if short else (low, middle)
        parts.append(word[:low])
        word = word[low:]
    return [*parts, word]


def fitted(
    text: str, width: float, height: float, *, most: float, least: float = 4.0, heavy: bool = False
) -> tuple[float, list[str]]:
    """Return the size, at most ``most``, and the lines with which text fits into a rectangle of points.

    What does not fit at the least size ends in an ellipsis.
    """
    size = most
    while True:
        lines = wrapped(text, size, width, heavy=heavy, broken=True)
        room = max(int(height / (size * LEADING)), 1)
        if len(lines) <= room:
            return size, lines
        if size <= least:
            last = lines[room - 1]
            while last and measured(f"{last}…", size, heavy=heavy) > width:
                last = last[:-1]
            return size, [*lines[: room - 1], f"{last}…"]
        size = max(size - _STEP, least)


def measured(text: str, size: float, *, heavy: bool = True) -> float:
    """Return the width of text in points; bold, as in a table's head, unless asked for the other."""
    *before, last = text.split(" ")
    width = sum(_with_its_space(word, heavy=heavy) for word in before)
    return size * (width + _at_one_point(last, heavy=heavy))


def _with_its_space(word: str, *, heavy: bool) -> float:
    """Return how far the next word begins behind this one, at 1 point: lines share words, so each is measured once."""
    return _at_one_point(f"{word} n", heavy=heavy) - _at_one_point("n", heavy=heavy)


@lru_cache(maxsize=65536)
def _at_one_point(text: str, *, heavy: bool) -> float:
    """Return the width of text of 1 point: outlines grow with the size, so that every size asks once."""
    if not text:
        return 0.0
    return (
        float(_PATHS.get_text_width_height_descent(text, _font(heavy=heavy), ismath=False)[0])
        / 100.0
    )


@cache
def _font(*, heavy: bool) -> FontProperties:
    return FontProperties(size=100.0, weight="bold" if heavy else "normal")


_PATHS = TextToPath()
