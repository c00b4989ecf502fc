"""The mode that takes shapes into the hand on an elevation: heights, tops, points of ladders, ways in. No Qt."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from app.draw.part_art import part_lines
from app.draw.sketch_art import Sketch
from app.modes.drawing import ARROWS, Key, Left, Pointer, Said, stepped
from app.modes.handling import SLOP, Deleted, Picked, Reshaped, next_part
from app.modes.making import rounded
from app.modes.picking import upright
from app.modes.shape_kinds import kind_of
from core.errors import InputError
from core.fences.outlines import Place
from core.geometry import bearing
from core.site.lifting import holds, lifted
from core.site.parts import Part, Shape, part_of, value_of
from core.site.places import AccessPoint, Ladder, Structure, Surface
from core.site.roofs import is_roof
from core.site.site import Site
from core.units import show_length
from core.views.views import ElevationView

_ONLY_UP = "seen from the side only its height is moved. Its corners are moved on the plan"


@dataclass(frozen=True, slots=True)
class Raised:
    """A shape in the hand: as it was and would be, by which hold, where that was and where the mouse took it."""

    before: Shape
    shape: Shape
    hold: int
    at: Place
    start: Place
    now: Place
    what: str = ""
    moved: bool = False


@dataclass(frozen=True, slots=True)
class Lifting:
    """Taking shapes into the hand from the side.

    ``hold`` is the point of the chosen ladder that keys act on; ``stuck`` that a press took the chosen shape where
    nothing can be meant by a drag.
    """

    site: Site
    view: ElevationView
    part: Part | None = None
    hold: int = 0
    carried: Raised | None = None
    stuck: bool = False
    feet: bool = False

    @property
    def shape(self) -> Shape | None:
        """The shape that is changed: the chosen one, or the structure that ends in the chosen roof."""
        value = value_of(self.site, self.part) if self.part is not None else None
        if isinstance(value, Surface):
            under = next((s for s in self.site.structures if is_roof(value, s)), None)
            return under or value
        return None if isinstance(value, Site) else value

    def on(self, site: Site, view: ElevationView, part: Part | None) -> Lifting:
        """Return the mode on a changed site, in another plane or with another part chosen."""
        plane = (view.origin, view.azimuth) == (self.view.origin, self.view.azimuth)
        if plane and site is self.site and part == self.part:
            return replace(self, view=view)
        new = replace(self, site=site, view=view, part=part, carried=None, stuck=False)
        count = len(holds(new.shape)) if new.shape is not None else 0
        return new if part == self.part and self.hold < count else replace(new, hold=0)

    # the mouse -------------------------------------------------------------------------------------

    def pressed(self, at: Pointer) -> tuple[Lifting, object | None]:
        """Take the chosen shape where a drag has one meaning; else choose what is under the mouse."""
        mode, shape = replace(self, carried=None, stuck=False), self.shape
        found = self._hold(at) if shape is not None else None
        if shape is not None and found is not None:
            hold, place = found
            carried = Raised(shape, shape, hold, place, at.place, place)
            return replace(mode, carried=carried, hold=hold), None
        part = upright(self.site, self.view, at.place, at.reach)
        if part is not None and part == self.part:
            return replace(mode, stuck=True), Said(self._why(shape))
        return replace(mode, part=part, hold=0), Picked(part)

    def moved(self, at: Pointer) -> Lifting:
        """Move what is in the hand."""
        held = self.carried
        if held is None or (not held.moved and math.dist(at.place, held.start) < SLOP * at.reach):
            return self
        wish = held.at[0] + at.place[0] - held.start[0], held.at[1] + at.place[1] - held.start[1]
        (u, v), what = self._drawn_to(held, wish, at)
        try:
            shape = self._with(held.before, held.hold, (u - held.at[0], v - held.at[1]))
        except InputError:
            # A top stays above its base, and all of it on a site: it stays where it was last.
            return self
        return replace(self, carried=replace(held, shape=shape, now=(u, v), what=what, moved=True))

    def released(self) -> tuple[Lifting, object | None]:
        """Put down what is in the hand."""
        held = self.carried
        mode = replace(self, carried=None)
        if held is None or not held.moved:
            return mode, Said(self._why(self.shape)) if self.stuck else None
        return mode, Reshaped(part_of(held.before), held.shape, _done(held.before))

    def doubled(self, at: Pointer) -> tuple[Lifting, object | None]:
        """Nothing: corners are put in on the plan."""
        return self, None

    def left(self) -> Lifting:
        """Nothing: what is held stays held."""
        return self

    # the keys --------------------------------------------------------------------------------------

    def key(self, key: Key, *, shift: bool) -> tuple[Lifting, object | None]:
        """Act on a key; ``shift`` makes arrow steps small and turns Space round."""
        if key is Key.LEAVE:
            return (self, Left()) if self.carried is None else (replace(self, carried=None), None)
        if self.carried is not None:
            return self, None
        if self.stuck:
            return replace(self, stuck=False).key(key, shift=shift)
        if key is Key.SPACE:
            part = next_part(self.site, self.part, -1 if shift else 1)
            return replace(self, part=part, hold=0), Picked(part)
        shape, part = self.shape, self.part
        if shape is None or part is None:
            wanted = key in (Key.DELETE, Key.BACK, *ARROWS)
            return self, Said(
                "Nothing is chosen. Click a shape, or press Space"
            ) if wanted else None
        if key is Key.CLOSE:
            return replace(self, hold=(self.hold + 1) % max(len(holds(shape)), 1)), None
        if key in (Key.DELETE, Key.BACK):
            return replace(self, part=None), Deleted(part)
        if key not in ARROWS:
            return self, None
        along, up = stepped((0.0, 0.0), key, shift=shift)
        if not holds(shape) or (along and not _goes_along(shape)):
            return self, Said(self._why(shape))
        try:
            new = self._with(shape, self.hold, (along, up))
        except InputError as error:
            return self, Said(error.line())
        return self, Reshaped(part_of(shape), new, _done(shape), True)

    # what is under the mouse -----------------------------------------------------------------------

    def _hold(self, at: Pointer) -> tuple[int, Place] | None:
        """Return which hold of the chosen shape is within reach, and its place; None where none is."""
        shape = self.shape
        if shape is None:
            return None
        if _goes_along(shape):
            (points,) = part_lines(shape, self.view)
            away = [math.dist(point, at.place) for point in points]
            nearest = away.index(min(away))
            u, v = points[nearest]
            return (nearest, (u, v)) if away[nearest] <= at.reach else None
        line = part_lines(shape, self.view)
        if not line or not holds(shape):
            return None
        across, (height,) = [u for u, _ in line[0]], holds(shape)
        near = min(across) - at.reach <= at.place[0] <= max(across) + at.reach
        return (
            (0, (at.place[0], height)) if near and abs(at.place[1] - height) <= at.reach else None
        )

    def _drawn_to(self, held: Raised, wish: Place, at: Pointer) -> tuple[Place, str]:
        """Return where a hold goes: to heights that are there, and upright over what it was over."""
        u, v = rounded(wish)
        if not _goes_along(held.before):
            u = held.at[0]
        if at.free:
            return (u, v), ""
        height, what = min(
            self._heights(held.before), key=lambda one: abs(one[0] - v), default=(math.inf, "")
        )
        if abs(height - v) <= at.reach:
            v = height
        else:
            what = ""
        if _goes_along(held.before):
            (points,) = part_lines(held.before, self.view)
            line = min((point[0] for point in points), key=lambda one: abs(one - u))
            u = line if abs(line - u) <= at.reach else u
        return (u, v), what

    def _heights(self, but: Shape) -> list[tuple[float, str]]:
        """Return the heights something is drawn to: of surfaces and tops, but for those that go with it."""
        out = [
            (surface.height, f"height of {surface.name}")
            for surface in self.site.surfaces
            if surface != but and not (isinstance(but, Structure) and is_roof(surface, but))
        ]
        return out + [(s.top, f"top of {s.name}") for s in self.site.structures if s != but]

    def _with(self, shape: Shape, hold: int, by: Place) -> Shape:
        east, north = bearing(self.view.azimuth)
        return lifted(shape, hold, (by[0] * east, by[0] * north, by[1]))

    def _why(self, shape: Shape | None) -> str:
        """Return why a drag of the chosen shape means nothing here, and what does."""
        name = self.part.name if self.part is not None else ""
        if isinstance(shape, Structure):
            return f"{name}: {_ONLY_UP}. Drag its top edge"
        if isinstance(shape, Surface):
            return f"{name}: {_ONLY_UP}. Drag its line up or down"
        if isinstance(shape, Ladder):
            return f"{name}: drag one of its points. All of it is moved on the plan"
        return f"{name or 'The plan picture'}: nothing of it is moved here"

    # what is seen ----------------------------------------------------------------------------------

    def sketch(self) -> Sketch:
        """Return what is seen of it."""
        held = self.carried
        if held is not None and held.moved:
            lines = part_lines(held.shape, self.view)
            return Sketch(
                line=[(u, v) for u, v in lines[0]] if lines and len(lines[0]) > 1 else (),
                mark=held.now, snapped=bool(held.what),
                hint="Let go: it stays here\nShift: no snapping · Esc: put it back",
                state=self._far(held),
            )  # fmt: skip
        shape = self.shape
        if shape is None or self.part is None:
            return Sketch(hint="Click a shape, or Space: the next one\nEsc: leave")
        name = self._why(shape) if self.stuck else self.part.name or kind_of(shape).title
        if not _goes_along(shape):
            return Sketch(
                hint="Drag its top line · Up, Down: by steps\nSpace: next shape · Delete · Esc: leave",
                state=name,
            )
        (points,) = part_lines(shape, self.view)
        places = [(u, v) for u, v in points]
        count = f", point {self.hold + 1}" if len(places) > 1 and not self.stuck else ""
        return Sketch(
            corners=places, selected=places[min(self.hold, len(places) - 1)],
            hint="Drag a point · Arrows: move it · Enter: next point\nSpace: next shape · Delete · Esc: leave",
            state=f"{name}{count}",
        )  # fmt: skip

    def _far(self, held: Raised) -> str:
        """Return where a hold is and how far from where it was, in words."""
        (u, v), (u0, v0) = held.now, held.at
        up = f"{show_length(abs(v - v0), feet=self.feet)} {'up' if v >= v0 else 'down'}"
        if _goes_along(held.before):
            along = f"{show_length(abs(u - u0), feet=self.feet)} {'along' if u >= u0 else 'back'}"
            up = f"{along} and {up}"
        where = held.what or f"height {show_length(v, feet=self.feet)}"
        return f"{where}, {up} from where it was"


def _goes_along(shape: Shape) -> bool:
    """Return whether its holds are places, not heights only."""
    return isinstance(shape, Ladder | AccessPoint)


def _done(shape: Shape) -> str:
    if isinstance(shape, Ladder):
        return "move a point of"
    return "move" if isinstance(shape, AccessPoint) else "lift"
