"""What is compared and how it is looked at, as frozen values; what stands over the maps follows from them. No Qt."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Literal, cast, get_args

from app.draw.change_style import UNITS, Quantity
from app.window.planes import Elevation, Plan
from app.window.scene import Scene
from core.changes.comparison import Comparison
from core.errors import InputError
from core.exposure.sources import sources
from core.limits.sets import get_set
from core.reading.data import NO_SURFACE
from core.site.site import Site
from core.site.states import in_state
from core.views.views import ElevationView, PlanView, View

Way = Literal["before", "after", "side by side", "wipe", "difference"]
WAYS: tuple[Way, ...] = get_args(Way)
Shown = Literal["both", "plan", "elevation"]
Point = tuple[float, float, float]

AS_FILED = "this site as filed"


@dataclass(frozen=True)
class Source:
    """Where a state comes from: a file, or this window's site where there is none, and the name of a state in it."""

    path: Path | None = None
    state: str = ""

    @property
    def words(self) -> str:
        """The state in words, for titles and lists."""
        state = f'state "{self.state}"' if self.state else ""
        if self.path is None:
            return state or AS_FILED
        # States before and after often have one name in two folders.
        name = f"file {self.path.parent.name}/{self.path.name}"
        return f"{name}, {state}" if state else name

    @property
    def is_filed(self) -> bool:
        """Whether it is this window's site as it is."""
        return self == Source()


@dataclass(frozen=True)
class End:
    """One end of a comparison."""

    source: Source
    site: Site

    def title(self, name: str) -> str:
        """Return the end in words that nobody takes for the site as it is, unless it is that."""
        other = "" if self.source.is_filed else ", not this site as filed"
        return f"{name}{other}: {self.source.words}"


def end(source: Source, here: Site, files: Mapping[Path, Site]) -> End:
    """Return the state that a source stands for.

    Raises
    ------
    InputError
        If there is no such state, or it is not consistent.
    """
    site = here if source.path is None else files[source.path]
    try:
        site = in_state(site, source.state) if source.state else site
        sources(site)
    except InputError as error:
        raise error.within(source=source.words) if source.path is not None else error from None
    return End(source, site)


def choices(here: Site, files: Mapping[Path, Site]) -> tuple[Source, ...]:
    """Return everything that can be compared: this site and its states, then those of other files."""
    every = [(None, here), *files.items()]
    return tuple(
        Source(path, name) for path, site in every for name in ("", *(s.name for s in site.states))
    )


def first_other(here: Site, shown: str) -> Source:
    """Return what a site is compared with first: the named state that was on the maps, else the first there is."""
    named = [state.name for state in here.states]
    return Source(state=shown if shown in named else next(iter(named), ""))


@dataclass(frozen=True)
class Compared(Scene):
    """Two states that are looked at: a scene whose site is the state before.

    Attributes
    ----------
    ends : (End, End)
        Before and after.
    way : str
        How they are shown, one of :data:`WAYS`.
    quantity : {"decibels", "points"}
        Unit of the difference.
    edge : float
        Where the edge of the wipe is, 0 at the left of a map to 1: before to its left, after to its right.
    planes : {"both", "plan", "elevation"}
        Which maps there are.
    spots : two of (x, y, z), or None
        Where the pinned place is in each state, m: a floor may have been raised.
    comparison : Comparison or None
        What the change does, once it is worked out.
    marked : bool
        Gained and lost zones are drawn on the plan.
    """

    ends: tuple[End, End] = (End(Source(), Site(name="-", antennas=())),) * 2
    way: Way = "after"
    quantity: Quantity = "decibels"
    edge: float = 0.5
    planes: Shown = "both"
    spots: tuple[Point, Point] | None = None
    comparison: Comparison | None = None
    marked: bool = True

    def of(self, i: int) -> Scene:
        """Return one state as a scene of its own: 0 before, 1 after."""
        path = self.ends[i].source.path
        if path is None:
            return replace(self, site=self.ends[i].site)
        return replace(self, site=self.ends[i].site, folder=path.parent, pictured=None)

    @property
    def same(self) -> bool:
        """Whether both ends are one state."""
        return self.ends[0].site == self.ends[1].site

    @property
    def limits(self) -> str:
        """The limit the percents are of, in words; both where the states have different ones."""
        keys = dict.fromkeys(e.site.limit_set for e in self.ends)
        return f"{' before and '.join(keys)}{' after,' if len(keys) > 1 else ''} {self.look.tier}"


class BothPlanes:
    """A plane of two states: all of it is all of both."""

    def __init__(self, plane: Plan | Elevation) -> None:
        self.plane, self.name, self.axes = plane, plane.name, plane.axes

    def whole(self, scene: Scene) -> View:
        """Return the view that holds all of both states."""
        compared = cast(Compared, scene)
        one, other = (self.plane.whole(compared.of(i)) for i in (0, 1))
        u0, v0, u1, v1 = (
            pick(a, b)
            for pick, a, b in zip((min, min, max, max), one.bounds, other.bounds, strict=True)
        )
        if isinstance(one, PlanView):
            return replace(one, region=(u0, v0, u1, v1))
        assert isinstance(one, ElevationView)
        return replace(one, along=(u0, u1), up=(v0, v1))


def titles(compared: Compared, plane: Plan | Elevation) -> tuple[str, str]:
    """Return what stands over the maps of a plane, which state it is first; the second is for side by side."""
    names = tuple(zip(("BEFORE", "AFTER"), compared.ends, strict=True))
    before, after = (f"{_verdict(one.site)}{one.title(name)}" for name, one in names)
    # Where both are named there is less room, and neither can be taken for the other.
    both = [f"{_verdict(one.site)}{name}: {one.source.words}" for name, one in names]
    where = f"{plane.name}, {plane.title(compared)}"
    percent = f" | % of {{}} {compared.look.tier}, {where}"
    own = [percent.format(e.site.limit_set) for e in compared.ends]
    match compared.way:
        case "before":
            return before + own[0], ""
        case "after":
            return after + own[1], ""
        case "side by side":
            return before + own[0], after + own[1]
        case "wipe":
            return f"Left {both[0]} | right {both[1]} | % of {compared.limits}, {where}", ""
    unit = UNITS[compared.quantity]
    return f"RISE in {unit} | {both[0]} | {both[1]} | {compared.limits}, {where}", ""


def _verdict(site: Site) -> str:
    return f"NO VERDICT: {NO_SURFACE}. " if site.antennas and not site.surfaces else ""


def tier_words(compared: Compared) -> str:
    """Return the limit of the tier shown, as its law calls it."""
    site = compared.ends[1].site
    return f"{site.limit_set} {get_set(site.limit_set).name_of(compared.look.tier)}"
