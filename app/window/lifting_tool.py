"""Shapes taken into the hand on the elevation: what is meant goes to the tools of the plan, which make the edits."""

from __future__ import annotations

from dataclasses import replace

from PySide6.QtCore import Signal

from app.modes.drawing import Left, Mode, Said
from app.modes.handling import Deleted, Picked, Reshaped
from app.modes.lifting import Lifting
from app.window.maps import Maps
from app.window.mode_hand import ModeHand
from app.window.scene import Scene
from app.window.shape_tools import ShapeTools
from core.errors import InputError
from core.views.views import ElevationView


class LiftingTool(ModeHand):
    """The hand on the elevation while shapes are moved; ``left`` the map ends it on the plan too."""

    refused = Signal(str)
    accepted = Signal(str)

    def __init__(self, maps: Maps, shapes: ShapeTools) -> None:
        super().__init__()
        self.maps, self.shapes = maps, shapes
        self.pane = maps.pane("elevation")
        maps.scene_changed.connect(self._follow)

    def handle(self, on: bool) -> None:
        """Begin to take shapes into the hand, or stop."""
        canvas = self.pane.canvas
        if on:
            scene = self.maps.scene
            self.mode = Lifting(scene.site, self._view(scene), scene.part, feet=scene.look.feet)
            canvas.hand = self
            canvas.show_sketch(self.mode.sketch())
        elif canvas.hand is self:
            self.mode, canvas.hand = None, None
            canvas.show_sketch(None)

    def lets_pan(self) -> bool:
        """Return whether a press that took hold of nothing moves the map."""
        return isinstance(self.mode, Lifting) and self.mode.carried is None and not self.mode.stuck

    def turn(self, mode: Mode, effect: object | None) -> None:
        """Take over the next mode and carry out what it brings about; what is refused changes nothing."""
        self.mode = mode
        try:
            match effect:
                case Left():
                    self.shapes.stop()
                    return
                case Said(text):
                    self.accepted.emit(text)
                case Picked(part):
                    self.shapes.choose(part)
                case Reshaped():
                    self.shapes.reshape(effect)
                case Deleted(part):
                    self.shapes.remove(part)
        except InputError as error:
            self.refused.emit(error.line())
        self._show()

    def _follow(self, scene: Scene) -> None:
        if isinstance(self.mode, Lifting):
            mode = self.mode.on(scene.site, self._view(scene), scene.part)
            self.mode = replace(mode, feet=scene.look.feet)
            self._show()

    def _show(self) -> None:
        if self.mode is not None:
            self.pane.canvas.show_sketch(self.mode.sketch())

    def _view(self, scene: Scene) -> ElevationView:
        view = self.pane.view(scene)
        assert isinstance(view, ElevationView)
        return view
