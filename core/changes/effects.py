"""What a change does as a list: every line of the report with what it means for people and where it is."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import zip_longest

import numpy as np
import shapely

from core.changes.comparison import Comparison
from core.changes.differences import Difference, differences
from core.changes.jobs import JobChange
from core.changes.people import AccessChange, FenceChange
from core.changes.places import along
from core.changes.report import CHANGED, sections
from core.changes.shares import Responsible, Rise
from core.changes.zones import LadderChange, ZoneChange, without
from core.site.job import Job, Stop
from core.site.places import Fence
from core.site.site import Site
from core.site.surfaces import standing_on

Point = tuple[float, float, float]
_MARK = "WORSE: "
_STEP = 0.25
"""m between the places of a ladder among which the one at a height is looked for."""


@dataclass(frozen=True, slots=True)
class Effect:
    """One line of what a change does.

    Attributes
    ----------
    section, words : str
        The heading it stands under, and what is said; ``worse`` says what a mark in the words would.
    worse : bool
        True where it is worse for people.
    place : (x, y, z) or None
        Where it is, m: feet of somebody who stands there, or the middle of a climber; None where it is nowhere.
    stands : bool
        Whether somebody stands there; else climbs.
    """

    section: str
    words: str
    worse: bool = False
    place: Point | None = None
    stands: bool = True


def effects(comparison: Comparison, *, feet: bool = False) -> tuple[Effect, ...]:
    """Return everything that changed and that it does, what is worse for people first, each in the report's order.

    Parameters
    ----------
    comparison : Comparison
        The comparison.
    feet : bool
        Lengths and areas in feet instead of metres.
    """
    c = comparison
    # In the order of the report's sections; lines beyond the items are remarks.
    items: tuple[Sequence[object], ...] = (
        c.differences, c.zones, c.ladders, c.access, c.fences, c.jobs, c.newly_responsible, c.rises,
        c.newly_uncounted,
    )  # fmt: skip
    found = [
        _effect(title, words, item, c)
        for (title, lines), own in zip(sections(c, feet=feet), items, strict=True)
        for words, item in zip_longest(lines, own)
    ]
    return tuple(sorted(found, key=lambda e: not e.worse))


def listed(before: Site, after: Site) -> tuple[Effect, ...]:
    """Return what two states differ in, before it is known what that does.

    Parameters
    ----------
    before, after : Site
        The two states.
    """
    return tuple(
        Effect(CHANGED, d.words, place=_antenna(d.name, (after, before)))
        for d in differences(before, after)
    )


def _effect(section: str, words: str, item: object, c: Comparison) -> Effect:
    words = words.removeprefix(_MARK)
    ladders = {ladder.name for site in (c.before, c.after) for ladder in site.ladders}
    match item:
        case Difference():
            return Effect(section, words, place=_antenna(item.name, _sites(c)))
        case ZoneChange():
            worse = item.rose and not item.gained.is_empty
            region = item.lost if item.gained.is_empty else item.gained
            inside = max(region.geoms, key=lambda p: p.area).representative_point()
            return Effect(section, words, worse, (inside.x, inside.y, item.height))
        case LadderChange():
            spans = item.gained or without(item.was, item.now) or item.now or item.was
            low, high = max(spans, key=lambda s: s[1] - s[0])
            at = _on_ladder(item.ladder, (low + high) / 2.0, c)
            return Effect(section, words, item.rose, at, stands=False)
        case AccessChange():
            line = item.now or item.was
            return Effect(section, words, item.worse, line.access.position if line else None)
        case FenceChange():
            return Effect(section, words, item.worse, *_fence(item, c))
        case JobChange():
            return Effect(section, words, item.worse, *_job(item.name, c))
        case Responsible():
            return Effect(section, words, True, item.place, stands=item.where not in ladders)
        case Rise():
            return Effect(section, words, item.over, item.place, stands=item.where not in ladders)
        case str():
            return Effect(section, words, True)
    return Effect(section, words)


def _sites(c: Comparison) -> tuple[Site, Site]:
    return c.after, c.before


def _antenna(name: str, sites: tuple[Site, Site]) -> Point | None:
    """Return where the antenna of a difference is; one of a carrier is named after both."""
    places = [
        (len(a.name), -i, a.position)
        for i, site in enumerate(sites)
        for a in site.antennas
        if name == a.name or name.startswith(f"{a.name}: ")
    ]
    return max(places)[2] if places else None


def _on_ladder(name: str, height: float, c: Comparison) -> Point | None:
    """Return the place of a ladder that is nearest to a height."""
    ladders = (one for site in _sites(c) for one in site.ladders if one.name == name)
    ladder = next(ladders, None)
    if ladder is None:
        return None
    places = along(ladder.points, _STEP)
    x, y, z = (float(v) for v in places[np.argmin(np.abs(places[:, 2] - height))])
    return x, y, z


def _fence(change: FenceChange, c: Comparison) -> tuple[Point | None, bool]:
    """Return where a fence leaks most, else its middle; and whether people stand there."""
    fences: Iterable[Fence] = (f for s in _sites(c) for f in s.fences if f.name == change.name)
    fence = next(iter(fences), None)
    if fence is not None and fence.ladder:
        low, high = fence.stops[0]
        return _on_ladder(fence.ladder, (low + high) / 2.0, c), False
    if change.now is not None and change.now.leaks:
        x, y = change.now.leaks[0].place
    elif fence is not None:
        middle = shapely.Polygon(fence.outline).representative_point()
        x, y = middle.x, middle.y
    else:
        return None, True
    return (x, y, standing_on(c.after, x, y)[0]), True


def _job(name: str, c: Comparison) -> tuple[Point | None, bool]:
    """Return where a job works: at the last stop of its way, or in the middle of its box or span."""
    jobs = (j for site in _sites(c) for j in site.jobs if j.name == name)
    job: Job | None = next(jobs, None)
    if job is None:
        return None, True
    if job.route is not None:
        stop: Stop = job.route.stops[-1]
        if stop.position is not None:
            return stop.position, True
        return _on_ladder(stop.ladder, stop.height or 0.0, c), False
    if job.work is None:
        return None, True
    if job.work.low is not None and job.work.high is not None:
        x, y, z = ((a + b) / 2.0 for a, b in zip(job.work.low, job.work.high, strict=True))
        return (x, y, z), True
    return _on_ladder(job.work.ladder, sum(job.work.heights or (0.0, 0.0)) / 2.0, c), False
