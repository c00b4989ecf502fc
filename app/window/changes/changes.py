"""The Changes task: which states are compared, how they are looked at, and what follows when one of that changes."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
from PySide6.QtCore import QObject, Signal

from app.modes.camera import Camera
from app.window.changes.change_maps import ChangeMaps
from app.window.changes.change_pane import ChangePane
from app.window.changes.compared import (
    Compared,
    Point,
    Shown,
    Source,
    Way,
    choices,
    end,
    first_other,
)
from app.window.changes.other_file import ask_path
from app.window.changes.page import SAME, ChangePage
from app.window.changes.reading_both import ReadingBoth, hover
from app.window.changes.working_out import WorkedOut, WorkingOut
from app.window.document import Document
from app.window.maps import Maps
from app.window.planes import Elevation, Plan, cut_through
from app.window.scene import Pin, Scene
from app.window.steering import Steering
from core.changes.content import sharing
from core.changes.effects import Effect
from core.errors import InputError
from core.exposure.raster import LayerCache
from core.files.site_file import load_site
from core.site.site import Site

_EDGE_STEP = 0.02
"""Part of a map that a key moves the edge of the wipe by."""
ELSEWHERE = "This belongs to the Changes task. Turn to it first (F5)"


class Changes(QObject):
    """Owns what is compared; the strip, the maps and the page show it and ask for other things."""

    refused = Signal(str)
    accepted = Signal(str)

    def __init__(
        self, document: Document, maps: Maps, cache: LayerCache, shown: ChangeMaps, page: ChangePage
    ) -> None:
        super().__init__()
        self.document, self.maps, self.cache = document, maps, cache
        self.shown, self.page = shown, page
        self.on = False
        self.scene = Compared(Site(name="-", antennas=()))
        self.files: dict[Path, Site] = {}
        self.panes: tuple[ChangePane, ...] = ()
        self.steering: Steering | None = None
        self._of: object = None
        self.work, self.reader = WorkingOut(), ReadingBoth()
        strip = shown.strip
        for signal, slot in (
            (maps.scene_changed, self.follow), (document.opened, self._forget),
            (document.stack.cleanChanged, self._take_up),
            (strip.source_chosen, self.choose), (strip.another_wanted, self.ask_file),
            (strip.swapped, self.swap), (strip.way_chosen, self.show_way), (strip.quantity_chosen, self._turn_to),
            (strip.planes_chosen, self.show_planes), (page.place_chosen, self.go_to),
            (page.cancelled, self.work.cancel), (page.asked, self.work_out), (page.marked, self.mark),
            (self.work.progressed, self._progressed),
            (self.work.differing, lambda found: page.show_effects(found, finished=False)),
            (self.work.found, self._found), (self.work.failed, self._failed),
            (self.reader.found, lambda found: page.show_place(found, self.scene)),
            (self.reader.failed, self.refused),
        ):  # fmt: skip
            signal.connect(slot)

    # what is compared ------------------------------------------------------------------------------

    def _forget(self) -> None:
        """Forget what was compared, and its maps: they must not stand under the names of another site."""
        self.files, self._of = {}, None
        bare = replace(self.scene, comparison=None, pin=None, spots=None)
        self.scene = replace(bare, ends=Compared(self.document.site).ends, fitted=True)
        for pane in self.panes:
            pane.clear()

    def follow(self, scene: Scene) -> None:
        """Follow the window: its task, its site, and how its maps look."""
        came, self.on = scene.task == "changes" and not self.on, scene.task == "changes"
        if not self.on:
            return
        if came:
            self._come(scene)
        if scene.look != self.scene.look:
            self._set_look(scene)
        self._take_up()

    def _come(self, scene: Scene) -> None:
        if not self.panes:
            self._furnish()
        self.scene = replace(
            self.scene, task="changes", look=scene.look, folder=scene.folder, origin=scene.origin,
            pin=scene.pin, spots=None if scene.pin is None else (scene.pin.place,) * 2,
        )  # fmt: skip
        if self._of is None:
            self._set(Source(), first_other(self.document.site, scene.state))

    def _furnish(self) -> None:
        """Make the panes, which take a moment, when they are first wanted."""
        self.panes = tuple(ChangePane(plane, self.cache) for plane in (Plan(), Elevation()))
        for pane in self.panes:
            for signal, slot in (
                (pane.clicked, self.pin), (pane.hovered, hover), (pane.edged, self.set_edge),
                (pane.asked, self.go), (pane.failed, self.refused), (pane.busy, self._pictured),
            ):  # fmt: skip
                signal.connect(slot)
        self.steering = Steering(self.panes, lambda: self.scene)  # type: ignore[arg-type]
        self.steering.moved.connect(self._camera_moved)
        self.steering.still.connect(self._redraw)
        self.shown.furnish(self.panes)

    def _take_up(self, *_: object) -> None:
        """Take up what both states are now, if that is another thing than before."""
        sources = tuple(e.source for e in self.scene.ends)
        if not self.on or self._of == (self.document.site, self.document.dirty, sources):
            return
        try:
            self._set(*sources)
        except InputError as error:
            # A named state has gone with an edit.
            self.refused.emit(error.line())
            self._set(*(s if s.path is not None else Source() for s in sources))

    def _set(self, before: Source, after: Source) -> None:
        """Compare two sources.

        Raises
        ------
        InputError
            If one of them is no state that can be computed; nothing changes then.
        """
        here = self.document.site
        first, second = (end(source, here, self.files) for source in (before, after))
        # What both hold is one object, so that its layers are computed once.
        ends = first, replace(second, site=sharing(first.site, second.site))
        sites = None if self._of is None else tuple(e.site for e in self.scene.ends)
        self._of = here, self.document.dirty, (before, after)
        self.scene = replace(self.scene, site=ends[0].site, ends=ends)
        self.shown.strip.offer(choices(here, self.files), edited=self.document.dirty)
        if sites != tuple(e.site for e in ends):
            self.scene = replace(self.scene, comparison=None)
            self._fit()
            self._redraw()
            self.work_out()
            self._read()
        self._say()

    def _fit(self) -> None:
        assert self.steering is not None
        if self.scene.fitted:
            self.scene = replace(self.scene, camera=self.steering.all_of(self.scene))

    def choose(self, i: int, source: Source) -> None:
        """Compare with another source: 0 is before, 1 after."""
        sources = [e.source for e in self.scene.ends]
        sources[i] = source
        self._try(*sources)

    def _try(self, before: Source, after: Source) -> bool:
        try:
            self._set(before, after)
        except InputError as error:
            self.refused.emit(error.line())
            self._say()
            return False
        self.accepted.emit("")
        return True

    def swap(self) -> None:
        """Exchange before and after."""
        if self._here():
            before, after = (e.source for e in self.scene.ends)
            self._try(after, before)

    def ask_file(self, i: int) -> None:
        """Ask for another file and compare with it."""
        self._say()
        path = ask_path(self.shown, self.document.folder)
        if path is not None:
            self.open(i, path)

    def open(self, i: int, path: Path) -> bool:
        """Compare with another file, which is only read; on an error all stays as it is, and why is said."""
        kept = dict(self.files)
        try:
            self.files[path] = load_site(path)
        except InputError as error:
            self.refused.emit(error.line())
            return False
        sources = [e.source for e in self.scene.ends]
        sources[i] = Source(path)
        if self._try(*sources):
            return True
        self.files = kept
        return False

    # how it is looked at ---------------------------------------------------------------------------

    def _here(self) -> bool:
        if not self.on:
            self.refused.emit(ELSEWHERE)
        return self.on

    def _say(self) -> None:
        """Show everywhere what is compared and how; no map is drawn."""
        self.shown.show_compared(self.scene)
        self.page.show_compared(self.scene)
        for pane in self.panes:
            pane.show_way(self.scene)

    def show_way(self, way: Way) -> None:
        """Show before, after, both, a wipe, or the difference."""
        if self._here():
            self.scene = replace(self.scene, way=way)
            self._say()

    def switch(self) -> None:
        """Show after where before is on screen, and before where anything else is."""
        self.show_way("after" if self.scene.way == "before" else "before")

    def _turn_to(self, quantity: str) -> None:
        self.scene = replace(self.scene, quantity=quantity)  # type: ignore[arg-type]
        self._restyle()

    def turn_unit(self) -> None:
        """Show the difference in the other unit: dB, percent points."""
        if self._here():
            self._turn_to("points" if self.scene.quantity == "decibels" else "decibels")

    def show_planes(self, planes: Shown) -> None:
        """Show plan and elevation, or one of them."""
        self.scene = replace(self.scene, planes=planes)
        self._say()
        self._redraw()

    def set_edge(self, edge: float) -> None:
        """Put the edge of the wipe somewhere, 0 at the left to 1."""
        self.scene = replace(self.scene, edge=min(max(edge, 0.0), 1.0))
        for pane in self.panes:
            pane.slide(self.scene)

    def move_edge(self, steps: int) -> None:
        """Move the edge of the wipe, which is turned to first."""
        if self._here():
            self.show_way("wipe")
            self.set_edge(self.scene.edge + steps * _EDGE_STEP)

    def mark(self, on: bool) -> None:
        """Draw gained and lost zones on the plan, or not."""
        self.scene = replace(self.scene, marked=on)
        self._mark()

    def _mark(self) -> None:
        for pane in self.panes:
            pane.mark(self.scene)
        self.shown.show_compared(self.scene)

    def _set_look(self, scene: Scene) -> None:
        old, self.scene = self.scene.look, replace(self.scene, look=scene.look)
        if old.differs_in_ink_only(scene.look):
            self._restyle()
            if old.feet != scene.look.feet:
                self.work_out()
        else:
            self._fit()
            self._redraw()
        self._read()

    def _restyle(self) -> None:
        for pane in self.panes:
            pane.show_compared(self.scene)
            pane.restyle(self.scene)
        self._say()

    def _redraw(self) -> None:
        """Draw sharp, and compute for what is seen now."""
        for pane in self.panes:
            pane.show_compared(self.scene)
            pane.ask(self.scene)

    # the camera ------------------------------------------------------------------------------------

    def _camera_moved(self, camera: Camera, all_of_it: bool) -> None:
        self.scene = replace(self.scene, camera=camera, fitted=all_of_it)
        for pane in self.panes:
            pane.glide(self.scene)

    def go(self, where: str) -> None:
        """Show ``all``, the ``selection`` (the pin), or what was seen before (``back``)."""
        if self.steering is not None:
            ways = {"all": self.steering.show_all, "selection": self.steering.show_selection}
            ways.get(where, self.steering.back)()

    # places ----------------------------------------------------------------------------------------

    def pin(self, pane: ChangePane, u: float, v: float) -> None:
        """Read a place in both states; no map moves."""
        view = pane.view(self.scene)
        spots = tuple(pane.own.foot(self.scene.of(i), view, u, v) for i in (0, 1))
        self._pin(Pin(spots[0], pane.name), (spots[0], spots[1]))

    def _pin(self, pin: Pin, spots: tuple[Point, Point]) -> None:
        self.scene = replace(self.scene, pin=pin, spots=spots)
        for pane in self.panes:
            pane.mark(self.scene)
        self._read()

    def nudge(self, right: float, up: float) -> None:
        """Move the pin by metres on the map it was made on."""
        pin = self.scene.pin
        if pin is not None:
            pane = next(p for p in self.panes if p.name == pin.pane)
            u, v = pane.view(self.scene).to_view(np.array([pin.place]))[0]
            self.pin(pane, float(u) + right, float(v) + up)

    def cut_here(self) -> None:
        """Cut through the pin: the elevation, and a plan at a height above the datum."""
        pin = self.scene.pin
        if pin is None:
            self.refused.emit("There is no pin to cut through. Click in a map first")
            return
        x, y, _ = pin.place
        self.scene = cut_through(Elevation(), self.scene, x, y)  # type: ignore[assignment]
        self._redraw()

    def go_to(self, effect: Effect) -> None:
        """Pin the place of an effect, cut through it, and show it in the middle of every map."""
        if effect.place is None or self.steering is None:
            return
        self.scene = cut_through(Elevation(), self.scene, *effect.place[:2])  # type: ignore[assignment]
        pin = Pin(effect.place, "plan" if effect.stands else "elevation")
        self._pin(pin, (effect.place, effect.place))
        self._redraw()
        self.steering.centre(effect.place)

    def _read(self) -> None:
        self.reader.read(self.scene)

    # what it does ----------------------------------------------------------------------------------

    def work_out(self) -> None:
        """Work out what the change does."""
        self.scene = replace(self.scene, comparison=None)
        self._mark()
        self.page.show_verdict(SAME if self.scene.same else "", worse=False)
        if self.scene.same:
            self.work.cancel()
            self.page.show_effects((), finished=True)
            return
        self.work.begin(self.scene)
        self._pictured()

    def _pictured(self) -> None:
        """Prove when there is time for it: what is looked at comes first."""
        if not any(pane.working for pane in self.panes):
            self.work.prove()

    def _progressed(self, done: float | None) -> None:
        self.page.show_work(done, wanted=self.scene.comparison is None and not self.scene.same)

    def _found(self, found: WorkedOut) -> None:
        self.scene = replace(self.scene, comparison=found.comparison)
        self.page.show_work(None)
        self.page.show_verdict(found.verdict, worse=found.comparison.worse)
        self.page.show_effects(found.effects, finished=True)
        self._mark()

    def _failed(self, text: str) -> None:
        self.page.show_verdict(f"Not worked out. {text}", worse=False)
        self.refused.emit(text)

    @property
    def busy(self) -> bool:
        """Whether pictures are being computed, or maps wait to be drawn; not whether effects are worked out."""
        moving = self.steering is not None and self.steering.is_moving
        waiting = any(c.is_waiting for p in self.panes for c in p.canvases)
        return moving or waiting or any(p.working for p in self.panes)

    def close(self) -> None:
        """Stop all work."""
        self.on = False
        if self.steering is not None:
            self.steering.stop()
        self.work.close()
        self.reader.close()
        for pane in self.panes:
            pane.close_down()
