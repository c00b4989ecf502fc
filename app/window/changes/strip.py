"""Over the maps of the Changes task: what is compared with what, and how it is looked at."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Signal
from PySide6.QtWidgets import (
    QButtonGroup,
    QComboBox,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QSizePolicy,
    QVBoxLayout,
    QWidget,
)

from app.window.changes.compared import WAYS, Compared, Source
from app.window.panels.panel import Panel

ANOTHER = "another file…"
_CHOSEN = (
    "QPushButton:checked { background: palette(highlight); color: palette(highlighted-text); "
    "border: 1px solid palette(highlight); border-radius: 2px; padding: 3px 1px }"
)
_TIPS = {
    "before": "The state before alone (F8 switches)",
    "after": "The state after alone (F8 switches)",
    "side by side": "Both beside each other, moved as one (F9)",
    "wipe": "Before left of an edge, after right of it: drag it, or Ctrl+, and Ctrl+. (Shift+F9)",
    "difference": "What rose and what fell (F7; Shift+F7 turns from dB to percent points)",
}


class ChangeStrip(QWidget, Panel):
    """Two lines. ``source_chosen`` carries 0 or 1 and a source, ``another_wanted`` 0 or 1, ``way_chosen`` one of WAYS,
    ``quantity_chosen`` and ``planes_chosen`` their words."""

    source_chosen = Signal(int, object)
    another_wanted = Signal(int)
    swapped = Signal()
    way_chosen = Signal(str)
    quantity_chosen = Signal(str)
    planes_chosen = Signal(str)

    def __init__(self) -> None:
        super().__init__()
        self.setObjectName("change strip")
        self.setAccessibleName("What is compared, and how it is shown")
        self.ends = (_combo("before", "State before"), _combo("after", "State after"))
        self._sources: tuple[Source, ...] = ()
        self.swap = QPushButton("S&wap")
        self.swap.setToolTip("Exchange before and after (Ctrl+Shift+X)")
        self.swap.clicked.connect(self.swapped)
        first = QHBoxLayout()
        for i, (text, box) in enumerate(zip(("Be&fore", "Af&ter"), self.ends, strict=True)):
            label = QLabel(text)
            label.setBuddy(box)
            first.addWidget(label)
            first.addWidget(box, 1)
            if i == 0:
                first.addWidget(self.swap)
            box.activated.connect(lambda at, i=i: self._chosen(i, at))
        self.ways = QButtonGroup(self)
        second = QHBoxLayout()
        for way in WAYS:
            button = QPushButton(way.capitalize())
            button.setObjectName(f"show {way}")
            button.setCheckable(True)
            button.setToolTip(_TIPS[way])
            button.setStyleSheet(_CHOSEN)
            button.clicked.connect(lambda _=False, way=way: self.way_chosen.emit(way))
            self.ways.addButton(button, WAYS.index(way))
            second.addWidget(button)
        self.quantity = _combo("quantity", "Unit of the difference")
        self.quantity.addItem("in dB", "decibels")
        self.quantity.addItem("in percent points", "points")
        self.quantity.activated.connect(
            lambda: self.quantity_chosen.emit(self.quantity.currentData())
        )
        self.planes = _combo("planes", "Maps shown")
        for text, data in (("both maps", "both"), ("plan", "plan"), ("elevation", "elevation")):  # fmt: skip
            self.planes.addItem(text, data)
        self.planes.activated.connect(lambda: self.planes_chosen.emit(self.planes.currentData()))
        second.addWidget(self.quantity)
        second.addStretch(1)
        second.addWidget(self.planes)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(3)
        for line in (first, second):
            line.setSpacing(4)
            column.addLayout(line)

    def offer(self, sources: Sequence[Source], *, edited: bool) -> None:
        """Offer what can be compared; ``edited`` says that this site has changes that are not saved."""
        self._sources = tuple(sources)
        for box in self.ends:
            box.clear()
            for source in self._sources:
                more = ", with what is not saved" if edited and source.path is None else ""
                box.addItem(f"{source.words}{more}")
            box.addItem(ANOTHER)

    def show_compared(self, compared: Compared) -> None:
        """Show what is compared, and how."""
        for box, one in zip(self.ends, compared.ends, strict=True):
            if one.source in self._sources:
                box.setCurrentIndex(self._sources.index(one.source))
            box.setToolTip(box.currentText())
        self.ways.button(WAYS.index(compared.way)).setChecked(True)
        self.quantity.setCurrentIndex(self.quantity.findData(compared.quantity))
        self.quantity.setEnabled(compared.way == "difference")
        self.planes.setCurrentIndex(self.planes.findData(compared.planes))

    def _chosen(self, i: int, at: int) -> None:
        if at < len(self._sources):
            self.source_chosen.emit(i, self._sources[at])
        else:
            self.another_wanted.emit(i)


def _combo(name: str, said: str) -> QComboBox:
    box = QComboBox()
    box.setObjectName(f"change {name}")
    box.setAccessibleName(said)
    box.setMinimumContentsLength(8)
    box.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
    box.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Fixed)
    return box
