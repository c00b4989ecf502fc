"""The mode that traces a shape of the site: corner by corner, clicked or typed, then what is asked about it. No Qt.

What is typed is kept here as text; whoever holds the mode knows how people write lengths, and hands back numbers.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Any

from app.draw.sketch_art import Sketch
from app.modes.drawing import FINE_STEP, Key, Left, Pointer, drawn_to, in_words, stepped
from app.modes.making import rounded
from app.modes.right_angles import squared
from app.modes.shape_kinds import Ask, ShapeKind
from core.fences.outlines import Outline, Place
from core.fences.snapping import Snapped, Targets
from core.site.site import Site
from core.site.surfaces import standing_on
from core.units import show_length

_BEGINS = frozenset("0123456789.,+-@;")
"""What a typed place or length can begin with."""
LONGEST = 120


@dataclass(frozen=True, slots=True)
class Typed:
    """Effect: a text that says where the next place is; ``here`` that the pointer was pressed there."""

    text: str
    here: bool = False


@dataclass(frozen=True, slots=True)
class Answered:
    """Effect: a text that answers what is asked; empty for the usual answer."""

    ask: Ask
    text: str


@dataclass(frozen=True, slots=True)
class Closed:
    """Effect: the line is to be looked at; if it can be a shape, the questions come next, or the shape is made."""


@dataclass(frozen=True, slots=True)
class Tracing:
    """A shape that is being traced.

    Attributes
    ----------
    kind : ShapeKind
    site : Site
        For heights of what is below.
    targets : Targets
        What places snap to.
    corners : outline
        The places that were put, m.
    heights : tuple of float
        Of a climb the height of each place, m; of a place one where it was typed.
    at : Snapped or None
        Where the next place would be.
    closing : bool
        It would be the first one again.
    text : str
        What is being typed.
    answers : tuple of (name, value)
        What was answered; ``asking`` says that the line is done and questions are asked.
    usual : str
        What the question that is asked takes where nothing is typed.
    """

    kind: ShapeKind
    site: Site
    targets: Targets
    corners: Outline = ()
    heights: tuple[float, ...] = ()
    at: Snapped | None = None
    closing: bool = False
    text: str = ""
    asking: bool = False
    answers: tuple[tuple[str, Any], ...] = ()
    usual: str = ""
    feet: bool = False

    @property
    def ask(self) -> Ask | None:
        """What is asked now."""
        left = self.kind.asks[len(self.answers) :]
        return left[0] if self.asking and left else None

    @property
    def _closes(self) -> bool:
        return self.kind.trace == "outline"

    # the mouse -------------------------------------------------------------------------------------

    def moved(self, at: Pointer) -> Tracing:
        """Lead the rubber band to the mouse, or to what is near it."""
        if self.asking:
            return self
        if not at.free and self._closes and len(self.corners) >= 3:
            first = self.corners[0]
            if math.dist(first, at.place) <= at.reach:
                return replace(self, at=Snapped(first, "first corner", True), closing=True)
        return replace(self, at=self._drawn(at), closing=False)

    def _drawn(self, at: Pointer) -> Snapped:
        if at.free:
            return Snapped(rounded(at.place))
        if self.kind.trace == "climb" and self.corners:
            last = self.corners[-1]
            if math.dist(last, at.place) <= at.reach:
                return Snapped(last, "straight up", True)
        near = drawn_to(self.targets, at)
        if near.what:
            return near
        straight = squared(self.corners, at.place, at.reach, closes=self._closes)
        return straight or Snapped(rounded(at.place))

    def pressed(self, at: Pointer) -> tuple[Tracing, object | None]:
        """Put a place, close the line, or take the usual answer."""
        if self.ask is not None:
            return self, Answered(self.ask, self.text)
        return self.moved(at)._put()

    def doubled(self, at: Pointer) -> tuple[Tracing, object | None]:
        """End the line: the first click of the two has put its last place."""
        return (self, None) if self.asking else (self, Closed())

    def released(self) -> tuple[Tracing, object | None]:
        """Nothing: places are put by presses."""
        return self, None

    def left(self) -> Tracing:
        """Keep the rubber band where it is: a length may be typed along it."""
        return self

    # the keys --------------------------------------------------------------------------------------

    def typed(self, text: str) -> Tracing | None:
        """Return the mode with a letter or figure more; None where it has no use for it."""
        if not self.text and self.ask is None and text not in _BEGINS:
            return None
        return replace(self, text=(self.text + text)[:LONGEST])

    def key(self, key: Key, *, shift: bool) -> tuple[Tracing, object | None]:
        """Act on a key; ``shift`` makes arrow steps small."""
        if key is Key.LEAVE:
            return (replace(self, text=""), None) if self.text else (self, Left())
        if key in (Key.BACK, Key.DELETE):
            return self.back(), None
        if self.ask is not None:
            return (self, Answered(self.ask, self.text)) if key is Key.CLOSE else (self, None)
        if key is Key.CLOSE:
            return self, Typed(self.text) if self.text else Closed()
        if key is Key.SPACE:
            return self._put()
        if self.at is not None and not self.text:
            place = stepped(self.at.place, key, shift=shift)
            near = len(self.corners) >= 3 and math.dist(place, self.corners[0]) < FINE_STEP / 2.0
            return replace(self, at=Snapped(rounded(place)), closing=near and self._closes), None
        return self, None

    def back(self) -> Tracing:
        """Take back the last letter, else the last answer, else the last place."""
        if self.text:
            return replace(self, text=self.text[:-1])
        if self.answers:
            return replace(self, answers=self.answers[:-1], usual="")
        if self.asking:
            return replace(self, asking=False)
        return replace(self, corners=self.corners[:-1], heights=self.heights[:-1], closing=False)

    def _put(self) -> tuple[Tracing, object | None]:
        if self.text:
            return self, Typed(self.text, here=True)
        if self.closing:
            return self, Closed()
        if self.at is None:
            return self, None
        return self.put(self.at.place)

    def put(self, place: Place, height: float | None = None) -> tuple[Tracing, object | None]:
        """Put a place; of a climb at a height, or on what is below it."""
        climbs = self.kind.trace == "climb"
        if climbs and height is None:
            height = self.floor(place)
        heights = self.heights if height is None else (*self.heights, height)
        if place in self.corners[-1:] and (not climbs or height in self.heights[-1:]):
            return replace(self, text=""), None
        mode = replace(
            self, corners=(*self.corners, place), heights=heights, text="", closing=False,
            at=Snapped(place),
        )  # fmt: skip
        many = {"place": 1, "pair": 2}.get(self.kind.trace)
        return mode, Closed() if many == len(mode.corners) else None

    def floor(self, place: Place) -> float:
        """Return the height in m of what is below a place; straight over a climb's last point, that of it."""
        if self.corners and self.heights and place == self.corners[-1]:
            return self.heights[-1]
        return standing_on(self.site, *place)[0]

    def asked(self) -> Tracing:
        """Return the mode with its line done, asking."""
        return replace(self, asking=True, text="", answers=(), closing=False)

    def answered(self, value: Any) -> Tracing:
        """Return the mode with what is asked answered."""
        assert self.ask is not None
        return replace(self, answers=(*self.answers, (self.ask.name, value)), text="")

    # what is seen ----------------------------------------------------------------------------------

    def sketch(self) -> Sketch:
        """Return what is seen of it."""
        live = self.at is not None and not self.asking
        rubber: Outline = ()
        if self.at is not None and live and self.corners:
            back = self.corners[:1] if self._closes and len(self.corners) > 1 else ()
            rubber = (self.corners[-1], self.at.place, *back)
        closed = self.corners[:1] if self.asking and self._closes else ()
        return Sketch(
            line=(*self.corners, *closed),
            corners=self.corners,
            rubber=rubber,
            mark=self.at.place if self.at is not None and live else None,
            snapped=bool(live and self.at and self.at.what),
            on_corner=bool(live and self.at and self.at.corner),
            hint=self._hint(),
            state=self._typed() if self.text or self.asking else self._state(),
        )

    def _typed(self) -> str:
        usual = f"  (Enter: {self.usual})" if self.usual and not self.text else ""
        return f"{self.text}▏{usual}"

    def _hint(self) -> str:
        if self.ask is not None:
            return f"{self.kind.title}. {self.ask.words}:\nEnter: take it · Backspace: back · Esc: leave"
        what = self.kind.title.lower()
        if not self.corners:
            first = {"outline": "its corners", "line": "its corners", "climb": "its foot"}
            if self.kind.trace == "pair":
                return "Click a point of the picture whose place is known\nShift: no snapping · Esc: leave"
            return (
                f"{self.kind.title}: click {first.get(self.kind.trace, 'its place')}, or type it: x; y\n"
                "Arrows and Space do too · Shift: no snapping · Esc: leave"
            )
        if self.kind.trace == "pair":
            return "Click a second point of the picture, far from the first\nEsc: leave"
        if self.kind.trace == "climb":
            return (
                "Type the height of the next point: 19.5 or +3.5, or click where it is\n"
                f"Enter: the {what} is done · Backspace: one back · Esc: leave"
            )
        ends = "Enter or the first corner: done" if self._closes else "Enter: done"
        return (
            "Click the next corner, or type: 12.5 · 12.5 @ 90 · 3 m E 2 m N · x; y\n"
            f"{ends} · Backspace: one back · Esc: leave"
        )

    def _state(self) -> str:
        if self.at is None:
            return ""
        if self.closing:
            return "closes it here"
        words = [in_words(self.at, feet=self.feet)]
        if self.corners and self.at.place != self.corners[-1]:
            east, north = (a - b for a, b in zip(self.at.place, self.corners[-1], strict=True))
            toward = (math.degrees(math.atan2(east, north)) + self.site.grid_north) % 360.0
            words.append(f"{show_length(math.hypot(east, north), feet=self.feet)} @ {toward:.1f}°")
        elif self.kind.trace == "climb":
            height = show_length(self.floor(self.at.place), feet=self.feet)
            words.append(f"at {height}")
        return ", ".join(words)
