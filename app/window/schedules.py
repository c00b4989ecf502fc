"""The antenna schedule in the window: taken in as one edit, and written as a table."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QObject, Signal
from PySide6.QtWidgets import QFileDialog, QWidget

from app.window.dialogs.take_schedule import TakeSchedule
from app.window.document import Document
from core.errors import InputError
from core.files.atomic import write_file
from core.files.schedule.taking import Taken
from core.files.schedule.writer import schedule_text


class Schedules(QObject):
    """Asks for schedules and carries out what was accepted."""

    refused = Signal(str)
    accepted = Signal(str)

    def __init__(self, document: Document, parent: QWidget) -> None:
        super().__init__(parent)
        self.document, self._parent = document, parent
        self._left = ""
        document.opened.connect(self._forget)

    def ask_take(self) -> None:
        """Ask for a table and take it; one that was left, or had rows to mend, is there again the next time."""
        dialog = TakeSchedule(self.document.site, self.document.folder, self._parent)
        dialog.text.setPlainText(self._left)
        took = bool(dialog.exec())
        taken = dialog.taken if took else None
        self._left = "" if taken and not taken.problems else dialog.text.toPlainText()
        if taken is not None:
            self.take(taken)

    def _forget(self) -> None:
        """Let go of the table: another site is open."""
        self._left = ""

    def take(self, taken: Taken) -> None:
        """Take a schedule as one edit; what could not be taken is said again."""
        new = sum(change.new for change in taken.changes)
        label = f"take a schedule ({new} new, {len(taken.changes) - new} changed)"
        try:
            self.document.edit(label, lambda _: taken.site)
        except InputError as error:
            self.refused.emit(error.line())
            return
        if taken.problems:
            rows = [str(row) for row in sorted({p.row for p in taken.problems} | set(taken.held))]
            more = f" and {len(rows) - 20} more" if len(rows) > 20 else ""
            self.refused.emit(
                f"Not taken from the schedule: row{'s' * (len(rows) > 1)} {', '.join(rows[:20])}{more}. These antennas "
                "are missing or as they were, and so are their figures"
            )
        else:
            self.accepted.emit(f"The schedule is taken: {taken.words()}")

    def ask_write(self) -> None:
        """Ask for a path and write the antennas as a table."""
        name, _ = QFileDialog.getSaveFileName(
            self._parent, "Export the antenna schedule", "schedule.csv", "Tables (*.csv)"
        )
        if name:
            self.write(Path(name))

    def write(self, path: Path) -> None:
        """Write the antennas as a table."""
        try:
            write_file(path, schedule_text(self.document.site))
        except InputError as error:
            self.refused.emit(error.line())
        else:
            self.accepted.emit(f"Written: {path}")
