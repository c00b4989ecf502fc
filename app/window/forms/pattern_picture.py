"""The picture of an antenna's pattern beside its form."""

from __future__ import annotations

from matplotlib.figure import Figure
from PySide6.QtCore import QEvent, Qt
from PySide6.QtGui import QPalette, QWheelEvent

from app.draw.pattern_art import draw_cuts
from app.window.contrast import map_palette
from app.window.letters import KeepingCanvas
from core.antennas.cuts import Cuts

_HEIGHT = 190


class PatternPicture(KeepingCanvas):
    """Both cuts of a pattern, in the colours of the desktop; hidden where there are none."""

    def __init__(self) -> None:
        self._figure = Figure()
        self.cuts: Cuts | None = None
        super().__init__(self._figure)
        self.setPalette(QPalette())
        self.setObjectName("pattern picture")
        self.setAccessibleName("Picture of the pattern")
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setFixedHeight(_HEIGHT)
        self.setMinimumWidth(240)
        self.hide()

    def show_cuts(self, cuts: Cuts | None) -> None:
        """Show a pattern, or none."""
        self.setVisible(cuts is not None)
        if cuts is not self.cuts:
            self.cuts = cuts
            self._draw_anew()

    def _draw_anew(self) -> None:
        if self.cuts is not None:
            draw_cuts(self._figure, self.cuts, map_palette(self))
            self.draw_idle()

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.PaletteChange:
            self._draw_anew()

    def wheelEvent(self, event: QWheelEvent) -> None:
        # It scrolls what it stands in.
        event.ignore()
