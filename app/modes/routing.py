"""The mode that draws the way of a job on a map: stops put, moved, taken out; a ladder is climbed by choosing it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from app.draw.sketch_art import Sketch
from app.modes.drawing import ARROWS, Key, Left, Pointer, Said, stepped
from core.fences.outlines import Place
from core.fences.snapping import nearest_on
from core.units import show_length

_SLOP = 0.35
"""Part of the reach a press may slip before it is a drag."""


@dataclass(frozen=True, slots=True)
class Catch:
    """What a stop is drawn to: a ladder or a way in, as a point or a line of the map, m."""

    name: str
    ladder: bool
    line: tuple[Place, ...]


@dataclass(frozen=True, slots=True)
class Put:
    """Effect: a stop comes after the one of an index (-1: first), where ``catch`` is if it is one."""

    after: int
    place: Place
    catch: Catch | None


@dataclass(frozen=True, slots=True)
class Shifted:
    """Effect: a stop is elsewhere; ``by_key`` where a key has moved it by a step: steps in a row are one edit."""

    index: int
    place: Place
    catch: Catch | None
    by_key: bool = False


@dataclass(frozen=True, slots=True)
class Dropped:
    """Effect: a stop is to go."""

    index: int


Effect = Put | Shifted | Dropped | Left | Said


@dataclass(frozen=True, slots=True)
class _Held:
    """A stop in the hand: which, where it was taken, where it is now."""

    index: int
    start: Place
    at: Place
    catch: Catch | None = None
    moved: bool = False


@dataclass(frozen=True, slots=True)
class Routing:
    """Drawing the way of a job.

    Attributes
    ----------
    stops : tuple of places
        Those of the way, in the map's coordinates, m.
    names : tuple of str
        What they are called.
    catches : tuple of Catch
        What a stop is drawn to.
    selected : int
        The stop that keys act on and that the next one comes after; -1 for none.
    """

    stops: tuple[Place, ...] = ()
    names: tuple[str, ...] = ()
    catches: tuple[Catch, ...] = ()
    selected: int = -1
    held: _Held | None = None
    at: Place | None = None
    catch: Catch | None = None
    feet: bool = False

    def on(self, stops: Sequence[Place], names: Sequence[str], catches: Sequence[Catch]) -> Routing:
        """Return the mode on a changed way; a stop that is still there stays selected."""
        selected = min(self.selected, len(stops) - 1)
        return replace(
            self, stops=tuple(stops), names=tuple(names), catches=tuple(catches), held=None,
            selected=selected,
        )  # fmt: skip

    def pressed(self, at: Pointer) -> tuple[Routing, Effect | None]:
        """Take hold of the stop under the mouse, or put one."""
        index = self._stop_at(at)
        if index is not None:
            held = _Held(index, at.place, self.stops[index])
            return replace(self, selected=index, held=held), None
        return self.moved(at)._put()

    def moved(self, at: Pointer) -> Routing:
        """Move the stop in the hand, or lead the next one to the mouse or to what is near it."""
        catch, place = self._drawn_to(at)
        held = self.held
        if held is None:
            return replace(self, at=place, catch=catch)
        if not held.moved and math.dist(at.place, held.start) < _SLOP * at.reach:
            return self
        return replace(self, held=replace(held, at=place, catch=catch, moved=True))

    def released(self) -> tuple[Routing, Effect | None]:
        """Put the stop in the hand down where it is."""
        held = self.held
        if held is None or not held.moved:
            return replace(self, held=None), None
        return replace(self, held=None), Shifted(held.index, held.at, held.catch)

    def doubled(self, at: Pointer) -> tuple[Routing, Effect | None]:
        """Finish: the first click of the two has put the last stop."""
        return self, Left()

    def left(self) -> Routing:
        """Show nothing under a mouse that is away; what is held stays held."""
        return replace(self, at=None, catch=None)

    def key(self, key: Key, *, shift: bool) -> tuple[Routing, Effect | None]:
        """Act on a key; ``shift`` makes arrow steps small and turns Space round."""
        if key in (Key.LEAVE, Key.CLOSE):
            return (self, Left()) if self.held is None else (replace(self, held=None), None)
        if self.held is not None:
            return self, None
        if not self.stops:
            return self, Said("There is no stop yet. Click where the way begins")
        if key is Key.SPACE:
            step = -1 if shift else 1
            return replace(self, selected=(self.selected + step) % len(self.stops)), None
        if self.selected < 0:
            return self, Said("No stop is selected. Click one, or press Space")
        if key in (Key.DELETE, Key.BACK):
            return replace(self, selected=self.selected - 1), Dropped(self.selected)
        if key in ARROWS:
            place = stepped(self.stops[self.selected], key, shift=shift)
            return self, Shifted(self.selected, place, None, by_key=True)
        return self, None

    def _put(self) -> tuple[Routing, Effect | None]:
        if self.at is None:
            return self, None
        after = self.selected if self.selected >= 0 else len(self.stops) - 1
        # What is put is selected: the next one comes after it.
        return replace(self, selected=after + 1), Put(after, self.at, self.catch)

    def _stop_at(self, at: Pointer) -> int | None:
        if not self.stops or at.free:
            return None
        away = [math.dist(at.place, stop) for stop in self.stops]
        if 0 <= self.selected < len(away) and away[self.selected] <= at.reach:
            return self.selected
        nearest = int(np.argmin(away))
        return nearest if away[nearest] <= at.reach else None

    def _drawn_to(self, at: Pointer) -> tuple[Catch | None, Place]:
        """Return what the mouse is near, and the place of it; a free pointer (Shift) is drawn to nothing."""
        best: tuple[float, Catch, Place] | None = None
        for catch in () if at.free else self.catches:
            place = _nearest(catch.line, at.place)
            away = math.dist(place, at.place)
            if away <= at.reach and (best is None or away < best[0] - 1e-9):
                best = away, catch, place
        return (None, at.place) if best is None else (best[1], best[2])

    def sketch(self) -> Sketch:
        """Return what is seen of it."""
        stops, held = list(self.stops), self.held
        rubber: tuple[Place, ...] = ()
        mark, catch = self.at, self.catch
        if held is not None and held.moved:
            stops[held.index] = mark = held.at
            catch = held.catch
        elif self.at is not None and stops:
            after = self.selected if 0 <= self.selected < len(stops) else len(stops) - 1
            rubber = (stops[after], self.at, *stops[after + 1 : after + 2])
        chosen = self.selected
        return Sketch(
            line=stops,
            corners=stops,
            rubber=rubber,
            mark=mark,
            snapped=catch is not None,
            on_corner=catch is not None and not catch.ladder,
            selected=stops[chosen] if 0 <= chosen < len(stops) else None,
            hint=self._hint(),
            state=self._state(catch),
        )

    def _hint(self) -> str:
        if not self.stops:
            return "Draw the way: click where it begins, a ladder to climb it\nEsc: leave"
        return (
            "Click: next stop · drag: move one · Space: select · Delete: take out\n"
            "A click on a ladder climbs it · Enter or Esc: leave"
        )

    def _state(self, catch: Catch | None) -> str:
        if catch is not None:
            return f"{'climbs' if catch.ladder else 'at'} {catch.name}"
        if 0 <= self.selected < len(self.stops):
            u, v = (show_length(c, feet=self.feet) for c in self.stops[self.selected])
            return f"{self.names[self.selected]}: {u}, {v}"
        return ""


def _nearest(line: tuple[Place, ...], place: Place) -> Place:
    points = np.array(line, dtype=np.float64)
    if len(points) == 1:
        return line[0]
    on = nearest_on(np.stack([points[:-1], points[1:]], axis=1), np.array(place))
    best = on[int(np.argmin(np.hypot(*(on - np.array(place)).T)))]
    return float(best[0]), float(best[1])
