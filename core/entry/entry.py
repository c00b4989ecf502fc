"""A planned entry: what a job meets on its way and at its work, stop by stop."""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from core.arrays import Bools, Floats
from core.entry.judge import Levels, job_reasons, judged, levels_of
from core.entry.measures import PUBLIC, Measures, measures
from core.entry.planned import planned_site, where
from core.entry.profile import Profile, profile
from core.entry.stays import Timed, WorstWindow, stays_allowed, timed, worst_of
from core.entry.unexplained import poles_on_the_way, raised_on_the_way
from core.entry.way import Place, Way, on_ladder, way_of
from core.errors import InputError
from core.exposure.garment_use import (
    UNRATED_SHARE,
    Ratings,
    Verdict,
    allowed_use,
    garment_use,
    ratings,
    verdict,
)
from core.exposure.sources import sources
from core.exposure.totals import exposure
from core.limits.categories import UPPER_STEP
from core.limits.sets import get_set
from core.progress import Asked, stop_if
from core.proof.along import peak
from core.site.garment import Garment
from core.site.job import Job, Work
from core.site.site import Site
from core.site.states import in_state
from core.views.body import CLIMBING
from core.zones.ladders import SHORTEST_STOP


@dataclass(frozen=True, slots=True)
class StopLine:
    """One stop of an entry.

    Attributes
    ----------
    place : Place
    public, occupational : float
        Fractions of the limits as a reading shows them.
    use : float or None
        Use of the garment there; None without one.
    verdict, reasons : Verdict, tuple of str
        Of the garment there.
    no_figure : bool
        Whether it is so near an antenna that there is none.
    longest_stay : float
        s, the rest of the way as planned; infinity where exposure sets no end.
    governed_by : str
        What makes the most of it.
    """

    place: Place
    public: float
    occupational: float
    use: float | None
    verdict: Verdict
    reasons: tuple[str, ...]
    no_figure: bool
    longest_stay: float
    governed_by: str


@dataclass(frozen=True, slots=True)
class Stretch:
    """A part of the way on which the limit can be exceeded: from and to (x, y, z), the ladder, the largest fraction."""

    start: tuple[float, float, float]
    end: tuple[float, float, float]
    ladder: str
    most: float


@dataclass(frozen=True, slots=True)
class Entry:
    """What a job meets, and whether it may go.

    Attributes
    ----------
    before, site : Site
        As it is, and as planned.
    job : Job
    garment : Garment or None
    verdict, reasons : Verdict, tuple of str
    stops : tuple of StopLine
    worst : WorstWindow or None
        For the job's tier; None without a route.
    work : Levels or None
        In the work volume.
    stretches : tuple of Stretch
        Where nobody stops.
    beyond : tuple of Stretch
        Where nobody goes in the garment, ``most`` being its use.
    way, profile, against
        What it was found from; None without a route.
    state : str
        The named state of the site that it begins from; empty for the site as it is.
    """

    before: Site
    site: Site
    job: Job
    garment: Garment | None
    rated: Ratings | None
    verdict: Verdict
    reasons: tuple[str, ...]
    stops: tuple[StopLine, ...]
    worst: WorstWindow | None
    work: Levels | None
    stretches: tuple[Stretch, ...]
    beyond: tuple[Stretch, ...]
    way: Way | None
    profile: Profile | None
    against: Measures
    state: str = ""


def plan_entry(site: Site, job: Job, state: str = "", cancelled: Asked | None = None) -> Entry:
    """Return what a job meets on a site, its states set as planned.

    Parameters
    ----------
    site : Site
        The site as it is.
    job : Job
        The job.
    state : str
        The named state of the site that the job begins from; empty for the site as it is.
    cancelled : Asked or None
        Asked between pieces of work.

    Raises
    ------
    InputError
        If it names what the site does not have, or has neither a route nor a work volume.
    core.progress.Cancelled
        If asked to stop.
    """
    if job.route is None and job.work is None:
        raise InputError(
            "has neither a route nor a work volume",
            field=where(site, job),
            fix="Say where people go: add a route with stops, or the place of the work",
        )
    garment = None
    if job.garment:
        try:
            garment = site.garment(job.garment)
        except InputError as error:
            raise error.within(where(site, job)) from None
    planned = planned_site(in_state(site, state) if state else site, job)
    rated = None
    if garment is not None:
        rated = ratings(garment, sources(planned), get_set(planned.limit_set))
        rated = replace(rated, reasons=(*rated.reasons, *job_reasons(job)))
    against = measures(planned, rated)
    way = way_of(planned, job) if job.route is not None else None
    work = _work_levels(site, planned, job, against) if job.work is not None else None
    found = profile(way, against, cancelled) if way is not None else None
    along = levels_of(np.concatenate([found.levels, found.still]), against) if found else None
    one = timed(way, found, against, job.tier) if way is not None and found is not None else None
    stop_if(cancelled)
    worst = worst_of(one) if one is not None else None
    stops: tuple[StopLine, ...] = ()
    if way is not None and found is not None and one is not None:
        stops = _stops(planned, job, way, found, one, rated, by_garment=garment is not None)
    stretches: tuple[Stretch, ...] = ()
    beyond: tuple[Stretch, ...] = ()
    if way is not None and found is not None:
        moving = levels_of(found.levels, against)
        level = moving.public if job.tier == PUBLIC else moving.occupational
        stretches = _stretches(way, found, level, level > 1.0)
        if rated is not None:
            beyond = _stretches(way, found, moving.use, _not_go(moving, job, rated))
    word, reasons = judged(planned, job, rated, along, work, worst)
    box = work_box(planned, job.work) if job.work is not None else None
    unexplained = raised_on_the_way(planned, way, box)
    unexplained += tuple(
        f"the way comes near {pole.structure.name}, a pole that carries the wave of {', '.join(pole.antennas)}: "
        "no figure there"
        for pole in poles_on_the_way(planned, way, box)
    )
    if unexplained:
        word, reasons = Verdict.NO_CREDIT, (*unexplained, *(reasons if not word.is_go else ()))
    return Entry(
        site, planned, job, garment, rated, word, reasons, stops, worst, work, stretches, beyond,
        way, found, against, state,
    )  # fmt: skip


def _work_levels(site: Site, planned: Site, job: Job, against: Measures) -> Levels:
    assert job.work is not None
    try:
        low, high = work_box(planned, job.work)
    except InputError as error:
        raise error.within(f"{where(site, job)} work") from None
    totals = peak(against.enclosed, against.held, low, high, against.grain)
    return levels_of(totals[None], against)


def work_box(site: Site, work: Work) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return least and largest corner (3,), m, of a work volume, the climber's body on a ladder included.

    Parameters
    ----------
    site : Site
        The site.
    work : Work
        The work volume.

    Raises
    ------
    InputError
        If it names a ladder that is not there, or heights that it does not reach.
    """
    if work.heights is None:
        return np.array(work.low, dtype=np.float64), np.array(work.high, dtype=np.float64)
    ladder = site.ladder(work.ladder)
    ends = [on_ladder(ladder, h) for h in work.heights]
    first, last = sorted(along for along, _ in ends)
    points = np.array(ladder.points, dtype=np.float64)
    at = np.concatenate([[0.0], np.cumsum(np.linalg.norm(np.diff(points, axis=0), axis=1))])
    inner = points[(at > first) & (at < last)]
    places = np.vstack([[p for _, p in ends], inner])
    low, high = places.min(axis=0), places.max(axis=0)
    low[2] += min(CLIMBING.heights)
    high[2] += max(CLIMBING.heights)
    return low, high


def _stops(
    site: Site,
    job: Job,
    way: Way,
    found: Profile,
    one: Timed,
    rated: Ratings | None,
    *,
    by_garment: bool,
) -> tuple[StopLine, ...]:
    levels = levels_of(found.still, one.against)
    limits = _longest(job, levels, one, by_garment=by_garment, rated=rated)
    planned = len(way.places) if job.route is not None and job.route.way_down else way.turn
    lines = []
    for i, place in enumerate(way.places[:planned]):
        exposed = exposure(site, np.array([place.position]), place.body)
        own = garment_use(exposed, rated) if rated is not None else None
        word, reasons = verdict(
            float(levels.occupational[i]),
            float(levels.use[i]) if rated is not None else math.inf,
            float(levels.unrated[i]),
            job.garment_margin,
            rated.reasons if rated is not None else (),
            uncovered=rated.uncovered if rated is not None else False,
        )
        shares = exposed.of(job.tier).shares[:, 0]
        lines.append(
            StopLine(
                place,
                float(exposed.public.total[0]),
                float(exposed.occupational.total[0]),
                None if own is None else float(own.use.total[0]),
                word,
                reasons,
                bool(exposed.reactive[0]),
                limits[i],
                exposed.sources[int(np.argmax(shares))].name if shares.any() else "",
            )
        )
    return tuple(lines)


def _longest(
    job: Job, levels: Levels, one: Timed, *, by_garment: bool, rated: Ratings | None
) -> list[float]:
    """Return the longest stay at each place, s: by time for the trained without a garment, else all or nothing."""
    tier = levels.public if job.tier == PUBLIC else levels.occupational
    if job.tier != PUBLIC and not by_garment:
        return stays_allowed(one, job.dwell_ceiling / 100.0)
    if rated is None or job.tier == PUBLIC:
        return [math.inf if level <= 1.0 else 0.0 for level in tier]
    out = []
    for total, use, unrated in zip(levels.occupational, levels.use, levels.unrated, strict=True):
        word, _ = verdict(
            total, use, unrated, job.garment_margin, rated.reasons, uncovered=rated.uncovered
        )
        out.append(math.inf if word.is_go else 0.0)
    return out


def _stretches(way: Way, found: Profile, levels: Floats, over: Bools) -> tuple[Stretch, ...]:
    """Return the parts of the way up on which steps (n,) are ``over``; no gap is too short to stand in."""
    out: list[Stretch] = []
    for i, leg in enumerate(itertools.pairwise(way.places[: way.turn])):
        start, end = found.at[i], found.at[i + 1]
        inside = np.concatenate([[False], over[start:end], [False]])
        edges = np.flatnonzero(inside[1:] != inside[:-1]) + start
        a, b = leg
        on_one = a.along is not None and b.along is not None and a.stop.ladder == b.stop.ladder
        points = [*found.points[start:end], np.array(b.position)]
        for first, last in zip(edges[::2], edges[1::2], strict=True):
            begin, finish = (_xyz(points[k - start]) for k in (first, last))
            one = Stretch(
                begin, finish, a.stop.ladder if on_one else "", float(levels[first:last].max())
            )
            before = out[-1] if out else None
            if (
                before
                and before.ladder == one.ladder != ""
                and math.dist(before.end, begin) < SHORTEST_STOP
            ):
                out[-1] = replace(before, end=finish, most=max(before.most, one.most))
            else:
                out.append(one)
    return tuple(out)


def _xyz(point: Floats) -> tuple[float, float, float]:
    x, y, z = (float(v) for v in point)
    return x, y, z


def _not_go(levels: Levels, job: Job, rated: Ratings) -> Bools:
    """Return at which places (n,) the garment is not enough."""
    if rated.reasons:
        return np.asarray(levels.occupational > 1.0)
    beyond = (levels.use > allowed_use(job.garment_margin)) | (levels.unrated > UNRATED_SHARE)
    return np.asarray((levels.occupational > UPPER_STEP) | ((levels.occupational > 1.0) & beyond))
