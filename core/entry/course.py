"""An entry in the order of time: what is met, second after second, and its moving average; for a profile to draw.

What is drawn is what decides: the majorants of the entry with every stay in full, the largest of each bit of time. A
quick look (:func:`glance`) has figures at places of the way only and says that it is one.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from core.arrays import Floats
from core.entry.entry import Entry
from core.entry.judge import job_reasons, levels_of
from core.entry.planned import planned_site
from core.entry.stays import Timed, timed, timeline
from core.entry.way import Way, way_of
from core.exposure.fractions import REACTIVE_FRACTION
from core.exposure.garment_use import allowed_use, garment_use, ratings
from core.exposure.sources import sources
from core.exposure.totals import exposure
from core.limits.sets import get_set
from core.limits.tier import Tier
from core.progress import Asked, stop_if
from core.site.job import Job
from core.site.site import Site
from core.site.states import in_state
from core.views.body import CLIMBING, STANDING

_DRAWN = 1500
"""Bits of the moves that are told apart."""
_GLANCED = 160
"""Places of the way that a quick look has figures for."""


@dataclass(frozen=True, slots=True)
class Mark:
    """A stop on a course: its number in the table of stops, its name, and from when to when, s and m of the way."""

    number: int
    name: str
    seconds: tuple[float, float]
    metres: float


@dataclass(frozen=True, slots=True)
class Course:
    """A way in the order of time.

    Attributes
    ----------
    seconds, metres : array, shape (n,)
        Since the start, growing.
    places : array, shape (n, 3)
        Where that is, m.
    climbs : array of bool, shape (n,)
        Whether somebody is on a ladder there: the place is a climber's middle then, else the feet.
    public, occupational : array, shape (n,)
        Fractions of the limits.
    use : array, shape (n,), or None
        Of the garment's rating; None without a garment.
    allowed : float
        Use that is allowed of the rating, the margin taken off.
    average : array, shape (n,), or None
        Of the job's tier over the averaging time that ends then; None where there is none.
    tier : {"public", "occupational"}
        The job's.
    marks : tuple of Mark
        The stops, on the way up and back.
    closed : tuple of (from, to)
        s between which nobody stops.
    worst : (from, to) or None
        s of the worst window.
    about : bool
        A quick look: figures at places only, none of them proven.
    """

    seconds: Floats
    metres: Floats
    places: Floats
    climbs: Floats
    public: Floats
    occupational: Floats
    use: Floats | None
    allowed: float
    average: Floats | None
    tier: Tier
    marks: tuple[Mark, ...]
    closed: tuple[tuple[float, float], ...]
    worst: tuple[float, float] | None
    about: bool = False

    def nearest(self, value: float, *, length: bool) -> int:
        """Return which of the n is nearest to a time in s, or with ``length`` to so many m of the way.

        Parameters
        ----------
        value : float
            Time or length from the start.
        length : bool
            Which of the two.
        """
        return int(np.argmin(np.abs((self.metres if length else self.seconds) - value)))


def most_use(entry: Entry, along: Course | None) -> float:
    """Return the most of its rating that the garment is used to, on the way and at the work.

    Parameters
    ----------
    entry : Entry
        The entry.
    along : Course or None
        Its way in the order of time, where it has one.
    """
    parts = [along.use.max()] if along is not None and along.use is not None else []
    if entry.work is not None:
        parts.append(entry.work.use.max())
    return float(max(parts, default=0.0))


def course(entry: Entry) -> Course | None:
    """Return an entry in the order of time; None where it has no route.

    Parameters
    ----------
    entry : Entry
        The entry.
    """
    way, found = entry.way, entry.profile
    if way is None or found is None:
        return None
    steps = len(found.levels)
    grain = max(1, -(-steps // _DRAWN))
    dwell = [p.stop.dwell for p in way.places]
    stayed = np.concatenate([[0.0], np.cumsum(dwell)])
    columns: list[tuple[float, int, int]] = []
    # Bits of the moves between two stops, then the stop itself at its beginning and its end.
    for i, at in enumerate(found.at):
        for end in (0.0, dwell[i]) if dwell[i] else (0.0,):
            columns.append((at * found.step + stayed[i] + end, -1, i))
        if i + 1 < len(found.at):
            for first in range(at, found.at[i + 1], grain):
                last = min(first + grain, found.at[i + 1])
                columns.append((0.5 * (first + last) * found.step + stayed[i + 1], first, last))
    seconds = np.array([c[0] for c in columns])
    levels, places, climbs = [], [], []
    for _, first, last in columns:
        still = first < 0
        levels.append(found.still[last] if still else found.levels[first:last].max(axis=0))
        places.append(way.places[last].position if still else found.points[(first + last) // 2])
    for _, first, last in columns:
        on = way.places[last].along is not None if first < 0 else found.climbs[(first + last) // 2]
        climbs.append(bool(on))
    all_levels = levels_of(np.array(levels), entry.against)
    points = np.array(places, dtype=np.float64)
    one = timed(way, found, entry.against, entry.job.tier)
    marks = _marks(way, [a * found.step for a in found.at], points, seconds)
    turn = marks[way.turn - 1].seconds[0]
    return Course(
        seconds,
        _metres(points),
        points,
        np.array(climbs),
        all_levels.public,
        all_levels.occupational,
        all_levels.use if entry.rated is not None else None,
        allowed_use(entry.job.garment_margin),
        _average(one, seconds),
        entry.job.tier,
        marks,
        _closed(seconds, points, entry, turn),
        None if entry.worst is None else (entry.worst.start, entry.worst.end),
    )


def glance(site: Site, job: Job, state: str = "", cancelled: Asked | None = None) -> Course | None:
    """Return a quick look at the way of a job, before anything is proven; None where it has no route.

    Parameters
    ----------
    site : Site
        The site as it is.
    job : Job
        The job.
    state : str
        The named state that the job begins from; empty for the site as it is.
    cancelled : Asked or None
        Asked between pieces of work.

    Raises
    ------
    InputError
        If the job names what the site does not have.
    core.progress.Cancelled
        If asked to stop.
    """
    if job.route is None:
        return None
    planned = planned_site(in_state(site, state) if state else site, job)
    way = way_of(planned, job)
    whole = sum(leg.seconds for leg in way.legs) or 1.0
    seconds, points, climbs, starts = [], [], [], []
    now = moved = 0.0
    for i, place in enumerate(way.places):
        starts.append(moved)
        for end in (0.0, place.stop.dwell) if place.stop.dwell else (0.0,):
            seconds.append(now + end)
            points.append(place.position)
            climbs.append(place.along is not None)
        now += place.stop.dwell
        for piece in way.legs[i].pieces if i < len(way.legs) else ():
            count = max(2, round(_GLANCED * piece.seconds / whole))
            for part in (np.arange(count) + 0.5) / count:
                seconds.append(now + part * piece.seconds)
                step = np.subtract(piece.end, piece.start)
                points.append(tuple(np.add(piece.start, part * step)))
                climbs.append(piece.climbs)
            now += piece.seconds
            moved += piece.seconds
    at, clock, on = np.array(points, dtype=np.float64), np.array(seconds), np.array(climbs)
    garment = site.garment(job.garment) if job.garment else None
    rated = None
    if garment is not None:
        rated = ratings(garment, sources(planned), get_set(planned.limit_set))
        rated = replace(rated, reasons=(*rated.reasons, *job_reasons(job)))
    public, occupational, use = (np.zeros(len(at)) for _ in range(3))
    for body, mine in ((CLIMBING, on), (STANDING, ~on)):
        stop_if(cancelled)
        if not mine.any():
            continue
        found = exposure(planned, at[mine], body)
        no_figure = found.reactive
        public[mine] = np.where(no_figure, REACTIVE_FRACTION, found.public.total)
        occupational[mine] = np.where(no_figure, REACTIVE_FRACTION, found.occupational.total)
        if rated is not None:
            inside = garment_use(found, rated).use.total
            use[mine] = np.where(no_figure, REACTIVE_FRACTION, inside)
    return Course(
        clock, _metres(at), at, on, public, occupational, use if rated is not None else None,
        allowed_use(job.garment_margin), None, job.tier, _marks(way, starts, at, clock), (), None,
        about=True,
    )  # fmt: skip


def _metres(points: Floats) -> Floats:
    gone = np.linalg.norm(np.diff(points, axis=0), axis=1)
    return np.concatenate([[0.0], np.cumsum(gone)])


def _marks(way: Way, starts: list[float], points: Floats, seconds: Floats) -> tuple[Mark, ...]:
    """Return the stops; ``starts`` are the moving times at which each place is reached, s."""
    metres, stayed, out = _metres(points), 0.0, []
    for i, (start, place) in enumerate(zip(starts, way.places, strict=True)):
        begin = start + stayed
        stayed += place.stop.dwell
        at = float(metres[int(np.searchsorted(seconds, begin - 1e-6))])
        name = place.stop.name
        # The same way back passes the same stops.
        number = i + 1 if i < way.turn or not way.returns else 2 * way.turn - 1 - i
        out.append(Mark(number, name, (begin, begin + place.stop.dwell), at))
    return tuple(out)


def _average(one: Timed, seconds: Floats) -> Floats | None:
    """Return the moving average (n,) that ends at each time, the largest of all tables; None without a window."""
    out: Floats | None = None
    for table in one.tables:
        groups = [] if table in one.unaveraged else one.groups(table)
        if not groups:
            continue
        total = np.zeros(len(seconds))
        for window, moves, stays in groups:
            clock, gathered = timeline(moves, stays)
            now, before = (np.interp(t, clock, gathered) for t in (seconds, seconds - window))
            total += (now - before) / window
        out = total if out is None else np.maximum(out, total)
    return out


def _closed(
    seconds: Floats, points: Floats, entry: Entry, turn: float
) -> tuple[tuple[float, float], ...]:
    """Return from when to when the way up, which ends at ``turn`` s, is on stretches where nobody stops, s."""
    out = []
    up = int(np.searchsorted(seconds, turn, side="right"))
    for one in (*entry.stretches, *entry.beyond):
        ends = []
        for place in (one.start, one.end):
            away = np.linalg.norm(points[:up] - np.array(place), axis=1)
            ends.append(float(seconds[int(np.argmin(away))]))
        out.append((min(ends), max(ends)))
    return tuple(dict.fromkeys(out))
