"""Fields of a form that keep what was typed until it can be taken; a refused text stays, marked, with its reason."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent, QWheelEvent
from PySide6.QtWidgets import QComboBox, QLineEdit

from app.window.panels.number_field import mark
from core.errors import InputError


class TextField(QLineEdit):
    """One text. ``take`` gets it when the keys leave it or Enter is pressed, and raises where it cannot be used."""

    def __init__(
        self,
        name: str,
        take: Callable[[str], object],
        refused: Callable[[str], None],
        hint: str = "",
    ) -> None:
        super().__init__()
        self.setObjectName(name)
        self.setAccessibleName(name)
        self.setPlaceholderText(hint)
        self._take, self._refused = take, refused
        self._shown = ""
        self.setMinimumWidth(60)
        self.editingFinished.connect(self._finish)

    def show_text(self, text: str) -> None:
        """Show what is there; a text that was refused stays as long as what is there is the same."""
        if text == self._shown and bool(self.property("refused")):
            return
        if text == self._shown and self.hasFocus() and self.isModified():
            return
        self._shown = text
        if self.text() != text:
            self.setText(text)
            if not self.hasFocus():
                # What a text begins with says most.
                self.setCursorPosition(0)
        mark(self, "")

    def _finish(self) -> None:
        text = self.text().strip()
        if text == self._shown:
            mark(self, "")
            return
        try:
            self._take(text)
        except InputError as error:
            line = error.line() if error.field else error.within(self.objectName()).line()
            mark(self, line)
            self._refused(line)
            return
        mark(self, "")
        self._shown = text

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape and bool(self.property("refused")):
            mark(self, "")
            self.setText(self._shown)
        else:
            super().keyPressEvent(event)


class Choice(QComboBox):
    """One of several; ``take`` gets the data of the one that is chosen, and raises where it cannot be used."""

    def __init__(
        self,
        name: str,
        items: Sequence[tuple[str, object]],
        take: Callable[[object], object],
        refused: Callable[[str], None],
    ) -> None:
        super().__init__()
        self.setObjectName(name)
        self.setAccessibleName(name)
        self.setMinimumContentsLength(9)
        self.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        self._shown: object = None
        self._take, self._refused = take, refused
        self.offer(items)
        self.activated.connect(self._finish)

    def offer(self, items: Sequence[tuple[str, object]]) -> None:
        """Offer these; the one that is shown stays where it still is."""
        if list(items) == [(self.itemText(i), self.itemData(i)) for i in range(self.count())]:
            return
        kept = self.currentData()
        self.clear()
        for text, data in items:
            self.addItem(text, data)
        self.setCurrentIndex(max(self.findData(kept), 0))

    def show_data(self, data: object) -> None:
        """Show one of them; one that is not offered (any more) is shown as what it is called."""
        self._shown = data
        index = self.findData(data)
        if index < 0:
            self.addItem(f"{data} (not on the site)", data)
            index = self.count() - 1
        self.setCurrentIndex(index)

    def _finish(self) -> None:
        try:
            self._take(self.currentData())
        except InputError as error:
            self._refused(error.line())
            self.show_data(self._shown)

    def wheelEvent(self, event: QWheelEvent) -> None:
        # A wheel that scrolls past must not change a choice.
        event.ignore()
