"""Where the window was, kept from one time to the next; it opens inside the screen whatever was kept."""

from __future__ import annotations

from PySide6.QtCore import QByteArray, QRect, QSettings
from PySide6.QtWidgets import QMainWindow, QSplitter, QStyle

_KEY, _PARTS = "geometry", "parts"


def keep_geometry(window: QMainWindow) -> None:
    """Note down where the window is, and how its parts share it."""
    settings = QSettings("Isofence", "Isofence")
    settings.setValue(_KEY, window.saveGeometry())
    for splitter in _splitters(window):
        settings.setValue(f"{_PARTS}/{splitter.objectName()}", splitter.saveState())


def restore_geometry(window: QMainWindow) -> None:
    """Put the window where it was, as far as that is on the screen there is now."""
    settings = QSettings("Isofence", "Isofence")
    kept = settings.value(_KEY)
    if isinstance(kept, QByteArray):
        window.restoreGeometry(kept)
    for splitter in _splitters(window):
        shares = settings.value(f"{_PARTS}/{splitter.objectName()}")
        if isinstance(shares, QByteArray):
            splitter.restoreState(shares)
    screen = window.screen()
    if screen is not None:
        # The frame stands above what is asked for.
        bar = window.style().pixelMetric(QStyle.PixelMetric.PM_TitleBarHeight)
        room = screen.availableGeometry().adjusted(0, bar, 0, 0)
        window.setGeometry(inside(window.geometry(), room))


def _splitters(window: QMainWindow) -> list[QSplitter]:
    return [s for s in window.findChildren(QSplitter) if s.objectName()]


def inside(wanted: QRect, screen: QRect) -> QRect:
    """Return the wanted place, made smaller and moved so that all of it is on the screen."""
    width, height = min(wanted.width(), screen.width()), min(wanted.height(), screen.height())
    x = min(max(wanted.x(), screen.x()), screen.x() + screen.width() - width)
    y = min(max(wanted.y(), screen.y()), screen.y() + screen.height() - height)
    return QRect(x, y, width, height)
