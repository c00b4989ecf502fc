"""Surveys: what a meter read at places of the site, and what the transmitters were doing then."""

from __future__ import annotations

import math
from dataclasses import dataclass
from datetime import date, datetime

from core.errors import InputError
from core.limits.sets import get_set
from core.limits.tier import Tier, tier_of
from core.site.places import check_coordinate, check_unique
from core.site.state import State
from core.text import LONGEST_NAME, check_name, check_text
from core.units import ETA0

FIELD_UNITS = ("V/m", "A/m", "mW/cm²", "W/m²")
"""Units of a reading that is no percent."""

USUAL_UNCERTAINTY = 3.0
"""dB that count where nobody has said how far the instrument can be off (common practice, no source)."""
MOST_UNCERTAINTY = 12.0
MOST_VALUE = 1e7
MOST_READINGS = 2_000
"""Readings of a site: all of them are compared whenever anything is shown."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Measured:
    """One reading of a meter at one place.

    Attributes
    ----------
    name : str
        What it is called, like ``row 17``.
    position : (x, y, z)
        Of the probe, m in the site frame.
    value : float
        In its ``unit``: one of :data:`FIELD_UNITS`, or ``%`` of a limit of ``limit_set`` for a ``tier``.
    states : tuple of (str, State)
        What each antenna on the list was doing; unknown counts as full power. One that is not in it was not there.
    uncertainty : float
        Of the instrument, dB either way.
    instrument, calibrated, time : str
        Empty where not recorded; the last two as ISO 8601 dates.
    explained : str
        Why it is above the prediction, in words; a reading that is explained raises nothing.
    """

    name: str
    position: tuple[float, float, float]
    value: float
    unit: str
    states: tuple[tuple[str, State], ...]
    limit_set: str = ""
    tier: Tier = "occupational"
    uncertainty: float = USUAL_UNCERTAINTY
    instrument: str = ""
    calibrated: str = ""
    time: str = ""
    explained: str = ""

    def __post_init__(self) -> None:
        check_name(self.name)
        for coordinate in self.position:
            check_coordinate(coordinate, "position")
        if not (math.isfinite(self.value) and 0.0 <= self.value <= MOST_VALUE):
            raise InputError(
                f"{self.value:g} is nothing a meter reads",
                field="value",
                fix=f"Use 0 to {MOST_VALUE:.0e}",
            )
        if self.unit == "%":
            try:
                get_set(self.limit_set)
            except InputError as error:
                raise error.within("unit") from None
            tier_of(self.tier)
        elif self.unit not in FIELD_UNITS:
            raise InputError(
                f"{self.unit!r} is not a unit of a reading",
                field="unit",
                fix=f"Use one of {', '.join(FIELD_UNITS)}, or like % FCC occupational",
            )
        if not 0.0 <= self.uncertainty <= MOST_UNCERTAINTY:
            raise InputError(
                f"{self.uncertainty:g} dB of uncertainty",
                field="uncertainty",
                fix=f"Use 0 to {MOST_UNCERTAINTY:g} dB",
            )
        check_text(self.instrument, "instrument", LONGEST_NAME)
        check_text(self.explained, "explained")
        day, read_on = (check_time(getattr(self, k), k) for k in ("calibrated", "time"))
        if day is not None and read_on is not None and day.date() > read_on.date():
            raise InputError(
                f"{self.calibrated} is after the reading of {self.time}",
                field="calibrated",
                fix="Give the calibration that was in force then",
            )
        check_unique([name for name, _ in self.states], "states", "antenna")

    @property
    def power(self) -> float:
        """The value as what adds: V²/m², A²/m², W/m², or a fraction of the limit."""
        scale = {"mW/cm²": 10.0, "%": 0.01}.get(self.unit, 1.0)
        return self.value**2 if self.unit in ("V/m", "A/m") else scale * self.value

    @property
    def words(self) -> str:
        """The value with its unit."""
        return value_words(self.value, self)

    @property
    def squares(self) -> tuple[float, float]:
        """E² in V²/m² and H² in A²/m² of 1 of :attr:`power`; a reading of power density stands for both."""
        if self.unit == "V/m":
            return 1.0, 0.0
        if self.unit == "A/m":
            return 0.0, 1.0
        return ETA0, 1.0 / ETA0

    def shown(self, power: float) -> float:
        """Return a :attr:`power` as a value in the reading's unit.

        Parameters
        ----------
        power : float
            In the unit of :attr:`power`.
        """
        if self.unit in ("V/m", "A/m"):
            return math.sqrt(power)
        return power / {"mW/cm²": 10.0, "%": 0.01}.get(self.unit, 1.0)


def value_words(value: float, like: Measured) -> str:
    """Return a value in the unit of a reading as text.

    Parameters
    ----------
    value : float
        In the reading's unit.
    like : Measured
        The reading.
    """
    if like.unit == "%":
        return f"{value:.3g} % of {like.limit_set} {like.tier}"
    return f"{value:.3g} {like.unit}"


def check_time(text: str, field: str) -> datetime | None:
    """Return the date of ISO 8601 text; None where it is empty.

    Parameters
    ----------
    text : str
        The text.
    field : str
        Where it stands, for the error.

    Raises
    ------
    InputError
        If it is no date.
    """
    if not text:
        return None
    try:
        found = datetime.fromisoformat(text)
    except ValueError:
        raise InputError(
            f"{text!r} is not a date",
            field=field,
            fix="Write 2026-05-31, or with a time 2026-05-31T14:20",
        ) from None
    if not date(1950, 1, 1) <= found.date() <= date(2200, 1, 1):
        raise InputError(f"{text} is not a year of a survey", field=field, fix="Check the year")
    return found


@dataclass(frozen=True, slots=True, kw_only=True)
class Survey:
    """The readings of one visit."""

    name: str
    readings: tuple[Measured, ...]

    def __post_init__(self) -> None:
        check_name(self.name)
        if not self.readings:
            raise InputError("has no reading", field="readings", fix="Add some, or leave it out")
        check_unique([r.name for r in self.readings], "readings", "reading")


def check_surveys(surveys: tuple[Survey, ...]) -> None:
    """Refuse surveys of one name, or more readings than are compared whenever anything is shown.

    Raises
    ------
    InputError
        If so.
    """
    check_unique([s.name for s in surveys], "surveys", "survey")
    count = sum(len(s.readings) for s in surveys)
    if count > MOST_READINGS:
        raise InputError(
            f"{count} readings, {MOST_READINGS} at most are compared",
            field="surveys",
            fix="Keep those of the last survey, and those above the prediction",
        )
