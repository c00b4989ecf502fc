"""Where the parts of the window are."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QLabel, QScrollArea, QSplitter, QVBoxLayout, QWidget

from app.window.canvas import MapCanvas
from core.reading.cautions import SHORT

if TYPE_CHECKING:
    from app.window.main_window import MainWindow


def lay_out(window: MainWindow) -> None:
    """Put the window's parts in their places."""
    window.message.setObjectName("message")
    window.message.setWordWrap(True)
    window.message.setStyleSheet("background:#f6e8d8; color:#1d2430; padding:5px")
    window.message.hide()
    maps = QSplitter(Qt.Orientation.Horizontal)
    for canvas, name in ((window.plan, "Plan"), (window.elevation, "Elevation")):
        label = QLabel(name)
        label.setObjectName(f"{name.lower()} title")
        label.setWordWrap(True)
        maps.addWidget(_column(label, canvas))
    middle = QSplitter(Qt.Orientation.Vertical)
    middle.addWidget(_column(maps, window.legend, window.fence_note))
    middle.addWidget(window.emitters)
    middle.setSizes([620, 230])
    side = QScrollArea()
    side.setWidget(window.controls)
    side.setWidgetResizable(True)
    side.setMinimumWidth(250)
    body = QSplitter(Qt.Orientation.Horizontal)
    for part in (side, middle, window.reading):
        body.addWidget(part)
    body.setStretchFactor(1, 1)
    body.setSizes([265, 890, 345])
    window.setCentralWidget(_column(window.message, body))
    window.progress.setRange(0, 0)
    window.progress.setMaximumWidth(110)
    window.progress.hide()
    caution = QLabel(SHORT)
    caution.setObjectName("caution")
    window.statusBar().addPermanentWidget(window.progress)
    window.statusBar().addPermanentWidget(caution)
    plain(window)


def plain(root: QWidget) -> None:
    """Take the text of every label as it is: names come from people and are no mark-up."""
    for label in root.findChildren(QLabel):
        label.setTextFormat(Qt.TextFormat.PlainText)


def _column(*widgets: QWidget) -> QWidget:
    """Return the widgets one above the other; the last canvas or splitter takes the room."""
    box = QWidget()
    column = QVBoxLayout(box)
    column.setContentsMargins(2, 2, 2, 2)
    column.setSpacing(3)
    for widget in widgets:
        column.addWidget(widget, int(isinstance(widget, MapCanvas | QSplitter)))
    return box
