"""Which named state of the site maps, readings and zones show: as filed, or one of its states."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QComboBox, QHBoxLayout, QLabel, QVBoxLayout, QWidget

from app.window import tones
from app.window.panels.panel import Panel
from app.window.scene import Scene

FILED = "as filed"


class StateBox(QWidget, Panel):
    """``state_chosen`` carries the name of a state, empty for the site as filed."""

    state_chosen = Signal(str)

    def __init__(self) -> None:
        super().__init__()
        self.setObjectName("state shown")
        self.box = QComboBox()
        self.box.setObjectName("state")
        self.box.setAccessibleName("State of the site that is shown")
        self.box.setToolTip("What maps, readings, zones and jobs are computed for; no edit")
        self.box.setMinimumContentsLength(9)
        self.box.setSizeAdjustPolicy(
            QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon
        )
        self.note = QLabel("NOT as filed: lowered only once it is locked, tagged and measured.")
        self.note.setObjectName("state note")
        self.note.setWordWrap(True)
        self.note.setStyleSheet(
            f"background:{tones.NOTE_GROUND}; color:{tones.NOTE_INK}; padding:3px; font-weight:bold"
        )
        row = QHBoxLayout()
        row.addWidget(QLabel("Site shown"))
        row.addWidget(self.box, 1)
        column = QVBoxLayout(self)
        column.setContentsMargins(9, 2, 9, 0)
        column.addLayout(row)
        column.addWidget(self.note)
        self.box.activated.connect(lambda _: self.state_chosen.emit(self.box.currentData()))
        self.note.hide()

    def show_scene(self, scene: Scene) -> None:
        """Follow the states there are and the one that is shown; not there where the site has none."""
        items = [(FILED, ""), *((s.name, s.name) for s in scene.site.states)]
        if items != [(self.box.itemText(i), self.box.itemData(i)) for i in range(self.box.count())]:
            self.box.clear()
            for text, name in items:
                self.box.addItem(text, name)
        self.box.setCurrentIndex(max(self.box.findData(scene.state), 0))
        self.note.setVisible(bool(scene.state))
        # Two states that are compared are not this one.
        self.setVisible(len(items) > 1 and scene.task != "changes")
