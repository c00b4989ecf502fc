"""The mode that puts one thing at the next place that is clicked, on any map."""

from __future__ import annotations

from dataclasses import dataclass, replace

from app.draw.sketch_art import Sketch
from app.modes.drawing import Key, Left, Pointer, drawn_to, stepped
from core.fences.outlines import Place
from core.fences.snapping import Snapped, Targets


@dataclass(frozen=True, slots=True)
class Put:
    """Effect: it is to stand at a place, in the map's coordinates, m."""

    place: Place


@dataclass(frozen=True, slots=True)
class Putting:
    """Something in the hand.

    Attributes
    ----------
    name : str
        What it is.
    start : place
        Where it is now; keys begin there.
    targets : Targets
        What it snaps to.
    at : Snapped or None
        Where it would be.
    """

    name: str
    start: Place
    targets: Targets
    at: Snapped | None = None

    def moved(self, at: Pointer) -> Putting:
        """Lead it to the mouse, or to what is near it."""
        return replace(self, at=drawn_to(self.targets, at))

    def pressed(self, at: Pointer) -> tuple[Putting, object | None]:
        """Put it."""
        mode = self.moved(at)
        return mode, mode._put()

    def doubled(self, at: Pointer) -> tuple[Putting, object | None]:
        """Nothing more: the first click has put it."""
        return self, None

    def released(self) -> tuple[Putting, object | None]:
        """Nothing: a press puts it."""
        return self, None

    def left(self) -> Putting:
        """Let its place go."""
        return replace(self, at=None)

    def key(self, key: Key, *, shift: bool) -> tuple[Putting, object | None]:
        """Act on a key; ``shift`` makes arrow steps small."""
        if key is Key.LEAVE:
            return self, Left()
        if key in (Key.SPACE, Key.CLOSE):
            return self, self._put()
        at = self.at.place if self.at else self.start
        return replace(self, at=Snapped(stepped(at, key, shift=shift))), None

    def _put(self) -> Put | None:
        return Put(self.at.place) if self.at is not None else None

    def sketch(self) -> Sketch:
        """Return what is seen of it."""
        return Sketch(
            mark=self.at.place if self.at is not None else None,
            snapped=bool(self.at and self.at.what),
            on_corner=bool(self.at and self.at.corner),
            hint=f"Click where {self.name} is (or arrows and Space)\nShift: no snapping · Esc: leave",
        )
