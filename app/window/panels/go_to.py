"""The line over the maps that goes to a place one types: from something, so far to a side, at a height."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QComboBox, QHBoxLayout, QLabel, QLineEdit, QPushButton, QWidget

from app.modes.typed_place import DATUM, starts, typed_place
from app.window.panels.panel import Panel
from app.window.scene import Scene
from core.errors import InputError


class GoTo(QWidget, Panel):
    """``gone`` carries a place (x, y, z) in m and whether somebody stands there."""

    gone = Signal(object, bool)
    refused = Signal(str)

    def __init__(self) -> None:
        super().__init__()
        self.setObjectName("go to")
        self._scene: Scene | None = None
        self.start = QComboBox()
        self.start.setAccessibleName("Go to: from")
        self.start.setSizeAdjustPolicy(
            QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon
        )
        self.start.setMinimumContentsLength(12)
        self.start.addItem(DATUM)
        self.offset = self._field("Go to: how far, which way", "2 m west")
        self.offset.setToolTip("2 m west, or 2 m W 3 m N, or metres east and north: 4; -1.5")
        self.up = self._field("Go to: height", "height: 112 m")
        self.up.setToolTip(
            "Above the datum: 112 m. From the place in the list: +1.5 m. Empty: on the surface there"
        )
        self.button = QPushButton("Go")
        self.button.setAccessibleName("Go to this place")
        self.button.clicked.connect(self._go)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.addWidget(QLabel("Go to: from"))
        for widget, share in (
            (self.start, 3), (self.offset, 3), (self.up, 2), (self.button, 0),
        ):  # fmt: skip
            row.addWidget(widget, share)
        self.setFocusProxy(self.offset)

    def _field(self, name: str, example: str) -> QLineEdit:
        field = QLineEdit()
        field.setAccessibleName(name)
        field.setPlaceholderText(example)
        field.setMinimumWidth(70)
        field.returnPressed.connect(self._go)
        return field

    def show_scene(self, scene: Scene) -> None:
        """Offer what is on the site; the choice stays while it is there."""
        self._scene = scene
        names = list(self._starts())
        if names != [self.start.itemText(i) for i in range(self.start.count())]:
            chosen = self.start.currentText()
            self.start.clear()
            self.start.addItems(names)
            self.start.setCurrentIndex(max(self.start.findText(chosen), 0))

    def _starts(self) -> dict[str, tuple[float, float, float]]:
        if self._scene is None:
            return {DATUM: (0.0, 0.0, 0.0)}
        pin = self._scene.pin
        return starts(self._scene.site, pin.place if pin else None)

    def _go(self) -> None:
        """Go there; a text that is refused stays to be mended."""
        if self._scene is None:
            return
        start = self._starts()[self.start.currentText()]
        try:
            place, stands = typed_place(
                self._scene.site, start, self.offset.text(), self.up.text(),
                feet=self._scene.look.feet,
            )  # fmt: skip
        except InputError as error:
            self.refused.emit(error.line())
            return
        self.gone.emit(place, stands)
