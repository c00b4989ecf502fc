"""The corners of a shape as a table: typed, pasted, put in and taken out."""

from __future__ import annotations

import re
from typing import Any

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QBrush, QColor, QGuiApplication, QKeyEvent, QKeySequence
from PySide6.QtWidgets import (
    QAbstractItemView,
    QComboBox,
    QHBoxLayout,
    QHeaderView,
    QPushButton,
    QTableWidget,
    QTableWidgetItem,
    QVBoxLayout,
    QWidget,
)

from app.window.typed import length
from core.errors import InputError
from core.site.moving import tidy
from core.units import FOOT

_WRONG, _WRONG_INK = QColor("#f4d9e6"), QColor("#5a0933")
_MOST_ROWS = 7
"""Rows that are seen without scrolling."""

Rings = tuple[tuple[tuple[float, ...], ...], ...]


class CornerTable(QWidget):
    """One ring of places at a time; ``committed`` says that somebody has changed one."""

    committed = Signal()

    def __init__(self) -> None:
        super().__init__()
        self._rings: list[list[tuple[float, ...]]] = [[]]
        self._feet = False
        self._filling = False
        self.ring = QComboBox()
        self.ring.setAccessibleName("Outline or hole")
        self.ring.currentIndexChanged.connect(self._fill)
        self.table = _Table()
        self.table.itemChanged.connect(self._edited)
        self.table.put_in.connect(self.put_in)
        self.table.taken_out.connect(self.take_out)
        self.table.pasted.connect(self.paste)
        self.more = _button("Put in", "A corner after this one (Insert)", self.put_in)
        self.less = _button("Take out", "This corner (Delete)", self.take_out)
        self.fill_hole = _button("Fill hole", "Take this hole out", self._fill_hole)
        buttons = QHBoxLayout()
        for button in (self.more, self.less, self.fill_hole):
            buttons.addWidget(button)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(3)
        column.addWidget(self.ring)
        column.addWidget(self.table)
        column.addLayout(buttons)
        self.setFocusProxy(self.table)

    # what is shown ---------------------------------------------------------------------------------

    def show_rings(self, rings: Rings, *, feet: bool) -> None:
        """Show rings of places in m; the ring that was shown stays, where there is still one."""
        shown = max(self.ring.currentIndex(), 0)
        self._rings, self._feet = [list(ring) for ring in rings], feet
        self.ring.blockSignals(True)
        self.ring.clear()
        self.ring.addItems(["Outline", *(f"Hole {i}" for i in range(1, len(rings)))])
        self.ring.setCurrentIndex(min(shown, len(rings) - 1))
        self.ring.blockSignals(False)
        self.ring.setVisible(len(rings) > 1)
        self._fill()

    def _fill(self) -> None:
        ring, row, column = self._ring(), self.table.currentRow(), self.table.currentColumn()
        scale, unit = (FOOT, "ft") if self._feet else (1.0, "m")
        self._filling = True
        self.table.setColumnCount(len(ring[0]) if ring else 2)
        self.table.setHorizontalHeaderLabels([f"{axis}, {unit}" for axis in "xyz"])
        self.table.setRowCount(len(ring))
        for r, place in enumerate(ring):
            for c, value in enumerate(place):
                item = QTableWidgetItem(f"{value / scale:.10g}")
                item.setData(Qt.ItemDataRole.UserRole, (value, item.text()))
                item.setTextAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
                self.table.setItem(r, c, item)
        if ring and row >= 0:
            self.table.setCurrentCell(min(row, len(ring) - 1), max(column, 0))
        self._filling = False
        rows = min(max(len(ring), 2), _MOST_ROWS)
        height = self.table.verticalHeader().defaultSectionSize() * rows
        self.table.setFixedHeight(height + self.table.horizontalHeader().sizeHint().height() + 6)
        self.fill_hole.setVisible(self.ring.currentIndex() > 0)

    def _ring(self) -> list[tuple[float, ...]]:
        return self._rings[max(self.ring.currentIndex(), 0)]

    # what is typed ---------------------------------------------------------------------------------

    def read(self) -> Rings:
        """Return the rings in m as they stand.

        Raises
        ------
        InputError
            Naming the row and the column of the first text that is no length.
        """
        ring = []
        for r in range(self.table.rowCount()):
            ring.append(tuple(self._cell(r, c) for c in range(self.table.columnCount())))
        shown = max(self.ring.currentIndex(), 0)
        rings = [*self._rings[:shown], ring, *self._rings[shown + 1 :]]
        return tuple(tuple(one) for one in rings)

    def _cell(self, row: int, column: int) -> float:
        item = self.table.item(row, column)
        text = item.text() if item is not None else ""
        known: Any = item.data(Qt.ItemDataRole.UserRole) if item is not None else None
        if known is not None and text == known[1]:
            return float(known[0])
        try:
            return tidy(length(text, feet=self._feet))
        except InputError as error:
            raise error.within(f"row {row + 1}, {'xyz'[column]}") from None

    def _edited(self, item: QTableWidgetItem) -> None:
        if self._filling:
            return
        self._filling = True
        try:
            self._cell(item.row(), item.column())
            why = ""
        except InputError as error:
            why = error.line()
        item.setToolTip(why)
        item.setBackground(QBrush(_WRONG) if why else QBrush())
        item.setForeground(QBrush(_WRONG_INK) if why else QBrush())
        self._filling = False
        self.committed.emit()

    def put_in(self) -> None:
        """Put a place in after the one that is selected, halfway to the next."""
        rings = self._as_they_are()
        if rings is None:
            return
        ring, at = self._ring(), max(self.table.currentRow(), 0)
        after = ring[(at + 1) % len(ring)]
        new = tuple(tidy((a + b) / 2.0) for a, b in zip(ring[at], after, strict=True))
        ring.insert(at + 1, new)
        self._fill()
        self.table.setCurrentCell(at + 1, 0)
        self.committed.emit()

    def take_out(self) -> None:
        """Take the selected place out."""
        row = self.table.currentRow()
        if row >= 0 and self._as_they_are() is not None:
            del self._ring()[row]
            self._fill()
            self.committed.emit()

    def paste(self, text: str) -> None:
        """Take rows of a spreadsheet, a place each, in the place of all that is shown."""
        rows = [re.split(r"\t|;|,\s", line.strip()) for line in text.splitlines() if line.strip()]
        self._filling = True
        self.table.setRowCount(len(rows))
        for r, cells in enumerate(rows):
            for c in range(self.table.columnCount()):
                self.table.setItem(
                    r, c, QTableWidgetItem(cells[c].strip() if c < len(cells) else "")
                )
        self._filling = False
        self.committed.emit()

    def _fill_hole(self) -> None:
        shown = self.ring.currentIndex()
        if shown > 0:
            del self._rings[shown]
            self.show_rings(tuple(tuple(ring) for ring in self._rings), feet=self._feet)
            self.committed.emit()

    def _as_they_are(self) -> Rings | None:
        """Take over what is typed; None where it cannot be read, which is said then."""
        try:
            rings = self.read()
        except InputError:
            self.committed.emit()
            return None
        self._rings = [list(ring) for ring in rings]
        return rings


class _Table(QTableWidget):
    """The table; its signals are keys."""

    put_in = Signal()
    taken_out = Signal()
    pasted = Signal(str)

    def __init__(self) -> None:
        super().__init__(0, 2)
        self.setAccessibleName("Corners")
        self.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.verticalHeader().setDefaultSectionSize(22)
        self.horizontalHeader().setSectionResizeMode(QHeaderView.ResizeMode.Stretch)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.matches(QKeySequence.StandardKey.Paste):
            self.pasted.emit(QGuiApplication.clipboard().text())
        elif event.key() == Qt.Key.Key_Insert:
            self.put_in.emit()
        elif event.key() == Qt.Key.Key_Delete:
            self.taken_out.emit()
        else:
            super().keyPressEvent(event)


def _button(text: str, tip: str, does: Any) -> QPushButton:
    button = QPushButton(text)
    button.setToolTip(tip)
    button.setAccessibleName(f"{text}: {tip}")
    button.clicked.connect(lambda _=False: does())
    return button
