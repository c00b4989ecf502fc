"""What is still missing before a crew's sheet is complete, the gravest first; nothing here changes a verdict."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import date

from core.entry.checks import not_done
from core.entry.entry import Entry
from core.entry.report import verdict_sentence
from core.exposure.surveyed import raises
from core.site.garment import Garment
from core.site.job import Job
from core.site.site import Antenna, told
from core.site.state import Condition

_DAY = re.compile(r"\d{4}-\d{2}-\d{2}")
_LONG_AGO = 366
"""Days since an inspection from which it is asked about (a year: common practice, no source)."""


def missing(entry: Entry) -> tuple[str, ...]:
    """Return what somebody still has to find out, type in or do, in sentences.

    Parameters
    ----------
    entry : Entry
        The entry.
    """
    return tuple(dict.fromkeys(_missing(entry)))


def _missing(entry: Entry) -> Iterator[str]:
    job, site = entry.job, entry.site
    if not entry.verdict.is_go:
        yield f"The crew may not go: {verdict_sentence(entry)}"
    if raises(site):
        yield "A reading above its prediction is not explained: find the cause (Entry, Survey)"
    for before, after in zip(entry.before.antennas, site.antennas, strict=True):
        yield from _of_emitter(before, after)
    if job.route is None:
        yield "No route: draw the way of the crew (Entry)"
    elif not any(stop.dwell for stop in job.route.stops):
        yield "No dwell at any stop: type how long people stay (Entry, Stops)"
    if job.work is None:
        yield "No work volume: say where the work is (Entry)"
    if not job.when.strip():
        yield "No window of time: type for when power is asked down (Entry)"
    if entry.garment is not None:
        garment = entry.garment
        if not garment.inspected:
            yield f"{garment.name}: no inspection on record (Entry, Garment)"
        elif not garment.inspected_by:
            yield f"{garment.name}: nobody is named for its inspection (Entry, Garment)"
        yield from _of_dates(garment, job)
        if garment.missing:
            yield f"{garment.name}: {', '.join(garment.missing)} missing from the set"
        if not job.garment_training.strip():
            yield f"{garment.name}: no training of its wearers on record (Entry, Garment)"
        undone = not_done(job)
        if undone:
            yield f"{garment.name}: {undone}; tick them (Entry, Garment)"
        for control in job.unexplained:
            yield f"Nobody has said why {control} was not enough before the garment (Entry, Garment)"
    if not site.revision:
        yield "The site has no revision: paper and file are matched by the fingerprint only"
    if not site.access_points:
        yield "No way in is drawn: no sign is said for it"


def _of_dates(garment: Garment, job: Job) -> Iterator[str]:
    """Hold the date of an inspection against the day a job's window of time begins with, where it begins with one."""
    begins = _DAY.match(job.when.strip())
    if begins is None or not garment.inspected:
        return
    inspected = date.fromisoformat(garment.inspected)
    try:
        days = (date.fromisoformat(begins.group()) - inspected).days
    except ValueError:
        return
    if days < 0:
        yield f"{garment.name}: its inspection of {garment.inspected} is after the job: type the last one before it"
    elif days > _LONG_AGO:
        yield (
            f"{garment.name}: last inspected {garment.inspected}, {days} days before the job: is that within its "
            "maker's interval?"
        )


def _of_emitter(before: Antenna, after: Antenna) -> Iterator[str]:
    state = after.state.condition
    if state is Condition.UNKNOWN:
        yield f"{after.name}: nobody knows what it does; find out, or have it locked out"
    if state is Condition.OFF:
        yield f"{after.name} is off and not locked out: it can come back"
    if state is Condition.STANDBY:
        yield f"{after.name} is on stand-by: have it locked out"
    turned_down = after.state != before.state or state in (Condition.REDUCED, Condition.LOCKED_OUT)
    if turned_down and not told(after.contact):
        yield f"{after.name}: no number to call"
    if turned_down and not told(after.owner):
        yield f"{after.name}: its owner is not known"
