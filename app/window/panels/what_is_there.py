"""What is there: every part of the site as a list, and the form of the chosen one under it."""

from __future__ import annotations

from PySide6.QtCore import QModelIndex, Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import (
    QComboBox,
    QHBoxLayout,
    QHeaderView,
    QPushButton,
    QTreeWidget,
    QTreeWidgetItem,
    QVBoxLayout,
    QWidget,
)

from app.modes.shape_kinds import DRAWN, GROUP_TITLES, kind_of
from app.window.panels.panel import Panel
from app.window.panels.shape_form import ShapeForm
from app.window.scene import Scene
from core.site.parts import GROUPS, Part, parts, value_of
from core.site.places import Structure, Surface
from core.site.site import Site
from core.units import show_length

_ROWS = 11
"""Rows of the list that are seen without scrolling."""


class WhatIsThere(QWidget, Panel):
    """``part_chosen`` carries a part; ``draw_wanted`` the key of a kind of shape; the others are buttons."""

    part_chosen = Signal(object)
    draw_wanted = Signal(str)
    handle_wanted = Signal()
    copy_wanted = Signal()
    remove_wanted = Signal()
    picture_wanted = Signal()
    points_wanted = Signal()
    refused = Signal(str)

    def __init__(self) -> None:
        super().__init__()
        self.setObjectName("what is there")
        self.setAccessibleName("What is there")
        self._scene: Scene | None = None
        self._listed: tuple[object, ...] = ()
        self.kind = QComboBox()
        self.kind.setAccessibleName("What to draw")
        for one in DRAWN:
            self.kind.addItem(one.title, one.key)
        self.draw = _button("&Draw", "Draw a shape of this kind on the plan (Ctrl+J draws another)")
        self.draw.clicked.connect(lambda: self.draw_wanted.emit(self.kind.currentData()))
        self.list = _List()
        self.list.currentItemChanged.connect(self._chosen)
        self.list.removed.connect(self.remove_wanted)
        self.form = ShapeForm()
        self.form.refused.connect(self.refused)
        self.list.opened.connect(self.form.focus_name)
        buttons = QHBoxLayout()
        for text, tip, signal in (
            (
                "&Move",
                "Take shapes into the hand, on the elevation their heights (Ctrl+Shift+M)",
                self.handle_wanted,
            ),
            ("&Copy", "Copy it, a little to the side (Ctrl+Shift+D)", self.copy_wanted),
            ("Remove", "Remove it (Delete in the list); undo brings it back", self.remove_wanted),
        ):
            made = _button(text, tip)
            made.clicked.connect(signal)
            buttons.addWidget(made)
        self.picture = _button("Plan &picture…", "Place a picture under the plan (Ctrl+I)")
        self.picture.clicked.connect(self.picture_wanted)
        self.points = _button(
            "By two points", "Scale and place the picture by two points of it (Ctrl+Shift+I)"
        )
        self.points.clicked.connect(self.points_wanted)
        top, pictures = QHBoxLayout(), QHBoxLayout()
        top.addWidget(self.kind, 1)
        top.addWidget(self.draw)
        pictures.addWidget(self.picture)
        pictures.addWidget(self.points)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(4)
        column.addLayout(top)
        column.addWidget(self.list)
        column.addLayout(buttons)
        column.addLayout(pictures)
        column.addWidget(self.form)
        self.setFocusProxy(self.list)

    # what is shown ---------------------------------------------------------------------------------

    def show_scene(self, scene: Scene) -> None:
        """Follow the parts of the site and which is chosen."""
        self._scene = scene
        site = scene.site
        listed = (*(_shown(site, p, feet=scene.look.feet) for p in parts(site)), site.name)
        if listed != self._listed:
            self._listed = listed
            self._fill(site, feet=scene.look.feet)
        self.list.mark(scene.part)
        self.points.setEnabled(site.picture is not None)
        self.form.show_part(site, scene.part, feet=scene.look.feet)

    def _fill(self, site: Site, *, feet: bool) -> None:
        self.list.blockSignals(True)
        self.list.clear()
        for group in GROUPS:
            here = [p for p in parts(site) if p.group == group]
            if group in ("site", "picture"):
                self.list.addTopLevelItems([_item(p, _shown(site, p, feet=feet)) for p in here])
                continue
            top = QTreeWidgetItem([GROUP_TITLES[group], str(len(here)) if here else "none"])
            top.setFlags(Qt.ItemFlag.ItemIsEnabled)
            self.list.addTopLevelItem(top)
            top.addChildren([_item(p, _shown(site, p, feet=feet)) for p in here])
        self.list.expandAll()
        self.list.blockSignals(False)

    def _chosen(self, item: QTreeWidgetItem | None) -> None:
        part = item.data(0, Qt.ItemDataRole.UserRole) if item is not None else None
        if isinstance(part, Part):
            self.part_chosen.emit(part)


class _List(QTreeWidget):
    """The list; ``removed`` and ``opened`` are keys on a part."""

    removed = Signal()
    opened = Signal()

    def __init__(self) -> None:
        super().__init__()
        self.setObjectName("parts")
        self.setAccessibleName("Parts of the site")
        self.setColumnCount(2)
        self.setHeaderHidden(True)
        self.setIndentation(12)
        self.setRootIsDecorated(False)
        self.setUniformRowHeights(True)
        self.setMinimumHeight(self.fontMetrics().height() * _ROWS + 18)
        header = self.header()
        header.setStretchLastSection(False)
        header.setSectionResizeMode(0, QHeaderView.ResizeMode.Stretch)
        header.setSectionResizeMode(1, QHeaderView.ResizeMode.ResizeToContents)
        self.itemDoubleClicked.connect(lambda _: self.opened.emit())

    def mark(self, part: Part | None) -> None:
        """Let the row of a part be the current one, without telling."""
        now = self.currentItem()
        if (now.data(0, Qt.ItemDataRole.UserRole) if now is not None else None) == part:
            return
        self.blockSignals(True)
        found = next(
            (i for i in self._items() if i.data(0, Qt.ItemDataRole.UserRole) == part), None
        )
        if part is None or found is None:
            self.setCurrentIndex(QModelIndex())
        else:
            self.setCurrentItem(found)
            self.scrollToItem(found)
        self.blockSignals(False)

    def _items(self) -> list[QTreeWidgetItem]:
        out: list[QTreeWidgetItem] = []
        for top in (self.topLevelItem(i) for i in range(self.topLevelItemCount())):
            if top is not None:
                below = (top.child(i) for i in range(top.childCount()))
                out += [top, *(item for item in below if item is not None)]
        return out

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in (Qt.Key.Key_Delete, Qt.Key.Key_Backspace):
            self.removed.emit()
        elif event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.opened.emit()
        else:
            super().keyPressEvent(event)


def _shown(site: Site, part: Part, *, feet: bool) -> tuple[str, str]:
    """Return what the list says of a part: its name, and its kind or height."""
    value = value_of(site, part)
    assert value is not None
    kind = kind_of(value)
    if isinstance(value, Surface):
        return part.name, show_length(value.height, feet=feet)
    if isinstance(value, Structure):
        return part.name, show_length(value.top, feet=feet)
    if part.group == "site":
        return value.name if isinstance(value, Site) else "", ""
    return part.name or kind.title, kind.title.lower() if part.name else ""


def _item(part: Part, texts: tuple[str, str]) -> QTreeWidgetItem:
    item = QTreeWidgetItem(list(texts))
    item.setData(0, Qt.ItemDataRole.UserRole, part)
    for column, text in enumerate(texts):
        item.setToolTip(column, ", ".join(t for t in texts if t) or text)
    return item


def _button(text: str, tip: str) -> QPushButton:
    button = QPushButton(text)
    button.setToolTip(tip)
    return button
