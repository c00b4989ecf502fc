"""The two linked maps: which views they show, their rasters off the thread, the pinned reading."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import numpy as np
from PySide6.QtCore import QObject, Qt, Signal

from app.window.canvas import MapCanvas
from app.window.document import Document
from app.window.jobs import Worker
from app.window.look import Look
from app.window.proving import Proving
from core.exposure.raster import LayerCache, Raster, raster
from core.fences.fence import Check
from core.geometry import bearing
from core.reading.reading import read
from core.site.site import Site
from core.site.surfaces import standing_on
from core.units import FOOT, show_percent
from core.views.defaults import default_elevation, default_origin, site_extent
from core.views.views import ElevationView, PlanView, View
from core.views.words import posture

COARSE, FINE, DRAG = 64, 220, 48
"""Cells across a map: first look, full picture, while dragging."""

GROW = 1.4
"""A map shows at most this much more than the site's extent to fill its canvas."""


class Maps(QObject):
    """Owns both canvases' content. Everything shown follows from (site, look, pin, cut)."""

    reading_ready = Signal(object)
    hover = Signal(str)
    problem = Signal(str)
    working = Signal(bool)
    views_changed = Signal()

    def __init__(self, document: Document, plan: MapCanvas, elevation: MapCanvas) -> None:
        super().__init__()
        self.document, self.plan, self.elevation = document, plan, elevation
        self.look = Look()
        self.cache = LayerCache()
        self.pin: tuple[float, float, float] | None = None
        self.pin_on_plan = True
        self.origin = (0.0, 0.0)
        self.selected = ""
        self._dragging = False
        self._drawn_for: Site | None = None
        self._busy = {"plan": False, "elevation": False, "reading": False}
        self.workers = {name: Worker() for name in self._busy}
        self.proving = Proving(plan, elevation)
        self.proving.checked.connect(self._checked)
        queued = Qt.ConnectionType.QueuedConnection
        self.workers["plan"].done.connect(self._plan_done, queued)
        self.workers["elevation"].done.connect(self._elevation_done, queued)
        self.workers["reading"].done.connect(self._reading_done, queued)
        for name, worker in self.workers.items():
            worker.failed.connect(lambda _, text: self.problem.emit(text), queued)
            worker.busy.connect(lambda on, n=name: self._set_busy(n, on), queued)
        document.site_changed.connect(self.site_changed)
        document.path_changed.connect(self._moved_to)
        document.opened.connect(self._opened)
        plan.clicked.connect(self.pin_plan)
        elevation.clicked.connect(self.pin_elevation)
        for canvas in (plan, elevation):
            canvas.hovered.connect(lambda at, c=canvas: self._hovered(c, at))
            canvas.dragged.connect(lambda i, u, v, c=canvas: self._dragged(c, i, u, v))
            canvas.dropped.connect(self._dropped)
            canvas.resized.connect(self.redraw)

    # views -----------------------------------------------------------------------------------------

    def plan_view(self) -> PlanView:
        """Return the plan that is shown, widened to the canvas."""
        west, south, east, north = site_extent(self.document.site)
        w, h = east - west, north - south
        wanted = float(np.clip(self._aspect(self.plan), w / h / GROW, w / h * GROW))
        if w / h < wanted:
            grow = (h * wanted - w) / 2.0
            west, east = west - grow, east + grow
        else:
            grow = (w / wanted - h) / 2.0
            south, north = south - grow, north + grow
        return PlanView((west, south, east, north), self.look.height, self.look.plan_body)

    def elevation_view(self) -> ElevationView:
        """Return the elevation that is shown, fitted to the canvas about the antennas."""
        view = default_elevation(
            self.document.site, self.look.azimuth, self.origin, self.look.climb_body
        )
        low, high = view.up
        a, b = view.along
        wanted = self._aspect(self.elevation)
        if (b - a) / (high - low) < wanted:
            grow = min((high - low) * wanted, (b - a) * GROW) - (b - a)
            a, b = a - grow / 2.0, b + grow / 2.0
        else:
            # Wider than the canvas: a tall structure fills it, the far ends are cut off.
            width = float(np.clip((high - low) * wanted, min(b - a, 60.0), b - a))
            middle = float(np.clip(0.0, a + width / 2.0, b - width / 2.0))
            a, b = middle - width / 2.0, middle + width / 2.0
            high = low + float(np.clip(width / wanted, high - low, GROW * (high - low)))
        return replace(view, along=(a, b), up=(low, high))

    @staticmethod
    def _aspect(canvas: MapCanvas) -> float:
        box = canvas.map.axes.get_window_extent()
        return float(np.clip(box.width / max(box.height, 1.0), 0.2, 5.0))

    # what changed ----------------------------------------------------------------------------------

    def _opened(self) -> None:
        self.pin, self.selected, self._drawn_for = None, "", None
        self.workers["reading"].submit(lambda cancelled, emit: None)
        self.origin = default_origin(self.document.site)
        for canvas in (self.plan, self.elevation):
            canvas.clear_raster()

    def _moved_to(self) -> None:
        """Follow another path: what is shown stays, its picture is looked for beside the new file."""
        for canvas in (self.plan, self.elevation):
            canvas.set_folder(self.document.folder)

    def site_changed(self, site: Site) -> None:
        """Follow a changed site; while dragging with few cells. Fences are checked anew."""
        self._checked({})
        bare = replace(site, fences=())
        if bare == self._drawn_for:
            # Fences change no field.
            self._show_sites()
            self.prove()
        else:
            self.redraw()
        self._drawn_for = bare

    def set_look(self, look: Look) -> None:
        """Follow changed controls; a change of tier or lines computes nothing."""
        old, self.look = self.look, look
        if self.pin is not None and self.pin_on_plan:
            self.pin = self._on_plan(self.pin[0], self.pin[1])
        for canvas in (self.plan, self.elevation):
            canvas.map.feet = look.feet
        if replace(look, tier=old.tier, contours=old.contours, feet=old.feet) == old:
            for canvas in (self.plan, self.elevation):
                canvas.restyle(look.tier, look.contours)
            self._show_sites()
            self._read()
        else:
            self.redraw()

    def select(self, index: int) -> None:
        """Mark an antenna on both maps."""
        self.selected = self.document.site.antennas[index].name
        self._show_sites()

    def redraw(self) -> None:
        """Draw both maps and read the pin anew."""
        for canvas in (self.plan, self.elevation):
            canvas.tier, canvas.contours = self.look.tier, self.look.contours
        self._show_sites()
        site = self.document.site
        if not site.antennas:
            for name, canvas in (("plan", self.plan), ("elevation", self.elevation)):
                self.workers[name].submit(lambda cancelled, emit: None)
                canvas.clear_raster()
            self.prove()
            return
        self.workers["plan"].submit(self._picture(site, self.plan_view()))
        self.workers["elevation"].submit(self._picture(site, self.elevation_view()))
        self.prove()
        self._read()

    def _checked(self, checks: dict[str, Check]) -> None:
        for canvas in (self.plan, self.elevation):
            canvas.map.checks = checks
        if checks:
            self._show_sites()

    def prove(self) -> None:
        """Prove the zones of what is shown, if they are wanted and nothing is being dragged."""
        if not self._dragging:
            views: dict[str, View] = {
                "plan": self.plan_view(),
                "elevation": self.elevation_view(),
            }
            self.proving.ask(self.document.site, views)

    def _picture(
        self, site: Site, view: View
    ) -> Callable[[Callable[[], bool], Callable[[Any], None]], None]:
        u0, v0, u1, v1 = view.bounds
        steps = (DRAG,) if self._dragging else (COARSE, FINE)
        cache = self.cache

        def work(cancelled: Callable[[], bool], emit: Callable[[Any], None]) -> None:
            for cells in steps:
                # The longer side gets the cells: a tall elevation is as sharp as a wide plan.
                side = max(u1 - u0, v1 - v0)
                columns = max(24, round(cells * (u1 - u0) / side))
                rows = max(24, round(cells * (v1 - v0) / side))
                emit(raster(site, view, (rows, columns), cache, cancelled=cancelled))

        return work

    def _show_sites(self) -> None:
        site = self.document.site
        self.plan.show_site(site, self.plan_view(), self.selected)
        self.elevation.show_site(site, self.elevation_view(), self.selected)
        self._marks()
        self.views_changed.emit()

    def _marks(self) -> None:
        view = self.elevation_view()
        east, north = bearing(view.azimuth)
        far = 1000.0
        x, y = self.origin
        line = np.array([(x - far * east, y - far * north), (x + far * east, y + far * north)])
        pin = self.pin
        level = None
        if self.look.height.above_surface is False:
            a, b = view.along
            level = np.array([(a, self.look.height.metres), (b, self.look.height.metres)])
        self.plan.mark(pin[:2] if pin else None, line, own=self.pin_on_plan)
        at = view.to_view(np.array([pin]))[0] if pin else None
        place = (float(at[0]), float(at[1])) if at is not None else None
        self.elevation.mark(place, level, own=not self.pin_on_plan)

    # answers ---------------------------------------------------------------------------------------

    def _plan_done(self, number: int, result: Raster) -> None:
        if number == self.workers["plan"].newest:
            self.plan.show_raster(result)

    def _elevation_done(self, number: int, result: Raster) -> None:
        if number == self.workers["elevation"].newest:
            self.elevation.show_raster(result)

    def _reading_done(self, number: int, result: object) -> None:
        if number == self.workers["reading"].newest:
            self.reading_ready.emit(result)

    def _set_busy(self, name: str, on: bool) -> None:
        self._busy[name] = on
        self.working.emit(any(self._busy.values()))

    # mouse -----------------------------------------------------------------------------------------

    def pin_plan(self, x: float, y: float) -> None:
        """Pin a reading from the plan; the elevation now cuts through it."""
        self.pin, self.pin_on_plan, self.origin = self._on_plan(x, y), True, (x, y)
        self._show_sites()
        self.workers["elevation"].submit(self._picture(self.document.site, self.elevation_view()))
        self.prove()
        self._read()

    def _on_plan(self, x: float, y: float) -> tuple[float, float, float]:
        height = self.look.height
        foot, _, _ = standing_on(self.document.site, x, y)
        return x, y, height.metres + (foot if height.above_surface else 0.0)

    def pin_elevation(self, along: float, z: float) -> None:
        """Pin a reading from the elevation; a plan at a fixed height moves to it."""
        point = self.elevation_view().to_site(self.document.site, along, z)[0]
        self.pin, self.pin_on_plan = (float(point[0]), float(point[1]), float(point[2])), False
        self._marks()
        self._read()

    def nudge(self, right: float, up: float) -> None:
        """Move the pin by metres on the map it was made on."""
        if self.pin is None:
            return
        x, y, z = self.pin
        if self.pin_on_plan:
            self.pin_plan(x + right, y + up)
        else:
            at = self.elevation_view().to_view(np.array([self.pin]))[0]
            self.pin_elevation(float(at[0]) + right, z + up)

    def _read(self) -> None:
        if self.pin is None:
            return
        site, position, look = self.document.site, self.pin, self.look
        body = look.plan_body if self.pin_on_plan else look.climb_body
        height = look.height if self.pin_on_plan else None
        rule = posture(site, position, body, height, feet=look.feet)

        def work(_: Callable[[], bool], emit: Callable[[Any], None]) -> None:
            emit(read(site, position, body, rule))

        self.workers["reading"].submit(work)

    def _hovered(self, canvas: MapCanvas, at: tuple[float, float] | None) -> None:
        if at is None:
            self.hover.emit("")
            return
        value = canvas.value_at(*at)
        unit, scale = ("ft", FOOT) if self.look.feet else ("m", 1.0)
        names = ("x", "y") if canvas is self.plan else ("along", "z")
        where = f"{names[0]} {at[0] / scale:.1f}, {names[1]} {at[1] / scale:.1f} {unit}"
        if value is None:
            text = ""
        elif value[1]:
            text = "no figure: reactive region"
        else:
            text = f"{show_percent(value[0])} of {self.document.site.limit_set} {self.look.tier}"
        canvas.show_cursor(*at, text)
        self.hover.emit(f"{where}: {text}" if text else where)

    def _dragged(self, canvas: MapCanvas, index: int, u: float, v: float) -> None:
        self._dragging = True
        x, y, z = self.document.site.antennas[index].position
        if canvas is self.plan:
            position = (u, v, z)
        else:
            view = self.elevation_view()
            east, north = bearing(view.azimuth)
            old = view.to_view(np.array([[x, y, z]]))[0]
            position = (x + (u - old[0]) * east, y + (u - old[0]) * north, v)
        self.document.move(
            index, (round(position[0], 3), round(position[1], 3), round(position[2], 3))
        )

    def _dropped(self) -> None:
        if self._dragging:
            self._dragging = False
            self.redraw()

    def close(self) -> None:
        """Stop all work."""
        for worker in self.workers.values():
            worker.close()
        self.proving.close()
