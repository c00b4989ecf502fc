"""What a set of exposure limits is: rows of a printed table, tables, sets, and the lookup.

A row says nothing about a quantity it leaves out: the answer is ``None``, not zero, not infinity
and not the neighbour's value. The same holds for a frequency outside the table.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Literal, get_args

from core.limits.law import FREQUENCY_UNITS, evaluate, frequency_unit
from core.limits.tier import TIERS, Tier, tier_of
from core.units import ETA0, SPEED_OF_LIGHT

Status = Literal["confirmed", "confirmed via another text", "from memory", "low confidence"]
"""How a printed number was checked, best first: read in the document or a copy of it; read in a law
or textbook that reproduces it; remembered; remembered and not checkable by arithmetic."""

STATUSES: tuple[Status, ...] = get_args(Status)

EDGE = 1e-9
"""Relative distance from a band edge at which both rows count: units leave noise on a frequency."""

MU0 = ETA0 / SPEED_OF_LIGHT
"""Permeability of free space in H/m (CODATA 2018), 1.2566 uT for 1 A/m."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Limit:
    """The limits of one table at one frequency; rms fields.

    Parameters
    ----------
    e, h, s : float or None
        Limits in V/m, A/m and W/m2; None where the table has none.
    averaging_minutes : float or None
        Averaging time; None for an instantaneous limit.
    formula : str
        The printed laws, for people.
    source, status : str
        Document and table, and how the numbers were checked; the weakest of the row's cells.
    plane_wave_s : bool
        True where ``s`` is only the plane-wave equivalent of ``e`` and is not to be checked.
    b_ut : float or None
        Flux density in microtesla where the document prints one.
    """

    e: float | None
    h: float | None
    s: float | None
    averaging_minutes: float | None
    formula: str
    source: str
    status: Status
    plane_wave_s: bool = False
    b_ut: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One printed row: a band in Hz and the laws of its quantities, as :mod:`core.limits.law` text.

    ``h`` in A/m and ``b`` in microtesla may both be printed; then ``h`` is the limit of the
    magnetic field. Where only ``b`` is printed the limit is b/mu0. ``averaging`` is in minutes.
    """

    low_hz: float
    high_hz: float
    e: str | None = None
    h: str | None = None
    s: str | None = None
    b: str | None = None
    averaging: str | None = None
    plane_wave_s: bool = False
    source: str
    status: Status

    def holds(self, frequency_hz: float) -> bool:
        """Return whether the frequency is in the band, edges and their float noise included."""
        return self.low_hz * (1.0 - EDGE) <= frequency_hz <= self.high_hz * (1.0 + EDGE)

    def at(self, frequency_hz: float) -> Limit:
        """Return the row's limits at a frequency; the caller sees to it that the band holds it."""

        def value(law: str | None) -> float | None:
            return None if law is None else evaluate(law, frequency_hz)

        b_ut = value(self.b)
        h = value(self.h)
        return Limit(
            e=value(self.e),
            h=b_ut * 1e-6 / MU0 if h is None and b_ut is not None else h,
            s=value(self.s),
            averaging_minutes=value(self.averaging),
            formula=self.formula(),
            source=self.source,
            status=self.status,
            plane_wave_s=self.plane_wave_s,
            b_ut=b_ut,
        )

    def formula(self) -> str:
        """Return the printed laws with units, like ``E 824/f V/m; H 2.19/f A/m; f in MHz``."""
        star = " (plane-wave equivalent, not checked)" if self.plane_wave_s else ""
        printed = (
            ("E", self.e, " V/m"),
            ("H", self.h, " A/m"),
            ("B", self.b, " µT"),
            ("S", self.s, f" W/m²{star}"),
        )
        parts = [f"{name} {law}{unit}" for name, law, unit in printed if law is not None]
        letters = {frequency_unit(law) for _, law, _ in printed if law is not None} - {""}
        parts += [f"{letter} in {FREQUENCY_UNITS[letter]}" for letter in sorted(letters)]
        return "; ".join(parts)


@dataclass(frozen=True, slots=True, kw_only=True)
class LimitTable:
    """One printed table of one tier.

    Parameters
    ----------
    key, title : str
        Unique short name ("FCC gp") and the name for people.
    tier : {"public", "occupational"}
        Whom it protects.
    rows : tuple of Row
        In order of frequency; neighbours share their edge.
    exponent : int
        2: fractions are squares of field ratios (heating). 1: field ratios (nerve stimulation).
        Fractions of several emitters add in either case.
    spatial : {"mean", "peak"}
        What the table is compared with when a mean over the body was asked for.
    note : str
        What a reader has to know before using it.
    """

    key: str
    title: str
    tier: Tier
    rows: tuple[Row, ...]
    exponent: Literal[1, 2] = 2
    spatial: Literal["mean", "peak"] = "mean"
    note: str = ""

    @property
    def low_hz(self) -> float:
        """The lowest frequency of the table."""
        return self.rows[0].low_hz

    @property
    def high_hz(self) -> float:
        """The highest frequency of the table."""
        return self.rows[-1].high_hz

    def at(self, frequency_hz: float) -> Limit | None:
        """Return the limits at a frequency in Hz, or None outside the table.

        On a band edge both rows count and the smaller limit of each quantity is taken, whichever
        row the document gives the edge to; a quantity that only one row has is kept.
        """
        found = [row.at(frequency_hz) for row in self.rows if row.holds(frequency_hz)]
        if not found:
            return None
        return found[0] if len(found) == 1 else _strictest(found)


def _smallest(values: Iterable[float | None]) -> float | None:
    return min((value for value in values if value is not None), default=None)


def _strictest(limits: list[Limit]) -> Limit:
    """Return the smaller limit of each quantity of the rows that meet at an edge."""

    def joined(text: Callable[[Limit], str], glue: str) -> str:
        return glue.join(dict.fromkeys(text(limit) for limit in limits))

    times = [limit.averaging_minutes for limit in limits]
    starred = [limit.plane_wave_s for limit in limits if limit.s is not None]
    return Limit(
        e=_smallest(limit.e for limit in limits),
        h=_smallest(limit.h for limit in limits),
        s=_smallest(limit.s for limit in limits),
        # No averaging at all is the shortest averaging time.
        averaging_minutes=None if None in times else _smallest(times),
        formula=joined(lambda limit: limit.formula, " | band edge, the smaller counts | "),
        source=joined(lambda limit: limit.source, "; "),
        status=max((limit.status for limit in limits), key=STATUSES.index),
        plane_wave_s=bool(starred) and all(starred),
        b_ut=_smallest(limit.b_ut for limit in limits),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class LimitSet:
    """All tables that one body of rules asks for, and how to speak about them.

    Parameters
    ----------
    key, title, document : str
        Short name, name for people, and the published documents.
    tables : tuple of LimitTable
        Every one of them has to be met.
    public_name, occupational_name : str
        The rules' own words for the two tiers.
    averaging, rule : str
        Averaging times, and how several emitters are summed.
    status : str
        In one sentence, how far the numbers were checked.
    add_e_and_h_below : float or None
        Frequency in Hz below which the E and the H fraction of heating are added instead of kept as
        two totals; None for never.
    """

    key: str
    title: str
    document: str
    tables: tuple[LimitTable, ...]
    public_name: str
    occupational_name: str
    averaging: str
    rule: str
    status: str
    add_e_and_h_below: float | None = None

    def of(self, tier: Tier) -> tuple[LimitTable, ...]:
        """Return the tables of a tier.

        Raises
        ------
        InputError
            If there is no such tier.
        """
        tier_of(tier)
        return tuple(table for table in self.tables if table.tier == tier)

    def name_of(self, tier: Tier) -> str:
        """Return the rules' own words for a tier."""
        return self.public_name if tier == "public" else self.occupational_name

    def covers(self, frequency_hz: float) -> bool:
        """Return whether both tiers have a limit at a frequency in Hz."""
        return all(
            any(table.at(frequency_hz) is not None for table in self.of(tier)) for tier in TIERS
        )
