"""What on the site should be looked at, a row each; choosing one goes there."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import (
    QAbstractItemView,
    QHeaderView,
    QTableWidget,
    QTableWidgetItem,
)

from app.window.jobs import Worker
from app.window.panels.panel import Panel
from app.window.scene import Scene
from core.reading.doubt import Doubt
from core.reading.doubts import all_doubts
from core.site.site import Site

COLUMNS = ("About", "What should be looked at")
NONE = "Nothing on the site is doubtful."


class DoubtList(QTableWidget, Panel):
    """``doubts_found`` carries all doubts of the site, ``doubt_chosen`` the one of the chosen row."""

    doubts_found = Signal(object)
    doubt_chosen = Signal(object)

    def __init__(self) -> None:
        super().__init__(0, len(COLUMNS))
        self.setObjectName("doubts")
        self.setAccessibleName("Doubts")
        self.setHorizontalHeaderLabels(COLUMNS)
        self.verticalHeader().hide()
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.setAlternatingRowColors(True)
        self.setWordWrap(True)
        header = self.horizontalHeader()
        header.setSectionResizeMode(0, QHeaderView.ResizeMode.ResizeToContents)
        header.setSectionResizeMode(1, QHeaderView.ResizeMode.Stretch)
        self.verticalHeader().setSectionResizeMode(QHeaderView.ResizeMode.ResizeToContents)
        self.doubts: tuple[Doubt, ...] = ()
        self._asked: Site | None = None
        self._filling = False
        self.worker = Worker()
        self.worker.done.connect(self._found)
        # A site that cannot be computed is said where it is edited.
        self.worker.failed.connect(lambda _: self._found(()))
        self.itemSelectionChanged.connect(self._chosen)
        # A second click on the chosen row goes there again.
        self.itemClicked.connect(lambda _: self._chosen())

    def show_scene(self, scene: Scene) -> None:
        """Look for doubts anew where the site is another one, while it is worked on."""
        if scene.task != "site" or scene.site is self._asked:
            return
        self._asked = site = scene.site

        def work(_: Callable[[], bool], emit: Callable[[Any], None]) -> None:
            emit(tuple(all_doubts(site)))

        self.worker.submit(work)

    def stop(self) -> None:
        """Stop any work."""
        self.worker.close()

    def _found(self, doubts: tuple[Doubt, ...]) -> None:
        if doubts != self.doubts or not self.rowCount():
            self.doubts = doubts
            self._fill()
        self.doubts_found.emit(doubts)

    def _fill(self) -> None:
        kept = self.picked()
        self._filling = True
        self.clearSelection()
        self.setRowCount(max(len(self.doubts), 1))
        rows = [(about(d), d.line.removeprefix(f"{d.name}: ")) for d in self.doubts] or [("", NONE)]
        for r, texts in enumerate(rows):
            for c, text in enumerate(texts):
                item = QTableWidgetItem(text)
                item.setFlags(Qt.ItemFlag.ItemIsEnabled | Qt.ItemFlag.ItemIsSelectable)
                self.setItem(r, c, item)
        if kept in self.doubts:
            self.selectRow(self.doubts.index(kept))
        self._filling = False

    def picked(self) -> Doubt | None:
        """Return the doubt of the chosen row."""
        rows = self.selectionModel().selectedRows()
        row = rows[0].row() if rows else -1
        return self.doubts[row] if 0 <= row < len(self.doubts) else None

    def _chosen(self) -> None:
        doubt = self.picked()
        if doubt is not None and not self._filling:
            self.doubt_chosen.emit(doubt)


def about(doubt: Doubt) -> str:
    """Return what a doubt is about, in words."""
    return f"{doubt.thing} {doubt.name}".strip()
