"""A map of one state or of the difference: it says which, and another can be wiped over it."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from matplotlib.artist import Artist
from PySide6.QtCore import QEvent, QPointF, QRectF, QSize, Qt, QTimer, Signal
from PySide6.QtGui import QColor, QMouseEvent, QPainter, QPen

from app.draw.change_art import ChangeArt, draw_gained_and_lost
from app.draw.change_bands import ChangeBands
from app.window.canvas import Box, Shaded
from app.window.pointing import PointedCanvas
from app.window.scene import Scene
from core.changes.zones import ZoneChange
from core.views.views import View

_REACH = 8.0
"""Pixels within which the mouse takes hold of the edge of a wipe."""
_SPARE = 250
"""Milliseconds after which a map that nobody sees is drawn, so that it is there when it is switched to."""
_GRIP = (9.0, 26.0)
"""Half-width and height of the grip on the edge, pixels."""


class ChangeCanvas(PointedCanvas):
    """One of the maps of a plane. ``edged`` carries where the edge of the wipe was dragged to, 0 to 1."""

    edged = Signal(float)
    drawn = Signal()

    def __init__(self, name: str, tag: str) -> None:
        self.covered, self._ahead = False, True
        self._due: dict[str, Callable[[], None]] = {}
        self._spare: QTimer | None = None
        super().__init__(name)
        # Two of them stand where one map of the site would.
        self.setMinimumSize(QSize(120, 60))
        self.tag = tag
        self.art = ChangeArt(self.map)
        self.wiped: ChangeCanvas | None = None
        self.edge = 0.5
        self._sliding = False
        self._zones: tuple[ZoneChange, ...] = ()
        self._marks: list[Artist] = []
        self._spare = QTimer(self, singleShot=True, interval=_SPARE)
        self._spare.timeout.connect(self._catch_up)

    # what is shown: at once where it is seen, else when there is time -------------------------------

    def _when_seen(self, what: str, act: Callable[[], None]) -> None:
        """Do something now, or, where nobody sees the map, later: of each kind the last."""
        self._due.pop(what, None)
        if not self.covered:
            act()
            return
        self._due[what] = act
        if self._ahead and self._spare is not None:
            self._spare.start()

    def _catch_up(self) -> None:
        """Do what was put off, and draw once."""
        due, self._due = self._due, {}
        for act in due.values():
            act()
        super().draw_idle()

    def cover(self, covered: bool, *, ahead: bool = True) -> None:
        """Lie under another map, or on top; what is covered is drawn ``ahead``, in spare time, or once it is seen."""
        self.covered, self._ahead = covered, ahead
        if self._spare is None:
            return
        if covered:
            if ahead and self._due:
                self._spare.start()
        elif self._due:
            self._spare.stop()
            self._catch_up()

    @property
    def is_waiting(self) -> bool:
        """Whether the map is yet to be drawn though nobody sees it."""
        return self._spare is not None and self._spare.isActive()

    def show_scene(self, scene: Scene, view: View) -> None:
        self._when_seen("scene", lambda: self._show_scene(scene, view))

    def _show_scene(self, scene: Scene, view: View) -> None:
        super().show_scene(scene, view)
        self.art.label()

    def show_shaded(self, shaded: Shaded | None) -> None:
        self.shaded = shaded
        self._when_seen("shading", lambda: super(ChangeCanvas, self).show_shaded(shaded))

    def show_difference(self, bands: ChangeBands | None) -> None:
        """Shade rise and fall; None takes the shading off."""
        self._when_seen("difference", lambda: self._show_difference(bands))

    def _show_difference(self, bands: ChangeBands | None) -> None:
        self.art.show(bands)
        self.draw_idle()

    def show_marks(self, zones: Sequence[ZoneChange]) -> None:
        """Draw what zones gained and lost."""
        if tuple(zones) != self._zones:
            self._zones = tuple(zones)
            self._when_seen("marks", self._show_marks)

    def _show_marks(self) -> None:
        self._draw_marks()
        self.draw_idle()

    def _draw_marks(self) -> None:
        for artist in self._marks:
            artist.remove()
        gained, lost = ([getattr(z, n) for z in self._zones] for n in ("gained", "lost"))
        self._marks = draw_gained_and_lost(self.map, gained, lost)

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.PaletteChange and self._spare is not None:
            self.art.show(self.art.bands)
            self._draw_marks()

    def draw_idle(self) -> None:
        if self.covered and self._spare is not None:
            self._when_seen("drawing", lambda: None)
        else:
            super().draw_idle()

    def draw(self) -> None:
        super().draw()
        self.drawn.emit()

    # the wipe --------------------------------------------------------------------------------------

    def wipe(self, over: ChangeCanvas | None, edge: float) -> None:
        """Show another map left of an edge; None shows this one alone."""
        self.wiped, self.edge = over, edge
        self.update()

    def _near_edge(self, at: QPointF) -> bool:
        return self.wiped is not None and abs(at.x() - self.edge * self.width()) <= _REACH

    def mousePressEvent(self, event: QMouseEvent) -> None:
        if event.button() == Qt.MouseButton.LeftButton and self._near_edge(event.position()):
            self._sliding = True
        else:
            super().mousePressEvent(event)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        at = event.position()
        if self._sliding:
            self.edged.emit(min(max(at.x() / max(self.width(), 1), 0.0), 1.0))
            return
        super().mouseMoveEvent(event)
        if self._near_edge(at):
            self.setCursor(Qt.CursorShape.SplitHCursor)
        elif self.cursor().shape() == Qt.CursorShape.SplitHCursor:
            self.unsetCursor()

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        if self._sliding and event.button() == Qt.MouseButton.LeftButton:
            self._sliding = False
        else:
            super().mouseReleaseEvent(event)

    # painting --------------------------------------------------------------------------------------

    @property
    def known(self) -> Box | None:
        return super().known if self.art.bands is None else self.art.bands.bounds

    def paint_more(self, painter: QPainter) -> None:
        if self.wiped is None:
            self._paint_tag(painter, self.tag, 0.5 * self.width(), 0.5)
            return
        at = round(self.edge * self.width())
        painter.save()
        painter.setClipRect(QRectF(0.0, 0.0, at, self.height()))
        self.wiped.paint_picture(painter)
        painter.restore()
        paper, ink = QColor(self.map.palette.paper), QColor(self.map.palette.ink)
        for width, colour in ((5.0, paper), (2.0, ink)):
            painter.setPen(QPen(colour, width))
            painter.drawLine(QPointF(at, 0.0), QPointF(at, self.height()))
        half, high = _GRIP
        grip = QRectF(at - half, 0.5 * (self.height() - high), 2.0 * half, high)
        painter.fillRect(grip, ink)
        painter.setPen(QPen(paper, 1.6))
        for x in (-3.5, 0.0, 3.5):
            painter.drawLine(
                QPointF(at + x, grip.top() + 6.0), QPointF(at + x, grip.bottom() - 6.0)
            )
        self._paint_tag(painter, self.wiped.tag, at - 5.0, 1.0)
        self._paint_tag(painter, self.tag, at + 5.0, 0.0)

    def _paint_tag(self, painter: QPainter, words: str, x: float, share: float) -> None:
        """Write which state is on screen at the top; ``share`` of the words' box is left of ``x``."""
        font = painter.font()
        font.setPointSizeF(9.0)
        font.setBold(True)
        painter.setFont(font)
        measured = painter.fontMetrics()
        wide, high = measured.horizontalAdvance(words) + 12.0, measured.height() + 3.0
        box = QRectF(x - share * wide, 3.0, wide, high)
        painter.fillRect(box, QColor(self.map.palette.ink))
        painter.setPen(QColor(self.map.palette.paper))
        painter.drawText(box, int(Qt.AlignmentFlag.AlignCenter), words)
