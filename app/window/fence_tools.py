"""Fences made and changed in the window: fitted, drawn and reshaped on the plan, every edit one undo step."""

from __future__ import annotations

from dataclasses import replace

from PySide6.QtCore import Signal
from shapely import Polygon

from app.modes.drawing import (
    Changed,
    Drawing,
    Drawn,
    Effect,
    Left,
    Mode,
    Removed,
    Said,
)
from app.modes.reshaping import Reshaping
from app.window.document import Document
from app.window.maps import Maps
from app.window.mode_hand import ModeHand
from app.window.pointing import PointedCanvas
from app.window.proving import on_walking_plan
from core.errors import InputError
from core.fences.fence import as_fences
from core.fences.outlines import fence_outline
from core.fences.site_fences import fit_plan
from core.fences.snapping import Snapped, targets
from core.site.places import Fence
from core.site.site import Site

LIMIT = 1.0
"""Fraction of the tier's limit a fence holds back."""


class FenceTools(ModeHand):
    """Holds the mouse mode of the plan and carries out what it brings about.

    A drawn fence is one of the tier that is shown and holds back its limit, as a fitted one; which
    surfaces it stands on follows from where it is.
    """

    refused = Signal(str)
    accepted = Signal(str)
    drawing_ended = Signal()
    reshaping_ended = Signal()

    def __init__(self, document: Document, plan: PointedCanvas, maps: Maps) -> None:
        super().__init__()
        self.document, self.plan, self.maps = document, plan, maps
        document.site_changed.connect(self._follow)

    # whole fences ----------------------------------------------------------------------------------

    def fit(self) -> None:
        """Fit fences around the plan zone of the tier shown; it has to be proven first."""
        proven = self.maps.proving.shown.get("plan")
        if proven is None:
            self.refused.emit(
                "There is no proven zone on the plan yet. Show proven zones first (Ctrl+B)"
            )
            return
        site = self.document.site
        zones = proven.zones
        if not on_walking_plan(site, zones.view):
            self.refused.emit(
                "Fences are for people who stand on a surface. Let the plan show them first: "
                "on the surface, for a standing person, spatial peak"
            )
            return
        tier = self.maps.scene.look.tier
        shown = next(one for step, one in zones.zones if step.key == tier)
        try:
            made = fit_plan(site, shown)
        except InputError as error:
            self.refused.emit(error.line())
            return
        self.document.set_fences((*site.fences, *made), "fit fences")

    def remove_all(self) -> None:
        """Remove every fence; undo brings them back."""
        self.document.set_fences((), "remove fences")

    # modes -----------------------------------------------------------------------------------------

    def draw(self, on: bool) -> None:
        """Begin to draw a fence, or stop."""
        if on:
            site, scene = self.document.site, self.maps.scene
            on_plan = scene.pin is not None and scene.pin.pane == "plan"
            start = scene.pin.place[:2] if scene.pin is not None and on_plan else scene.origin
            at = Snapped((float(start[0]), float(start[1])))
            self._enter(Drawing(targets(site), at=at, feet=self.maps.scene.look.feet))
        elif isinstance(self.mode, Drawing):
            self._leave()

    def reshape(self, on: bool) -> None:
        """Begin to change fences, or stop."""
        if on:
            self._enter(Reshaping(self.document.site, feet=self.maps.scene.look.feet))
        elif isinstance(self.mode, Reshaping):
            self._leave()

    def stop(self) -> None:
        """Leave any mode; nothing is changed."""
        if self.mode is not None:
            self._leave()

    def set_feet(self, on: bool) -> None:
        """Say lengths in feet, or in metres, from now on."""
        if isinstance(self.mode, Drawing | Reshaping):
            self.turn(replace(self.mode, feet=on), None)

    def _enter(self, mode: Mode) -> None:
        self.mode, self.plan.hand = mode, self
        self.plan.setFocus()
        self.plan.show_sketch(mode.sketch())

    def _leave(self) -> None:
        # One signal each: a mode that takes the place of the other must not be switched off with it.
        ended = self.drawing_ended if isinstance(self.mode, Drawing) else self.reshaping_ended
        self.mode = None
        if self.plan.hand is self:
            self.plan.hand = None
            self.plan.show_sketch(None)
        ended.emit()

    def _follow(self, site: Site) -> None:
        """Keep the mode right on a changed site."""
        if isinstance(self.mode, Drawing):
            self.turn(replace(self.mode, targets=targets(site)), None)
        elif isinstance(self.mode, Reshaping):
            self.turn(self.mode.on(site), None)

    # the mouse and the keys, from the canvas -------------------------------------------------------

    def lets_pan(self) -> bool:
        """Return whether a press that took hold of nothing moves the map."""
        return isinstance(self.mode, Reshaping) and self.mode.held is None

    def takes_back(self) -> bool:
        """Return whether undo means the last corner that was put, not the last edit."""
        return isinstance(self.mode, Drawing) and bool(self.mode.corners)

    # effects ---------------------------------------------------------------------------------------

    def turn(self, mode: Mode, effect: Effect | None) -> None:
        """Take over the next mode and carry out what it brings about."""
        self.mode = mode
        if effect is not None:
            # What is selected for the edit is not there yet, and a message that comes up may move the mouse off.
            if isinstance(mode, Reshaping):
                self.mode = mode.on(self.document.site)
            self._do(effect)
            # It may not be there now either: the edit was refused, or it removed the last corner.
            if isinstance(mode, Reshaping) and isinstance(self.mode, Reshaping):
                self.mode = mode.on(self.document.site)
        self.plan.show_sketch(self.mode.sketch() if self.mode is not None else None)

    def _do(self, effect: Effect) -> None:
        fences = self.document.site.fences
        try:
            match effect:
                case Left():
                    self._leave()
                case Said(text):
                    self.refused.emit(text)
                case Drawn(outline):
                    new = self._new(fence_outline(outline))
                    self._leave()
                    self.document.set_fences((*fences, new), f"draw {new.name}")
                    self.accepted.emit(f"{new.name} is drawn. Ctrl+E changes its corners")
                case Changed(name, outline, done, corner):
                    shape = fence_outline(outline)
                    kept = tuple(replace(f, outline=shape) if f.name == name else f for f in fences)
                    place = [f.name for f in fences].index(name), corner
                    self.document.set_fences(
                        kept, f"{done} {name}", stepped=place if corner >= 0 else None
                    )
                    self.accepted.emit("")
                case Removed(name):
                    kept = tuple(f for f in fences if f.name != name)
                    self.document.set_fences(kept, f"remove {name}")
                    self.accepted.emit(f"{name} is removed. Undo brings it back")
        except InputError as error:
            self.refused.emit(error.line())

    def _new(self, outline: tuple[tuple[float, float], ...]) -> Fence:
        tier, taken = self.maps.scene.look.tier, [f.name for f in self.document.site.fences]
        (fence,) = as_fences([Polygon(outline)], tier, LIMIT, f"fence {tier}", taken)
        return fence
