"""Where the parts of the window are: maps in the middle, panels around them by the place each asks for."""

from __future__ import annotations

from collections.abc import Sequence, Set
from dataclasses import dataclass

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QFrame,
    QLabel,
    QScrollArea,
    QSplitter,
    QStackedWidget,
    QTabWidget,
    QVBoxLayout,
    QWidget,
)

from app.window.canvas import MapCanvas
from app.window.lines import Banner, Title
from app.window.pane import Pane
from app.window.tasks import EVERY, Task, TaskBar

PLACES = (
    "over the left",
    "left",
    "over the maps",
    "beside the maps",
    "instead of the maps",
    "under the maps",
    "below",
    "right",
)


@dataclass(frozen=True)
class Placed:
    """A panel, where it stands (one of :data:`PLACES`), and the tasks it is shown in.

    One that is shown in every task may hide by itself; the others are shown and hidden with their tasks.
    """

    place: str
    panel: QWidget
    tasks: tuple[Task, ...] = EVERY


class Middle(QWidget):
    """The middle of the window: tasks, panes under their titles, the panels around them, the message over all of it.

    Panels below share one place, and so do those to the left and to the right.
    """

    def __init__(
        self,
        message: Banner,
        tasks: TaskBar,
        panes: Sequence[Pane],
        titles: dict[str, Title],
        panels: Sequence[Placed],
    ) -> None:
        super().__init__()
        self._panels = tuple(panels)
        self._tabs = {
            place: _Tabs(self._at(place), scrolled=place == "left")
            for place in ("left", "below", "right")
        }
        self._maps, self._panes = QStackedWidget(), self._beside_each_other(panes, titles)
        self._maps.addWidget(self._panes)
        for panel in self._at("instead of the maps"):
            self._maps.addWidget(panel)
        middle = QSplitter(Qt.Orientation.Vertical)
        over, under = self._at("over the maps"), self._at("under the maps")
        middle.addWidget(_column(*over, self._maps, *under))
        middle.addWidget(self._tabs["below"])
        middle.setStretchFactor(0, 1)
        middle.setSizes([900, 170])
        side = _column(*self._at("over the left"), self._tabs["left"])
        side.setMinimumWidth(272)
        body = QSplitter(Qt.Orientation.Horizontal)
        for part in (side, middle, self._tabs["right"]):
            body.addWidget(part)
        body.setStretchFactor(1, 1)
        body.setSizes([272, 1000, 320])
        for splitter, name in ((middle, "middle"), (body, "body")):
            splitter.setObjectName(f"{name} splitter")
        column = QVBoxLayout(self)
        column.setContentsMargins(2, 2, 2, 2)
        column.setSpacing(3)
        column.addWidget(tasks)
        column.addWidget(body, 1)
        message.lie_over(self)

    def _at(self, place: str) -> list[QWidget]:
        return [p.panel for p in self._panels if p.place == place]

    def _beside_each_other(self, panes: Sequence[Pane], titles: dict[str, Title]) -> QSplitter:
        maps = QSplitter(Qt.Orientation.Horizontal)
        maps.setObjectName("maps splitter")
        for pane in panes:
            maps.addWidget(_column(titles[pane.name], pane.canvas))
        for panel in self._at("beside the maps"):
            maps.addWidget(panel)
            maps.setStretchFactor(maps.count() - 1, 0)
        # A strip of heights needs less room than a map.
        maps.setSizes([500] * len(panes) + [230] * (maps.count() - len(panes)))
        return maps

    def show_task(self, task: Task) -> None:
        """Show the panels of a task and no others."""
        in_front: QWidget = self._panes
        for place, tabs in self._tabs.items():
            tabs.show_task(
                task, {p.panel for p in self._panels if p.place == place and task in p.tasks}
            )
        for placed in self._panels:
            here = task in placed.tasks
            if placed.tasks == EVERY or placed.place in self._tabs:
                continue
            if placed.place == "instead of the maps":
                in_front = placed.panel if here else in_front
            else:
                placed.panel.setVisible(here)
        self._maps.setCurrentWidget(in_front)


class _Tabs(QTabWidget):
    """Panels that share one place, each with a tab of its accessible name; one alone has no tab, none take no place.

    A task begins with the first of its panels, and later shows the one that was in front when it was left.
    """

    def __init__(self, panels: Sequence[QWidget], *, scrolled: bool = False) -> None:
        super().__init__()
        self._pages = {panel: _scrolled(panel) if scrolled else panel for panel in panels}
        self._task: Task | None = None
        self._left: dict[Task, QWidget | None] = {}
        self.setDocumentMode(True)
        for panel, page in self._pages.items():
            self.addTab(page, panel.accessibleName())

    def show_task(self, task: Task, panels: Set[QWidget]) -> None:
        """Show the tabs of some panels, those of a task."""
        if self._task is not None:
            self._left[self._task] = self.currentWidget()
        shown = [page for panel, page in self._pages.items() if panel in panels]
        for page in self._pages.values():
            self.setTabVisible(self.indexOf(page), page in shown)
        if shown:
            before = self._left.get(task)
            self.setCurrentWidget(before if before is not None and before in shown else shown[0])
        self.tabBar().setVisible(len(shown) > 1)
        self.setVisible(bool(shown))
        self._task = task


def _scrolled(panel: QWidget) -> QWidget:
    """Return a panel that scrolls up and down where there is no room for all of it, and is as wide as it has to be."""
    area = QScrollArea()
    area.setWidget(panel)
    area.setWidgetResizable(True)
    area.setFrameShape(QFrame.Shape.NoFrame)
    area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
    area.setMinimumWidth(
        panel.minimumSizeHint().width() + area.verticalScrollBar().sizeHint().width()
    )
    return area


def plain(root: QWidget) -> None:
    """Take the text of every label as it is: names come from people and are no mark-up."""
    for label in root.findChildren(QLabel):
        label.setTextFormat(Qt.TextFormat.PlainText)


def _column(*widgets: QWidget) -> QWidget:
    """Return the widgets one above the other; a canvas or the stack of maps takes the room."""
    box = QWidget()
    column = QVBoxLayout(box)
    column.setContentsMargins(2, 2, 2, 2)
    column.setSpacing(3)
    for widget in widgets:
        column.addWidget(widget, int(isinstance(widget, MapCanvas | QStackedWidget | QTabWidget)))
    return box
