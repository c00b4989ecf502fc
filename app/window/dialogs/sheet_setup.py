"""How sheets are made: paper, scale, job, date. What was chosen last is offered again."""

from __future__ import annotations

from PySide6.QtCore import QSettings
from PySide6.QtWidgets import (
    QComboBox,
    QDialog,
    QDialogButtonBox,
    QFormLayout,
    QLabel,
    QLineEdit,
    QWidget,
)

from app.draw.furniture import Setup
from app.draw.paper import PAPERS, paper_of, scale_of
from app.draw.titles import check_setup
from core.errors import InputError

_KEY = "paper"


class SheetSetup(QDialog):
    """Asks for paper, scale, job and date; a text that is refused stays to be mended.

    ``paper`` fixes the paper, where a printer has it.
    """

    def __init__(
        self, parent: QWidget | None = None, *, feet: bool = False, paper: str = ""
    ) -> None:
        super().__init__(parent)
        self.setWindowTitle("Sheets")
        self.setup: Setup | None = None
        self._feet = feet
        self.paper = QComboBox()
        self.paper.addItems(list(PAPERS))
        self.paper.setCurrentText(paper or str(QSettings().value(_KEY, "A4")))
        self.paper.setEnabled(not paper)
        self.scale, self.job, self.date = QLineEdit(), QLineEdit(), QLineEdit()
        self.scale.setPlaceholderText("the largest that fits")
        self.date.setPlaceholderText("that of the revision")
        self.message = QLabel()
        self.message.setWordWrap(True)
        self.message.setObjectName("message")
        self.message.hide()
        form = QFormLayout(self)
        for label, field in (
            ("&Paper, across", self.paper),
            ("&Scale, like 1:200", self.scale),
            ("&Job", self.job),
            ("&Date, like 2026-03-01", self.date),
        ):
            field.setAccessibleName(label.replace("&", ""))
            form.addRow(label, field)
        form.addRow(self.message)
        b = QDialogButtonBox.StandardButton
        buttons = QDialogButtonBox(b.Ok | b.Cancel)
        buttons.accepted.connect(self._take)
        buttons.rejected.connect(self.reject)
        form.addRow(buttons)

    def _take(self) -> None:
        try:
            text = self.scale.text().strip()
            job, date = self.job.text().strip(), self.date.text().strip()
            check_setup(job, date)
            self.setup = Setup(
                paper=paper_of(self.paper.currentText()),
                scale=scale_of(text) if text else None,
                job=job,
                date=date,
                feet=self._feet,
            )
        except InputError as error:
            self.message.setText(error.line())
            self.message.show()
            return
        if self.paper.isEnabled():
            QSettings().setValue(_KEY, self.paper.currentText())
        self.accept()
