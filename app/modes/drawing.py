"""Mouse modes as a small state machine.

A mode is a frozen value. What the mouse or a key does to it gives the mode after it and, sometimes, an
effect: something the document or the window has to do. No mode knows a widget, an artist or the document.
Places are plan metres.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from enum import Enum, auto
from typing import Protocol

from app.draw.sketch_art import Sketch
from core.fences.outlines import Outline, Place
from core.fences.snapping import Snapped, Targets, snap
from core.units import show_length

STEP, FINE_STEP = 0.5, 0.1
"""m an arrow key moves: alone, and with Shift."""


class Key(Enum):
    """Keys a mode may act on."""

    CLOSE = auto()
    BACK = auto()
    LEAVE = auto()
    DELETE = auto()
    SPACE = auto()
    LEFT = auto()
    RIGHT = auto()
    UP = auto()
    DOWN = auto()


ARROWS = {Key.LEFT: (-1.0, 0.0), Key.RIGHT: (1.0, 0.0), Key.UP: (0.0, 1.0), Key.DOWN: (0.0, -1.0)}


@dataclass(frozen=True, slots=True)
class Pointer:
    """Where the mouse is; ``reach`` is how far it takes hold, m; ``free`` (Shift) takes it off snapping."""

    place: Place
    reach: float
    free: bool = False


@dataclass(frozen=True, slots=True)
class Drawn:
    """Effect: a new outline is to become a fence."""

    outline: Outline


@dataclass(frozen=True, slots=True)
class Changed:
    """Effect: a fence is to have another outline; ``done`` says what was done, for the undo list.

    ``stepped`` is the corner that a key has moved by a step: steps in a row are one edit. -1 otherwise.
    """

    name: str
    outline: Outline
    done: str
    stepped: int = -1


@dataclass(frozen=True, slots=True)
class Removed:
    """Effect: a fence is to go."""

    name: str


@dataclass(frozen=True, slots=True)
class Left:
    """Effect: the mode is to end; nothing is changed."""


@dataclass(frozen=True, slots=True)
class Said:
    """Effect: something a person has to be told."""

    text: str


Effect = Drawn | Changed | Removed | Left | Said


class Mode(Protocol):
    """What every mode answers to. Which effects there are is between a mode and the hand that holds it."""

    def pressed(self, at: Pointer) -> tuple[Mode, object | None]: ...
    def doubled(self, at: Pointer) -> tuple[Mode, object | None]: ...
    def released(self) -> tuple[Mode, object | None]: ...
    def moved(self, at: Pointer) -> Mode: ...
    def left(self) -> Mode: ...
    def key(self, key: Key, *, shift: bool) -> tuple[Mode, object | None]: ...
    def sketch(self) -> Sketch: ...


@dataclass(frozen=True, slots=True)
class Drawing:
    """Drawing a new fence corner by corner.

    ``at`` is where the next corner would be; ``closing`` that it is the first corner again.
    """

    targets: Targets
    corners: Outline = ()
    at: Snapped | None = None
    closing: bool = False
    feet: bool = False

    def moved(self, at: Pointer) -> Drawing:
        """Lead the rubber band to the mouse, or to what is near it."""
        if not at.free and len(self.corners) >= 3:
            first = self.corners[0]
            if math.dist(first, at.place) <= at.reach:
                return replace(self, at=Snapped(first, "first corner", True), closing=True)
        return replace(self, at=drawn_to(self.targets, at), closing=False)

    def pressed(self, at: Pointer) -> tuple[Drawing, Effect | None]:
        """Put a corner, or close the line."""
        return self.moved(at)._put()

    def doubled(self, at: Pointer) -> tuple[Drawing, Effect | None]:
        """Close the line: the first click of the two has put the last corner."""
        return self, Drawn(self.corners)

    def released(self) -> tuple[Drawing, Effect | None]:
        """Nothing: corners are put by presses."""
        return self, None

    def left(self) -> Drawing:
        """Let the rubber band go."""
        return replace(self, at=None, closing=False)

    def key(self, key: Key, *, shift: bool) -> tuple[Drawing, Effect | None]:
        """Act on a key; ``shift`` makes arrow steps small."""
        if key is Key.CLOSE:
            return self, Drawn(self.corners)
        if key is Key.LEAVE:
            return self, Left()
        if key in (Key.BACK, Key.DELETE):
            return replace(self, corners=self.corners[:-1], closing=False), None
        if key is Key.SPACE:
            return self._put()
        if self.at is not None:
            place = stepped(self.at.place, key, shift=shift)
            closing = len(self.corners) >= 3 and math.dist(place, self.corners[0]) < FINE_STEP / 2.0
            return replace(self, at=Snapped(place), closing=closing), None
        return self, None

    def _put(self) -> tuple[Drawing, Effect | None]:
        if self.closing:
            return self, Drawn(self.corners)
        if self.at is None or self.at.place in self.corners[-1:]:
            return self, None
        return replace(self, corners=(*self.corners, self.at.place)), None

    def sketch(self) -> Sketch:
        """Return what is seen of it."""
        rubber: Outline = ()
        if self.at is not None and self.corners:
            back = self.corners[:1] if len(self.corners) > 1 else ()
            rubber = (self.corners[-1], self.at.place, *back)
        return Sketch(
            line=self.corners,
            corners=self.corners,
            rubber=rubber,
            mark=self.at.place if self.at else None,
            snapped=bool(self.at and self.at.what),
            on_corner=bool(self.at and self.at.corner),
            hint=self._hint(),
            state=self._state(),
        )

    def _hint(self) -> str:
        if not self.corners:
            return "Draw a fence: click its corners (or arrows and Space)\nShift: no snapping · Esc: leave"
        if len(self.corners) < 3:
            return "Click the next corner\nBackspace: take one back · Esc: leave"
        return "Enter or the first corner: close the fence\nBackspace: take one back · Esc: leave"

    def _state(self) -> str:
        if self.at is None:
            return ""
        if self.closing:
            return "closes the fence here"
        words = [in_words(self.at, feet=self.feet)]
        if self.corners:
            length = math.dist(self.at.place, self.corners[-1])
            words.append(f"{show_length(length, feet=self.feet)} from the last corner")
        return ", ".join(words)


def drawn_to(targets: Targets, at: Pointer) -> Snapped:
    """Return the place of a pointer, snapped unless it is free."""
    return Snapped(at.place) if at.free else snap(targets, at.place, at.reach)


def stepped(place: Place, key: Key, *, shift: bool) -> Place:
    """Return a place one arrow key further; any other key leaves it."""
    right, up = ARROWS.get(key, (0.0, 0.0))
    step = FINE_STEP if shift else STEP
    return place[0] + right * step, place[1] + up * step


def in_words(at: Snapped, *, feet: bool) -> str:
    """Return where a mark is."""
    x, y = at.place
    return at.what or f"x {show_length(x, feet=feet)}, y {show_length(y, feet=feet)}"
