"""The checks of a garment before it is worn, ticked one by one for the chosen job, with who and when."""

from __future__ import annotations

import datetime
from collections.abc import Callable

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QCheckBox, QGridLayout, QHBoxLayout, QLabel, QLineEdit, QWidget

from core.entry.checks import pre_use
from core.errors import InputError
from core.site.job import Job
from core.site.ticks import PRE_USE_CHECKS, Tick


class TickList(QWidget):
    """``take`` gets all ticks of the job after each click, as one edit; what is wrong is ``refused`` in one line."""

    def __init__(
        self, take: Callable[[tuple[Tick, ...]], object], refused: Callable[[str], None]
    ) -> None:
        super().__init__()
        self._take, self._refused = take, refused
        self._job: Job | None = None
        self.head = QLabel()
        self.head.setObjectName("checks before it is worn")
        self.by, self.when = QLineEdit(), QLineEdit()
        for line, name, hint in (
            (self.by, "checked by", "who looks"),
            (self.when, "checked when", "now, or 2026-12-01 07:40"),
        ):
            line.setObjectName(name)
            line.setAccessibleName(name)
            line.setPlaceholderText(hint)
        self.boxes = {check: QCheckBox() for check in PRE_USE_CHECKS}
        self.texts = {check: QLabel() for check in PRE_USE_CHECKS}
        lines = QGridLayout(self)
        lines.setContentsMargins(4, 2, 4, 2)
        lines.setHorizontalSpacing(8)
        lines.setVerticalSpacing(3)
        lines.setColumnStretch(1, 1)
        who = QHBoxLayout()
        who.setSpacing(8)
        for part, stretch in ((self.head, 0), (QLabel("Done by"), 0), (self.by, 2), (self.when, 2)):
            who.addWidget(part, stretch)
        who.addStretch(1)
        lines.addLayout(who, 0, 0, 1, 2)
        for row, (check, box) in enumerate(self.boxes.items(), 1):
            box.setObjectName(f"check {check}")
            box.setAccessibleName(check)
            box.clicked.connect(lambda on, check=check: self._click(check, on))
            text = self.texts[check]
            text.setWordWrap(True)
            text.setTextFormat(Qt.TextFormat.PlainText)
            lines.addWidget(box, row, 0, Qt.AlignmentFlag.AlignTop)
            lines.addWidget(text, row, 1)

    def show_job(self, job: Job | None) -> None:
        """Show what is ticked for a job; nothing where none wears a garment."""
        self._job = job
        self.setVisible(job is not None and bool(job.garment))
        if job is None:
            return
        undone = f"{len(job.unticked)} of {len(PRE_USE_CHECKS)} not done yet"
        self.head.setText(
            f"Before it is worn: {undone if job.unticked else 'every check is done'}."
        )
        for check, (text, tick) in zip(PRE_USE_CHECKS, pre_use(job), strict=True):
            self.boxes[check].setChecked(tick is not None)
            self.texts[check].setText(f"{text} ({tick.words})" if tick is not None else text)

    def _click(self, check: str, on: bool) -> None:
        job = self._job
        if job is None:
            return
        ticks = {t.check: t for t in job.garment_checks if t.check != check}
        try:
            if on:
                ticks[check] = self._tick(check)
            self._take(tuple(ticks[c] for c in PRE_USE_CHECKS if c in ticks))
        except InputError as error:
            self._refused(error.line())
            self.show_job(job)

    def _tick(self, check: str) -> Tick:
        by, when = self.by.text().strip(), self.when.text().strip()
        if not by:
            self.by.setFocus()
            raise InputError("nobody is named", field="checked by", fix="Type who looks, then tick")
        now = datetime.datetime.now().strftime("%Y-%m-%d %H:%M")
        return Tick(check=check, by=by, when=when or now)
