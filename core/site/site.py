"""The site: one immutable value that everything shown is computed from.

Site frame: x east, y north, z up, metres above the site datum. Each dataclass checks itself when it
is made and names the field and the fix; the file reader adds where in the file that was.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from core.antennas.base import Kind
from core.errors import InputError
from core.geometry import axes
from core.limits.sets import DEFAULT_SET
from core.site.allowance import Allowance
from core.site.garment import Garment
from core.site.job import Job
from core.site.places import (
    AccessPoint,
    Anchor,
    Fence,
    Ladder,
    Picture,
    Structure,
    Surface,
    check_coordinate,
    check_unique,
)
from core.site.reflection import BY_SURFACES, Reflection
from core.site.state import ON, Condition, NamedState, State
from core.site.surveys import Survey, check_surveys
from core.text import LONGEST_NAME, check_name, check_text

__all__ = [
    "MOST_CARRIERS", "Antenna", "Carrier", "Condition", "Power", "Site", "State", "told",
]  # fmt: skip

MOST_CARRIERS = 2_000
"""Carriers of a site: more are a slip, and would keep every command busy for hours."""

_NAMED = (
    "antennas", "surfaces", "structures", "ladders", "access_points", "fences", "garments", "jobs",
    "states",
)  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Power:
    """How a carrier's power was entered: one of three ways, or several that agree.

    Attributes
    ----------
    transmitter : float or None
        Average transmitter power, W; ``loss`` is the line and filter loss in dB.
    gain : float or None
        Stated antenna gain, dBi.
    erp, erp_vertical, eirp : float or None
        Stated effective radiated power over a dipole (each polarisation) or over isotropic, W.
    """

    transmitter: float | None = None
    loss: float = 0.0
    gain: float | None = None
    erp: float | None = None
    erp_vertical: float | None = None
    eirp: float | None = None

    def __post_init__(self) -> None:
        for name in ("transmitter", "erp", "erp_vertical", "eirp"):
            value = getattr(self, name)
            if value is not None and not (math.isfinite(value) and 0.0 < value <= 1e9):
                raise InputError(
                    f"{value:g} W is not a power a transmitter can have",
                    field=name,
                    fix="Use more than 0 W and at most 1000 MW; to silence it set the state to off",
                )
        if not 0.0 <= self.loss <= 60.0:
            raise InputError(
                f"{self.loss:g} dB of loss", field="loss", fix="Use 0 to 60 dB, positive"
            )
        if self.gain is not None and not -30.0 <= self.gain <= 80.0:
            raise InputError(f"{self.gain:g} dBi", field="gain", fix="Use -30 to 80 dBi")
        if self.transmitter is None and self.erp is None and self.eirp is None:
            raise InputError(
                "has no power",
                field="transmitter",
                fix="Give transmitter (with loss), or erp, or eirp",
            )
        if self.erp_vertical is not None and self.erp is None:
            raise InputError(
                "is given without erp",
                field="erp_vertical",
                fix="Give erp for the horizontal part too",
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class Carrier:
    """One emission of an antenna.

    ``duty`` is the average over the averaging time divided by the power entered; only a factor that is
    built into the source may be used, and ``duty_source`` must say whose figure it is.
    """

    name: str
    frequency: float
    power: Power
    duty: float = 1.0
    duty_source: str = ""

    def __post_init__(self) -> None:
        check_name(self.name)
        check_text(self.duty_source, "duty_source")
        if not (math.isfinite(self.frequency) and 1e3 <= self.frequency <= 3e11):
            raise InputError(
                f"{self.frequency:g} Hz is not a frequency a transmitter can have",
                field="frequency",
                fix="Use 1 kHz to 300 GHz",
            )
        if not 0.0 < self.duty <= 1.0:
            raise InputError(f"{self.duty:g}", field="duty", fix="Use more than 0 and at most 1")
        if self.duty < 1.0 and not self.duty_source.strip():
            raise InputError(
                f"a duty factor of {self.duty:g} lowers the figures and names no source",
                field="duty_source",
                fix="Say whose figure it is (for example the operator's TDD setting), or use 1",
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class Antenna:
    """An antenna where it hangs.

    ``reflection`` overrides the site's for this antenna, ``conservative`` the site's estimate: False drops
    the floors and added decibels for it and says so in every reading. ``tower_in_pattern`` says that its pattern was
    measured with the tower in it, so that steel is not counted twice. ``allows`` is what its owner lets be done with
    its power; None where nobody has said.
    """

    name: str
    kind: Kind
    position: tuple[float, float, float]
    carriers: tuple[Carrier, ...]
    azimuth: float = 0.0
    tilt: float = 0.0
    roll: float = 0.0
    state: State = ON
    reflection: Reflection | None = None
    conservative: bool | None = None
    tower_in_pattern: bool = False
    allows: Allowance | None = None
    owner: str = ""
    contact: str = ""
    remark: str = ""

    def __post_init__(self) -> None:
        check_name(self.name)
        for field in ("owner", "contact", "remark"):
            check_text(getattr(self, field), field)
        for value in self.position:
            check_coordinate(value, "position")
        for name, low, high in (
            ("azimuth", -360.0, 360.0),
            ("tilt", -90.0, 90.0),
            ("roll", -180.0, 180.0),
        ):
            value = getattr(self, name)
            if not (math.isfinite(value) and low <= value <= high):
                raise InputError(f"{value:g}°", field=name, fix=f"Use {low:g} to {high:g} degrees")
        if not self.carriers:
            raise InputError(
                "has no carrier", field="carriers", fix="Give at least one frequency and power"
            )
        check_unique([c.name for c in self.carriers], "carriers", "carrier")

    def frame(self, grid_north: float) -> NDArray[np.float64]:
        """Return the antenna's axes (3, 3) in a site frame whose y axis is so many degrees clockwise of true north."""
        return axes(self.azimuth - grid_north, self.tilt, self.roll)


@dataclass(frozen=True, slots=True, kw_only=True)
class Site:
    """Everything known about a site."""

    name: str
    antennas: tuple[Antenna, ...]
    story: str = ""
    limit_set: str = DEFAULT_SET
    conservative: bool = True
    reflection: Reflection = BY_SURFACES
    surfaces: tuple[Surface, ...] = ()
    structures: tuple[Structure, ...] = ()
    ladders: tuple[Ladder, ...] = ()
    access_points: tuple[AccessPoint, ...] = ()
    fences: tuple[Fence, ...] = ()
    picture: Picture | None = None
    anchor: Anchor | None = None
    extent: tuple[float, float, float, float] | None = None
    revision: str = ""
    garments: tuple[Garment, ...] = ()
    jobs: tuple[Job, ...] = ()
    states: tuple[NamedState, ...] = ()
    surveys: tuple[Survey, ...] = ()

    def __post_init__(self) -> None:
        check_name(self.name)
        check_text(self.story, "story")
        check_text(self.revision, "revision", LONGEST_NAME)
        for group in _NAMED:
            check_unique(
                [item.name for item in getattr(self, group)], group, group[:-1].replace("_", " ")
            )
        check_surveys(self.surveys)
        carriers = sum(len(a.carriers) for a in self.antennas)
        if carriers > MOST_CARRIERS:
            raise InputError(
                f"has {carriers} carriers, {MOST_CARRIERS} at most are worked on",
                field="antennas",
                fix="Divide the site, or leave out what is far away",
            )
        if self.extent is not None:
            west, south, east, north = self.extent
            for value in self.extent:
                check_coordinate(value, "extent")
            if east - west < 0.1 or north - south < 0.1:
                raise InputError(
                    "is empty",
                    field="extent",
                    fix="Give west, south, east, north in m, at least 0.1 m apart",
                )

    @property
    def state_name(self) -> str:
        """The named state that the antennas are in; empty where they are in none.

        Of several the most telling one; those that say as much are all named, since any may have been asked for.
        """
        now = {a.name: a.state for a in self.antennas}
        fits = [s for s in self.states if all(now.get(name) == state for name, state in s.states)]
        most = max((len(s.states) for s in fits), default=0)
        return " = ".join(s.name for s in fits if len(s.states) == most)

    @property
    def edition(self) -> str:
        """The revision, and the named state that the antennas are in, as every page and file says it."""
        if not self.state_name:
            return self.revision
        return f"{self.revision or 'none'}, state '{self.state_name}'"

    @property
    def grid_north(self) -> float:
        """Degrees by which the site's y axis is clockwise of true north."""
        return self.anchor.grid_north if self.anchor is not None else 0.0

    def frame_of(self, antenna: Antenna) -> NDArray[np.float64]:
        """Return an antenna's axes (3, 3) in the site frame; its azimuth is from true north."""
        return antenna.frame(self.grid_north)

    def antenna(self, name: str) -> Antenna:
        """Return the antenna of that name.

        Raises
        ------
        InputError
            If there is none.
        """
        for antenna in self.antennas:
            if antenna.name == name:
                return antenna
        raise InputError(
            f"no antenna is called {name!r}", fix="Use a name from the site's list of emitters"
        )

    def ladder(self, name: str) -> Ladder:
        """Return the ladder of that name.

        Raises
        ------
        InputError
            If there is none.
        """
        for ladder in self.ladders:
            if ladder.name == name:
                return ladder
        raise InputError(
            f"no ladder is called {name!r}",
            field="ladder",
            fix=_one_of(self.ladders) or "Draw a ladder first: the site has none",
        )

    def garment(self, name: str) -> Garment:
        """Return the garment of that name.

        Raises
        ------
        InputError
            If there is none.
        """
        for garment in self.garments:
            if garment.name == name:
                return garment
        raise InputError(
            f"no garment is called {name!r}",
            field="garment",
            fix=_one_of(self.garments) or "Type its card in: the site has no garment",
        )

    def job(self, name: str) -> Job:
        """Return the job of that name.

        Raises
        ------
        InputError
            If there is none.
        """
        for job in self.jobs:
            if job.name == name:
                return job
        raise InputError(
            f"no job is called {name!r}",
            field="jobs",
            fix=_one_of(self.jobs) or "Add a job to the site file",
        )


def told(text: str) -> str:
    """Return an owner or contact that somebody wrote; empty where what is written is that it is not known.

    Parameters
    ----------
    text : str
        What a file or a hand gave.

    Examples
    --------
    >>> told(" night desk "), told("Not known")
    ('night desk', '')
    """
    said = text.strip()
    return "" if said.lower() == "not known" else said


def _one_of(things: Sequence[Job] | Sequence[Ladder] | Sequence[Garment]) -> str:
    """Return what to write in place of a name that there is not; nothing where there are none."""
    return f"Use one of {', '.join(t.name for t in things)}" if things else ""
