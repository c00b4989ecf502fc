"""What a window says about its file: that it is open elsewhere too, and what was left unsaved."""

from __future__ import annotations

import time

from PySide6.QtCore import QObject, Qt, Signal
from PySide6.QtWidgets import QMessageBox, QWidget

from app.window.document import Document
from core.changes.differences import differences
from core.errors import InputError, short
from core.files.beside import Left, discard
from core.files.seen import seen
from core.site.site import Site

_SHOWN, _LONG = 4, 90
"""Differences that are named, and letters of each."""


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
            answer = self._asked(left)
            if answer == "discard":
                discard(left)
            elif answer == "recover":
                recovered = self._recover(left) or recovered
        self._asking = False
        others = self.document.others()
        if others and self.document.path is not None:
            self.refused.emit(
                f"{self.document.path.name} is open in another window too ({'; '.join(others)}). "
                "Of two windows that save, the second is refused: close one of them"
            )
        return recovered

    def _recover(self, left: Left) -> bool:
        """Take up what was left, and return whether that could be done."""
        try:
            self.document.recover(left)
        except InputError as error:
            self.refused.emit(f"The unsaved changes cannot be used: {error.line()}")
            return False
        self.accepted.emit("Unsaved changes are recovered, and not saved yet. Undo leaves them")
        return True

    def _asked(self, left: Left) -> str:
        """Ask whether to recover, to discard, or to leave that for later, as closing the question does."""
        path = self.document.path
        since = time.strftime("%Y-%m-%d %H:%M", time.localtime(left.when))
        where = f"of {path}" if path is not None else "of a site that has no file yet"
        text = (
            f"Changes that were never saved were found, of {since}.\n\n"
            f"Site: {left.site.name}, {where}\n{_changed(self.document.site, left.site)}"
        )
        if path is not None and seen(path) != left.seen:
            text += "\n\nThe file was saved by somebody since then: recovering shows the site as it was without that."
        box = QMessageBox(self._parent)
        box.setTextFormat(Qt.TextFormat.PlainText)
        box.setWindowTitle("Unsaved changes")
        box.setText(text)
        recover = box.addButton("Recover", QMessageBox.ButtonRole.AcceptRole)
        drop = box.addButton("Discard", QMessageBox.ButtonRole.DestructiveRole)
        later = box.addButton("Later", QMessageBox.ButtonRole.RejectRole)
        later.setToolTip("Keeps them beside the file and asks again the next time it is opened")
        box.setDefaultButton(recover)
        box.setEscapeButton(later)
        while True:
            box.exec()
            if box.clickedButton() is not later:
                return "discard" if box.clickedButton() is drop else "recover"
            try:
                self.document.put_off(left)
            except InputError as error:
                box.setInformativeText(error.line())
                later.setEnabled(False)
                box.setEscapeButton(recover)
            else:
                return "later"


def _changed(filed: Site, left: Site) -> str:
    """Return how much is different from the file, and what first."""
    found = differences(filed, left)
    if not found:
        return "Nothing is different from the file."
    lines = [f"{len(found)} thing{'s' if len(found) > 1 else ''} different from the file:"]
    lines += [f"  {short(one.words, _LONG)}" for one in found[:_SHOWN]]
    return "\n".join(lines + [f"  and {len(found) - _SHOWN} more"] * (len(found) > _SHOWN))
