"""One declared value as a field: what was typed stays until it can be taken, with one error beneath it."""

from __future__ import annotations

from dataclasses import MISSING
from typing import Any

from PySide6.QtCore import QEvent, Qt, Signal
from PySide6.QtGui import QFocusEvent, QKeyEvent, QWheelEvent
from PySide6.QtWidgets import (
    QComboBox,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QPlainTextEdit,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from app.window import tones
from app.window.forms.texts import Units, shown, span
from app.window.panels.number_field import mark
from core.files.entries import Entry

_OPEN = "not said"
_LINES = 3


class Field(QWidget):
    """An editor with its note and its error beneath.

    ``answered`` carries the path and what was typed or chosen, ``dropped`` the path of a text that was taken back,
    ``entered`` the path of the field that the keys go to.
    """

    answered = Signal(str, object)
    dropped = Signal(str)
    entered = Signal(str)

    def __init__(self, entry: Entry) -> None:
        super().__init__()
        self.entry = entry
        self.note, self.error = _words("note"), _words("error")
        tones.warn(self.error, self.palette())
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(1)

    def _hold(self, editor: QWidget) -> None:
        """Take an editor in."""
        self.editor = editor
        editor.setObjectName(self.entry.path)
        editor.setAccessibleName(self.entry.label)
        editor.setAccessibleDescription(self.entry.spec.help)
        editor.setToolTip(help_of(self.entry, Units()))
        editor.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        editor.installEventFilter(self)
        self.setFocusProxy(editor)
        for part in (self._row(editor), self.note, self.error):
            if isinstance(part, QWidget):
                self._column.addWidget(part)
            else:
                self._column.addLayout(part)

    def _row(self, editor: QWidget) -> QWidget | QHBoxLayout:
        return editor

    def eventFilter(self, watched: object, event: QEvent) -> bool:
        if event.type() == QEvent.Type.FocusIn and isinstance(event, QFocusEvent):
            self.entered.emit(self.entry.path)
        # A wheel that scrolls past must not change a figure.
        if event.type() == QEvent.Type.Wheel and isinstance(event, QWheelEvent):
            event.ignore()
            return True
        return False

    def show_value(self, value: Any, units: Units) -> None:
        """Show a value; what was refused before is gone."""
        raise NotImplementedError

    def show_text(self, text: str) -> None:
        """Show a text that could not be taken."""

    def refuse(self, why: str) -> None:
        """Say why what stands here could not be taken; an empty text takes that back."""
        if why == self.error.text():
            return
        mark(self.editor, "")
        mark(self.editor, why)
        tell(self.error, why)

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.PaletteChange:
            tones.warn(self.error, self.palette())


class LineField(Field):
    """A line of text: numbers with their units, names."""

    def __init__(self, entry: Entry) -> None:
        super().__init__(entry)
        self.line = _Line()
        self.line.setMaxLength(4000 if entry.spec.form == "text" else 100)
        self.line.editingFinished.connect(self._finished)
        self.line.escaped.connect(lambda: self.dropped.emit(entry.path))
        self._standing = ""
        self._hold(self.line)

    def show_value(self, value: Any, units: Units) -> None:
        entry = self.entry
        is_open = value is None or (left_open(entry) and value == entry.default)
        self._put("" if is_open else shown(value, entry.spec, units))
        self.line.setPlaceholderText(placeholder(entry, units))
        self.line.setToolTip(help_of(entry, units))

    def show_text(self, text: str) -> None:
        self._put(text)

    def _put(self, text: str) -> None:
        self._standing = text
        if self.line.text() != text:
            self.line.setText(text)
            self.line.setCursorPosition(0)

    def _finished(self) -> None:
        text = self.line.text()
        if text != self._standing:
            self._standing = text
            self.answered.emit(self.entry.path, text)


class FileField(LineField):
    """The name of a file, and a button that asks for another one."""

    asked = Signal(str)

    def _row(self, editor: QWidget) -> QHBoxLayout:
        self.line.setReadOnly(True)
        button = QPushButton("Choose…")
        button.setObjectName(f"choose {self.entry.path}")
        button.setToolTip("Choose a file; it is copied beside the site when the site is saved")
        button.clicked.connect(lambda: self.asked.emit(self.entry.path))
        row = QHBoxLayout()
        row.addWidget(editor, 1)
        row.addWidget(button)
        return row


class WordsField(Field):
    """Several lines of text."""

    def __init__(self, entry: Entry) -> None:
        super().__init__(entry)
        self.text = QPlainTextEdit()
        self.text.setTabChangesFocus(True)
        self.text.setFixedHeight((_LINES + 1) * self.text.fontMetrics().lineSpacing())
        self._standing = ""
        self._hold(self.text)

    def eventFilter(self, watched: object, event: QEvent) -> bool:
        if event.type() == QEvent.Type.FocusOut and self.text.toPlainText() != self._standing:
            self._standing = self.text.toPlainText()
            self.answered.emit(self.entry.path, self._standing)
        return super().eventFilter(watched, event)

    def show_value(self, value: Any, units: Units) -> None:
        self.show_text(value or "")

    def show_text(self, text: str) -> None:
        self._standing = text
        if self.text.toPlainText() != text:
            self.text.setPlainText(text)


class ChoiceField(Field):
    """One of a few words, or yes and no; left open where that may be."""

    def __init__(self, entry: Entry) -> None:
        super().__init__(entry)
        self.box = QComboBox()
        self.box.setMinimumContentsLength(8)
        self.box.setSizeAdjustPolicy(
            QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon
        )
        for text, data in options(entry):
            self.box.addItem(text, data)
        self.box.activated.connect(self._chosen)
        self._hold(self.box)

    def _chosen(self) -> None:
        self.answered.emit(self.entry.path, self.box.currentData())

    def show_value(self, value: Any, units: Units) -> None:
        self.box.setCurrentIndex(
            next((i for i in range(self.box.count()) if self.box.itemData(i) == value), -1)
        )


class _Line(QLineEdit):
    escaped = Signal()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape:
            self.escaped.emit()
        else:
            super().keyPressEvent(event)


def field_of(entry: Entry) -> Field:
    """Return the field of an entry, by its form."""
    made = {"choice": ChoiceField, "flag": ChoiceField, "words": WordsField, "file": FileField}
    return made.get(entry.spec.form, LineField)(entry)


def options(entry: Entry) -> list[tuple[str, Any]]:
    """Return what can be chosen: text and value."""
    spec = entry.spec
    if spec.form == "flag":
        found: list[tuple[str, Any]] = [("no", False), ("yes", True)]
    else:
        found = list(zip(spec.titles or spec.choices, spec.choices, strict=True))
    return [(_OPEN, None), *found] if entry.default is None else found


def left_open(entry: Entry) -> bool:
    """Return whether a value that is what counts anyway is shown as left open: of a kind, and of a carrier."""
    return entry.group.startswith(("model", "carriers")) and entry.default is not MISSING


def placeholder(entry: Entry, units: Units) -> str:
    """Return what stands in an empty field: what counts then, or what is to be written."""
    if entry.default is MISSING:
        return span(entry.spec, units) or "needed"
    if not left_open(entry) or entry.default is None:
        return "" if entry.spec.form in ("text", "words") else _OPEN
    known = shown(entry.default, entry.spec, units)
    return f"{_OPEN}: {known}" if known else _OPEN


def help_of(entry: Entry, units: Units) -> str:
    """Return what an entry means and takes, in one line."""
    parts = [entry.spec.help]
    if entry.spec.form not in ("text", "words", "flag", "choice", "file"):
        parts.append(span(entry.spec, units))
    known = placeholder(entry, units)
    if known.startswith(f"{_OPEN}:"):
        parts.append(f"counts where nothing is said:{known.removeprefix(f'{_OPEN}:')}")
    return "; ".join(part for part in parts if part)


def tell(label: QLabel, text: str) -> None:
    """Show a text, or nothing."""
    if label.text() != text:
        label.setText(text)
    label.setVisible(bool(text))


def _words(name: str) -> QLabel:
    label = QLabel()
    label.setObjectName(name)
    label.setWordWrap(True)
    label.setTextFormat(Qt.TextFormat.PlainText)
    label.hide()
    return label
