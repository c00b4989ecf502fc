"""How far a protective garment is used at places: each emitter's percent divided by the rating of its band.

Use = Σ percent_i ÷ rating_i, which is what is left inside the garment as a part of the occupational limit (arithmetic:
a rating of 100 · 10^(A/10) percent is an attenuation of A dB). Outside its bands a garment gives no credit, so the
emitter counts with all of its percent. What one figure cannot say is said as reasons: each of them takes the garment's
credit away, whatever its rating.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from core.arrays import Floats
from core.exposure.fractions import Exposure, TierExposure, tier_exposure
from core.exposure.sources import Fields, Source, not_covered
from core.limits.categories import RESPONSIBLE_SHARE, UPPER_STEP
from core.limits.model import LimitSet
from core.site.garment import Garment, Soundness
from core.site.site import Condition
from core.units import show_frequency

CONTACT_BAND_HZ = 30e6
"""Up to here no garment gets credit: contact currents and arcs decide, not the field, and what is left of a
garment's attenuation of magnetic fields is not dependable (common practice, from memory)."""

UNRATED_SHARE = RESPONSIBLE_SHARE
"""Part of the occupational limit that all emitters outside the garment's bands together may make; above it the
garment gives no credit (our own choice: what a licensee is not held responsible for by 47 CFR 1.1307(b)(5))."""


class Verdict(StrEnum):
    """What a garment is worth at a place, from the best on."""

    NOT_NEEDED = "not needed"
    WITHIN = "within rating"
    NO_MARGIN = "within rating but no margin"
    NOT_ENOUGH = "not enough"
    NO_CREDIT = "no credit"

    @property
    def is_go(self) -> bool:
        """Whether a person may go there by it; a rating without margin is not enough."""
        return self in (Verdict.NOT_NEEDED, Verdict.WITHIN)


@dataclass(frozen=True, slots=True)
class Ratings:
    """What a garment's card is worth against the emitters of a site.

    Attributes
    ----------
    divisors : array, shape (sources,)
        The rating of each emitter's band in times of the limit, 1 where there is none.
    unrated : tuple of str
        Emitters that radiate outside of its bands.
    reasons : tuple of str
        Why it gives no credit anywhere on the site; empty where it does.
    uncovered : bool
        Whether an emitter radiates that the limit set has no limit for: then no place is free of it.
    """

    divisors: Floats
    unrated: tuple[str, ...]
    reasons: tuple[str, ...]
    uncovered: bool
    _is_unrated: tuple[bool, ...]

    @property
    def unrated_divisors(self) -> Floats:
        """Divisors (sources,) that leave the emitters outside the bands alone, as parts of :data:`UNRATED_SHARE`."""
        return np.where(self._is_unrated, UNRATED_SHARE, np.inf)


def ratings(garment: Garment, all_sources: Sequence[Source], limit_set: LimitSet) -> Ratings:
    """Return what a garment's card is worth against the emitters of a site.

    Parameters
    ----------
    garment : Garment
        The garment.
    all_sources : Sequence[Source]
        Every carrier of the site with its power.
    limit_set : LimitSet
        The limits in force.
    """
    rated = [garment.rating(s.carrier.frequency) for s in all_sources]
    unrated = tuple(s.power > 0.0 and r is None for s, r in zip(all_sources, rated, strict=True))
    return Ratings(
        np.array([1.0 if r is None else r for r in rated]),
        tuple(s.name for s, out in zip(all_sources, unrated, strict=True) if out),
        (*_of_the_set(garment), *_of_the_site(all_sources, limit_set)),
        bool(not_covered(all_sources, limit_set)),
        unrated,
    )


def _of_the_set(garment: Garment) -> list[str]:
    reasons = []
    if garment.missing:
        reasons.append(f"the set is incomplete: {', '.join(garment.missing)} missing")
    if garment.condition is Soundness.DAMAGED:
        reasons.append("the garment is damaged")
    if garment.condition is Soundness.REPAIRED:
        reasons.append(
            "the garment is repaired for the time being only: leave the field in it, no entry before the lasting repair"
        )
    if not garment.inspected:
        reasons.append("no inspection of the garment is on record")
    return reasons


def _of_the_site(all_sources: Sequence[Source], limit_set: LimitSet) -> list[str]:
    reasons = []
    for source in all_sources:
        if source.power > 0.0 and source.antenna.state.condition is Condition.UNKNOWN:
            reasons.append(f"{source.name}: nobody knows what it does; find out, or lock it out")
    for source in not_covered(all_sources, limit_set):
        reasons.append(f"{source.name}: {limit_set.key} has no limit at its frequency")
    for source in all_sources:
        f = source.carrier.frequency
        if source.power > 0.0 and f <= CONTACT_BAND_HZ:
            reasons.append(
                f"{source.name}: at {show_frequency(f)} contact current decides, and no garment protects from it"
            )
    return reasons


@dataclass(frozen=True, slots=True)
class Use:
    """Use of a garment at n places.

    Attributes
    ----------
    use : TierExposure
        The occupational exposure that is left inside, its total (n,) being the use.
    unrated : array, shape (n,)
        What emitters outside its bands make of the occupational limit.
    """

    use: TierExposure
    unrated: Floats


def garment_use(exposed: Exposure, rated: Ratings) -> Use:
    """Return the use of a garment at the places of an exposure.

    Parameters
    ----------
    exposed : Exposure
        The exposure of n bodies.
    rated : Ratings
        The garment against the same emitters.
    """

    def divided(divisors: Floats) -> TierExposure:
        at = exposed.fields
        by = divisors[:, None]
        left = Fields(at.e2 / by, at.h2 / by, at.reactive & np.isfinite(by), at.model)
        return tier_exposure(exposed.sources, left, exposed.limit_set, "occupational", exposed.body)

    outside = divided(rated.unrated_divisors).total * UNRATED_SHARE
    return Use(divided(rated.divisors), outside)


def verdict(
    total: float,
    use: float,
    unrated: float,
    margin: float,
    reasons: Sequence[str] = (),
    *,
    uncovered: bool = False,
) -> tuple[Verdict, tuple[str, ...]]:
    """Return what a garment is worth at a place, and why where it gets no credit.

    Parameters
    ----------
    total : float
        Fraction of the occupational limit outside the garment.
    use, unrated : float
        As in :class:`Use`.
    margin : float
        dB that has to be left under the rating.
    reasons : sequence of str
        Why it gives no credit anywhere.
    uncovered : bool
        As in :class:`Ratings`: the total says nothing of such an emitter.

    Examples
    --------
    >>> verdict(6.8, 0.4, 0.0, 3.0)[0].value, verdict(6.8, 0.7, 0.0, 3.0)[0].value
    ('within rating', 'within rating but no margin')
    """
    here = list(reasons)
    if total <= 1.0 and not uncovered:
        return Verdict.NOT_NEEDED, ()
    if total > UPPER_STEP:
        here.append(f"over {100.0 * UPPER_STEP:g} % of the occupational limit")
    if unrated > UNRATED_SHARE:
        here.append(
            f"emitters outside the garment's bands make over {100.0 * UNRATED_SHARE:g} % of the occupational limit"
        )
    if here:
        return Verdict.NO_CREDIT, tuple(here)
    if use > 1.0:
        return Verdict.NOT_ENOUGH, ()
    return (Verdict.NO_MARGIN if use > allowed_use(margin) else Verdict.WITHIN), ()


def allowed_use(margin: float) -> float:
    """Return the use up to which a margin in dB is left."""
    return float(10.0 ** (-margin / 10.0))
