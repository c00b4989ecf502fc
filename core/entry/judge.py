"""Whether a job may go, from what it meets.

The verdict follows the hierarchy of controls. Under the limit everywhere nothing more is asked for. Otherwise either
the garment carries all of it, without any credit for time, or limited stays do, without a garment: credit is never
stacked. Time gives no credit to the public, and none where the rule has no averaging.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from core.arrays import Floats
from core.entry.measures import OCCUPATIONAL, PUBLIC, UNRATED, USE, Measures
from core.entry.stays import WorstWindow
from core.exposure.fractions import REACTIVE_FRACTION
from core.exposure.garment_use import UNRATED_SHARE, Ratings, Verdict, verdict
from core.exposure.sources import not_covered, sources
from core.limits.sets import get_set
from core.site.job import Job
from core.site.site import Site


@dataclass(frozen=True, slots=True)
class Levels:
    """What no total exceeds at places (n,): fractions of the limits, use of the garment, share outside its bands."""

    public: Floats
    occupational: Floats
    use: Floats
    unrated: Floats

    @property
    def reactive(self) -> bool:
        """Whether one of the places may be so near an antenna that there is no figure."""
        return bool((self.occupational >= REACTIVE_FRACTION).any())


def job_reasons(job: Job) -> tuple[str, ...]:
    """Return why a garment gives no credit in a job, whatever its card."""
    reasons = []
    if job.tier == PUBLIC:
        reasons.append("a garment is for trained people only")
    if not job.garment_training.strip():
        reasons.append("no training of the wearers with the garment is on record")
    if job.unexplained:
        reasons.append(
            "nobody has said why these were not enough: " + ", ".join(job.unexplained) + " controls"
        )
    return tuple(reasons)


def levels_of(totals: Floats, against: Measures) -> Levels:
    """Return what totals (n, totals) come to, tier by tier.

    Parameters
    ----------
    totals : array
        What no total exceeds, at n places.
    against : Measures
        What each column is.
    """

    def most(what: str) -> Floats:
        return np.asarray(totals[:, against.of(what)].max(axis=1, initial=0.0))

    return Levels(most(PUBLIC), most(OCCUPATIONAL), most(USE), most(UNRATED) * UNRATED_SHARE)


def judged(
    site: Site,
    job: Job,
    rated: Ratings | None,
    on_way: Levels | None,
    at_work: Levels | None,
    worst: WorstWindow | None,
) -> tuple[Verdict, tuple[str, ...]]:
    """Return whether a job may go, and why not or on what grounds.

    Parameters
    ----------
    site : Site
        As planned.
    job : Job
        The job.
    rated : Ratings or None
        Its garment against the emitters.
    on_way, at_work : Levels or None
        What is met on the way and in the work volume.
    worst : WorstWindow or None
        The worst window of the way.
    """
    parts = [p for p in (on_way, at_work) if p is not None]
    levels = Levels(*(np.concatenate([getattr(p, n) for p in parts]) for n in Levels.__slots__))
    uncovered = not_covered(sources(site), get_set(site.limit_set))
    blocked = tuple(
        f"{s.name}: {site.limit_set} has no limit at its frequency, so nothing is free of it"
        for s in uncovered
    )
    if job.tier == PUBLIC:
        if levels.public.max() <= 1.0:
            return (Verdict.NO_CREDIT, blocked) if blocked else (Verdict.NOT_NEEDED, ())
        why = "the public gets no credit for short stays or a garment"
        return Verdict.NO_CREDIT, (*_figure(levels), why, *blocked)
    if levels.occupational.max() <= 1.0:
        return (Verdict.NO_CREDIT, blocked) if blocked else (Verdict.NOT_NEEDED, ())
    if rated is not None:
        over = levels.occupational > 1.0
        word, reasons = verdict(
            float(levels.occupational.max()),
            float(levels.use[over].max()),
            float(levels.unrated[over].max()),
            job.garment_margin,
            rated.reasons,
            uncovered=rated.uncovered,
        )
        return word, (*(_figure(levels) if reasons else ()), *reasons)
    return _by_time(job, levels, at_work, worst, blocked)


def _figure(levels: Levels) -> tuple[str, ...]:
    if not levels.reactive:
        return ()
    return ("the way may come so near an antenna that there is no figure",)


def _by_time(
    job: Job,
    levels: Levels,
    at_work: Levels | None,
    worst: WorstWindow | None,
    blocked: tuple[str, ...],
) -> tuple[Verdict, tuple[str, ...]]:
    """Return the verdict of a plan of short stays without a garment."""
    reasons = [*_figure(levels), *blocked]
    most = 100.0 * float(levels.occupational.max())
    if most > job.dwell_ceiling:
        reasons.append(
            f"levels over {job.dwell_ceiling:g} % of the occupational limit: no plan rests on short stays there"
        )
    if worst is not None and worst.window is None:
        reasons.append("the rule has no averaging time: a short stay gives no credit")
    elif worst is not None and worst.average > 1.0:
        reasons.append("the average over the worst window is over the limit")
    if at_work is not None and at_work.occupational.max() > 1.0:
        reasons.append(
            "the work volume is over the limit, and how long anybody is there is not known"
        )
    if reasons:
        return Verdict.NOT_ENOUGH, tuple(reasons)
    return Verdict.NOT_NEEDED, ("by limited stays: over the limit in places, under it on average",)
