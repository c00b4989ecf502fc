"""Where the window was, kept from one time to the next; it opens inside the screen whatever was kept."""

from __future__ import annotations

from PySide6.QtCore import QByteArray, QRect, QSettings
from PySide6.QtWidgets import QMainWindow

_KEY = "geometry"


def keep_geometry(window: QMainWindow) -> None:
    """Note down where the window is."""
    QSettings("Isofence", "Isofence").setValue(_KEY, window.saveGeometry())


def restore_geometry(window: QMainWindow) -> None:
    """Put the window where it was, as far as that is on the screen there is now."""
    kept = QSettings("Isofence", "Isofence").value(_KEY)
    if isinstance(kept, QByteArray):
        window.restoreGeometry(kept)
    screen = window.screen()
    if screen is not None:
        window.setGeometry(inside(window.geometry(), screen.availableGeometry()))


def inside(wanted: QRect, screen: QRect) -> QRect:
    """Return the wanted place, made smaller and moved so that all of it is on the screen."""
    width, height = min(wanted.width(), screen.width()), min(wanted.height(), screen.height())
    x = min(max(wanted.x(), screen.x()), screen.x() + screen.width() - width)
    y = min(max(wanted.y(), screen.y()), screen.y() + screen.height() - height)
    return QRect(x, y, width, height)
