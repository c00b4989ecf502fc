"""The way of the chosen job drawn on plan and elevation with the mouse; every step is one edit."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

import numpy as np
from PySide6.QtCore import QObject, Signal

from app.modes.drawing import Left, Mode, Place, Said
from app.modes.routing import Catch, Dropped, Put, Routing, Shifted
from app.window.document import Document
from app.window.maps import Maps
from app.window.mode_hand import ModeHand
from app.window.pane import Pane
from core.entry.way import place_of
from core.errors import InputError
from core.site.job import Job, Stop
from core.site.jobs import fresh_name, with_job
from core.site.routes import (
    before_stops,
    climbed,
    climbing_stop,
    goal_on,
    standing_stop,
    stops_of,
    with_stops,
)
from core.site.site import Site

_STEPS = 3_000_000
"""Where the keys of edits begin that move a stop by steps: those of one stop in a row undo as one."""


class RouteTool(QObject):
    """Takes the mouse of every pane while it is on; all of them show the same way."""

    refused = Signal(str)
    accepted = Signal(str)
    ended = Signal()

    def __init__(self, document: Document, maps: Maps) -> None:
        super().__init__()
        self.document, self.maps, self.back = document, maps, False
        self.hands = [_Router(pane, self) for pane in maps.panes]
        maps.scene_changed.connect(lambda _: self._follow())

    @property
    def on(self) -> bool:
        """Whether the way is being drawn."""
        return any(hand.mode is not None for hand in self.hands)

    def draw(self, on: bool) -> None:
        """Begin to draw the way of the chosen job, or stop; without a job one is made."""
        if not on:
            self._leave()
            return
        if self.maps.scene.chosen is None:
            job = Job(name=fresh_name([j.name for j in self.document.site.jobs], "New job"))
            self.document.edit(f"add {job.name}", lambda site: with_job(site, job))
        for hand in self.hands:
            hand.begin()
        self.hands[0].pane.canvas.setFocus()

    def set_back(self, back: bool) -> None:
        """Draw the way back from now on, or the way there."""
        if back != self.back:
            self.back = back
            for hand in self.hands:
                hand.follow()
                hand.select(len(self.stops) - 1)

    @property
    def stops(self) -> tuple[Stop, ...]:
        """The stops of the way that is drawn."""
        job = self.maps.scene.chosen
        return stops_of(job, back=self.back) if job is not None else ()

    def stop(self) -> None:
        """Stop drawing; what was put stays."""
        self._leave()
        self.ended.emit()

    def _leave(self) -> None:
        for hand in self.hands:
            hand.end()

    def _follow(self) -> None:
        """Keep the mode right on a changed way; it ends where the task or the job has gone."""
        if not self.on:
            return
        if self.maps.scene.chosen is None or self.maps.scene.task != "entry":
            self.stop()
            return
        for hand in self.hands:
            hand.follow()

    # edits -----------------------------------------------------------------------------------------

    def act(self, pane: Pane, effect: object) -> None:
        """Carry out what a mode brings about; an edit that is refused is said and changes nothing."""
        job = self.maps.scene.chosen
        try:
            match effect:
                case Left():
                    self.stop()
                case Said(text):
                    self.refused.emit(text)
                case Put(after, place, catch) if job is not None:
                    self._put(pane, job, after, place, catch)
                case Shifted(index, place, catch, by_key) if job is not None:
                    self._shift(pane, job, index, place, catch, by_key=by_key)
                case Dropped(index) if job is not None:
                    stops = self.stops
                    gone = stops[index].name
                    self._set(job, (*stops[:index], *stops[index + 1 :]), f"take out {gone}")
        except InputError as error:
            self.refused.emit(error.line())

    def _put(self, pane: Pane, job: Job, after: int, place: Place, catch: Catch | None) -> None:
        site, stops = self.document.site, self.stops
        taken = [s.name for s in (*stops_of(job), *stops_of(job, back=True))]
        first = before_stops(job, back=self.back)
        before = stops[after] if 0 <= after < len(stops) else first
        if catch is not None and catch.ladder:
            ladder = site.ladder(catch.name)
            on_top = goal_on(ladder, before, back=self.back)
            height = place[1] if pane.name == "elevation" else on_top
            new = climbed(ladder, before, height, taken)
        else:
            name = catch.name if catch is not None else f"Stop {len(taken) + 1}"
            at = self._at(pane, place)
            new = (standing_stop(site, fresh_name(taken, name), at),)
        for one in new:
            place_of(site, one)
        made = (*stops[: after + 1], *new, *stops[after + 1 :])
        self._set(job, made, f"add {new[-1].name}")
        for hand in self.hands:
            hand.select(after + len(new))

    def _shift(
        self, pane: Pane, job: Job, index: int, place: Place, catch: Catch | None, *, by_key: bool
    ) -> None:
        site, stops = self.document.site, self.stops
        old = stops[index]
        if old.ladder and by_key and pane.name != "elevation":
            self.refused.emit(f"{old.name} is on a ladder: its keys are those of the elevation")
            return
        if old.ladder and pane.name == "elevation":
            # A climber stays on the ladder and only goes up and down.
            new = climbing_stop(site.ladder(old.ladder), old.name, place[1])
        elif catch is not None and catch.ladder:
            height = place[1] if pane.name == "elevation" else old.height
            foot = min(p[2] for p in site.ladder(catch.name).points) + 1.0
            new = climbing_stop(
                site.ladder(catch.name), old.name, foot if height is None else height
            )
        else:
            new = standing_stop(site, old.name, self._at(pane, place))
        new = replace(new, dwell=old.dwell)
        place_of(site, new)
        made = (*stops[:index], new, *stops[index + 1 :])
        self._set(job, made, f"move {old.name}", _STEPS + index if by_key else -1)

    def _at(self, pane: Pane, place: Place) -> tuple[float, float, float]:
        """Return the place of the site of a place on a map; on the plan as high as anybody can stand there."""
        view = pane.view(self.maps.scene)
        x, y, z = (float(c) for c in view.to_site(self.document.site, *place)[0])
        return x, y, (1e6 if pane.name == "plan" else z)

    def _set(self, job: Job, stops: Sequence[Stop], label: str, key: int = -1) -> None:
        made = with_stops(job, stops, back=self.back)
        self.document.edit(label, lambda site: with_job(site, made, job.name), key)
        self.accepted.emit("")


class _Router(ModeHand):
    """The way on one pane."""

    def __init__(self, pane: Pane, tool: RouteTool) -> None:
        super().__init__()
        self.pane, self._tool = pane, tool

    def begin(self) -> None:
        """Take the mouse of the pane."""
        self.mode = Routing(feet=self._tool.maps.scene.look.feet)
        self.pane.canvas.hand = self
        self.follow()
        mode = self.mode
        assert isinstance(mode, Routing)
        self.select(len(mode.stops) - 1)

    def end(self) -> None:
        """Give the mouse back."""
        self.mode = None
        if self.pane.canvas.hand is self:
            self.pane.canvas.hand = None
            self.pane.canvas.show_sketch(None)

    def follow(self) -> None:
        """Show the way as it is now."""
        scene = self._tool.maps.scene
        job = scene.chosen
        if job is None or not isinstance(self.mode, Routing):
            return
        to_view = self.pane.plane.whole(scene).to_view
        stops, names = [], []
        for stop in self._tool.stops:
            x, y = to_view(np.array([_position(scene.site, stop)]))[0]
            stops.append((float(x), float(y)))
            names.append(stop.name)
        self.mode = self.mode.on(stops, names, _catches(scene.site, self.pane, to_view))
        self.pane.canvas.show_sketch(self.mode.sketch())

    def select(self, index: int) -> None:
        """Let keys act on a stop, and the next one come after it."""
        if isinstance(self.mode, Routing):
            self.mode = replace(self.mode, selected=index)
            self.pane.canvas.show_sketch(self.mode.sketch())

    def turn(self, mode: Mode, effect: object | None) -> None:
        self.mode = mode
        if effect is not None:
            self._tool.act(self.pane, effect)
            # An edit that was refused has put nothing: what the mode took for done is not there.
            self.follow()
        if self.mode is not None:
            self.pane.canvas.show_sketch(self.mode.sketch())


def _position(site: Site, stop: Stop) -> tuple[float, float, float]:
    """Return where a stop is; one whose ladder is gone is at its height over the datum's origin."""
    try:
        return place_of(site, stop).position
    except InputError:
        return stop.position or (0.0, 0.0, stop.height or 0.0)


def _catches(site: Site, pane: Pane, to_view: Callable[[np.ndarray], np.ndarray]) -> list[Catch]:
    """Return the ladders, and on the plan the ways in, as a pane shows them; ladders come first."""
    out = []
    for ladder in site.ladders:
        points = to_view(np.array(ladder.points, dtype=np.float64))
        line = tuple((float(u), float(v)) for u, v in points)
        out.append(Catch(ladder.name, True, line))
    if pane.name == "plan":
        for access in site.access_points:
            u, v = to_view(np.array([access.position]))[0]
            out.append(Catch(access.name, False, ((float(u), float(v)),)))
    return out
