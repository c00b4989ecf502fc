"""Where the parts of the window are: maps in the middle, panels around them by the place each asks for."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QLabel, QScrollArea, QSplitter, QTabWidget, QVBoxLayout, QWidget

from app.window.canvas import MapCanvas
from app.window.lines import Banner, Title
from app.window.pane import Pane

PLACES = ("left", "over the maps", "beside the maps", "under the maps", "below", "right")


@dataclass(frozen=True)
class Placed:
    """A panel and where it stands, one of :data:`PLACES`."""

    place: str
    panel: QWidget


def lay_out(
    message: Banner, panes: Sequence[Pane], titles: dict[str, Title], panels: Sequence[Placed]
) -> QWidget:
    """Return the middle of the window: the panes under their titles, the panels, and the message over all of it.

    Panels below share one place; each has a tab with its accessible name.
    """

    def at(place: str) -> list[QWidget]:
        return [p.panel for p in panels if p.place == place]

    maps = QSplitter(Qt.Orientation.Horizontal)
    for pane in panes:
        maps.addWidget(_column(titles[pane.name], pane.canvas))
    for panel in at("beside the maps"):
        maps.addWidget(panel)
        maps.setStretchFactor(maps.count() - 1, 0)
    # A strip of heights needs less room than a map.
    maps.setSizes([500] * len(panes) + [230] * (maps.count() - len(panes)))
    middle = QSplitter(Qt.Orientation.Vertical)
    middle.addWidget(_column(*at("over the maps"), maps, *at("under the maps")))
    below = QTabWidget()
    below.setDocumentMode(True)
    for panel in at("below"):
        below.addTab(panel, panel.accessibleName())
    middle.addWidget(below)
    middle.setStretchFactor(0, 1)
    middle.setSizes([900, 170])
    side = QScrollArea()
    side.setWidget(_column(*at("left")) if len(at("left")) > 1 else at("left")[0])
    side.setWidgetResizable(True)
    side.setMinimumWidth(272)
    body = QSplitter(Qt.Orientation.Horizontal)
    for part in (side, middle, *at("right")):
        body.addWidget(part)
    body.setStretchFactor(1, 1)
    body.setSizes([272, 1000, 320])
    for splitter, name in ((maps, "maps"), (middle, "middle"), (body, "body")):
        splitter.setObjectName(f"{name} splitter")
    middle_of_window = _column(body)
    message.lie_over(middle_of_window)
    return middle_of_window


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
