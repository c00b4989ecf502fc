"""The mode that measures distances along a line of places, on any map."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from itertools import pairwise

from app.draw.sketch_art import Sketch
from app.modes.drawing import Effect, Key, Left, Pointer, drawn_to, stepped
from core.fences.outlines import Outline, Place
from core.fences.snapping import Snapped, Targets
from core.units import show_length


@dataclass(frozen=True, slots=True)
class Measuring:
    """A line that is measured.

    Attributes
    ----------
    ways : (positive right, negative right, positive up, negative up)
        What the two axes of the map are called each way: ``("east", "west", "north", "south")``.
    targets : Targets
        What places snap to; empty where nothing does.
    places : outline
        The places that were put, in the map's coordinates, m.
    at : Snapped or None
        Where the next one would be.
    done : bool
        The line is finished; the next place begins another.
    """

    ways: tuple[str, str, str, str]
    targets: Targets
    places: Outline = ()
    at: Snapped | None = None
    done: bool = False
    feet: bool = False

    def moved(self, at: Pointer) -> Measuring:
        """Lead the end of the line to the mouse, or to what is near it."""
        return self if self.done else replace(self, at=drawn_to(self.targets, at))

    def pressed(self, at: Pointer) -> tuple[Measuring, Effect | None]:
        """Put a place."""
        mode = replace(self, places=(), done=False) if self.done else self
        return mode.moved(at)._put(), None

    def doubled(self, at: Pointer) -> tuple[Measuring, Effect | None]:
        """Finish the line: the first click of the two has put its end."""
        return replace(self, done=len(self.places) > 1), None

    def released(self) -> tuple[Measuring, Effect | None]:
        """Nothing: places are put by presses."""
        return self, None

    def left(self) -> Measuring:
        """Let the end of the line go; what was put stays."""
        return self if self.done else replace(self, at=None)

    def key(self, key: Key, *, shift: bool) -> tuple[Measuring, Effect | None]:
        """Act on a key; ``shift`` makes arrow steps small."""
        if key is Key.LEAVE:
            return self, Left()
        if key is Key.SPACE:
            return (replace(self, places=(), done=False) if self.done else self)._put(), None
        if key is Key.CLOSE:
            return replace(self, done=len(self.places) > 1), None
        if key in (Key.BACK, Key.DELETE):
            return replace(self, places=self.places[:-1], done=False), None
        at = self.at.place if self.at else self.places[-1] if self.places else (0.0, 0.0)
        return replace(self, at=Snapped(stepped(at, key, shift=shift))), None

    def _put(self) -> Measuring:
        if self.at is None or self.at.place in self.places[-1:]:
            return self
        return replace(self, places=(*self.places, self.at.place))

    def sketch(self) -> Sketch:
        """Return what is seen of it."""
        live = self.at is not None and not self.done
        rubber: Outline = ()
        if self.at is not None and live and self.places and self.at.place != self.places[-1]:
            rubber = (self.places[-1], self.at.place)
        return Sketch(
            line=self.places,
            corners=self.places,
            rubber=rubber,
            mark=self.at.place if self.at is not None and live else None,
            snapped=bool(live and self.at and self.at.what),
            on_corner=bool(live and self.at and self.at.corner),
            hint=self._hint(),
            state=self._state(rubber),
        )

    def _hint(self) -> str:
        if self.done:
            return "Click to measure anew · Esc: leave"
        if not self.places:
            return "Measure: click a place (or arrows and Space)\nShift: no snapping · Esc: leave"
        return "Click the next place · double-click or Enter: finish\nBackspace: take one back · Esc: leave"

    def _state(self, rubber: Outline) -> str:
        line = (*self.places, *rubber[1:])
        if len(line) < 2:
            return ""
        lengths = [math.dist(a, b) for a, b in pairwise(line)]
        words = f"{self._length(lengths[-1])} ({self._parts(line[-2], line[-1])})"
        if len(lengths) > 1:
            words += f"\nin all {self._length(sum(lengths))}"
        return words

    def _parts(self, a: Place, b: Place) -> str:
        right, up = b[0] - a[0], b[1] - a[1]
        across = self.ways[0] if right >= 0.0 else self.ways[1]
        upward = self.ways[2] if up >= 0.0 else self.ways[3]
        return f"{self._length(abs(right))} {across}, {self._length(abs(up))} {upward}"

    def _length(self, metres: float) -> str:
        return show_length(metres, feet=self.feet)
