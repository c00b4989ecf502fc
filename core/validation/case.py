"""One value held against the truth: what it should be, what the model says, how far off and which way."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

Law = Literal["power", "field", "level"]
"""What the numbers are: powers (10 log), fields and distances (20 log), or decibels already."""

Status = Literal["published", "computed for this project"]
PUBLISHED: Status = "published"
COMPUTED: Status = "computed for this project"

LEVEL_DB = 0.005
"""Smaller differences are called level: neither high nor low."""

NO_LIMIT = math.inf


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """One comparison of the report.

    Attributes
    ----------
    group : str
        Table of the report it belongs to.
    title, inputs, quantity, unit : str
        What is computed, from what, and what the numbers mean.
    expected, ours : float
        The published or exact value, and the model's.
    law : str
        How the two become a difference in dB; see :data:`Law`.
    tolerance_db_low, tolerance_db_high : float
        How far ours may lie below and above, dB; infinite where only one side is a promise.
    source : str
        Document and equation, or how the value was computed.
    status : str
        ``published`` or ``computed for this project``.
    """

    group: str
    title: str
    inputs: str
    quantity: str
    unit: str
    expected: float
    ours: float
    law: Law
    tolerance_db_low: float
    tolerance_db_high: float
    source: str
    status: Status

    @property
    def difference_db(self) -> float:
        """Ours above the expected value in dB; infinite where the signs differ."""
        if self.law == "level":
            return self.ours - self.expected
        ratio = self.ours / self.expected
        if not ratio > 0.0:
            return -math.inf if ratio == 0.0 else math.inf
        return (10.0 if self.law == "power" else 20.0) * math.log10(ratio)

    @property
    def side(self) -> str:
        """``high``, ``low`` or ``level``: on which side of the expected value ours lies."""
        difference = self.difference_db
        if abs(difference) < LEVEL_DB:
            return "level"
        return "high" if difference > 0.0 else "low"

    @property
    def passed(self) -> bool:
        """True when the difference is a number and allowed on its side."""
        difference = self.difference_db
        # No number, nothing at all and a wrong sign are misses even where nothing else is promised.
        if not math.isfinite(difference):
            return False
        return -self.tolerance_db_low <= difference <= self.tolerance_db_high


@dataclass(frozen=True, slots=True, kw_only=True)
class Topic:
    """What several cases have in common, so that each writes only what is its own."""

    group: str
    title: str
    source: str
    status: Status
    law: Law = "power"
    unit: str = ""

    def case(
        self,
        inputs: str,
        quantity: str,
        expected: float,
        ours: float,
        *,
        within: float | None = None,
        step: float | None = None,
        low: float = NO_LIMIT,
        high: float = NO_LIMIT,
        law: Law | None = None,
        unit: str | None = None,
    ) -> Case:
        """Return one case.

        Parameters
        ----------
        within : float
            Allowed relative difference, either side.
        step : float
            Allowed difference in the value's own unit, either side (half of the last printed digit).
        low, high : float
            Allowed dB, where neither of the others is given.
        """
        kind = law or self.law
        if step is not None:
            within = step / abs(expected) if kind != "level" else None
            low, high = (step, step) if kind == "level" else (low, high)
        if within is not None:
            scale = 10.0 if kind == "power" else 20.0
            low, high = -scale * math.log10(1.0 - within), scale * math.log10(1.0 + within)
        return Case(
            group=self.group,
            title=self.title,
            inputs=inputs,
            quantity=quantity,
            unit=self.unit if unit is None else unit,
            expected=float(expected),
            ours=float(ours),
            law=kind,
            tolerance_db_low=low,
            tolerance_db_high=high,
            source=self.source,
            status=self.status,
        )
