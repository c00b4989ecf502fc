"""A form of groups of fields, made anew only when other fields are needed."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import (
    QFormLayout,
    QFrame,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from app.window.forms.fields import Field, FileField, field_of, tell
from app.window.forms.texts import Units
from core.files.entries import Entry, entries, numbered, parts

_TITLES = {"antenna": "Antenna and place", "notes": "Notes, owner, what is allowed"}
_LABELS = 112
"""Pixels that the labels take."""

Values = Mapping[str, Any]


class Form(QWidget):
    """Every entry of an antenna as a field, in groups.

    ``answered``, ``dropped``, ``entered`` and ``file_asked`` are those of the fields; ``added`` carries the list that
    a part is added to, ``removed`` the group that is taken away.
    """

    answered = Signal(str, object)
    dropped = Signal(str)
    entered = Signal(str)
    file_asked = Signal(str)
    added = Signal(str)
    removed = Signal(str)

    def __init__(self) -> None:
        super().__init__()
        self.fields: dict[str, Field] = {}
        self.heads: dict[str, QLabel] = {}
        self.notes: dict[str, QLabel] = {}
        self.pictures: dict[str, QWidget] = {}
        self._shape: tuple[object, ...] = ()
        self._inside: QWidget | None = None
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(4, 2, 4, 4)

    def show_values(self, values: Values, units: Units, picture: Callable[[], QWidget]) -> bool:
        """Show what is said of an antenna; ``picture`` makes what stands under its kind.

        Return whether other fields were needed than before.
        """
        listed = tuple(entries(values))
        shape = tuple((e.path, e.spec) for e in listed)
        anew = shape != self._shape
        if anew:
            self._make(values, listed, picture)
            self._shape = shape
        for entry in listed:
            self.fields[entry.path].show_value(values.get(entry.path), units)
        return anew

    def clear(self) -> None:
        """Show nothing."""
        if self._inside is not None:
            self._inside.hide()
            self._inside.deleteLater()
        self._inside, self._shape = None, ()
        self.fields, self.heads, self.notes = {}, {}, {}

    def _make(
        self, values: Values, listed: tuple[Entry, ...], picture: Callable[[], QWidget]
    ) -> None:
        held = next((p for p, f in self.fields.items() if f.editor.hasFocus()), "")
        self.clear()
        self._inside = QWidget()
        column = QVBoxLayout(self._inside)
        column.setContentsMargins(0, 0, 0, 0)
        lists = {"carriers": "carrier", **{base: _one_of(base) for base, _ in parts(values)}}
        for group in dict.fromkeys(entry.group for entry in listed):
            base = group.rpartition(".")[0]
            column.addWidget(self._group(group, values, [e for e in listed if e.group == group]))
            if group == "model" or (
                base in lists and group.endswith(f".{numbered(values, base)[-1]}")
            ):
                if base in lists:
                    column.addWidget(self._adder(base, lists[base]))
                else:
                    column.addWidget(picture())
        self._column.addWidget(self._inside)
        # At once, not when the maps leave time for it: it would be seen squeezed into what was there before.
        self._inside.show()
        if held in self.fields:
            self.fields[held].setFocus()

    def _group(self, group: str, values: Values, members: list[Entry]) -> QWidget:
        box = QFrame()
        box.setObjectName(f"group {group}")
        rows = QFormLayout(box)
        rows.setContentsMargins(0, 0, 0, 4)
        rows.setVerticalSpacing(3)
        rows.setFieldGrowthPolicy(QFormLayout.FieldGrowthPolicy.AllNonFixedFieldsGrow)
        rows.addRow(self._head(group, values))
        self.notes[group] = note = _line("group note")
        rows.addRow(note)
        for entry in members:
            field = field_of(entry)
            for signal, slot in (
                (field.answered, self.answered),
                (field.dropped, self.dropped),
                (field.entered, self.entered),
            ):
                signal.connect(slot)
            if isinstance(field, FileField):
                field.asked.connect(self.file_asked)
            label = QLabel(entry.label)
            label.setWordWrap(True)
            label.setFixedWidth(_LABELS)
            label.setToolTip(entry.spec.help)
            label.setBuddy(field.editor)
            rows.addRow(label, field)
            self.fields[entry.path] = field
        return box

    def _head(self, group: str, values: Values) -> QWidget:
        head = QWidget()
        row = QHBoxLayout(head)
        row.setContentsMargins(0, 6, 0, 0)
        self.heads[group] = title = QLabel(title_of(group))
        title.setTextFormat(Qt.TextFormat.PlainText)
        title.setWordWrap(True)
        font = title.font()
        font.setBold(True)
        title.setFont(font)
        row.addWidget(title, 1)
        base = group.rpartition(".")[0]
        if base and len(numbered(values, base)) > 1:
            remove = QPushButton("Remove")
            remove.setObjectName(f"remove {group}")
            remove.setAccessibleName(f"Remove {title_of(group)}")
            remove.clicked.connect(lambda: self.removed.emit(group))
            row.addWidget(remove)
        return head

    def _adder(self, base: str, noun: str) -> QWidget:
        button = QPushButton(f"Add a {noun}")
        button.setObjectName(f"add {base}")
        button.clicked.connect(lambda: self.added.emit(base))
        return button

    def note(self, group: str, text: str) -> None:
        """Write a note under the title of a group; an empty text takes it off."""
        if group in self.notes:
            tell(self.notes[group], text)


def title_of(group: str) -> str:
    """Return what stands over a group."""
    base, _, number = group.rpartition(".")
    if base:
        return f"{_one_of(base).capitalize()} {int(number) + 1}"
    return _TITLES.get(group, "Kind")


def _one_of(base: str) -> str:
    """Return what one part of a list is called."""
    return base.rpartition(".")[2].removesuffix("s").replace("_", " ")


def _line(name: str) -> QLabel:
    label = QLabel()
    label.setObjectName(name)
    label.setTextFormat(Qt.TextFormat.PlainText)
    label.setWordWrap(True)
    label.hide()
    return label
