"""The boundaries that zones are searched for, by their meaning."""

from __future__ import annotations

from dataclasses import dataclass

from core.exposure.garment_use import allowed_use
from core.limits.tier import Tier
from core.site.garment import Garment
from core.site.job import GARMENT_MARGIN_DB
from core.units import show_allowance


@dataclass(frozen=True, slots=True)
class Step:
    """A boundary by its meaning.

    Attributes
    ----------
    key, tier : str
    threshold : float
        Fraction of the tier's limit.
    words, meaning : str
        What the zone is called, and what it means for a person.
    garment : Garment or None
        The garment that it is the end of; its margin is in dB. Then the tier and the threshold are those outside of it.
    """

    key: str
    tier: Tier
    threshold: float
    words: str
    meaning: str
    garment: Garment | None = None
    margin: float = 0.0

    @property
    def use_percent(self) -> float | None:
        """Percent of its rating that a garment may be used to; None where the step is of no garment."""
        return None if self.garment is None else 100.0 * allowed_use(self.margin)

    @property
    def allowed(self) -> str:
        """How far its garment may be used, as it is shown; empty where the step is of no garment."""
        return "" if self.garment is None else show_allowance(allowed_use(self.margin))

    @property
    def threshold_percent(self) -> float | None:
        """Percent of the limit that it is over; None for a garment, which ends by its use and not at one percent."""
        return 100.0 * self.threshold if self.garment is None else None

    def short(self, limit_set: str) -> str:
        """Return what it is in so few words that they fit on a map."""
        if self.garment is not None:
            return self.words
        return f"> {self.threshold_percent:g} % {limit_set} {self.tier}"

    def label(self, limit_set: str) -> str:
        """Return the words with their number."""
        if self.garment is not None:
            return f"{self.words} (used over {self.allowed} of its rating)"
        return f"{self.words} (over {self.threshold_percent:g} % of {limit_set} {self.tier})"


STEPS = (
    Step(
        "public",
        "public",
        1.0,
        "over the public limit",
        "trained and authorised people only; everybody else stays out",
    ),
    Step(
        "occupational",
        "occupational",
        1.0,
        "over the occupational limit",
        "nobody enters without an entry plan: power down, keep away, or protective garment within its rating",
    ),
    Step(
        "ten times",
        "occupational",
        10.0,
        "over ten times the occupational limit",
        "nobody enters while the transmitters are on",
    ),
)
"""From the outside in."""


def with_garment(garment: Garment, margin: float = GARMENT_MARGIN_DB) -> tuple[Step, ...]:
    """Return the usual steps with the end of a garment among them.

    Parameters
    ----------
    garment : Garment
        The garment.
    margin : float
        dB that have to be left under its rating.
    """
    step = Step(
        "garment",
        "occupational",
        1.0,
        f"beyond {garment.name}",
        "nobody enters in this garment: it is not enough, or gives no credit",
        garment,
        margin,
    )
    return (*STEPS[:-1], step, STEPS[-1])


def step_asked(tier: Tier, threshold: float) -> Step:
    """Return the boundary of any part of a tier's limit.

    Parameters
    ----------
    threshold : float
        Fraction of the limit.
    """
    meaning = "a boundary that was asked for; the limits themselves are at 100 %"
    return Step(tier, tier, threshold, "zone asked for", meaning)
