"""The mode that takes shapes of the site into the hand: chosen, moved, reshaped, removed. No Qt."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from app.draw.sketch_art import Sketch
from app.modes.drawing import ARROWS, Key, Left, Pointer, Said, drawn_to, in_words, stepped
from app.modes.making import rounded
from app.modes.picking import under
from app.modes.shape_kinds import kind_of
from core.errors import InputError
from core.fences.outlines import Outline, Place
from core.fences.snapping import Snapped, Targets, nearest_on, targets
from core.site.moving import moved, places, with_corner, with_place, without_corner
from core.site.parts import Part, Shape, parts, value_of, without
from core.site.places import AccessPoint, Ladder, Picture, Structure, Surface
from core.site.site import Site
from core.units import show_length

SLOP = 0.35
"""Part of the reach a press may slip before it is a drag."""


@dataclass(frozen=True, slots=True)
class Picked:
    """Effect: a part of the site is chosen, or none."""

    part: Part | None


@dataclass(frozen=True, slots=True)
class Reshaped:
    """Effect: a part is to be another shape. ``done`` says what was done, ``stepped`` that a key did it."""

    part: Part
    shape: Shape
    done: str
    stepped: bool = False


@dataclass(frozen=True, slots=True)
class Deleted:
    """Effect: a part is to go."""

    part: Part


@dataclass(frozen=True, slots=True)
class Carried:
    """A shape in the hand: as it was and as it would be, where it was taken, and by which corner; -1 by none."""

    before: Shape
    shape: Shape
    start: Place
    corner: int
    targets: Targets
    at: Snapped
    whole: bool
    moved: bool = False


@dataclass(frozen=True, slots=True)
class Handling:
    """Taking shapes into the hand. ``corner`` is the corner of the chosen part that keys act on, -1 for all of it."""

    site: Site
    part: Part | None = None
    corner: int = -1
    carried: Carried | None = None
    feet: bool = False

    @property
    def shape(self) -> Shape | None:
        """The chosen shape."""
        value = value_of(self.site, self.part) if self.part is not None else None
        return None if isinstance(value, Site) else value

    def on(self, site: Site, part: Part | None) -> Handling:
        """Return the mode on a changed site or with another part chosen; a corner that is still there stays chosen."""
        new = replace(self, site=site, part=part, carried=None)
        count = len(places(new.shape)) if new.shape is not None else 0
        return new if part == self.part and self.corner < count else replace(new, corner=-1)

    # the mouse -------------------------------------------------------------------------------------

    def pressed(self, at: Pointer) -> tuple[Handling, object | None]:
        """Take a corner of the chosen shape, or all of it; else choose what is under the mouse."""
        shape, corner = self.shape, self._corner(at)
        part = under(self.site, at.place, at.reach)
        if shape is None or (corner < 0 and part != self.part and not self._on_line(at)):
            return replace(self, part=part, corner=-1), Picked(part)
        lone = isinstance(shape, AccessPoint | Picture)
        whole = corner < 0 or lone
        # All of it is drawn to things by the corner that is nearest to the hand.
        by = corner if corner >= 0 else _nearest(shape, at.place)
        others = (
            targets(without(self.site, self.part)) if self.part is not None else targets(self.site)
        )
        carried = Carried(shape, shape, at.place, by, others, Snapped(places(shape)[by]), whole)
        return replace(self, carried=carried, corner=-1 if whole else corner), None

    def moved(self, at: Pointer) -> Handling:
        """Move what is in the hand."""
        held = self.carried
        if held is None or (not held.moved and math.dist(at.place, held.start) < SLOP * at.reach):
            return self
        was = places(held.before)[held.corner]
        wish = was[0] + at.place[0] - held.start[0], was[1] + at.place[1] - held.start[1]
        to = drawn_to(held.targets, replace(at, place=wish))
        place = to.place if to.what else rounded(to.place)
        try:
            shape = (
                moved(held.before, (place[0] - was[0], place[1] - was[1], 0.0))
                if held.whole
                else with_place(held.before, held.corner, place)
            )
        except InputError:
            # Nothing lies a hundred kilometres away: it stays where it was last.
            return self
        carried = replace(held, shape=shape, at=replace(to, place=place), moved=True)
        return replace(self, carried=carried)

    def released(self) -> tuple[Handling, object | None]:
        """Put down what is in the hand."""
        held = self.carried
        mode = replace(self, carried=None)
        if held is None or not held.moved or self.part is None:
            return mode, None
        return mode, Reshaped(self.part, held.shape, "move" if held.whole else "move a corner of")

    def doubled(self, at: Pointer) -> tuple[Handling, object | None]:
        """Put a corner in on the side of the chosen shape that is under the mouse."""
        found = self._side(at)
        if found is None or self.part is None or self.shape is None:
            return self, None
        index, place = found
        new = with_corner(self.shape, index, rounded(place))
        return replace(self, corner=index + 1, carried=None), Reshaped(
            self.part, new, "add a corner to"
        )

    def left(self) -> Handling:
        """Nothing: what is held stays held."""
        return self

    # the keys --------------------------------------------------------------------------------------

    def key(self, key: Key, *, shift: bool) -> tuple[Handling, object | None]:
        """Act on a key; ``shift`` makes arrow steps small and turns Space round."""
        if key is Key.LEAVE:
            return (self, Left()) if self.carried is None else (replace(self, carried=None), None)
        if self.carried is not None:
            return self, None
        if key is Key.SPACE:
            part = next_part(self.site, self.part, -1 if shift else 1)
            return replace(self, part=part, corner=-1), Picked(part)
        if key is Key.CLOSE:
            return self._next_corner(), None
        if key not in (Key.DELETE, Key.BACK, *ARROWS):
            return self, None
        shape, part = self.shape, self.part
        if shape is None or part is None:
            return self, Said("Nothing is chosen. Click a shape, or press Space")
        if key in ARROWS:
            return self, self._step(part, shape, key, shift=shift)
        if self.corner >= 0 and not shift:
            try:
                less = without_corner(shape, self.corner)
            except InputError as error:
                return self, Said(error.line())
            return replace(self, corner=-1), Reshaped(part, less, "remove a corner of")
        return replace(self, part=None, corner=-1), Deleted(part)

    def _step(self, part: Part, shape: Shape, key: Key, *, shift: bool) -> object:
        east, north = stepped((0.0, 0.0), key, shift=shift)
        try:
            if self.corner < 0:
                return Reshaped(part, moved(shape, (east, north, 0.0)), "move", True)
            x, y = places(shape)[self.corner]
            new = with_place(shape, self.corner, (x + east, y + north))
        except InputError as error:
            return Said(error.line())
        return Reshaped(part, new, "move a corner of", True)

    def _next_corner(self) -> Handling:
        count = len(places(self.shape)) if self.shape is not None else 0
        return replace(self, corner=(self.corner + 2) % (count + 1) - 1) if count > 1 else self

    # what is under the mouse -----------------------------------------------------------------------

    def _corner(self, at: Pointer) -> int:
        """Return the corner of the chosen shape within reach, -1 where there is none."""
        if self.shape is None:
            return -1
        nearest = _nearest(self.shape, at.place)
        return nearest if math.dist(places(self.shape)[nearest], at.place) <= at.reach else -1

    def _on_line(self, at: Pointer) -> bool:
        return self._side(at) is not None

    def _side(self, at: Pointer) -> tuple[int, Place] | None:
        """Return the corner that the nearest side of the chosen shape begins at, and the place on it."""
        sides = _sides(self.shape) if self.shape is not None else []
        if not sides:
            return None
        ends = np.array([(a, b) for _, a, b in sides])
        on = nearest_on(ends, np.array(at.place))
        away = np.hypot(*(on - np.array(at.place)).T)
        i = int(np.argmin(away))
        if away[i] > at.reach:
            return None
        return sides[i][0], (float(on[i][0]), float(on[i][1]))

    # what is seen ----------------------------------------------------------------------------------

    def sketch(self) -> Sketch:
        """Return what is seen of it."""
        held = self.carried
        if held is not None and held.moved:
            x, y = (
                a - b for a, b in zip(held.at.place, places(held.before)[held.corner], strict=True)
            )
            far = f"{in_words(held.at, feet=self.feet)}, {_said(x, y, feet=self.feet)} from where it was"
            return Sketch(
                line=_line(held.shape), corners=places(held.shape), mark=held.at.place,
                snapped=bool(held.at.what), on_corner=held.at.corner,
                hint="Let go: it stays here\nShift: no snapping · Esc: put it back", state=far,
            )  # fmt: skip
        shape = self.shape
        if shape is None or self.part is None:
            return Sketch(hint="Click a shape, or Space: the next one\nEsc: leave")
        chosen = places(shape)[self.corner] if self.corner >= 0 else None
        name = self.part.name or kind_of(shape).title
        corner = f", corner {self.corner + 1}" if self.corner >= 0 else ""
        return Sketch(
            corners=places(shape),
            selected=chosen,
            hint="Drag it, or a corner · Double-click a side: a new corner\n"
            "Arrows: move · Enter: next corner · Space: next shape · Delete · Esc: leave",
            state=f"{name}{corner}",
        )


def next_part(site: Site, part: Part | None, way: int) -> Part | None:
    """Return the part of a site after one, or with -1 before it, round and round; None where there is none."""
    all_of_them = [p for p in parts(site) if p.group != "site"]
    if not all_of_them:
        return None
    if part not in all_of_them:
        return all_of_them[0 if way > 0 else -1]
    return all_of_them[(all_of_them.index(part) + way) % len(all_of_them)]


def _nearest(shape: Shape, place: Place) -> int:
    away = [math.dist(corner, place) for corner in places(shape)]
    return away.index(min(away))


def _said(east: float, north: float, *, feet: bool) -> str:
    """Return how far and which way, in words."""
    ways = ((east, "east", "west"), (north, "north", "south"))
    return " and ".join(
        f"{show_length(abs(far), feet=feet)} {more if far >= 0.0 else less}"
        for far, more, less in ways
    )


def _rings(shape: Shape) -> list[tuple[Outline, bool]]:
    """Return the lines of a shape, and whether each closes."""
    if isinstance(shape, Surface):
        return [(ring, True) for ring in (shape.outline, *shape.holes)]
    if isinstance(shape, Structure):
        return [(shape.outline, shape.kind not in Structure.LINES)]
    return [(places(shape), False)] if isinstance(shape, Ladder) else []


def _sides(shape: Shape) -> list[tuple[int, Place, Place]]:
    """Return the sides of a shape: the index of the place each begins at, and its ends."""
    out: list[tuple[int, Place, Place]] = []
    first = 0
    for ring, closes in _rings(shape):
        last = len(ring) if closes else len(ring) - 1
        out += [(first + i, ring[i], ring[(i + 1) % len(ring)]) for i in range(last)]
        first += len(ring)
    return out


def _line(shape: Shape) -> Outline:
    """Return what is drawn of a shape in the hand: its outline without its holes."""
    ring, closes = _rings(shape)[0] if _rings(shape) else (places(shape), False)
    return (*ring, ring[0]) if closes else ring
