"""The fences of the site as a list: what each takes, whether it holds, and what can be done with it."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import (
    QAbstractItemView,
    QHBoxLayout,
    QHeaderView,
    QPushButton,
    QTableWidget,
    QTableWidgetItem,
    QVBoxLayout,
    QWidget,
)

from app.window.jobs import Worker
from app.window.panels.panel import Panel
from app.window.scene import Scene
from core.fences.fence import Check
from core.fences.site_fences import UNFENCED, Chain, chain
from core.site.places import Fence
from core.site.site import Site
from core.units import FOOT

COLUMNS = ("Fence", "holds back", "Length", "Corners", "Check", "Shuts in, open to the public")


class FenceList(QWidget, Panel):
    """One row a fence; ``fence_chosen`` and ``fence_removed`` carry its name."""

    fence_chosen = Signal(str)
    fence_removed = Signal(str)
    fit_wanted = Signal()
    refused = Signal(str)

    def __init__(self) -> None:
        super().__init__()
        self.setObjectName("fences")
        self.setAccessibleName("Fences")
        self.table = _Table()
        self.table.removed.connect(self._remove)
        self.table.shown.connect(self._show_on_map)
        self.table.itemSelectionChanged.connect(self._selected)
        self.fit = _button("&Fit for the tier shown", "Fit fences and stops of ladders (Ctrl+F)")
        self.show_it = _button("Sho&w on the map", "Mark the selected fence (Enter)")
        self.remove = _button("&Remove", "Remove the selected fence (Delete); undo brings it back")
        self.fit.clicked.connect(self.fit_wanted)
        self.show_it.clicked.connect(self._show_on_map)
        self.remove.clicked.connect(self._remove)
        buttons = QVBoxLayout()
        for button in (self.fit, self.show_it, self.remove):
            buttons.addWidget(button)
        buttons.addStretch(1)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.addWidget(self.table, 1)
        row.addLayout(buttons)
        self.worker = Worker()
        self.worker.done.connect(self._take)
        self.worker.failed.connect(self.refused)
        self._scene: Scene | None = None
        self._chains: dict[str, Chain] = {}
        self._drawn: tuple[object, ...] = ()
        self._selected()

    def show_scene(self, scene: Scene) -> None:
        """Follow the fences and their checks."""
        self._scene = scene
        site = scene.site
        drawn = (site.fences, site.surfaces, site.structures, site.access_points)
        if drawn != self._drawn:
            self._drawn, self._chains = drawn, {}
            self.worker.submit(_measure(site))
        self._fill()

    def stop(self) -> None:
        """Stop any work."""
        self.worker.close()

    def name(self) -> str:
        """Return the name of the selected fence, empty where none is."""
        row = self.table.currentRow()
        item = self.table.item(row, 0) if row >= 0 else None
        return item.text() if item is not None and item.isSelected() else ""

    def _take(self, chains: dict[str, Chain] | None) -> None:
        self._chains = chains or {}
        self._fill()

    def _fill(self) -> None:
        scene, kept = self._scene, self.name()
        if scene is None:
            return
        self.table.blockSignals(True)
        self.table.setRowCount(len(scene.site.fences))
        for r, fence in enumerate(scene.site.fences):
            texts = row_of(scene.site, fence, self._chains, scene.checks, feet=scene.look.feet)
            for c, text in enumerate(texts):
                item = QTableWidgetItem(text)
                item.setFlags(Qt.ItemFlag.ItemIsEnabled | Qt.ItemFlag.ItemIsSelectable)
                self.table.setItem(r, c, item)
            if fence.name == kept:
                self.table.selectRow(r)
        self.table.blockSignals(False)
        self._selected(tell=False)

    def _selected(self, *, tell: bool = True) -> None:
        name = self.name()
        for button in (self.show_it, self.remove):
            button.setEnabled(bool(name))
        if name and tell:
            self.fence_chosen.emit(name)

    def _show_on_map(self) -> None:
        if self.name():
            self.fence_chosen.emit(self.name())

    def _remove(self) -> None:
        row, name = self.table.currentRow(), self.name()
        if name:
            self.fence_removed.emit(name)
            self.table.selectRow(min(row, self.table.rowCount() - 1))


class _Table(QTableWidget):
    """The table; ``removed`` and ``shown`` are keys on the selected row."""

    removed = Signal()
    shown = Signal()

    def __init__(self) -> None:
        super().__init__(0, len(COLUMNS))
        self.setObjectName("fence table")
        self.setAccessibleName("Fences of the site")
        self.setHorizontalHeaderLabels(COLUMNS)
        self.verticalHeader().hide()
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.setAlternatingRowColors(True)
        self.horizontalHeader().setSectionResizeMode(QHeaderView.ResizeMode.ResizeToContents)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        key = event.key()
        if key in (Qt.Key.Key_Delete, Qt.Key.Key_Backspace):
            self.removed.emit()
        elif key in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.shown.emit()
        else:
            super().keyPressEvent(event)


def row_of(
    site: Site,
    fence: Fence,
    chains: Mapping[str, Chain],
    checks: Mapping[str, Check],
    *,
    feet: bool,
) -> tuple[str, ...]:
    """Return what the list says of a fence, a text for each of :data:`COLUMNS`."""
    unit, scale = ("ft", FOOT) if feet else ("m", 1.0)
    one, check = chains.get(fence.name), checks.get(fence.name)
    if fence.outline:
        length = "…" if one is None else f"{one.length / scale:.1f} {unit}, {one.posts} posts"
        corners = str(len(fence.outline))
    else:
        length = f"{sum(b - a for a, b in fence.stops) / scale:.1f} {unit} of {fence.ladder}"
        corners = "1 span" if len(fence.stops) == 1 else f"{len(fence.stops)} spans"
    said = check.words(feet=feet) if check is not None else "not checked yet"
    unfenced = checks.get(UNFENCED)
    if check is not None and check.holds and unfenced is not None:
        said += "; other parts of the zone have no fence"
    return (
        fence.name,
        f"{100.0 * fence.threshold:g} % of {site.limit_set} {fence.tier}",
        length,
        corners,
        said,
        ", ".join(one.shut_in) if one is not None else "",
    )


def _measure(
    site: Site,
) -> Callable[[Callable[[], bool], Callable[[dict[str, Chain]], None]], None]:
    def work(_: Callable[[], bool], emit: Callable[[dict[str, Chain]], None]) -> None:
        emit({f.name: chain(site, f) for f in site.fences if f.outline})

    return work


def _button(text: str, tip: str) -> QPushButton:
    button = QPushButton(text)
    button.setToolTip(tip)
    return button
