"""The linked panes: one scene that all of them show, the pinned reading, zones and checks."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import Any

import numpy as np
from PySide6.QtCore import QObject, Signal

from app.window.document import EMPTY, Document
from app.window.jobs import Worker
from app.window.pane import Pane
from app.window.planes import on_plan
from app.window.proving import Proving
from app.window.scene import Look, Pin, Scene
from core.fences.fence import Check
from core.reading.reading import read
from core.site.site import Site
from core.units import FOOT, show_percent
from core.views.defaults import default_origin
from core.views.words import posture


class Maps(QObject):
    """Owns the scene. Everything shown follows from it; only this module replaces it."""

    reading_ready = Signal(object)
    hover = Signal(str)
    problem = Signal(str)
    working = Signal(bool)
    scene_changed = Signal(object)

    def __init__(self, document: Document, panes: Sequence[Pane]) -> None:
        super().__init__()
        self.document, self.panes = document, tuple(panes)
        self.scene = Scene(EMPTY)
        self._drawn_for: Site | None = None
        self.reader = Worker()
        self._reading = False
        self.proving = Proving(panes)
        self.proving.checked.connect(self._checked)
        self.proving.failed.connect(self._troubled)
        self.reader.done.connect(self.reading_ready)
        self.reader.failed.connect(self.problem)
        self.reader.busy.connect(self._set_reading)
        document.site_changed.connect(self.site_changed)
        document.path_changed.connect(self._moved_to)
        document.opened.connect(self._opened)
        for pane in self.panes:
            pane.clicked.connect(self.pin)
            pane.hovered.connect(self._hovered)
            pane.dragged.connect(self._dragged)
            pane.dropped.connect(self._dropped)
            pane.resized.connect(self.redraw)
            pane.failed.connect(self.problem)
            pane.busy.connect(self._say_working)

    @property
    def workers(self) -> tuple[Worker, ...]:
        """Every thread at work for the maps."""
        return (*(p.worker for p in self.panes), self.reader, self.proving.worker)

    def pane(self, name: str) -> Pane:
        """Return the pane of a name."""
        return next(p for p in self.panes if p.name == name)

    # what changed ----------------------------------------------------------------------------------

    def _opened(self) -> None:
        site = self.document.site
        self._drawn_for = None
        self.scene = replace(
            self.scene, site=site, folder=self.document.folder, pin=None, selected="",
            origin=default_origin(site), dragging=False, checks={},
        )  # fmt: skip
        self.reader.submit(lambda cancelled, emit: None)
        for pane in self.panes:
            pane.canvas.clear_raster()

    def _moved_to(self) -> None:
        """Follow another path: what is shown stays, its picture is looked for beside the new file."""
        self.scene = replace(self.scene, folder=self.document.folder)

    def site_changed(self, site: Site) -> None:
        """Follow a changed site; while dragging with few cells. Fences are checked anew."""
        self.scene = replace(self.scene, site=site, checks={})
        bare = replace(site, fences=())
        if bare == self._drawn_for:
            # Fences change no field.
            self._show()
            self.prove()
        else:
            self.redraw()
        self._drawn_for = bare

    def set_look(self, look: Look) -> None:
        """Follow changed controls; a change of tier, lines or units computes nothing."""
        old, self.scene = self.scene.look, replace(self.scene, look=look)
        pin = self.scene.pin
        if pin is not None and pin.pane == "plan":
            self.scene = replace(self.scene, pin=Pin(on_plan(self.scene, *pin.place[:2]), pin.pane))
        if old.differs_in_ink_only(look):
            for pane in self.panes:
                pane.canvas.restyle(look.tier, look.contours)
            self._show()
            self._read()
        else:
            self.redraw()

    def select(self, index: int) -> None:
        """Mark an antenna on all panes."""
        self.scene = replace(self.scene, selected=self.scene.site.antennas[index].name)
        self._show()

    def select_fence(self, name: str) -> None:
        """Mark a fence on all panes."""
        self.scene = replace(self.scene, selected=name)
        self._show()

    def redraw(self) -> None:
        """Draw all panes and read the pin anew."""
        self._show()
        for pane in self.panes:
            pane.ask(self.scene)
        self.prove()
        if self.scene.site.antennas:
            self._read()

    def _checked(self, checks: dict[str, Check]) -> None:
        self.scene = replace(self.scene, checks=checks)
        if checks:
            self._show()

    def _troubled(self, text: str) -> None:
        self.scene = replace(self.scene, trouble=text)
        self.problem.emit(text)
        self.scene_changed.emit(self.scene)

    def show_zones(self, on: bool) -> None:
        """Show proven zones in place of the shading, or not."""
        self.scene = replace(self.scene, zones=on)
        self.scene_changed.emit(self.scene)
        self.prove()

    def prove(self) -> None:
        """Prove the zones of what is shown, if they are wanted and nothing is being dragged."""
        if not self.scene.dragging:
            self.scene = replace(self.scene, trouble="")
            self.proving.ask(self.scene)

    def _show(self) -> None:
        for pane in self.panes:
            pane.show(self.scene)
        self.scene_changed.emit(self.scene)

    # mouse and keys --------------------------------------------------------------------------------

    def pin(self, pane: Pane, u: float, v: float) -> None:
        """Pin a reading from a pane; a pane whose cut follows the pin is drawn anew."""
        before = self.scene
        self.scene = pane.plane.pinned(before, pane.view(before), u, v)
        if self.scene.origin == before.origin:
            for other in self.panes:
                other.mark(self.scene)
        else:
            self._show()
            for other in self.panes:
                if other.view(self.scene) != other.view(before):
                    other.ask(self.scene)
            self.prove()
        self._read()

    def pin_climber(self, place: tuple[float, float, float]) -> None:
        """Pin a climber's place that was chosen elsewhere than on a pane."""
        self.scene = replace(self.scene, pin=Pin(place, "elevation"))
        for pane in self.panes:
            pane.mark(self.scene)
        self._read()

    def nudge(self, right: float, up: float) -> None:
        """Move the pin by metres on the map it was made on."""
        pin = self.scene.pin
        if pin is None:
            return
        pane = self.pane(pin.pane)
        u, v = pane.view(self.scene).to_view(np.array([pin.place]))[0]
        self.pin(pane, float(u) + right, float(v) + up)

    def _read(self) -> None:
        pin = self.scene.pin
        if pin is None:
            return
        site = self.scene.site
        body, height = self.pane(pin.pane).plane.body(self.scene)
        rule = posture(site, pin.place, body, height, feet=self.scene.look.feet)

        def work(_: Callable[[], bool], emit: Callable[[Any], None]) -> None:
            emit(read(site, pin.place, body, rule))

        self.reader.submit(work)

    def _hovered(self, pane: Pane, at: tuple[float, float] | None) -> None:
        if at is None:
            self.hover.emit("")
            return
        look = self.scene.look
        value = pane.canvas.value_at(*at)
        unit, scale = ("ft", FOOT) if look.feet else ("m", 1.0)
        where = ", ".join(
            f"{name} {c / scale:.1f}" for name, c in zip(pane.plane.axes, at, strict=True)
        )
        if value is None:
            text = ""
        elif value[1]:
            text = "no figure: reactive region"
        else:
            text = f"{show_percent(value[0])} of {self.scene.site.limit_set} {look.tier}"
        pane.canvas.show_cursor(*at, text)
        self.hover.emit(f"{where} {unit}: {text}" if text else f"{where} {unit}")

    def _dragged(self, pane: Pane, index: int, u: float, v: float) -> None:
        self.scene = replace(self.scene, dragging=True)
        x, y, z = pane.plane.moved(self.scene, pane.view(self.scene), index, u, v)
        self.document.move(index, (round(x, 3), round(y, 3), round(z, 3)))

    def _dropped(self) -> None:
        if self.scene.dragging:
            self.scene = replace(self.scene, dragging=False)
            self.redraw()

    # work ------------------------------------------------------------------------------------------

    def _set_reading(self, on: bool) -> None:
        self._reading = on
        self._say_working()

    @property
    def busy(self) -> bool:
        """Whether a picture or a reading is being computed."""
        return self._reading or any(p.working for p in self.panes)

    def _say_working(self) -> None:
        self.working.emit(self.busy)

    def close(self) -> None:
        """Stop all work."""
        for pane in self.panes:
            pane.close()
        self.reader.close()
        self.proving.close()
