"""The linked panes: one scene that all of them show, the pinned reading, zones and checks."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import Any

import numpy as np
from PySide6.QtCore import QCoreApplication, QEvent, QObject, Signal

from app.modes.camera import Camera
from app.window.document import EMPTY, Document
from app.window.hovering import Hovering
from app.window.jobs import Worker
from app.window.pane import Pane
from app.window.planes import cut_through, on_plan
from app.window.proving import Proving
from app.window.scene import Carried, Look, Pin, Scene, kept_state, part_of, radiating
from app.window.steering import Steering
from app.window.tasks import Task
from core.errors import InputError
from core.fences.fence import Check
from core.reading.doubt import Doubt
from core.reading.reading import read
from core.site.parts import Part, value_of
from core.site.site import Site
from core.site.states import in_state
from core.views.defaults import default_origin
from core.views.views import Height
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
        self.steering = Steering(panes, lambda: self.scene)
        self.steering.moved.connect(self._camera_moved)
        self.steering.still.connect(self._stand_still)
        self.hovering = Hovering(lambda: self.scene)
        self.hovering.said.connect(self.hover)
        self.proving = Proving(panes)
        self.proving.checked.connect(self._checked)
        self.proving.failed.connect(self._troubled)
        self.proving.changed.connect(self._proven)
        self.reader.done.connect(self.reading_ready)
        self.reader.failed.connect(self.problem)
        self.reader.busy.connect(self._set_reading)
        document.site_changed.connect(self.site_changed)
        document.path_changed.connect(self._moved_to)
        document.opened.connect(self._opened)
        for pane in self.panes:
            pane.clicked.connect(self.pin)
            pane.hovered.connect(self.hovering.over)
            pane.dragged.connect(self._dragged)
            pane.dropped.connect(self._dropped)
            pane.asked.connect(self.go)
            pane.failed.connect(self.problem)
            pane.busy.connect(self._say_working)

    @property
    def workers(self) -> tuple[Worker, ...]:
        """Every thread at work for the maps."""
        own = (self.reader, self.proving.worker, self.hovering.worker)
        return (*(p.worker for p in self.panes), *own)

    def pane(self, name: str) -> Pane:
        """Return the pane of a name."""
        return next(p for p in self.panes if p.name == name)

    # what changed ----------------------------------------------------------------------------------

    def _opened(self) -> None:
        site = self.document.site
        self._drawn_for = None
        self.proving.forget()
        self.scene = replace(
            self.scene, site=site, folder=self.document.folder, pin=None, selected="", also=(),
            part=None, state="", lost="", job="", pictured=self.document.pictured,
            origin=default_origin(site), carried=None, checks={}, doubts=(), fitted=True,
        )  # fmt: skip
        self.steering.forget()
        self.hovering.stop()
        self.reader.submit(lambda cancelled, emit: None)
        for pane in self.panes:
            pane.clear()

    def _moved_to(self) -> None:
        """Follow another path: what is shown stays, its picture is looked for beside the new file."""
        now = self.document
        self.scene = replace(self.scene, folder=now.folder, pictured=now.pictured)

    def site_changed(self, site: Site) -> None:
        """Follow a changed site. Fences are checked anew."""
        self.hovering.stop()
        (state, lost, why), part = kept_state(self.scene, site), self.scene.part
        if why:
            self.problem.emit(why)
        if part is not None and value_of(site, part) is None:
            part = None
        self.scene = replace(
            self.scene, site=site, state=state, lost=lost, checks={}, carried=None, part=part,
            pictured=self.document.pictured,
        )  # fmt: skip
        if self.scene.fitted and not self.steering.sees_all(self.scene):
            self.scene = replace(self.scene, camera=self.steering.all_of(self.scene))
        if self._drawn_for is None:
            self._make_room()
        bare = radiating(self.scene.stated)
        if bare == self._drawn_for:
            # Fences and jobs change no field.
            self._show()
            self.prove()
        else:
            self.redraw()
        self._drawn_for = bare

    def _make_room(self) -> None:
        """Let the panels take the room they need for another site before its maps are drawn in what is left."""
        self.scene_changed.emit(self.scene)
        QCoreApplication.sendPostedEvents(None, QEvent.Type.LayoutRequest)
        self.steering.stop()
        self.scene = replace(self.scene, camera=self.steering.all_of(self.scene), fitted=True)

    def show_state(self, name: str) -> None:
        """Show the site in one of its named states, or as filed where the name is empty."""
        try:
            if name:
                in_state(self.scene.site, name)
        except InputError as error:
            self.problem.emit(error.line())
            name = self.scene.state
        self.hovering.stop()
        self.scene = replace(self.scene, state=name, lost="", checks={})
        self._drawn_for = radiating(self.scene.stated)
        self.redraw()

    def set_look(self, look: Look) -> None:
        """Follow changed controls; a change of tier, lines or units computes nothing."""
        self.hovering.stop()
        old, self.scene = self.scene.look, replace(self.scene, look=look)
        pin = self.scene.pin
        if pin is not None and pin.pane == "plan":
            self.scene = replace(self.scene, pin=Pin(on_plan(self.scene, *pin.place[:2]), pin.pane))
        if old.differs_in_ink_only(look):
            self._show()
            for pane in self.panes:
                pane.restyle()
            self._read()
        else:
            self.redraw()

    def set_task(self, task: Task) -> None:
        """Turn to another task; no figure changes."""
        self._turn(task=task)

    def _turn(self, **to: Any) -> None:
        before, now = self.scene, replace(self.scene, **to)
        # Doubts are marked where the site is worked on.
        (self._show if now.doubts else self._tell)(**to)
        if now.zones and (now.steps, now.zoned) != (before.steps, before.zoned):
            self.prove()

    def _tell(self, **to: Any) -> None:
        self.scene = replace(self.scene, **to)
        self.scene_changed.emit(self.scene)

    def set_doubts(self, doubts: tuple[Doubt, ...]) -> None:
        """Mark what should be looked at."""
        if doubts != self.scene.doubts:
            self.scene = replace(self.scene, doubts=doubts)
            # They are marked where the site is worked on, and nowhere else.
            (self._show if self.scene.task == "site" else self._tell)()

    def go_to(self, doubt: Doubt) -> None:
        """Mark the thing that a doubt is about, and show its place in the middle of every map."""
        part = part_of(doubt)
        self._show(selected="" if part else doubt.name, also=(), part=part)
        if doubt.place is not None:
            self.steering.centre(doubt.place)

    def choose_job(self, name: str) -> None:
        """Plan the job of a name from now on; no figure of the maps changes."""
        self._turn(job=name)

    def select(self, index: int, chosen: Sequence[int] = ()) -> None:
        """Mark an antenna on all panes, and more faintly all others that are chosen."""
        names = [a.name for a in self.scene.site.antennas]
        also = tuple(names[i] for i in chosen if i != index)
        self._show(selected=names[index], also=also)

    def select_fence(self, name: str) -> None:
        """Mark a fence on all panes."""
        self._show(selected=name, also=())

    def choose(self, part: Part | None) -> None:
        """Mark a part of the site on all panes; None marks nothing."""
        if part != self.scene.part:
            self._tell(part=part)
            for pane in self.panes:
                pane.canvas.choose(self.scene)

    def redraw(self) -> None:
        """Draw all panes and read the pin anew."""
        self._ask_and_show()
        self.prove()
        if self.scene.site.antennas:
            self._read()

    def _checked(self, checks: dict[str, Check]) -> None:
        self.scene = replace(self.scene, checks=checks)
        if checks:
            self._show()

    def _proven(self) -> None:
        self._tell(standing=self.proving.standing)

    def _troubled(self, text: str) -> None:
        self.problem.emit(text)
        self._tell(trouble=text)

    def show_zones(self, on: bool) -> None:
        """Show proven zones in place of the shading, or not."""
        self._tell(zones=on)
        self.prove()

    def prove(self) -> None:
        """Prove the zones of what is shown, if they are wanted and nothing is being dragged."""
        if not self.scene.carried:
            self.scene = replace(self.scene, trouble="")
            self.proving.ask(self.scene)

    def _ask_and_show(self) -> None:
        # Asked for first: what is computed meanwhile is drawn with the site, not after it.
        for pane in self.panes:
            pane.ask(self.scene)
        self._show()

    def _show(self, **to: Any) -> None:
        self.scene = replace(self.scene, **to)
        for pane in self.panes:
            pane.show(self.scene)
        self.scene_changed.emit(self.scene)

    # mouse and keys --------------------------------------------------------------------------------

    def pin(self, pane: Pane, u: float, v: float) -> None:
        """Pin a reading from a pane; no map moves."""
        self._pinned(pane.plane.pinned(self.scene, pane.view(self.scene), u, v))

    def _pinned(self, scene: Scene) -> None:
        self.scene = scene
        for pane in self.panes:
            pane.mark(scene)
        self._read()

    def cut_here(self) -> None:
        """Cut through the pin: the elevation, and a plan at a height above the datum."""
        pin = self.scene.pin
        if pin is None:
            self.problem.emit("There is no pin to cut through. Click in a map first")
            return
        x, y, z = pin.place
        self.scene = cut_through(self.pane("elevation").plane, self.scene, x, y)
        look = self.scene.look
        if not look.height.above_surface:
            self.scene = replace(self.scene, look=replace(look, height=Height(z)))
        self.hovering.stop()
        self.redraw()

    def pin_climber(self, place: tuple[float, float, float]) -> None:
        """Pin a climber's place that was chosen elsewhere than on a pane."""
        self._pinned(replace(self.scene, pin=Pin(place, "elevation")))

    def pin_walker(self, place: tuple[float, float, float]) -> None:
        """Pin the place of somebody who stands; it was chosen elsewhere than on a pane."""
        self._pinned(replace(self.scene, pin=Pin(place, "plan")))

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
        site = self.scene.stated
        body, height = self.pane(pin.pane).plane.body(self.scene)
        rule = posture(site, pin.place, body, height, feet=self.scene.look.feet)

        def work(_: Callable[[], bool], emit: Callable[[Any], None]) -> None:
            emit(read(site, pin.place, body, rule))

        self.reader.submit(work)

    def _dragged(self, pane: Pane, index: int, u: float, v: float) -> None:
        """Carry an antenna: the site stays as it is until it is put down."""
        self.hovering.stop()
        x, y, z = pane.plane.moved(self.scene, pane.view(self.scene), index, u, v)
        to = (round(x, 3), round(y, 3), round(z, 3))
        self.scene = replace(self.scene, carried=Carried(index, to))
        self.proving.outdate()
        name = self.scene.site.antennas[index].name
        for other in self.panes:
            # Asked for first: fields are computed while the antenna's marks are laid out.
            other.ask(self.scene)
        for other in self.panes:
            other.canvas.carry(self.scene, other.view(self.scene), name)

    def _dropped(self, here: bool) -> None:
        """Put the carried antenna down where it is, or back where it was."""
        carried, self.scene = self.scene.carried, replace(self.scene, carried=None)
        if carried is None:
            return
        try:
            if here:
                self.document.move(carried.index, carried.position)
        except InputError as error:
            self.problem.emit(error.line())
        self.redraw()

    # the camera ------------------------------------------------------------------------------------

    def _camera_moved(self, camera: Camera, all_of_it: bool) -> None:
        # A figure that stands still while the map moves under it looks like another place's.
        self.hovering.stop()
        self.scene = replace(self.scene, camera=camera, fitted=all_of_it)
        for pane in self.panes:
            pane.glide(self.scene)

    def _stand_still(self) -> None:
        """Draw sharp, and compute for what is seen now. No proof depends on that."""
        self._ask_and_show()

    def go(self, where: str) -> None:
        """Show ``all``, the ``selection``, or what was seen before (``back``)."""
        ways = {"all": self.steering.show_all, "selection": self.show_selection}
        ways.get(where, self.steering.back)()

    def show_selection(self) -> None:
        """Fit the selected antenna, or the pin, with the zone about it."""
        shown = self.proving.shown.items()
        self.steering.show_selection({name: proven.zones for name, proven in shown})

    def look_at(self, place: tuple[float, float, float], stands: bool) -> None:
        """Pin a place of the site, cut through it, and show it in the middle of every map."""
        self.problem.emit("")
        self.scene = replace(self.scene, pin=Pin(place, "plan" if stands else "elevation"))
        self.cut_here()
        self.steering.centre(place)

    # work ------------------------------------------------------------------------------------------

    def _set_reading(self, on: bool) -> None:
        self._reading = on
        self._say_working()

    @property
    def busy(self) -> bool:
        """Whether a picture or a reading is being computed, or the maps wait to be drawn sharp."""
        return self._reading or self.steering.is_moving or any(p.working for p in self.panes)

    def _say_working(self) -> None:
        self.working.emit(self.busy)

    def close(self) -> None:
        """Stop all work."""
        self.steering.stop()
        for pane in self.panes:
            pane.close()
        self.reader.close()
        self.hovering.close()
        self.proving.close()
