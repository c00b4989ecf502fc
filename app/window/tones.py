"""Colours of words and marks beside the maps, from the palette of the desktop, light or dark."""

from __future__ import annotations

from PySide6.QtGui import QColor, QPalette
from PySide6.QtWidgets import QWidget

from app.window.contrast import is_strong

NOTE_GROUND, NOTE_INK = "#f6e8d8", "#1d2430"
"""What must be known before a number is used stands on its own ground, with its own ink, in any palette."""


def ink(palette: QPalette) -> QColor:
    """Return the colour of words on the ground of lists and pages."""
    return palette.color(QPalette.ColorRole.Text)


def ground(palette: QPalette) -> QColor:
    """Return the ground of lists and pages."""
    return palette.color(QPalette.ColorRole.Base)


def quiet(palette: QPalette) -> QColor:
    """Return the colour of sources and remarks: words still readable, but less heavy."""
    return ink(palette) if is_strong() else mixed(ink(palette), ground(palette), 0.3)


def faint(palette: QPalette) -> QColor:
    """Return the colour of the empty part of a bar."""
    return mixed(ink(palette), ground(palette), 0.82)


def mixed(one: QColor, other: QColor, share: float) -> QColor:
    """Return a colour between two; ``share`` is the other's, 0 to 1."""
    pairs = ((one.red(), other.red()), (one.green(), other.green()), (one.blue(), other.blue()))
    return QColor(*(round(a + (b - a) * share) for a, b in pairs))


def warning(palette: QPalette) -> QColor:
    """Return the colour of words that say what is wrong, readable on the ground of a window."""
    dark = palette.color(QPalette.ColorRole.Window).lightnessF() < 0.5
    return QColor("#ff9ccc" if dark else "#97094f")


def warn(label: QWidget, palette: QPalette) -> None:
    """Write a label in the colour of a warning on the ground of a palette."""
    own = QPalette(palette)
    own.setColor(QPalette.ColorRole.WindowText, warning(palette))
    label.setPalette(own)
