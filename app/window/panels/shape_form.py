"""The form of the chosen part of the site: every number of it can be typed. Made from the table of kinds."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Protocol

from PySide6.QtCore import Signal
from PySide6.QtWidgets import (
    QFormLayout,
    QLabel,
    QLineEdit,
    QVBoxLayout,
    QWidget,
)

from app.modes.shape_kinds import Field, kind_of
from app.modes.typed_place import parse_offset
from app.window.fields import Editor, editor
from app.window.panels.number_field import mark
from app.window.typed import length, number
from core.errors import InputError
from core.site.parts import Part, Shape, value_of
from core.site.site import Site

_UPRIGHT = re.compile(r"(?P<length>.*\S)\s+(?P<way>up|down)", re.IGNORECASE)


class Tools(Protocol):
    """What changes the site for the form; each raises an InputError where the site cannot have it."""

    def change(self, part: Part, value: Shape | Site, done: str) -> None: ...
    def move_by(self, by: tuple[float, float, float]) -> None: ...
    def turn_by(self, degrees: float) -> None: ...


class ShapeForm(QWidget):
    """Shows one part. What was typed and refused stays with its part, also while another is looked at."""

    refused = Signal(str)

    def __init__(self) -> None:
        super().__init__()
        self.setObjectName("shape form")
        self.setAccessibleName("What is chosen")
        self.editors: dict[str, Editor] = {}
        self.tools: Tools | None = None
        self._site: Site | None = None
        self._part: Part | None = None
        self._kind = ""
        self._feet = False
        self._kept: dict[tuple[Part, str], tuple[str, str]] = {}
        self.title = QLabel()
        self.title.setWordWrap(True)
        self._rows = QWidget()
        self.by = self._action(
            "Move by",
            "3 m W 2 m N",
            "How far which way; 0.5 m up is foot and top together",
            self._move,
        )
        self.turn = self._action("Turn by", "15°", "Degrees clockwise about its middle", self._turn)
        self._acts = QWidget()
        acts = QFormLayout(self._acts)
        acts.setContentsMargins(0, 0, 0, 0)
        acts.addRow("Move by", self.by)
        acts.addRow("Turn by", self.turn)
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        for widget in (self.title, self._rows, self._acts):
            self._column.addWidget(widget)
        self.hide()

    def _action(self, name: str, example: str, tip: str, does: Callable[[], None]) -> QLineEdit:
        line = QLineEdit()
        line.setObjectName(name.lower())
        line.setAccessibleName(name)
        line.setPlaceholderText(example)
        line.setToolTip(f"{tip}. Enter does it")
        line.returnPressed.connect(does)
        return line

    # what is shown ---------------------------------------------------------------------------------

    def show_part(self, site: Site, part: Part | None, *, feet: bool) -> None:
        """Show a part of a site; what was refused and not mended stays as it was typed."""
        value = value_of(site, part) if part is not None else None
        if part is None or value is None:
            self._part = None
            self.hide()
            return
        kind = kind_of(value)
        if (part.group, kind.key) != (self._part.group if self._part else "", self._kind):
            self._build(kind.fields)
        anew = part != self._part or feet != self._feet
        old = value_of(self._site, part) if self._site is not None and not anew else None
        self._site, self._part, self._kind, self._feet = site, part, kind.key, feet
        self.title.setText(part.name or kind.title)
        self._acts.setVisible(not isinstance(value, Site))
        for field in kind.fields:
            now = field.value(value)
            if old is None or kind_of(old).key != kind.key or field.value(old) != now:
                self._kept.pop((part, field.name), None) if old is not None else None
                self.editors[field.name].show_value(now, feet=feet)
                self._restore(part, field)
        self.show()

    def _build(self, fields: tuple[Field, ...]) -> None:
        """Make the rows of another kind of shape."""
        rows = QWidget()
        form = QFormLayout(rows)
        form.setContentsMargins(0, 0, 0, 0)
        form.setFieldGrowthPolicy(QFormLayout.FieldGrowthPolicy.ExpandingFieldsGrow)
        self.editors = {}
        for field in fields:
            made = editor(field)
            self.editors[field.name] = made
            made.committed.connect(lambda field=field, made=made: self._commit(field, made))
            if field.form == "corners":
                # A table needs the whole width.
                form.addRow(QLabel(field.label))
                form.addRow(made.widget)
            else:
                form.addRow(field.label, made.widget)
        self._column.replaceWidget(self._rows, rows)
        self._rows.hide()
        self._rows.deleteLater()
        self._rows = rows

    def _restore(self, part: Part, field: Field) -> None:
        kept = self._kept.get((part, field.name))
        widget = self.editors[field.name].widget
        if kept is not None and isinstance(widget, QLineEdit):
            widget.setText(kept[0])
            self.editors[field.name].refuse(kept[1])

    def waiting(self, site: Site) -> list[str]:
        """Return the parts of a site of which something typed was refused, or waits for Enter."""
        kept = [p.name or p.group for p, _ in self._kept if value_of(site, p) is not None]
        moves = [line for line in (self.by, self.turn) if line.text().strip()]
        here = [self.title.text()] if self._part is not None and moves else []
        return list(dict.fromkeys([*kept, *here]))

    def forget(self) -> None:
        """Let go of what was refused: another site is open."""
        self._kept.clear()
        for line in (self.by, self.turn):
            line.clear()
            mark(line, "")

    def focus_name(self) -> None:
        """Let the keys go to the name, all of it marked."""
        made = self.editors.get("name")
        if made is not None and isinstance(made.widget, QLineEdit):
            made.widget.setFocus()
            made.widget.selectAll()

    # what is typed ---------------------------------------------------------------------------------

    def _commit(self, field: Field, made: Editor) -> None:
        part, tools = self._part, self.tools
        value = value_of(self._site, part) if self._site is not None and part is not None else None
        gone = self.editors.get(field.name) is not made
        if part is None or value is None or tools is None or gone:
            return
        try:
            new = field.with_value(value, made.read(feet=self._feet))
            mended = self._kept.pop((part, field.name), None)
            made.refuse("")
            if mended is not None and new == value:
                # What was complained about is as it was before: no longer true.
                self.refused.emit("")
            if new != value:
                done = "rename" if field.name == "name" else f"{field.label.lower()} of"
                tools.change(part, new, done)
        except InputError as error:
            self._refuse(part, field, error)

    def _refuse(self, part: Part, field: Field, error: InputError) -> None:
        if not error.field or error.field.startswith("row "):
            error = error.within(f"{field.label}:" if error.field else field.label)
        line = error.line()
        made = self.editors[field.name]
        made.refuse(line)
        if isinstance(made.widget, QLineEdit):
            self._kept[part, field.name] = (made.widget.text(), line)
        self.refused.emit(line)

    def _move(self) -> None:
        self._act(self.by, "Move by", lambda t, text: t.move_by(_offset(text, feet=self._feet)))

    def _turn(self) -> None:
        self._act(
            self.turn, "Turn by", lambda t, text: t.turn_by(number(text.removesuffix("°").strip()))
        )

    def _act(self, line: QLineEdit, name: str, does: Callable[[Tools, str], None]) -> None:
        text = line.text().strip()
        if not text or self.tools is None:
            return
        try:
            does(self.tools, text)
        except InputError as error:
            said = error.within(name).line()
            mark(line, said)
            self.refused.emit(said)
            return
        mark(line, "")
        line.clear()


def _offset(text: str, *, feet: bool) -> tuple[float, float, float]:
    """Return metres to the east, to the north and up; a length with a sign alone is up."""
    upright = _UPRIGHT.fullmatch(text)
    if upright is not None:
        up = length(upright["length"], feet=feet)
        return 0.0, 0.0, up if upright["way"].lower() == "up" else -up
    if text[0] in "+-" and text[-1:].lower() not in "nesw":
        return 0.0, 0.0, length(text, feet=feet)
    return (*parse_offset(text, feet=feet), 0.0)
