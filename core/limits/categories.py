"""Regions by how far a limit is exceeded, and what each of them asks for.

47 CFR 1.1307(b)(4), adopted in FCC 19-126 (85 FR 18131) and in force since 3 May 2021. All
fractions here are in power terms (S, E², H²), summed over all emitters, for continuous exposure;
the factor of ten of Category Four is therefore 3.16 in field strength.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import IntEnum

import numpy as np
from numpy.typing import ArrayLike

from core.arrays import Bools, Codes, Floats
from core.limits.exemption import EXEMPTION_TABLE, EXEMPTION_TEXT, exempt_erp
from core.limits.model import Status

__all__ = [
    "DANGER",
    "EXEMPTION_TABLE",
    "EXEMPTION_TEXT",
    "POSITIVE_ACCESS_CONTROL",
    "RESPONSIBLE_SHARE",
    "SIGN_PARTS",
    "TRANSIENT_PERSON",
    "UPPER_STEP",
    "Category",
    "Rule",
    "categories",
    "category",
    "exempt_erp",
    "responsible",
]

UPPER_STEP = 10.0
"""Fraction of the occupational limit, in power, above which a region is Category Four."""

RESPONSIBLE_SHARE = 0.05
"""Share of the limit (not of the total) above which an emitter's owner is responsible."""


@dataclass(frozen=True, slots=True)
class Rule:
    """A rule in plain words with its source and how it was checked."""

    text: str
    source: str
    status: Status


@dataclass(frozen=True, slots=True)
class _Sign:
    word: str
    colour_name: str
    rule: Rule


class Category(IntEnum):
    """The four regions; the number is the one in their name."""

    ONE = 1
    TWO = 2
    THREE = 3
    FOUR = 4

    @property
    def word(self) -> str:
        """The signal word of the region's sign."""
        return _SIGNS[self].word

    @property
    def colour_name(self) -> str:
        """The safety colour that goes with the signal word."""
        return _SIGNS[self].colour_name

    @property
    def requires(self) -> str:
        """What the regulation asks for in this region."""
        return _SIGNS[self].rule.text

    @property
    def source(self) -> str:
        """Where the regulation says so."""
        return _SIGNS[self].rule.source

    @property
    def status(self) -> Status:
        """How the rule was checked."""
        return _SIGNS[self].rule.status


_LADDER = "sign words as in IEEE C95.2-1999 and IEEE C95.7"

_SIGNS = {
    Category.ONE: _Sign(
        "INFORMATION",
        "green",
        Rule(
            "Nothing is required. A sign is optional, and the only word it may carry is "
            "INFORMATION.",
            "47 CFR 1.1307(b)(4), Category One (that nothing is required was confirmed)",
            "from memory",
        ),
    ),
    Category.TWO: _Sign(
        "NOTICE",
        "blue",
        Rule(
            "A NOTICE sign and positive access control around the area over the general population "
            "limit; suitable training for workers who have access; untrained persons only under "
            "supervision of trained staff and with their time limited so that they stay within the "
            "general population limit. Where access is limited, as on some roofs, a label on the "
            "antenna can be the sign if it states the least distance and can be read from there.",
            f"47 CFR 1.1307(b)(4), Category Two; {_LADDER}",
            "from memory",
        ),
    ),
    Category.THREE: _Sign(
        "CAUTION",
        "yellow",
        Rule(
            "Everything asked for in Category Two, and a CAUTION sign and positive access control "
            "around the area over the occupational limit. Untrained persons are not admitted "
            "there. Training is required; personal monitors, protective clothing and reduced power "
            "are suggested aids. Where a NOTICE sign would stand at the same spot it may be left "
            "out.",
            f"47 CFR 1.1307(b)(4), Category Three; {_LADDER}",
            "from memory",
        ),
    ),
    Category.FOUR: _Sign(
        "WARNING",
        "orange",
        Rule(
            "Everything asked for in Category Three, and a WARNING sign where ten times the "
            "occupational limit is passed. Untrained persons are not admitted. Where reduced "
            "power, with protective clothing if wanted, does not make entry safe, lockout/tagout "
            "is mandatory. Where a CAUTION sign would stand at the same spot it may be left out.",
            f"47 CFR 1.1307(b)(4), Category Four; {_LADDER}",
            "from memory",
        ),
    ),
}

DANGER = Rule(
    "The word DANGER in red takes the place of WARNING where immediate and serious injury will "
    "result, as from touching an energised antenna.",
    "47 CFR 1.1307(b)(4), Category Four; IEEE C95.7",
    "from memory",
)

SIGN_PARTS: tuple[Rule, ...] = tuple(
    Rule(text, "47 CFR 1.1307(b)(4)(vi)", "from memory")
    for text in (
        "The signal word with its colour",
        "The symbol for radio-frequency energy",
        "What the source is",
        "What to do to stay within the limits",
        "Whom to call, kept up to date",
    )
)
"""The parts that every advisory sign carries; it is readable from where the limit is passed."""

POSITIVE_ACCESS_CONTROL = Rule(
    "Something that the licensee or owner does to keep people out: locked doors, ladder guards, "
    "real fences, a ban on a building face that is enforced. Natural obstacles, and limits to "
    "access that nobody had to set up, do not count.",
    "47 CFR 1.1307(b)(2)",
    "from memory",
)

TRANSIENT_PERSON = Rule(
    "An untrained person who passes through an area under occupational limits is told of the "
    "exposure, is supervised by trained staff, and has the time limited so that the average stays "
    "within the general population limit; never where the occupational limit is exceeded. Until "
    "2021 awareness alone was enough, and older papers still say so.",
    "47 CFR 1.1307(b)(2) and 1.1310(e)(2), rule since 3 May 2021",
    "from memory",
)


def category(public_fraction: float, occupational_fraction: float) -> Category:
    """Return the region of one place.

    Parameters
    ----------
    public_fraction, occupational_fraction : float
        Sum over the emitters of their fraction of the limit of each tier (1.0 is 100 percent); may
        be infinite. One is never derived from the other: below 1.34 MHz the two limits of the FCC
        are equal, so that Category Two does not occur there.

    Returns
    -------
    Category
        Every step is "exceeds": exactly 100 percent of the public limit is still One, exactly 100
        percent of the occupational limit Two, exactly ten times it Three. There is no tolerance: a
        sum that rounding left a hair over a limit goes up, which errs on the safe side.

    Raises
    ------
    ValueError
        If a fraction is negative or not a number.

    Notes
    -----
    Source: 47 CFR 1.1307(b)(4), thresholds from memory.
    """
    return Category(int(categories(public_fraction, occupational_fraction)))


def categories(public_fraction: ArrayLike, occupational_fraction: ArrayLike) -> Codes:
    """Return the regions of many places as numbers 1 to 4.

    The arrays broadcast against each other; rules and errors are those of :func:`category`. Give it
    float64: a float32 picture cannot tell 100 percent from a ten-millionth more.

    Parameters
    ----------
    public_fraction : array_like
        Sum of fractions of the public limit.
    occupational_fraction : array_like
        Sum of fractions of the occupational limit.

    Raises
    ------
    ValueError
        If it cannot be used.
    """
    public: Floats = np.asarray(public_fraction, dtype=np.float64)
    occupational: Floats = np.asarray(occupational_fraction, dtype=np.float64)
    if not (np.all(public >= 0.0) and np.all(occupational >= 0.0)):
        raise ValueError("fractions of a limit must be zero or more, and numbers")
    regions = np.select(
        [occupational > UPPER_STEP, occupational > 1.0, public > 1.0],
        [Category.FOUR, Category.THREE, Category.TWO],
        Category.ONE,
    )
    return regions.astype(np.int8)


def responsible(shares: ArrayLike, total: ArrayLike) -> Bools:
    """Return which emitters make their owner responsible where a limit is exceeded.

    Parameters
    ----------
    shares : array_like, shape (n, ...)
        Every emitter's own fraction of the limit that applies at the place, in power terms.
    total : array_like, shape (...)
        Sum of the fractions at each place.

    Returns
    -------
    Bools, shape (n, ...)
        True where the total exceeds the limit and the own share exceeds 5 percent of the limit. It
        is not 5 percent of the total, and exactly 5 percent is not enough.

    Raises
    ------
    ValueError
        If a value is negative or not a number.

    Notes
    -----
    Source: 47 CFR 1.1307(b)(5), from memory; the figure is repeated in secondary texts.
    """
    own: Floats = np.asarray(shares, dtype=np.float64)
    whole: Floats = np.asarray(total, dtype=np.float64)
    if not (np.all(own >= 0.0) and np.all(whole >= 0.0)):
        raise ValueError("fractions of a limit must be zero or more, and numbers")
    result: Bools = (own > RESPONSIBLE_SHARE) & (whole > 1.0)
    return result
