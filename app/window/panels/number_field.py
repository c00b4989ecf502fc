"""A field for one number that keeps what was typed until it can be read."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent, QWheelEvent
from PySide6.QtWidgets import QLineEdit, QWidget

from app.window import typed
from core.errors import InputError


class NumberField(QLineEdit):
    """``valueChanged`` carries a number that was typed or stepped; ``refused`` why a text is none.

    Up and Down step. A text that is refused stays, marked, to be mended; Escape takes it back.
    """

    valueChanged = Signal(float)
    refused = Signal(str)

    def __init__(
        self,
        name: str,
        low: float,
        high: float,
        step: float,
        *,
        decimals: int = 2,
        wraps: bool = False,
    ) -> None:
        super().__init__()
        self.setObjectName(name)
        self.setAccessibleName(name)
        self.low, self.high, self.step, self.decimals, self.wraps = low, high, step, decimals, wraps
        self.suffix = ""
        self._read: Callable[[str], float] = typed.number
        self._value = 0.0
        self.setMaxLength(60)
        self.editingFinished.connect(self._take)
        self._show()

    def value(self) -> float:
        """Return the number, in the unit that is shown."""
        return self._value

    def setValue(self, value: float) -> None:
        """Set the number; tells if it is another one."""
        if self.wraps:
            value = self.low + (value - self.low) % (self.high - self.low)
        value = min(max(value, self.low), self.high)
        changed = value != self._value
        self._value = value
        self._show()
        if changed:
            self.valueChanged.emit(value)

    def setUnit(self, suffix: str, read: Callable[[str], float]) -> None:
        """Show a unit behind the number, and read texts with a function that knows units."""
        self.suffix, self._read = suffix, read
        self._show()

    @property
    def is_refused(self) -> bool:
        """Whether the text that stands here was refused."""
        return bool(self.property("refused"))

    def _show(self) -> None:
        self.setText(f"{self._value:.{self.decimals}f}{self.suffix}")
        mark(self, "")

    def _take(self) -> None:
        text = self.text().strip()
        if self.isReadOnly() or text == f"{self._value:.{self.decimals}f}{self.suffix}".strip():
            mark(self, "")
            return
        bare = text.removesuffix(self.suffix.strip()).strip() if self.suffix == "°" else text
        try:
            value = self._read(bare)
            if not self.low <= value <= self.high:
                raise InputError(
                    f"{text!r} is outside what this field takes",
                    fix=f"Use {self.low:g} to {self.high:g}{self.suffix}",
                )
        except InputError as error:
            line = error.within(self.objectName()).line()
            mark(self, line)
            self.refused.emit(line)
            return
        self.setValue(value)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        turn = {Qt.Key.Key_Up: 1.0, Qt.Key.Key_Down: -1.0}.get(Qt.Key(event.key()))
        if turn is not None:
            self.setValue(self._value + turn * self.step)
        elif event.key() == Qt.Key.Key_Escape and self.is_refused:
            self._show()
        else:
            super().keyPressEvent(event)

    def wheelEvent(self, event: QWheelEvent) -> None:
        # A wheel that scrolls past must not change a figure.
        event.ignore()


def mark(field: QWidget, why: str) -> None:
    """Mark a field whose text was refused, with the reason as its tip; an empty reason takes the mark off."""
    if bool(field.property("refused")) == bool(why):
        return
    field.setProperty("refused", bool(why))
    if why:
        field.setProperty("tip", field.toolTip())
        field.setStyleSheet("border: 2px solid #b3126b; padding: 1px")
        field.setToolTip(why)
    else:
        field.setStyleSheet("")
        field.setToolTip(str(field.property("tip") or ""))
