"""The mode that changes fences: corners dragged, put in, taken out."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from app.draw.sketch_art import Sketch
from app.modes.drawing import (
    ARROWS,
    Changed,
    Effect,
    Key,
    Left,
    Pointer,
    Removed,
    Said,
    drawn_to,
    in_words,
    stepped,
)
from core.fences.outlines import Outline, Place, with_corner, with_moved, without_corner
from core.fences.snapping import Snapped, Targets, nearest_on, targets
from core.site.places import Fence
from core.site.site import Site
from core.units import show_length

_SLOP = 0.35
"""Part of the reach a press may slip before it is a drag."""


@dataclass(frozen=True, slots=True)
class Grip:
    """A corner of a fence, or with ``place`` a place on the side that begins at that corner."""

    name: str
    corner: int
    place: Place | None = None


@dataclass(frozen=True, slots=True)
class Held:
    """A corner in the hand: the outline as it would be, where it was taken, what it may snap to."""

    name: str
    corner: int
    outline: Outline
    start: Place
    targets: Targets
    new: bool
    at: Snapped
    moved: bool = False


@dataclass(frozen=True, slots=True)
class Reshaping:
    """Changing the fences of a site. ``selected`` is the corner keys act on."""

    site: Site
    selected: Grip | None = None
    under: Grip | None = None
    held: Held | None = None
    feet: bool = False

    def on(self, site: Site) -> Reshaping:
        """Return the mode on a changed site; a corner that is still there stays selected."""
        grip = self.selected
        if grip is not None and grip.corner >= len(_outline(site, grip.name)):
            grip = None
        return replace(self, site=site, selected=grip, under=None, held=None)

    def pressed(self, at: Pointer) -> tuple[Reshaping, Effect | None]:
        """Take hold of the corner or side under the mouse."""
        grip = self._grip(at)
        if grip is None:
            return replace(self, selected=None, under=None), None
        outline = _outline(self.site, grip.name)
        corner, new = grip.corner, grip.place is not None
        if grip.place is not None:
            outline, corner = with_corner(outline, grip.corner, grip.place), grip.corner + 1
        held = Held(
            grip.name, corner, outline, at.place, targets(self.site, leave_out=(grip.name,)), new,
            Snapped(outline[corner]),
        )  # fmt: skip
        selected = None if new else grip
        return replace(self, held=held, selected=selected, under=grip), None

    def moved(self, at: Pointer) -> Reshaping:
        """Move the corner in the hand, or show what the mouse would take hold of."""
        held = self.held
        if held is None:
            return replace(self, under=self._grip(at))
        if not held.moved and math.dist(at.place, held.start) < _SLOP * at.reach:
            return self
        to = drawn_to(held.targets, at)
        outline = with_moved(held.outline, held.corner, to.place)
        return replace(self, held=replace(held, outline=outline, at=to, moved=True))

    def released(self) -> tuple[Reshaping, Effect | None]:
        """Put the corner down where it is."""
        held = self.held
        if held is None or not held.moved:
            return replace(self, held=None), None
        done = "add a corner to" if held.new else "move a corner of"
        mode = replace(self, held=None, selected=Grip(held.name, held.corner))
        return mode, Changed(held.name, held.outline, done)

    def doubled(self, at: Pointer) -> tuple[Reshaping, Effect | None]:
        """Put a corner in on the side under the mouse."""
        grip = self._grip(at)
        if grip is None or grip.place is None:
            return self, None
        outline = with_corner(_outline(self.site, grip.name), grip.corner, grip.place)
        mode = replace(self, held=None, selected=Grip(grip.name, grip.corner + 1))
        return mode, Changed(grip.name, outline, "add a corner to")

    def left(self) -> Reshaping:
        """Show nothing under a mouse that is away; what is held stays held."""
        return replace(self, under=None)

    def key(self, key: Key, *, shift: bool) -> tuple[Reshaping, Effect | None]:
        """Act on a key; ``shift`` makes arrow steps small and turns Space round."""
        if key is Key.LEAVE:
            return (self, Left()) if self.held is None else (replace(self, held=None), None)
        if self.held is not None:
            return self, None
        if key is Key.SPACE:
            return replace(self, selected=self._next(-1 if shift else 1)), None
        if key not in (Key.DELETE, Key.BACK, *ARROWS):
            return self, None
        grip = self.selected
        if grip is None:
            return self, Said("No corner is selected. Click one, or press Space")
        outline = _outline(self.site, grip.name)
        if key in ARROWS:
            place = stepped(outline[grip.corner], key, shift=shift)
            moved = with_moved(outline, grip.corner, place)
            return self, Changed(grip.name, moved, "move a corner of", grip.corner)
        if shift:
            return replace(self, selected=None), Removed(grip.name)
        return self, Changed(grip.name, without_corner(outline, grip.corner), "remove a corner of")

    def _next(self, way: int) -> Grip | None:
        grips = [Grip(f.name, i) for f in self.site.fences for i in range(len(f.outline))]
        if not grips:
            return None
        if self.selected not in grips:
            return grips[0]
        return grips[(grips.index(self.selected) + way) % len(grips)]

    def _grip(self, at: Pointer) -> Grip | None:
        """Return the nearest corner within reach, else the nearest side."""
        best: tuple[float, Grip] | None = None
        for on_side in (False, True):
            for fence in self.site.fences:
                if not fence.outline:
                    continue
                distance, grip = _nearest(fence, at.place, on_side=on_side)
                if distance <= at.reach and (best is None or distance < best[0]):
                    best = (distance, grip)
            if best is not None:
                return best[1]
        return None

    def sketch(self) -> Sketch:
        """Return what is seen of it."""
        if self.held is not None and self.held.moved:
            outline, at = self.held.outline, self.held.at
            return Sketch(
                line=(*outline, outline[0]),
                corners=outline,
                mark=at.place,
                snapped=bool(at.what),
                on_corner=at.corner,
                hint="Let go: the corner stays here\nShift: no snapping · Esc: put it back",
                state=self._sides(outline, self.held.corner, at),
            )
        grip, mark = self.under, None
        if grip is not None:
            mark = grip.place or _outline(self.site, grip.name)[grip.corner]
        chosen = self.selected
        return Sketch(
            mark=mark,
            snapped=mark is not None,
            on_corner=grip is not None and grip.place is None,
            selected=_outline(self.site, chosen.name)[chosen.corner] if chosen else None,
            hint=self._hint(),
            state=f"{chosen.name}, corner {chosen.corner + 1}" if chosen else "",
        )

    def _hint(self) -> str:
        if not any(f.outline for f in self.site.fences):
            return "There is no fence yet: draw one (Ctrl+D) or fit some (Ctrl+F)\nEsc: leave"
        if self.selected is not None:
            return "Arrows: move the corner · Delete: remove it\nShift+Delete: remove the fence · Esc: leave"
        return (
            "Drag a corner, or a side for a new corner\nSpace: select the next corner · Esc: leave"
        )

    def _sides(self, outline: Outline, corner: int, at: Snapped) -> str:
        before, after = outline[corner - 1], outline[(corner + 1) % len(outline)]
        lengths = [show_length(math.dist(at.place, end), feet=self.feet) for end in (before, after)]
        return f"{in_words(at, feet=self.feet)}; sides {' and '.join(lengths)}"


def _outline(site: Site, name: str) -> Outline:
    return next((f.outline for f in site.fences if f.name == name), ())


def _nearest(fence: Fence, place: Place, *, on_side: bool) -> tuple[float, Grip]:
    """Return how far a fence's nearest corner or side is, and where it is taken hold of."""
    corners, at = np.array(fence.outline), np.array(place)
    if on_side:
        found = nearest_on(np.stack([corners, np.roll(corners, -1, axis=0)], axis=1), at)
    else:
        found = corners
    away = np.hypot(*(found - at).T)
    i = int(np.argmin(away))
    x, y = (float(c) for c in found[i])
    return float(away[i]), Grip(fence.name, i, (x, y) if on_side else None)
