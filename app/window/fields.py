"""Editors for the fields that a table declares: each shows a value, reads it back, and keeps a text it refuses."""

from __future__ import annotations

import re
from typing import Any

from PySide6.QtCore import QObject, Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QCheckBox, QComboBox, QLineEdit, QWidget

from app.modes.shape_kinds import Field
from app.window.corner_table import CornerTable
from app.window.panels.number_field import mark
from app.window.typed import length, number
from app.window.typed_steps import coordinates
from core.errors import InputError
from core.site.moving import tidy
from core.units import FOOT

_LONGEST = 200


def show_number(value: float) -> str:
    """Return a number with as many digits as it has, up to ten."""
    return f"{value:.10g}"


def show_lengths(values: tuple[float, ...], *, feet: bool) -> str:
    """Return lengths in m as a person would type them, with the unit once."""
    scale, unit = (FOOT, "ft") if feet else (1.0, "m")
    return f"{'; '.join(show_number(v / scale) for v in values)} {unit}"


class Editor(QObject):
    """Shows and reads one field; ``committed`` says that somebody has changed it."""

    committed = Signal()

    def __init__(self, field: Field, widget: QWidget) -> None:
        super().__init__(widget)
        self.field, self.widget = field, widget
        widget.setObjectName(field.name)
        widget.setAccessibleName(field.label)
        widget.setToolTip(field.help)

    def show_value(self, value: Any, *, feet: bool) -> None:
        """Show a value in the unit that is asked for; a text that was refused is gone."""
        raise NotImplementedError

    def read(self, *, feet: bool) -> Any:
        """Return what stands there.

        Raises
        ------
        InputError
            If it cannot be read.
        """
        raise NotImplementedError

    def refuse(self, why: str) -> None:
        """Mark the field with the reason; no reason takes the mark off."""
        mark(self.widget, why)

    @property
    def is_refused(self) -> bool:
        """Whether what stands there was refused."""
        return bool(self.widget.property("refused"))


class _Line(QLineEdit):
    """A line that goes back to what it was with Escape."""

    left_as_it_was = Signal()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape and self.isModified():
            self.left_as_it_was.emit()
        else:
            super().keyPressEvent(event)


class LineEditor(Editor):
    """Text, numbers and places, on one line."""

    def __init__(self, field: Field) -> None:
        line = _Line()
        super().__init__(field, line)
        self.line = line
        line.setMaxLength(_LONGEST)
        line.setReadOnly(field.fixed)
        self._value: Any = None
        self._shown = ""
        line.editingFinished.connect(self._finished)
        line.left_as_it_was.connect(self._back)

    def show_value(self, value: Any, *, feet: bool) -> None:
        self._value, self._shown = value, _shown(self.field, value, feet=feet)
        self._back()

    def _back(self) -> None:
        self.line.setText(self._shown)
        self.line.setCursorPosition(0)
        self.line.setModified(False)
        self.refuse("")

    def _finished(self) -> None:
        # A text that is as it was before takes the place of a refused one too.
        if self.line.text() != self._shown or self.line.property("refused"):
            self.committed.emit()

    def read(self, *, feet: bool) -> Any:
        text = self.line.text()
        return self._value if text == self._shown else _read(self.field, text.strip(), feet=feet)


class ChoiceEditor(Editor):
    """One of a few words."""

    def __init__(self, field: Field) -> None:
        self.box = QComboBox()
        super().__init__(field, self.box)
        self.box.setMinimumContentsLength(9)
        self.box.setSizeAdjustPolicy(
            QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon
        )
        for value, words in field.choices:
            self.box.addItem(words, value)
        self.box.activated.connect(lambda _: self.committed.emit())

    def show_value(self, value: Any, *, feet: bool) -> None:
        place = [choice for choice, _ in self.field.choices].index(value)
        self.box.setCurrentIndex(place)
        self.refuse("")

    def read(self, *, feet: bool) -> Any:
        return self.field.choices[self.box.currentIndex()][0]


class FlagEditor(Editor):
    """Yes or no."""

    def __init__(self, field: Field) -> None:
        self.box = QCheckBox()
        super().__init__(field, self.box)
        self.box.clicked.connect(lambda _: self.committed.emit())

    def show_value(self, value: Any, *, feet: bool) -> None:
        self.box.setChecked(bool(value))

    def read(self, *, feet: bool) -> Any:
        return self.box.isChecked()


class CornersEditor(Editor):
    """Rings of places, as a table."""

    def __init__(self, field: Field) -> None:
        self.table = CornerTable()
        super().__init__(field, self.table)
        self.table.committed.connect(self.committed)

    def show_value(self, value: Any, *, feet: bool) -> None:
        self.table.show_rings(value, feet=feet)

    def read(self, *, feet: bool) -> Any:
        return self.table.read()

    def refuse(self, why: str) -> None:
        # The cells mark themselves; a reason for all of them stands in the tip.
        self.widget.setProperty("refused", bool(why))
        self.widget.setToolTip(why or self.field.help)


def editor(field: Field) -> Editor:
    """Return an editor for what a field holds."""
    made = {"choice": ChoiceEditor, "flag": FlagEditor, "corners": CornersEditor}
    return made.get(field.form, LineEditor)(field)


def _shown(field: Field, value: Any, *, feet: bool) -> str:
    """Return a value as text that :func:`_read` turns back into it."""
    match field.form:
        case "length":
            return show_lengths((value,), feet=feet)
        case "place":
            return show_lengths(value[0][0], feet=feet)
        case "number":
            return show_number(value)
        case "degrees":
            return f"{show_number(value)}°"
        case "percent":
            return f"{show_number(100.0 * value)} %"
        case "earth":
            return "" if value is None else "; ".join(show_number(v) for v in value)
    return str(value)


def _read(field: Field, text: str, *, feet: bool) -> Any:
    match field.form:
        case "length":
            return tidy(length(text, feet=feet))
        case "number":
            return number(text)
        case "degrees":
            return number(text.removesuffix("°").strip())
        case "percent":
            return number(text.removesuffix("%").strip()) / 100.0
        case "place":
            return _place(field, text, feet=feet)
        case "earth":
            return _earth(text)
    return text


def _place(field: Field, text: str, *, feet: bool) -> Any:
    there = coordinates(text, feet=feet)
    wanted = 3 if "z" in field.help else 2
    if there is None or len(there) != wanted:
        fix = "Write x; y; z" if wanted == 3 else "Write x; y"
        raise InputError(f"{text!r} is no place", fix=fix)
    return ((there,),)


def _earth(text: str) -> tuple[float, float] | None:
    if not text:
        return None
    parts = text.split(";") if ";" in text else re.split(r",\s+|\s+", text)
    if len(parts) != 2:
        raise InputError(
            f"{text!r} is no place on the earth",
            fix="Write latitude; longitude in degrees, as 41.2; -96.1, or nothing",
        )
    latitude, longitude = (number(part.strip().removesuffix("°")) for part in parts)
    return latitude, longitude
