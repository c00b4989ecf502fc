"""One map of the window: a canvas, what it shows of the scene, and a worker of its own."""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any

from PySide6.QtCore import QObject, Signal

from app.draw.isobands import isobands
from app.window.canvas import Shaded
from app.window.jobs import Worker
from app.window.planes import Plane
from app.window.pointing import PointedCanvas
from app.window.scene import Look, Scene, radiating
from core.exposure.raster import LayerCache, raster
from core.site.site import Site
from core.views.views import View

COARSE, FINE = 64, 220
"""Cells across a map: first look, full picture."""

_BRIEF = 0.1
"""Seconds: what would be shown no longer than this is not drawn, drawing it takes as long."""

ROUGH, MANY = 16, 24
"""Cells across the look before the first one, on sites with more carriers than so many."""

DRAGGED = (16, 24, 32, 48, 64, 96)
"""Cells across while an antenna is carried: as many as fit into :data:`BUDGET`."""

BUDGET = 0.02
"""Seconds a picture may take while an antenna is carried."""


@dataclass(frozen=True)
class _Subject:
    """What a shading was made from: a site without fences, and the whole view that it is a piece of."""

    site: Site
    whole: View


@dataclass(frozen=True)
class _Picture:
    """A shading, what it was made from and for, its cells across, and the seconds its fields took."""

    subject: _Subject
    look: Look
    shaded: Shaded
    cells: int
    taken: float


class Pane(QObject):
    """Shows one plane of a scene. Signals carry the pane and view coordinates in m, as those of the canvas."""

    clicked = Signal(object, float, float)
    picked = Signal(list, bool)
    hovered = Signal(object, object)
    dragged = Signal(object, int, float, float)
    dropped = Signal(bool)
    zoomed = Signal(object, float, float, float)
    panned = Signal(object, float, float)
    asked = Signal(str)
    resized = Signal()
    failed = Signal(str)
    busy = Signal()

    def __init__(self, plane: Plane, cache: LayerCache) -> None:
        super().__init__()
        self.plane = plane
        self.cache = cache
        self.canvas = PointedCanvas(plane.name)
        self.worker = Worker()
        self._computing = False
        self._shown: _Subject | None = None
        self._asked: tuple[_Subject, View] | None = None
        self._dragged = DRAGGED[1]
        self.worker.done.connect(self._shade)
        self.worker.failed.connect(self._failed)
        self.worker.busy.connect(self._set_working)
        self.canvas.clicked.connect(lambda u, v: self.clicked.emit(self, u, v))
        self.canvas.hovered.connect(lambda at: self.hovered.emit(self, at))
        self.canvas.dragged.connect(lambda i, u, v: self.dragged.emit(self, i, u, v))
        self.canvas.zoomed.connect(lambda u, v, closer: self.zoomed.emit(self, u, v, closer))
        self.canvas.panned.connect(lambda right, up: self.panned.emit(self, right, up))
        for theirs, ours in (
            (self.canvas.picked, self.picked),
            (self.canvas.dropped, self.dropped),
            (self.canvas.asked, self.asked),
            (self.canvas.resized, self.resized),
        ):
            theirs.connect(ours)

    @property
    def name(self) -> str:
        """What the pane is called."""
        return self.plane.name

    @property
    def working(self) -> bool:
        """Whether a picture is being computed, or waits for one to be drawn."""
        return self._computing or self.canvas.waits

    def view(self, scene: Scene) -> View:
        """Return what of a scene is seen."""
        return self.plane.view(scene, self.canvas.size_now)

    def show(self, scene: Scene) -> None:
        """Draw what stands on the site, the pin and the other cut; the shading stays."""
        self.canvas.show_scene(scene, self.view(scene))
        self.mark(scene)

    def glide(self, scene: Scene) -> None:
        """Follow a camera that moves, with the picture at hand."""
        self.canvas.glide(self.view(scene))

    def mark(self, scene: Scene) -> None:
        """Draw the pin and the other cut."""
        marks = self.plane.marks(scene, self.view(scene))
        self.canvas.mark(marks.pin, marks.line, own=marks.own)

    def ask(self, scene: Scene) -> None:
        """Ask for the shading; without antennas there is none."""
        if not scene.site.antennas:
            self.worker.submit(lambda cancelled, emit: None)
            self.clear()
            return
        asked = None if scene.carried else (self._subject(scene), self.view(scene))
        if asked is not None and asked == self._asked:
            # It is being computed, or is there: a window that finds its size asks several times.
            return
        self._asked = asked
        if asked is not None:
            self.canvas.await_shading()
        self.worker.submit(self._picture(scene))

    def _subject(self, scene: Scene) -> _Subject:
        return _Subject(radiating(scene.shown), self.plane.whole(scene))

    def clear(self) -> None:
        """Show no shading."""
        self._shown = self._asked = None
        self.canvas.show_shaded(None)

    def _picture(self, scene: Scene) -> Callable[[Callable[[], bool], Callable[[Any], None]], None]:
        view, site, cache, look = self.view(scene), scene.shown, self.cache, scene.look
        subject = self._subject(scene)
        steps = (self._dragged,) if scene.carried else self._steps(subject, view)

        def work(cancelled: Callable[[], bool], emit: Callable[[Any], None]) -> None:
            for cells, finer in zip(steps, (*steps[1:], None), strict=True):
                started = time.perf_counter()
                quick = cells != FINE
                made = raster(
                    site, view, shape(view, cells), cache, quick=quick, cancelled=cancelled
                )
                taken = time.perf_counter() - started
                if finer is not None and taken * (finer / cells) ** 2 < _BRIEF:
                    continue
                bands = isobands(made, look.tier, look.contours)
                shaded = Shaded(made, bands, refined=cells == FINE)
                emit(_Picture(subject, look, shaded, cells, taken))

        return work

    def _steps(self, subject: _Subject, view: View) -> tuple[int, ...]:
        """Leave out a first look that would be coarser than what is there already."""
        there = self.canvas.raster
        if there is None or self._shown != subject:
            return looks(subject.site)
        u0, v0, u1, v1 = there.bounds
        a0, b0, a1, b1 = view.bounds
        covered = u0 <= a0 and v0 <= b0 and u1 >= a1 and v1 >= b1
        finer = (u1 - u0) / there.public.shape[1] <= max(a1 - a0, b1 - b0) / COARSE
        return (FINE,) if covered and finer else (COARSE, FINE)

    def _shade(self, picture: _Picture) -> None:
        self._shown = picture.subject
        if picture.cells == self._dragged:
            self._dragged = next_cells(picture.cells, picture.taken)
        self.canvas.show_shaded(picture.shaded)
        now = self.canvas.tier, self.canvas.contours
        if now != (picture.look.tier, picture.look.contours):
            self.restyle()

    def restyle(self) -> None:
        """Show the shading there is for the tier and the lines that the canvas shows now."""
        there = self.canvas.shaded
        if there is not None:
            bands = isobands(there.raster, self.canvas.tier, self.canvas.contours)
            self.canvas.show_shaded(replace(there, bands=bands))

    def _failed(self, text: str) -> None:
        self._asked = None
        self.failed.emit(text)

    def _set_working(self, on: bool) -> None:
        self._computing = on
        self.busy.emit()

    def close(self) -> None:
        """Stop all work."""
        self.worker.close()


def shape(view: View, cells: int) -> tuple[int, int]:
    """Return rows and columns: the longer side gets the cells, a tall elevation is as sharp as a wide plan."""
    u0, v0, u1, v1 = view.bounds
    side = max(u1 - u0, v1 - v0)
    least = min(24, cells)
    return (
        max(least, round(cells * (v1 - v0) / side)), max(least, round(cells * (u1 - u0) / side))
    )  # fmt: skip


def looks(site: Site) -> tuple[int, ...]:
    """Return the cells across of the pictures of a site of which nothing is there yet, one after the other."""
    many = sum(len(a.carriers) for a in site.antennas) > MANY
    return (ROUGH, COARSE, FINE) if many else (COARSE, FINE)


def next_cells(cells: int, taken: float) -> int:
    """Return how many cells the next picture has while an antenna is carried.

    One that took far too long has fewer; one that would have had time for the next finer grid gets it. Between them
    nothing changes: layers of another grid would all have to be computed.
    """
    place = DRAGGED.index(cells)
    if taken > 2.0 * BUDGET and place > 0:
        return DRAGGED[place - 1]
    finer = DRAGGED[min(place + 1, len(DRAGGED) - 1)]
    return finer if taken * (finer / cells) ** 2 < 0.5 * BUDGET else cells
