"""The power plan of a job: what has to be turned down so that its crew may go, on its way and at its work.

Two targets let a crew go everywhere without looking at the clock: under the limit of its tier, or, for trained people
in a garment that gets credit, within the garment's rating less its margin, under ten times the limit, and with little
outside of its bands. The lesser of the two plans is taken. Credit for short stays is not planned with.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

import numpy as np

from core.entry.areas import at_place, in_box, leg
from core.entry.criteria import Criterion
from core.entry.entry import work_box
from core.entry.judge import job_reasons
from core.entry.pieces import Area, Piece
from core.entry.planned import planned_site, where
from core.entry.plans import Plan
from core.entry.power_plan import PowerPlan, power_plan
from core.entry.steps import Step
from core.entry.way import way_of
from core.errors import InputError
from core.exposure.garment_use import CONTACT_BAND_HZ, UNRATED_SHARE, ratings
from core.exposure.sources import Source, not_covered, sources
from core.limits.categories import UPPER_STEP
from core.limits.sets import get_set
from core.progress import Asked
from core.site.job import Job
from core.site.site import Site
from core.site.state import ON, Condition
from core.site.states import with_states


def job_plan(
    site: Site,
    job: Job,
    *,
    others: int = 2,
    seconds: float = 80.0,
    cancelled: Asked | None = None,
    said: Callable[[str], None] | None = None,
) -> PowerPlan:
    """Return what more has to be turned down than a job plans itself, so that its crew may go.

    Parameters
    ----------
    site : Site
        The site as it is.
    job : Job
        The job; the states that it plans are where the plan begins.
    others, seconds, cancelled, said
        As :func:`core.entry.power_plan.power_plan`.

    Raises
    ------
    InputError
        If it names what the site does not have, has neither a route nor a work volume, or rules contradict each other.
    core.progress.Cancelled
        If asked to stop.
    """
    planned = planned_site(site, job)
    area = job_area(planned, job)
    uncovered, unworn = _silent(planned)
    bare = Criterion(job.tier)
    plans = []
    for criteria, silent in (
        (garment_criteria(planned, job), uncovered | unworn),
        ((bare,), uncovered),
    ):
        if criteria:
            plans.append(
                power_plan(
                    planned, area, criteria, silent=silent, others=others, seconds=seconds,
                    cancelled=cancelled, said=said,
                )
            )  # fmt: skip
            if criteria != (bare,) and not unworn and _implied(planned, criteria):
                break
    return min(plans, key=_cost)


def _implied(site: Site, criteria: tuple[Criterion, ...]) -> bool:
    """Return whether what keeps the limit itself keeps these criteria too: then its plan cannot be less."""
    names = [source.name for source in sources(site)]
    return all(
        c.threshold * min((c.ratings.get(n, 1.0) for n in names), default=1.0) >= 1.0
        for c in criteria
    )


def _cost(found: PowerPlan) -> tuple[float, ...]:
    best = found.best
    if best is not None:
        return 0.0, len(best.steps), len(best.owners), best.lost
    return 1.0, len(found.change.broken) if found.change is not None else np.inf


def job_area(site: Site, job: Job) -> Area:
    """Return where the people of a job are: all of their way, and the work volume.

    Parameters
    ----------
    site : Site
        The site.
    job : Job
        The job.

    Raises
    ------
    InputError
        If it names what the site does not have, or has neither a route nor a work volume.
    """
    pieces: list[Piece] = []
    if job.route is not None:
        way = way_of(site, job)
        for place in way.places[:1]:
            pieces += at_place(place.position, place.body).pieces
        known = set()
        for one in (p for of in way.legs for p in of.pieces):
            ends = min(one.start, one.end), max(one.start, one.end), one.heights
            if ends not in known:
                known.add(ends)
                pieces.append(leg(one.start, one.end, *one.heights))
    if job.work is not None:
        try:
            low, high = work_box(site, job.work)
        except InputError as error:
            raise error.within(f"{where(site, job)} work") from None
        pieces += in_box(_xyz(low), _xyz(high)).pieces
    if not pieces:
        raise InputError(
            "has neither a route nor a work volume",
            field=where(site, job),
            fix="Say where people go: add a route with stops, or the place of the work",
        )
    return Area(tuple(pieces), f"the job {job.name!r}, its way and its work")


def _xyz(point: np.ndarray) -> tuple[float, float, float]:
    x, y, z = (float(v) for v in point)
    return x, y, z


def without_credit(site: Site, criteria: Sequence[Criterion]) -> frozenset[str]:
    """Return the antennas that must be silent for criteria that rest on a garment; none where they do not.

    Parameters
    ----------
    site : Site
        The site.
    criteria : sequence of Criterion
        What is to be kept.
    """
    if not any(one.ratings for one in criteria):
        return frozenset()
    uncovered, unworn = _silent(site)
    return uncovered | unworn


def _silent(site: Site) -> tuple[frozenset[str], frozenset[str]]:
    """Return the antennas without which no place is free of doubt, and those that a garment does not go with."""
    limit_set = get_set(site.limit_set)
    used = sources(site)
    uncovered = frozenset(s.antenna.name for s in not_covered(used, limit_set))
    return uncovered, frozenset(s.antenna.name for s in used if _takes_credit_away(s))


def _takes_credit_away(source: Source) -> bool:
    if source.power == 0.0:
        return False
    unknown = source.antenna.state.condition is Condition.UNKNOWN
    return unknown or source.carrier.frequency <= CONTACT_BAND_HZ


def garment_criteria(site: Site, job: Job) -> tuple[Criterion, ...]:
    """Return what has to be kept for the job's garment to be enough; nothing where it gets no credit.

    Parameters
    ----------
    site : Site
        The site, as planned.
    job : Job
        The job.
    """
    if not job.garment or job_reasons(job):
        return ()
    garment = site.garment(job.garment)
    if garment.missing or garment.condition != "sound" or not garment.inspected:
        return ()
    # What is off may be put on in place of another: it counts with the rating of its band too.
    on = sources(with_states(site, {a.name: ON for a in site.antennas}))
    rated = ratings(garment, on, get_set(site.limit_set))
    divisors = {s.name: float(d) for s, d in zip(on, rated.divisors, strict=True)}
    outside = {s.name: float(d) for s, d in zip(on, rated.unrated_divisors, strict=True)}
    in_bands = {name: np.inf for name, d in outside.items() if np.isinf(d)}
    name = f"{garment.name!r}"
    out = [
        Criterion(
            "occupational",
            margin=job.garment_margin,
            ratings=divisors,
            words=f"the rating of {name} with {job.garment_margin:g} dB of margin",
        ),
        Criterion("occupational", 100.0 * UPPER_STEP),
    ]
    if len(in_bands) < len(outside):
        share = 100.0 * UNRATED_SHARE
        out.append(
            Criterion(
                "occupational",
                share,
                ratings=in_bands,
                words=f"{share:g} % of {site.limit_set} occupational outside the bands of {name}",
            )
        )
    return tuple(out)


def with_plan(job: Job, found: PowerPlan) -> Job:
    """Return the job with a plan among the states that it sets; as it is where there is no plan.

    Parameters
    ----------
    job : Job
        The job.
    found : PowerPlan
        Its plan.
    """
    if found.best is None:
        return job
    return replace(job, states=tuple((dict(job.states) | found.best.states).items()))


def from_the_site(site: Site, job: Job, found: PowerPlan) -> PowerPlan:
    """Return a job's plan with every step from how the site is, and what the job sets itself among what is to be done.

    Parameters
    ----------
    site : Site
        The site as it is.
    job : Job
        The job.
    found : PowerPlan
        Its plan, from the states that it sets.
    """
    before = {a.name: a.state for a in site.antennas}

    def moved(plan: Plan) -> Plan:
        steps, locks = (
            tuple(replace(s, before=before[s.antenna]) for s in some)
            for some in (plan.steps, plan.locks)
        )
        done = {s.antenna for s in (*steps, *locks)}
        own = tuple(
            Step(name, before[name], state)
            for name, state in job.states
            if name not in done and state != before[name]
        )
        return replace(plan, steps=steps, locks=(*locks, *own))

    return replace(
        found,
        best=None if found.best is None else moved(found.best),
        others=tuple(moved(plan) for plan in found.others),
        change=None if found.change is None else moved(found.change),
    )
