"""A job on a site: who goes where, by which way, how long, in what, with which transmitters turned down.

Names of ladders, garments and emitters are looked up when the entry is planned (core.entry), so that a site stays
editable while a job still names what is gone.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from core.errors import InputError
from core.limits.tier import Tier, tier_of
from core.site.places import check_coordinate
from core.site.state import State
from core.site.ticks import PRE_USE_CHECKS, Tick
from core.text import LONGEST_NAME, check_name, check_text

HIGHER_CONTROLS = ("eliminate", "reduce", "engineering", "administrative")
"""What comes before a garment, in the order of the hierarchy of controls (common practice): transmitter off and
locked, or another time or place; less power or another antenna; distance, screens, barriers; limits of time,
procedures, access."""

CLIMB_SPEED, WALK_SPEED = 0.15, 0.5
"""m/s where nobody has said: 9 m a minute on a ladder, a slow walk (common practice, no source)."""
MOST_STOPS = 30
"""Stops of a way at most; more are no plan that a crew can keep."""
LONGEST_DWELL = 7 * 24 * 3600.0
DWELL_CEILING, HIGHEST_CEILING = 300.0, 1000.0
"""Percent of the occupational limit above which no plan that rests on short stays is made: where nobody has said,
and what nobody may go beyond (common practice, no source; ten times is where Category Four begins)."""
GARMENT_MARGIN_DB = 3.0
"""dB that a garment's rating is not used up to: a factor of two, as many act at half of a limit for calculated
values and take 2 to 3 dB of a survey meter's error as normal (common practice, from memory)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Stop:
    """A place of a route with the time spent there, s; a place of no dwell is only passed.

    Either ``position`` (x, y, z), the feet of who stands there, or a ``ladder`` by name with the ``height`` of the
    climber's middle; m above the site datum.
    """

    name: str
    position: tuple[float, float, float] | None = None
    ladder: str = ""
    height: float | None = None
    dwell: float = 0.0

    def __post_init__(self) -> None:
        check_name(self.name)
        check_text(self.ladder, "ladder", LONGEST_NAME)
        if (self.position is None) == (not self.ladder):
            raise InputError(
                "needs a position or a ladder", field="position", fix="Give one of the two"
            )
        if bool(self.ladder) == (self.height is None):
            raise InputError(
                "goes with a ladder" if self.height is not None else "is missing",
                field="height",
                fix="Give ladder and height together, in m above the site datum",
            )
        for value in self.position or ():
            check_coordinate(value, "position")
        if self.height is not None:
            check_coordinate(self.height, "height")
        if not (math.isfinite(self.dwell) and 0.0 <= self.dwell <= LONGEST_DWELL):
            raise InputError(f"{self.dwell:g} s", field="dwell", fix="Use 0 s to 7 days")


@dataclass(frozen=True, slots=True, kw_only=True)
class Route:
    """The way up with its stops, and the way down; speeds in m/s.

    ``way_down`` starts at the last stop; None is the same way back without a stop. Between two stops on one ladder
    people climb along it, else they walk straight.
    """

    stops: tuple[Stop, ...]
    way_down: tuple[Stop, ...] | None = None
    climb_speed: float = CLIMB_SPEED
    walk_speed: float = WALK_SPEED

    def __post_init__(self) -> None:
        if not self.stops:
            raise InputError("has no stop", field="stops", fix="Give at least one place")
        for name, stops in (("stops", self.stops), ("way_down", self.way_down or ())):
            if len(stops) > MOST_STOPS:
                raise InputError(
                    f"has {len(stops)} stops", field=name, fix=f"Use at most {MOST_STOPS}"
                )
        for name in ("climb_speed", "walk_speed"):
            value = getattr(self, name)
            if not (math.isfinite(value) and 0.005 <= value <= 3.0):
                raise InputError(f"{value:g} m/s", field=name, fix="Use 0.005 to 3 m/s")


@dataclass(frozen=True, slots=True, kw_only=True)
class Work:
    """Where the work is: a box between two corners (m, a side may be 0), or a span of heights on a ladder."""

    low: tuple[float, float, float] | None = None
    high: tuple[float, float, float] | None = None
    ladder: str = ""
    heights: tuple[float, float] | None = None

    def __post_init__(self) -> None:
        check_text(self.ladder, "ladder", LONGEST_NAME)
        box = self.low is not None and self.high is not None
        span = bool(self.ladder) and self.heights is not None
        parts = (self.low, self.high, self.ladder or None, self.heights)
        if box == span or sum(p is not None for p in parts) != 2:
            raise InputError(
                "is not one place",
                field="work",
                fix="Give low and high corners, or ladder and heights",
            )
        corners = (self.low or (), self.high or ())
        low, high = corners if box else ((p,) for p in self.heights or ())
        for a, b in zip(low, high, strict=True):
            check_coordinate(a, "low" if box else "heights")
            check_coordinate(b, "high" if box else "heights")
            if b < a:
                raise InputError(
                    f"{a:g} to {b:g} m",
                    field="high" if box else "heights",
                    fix="Give the lower value first",
                )


@dataclass(frozen=True, slots=True, kw_only=True)
class Job:
    """One entry to plan.

    Attributes
    ----------
    name : str
    tier : {"public", "occupational"}
        Whose limit the crew is held against; occupational only for trained, authorised people.
    route, work : Route, Work or None
    garment : str
        Name of the garment that is meant to be worn; empty for none.
    higher_controls : tuple of (control, reason)
        Why each of :data:`HIGHER_CONTROLS` was not enough; the garment gives no credit before all four are told.
    garment_training : str
        When and by whom the wearers were trained with it; no credit where empty.
    garment_checks : tuple of Tick
        The checks before it is worn that are done, at most one of each.
    states : tuple of (antenna, State)
        What the antennas are set to for the job; the others are as the site has them.
    dwell_ceiling : float
        Percent of the occupational limit above which a plan of short stays is refused.
    garment_margin : float
        dB that must be left under the garment's rating.
    when, crew, remark : str
        For when it is planned, who goes, anything else.
    """

    name: str
    tier: Tier = "occupational"
    route: Route | None = None
    work: Work | None = None
    garment: str = ""
    higher_controls: tuple[tuple[str, str], ...] = ()
    garment_training: str = ""
    garment_checks: tuple[Tick, ...] = ()
    states: tuple[tuple[str, State], ...] = ()
    dwell_ceiling: float = DWELL_CEILING
    garment_margin: float = GARMENT_MARGIN_DB
    when: str = ""
    crew: str = ""
    remark: str = ""

    def __post_init__(self) -> None:
        check_name(self.name)
        tier_of(self.tier)
        check_text(self.garment, "garment", LONGEST_NAME)
        check_text(self.when, "when", LONGEST_NAME)
        for field in ("garment_training", "crew", "remark"):
            check_text(getattr(self, field), field)
        for control, reason in self.higher_controls:
            if control not in HIGHER_CONTROLS:
                raise InputError(
                    f"{control!r} is not a control before the garment",
                    field="higher_controls",
                    fix=f"Use {', '.join(HIGHER_CONTROLS)}",
                )
            check_text(reason, f"higher_controls.{control}")
        if len({tick.check for tick in self.garment_checks}) < len(self.garment_checks):
            raise InputError(
                "has a check twice", field="garment_checks", fix="Tick each of them once"
            )
        for antenna, _ in self.states:
            check_name(antenna, "states")
        if not 100.0 <= self.dwell_ceiling <= HIGHEST_CEILING:
            raise InputError(
                f"{self.dwell_ceiling:g} %",
                field="dwell_ceiling",
                fix=f"Use 100 to {HIGHEST_CEILING:g} % of the occupational limit",
            )
        if not 0.0 <= self.garment_margin <= 30.0:
            raise InputError(
                f"{self.garment_margin:g} dB", field="garment_margin", fix="Use 0 to 30 dB"
            )

    @property
    def unticked(self) -> tuple[str, ...]:
        """Checks before the garment is worn that nobody has done yet, by their names."""
        done = {tick.check for tick in self.garment_checks}
        return tuple(check for check in PRE_USE_CHECKS if check not in done)

    @property
    def unexplained(self) -> tuple[str, ...]:
        """Higher controls of which nobody has said why they were not enough."""
        told = {control for control, reason in self.higher_controls if reason.strip()}
        return tuple(c for c in HIGHER_CONTROLS if c not in told)
