"""Heights on a ladder at which a climber's exposure can exceed a threshold, as proven intervals."""

from __future__ import annotations

import itertools
import math
import time
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from core.arrays import Floats
from core.exposure.sources import sources, whole_column
from core.exposure.surveyed import raises
from core.limits.sets import get_set
from core.limits.tier import Tier
from core.progress import Asked, Progress, part_of
from core.proof.assess import Plane
from core.proof.enclosure import Enclosure, enclosure
from core.proof.search import intervals_of, search
from core.proof.tolerance import Ceiling, Tolerance, check_threshold
from core.site.places import Ladder
from core.site.site import Site
from core.units import FOOT
from core.views.body import CLIMBING, POINT, Body
from core.zones.raised import Level, levels, stretches

SHORTEST_STOP = 2.0
"""m: heights free between two closed spans count as free only when they are longer than a climber."""

_APART = 0.03
"""m between the heights of a body on a ladder that leans."""
RUNG = 0.3
"""m between rungs: nobody stops within less (ISO 14122-4:2016 4.4.2 has 225 to 300 mm, from memory)."""


@dataclass(frozen=True, slots=True)
class Interval:
    """A stretch of a ladder: metres along it from its foot, and the heights of both ends, m."""

    start: float
    end: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class LadderZone:
    """Where on a ladder the threshold can be exceeded; everywhere else it is not, by proof.

    ``words`` says it in one sentence, heights rounded outward.
    """

    ladder: str
    tier: Tier
    threshold: float
    intervals: tuple[Interval, ...]
    evaluations: int
    seconds: float
    complete: bool
    words: str


def ladder_zone(
    site: Site,
    ladder: Ladder,
    threshold: float,
    tier: Tier,
    body: Body = CLIMBING,
    tolerance: Tolerance | None = None,
    *,
    feet: bool = False,
    progress: Progress | None = None,
    cancelled: Asked | None = None,
    ceiling: Ceiling | None = None,
    divisors: Floats | None = None,
) -> LadderZone:
    """Return the intervals of a ladder in which a climber's exposure can exceed a threshold.

    See :func:`core.zones.zone.zone` for the parameters; ``feet`` chooses the unit of the words.

    Parameters
    ----------
    site : Site
        The site.
    tier : Tier
        Whose limit.
    body : Body
        The column of heights that is exposed.
    tolerance : Tolerance or None
        How exact the region is asked to be; the default where None.
    progress : Progress or None
        Told the part done, 0 to 1.
    cancelled : Asked or None
        Asked between pieces of work; True stops it.
    ceiling : Ceiling or None
        Where the search stops; the default where None.
    divisors : array, shape (sources,), optional
        As :func:`core.zones.zone.zone`.

    Raises
    ------
    InputError
        As :func:`core.zones.zone.zone`.
    """
    check_threshold(threshold)
    started = time.perf_counter()
    tolerance, ceiling = tolerance or Tolerance(), ceiling or Ceiling()
    points = np.array(ladder.points, dtype=np.float64)
    low, high = float(points[:, 2].min()), float(points[:, 2].max())
    body = whole_column(sources(site), body, low, high)
    if not body.average and not _upright(points):
        body = replace(body, heights=tuple(_close(body.heights)))
    enclosed = enclosure(site, tier, body if body.average else POINT, divisors)
    # What raised a place is in no band of a garment: there it is worth nothing.
    all_raises = raises(site)
    found = levels(all_raises, threshold, tier)
    if divisors is not None and all_raises:
        found = (Level(0.0, all_raises),)
    count = 1 + len(found)
    climbed = _Climbed(points, body, enclosed, tolerance, ceiling, cancelled, started)
    raw, evaluations, complete = _over(climbed, threshold, part_of(progress, 0, count))
    for i, level in enumerate(found, 1):
        spans = [s for r in level.raises for s in stretches(r, ladder, body)]
        over = spans
        if level.threshold > 0.0 and spans:
            over, more, all_found = _over(climbed, level.threshold, part_of(progress, i, count))
            evaluations, complete = evaluations + more, complete and all_found
        raw += [(max(a, c), min(b, d)) for a, b in spans for c, d in over if max(a, c) < min(b, d)]
    intervals = tuple(interval_of(points, s, e) for s, e in merged(raw))
    words = in_words(intervals, _name(site, tier, threshold), feet=feet)
    if found:
        words += f" (raised about {len(all_raises)} readings of a survey that are not explained)"
    return LadderZone(
        ladder.name, tier, threshold, intervals, evaluations,
        time.perf_counter() - started, complete, words,
    )  # fmt: skip


@dataclass(frozen=True, slots=True)
class _Climbed:
    """A ladder and what is needed to search it."""

    points: Floats
    body: Body
    enclosed: Enclosure
    tolerance: Tolerance
    ceiling: Ceiling
    cancelled: Asked | None
    started: float


def _over(
    on: _Climbed, threshold: float, progress: Progress | None
) -> tuple[list[tuple[float, float]], int, bool]:
    """Return the spans along a ladder over a threshold by the models, the work done, and whether all of it was."""
    fineness = on.tolerance.fineness(threshold)
    body, points = on.body, on.points
    rises = np.array(sorted(body.heights))
    passed, evaluations, complete = 0.0, 0, True
    raw: list[tuple[float, float]] = []
    for i, (a, b) in enumerate(itertools.pairwise(points)):
        length = float(np.linalg.norm(b - a))
        if length == 0.0:
            continue
        way = (b - a) / length
        # Straight up, a body's zone is a point's zone moved by its heights: tighter and quicker.
        upright = not body.average and abs(way[2]) > 1.0 - 1e-12
        shifts = np.sign(way[2]) * rises if upright else np.zeros(1)
        layers = np.zeros(1) if upright or body.average else rises
        plane = Plane(a, way[None, :], layers, rises if body.average else np.zeros(1))
        one = search(
            on.enclosed,
            plane,
            (np.array([min(0.0, shifts.min())]), np.array([length + max(0.0, shifts.max())])),
            fineness,
            on.ceiling,
            progress=part_of(progress, i, len(points) - 1),
            cancelled=on.cancelled,
            started=on.started,
        )
        evaluations += one.evaluations
        complete &= not one.stopped
        # A body is over with its foot anywhere from where its top comes in to where its lowest height leaves.
        least, most = float(shifts.min()), float(shifts.max())
        raw += [
            (passed + max(s - most, 0.0), passed + min(e - least, length))
            for s, e in intervals_of(one, fineness.proof)
            if s - most < length and e - least > 0.0
        ]
        passed += length
    return raw, evaluations, complete


def _upright(points: Floats) -> bool:
    """Return whether a ladder goes straight up: then every height of the body counts by itself."""
    return bool(np.ptp(points[:, :2], axis=0).max() == 0.0)


def _close(heights: Sequence[float]) -> Floats:
    """Return heights a rung's thickness apart, for ladders that lean."""
    low, high = min(heights), max(heights)
    return np.linspace(low, high, max(2, math.ceil((high - low) / _APART) + 1))


def merged(raw: Sequence[tuple[float, float]]) -> list[tuple[float, float]]:
    """Return raw stretches (start, end) in order, those that touch joined."""
    out: list[tuple[float, float]] = []
    for start, end in sorted(raw):
        if out and start <= out[-1][1] + 1e-6:
            out[-1] = (out[-1][0], max(out[-1][1], end))
        else:
            out.append((start, end))
    return out


def interval_of(points: Floats, start: float, end: float) -> Interval:
    """Return a stretch of a ladder with its heights.

    Parameters
    ----------
    points : array, shape (n, 3)
        The ladder, m.
    start, end : float
        m along it.
    """
    steps = np.linalg.norm(np.diff(points, axis=0), axis=1)
    along = np.concatenate([[0.0], np.cumsum(steps)])
    inner = points[(along > start) & (along < end), 2]
    ends = np.interp([start, end], along, points[:, 2])
    heights = np.concatenate([ends, inner])
    return Interval(start, end, float(heights.min()), float(heights.max()))


def _name(site: Site, tier: Tier, threshold: float) -> str:
    name = get_set(site.limit_set).name_of(tier)
    if threshold == 1.0:
        return f"the {name} limit"
    return f"{100.0 * threshold:g} % of the {name} limit"


def rounded(height: float, *, up: bool, feet: bool = False) -> float:
    """Return a height in m rounded outward to the unit in use: whole feet, or tenths of a metre.

    Parameters
    ----------
    up : bool
        Round up instead of down.
    """
    unit = FOOT if feet else 0.1
    steps = height / unit
    # A height that is on a step but for float noise stays on it.
    near = round(steps)
    whole = near if abs(steps - near) < 1e-6 else (math.ceil(steps) if up else math.floor(steps))
    return whole * unit


def show_height(height: float, *, feet: bool) -> str:
    """Return a height as people read it.

    Parameters
    ----------
    feet : bool
        Lengths in feet instead of metres.
    """
    return f"{height / FOOT:.0f} ft" if feet else f"{height:.1f} m".replace(".0 m", " m")


def in_words(intervals: tuple[Interval, ...], limit: str, *, feet: bool = False) -> str:
    """Return the intervals in one sentence, rounded outward.

    Parameters
    ----------
    limit : str
        Largest attenuation, dB.
    feet : bool
        Lengths in feet instead of metres.
    """
    if not intervals:
        return f"nowhere over {limit}"
    spans = [
        f"from {show_height(low, feet=feet)} to {show_height(high, feet=feet)}"
        for low, high in closed_spans(intervals, feet=feet)
    ]
    return f"over {limit} " + " and ".join(spans)


def closed_spans(
    intervals: Sequence[Interval], *, margin: float = 0.0, feet: bool = False
) -> tuple[tuple[float, float], ...]:
    """Return spans of heights (low, high) in m, rounded outward to the unit in use.

    A gap too short for a body to stay in (:data:`SHORTEST_STOP`) is closed.

    Parameters
    ----------
    intervals : Sequence[Interval]
        Proven intervals of heights.
    margin : float
        m below and above each interval.
    feet : bool
        Lengths in feet instead of metres.
    """
    spans: list[tuple[float, float]] = []
    for one in sorted(intervals, key=lambda i: i.low):
        low = rounded(one.low - margin, up=False, feet=feet)
        high = rounded(one.high + margin, up=True, feet=feet)
        if spans and low <= spans[-1][1] + SHORTEST_STOP:
            spans[-1] = (spans[-1][0], max(high, spans[-1][1]))
        else:
            spans.append((low, high))
    return tuple(spans)
