"""Distances measured on any map of the window."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

import numpy as np
from PySide6.QtCore import QObject, Signal

from app.modes.drawing import Left, Mode
from app.modes.measuring import Measuring
from app.window.mode_hand import ModeHand
from app.window.pane import Pane
from app.window.scene import Scene
from core.fences.snapping import Targets, targets
from core.site.site import Site

_WAYS = {"plan": ("east", "west", "north", "south")}
_ALONG = ("along", "back", "up", "down")


class MeasuringTool(QObject):
    """Takes the mouse of every pane while it is on; each has a line of its own."""

    ended = Signal()

    def __init__(self, panes: Sequence[Pane], scene: Callable[[], Scene]) -> None:
        super().__init__()
        self._scene = scene
        self.hands = [_Measurer(pane, self.stop) for pane in panes]

    def measure(self, on: bool) -> None:
        """Begin to measure, or stop."""
        for hand in self.hands:
            (hand.begin if on else hand.end)(self._scene())

    def stop(self) -> None:
        """Stop measuring."""
        self.measure(False)
        self.ended.emit()

    def set_feet(self, on: bool) -> None:
        """Say lengths in feet, or in metres, from now on."""
        for hand in self.hands:
            if isinstance(hand.mode, Measuring):
                hand.turn(replace(hand.mode, feet=on), None)


class _Measurer(ModeHand):
    """The line on one pane."""

    def __init__(self, pane: Pane, stop: Callable[[], None]) -> None:
        super().__init__()
        self.pane, self._stop = pane, stop

    def begin(self, scene: Scene) -> None:
        canvas = self.pane.canvas
        near = targets(scene.site) if self.pane.name == "plan" else _antennas(self.pane, scene)
        self.mode = Measuring(_WAYS.get(self.pane.name, _ALONG), near, feet=scene.look.feet)
        canvas.hand = self
        canvas.show_sketch(self.mode.sketch())

    def end(self, _: Scene) -> None:
        self.mode = None
        if self.pane.canvas.hand is self:
            self.pane.canvas.hand = None
            self.pane.canvas.show_sketch(None)

    def turn(self, mode: Mode, effect: object | None) -> None:
        if isinstance(effect, Left):
            self._stop()
            return
        self.mode = mode
        self.pane.canvas.show_sketch(mode.sketch())

    def takes_back(self) -> bool:
        return isinstance(self.mode, Measuring) and bool(self.mode.places)


def _antennas(pane: Pane, scene: Scene) -> Targets:
    """Return the middles of antennas as places to snap to."""
    site: Site = scene.site
    places = np.array([a.position for a in site.antennas]).reshape(-1, 3)
    corners = pane.plane.whole(scene).to_view(places)
    return Targets(corners, tuple(a.name for a in site.antennas), np.zeros((0, 2, 2)), ())
