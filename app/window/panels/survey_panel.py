"""Readings of a meter beside their prediction: taken from a file or pasted, as table and plot, explained by hand."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

from matplotlib.figure import Figure
from PySide6.QtCore import QEvent, QSize, Qt, Signal
from PySide6.QtGui import QKeyEvent, QKeySequence, QResizeEvent
from PySide6.QtWidgets import (
    QAbstractItemView,
    QApplication,
    QCheckBox,
    QFileDialog,
    QHBoxLayout,
    QHeaderView,
    QLabel,
    QPushButton,
    QTableWidget,
    QTableWidgetItem,
    QVBoxLayout,
    QWidget,
)

from app.draw.survey_plot import draw_survey
from app.window import tones
from app.window.contrast import map_palette
from app.window.document import Document
from app.window.jobs import Worker
from app.window.letters import KeepingCanvas
from app.window.panels.panel import Panel
from app.window.scene import Scene, radiating
from app.window.scrolled import scrolled
from core.entry.survey import SurveyReport, kept, note_of, summary, survey_report
from core.errors import InputError
from core.exposure.surveyed import Comparison
from core.files.survey_table import COLUMNS as KNOWN
from core.files.survey_table import Rejected, parse_survey, read_survey
from core.reading.cautions import SHORT
from core.site.jobs import fresh_name
from core.site.site import Site
from core.site.surveys import Survey
from core.units import FOOT

COLUMNS = ("Survey", "Reading", "x; y; z", "Read", "Predicted", "Error", "Explained by", "")
_EXPLAINED = 6
_MORE = ", ".join(n for n in KNOWN if n not in ("x", "y", "z", "height", "value", "unit"))
HEADERS = (
    "Its first line names the columns: x (m), y (m), z (m) above the datum or height (m) above the surface, "
    f"E (V/m) or value and unit; and if known {_MORE}. ft works like m."
)
"""What the first line of a table of readings may say."""


class SurveyPanel(QWidget, Panel):
    """``gone`` carries the place of a reading that is to be shown on the maps."""

    gone = Signal(object, bool)
    refused = Signal(str)

    def __init__(self, document: Document) -> None:
        super().__init__()
        self.document = document
        self.setObjectName("survey")
        self.setAccessibleName("Survey")
        self.report: SurveyReport | None = None
        self.rejected: tuple[Rejected, ...] = ()
        self._asked: Site | None = None
        self._feet = False
        self._filling = False
        self.worker = Worker()
        self.worker.done.connect(self._take)
        self.worker.failed.connect(self.refused)
        self.bring = QPushButton("&Import readings…")
        self.paste = QPushButton("P&aste readings")
        self.remove = QPushButton("Remove the survey")
        self.show_it = QPushButton("Show on the maps")
        self.bring.setToolTip(f"A CSV file. {HEADERS}")
        self.paste.setToolTip(
            f"From a spreadsheet, with the line of column names (Ctrl+V in the table). {HEADERS}"
        )
        self.filed = QCheckBox("others as filed")
        self.filed.setToolTip(
            "Emitters a row says nothing of were then as the site file has them; else nobody knows"
        )
        for button, does in (
            (self.bring, self._ask), (self.paste, self._paste), (self.remove, self._remove),
            (self.show_it, self._show_place),
        ):  # fmt: skip
            button.clicked.connect(does)
        self.words, self.bad = QLabel(), QLabel()
        self.words.setObjectName("survey words")
        self.bad.setObjectName("rejected rows")
        for label in (self.words, self.bad):
            label.setWordWrap(True)
        self.table = _Table()
        self.table.pasted.connect(self._paste)
        self.table.itemChanged.connect(self._explained)
        self.plot = _Plot()
        said = scrolled(self.bad, self.words)
        said.setMinimumWidth(210)
        said.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        said.setAccessibleName("What the survey says")
        row = QHBoxLayout()
        for part in (self.bring, self.paste, self.filed, self.remove, self.show_it):
            row.addWidget(part)
        row.addStretch(1)
        left = QVBoxLayout()
        left.setSpacing(2)
        left.addLayout(row)
        under = QHBoxLayout()
        under.addWidget(self.table, 2)
        under.addWidget(said, 1)
        left.addLayout(under, 1)
        across = QHBoxLayout(self)
        across.setContentsMargins(4, 2, 4, 2)
        across.addLayout(left, 3)
        across.addWidget(self.plot, 1)
        self._fill()

    def show_scene(self, scene: Scene) -> None:
        """Follow the surveys of the site and what predicts them."""
        site = radiating(scene.site)
        feet, self._feet = self._feet, scene.look.feet
        if site == self._asked:
            if feet != self._feet:
                self._fill()
            return
        if scene.carried is not None:
            return
        before, self._asked = self._asked, site
        if before is not None and before.name != site.name:
            self.rejected = ()
        if not site.surveys:
            self.report = None
            self.worker.submit(lambda cancelled, emit: None)
            self._fill()
            return

        def work(_: Callable[[], bool], emit: Callable[[Any], None]) -> None:
            emit(survey_report(site))

        self.worker.submit(work)

    def stop(self) -> None:
        """Stop any work."""
        self.worker.close()

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.PaletteChange:
            self._draw()

    def _take(self, report: SurveyReport | None) -> None:
        if report is not None:
            self.report = report
            self._fill()

    # what is shown ---------------------------------------------------------------------------------

    def _fill(self) -> None:
        report = self.report
        rows: tuple[Comparison, ...] = report.comparisons if report is not None else ()
        self._filling = True
        self.table.setRowCount(len(rows))
        for r, one in enumerate(rows):
            scale, unit = (FOOT, "ft") if self._feet else (1.0, "m")
            place = "; ".join(f"{c / scale:.4g}" for c in one.reading.position) + f" {unit}"
            error = "" if one.error_db is None else f"{one.error_db:+.1f} dB"
            texts = (
                one.survey, one.reading.name, place, one.reading.words, one.predicted_words, error,
                one.reading.explained, note_of(one),
            )  # fmt: skip
            for c, text in enumerate(texts):
                item = self.table.item(r, c)
                if item is None:
                    item = QTableWidgetItem()
                    self.table.setItem(r, c, item)
                flags = Qt.ItemFlag.ItemIsEnabled | Qt.ItemFlag.ItemIsSelectable
                editable = c == _EXPLAINED and one.is_above
                item.setFlags(flags | Qt.ItemFlag.ItemIsEditable if editable else flags)
                item.setText(text)
                item.setToolTip(text)
                font = item.font()
                font.setBold(text.startswith("ABOVE"))
                item.setFont(font)
        self._filling = False
        if report is None:
            said = f"No reading yet. Import a file or paste a table. {HEADERS}"
        else:
            said = ". ".join(summary(report)) + f". {SHORT}"
        self.words.setText(said)
        self.bad.setText("\n".join(f"NOT USED: {bad.words}" for bad in self.rejected))
        self.bad.setVisible(bool(self.rejected))
        self.plot.setVisible(report is not None)
        for button in (self.remove, self.show_it):
            button.setEnabled(report is not None)
        self._draw()

    def _draw(self) -> None:
        self.plot.show_report(
            self.report,
            tones.ground(self.palette()).name(),
            tones.ink(self.palette()).name(),
            map_palette(self).pin,
        )

    # edits -----------------------------------------------------------------------------------------

    def _ask(self) -> None:
        name, _ = QFileDialog.getOpenFileName(
            self, "Import readings", str(self.document.folder or ""), "Readings (*.csv *.txt)"
        )
        if name:
            self.take_file(Path(name))

    def take_file(self, path: Path) -> None:
        """Keep the readings of a file as a survey of the site; rows that cannot be used are named."""
        site, filed = self.document.site, self.filed.isChecked()
        self._keep(lambda: read_survey(path, site, as_filed=filed), path.stem)

    def _paste(self) -> None:
        text = QApplication.clipboard().text()
        if not text.strip():
            self.refused.emit(
                "There is nothing to paste. Copy a table with its line of column names"
            )
            return
        site, filed = self.document.site, self.filed.isChecked()
        self._keep(lambda: parse_survey(text, site, as_filed=filed), "pasted readings")

    def _keep(self, read: Callable[[], Any], wanted: str) -> None:
        try:
            table = read()
            name = fresh_name([s.name for s in self.document.site.surveys], wanted)
            survey = Survey(name=name, readings=tuple(r for _, r in table.readings))
            self.rejected = table.rejected
            self.document.edit(f"readings {name}", lambda site: kept(site, survey))
        except InputError as error:
            self.refused.emit(error.line())
            return
        self._fill()

    def _row(self) -> Comparison | None:
        row = self.table.currentRow()
        rows = self.report.comparisons if self.report is not None else ()
        return rows[row] if 0 <= row < len(rows) else rows[0] if rows else None

    def _remove(self) -> None:
        one = self._row()
        if one is not None:
            self.rejected = ()
            self.document.edit(
                f"remove {one.survey}",
                lambda site: replace(
                    site, surveys=tuple(s for s in site.surveys if s.name != one.survey)
                ),
            )

    def _show_place(self) -> None:
        one = self._row()
        if one is not None:
            self.gone.emit(one.reading.position, False)

    def _explained(self, item: QTableWidgetItem) -> None:
        if self._filling or self.report is None or item.column() != _EXPLAINED:
            return
        one, why = self.report.comparisons[item.row()], item.text().strip()

        def explain(site: Site) -> Site:
            surveys = tuple(
                replace(
                    s,
                    readings=tuple(
                        replace(r, explained=why) if r.name == one.reading.name else r
                        for r in s.readings
                    ),
                )
                if s.name == one.survey
                else s
                for s in site.surveys
            )
            return replace(site, surveys=surveys)

        try:
            self.document.edit(f"explain {one.reading.name}", explain)
        except InputError as error:
            self.refused.emit(error.within(one.reading.name).line())


class _Table(QTableWidget):
    """The table; ``pasted`` is the key that pastes."""

    pasted = Signal()

    def __init__(self) -> None:
        super().__init__(0, len(COLUMNS))
        self.setObjectName("readings")
        self.setAccessibleName("Readings beside their predictions")
        self.setHorizontalHeaderLabels(COLUMNS)
        self.verticalHeader().hide()
        self.verticalHeader().setDefaultSectionSize(22)
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.setAlternatingRowColors(True)
        self.horizontalHeader().setSectionResizeMode(QHeaderView.ResizeMode.ResizeToContents)
        self.horizontalHeader().setSectionResizeMode(0, QHeaderView.ResizeMode.Interactive)
        self.setColumnWidth(0, 66)
        self.setToolTip("What explains a reading above its prediction is typed into its row")

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.matches(QKeySequence.StandardKey.Paste):
            self.pasted.emit()
        else:
            super().keyPressEvent(event)


_ROUND = (56, 40, 14, 8)
"""Pixels left of the plot, under it, right of it and over it: for its figures and the words of its axes."""


class _Plot(KeepingCanvas):
    """The plot on screen."""

    def __init__(self) -> None:
        self._figure = Figure()
        super().__init__(self._figure)
        self.setObjectName("survey plot")
        self.setAccessibleName("Read against predicted, in percent of the occupational limit")
        self.setMinimumSize(QSize(230, 130))
        self.setToolTip(f"{self.accessibleName()}; solid: read as predicted, diamonds: raised")
        self._told: tuple[object, ...] = ()
        self._shown: tuple[SurveyReport | None, str, str, str] = (None, "", "", "")

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self.show_report(*self._shown)

    def show_report(self, report: SurveyReport | None, paper: str, ink: str, pin: str) -> None:
        """Draw a report in the colours of the desktop."""
        self._shown = report, paper, ink, pin
        width, height = max(self.width(), 1), max(self.height(), 1)
        told = (*self._shown, width, height)
        if report is None or told == self._told:
            return
        self._told = told
        left, bottom, right, top = _ROUND
        box = (
            left / width, bottom / height,
            max(1.0 - (left + right) / width, 0.1), max(1.0 - (bottom + top) / height, 0.1),
        )  # fmt: skip
        draw_survey(self._figure, report, paper=paper, ink=ink, pin=pin, box=box)
        self.draw_idle()
