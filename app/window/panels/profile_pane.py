"""The profile of the chosen job under the maps: hovering it marks the place on the maps, a click pins it."""

from __future__ import annotations

from matplotlib.backend_bases import MouseEvent
from matplotlib.figure import Figure
from PySide6.QtCore import QEvent, QPointF, QSize, Qt, Signal
from PySide6.QtGui import (
    QFocusEvent,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QPen,
    QShowEvent,
)
from PySide6.QtWidgets import QHBoxLayout, QRadioButton, QVBoxLayout, QWidget

from app.draw.profile_art import ProfileArt, Shown
from app.window import tones
from app.window.contrast import map_palette
from app.window.letters import KeepingCanvas
from app.window.lines import Title
from app.window.panels.panel import Panel
from app.window.planned import Planned
from app.window.scene import Scene
from core.entry.course import Course
from core.entry.report import show_time
from core.units import at_most, show_length, show_percent

_STEP, _LEAP = 1, 25
"""Places of the course that a key moves: alone, and Page Up and Down."""


class ProfilePane(QWidget, Panel):
    """``told`` carries a place of the way and words, None where the mouse is away; ``walked`` a place that is pinned
    and whether it is on a ladder."""

    told = Signal(object, str)
    walked = Signal(object, bool)

    def __init__(self) -> None:
        super().__init__()
        self.setObjectName("profile")
        self.setAccessibleName("Profile of the way")
        self.canvas = _ProfileCanvas()
        self.time, self.length = QRadioButton("against &time"), QRadioButton("against &length")
        self.time.setChecked(True)
        self.words = Title("profile words")
        head = QHBoxLayout()
        head.setContentsMargins(4, 0, 4, 0)
        head.addWidget(self.words, 1)
        for button in (self.time, self.length):
            head.addWidget(button)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addLayout(head)
        column.addWidget(self.canvas, 1)
        self.setMinimumHeight(138)
        self.setMaximumHeight(190)
        self.planned = Planned()
        self._scene: Scene | None = None
        self._pin = -1
        self.time.toggled.connect(lambda _: self._draw())
        self.canvas.hovered.connect(self._hover)
        self.canvas.pressed.connect(self._pin_at)
        self.canvas.stepped.connect(self._step)

    @property
    def course(self) -> Course | None:
        """The course that is shown."""
        return self.planned.course

    def show_scene(self, scene: Scene) -> None:
        """Follow units and the pin."""
        pinned = scene.pin.place if scene.pin is not None else None
        one = self.course
        if self._pin >= 0 and (one is None or pinned != _place(one, self._pin)):
            self._pin = -1
        self._scene = scene
        self._draw()

    def show_planned(self, planned: Planned) -> None:
        """Follow what was found."""
        self.planned = planned
        self._pin = -1
        self._draw()

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.PaletteChange:
            self._draw()

    def _draw(self) -> None:
        scene, one = self._scene, self.course
        if scene is None:
            return
        paper, ink = tones.ground(self.palette()).name(), tones.ink(self.palette()).name()
        pin = map_palette(self).pin
        shown = None
        if one is not None and len(one.seconds):
            shown = Shown(
                one, self.length.isChecked(), scene.look.feet,
                self.planned.stale, self._pin,
            )  # fmt: skip
        self.canvas.show_profile(shown, paper, ink, pin)
        self.words.setText(self._said())
        self.canvas.setAccessibleDescription(self.words.text())

    def _said(self) -> str:
        planned, one = self.planned, self.course
        if planned.job is None:
            return "No job: make one on the left"
        if planned.job.route is None:
            return "The job has no way yet: draw it on the maps (Ctrl+W)"
        if planned.trouble or one is None:
            return (planned.trouble and "No profile") or "The way is being looked at…"
        assert self._scene is not None
        key = self._scene.site.limit_set
        most = show_percent(float(one.occupational.max()))
        if planned.stale or one.about:
            return f"% of {key} along the way: about {most} occupational at most; being proven…"
        return f"% of {key} along the way, proven: {at_most(float(one.occupational.max()))} occupational"

    def _hover(self, index: int) -> None:
        one = self.course
        if one is None or index < 0:
            self.told.emit(None, "")
            return
        self.told.emit(_place(one, index), self.at_words(index))

    def at_words(self, index: int) -> str:
        """Return what is met at a place of the course, in words."""
        one, scene = self.course, self._scene
        assert one is not None
        assert scene is not None
        about = "about " if one.about or self.planned.stale else ""
        height = show_length(float(one.places[index, 2]), feet=scene.look.feet)
        own = one.public if one.tier == "public" else one.occupational
        when = show_time(float(one.seconds[index]))
        words = f"{when}, {height} up: {about}{show_percent(float(own[index]))} {one.tier}"
        if one.use is not None:
            words += f", {show_percent(float(one.use[index]))} of the rating"
        return words

    def _pin_at(self, index: int) -> None:
        one = self.course
        if one is None or index < 0:
            return
        self._pin = index
        self.walked.emit(_place(one, index), bool(one.climbs[index]))
        self._pin = index
        self._draw()

    def _step(self, by: int) -> None:
        one = self.course
        if one is not None:
            self._pin_at(min(max(self._pin + by, 0), len(one.seconds) - 1))
            self._hover(self._pin)


def _place(one: Course, index: int) -> tuple[float, float, float]:
    x, y, z = (float(c) for c in one.places[index])
    return x, y, z


class _ProfileCanvas(KeepingCanvas):
    """The plot on screen. Signals carry places of the course; -1 is none."""

    hovered = Signal(int)
    pressed = Signal(int)
    stepped = Signal(int)

    def __init__(self) -> None:
        self._figure = Figure()
        super().__init__(self._figure)
        self.setObjectName("profile plot")
        self.setAccessibleName("Percent along the way")
        self.setToolTip(
            "Move over it to see the place on the maps; a click, or the arrow keys, pin it"
        )
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setMouseTracking(True)
        self.setMinimumSize(QSize(200, 100))
        self.art: ProfileArt | None = None
        self.shown: Shown | None = None
        self._colours = ("", "", "")
        self._under: float | None = None
        self._dirty = False
        self.mpl_connect("button_press_event", self._press)
        self.mpl_connect("resize_event", lambda _: self._again())

    def show_profile(self, shown: Shown | None, paper: str, ink: str, pin: str) -> None:
        """Draw a profile, or nothing, once for however many changes come in a row."""
        if (paper, ink, pin) == self._colours and _same(shown, self.shown):
            return
        if self.art is None and shown is None:
            # Most people never come here: the plot is made when there is something to show.
            self._figure.set_facecolor(paper)
            return
        if self.art is None or (paper, ink, pin) != self._colours:
            self._figure.clear()
            self.art = ProfileArt(self._figure, paper=paper, ink=ink, pin=pin)
            self._colours = (paper, ink, pin)
        self.shown = shown
        self._again()

    def pixel_of(self, index: int) -> QPointF:
        """Return the pixel of the widget over a place of the course, in the middle of the plot."""
        assert self.art is not None
        return QPointF(self.art.column_of(index) / self.device_pixel_ratio, 0.5 * self.height())

    def _again(self) -> None:
        self._dirty = True
        self.draw_idle()

    def draw_idle(self) -> None:
        """Draw as soon as there is time, but nothing that is not seen."""
        if self.isVisible():
            super().draw_idle()

    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        self.draw_idle()

    def draw(self) -> None:
        """Bring the artists up to date, then draw them."""
        if self._dirty and self.art is not None:
            self._dirty = False
            self.art.place(max(self.width(), 1), max(self.height(), 1))
            self.art.axes.set_visible(self.shown is not None)
            if self.shown is not None:
                self.art.show(self.shown)
        super().draw()

    def _index(self, x: float) -> int:
        if self.art is None or self.shown is None:
            return -1
        return self.art.index_at(x)

    def _press(self, event: MouseEvent) -> None:
        if event.button == 1:
            self.pressed.emit(self._index(float(event.x)))

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        super().mouseMoveEvent(event)
        self._under = event.position().x()
        self.hovered.emit(self._index(self._under * self.device_pixel_ratio))
        self.update()

    def leaveEvent(self, event: QEvent) -> None:
        super().leaveEvent(event)
        self._under = None
        self.hovered.emit(-1)
        self.update()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        by = {
            Qt.Key.Key_Left: -_STEP, Qt.Key.Key_Right: _STEP, Qt.Key.Key_PageUp: -_LEAP, Qt.Key.Key_PageDown: _LEAP,
        }.get(Qt.Key(event.key()))  # fmt: skip
        if by is not None and event.modifiers() == Qt.KeyboardModifier.NoModifier:
            self.stepped.emit(by)
        else:
            super().keyPressEvent(event)

    def paintEvent(self, event: QPaintEvent) -> None:
        super().paintEvent(event)
        painter = QPainter(self)
        if self._under is not None and self.shown is not None:
            painter.setPen(QPen(self.palette().text().color(), 1.0, Qt.PenStyle.DashLine))
            x = round(self._under)
            painter.drawLine(x, 0, x, self.height())
        if self.hasFocus():
            painter.setPen(QPen(self.palette().highlight().color(), 2.0))
            painter.drawRect(self.rect().adjusted(1, 1, -1, -1))
        painter.end()

    def focusInEvent(self, event: QFocusEvent) -> None:
        super().focusInEvent(event)
        self.update()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        super().focusOutEvent(event)
        self.update()


def _same(a: Shown | None, b: Shown | None) -> bool:
    """Return whether two are drawn alike; arrays are compared by being the same course."""
    if a is None or b is None:
        return a is b
    return a.course is b.course and (a.length, a.feet, a.stale, a.pin) == (
        b.length, b.feet, b.stale, b.pin,
    )  # fmt: skip
