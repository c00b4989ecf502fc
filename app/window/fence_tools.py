"""Fences made and changed in the window: fitted, drawn and reshaped on the plan, every edit one undo step."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

from PySide6.QtCore import Signal
from shapely import Polygon

from app.modes.drawing import (
    Changed,
    Drawing,
    Drawn,
    Left,
    Mode,
    Removed,
    Said,
)
from app.modes.reshaping import Reshaping
from app.window.document import Document
from app.window.jobs import Worker
from app.window.maps import Maps
from app.window.mode_hand import ModeHand
from app.window.pointing import PointedCanvas
from app.window.proving import CEILING, holds, on_walking_plan
from app.window.scene import radiating
from core.errors import InputError
from core.fences.fence import as_fences
from core.fences.fitting import Fitted, fit_site
from core.fences.outlines import fence_outline
from core.fences.site_fences import fence_view
from core.fences.snapping import Snapped, targets
from core.limits.tier import Tier
from core.progress import Asked
from core.site.places import Fence
from core.site.site import Site
from core.zones.zone import Zone

LIMIT = 1.0
"""Fraction of the tier's limit a fence holds back."""


class FenceTools(ModeHand):
    """Holds the mouse mode of the plan and carries out what it brings about.

    A drawn fence is one of the tier that is shown and holds back its limit, as a fitted one; which
    surfaces it stands on follows from where it is.
    """

    refused = Signal(str)
    accepted = Signal(str)
    working = Signal(str)
    drawing_ended = Signal()
    reshaping_ended = Signal()

    def __init__(self, document: Document, plan: PointedCanvas, maps: Maps) -> None:
        super().__init__()
        self.document, self.plan, self.maps = document, plan, maps
        self.worker = Worker()
        self.worker.done.connect(self._fitted)
        self.worker.failed.connect(self.refused)
        document.site_changed.connect(self._follow)

    # whole fences ----------------------------------------------------------------------------------

    def fit(self) -> None:
        """Fit fences and stops of ladders for the tier shown, in the place of those of an earlier fit.

        What is proven already is used; else it is proven first, off the window's thread.
        """
        site, look = self.document.site, self.maps.scene.look
        if not site.antennas:
            self.refused.emit("There is nothing to fence in: no antenna is on the list")
            return
        known = self._known_zone(site, look.tier)

        def work(cancelled: Asked, emit: Callable[[Any], None]) -> None:
            fitted = fit_site(
                site, look.tier, LIMIT, known=known, feet=look.feet,
                progress=lambda done: emit(done), cancelled=cancelled, ceiling=CEILING,
            )  # fmt: skip
            emit((site, fitted))

        self.working.emit("Fitting fences…")
        self.worker.submit(work)

    def cancel(self) -> None:
        """Fit nothing after all."""
        self.worker.submit(lambda cancelled, emit: None)
        self.accepted.emit("Fitting fences was cancelled")

    def _known_zone(self, site: Site, tier: Tier) -> Zone | None:
        """Return the zone of the whole plan that is shown, if it is what fences are for."""
        proven = self.maps.proving.shown.get("plan")
        if proven is None or proven.site != radiating(site):
            return None
        zones = proven.zones
        if not on_walking_plan(site, zones.view) or not holds(zones.view, fence_view(site)):
            return None
        return next(one for step, one in zones.zones if step.key == tier)

    def _fitted(self, answer: float | tuple[Site, Fitted]) -> None:
        if isinstance(answer, float):
            self.working.emit(f"Fitting fences: the zone is {100.0 * answer:.0f} % proven")
            return
        site, fitted = answer
        if site is not self.document.site:
            self.refused.emit("The site has changed while fences were fitted to it. Fit them again")
            return
        self.maps.proving.know(site, fitted.zone)
        self.document.set_fences(fitted.site.fences, "fit fences")
        lines = sum(bool(f.outline) for f in fitted.made)
        said = f"Fitted: {_counted(lines, 'fence')}, {_counted(len(fitted.made) - lines, 'ladder')} with stops"
        if not fitted.made:
            said = "Nothing to fence in: no walking surface and no ladder reaches into the zone"
        if fitted.replaced:
            said += f"; {len(fitted.replaced)} of an earlier fit gave way"
        self.accepted.emit(said)
        if not fitted.zone.complete:
            self.refused.emit(f"NOT PROVEN: {fitted.zone.message}")

    def remove(self, name: str) -> None:
        """Remove one fence; undo brings it back."""
        kept = tuple(f for f in self.document.site.fences if f.name != name)
        self.document.set_fences(kept, f"remove {name}")
        self.accepted.emit(f"{name} is removed. Undo brings it back")

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

    def turn(self, mode: Mode, effect: object | None) -> None:
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

    def _do(self, effect: object) -> None:
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
                    self.remove(name)
        except InputError as error:
            self.refused.emit(error.line())

    def _new(self, outline: tuple[tuple[float, float], ...]) -> Fence:
        tier, taken = self.maps.scene.look.tier, [f.name for f in self.document.site.fences]
        (fence,) = as_fences([Polygon(outline)], tier, LIMIT, f"drawn fence {tier}", taken)
        return fence

    def close(self) -> None:
        """Stop all work."""
        self.worker.close()


def _counted(count: int, what: str) -> str:
    return f"{count} {what}{'' if count == 1 else 's'}"
