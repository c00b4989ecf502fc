"""One number of a reading and where it lies between the limits: a logarithmic bar with the limits marked."""

from __future__ import annotations

import math
from dataclasses import dataclass

from core.limits.categories import Category
from core.limits.tier import Tier
from core.reading.data import Reading, TierLine

LEAST = 1e-3
"""Fraction of the public limit at which the bar begins."""
BEYOND = 10.0
"""The bar ends at this many times its last mark."""
MARKS = ("public", "occupational", "ten times")


@dataclass(frozen=True, slots=True)
class Bar:
    """Places along a bar, 0 to 1; what would be beyond an end stands at it.

    The marks are the limits where all emitters of the place rise or fall together: ``public`` and ``occupational`` at
    100 % of each, ``ten times`` at 1000 % of occupational.

    Attributes
    ----------
    value : float
        The shown figure.
    best : float or None
        The best estimate, where there is one.
    marks : tuple of (str, float)
        Names and places of the limits, in the order of :data:`MARKS`.
    """

    value: float
    best: float | None
    marks: tuple[tuple[str, float], ...]


def deciding(reading: Reading) -> Tier:
    """Return the tier whose percent is the one number of a reading.

    It is of the limit that the verdict names: the occupational one where that is passed, else the public one. So a
    place that is over a limit never shows a number below 100 %.

    Parameters
    ----------
    reading : Reading
        The reading.
    """
    over = reading.category is not None and reading.category >= Category.THREE
    return "occupational" if over else "public"


def deciding_line(reading: Reading) -> TierLine:
    """Return the total against the tier of :func:`deciding`.

    Parameters
    ----------
    reading : Reading
        The reading.
    """
    return reading.public if deciding(reading) == "public" else reading.occupational


def best_of(reading: Reading, tier: Tier) -> float | None:
    """Return the best estimate against a tier as a fraction, None where there is none.

    Parameters
    ----------
    reading : Reading
        The reading.
    tier : Tier
        Whose limit.
    """
    if reading.span is None:
        return None
    return reading.span.best[0 if tier == "public" else 1]


def bar(reading: Reading) -> Bar | None:
    """Return the bar of a reading; None where there is no figure, or nothing counts against a tier.

    Parameters
    ----------
    reading : Reading
        The reading.
    """
    public, occupational = reading.public.total, reading.occupational.total
    if reading.reactive or public <= 0.0 or occupational <= 0.0:
        return None
    ratio = public / occupational
    limits = (1.0, ratio, 10.0 * ratio)
    top = BEYOND * max(limits)

    def at(fraction: float) -> float:
        if fraction <= LEAST:
            return 0.0
        return min(1.0, math.log(fraction / LEAST) / math.log(top / LEAST))

    best = best_of(reading, "public")
    marks = tuple((name, at(limit)) for name, limit in zip(MARKS, limits, strict=True))
    return Bar(at(public), None if best is None else at(best), marks)
