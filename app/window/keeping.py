"""What a window says about its file: that it is open elsewhere too, and what was left unsaved."""

from __future__ import annotations

import time

from PySide6.QtCore import QObject, Qt, Signal
from PySide6.QtWidgets import QMessageBox, QWidget

from app.window.document import Document
from core.errors import InputError
from core.files.beside import Left, discard
from core.files.seen import seen


class Keeping(QObject):
    """Asks about changes that a window left unsaved, and warns of other windows of the same file."""

    refused = Signal(str)
    accepted = Signal(str)

    def __init__(self, document: Document, parent: QWidget) -> None:
        super().__init__(parent)
        self.document, self._parent, self._asking = document, parent, False
        document.unkept.connect(self.refused)
        # After the file is shown: what is asked is asked about what can be seen.
        document.opened.connect(self.look, Qt.ConnectionType.QueuedConnection)

    def look(self) -> bool:
        """Ask about every leftover of the document's file, and say which other windows have it open.

        Return whether unsaved changes were recovered.
        """
        if self._asking:
            # The question that stands there already is about the same.
            return False
        self._asking, recovered = True, False
        for left in self.document.left():
            if not self._wanted(left):
                discard(left)
                continue
            try:
                self.document.recover(left)
            except InputError as error:
                self.refused.emit(f"The unsaved changes cannot be used: {error.line()}")
            else:
                recovered = True
                self.accepted.emit(
                    "Unsaved changes are recovered, and not saved yet. Undo leaves them"
                )
        self._asking = False
        others = self.document.others()
        if others and self.document.path is not None:
            self.refused.emit(
                f"{self.document.path.name} is open in another window too ({'; '.join(others)}). "
                "Of two windows that save, the second is refused: close one of them"
            )
        return recovered

    def _wanted(self, left: Left) -> bool:
        """Ask whether to recover; closing the question does, because undo can leave it again."""
        path = self.document.path
        since = time.strftime("%Y-%m-%d %H:%M", time.localtime(left.when))
        text = f"Changes that were never saved were found, of {since}."
        if path is not None and seen(path) != left.seen:
            text += "\n\nThe file was saved by somebody since then: recovering shows the site as it was without that."
        box = QMessageBox(self._parent)
        box.setTextFormat(Qt.TextFormat.PlainText)
        box.setWindowTitle("Unsaved changes")
        box.setText(text)
        recover = box.addButton("Recover", QMessageBox.ButtonRole.AcceptRole)
        drop = box.addButton("Discard", QMessageBox.ButtonRole.DestructiveRole)
        box.setDefaultButton(recover)
        box.setEscapeButton(recover)
        box.exec()
        return box.clickedButton() is not drop
