"""An antenna schedule taken into the site: pasted or opened, seen row by row, and nothing changes until accepted."""

from __future__ import annotations

from collections.abc import Callable
from html import escape
from pathlib import Path

from PySide6.QtCore import Qt, QTimer
from PySide6.QtGui import QBrush, QColor, QGuiApplication
from PySide6.QtWidgets import (
    QAbstractItemView,
    QComboBox,
    QDialog,
    QDialogButtonBox,
    QFileDialog,
    QHBoxLayout,
    QLabel,
    QPlainTextEdit,
    QPushButton,
    QTableWidget,
    QTableWidgetItem,
    QVBoxLayout,
    QWidget,
)

from app.window.jobs import Worker
from app.window.layout import plain
from core.antennas.catalogue import CATALOGUE
from core.errors import InputError
from core.files.schedule.numbers import COMMA, POINT, Decimals
from core.files.schedule.table import read_table_text
from core.files.schedule.taking import Taken, take
from core.site.site import Site

_TABLES = "Tables (*.csv *.txt *.tsv);;All files (*)"
_SIGNS: tuple[tuple[str, Decimals | None], ...] = (
    ("as the table shows", None),
    ("point", POINT),
    ("comma", COMMA),
)
_WRONG, _DARK = QColor("#f3d4d0"), QColor("#1d2430")
_FITTED = 500
"""Rows up to which each is as high as its words need."""
_WAIT = 300
"""ms after the last key until the table is read anew."""


class TakeSchedule(QDialog):
    """Reads a table as it is pasted or typed; ``taken`` holds what accepting it does."""

    def __init__(self, site: Site, folder: Path | None, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle("Take an antenna schedule")
        self.site, self.folder = site, folder
        self.taken: Taken | None = None
        self.text, self.preview = QPlainTextEdit(), QTableWidget()
        self.sign, self.file = QComboBox(), QPushButton("&Open a table…")
        self.classes = QComboBox()
        self.message, self.notes = QLabel(), QPlainTextEdit()
        self.buttons = QDialogButtonBox(
            QDialogButtonBox.StandardButton.Ok | QDialogButtonBox.StandardButton.Cancel
        )
        self.accepts = self.buttons.button(QDialogButtonBox.StandardButton.Ok)
        self.worker, self._later = Worker(), QTimer(self)
        self._furnish()
        self.text.textChanged.connect(self._changed)
        self.sign.currentIndexChanged.connect(self._changed)
        self.file.clicked.connect(self.ask_file)
        self._later.timeout.connect(self._read)
        self.worker.done.connect(self._show)
        self.worker.failed.connect(self._refused)
        self.buttons.accepted.connect(self.accept)
        self.buttons.rejected.connect(self.reject)
        self.finished.connect(self.worker.close)
        self._changed()

    def _furnish(self) -> None:
        for text, _ in _SIGNS:
            self.sign.addItem(text)
        self.sign.setAccessibleName("Decimal sign")
        self.text.setAccessibleName("Table")
        self.text.setPlaceholderText(
            "Paste the cells of a spreadsheet here, headers first, for example\n"
            "antenna, kind, x (m), y (m), AGL (ft), azimuth, frequency, ERP (kW)"
        )
        self.text.setMaximumHeight(130)
        self.preview.setAccessibleName("What each row does")
        self.preview.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.preview.verticalHeader().hide()
        self.message.setStyleSheet("font-weight:bold")
        self._later.setSingleShot(True)
        self._later.setInterval(_WAIT)
        top = QHBoxLayout()
        self.classes.setAccessibleName("Classes for the column Type")
        self.classes.addItem("Classes for the column Type…")
        for entry in CATALOGUE.values():
            self.classes.addItem(entry.title, entry.key)
        self.classes.setToolTip(
            "What a cell of the column Type may be: choosing one copies its name"
        )
        self.classes.activated.connect(self._copy_class)
        for part in (self.file, QLabel("Decimal sign"), self.sign, self.classes):
            top.addWidget(part)
        top.addStretch(1)
        layout = QVBoxLayout(self)
        layout.addLayout(top)
        for widget in (self.text, self.preview, self.message, self.notes, self.buttons):
            layout.addWidget(widget, int(widget is self.preview))
        self.message.setWordWrap(True)
        self.notes.setReadOnly(True)
        self.notes.setMaximumHeight(72)
        self.notes.setAccessibleName("Notes")
        plain(self)
        self.resize(1000, 640)

    def _copy_class(self, index: int) -> None:
        """Put the name of a class where a cell takes it from; the list says again what it is for."""
        if index:
            name = self.classes.itemText(index)
            QGuiApplication.clipboard().setText(name)
            self.message.setText(f'Copied: "{name}". Paste it into a cell of the column Type.')
        self.classes.setCurrentIndex(0)

    def ask_file(self) -> None:
        """Ask for a table file and read it."""
        name, _ = QFileDialog.getOpenFileName(self, "Open a table", str(self.folder or ""), _TABLES)
        if name:
            self.load(Path(name))

    def load(self, path: Path) -> None:
        """Read a table file; on an error what was there stays."""
        try:
            self.text.setPlainText(read_table_text(path))
        except InputError as error:
            self.message.setText(error.line())

    def _changed(self) -> None:
        self.taken = None
        self.accepts.setEnabled(False)
        self.accepts.setText("Take")
        self._later.start()

    def _read(self) -> None:
        text, site, folder = self.text.toPlainText(), self.site, self.folder
        if not text.strip():
            self.preview.setRowCount(0)
            self.notes.setPlainText("")
            self.message.setText("Nothing changes until it is taken.")
            return
        _, decimals = _SIGNS[self.sign.currentIndex()]
        self.message.setText("Reading…")

        def work(cancelled: Callable[[], bool], emit: Callable[[Taken], None]) -> None:
            try:
                emit(take(site, text, folder, decimals, cancelled))
            except InputError as error:
                raise error.within("The table") from None

        self.worker.submit(work)

    def _refused(self, text: str) -> None:
        self.preview.setRowCount(0)
        self.notes.setPlainText("")
        self.message.setText(text)

    def _show(self, taken: Taken) -> None:
        self.taken = taken
        self._fill(taken)
        self.message.setText(f"{taken.words()}. Nothing changes until it is taken.")
        self.notes.setPlainText("\n".join(f"Note: {note}" for note in taken.notes))
        count = len(taken.changes)
        self.accepts.setEnabled(count > 0)
        self.accepts.setText(f"Take {count} antenna{'s' if count != 1 else ''}")
        self.accepts.setMinimumWidth(self.accepts.sizeHint().width())

    def _fill(self, taken: Taken) -> None:
        """Show a row of the table in each row, what it does before it, and mark the cells of problems."""
        table = taken.table
        wrong = {(p.row, p.column) for p in taken.problems}
        heads = [c.header for c in table.columns]
        rows: list[tuple[int, list[str]]] = [(row.number, list(row.cells)) for row in table.rows]
        if any(p.row == table.header for p in taken.problems):
            rows.insert(0, (table.header, heads))
        self.preview.setUpdatesEnabled(False)
        self.preview.setColumnCount(len(heads) + 2)
        self.preview.setHorizontalHeaderLabels(["Row", "What it does", *heads])
        self.preview.setRowCount(len(rows))
        for r, (number, cells) in enumerate(rows):
            says = taken.words_of(number)
            bad = says.startswith("NOT TAKEN")
            self._cell(r, 0, str(number), bad)
            self._cell(r, 1, says, bad)
            for c, head in enumerate(heads):
                self._cell(r, c + 2, cells[c] if c < len(cells) else "", (number, head) in wrong)
        self.preview.resizeColumnsToContents()
        self.preview.setColumnWidth(1, min(max(self.preview.columnWidth(1), 200), 420))
        if len(rows) <= _FITTED:
            self.preview.resizeRowsToContents()
        self.preview.setUpdatesEnabled(True)

    def _cell(self, row: int, column: int, text: str, wrong: bool) -> None:
        item = QTableWidgetItem(text)
        item.setFlags(Qt.ItemFlag.ItemIsEnabled | Qt.ItemFlag.ItemIsSelectable)
        if column == 1:
            item.setToolTip(f"<span>{escape(text)}</span>")
        if wrong:
            item.setBackground(QBrush(_WRONG))
            item.setForeground(QBrush(_DARK))
        self.preview.setItem(row, column, item)
