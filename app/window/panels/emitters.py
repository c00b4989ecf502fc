"""The list of emitters: state and power act at once."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from html import escape

from PySide6.QtCore import QEvent, QItemSelectionModel, Qt, Signal
from PySide6.QtGui import QBrush, QColor, QKeyEvent, QKeySequence
from PySide6.QtWidgets import (
    QAbstractItemView,
    QComboBox,
    QHeaderView,
    QTableWidget,
    QTableWidgetItem,
    QWidget,
)

from app.window import tones
from app.window.document import Document
from app.window.panels.panel import Panel
from app.window.scene import Scene
from app.window.typed import number, quantity
from core.errors import InputError
from core.reading.doubt import Doubt
from core.site.arranging import renamed
from core.site.site import Carrier, Condition, Power, Site, State
from core.units import show_frequency, show_power

COLUMNS = (
    "No.",
    "Antenna",
    "Carrier",
    "Frequency",
    "Power",
    "entered as",
    "State",
    "reduced to, %",
)
_NUMBER, _NAME, _POWER, _STATE, _PERCENT = 0, 1, 4, 6, 7
_WRONG, _WRONG_INK = QColor("#f4d9e6"), QColor("#5a0933")
"""Ground and ink of a text that was refused."""
_SELECT = QItemSelectionModel.SelectionFlag.Select | QItemSelectionModel.SelectionFlag.Rows
_CLEAR = QItemSelectionModel.SelectionFlag.Clear


class EmitterTable(QTableWidget, Panel):
    """One row a carrier; the state belongs to the antenna and stands in its first row.

    ``chosen`` carries the index of the current antenna and those of all that are chosen, ``tool`` what a key asks
    to be done with them: ``copy``, ``paste`` or ``remove``.
    """

    refused = Signal(str)
    chosen = Signal(int, object)
    tool = Signal(str)

    def __init__(self, document: Document, parent: QWidget | None = None) -> None:
        super().__init__(0, len(COLUMNS), parent)
        self.document = document
        self._rows: list[tuple[int, int]] = []
        self._filling = False
        self._refused: dict[tuple[int, int], tuple[str, str]] = {}
        self._doubts: tuple[Doubt, ...] = ()
        self.setObjectName("emitters")
        self.setAccessibleName("Emitters")
        self.setHorizontalHeaderLabels(COLUMNS)
        self.verticalHeader().hide()
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.setSelectionMode(QAbstractItemView.SelectionMode.ExtendedSelection)
        self.setAlternatingRowColors(True)
        header = self.horizontalHeader()
        header.setSectionResizeMode(QHeaderView.ResizeMode.ResizeToContents)
        document.opened.connect(self._refused.clear)
        document.opened.connect(lambda: self.setCurrentCell(-1, -1))
        # A click on the chosen row chooses it again: a fence or a doubt may have been chosen since.
        self.itemClicked.connect(lambda _: self._chosen())
        document.site_changed.connect(self.show_site)
        self.itemChanged.connect(self._edited)
        self.itemSelectionChanged.connect(self._chosen)

    def show_site(self, site: Site) -> None:
        """Fill the table from a site; the selected row stays selected."""
        row = self.currentRow()
        self._filling = True
        before = self._rows
        self._rows = [(i, j) for i, a in enumerate(site.antennas) for j in range(len(a.carriers))]
        if self._rows != before:
            # The rows are others now: what was refused belongs to none of them.
            self._refused.clear()
        for r in range(len(self._rows), self.rowCount()):
            self._drop_state(r)
        self.setRowCount(len(self._rows))
        for r, (i, j) in enumerate(self._rows):
            self._fill(r, site, i, j)
        self._filling = False
        if 0 <= row < len(self._rows) and self.currentRow() != row:
            self.setCurrentCell(row, self.currentColumn() if self.currentColumn() >= 0 else 1)

    def show_scene(self, scene: Scene) -> None:
        """Follow the antenna that is marked on the maps, and what should be looked at."""
        if scene.doubts != self._doubts:
            self._doubts = scene.doubts
            self.show_site(self.document.site)
        antennas = self.document.site.antennas
        marked = next((i for i, a in enumerate(antennas) if a.name == scene.selected), None)
        if marked is not None and marked not in self.selected_antennas():
            self._filling = True
            self.select([marked])
            self._filling = False

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.PaletteChange and self._rows:
            self.show_site(self.document.site)

    def _fill(self, r: int, site: Site, i: int, j: int) -> None:
        antenna = site.antennas[i]
        carrier = antenna.carriers[j]
        value, form = entered(carrier)
        texts = (
            str(i + 1) if j == 0 else "",
            antenna.name if j == 0 else "",
            carrier.name,
            show_frequency(carrier.frequency),
            show_power(value),
            form,
        )
        about = (antenna.kind.TITLE, antenna.owner, antenna.contact, antenna.remark)
        tip = "<br>".join(f"<span>{escape(t)}</span>" for t in about if t)
        ink = QBrush(tones.quiet(self.palette())) if antenna.state.factor == 0.0 else None
        for c, text in enumerate(texts):
            editable = c == _POWER or (c == _NAME and j == 0)
            self._put(r, c, text, editable=editable, tip=tip, ink=ink)
        doubts = [d.line for d in self._doubts if d.thing == "antenna" and d.name == antenna.name]
        if doubts and j == 0:
            tip = "<br>".join(f"<span>{escape(line)}</span>" for line in doubts)
            self._put(r, _NUMBER, f"{i + 1} ⚠", editable=False, tip=tip, ink=ink)
        if j == 0:
            self._put_state(r, i, antenna.state)
        else:
            self._drop_state(r)
        reduced = antenna.state.condition is Condition.REDUCED and j == 0
        percent = f"{antenna.state.percent:g}" if reduced else ""
        self._put(r, _PERCENT, percent, editable=reduced)

    def _put(
        self, r: int, c: int, text: str, *, editable: bool, tip: str = "", ink: QBrush | None = None
    ) -> None:
        """Write into a cell. The cell itself stays: an editor may stand on it. So does a text that was refused."""
        item = self.item(r, c)
        if item is None:
            item = QTableWidgetItem()
            self.setItem(r, c, item)
        flags = Qt.ItemFlag.ItemIsEnabled | Qt.ItemFlag.ItemIsSelectable
        item.setFlags(flags | Qt.ItemFlag.ItemIsEditable if editable else flags)
        wrong = self._refused.get((r, c)) if editable else None
        item.setText(text if wrong is None else wrong[0])
        item.setToolTip(tip if wrong is None else f"<span>{escape(wrong[1])}</span>")
        item.setData(Qt.ItemDataRole.BackgroundRole, None if wrong is None else QBrush(_WRONG))
        ink = ink if wrong is None else QBrush(_WRONG_INK)
        item.setData(Qt.ItemDataRole.ForegroundRole, ink)

    def _put_state(self, r: int, index: int, state: State) -> None:
        box = self.cellWidget(r, _STATE)
        if not isinstance(box, QComboBox) or box.property("antenna") != index:
            self._drop_state(r)
            box = self._state_box(index)
            self.setCellWidget(r, _STATE, box)
        box.setCurrentIndex(box.findData(state.condition.value))

    def _drop_state(self, r: int) -> None:
        """Take the box of a row away. Qt deletes it some time later: until then it must not be seen."""
        box = self.cellWidget(r, _STATE)
        if box is not None:
            box.hide()
            self.removeCellWidget(r, _STATE)

    def _state_box(self, index: int) -> QComboBox:
        box = QComboBox()
        box.setProperty("antenna", index)
        box.setAccessibleName(f"State of antenna {index + 1}")
        for condition in Condition:
            box.addItem(condition.value, condition.value)
        box.setToolTip(
            "Standby and unknown count as on, at full power. Off can come back; locked out cannot."
        )
        box.activated.connect(
            lambda _, b=box, i=index: self._state_chosen(i, Condition(b.currentData()))
        )
        return box

    def _state_chosen(self, index: int, condition: Condition) -> None:
        try:
            # Reduced, and to what nobody has said yet: nothing is taken off before it is.
            self.document.set_state(index, State(condition, 100.0))
        except InputError as error:
            self.refused.emit(error.line())
            return
        if condition is Condition.REDUCED:
            self.refused.emit("Reduced counts in full until the percent is typed beside it")

    def _edited(self, item: QTableWidgetItem) -> None:
        if self._filling:
            return
        cell = item.row(), item.column()
        i, j = self._rows[item.row()]
        self._refused.pop(cell, None)
        try:
            if item.column() == _POWER:
                carrier = self.document.site.antennas[i].carriers[j]
                self.document.set_power(
                    i, j, with_entered(carrier.power, quantity(item.text(), "power"))
                )
            elif item.column() == _NAME:
                old, new = self.document.site.antennas[i].name, item.text().strip()
                self.document.edit(f"rename {old} to {new}", lambda s: renamed(s, old, new))
                self.chosen.emit(i, self.selected_antennas())
            elif item.column() == _PERCENT:
                self.document.set_state(i, State(Condition.REDUCED, _percent(item.text())))
        except InputError as error:
            # What was typed stays, to be mended; the site stays as it is.
            self._refused[cell] = item.text(), error.line()
            self.refused.emit(error.line())
        self.show_site(self.document.site)

    def waiting(self) -> list[str]:
        """Return the antennas with a cell whose text was refused and waits to be mended."""
        antennas = self.document.site.antennas
        rows = sorted({row for row, _ in self._refused if row < len(self._rows)})
        return list(dict.fromkeys(antennas[self._rows[row][0]].name for row in rows))

    def selected_antennas(self) -> list[int]:
        """Return the indices of the antennas whose rows are selected."""
        rows = {index.row() for index in self.selectionModel().selectedRows()}
        return sorted({self._rows[row][0] for row in rows if row < len(self._rows)})

    def current_antenna(self) -> int | None:
        """Return the index of the antenna that the form shows; None where none is selected."""
        found, row = self.selected_antennas(), self.currentRow()
        now = self._rows[row][0] if 0 <= row < len(self._rows) else -1
        return now if now in found else next(iter(found), None)

    def select(self, indices: Sequence[int]) -> None:
        """Select the rows of some antennas; the first one is the current one."""
        rows = [self._rows.index((i, 0)) for i in indices if (i, 0) in self._rows]
        selection = self.selectionModel()
        for row in rows[:1]:
            selection.setCurrentIndex(self.model().index(row, _NAME), _CLEAR | _SELECT)
        for row in rows[1:]:
            selection.select(self.model().index(row, _NAME), _SELECT)
        for row in rows[:1]:
            self.scrollTo(self.model().index(row, _NAME))

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.matches(QKeySequence.StandardKey.Copy):
            self.tool.emit("copy")
        elif event.matches(QKeySequence.StandardKey.Paste):
            self.tool.emit("paste")
        elif event.key() == Qt.Key.Key_Delete and not event.modifiers():
            self.tool.emit("remove")
        else:
            super().keyPressEvent(event)

    def _chosen(self) -> None:
        row = self.currentRow()
        if not self._filling and 0 <= row < len(self._rows):
            self.chosen.emit(self._rows[row][0], self.selected_antennas())


def entered(carrier: Carrier) -> tuple[float, str]:
    """Return the power a person entered and what it was."""
    power = carrier.power
    if power.transmitter is not None:
        return power.transmitter, "transmitter"
    if power.erp is not None:
        return power.erp, "ERP" if power.erp_vertical is None else "ERP H (V follows)"
    assert power.eirp is not None
    return power.eirp, "EIRP"


def with_entered(power: Power, value: float) -> Power:
    """Return the power entry with the entered figure changed; every other figure of it follows."""
    old, _ = entered(Carrier(name="x", frequency=1e6, power=power))
    ratio = value / old

    def scaled(v: float | None) -> float | None:
        return None if v is None else v * ratio

    return replace(
        power,
        transmitter=scaled(power.transmitter),
        erp=scaled(power.erp),
        erp_vertical=scaled(power.erp_vertical),
        eirp=scaled(power.eirp),
    )


def _percent(text: str) -> float:
    try:
        return number(text.replace("%", "").strip())
    except InputError:
        raise InputError(
            f"{text!r} is not a percent", fix="Write a number over 0, up to 100"
        ) from None
