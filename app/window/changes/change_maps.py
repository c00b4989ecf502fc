"""The maps of the Changes task, in place of those of the site as it is."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QSplitter, QVBoxLayout, QWidget

from app.window.changes.change_pane import ChangePane
from app.window.changes.compared import Compared
from app.window.changes.legend import ChangeLegend
from app.window.changes.strip import ChangeStrip
from app.window.panels.panel import Panel


class ChangeMaps(QWidget, Panel):
    """What is compared, the planes beside each other, and the legend; the planes come when they are first wanted."""

    def __init__(self) -> None:
        super().__init__()
        self.setObjectName("change maps")
        self.setAccessibleName("Maps of two states")
        self.strip, self.legend = ChangeStrip(), ChangeLegend()
        self.planes = QSplitter(Qt.Orientation.Horizontal)
        self._panes: tuple[ChangePane, ...] = ()
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(3)
        column.addWidget(self.strip)
        column.addWidget(self.planes, 1)
        column.addWidget(self.legend)

    def furnish(self, panes: Sequence[ChangePane]) -> None:
        """Take in the planes."""
        self._panes = tuple(panes)
        for pane in self._panes:
            self.planes.addWidget(pane)
        self.planes.setSizes([500] * len(self._panes))

    def show_compared(self, compared: Compared) -> None:
        """Show what is compared and how; no map is drawn here."""
        self.strip.show_compared(compared)
        self.legend.show_compared(compared)
        for pane in self._panes:
            pane.setVisible(compared.planes in ("both", pane.name))
