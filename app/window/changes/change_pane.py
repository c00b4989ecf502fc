"""One plane of two states: a map before, a map after and one of the difference, with one worker for all three."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any

from PySide6.QtCore import QRect, Qt, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QWidget

from app.draw.change_bands import ChangeBands, change_bands
from app.draw.change_style import Quantity
from app.draw.isobands import isobands
from app.window import pane as panes
from app.window.canvas import Shaded
from app.window.changes.change_canvas import ChangeCanvas
from app.window.changes.compared import BothPlanes, Compared, titles
from app.window.jobs import Worker
from app.window.lines import Title
from app.window.planes import Elevation, Plan
from app.window.scene import Look
from core.changes.difference_map import ChangeMap, change_map
from core.exposure.raster import LayerCache
from core.site.site import Site
from core.views.views import View

_BESIDE = 1.15
"""Two maps stand beside each other where a plane is so many times as wide as it is high, else one above the other."""
_GAP = 4


@dataclass(frozen=True)
class _Subject:
    """What a picture was made from: both sites without fences, and the whole view that it is a piece of."""

    sites: tuple[Site, Site]
    whole: View


@dataclass(frozen=True)
class _Picture:
    """Two states over one view, and what they look like."""

    subject: _Subject
    look: Look
    quantity: Quantity
    change: ChangeMap
    shaded: tuple[Shaded, Shaded]
    bands: ChangeBands


class ChangePane(QWidget):
    """Shows one plane of two states in any way. Signals carry the pane and view coordinates in m."""

    clicked = Signal(object, float, float)
    hovered = Signal(object, object)
    zoomed = Signal(object, float, float, float)
    panned = Signal(object, float, float)
    edged = Signal(float)
    asked = Signal(str)
    resized = Signal()
    failed = Signal(str)
    busy = Signal()

    def __init__(self, plane: Plan | Elevation, cache: LayerCache) -> None:
        super().__init__()
        self.own, self.plane, self.cache = plane, BothPlanes(plane), cache
        self.name = plane.name
        self.setObjectName(f"changes {plane.name}")
        self.setMinimumSize(240, 190)
        names = (("before", "BEFORE"), ("after", "AFTER"), ("difference", "AFTER − BEFORE"))
        self.canvases = tuple(ChangeCanvas(f"{name} {plane.name}", tag) for name, tag in names)
        self.before, self.after, self.difference = self.canvases
        self.titles = tuple(Title(f"changes {plane.name} title {i}") for i in (1, 2))
        widgets: tuple[QWidget, ...] = (*self.canvases, *self.titles)
        for widget in widgets:
            widget.setParent(self)
        self.worker = Worker()
        self.working = False
        self._picture: _Picture | None = None
        self._asked: tuple[_Subject, View] | None = None
        self._compared = Compared(Site(name="-", antennas=()))
        self.worker.done.connect(self._shade)
        self.worker.failed.connect(self._failed)
        for canvas in self.canvases:
            canvas.clicked.connect(lambda u, v: self.clicked.emit(self, u, v))
            canvas.hovered.connect(lambda at: self.hovered.emit(self, at))
            canvas.zoomed.connect(lambda u, v, closer: self.zoomed.emit(self, u, v, closer))
            canvas.panned.connect(lambda right, up: self.panned.emit(self, right, up))
            canvas.asked.connect(self.asked)
            canvas.edged.connect(self.edged)
        self.before.resized.connect(self.resized)
        self.before.drawn.connect(self.after.update)

    # what is on screen -----------------------------------------------------------------------------

    @property
    def in_front(self) -> tuple[ChangeCanvas, ...]:
        """The maps that are seen and take the mouse and the keys."""
        match self._compared.way:
            case "before":
                return (self.before,)
            case "difference":
                return (self.difference,)
            case "side by side":
                return self.before, self.after
        return (self.after,)

    @property
    def canvas(self) -> ChangeCanvas:
        """The map that has the keys, else the first that is seen."""
        return next((c for c in self.in_front if c.hasFocus()), self.in_front[0])

    @property
    def is_away(self) -> bool:
        """Whether the other plane is shown alone: nothing is computed or drawn here then."""
        return self._compared.planes not in ("both", self.name)

    def view(self, compared: Compared) -> View:
        """Return what of both states is seen."""
        return self.own.view(compared, self.in_front[0].size_now)

    def show_way(self, compared: Compared) -> None:
        """Turn to the way of looking; nothing is computed, and what is at hand is not drawn anew."""
        had_keys = any(c.hasFocus() for c in self.canvases)
        cross = next((c.cross for c in self.canvases if c.cross), None)
        self._compared = compared
        front = self.in_front
        # What moves or is wiped over is seen too, though it lies under another.
        seen = {*front, self.before} if compared.way == "wipe" else set(front)
        for canvas in self.canvases:
            canvas.setFocusPolicy(
                Qt.FocusPolicy.StrongFocus if canvas in front else Qt.FocusPolicy.NoFocus
            )
            canvas.tell(None)
            canvas.cross = None
        self.after.wipe(self.before if compared.way == "wipe" else None, compared.edge)
        self._lay_out()
        for canvas in front:
            canvas.raise_()
        for canvas in self.canvases:
            canvas.cover(self.is_away or canvas not in seen, ahead=not self.is_away)
        if had_keys:
            front[0].setFocus()
            front[0].cross = cross
        self.say(compared)

    def say(self, compared: Compared) -> None:
        """Write over the maps which state is seen."""
        for title, text in zip(self.titles, titles(compared, self.own), strict=True):
            title.setText(text)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._lay_out()

    def _lay_out(self) -> None:
        high, whole = self.titles[0].sizeHint().height(), self.rect()
        two = self._compared.way == "side by side"
        cells = [whole]
        if two and whole.width() >= _BESIDE * whole.height():
            half = (whole.width() - _GAP) // 2
            cells = [QRect(x, 0, half, whole.height()) for x in (0, half + _GAP)]
        elif two:
            half = (whole.height() - _GAP) // 2
            cells = [QRect(0, y, whole.width(), half) for y in (0, half + _GAP)]
        for title, cell in zip(self.titles, cells, strict=False):
            title.setGeometry(cell.x(), cell.y(), cell.width(), high)
        self.titles[1].setVisible(two)
        for canvas, cell in zip(self.canvases, (cells[0], cells[-1], cells[0]), strict=True):
            canvas.setGeometry(cell.adjusted(0, high, 0, 0))

    # what is shown ---------------------------------------------------------------------------------

    def show_compared(self, compared: Compared) -> None:
        """Draw what stands on both sites, and the pin; the shading stays."""
        self._compared = compared
        view = self.view(compared)
        for canvas, i in zip(self.canvases, (0, 1, 1), strict=True):
            canvas.show_scene(compared.of(i), view)
        self.mark(compared)
        self.say(compared)

    def mark(self, compared: Compared) -> None:
        """Draw the pin, the other cut, and what zones gained and lost."""
        self._compared = compared
        view = self.view(compared)
        marks = self.own.marks(compared, view)
        zones = compared.comparison.zones if compared.comparison and compared.marked else ()
        shown = [z for z in zones if z.step.key == compared.look.tier and self.name == "plan"]
        for canvas in self.canvases:
            canvas.mark(marks.pin, marks.line, own=marks.own)
            canvas.show_marks(shown)

    def glide(self, compared: Compared) -> None:
        """Follow a camera that moves, with the pictures at hand."""
        self._compared = compared
        view = self.view(compared)
        for canvas in self.canvases:
            canvas.glide(view)

    def slide(self, compared: Compared) -> None:
        """Follow the edge of the wipe."""
        self._compared = compared
        self.after.wipe(self.after.wiped, compared.edge)

    def ask(self, compared: Compared) -> None:
        """Ask for the shading of both states and of their difference."""
        if self.is_away:
            return
        if not any(e.site.antennas for e in compared.ends):
            self.worker.submit(lambda cancelled, emit: None)
            self.clear()
            return
        sites = tuple(replace(e.site, fences=()) for e in compared.ends)
        subject = _Subject((sites[0], sites[1]), self.plane.whole(compared))
        view = self.view(compared)
        if (subject, view) != self._asked:
            self._asked, self.working = (subject, view), True
            steps = self._steps(subject, view)
            self.worker.submit(_work(subject, view, compared, self.cache, steps))

    def clear(self) -> None:
        """Show no shading."""
        self._picture = self._asked = None
        self._rest()
        for canvas in self.canvases:
            canvas.show_shaded(None)
        self.difference.show_difference(None)

    def _steps(self, subject: _Subject, view: View) -> tuple[int, ...]:
        """Leave out a first look that would be coarser than what is there already."""
        there = self._picture
        if there is None or there.subject != subject:
            return panes.COARSE, panes.FINE
        u0, v0, u1, v1 = there.change.before.bounds
        a0, b0, a1, b1 = view.bounds
        covered = u0 <= a0 and v0 <= b0 and u1 >= a1 and v1 >= b1
        cell = (u1 - u0) / there.change.before.public.shape[1]
        finer = cell <= max(a1 - a0, b1 - b0) / panes.COARSE
        return (panes.FINE,) if covered and finer else (panes.COARSE, panes.FINE)

    def _shade(self, picture: _Picture) -> None:
        now = self._compared
        if picture.shaded[0].refined:
            self._rest()
        if not now.look.differs_in_ink_only(picture.look) and now.look != picture.look:
            return
        if (picture.look, picture.quantity) != (now.look, now.quantity):
            picture = pictured(picture.subject, picture.change, now, picture.shaded[0].refined)
        self._picture = picture
        self.before.show_shaded(picture.shaded[0])
        self.after.show_shaded(picture.shaded[1])
        self.difference.show_difference(picture.bands)

    def restyle(self, compared: Compared) -> None:
        """Show the shading there is for another tier, other lines, or another unit of the difference."""
        self._compared = compared
        if self._picture is not None:
            self._shade(self._picture)

    @property
    def change(self) -> ChangeMap | None:
        """The pictures of both states that are on screen."""
        return self._picture.change if self._picture is not None else None

    @property
    def bands(self) -> ChangeBands | None:
        """What the difference on screen looks like."""
        return self._picture.bands if self._picture is not None else None

    def _failed(self, text: str) -> None:
        self._asked = None
        self._rest()
        self.failed.emit(text)

    def _rest(self) -> None:
        """Say that what was asked for last is there: a worker that rests may be about to take it up."""
        self.working = False
        self.busy.emit()

    def close_down(self) -> None:
        """Stop all work."""
        self.worker.close()


def _work(
    subject: _Subject, view: View, compared: Compared, cache: LayerCache, steps: tuple[int, ...]
) -> Callable[[Callable[[], bool], Callable[[Any], None]], None]:
    def work(cancelled: Callable[[], bool], emit: Callable[[Any], None]) -> None:
        for cells in steps:
            shape = panes.shape(view, cells)
            change = change_map(*subject.sites, view, shape, cache, cancelled=cancelled)
            emit(pictured(subject, change, compared, cells == steps[-1]))

    return work


def pictured(subject: _Subject, change: ChangeMap, compared: Compared, refined: bool) -> _Picture:
    """Return what two states look like to the tier shown."""
    look = compared.look
    before, after = (
        Shaded(one, isobands(one, look.tier, look.contours), refined)
        for one in (change.before, change.after)
    )
    bands = change_bands(change, look.tier, compared.quantity)
    return _Picture(subject, look, compared.quantity, change, (before, after), bands)
