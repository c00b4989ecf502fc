"""One map of the window: a canvas, what it shows of the scene, and a worker of its own."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np
from PySide6.QtCore import QObject, Signal

from app.window.canvas import MapCanvas
from app.window.jobs import Worker
from app.window.planes import Plane
from app.window.scene import Scene
from core.exposure.raster import LayerCache, Raster, raster
from core.views.views import View

COARSE, FINE, DRAG = 64, 220, 48
"""Cells across a map: first look, full picture, while dragging."""


class Pane(QObject):
    """Shows one plane of a scene. Signals carry the pane and view coordinates in m."""

    clicked = Signal(object, float, float)
    hovered = Signal(object, object)
    dragged = Signal(object, int, float, float)
    dropped = Signal()
    resized = Signal()
    failed = Signal(str)
    busy = Signal()

    def __init__(self, plane: Plane, cache: LayerCache) -> None:
        super().__init__()
        self.plane = plane
        self.cache = cache
        self.canvas = MapCanvas(plane.name)
        self.worker = Worker()
        self.working = False
        self.worker.done.connect(self._shade)
        self.worker.failed.connect(self.failed)
        self.worker.busy.connect(self._set_working)
        self.canvas.clicked.connect(lambda u, v: self.clicked.emit(self, u, v))
        self.canvas.hovered.connect(lambda at: self.hovered.emit(self, at))
        self.canvas.dragged.connect(lambda i, u, v: self.dragged.emit(self, i, u, v))
        self.canvas.dropped.connect(self.dropped)
        self.canvas.resized.connect(self.resized)

    @property
    def name(self) -> str:
        """What the pane is called."""
        return self.plane.name

    def view(self, scene: Scene) -> View:
        """Return the view of a scene that fills the canvas."""
        box = self.canvas.map.axes.get_window_extent()
        aspect = float(np.clip(box.width / max(box.height, 1.0), 0.2, 5.0))
        return self.plane.view(scene, aspect)

    def show(self, scene: Scene) -> None:
        """Draw what stands on the site, the pin and the other cut; the shading stays."""
        self.canvas.show_scene(scene, self.view(scene))
        self.mark(scene)

    def mark(self, scene: Scene) -> None:
        """Draw the pin and the other cut."""
        marks = self.plane.marks(scene, self.view(scene))
        self.canvas.mark(marks.pin, marks.line, own=marks.own)

    def ask(self, scene: Scene) -> None:
        """Ask for the shading; without antennas there is none."""
        if not scene.site.antennas:
            self.worker.submit(lambda cancelled, emit: None)
            self.canvas.clear_raster()
            return
        self.worker.submit(self._picture(scene))

    def _picture(self, scene: Scene) -> Callable[[Callable[[], bool], Callable[[Any], None]], None]:
        view, site, cache = self.view(scene), scene.site, self.cache
        u0, v0, u1, v1 = view.bounds
        steps = (DRAG,) if scene.dragging else (COARSE, FINE)

        def work(cancelled: Callable[[], bool], emit: Callable[[Any], None]) -> None:
            for cells in steps:
                # The longer side gets the cells: a tall elevation is as sharp as a wide plan.
                side = max(u1 - u0, v1 - v0)
                columns = max(24, round(cells * (u1 - u0) / side))
                rows = max(24, round(cells * (v1 - v0) / side))
                emit(raster(site, view, (rows, columns), cache, cancelled=cancelled))

        return work

    def _shade(self, result: Raster) -> None:
        self.canvas.show_raster(result)

    def _set_working(self, on: bool) -> None:
        self.working = on
        self.busy.emit()

    def close(self) -> None:
        """Stop all work."""
        self.worker.close()
