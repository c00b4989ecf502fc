"""A protective garment as its card describes it, and what is known of the one at hand.

The figures are the user's own, typed in from the card of the garment; none is built in. A rating in percent of the
occupational limit is a guaranteed attenuation A in dB written another way: 100 · 10^(A/10) percent (arithmetic).
"""

from __future__ import annotations

import datetime
import itertools
import math
from dataclasses import dataclass
from enum import StrEnum

from core.errors import InputError
from core.text import LONGEST_NAME, check_name, check_text
from core.units import from_db, show_frequency

COMPLETE_SET = ("coverall", "head cover", "gloves", "socks")
"""What a set consists of: only the complete one is rated (type examination with all joints closed)."""

MOST_DB = 60.0
"""dB: a whole garment that is said to attenuate more is a slip, or a figure of the cloth alone."""


class Soundness(StrEnum):
    """In what condition the last look found a garment."""

    SOUND = "sound"
    REPAIRED = "temporarily repaired"
    DAMAGED = "damaged"


@dataclass(frozen=True, slots=True, kw_only=True)
class Band:
    """Frequencies from ``low`` to ``high`` in Hz with the rating on the card: in ``percent`` or in ``decibels``."""

    low: float
    high: float
    percent: float | None = None
    decibels: float | None = None

    def __post_init__(self) -> None:
        for name in ("low", "high"):
            value = getattr(self, name)
            if not (math.isfinite(value) and 1e3 <= value <= 3e11):
                raise InputError(
                    f"{value:g} Hz is no edge of a band", field=name, fix="Use 1 kHz to 300 GHz"
                )
        if self.high <= self.low:
            raise InputError(
                f"{show_frequency(self.high)} is not above {show_frequency(self.low)}",
                field="high",
                fix="Give the lower edge as low",
            )
        if (self.percent is None) == (self.decibels is None):
            raise InputError(
                "is not one figure",
                field="rating",
                fix='Give percent or dB, like "800 %" or "9 dB"',
            )
        times = self.rating if self.decibels is None or self.decibels <= MOST_DB else math.inf
        if not 1.0 < times <= from_db(MOST_DB):
            raise InputError(
                "is no rating of a garment",
                field="rating",
                fix=f"Use more than 100 % of the limit (0 dB) and at most {MOST_DB:g} dB, as on the card",
            )

    @property
    def rating(self) -> float:
        """Times the occupational limit in power that the garment is rated for in this band."""
        if self.decibels is not None:
            return from_db(min(self.decibels, 2.0 * MOST_DB))
        assert self.percent is not None
        return self.percent / 100.0

    @property
    def words(self) -> str:
        """The band as the card has it."""
        figure = f"{self.decibels:g} dB" if self.decibels is not None else f"{self.percent:g} %"
        return f"{show_frequency(self.low)} to {show_frequency(self.high)}: {figure}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Garment:
    """A garment: the ratings of its card, and the record of the set at hand.

    Attributes
    ----------
    name, source : str
        What the crew calls it, and whose figures these are (maker's card, number, date).
    bands : tuple of Band
        In any order; they may share an edge, where the smaller rating counts, but not overlap.
    parts : tuple of str
        Which parts of :data:`COMPLETE_SET` are at hand.
    condition : Soundness
        What the last look found.
    inspected, inspected_by : str
        Date of the last inspection (2026-11-24) and by whom; empty where none is on record.
    wear, remark : str
        The card's own rules of wear; anything else.
    """

    name: str
    source: str
    bands: tuple[Band, ...]
    parts: tuple[str, ...] = COMPLETE_SET
    condition: Soundness = Soundness.SOUND
    inspected: str = ""
    inspected_by: str = ""
    wear: str = ""
    remark: str = ""

    def __post_init__(self) -> None:
        check_name(self.name)
        for field in ("source", "wear", "remark"):
            check_text(getattr(self, field), field)
        check_text(self.inspected_by, "inspected_by", LONGEST_NAME)
        if not self.source.strip():
            raise InputError(
                "is empty",
                field="source",
                fix="Say whose figures these are: the maker's card, its number and date",
            )
        if not self.bands:
            raise InputError("has no band", field="bands", fix="Give at least one band and rating")
        in_order = sorted(self.bands, key=lambda b: b.low)
        for below, above in itertools.pairwise(in_order):
            if above.low < below.high:
                raise InputError(
                    f"{below.words} and {above.words} overlap",
                    field="bands",
                    fix="Correct the edges as they are on the card",
                )
        for part in self.parts:
            if part not in COMPLETE_SET:
                raise InputError(
                    f"{part!r} is no part of a set",
                    field="parts",
                    fix=f"Use {', '.join(COMPLETE_SET)}",
                )
        check_date(self.inspected, "inspected")

    @property
    def missing(self) -> tuple[str, ...]:
        """Parts of the complete set that are not at hand."""
        return tuple(part for part in COMPLETE_SET if part not in self.parts)

    def rating(self, frequency: float) -> float | None:
        """Return the times of the limit it is rated for at a frequency in Hz; None outside its bands."""
        return min((b.rating for b in self.bands if b.low <= frequency <= b.high), default=None)


def check_date(text: str, field: str) -> None:
    """Refuse text that is neither empty nor a date like 2026-11-24.

    Parameters
    ----------
    text : str
        What was entered.
    field : str
        Where it stands, for the error.

    Raises
    ------
    InputError
        If it is no date.
    """
    if not text:
        return
    try:
        datetime.date.fromisoformat(text)
    except ValueError:
        raise InputError(
            f"{text[:40]!r} is not a date",
            field=field,
            fix="Write it as year-month-day, like 2026-11-24",
        ) from None
