"""Strong contrast: asked for by the desktop or in the View menu, and followed by all that is painted."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QSettings, Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QApplication, QWidget

from app.draw import style

_ASKED = "strong contrast"


def is_strong() -> bool:
    """Return whether strong contrast is wanted: by the menu of any window, or by the desktop where Qt can tell."""
    app = QGuiApplication.instance()
    if app is not None and app.property(_ASKED):
        return True
    hints = QGuiApplication.styleHints()
    # Qt before 6.10 does not know it.
    if not hasattr(hints, "accessibility"):
        return False
    return bool(hints.accessibility().contrastPreference() == Qt.ContrastPreference.HighContrast)


def map_palette(widget: QWidget) -> style.Palette:
    """Return the colours of maps and legends for the desktop that a widget is on."""
    return style.palette_on(widget.palette().base().color().name(), strong=is_strong())


def was_wanted() -> bool:
    """Return whether strong contrast was asked for when the last window closed."""
    return QSettings("Isofence", "Isofence").value(_ASKED, "no") == "yes"


def want(*, on: bool) -> None:
    """Ask for strong contrast, or leave it to the desktop; every window follows at once, and the next one too."""
    app = QApplication.instance()
    assert app is not None
    app.setProperty(_ASKED, on)
    QSettings("Isofence", "Isofence").setValue(_ASKED, "yes" if on else "no")
    _repaint()


def follow_desktop() -> None:
    """Follow a desktop whose contrast is changed while windows are open."""
    hints = QGuiApplication.styleHints()
    if hasattr(hints, "accessibility"):
        hints.accessibility().contrastPreferenceChanged.connect(lambda _: _repaint())


def _repaint() -> None:
    """Let everything that follows the palette of the desktop look again."""
    for widget in QApplication.allWidgets():
        QApplication.sendEvent(widget, QEvent(QEvent.Type.PaletteChange))
