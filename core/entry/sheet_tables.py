"""The tables of a crew's sheet: stops, locks and tags, signatures."""

from __future__ import annotations

import math
from dataclasses import dataclass

from core.entry.entry import Entry, StopLine
from core.entry.report import show_time
from core.site.site import Antenna, told
from core.site.state import Condition
from core.site.states import AS_BUILT
from core.units import show_percent


@dataclass(frozen=True, slots=True)
class Table:
    """Rows under a head; ``widths`` are parts of the whole width, or none where they follow from the words."""

    heading: str
    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    widths: tuple[float, ...] = ()


LOUD = ("NO STAY", "NO FIGURE", "NO NUMBER")
"""Words of a cell that nobody may overlook."""
SIGNATURES = 6
"""Lines for the crew to sign on."""


def stops_table(entry: Entry) -> Table:
    """Return what is met at each stop, how long people may stay there, and what makes most of it.

    Parameters
    ----------
    entry : Entry
        The entry.
    """
    job = entry.job
    garment = entry.garment is not None
    head = ["", "Stop", "z, m", "% public", "% occup."]
    head += ["% of rating"] if garment else []
    head += ["Stay", "Longest by exposure", "Most of it"]
    rows = []
    for i, line in enumerate(entry.stops, 1):
        row = [str(i), line.place.stop.name, f"{line.place.position[2]:.4g}", *_percents(line)]
        if garment:
            row.append("" if line.use is None else show_percent(line.use).removesuffix(" %"))
        dwell = line.place.stop.dwell
        row += [show_time(dwell) if dwell else "pass", _stay(line), line.governed_by]
        rows.append(tuple(row))
    heading = f"Stops (limits: {entry.site.limit_set}; {'public' if job.tier == 'public' else 'occupational'} crew)"
    return Table(heading, tuple(head), tuple(rows))


def _percents(line: StopLine) -> tuple[str, str]:
    if line.no_figure:
        return "NO FIGURE", "NO FIGURE"
    return tuple(show_percent(v).removesuffix(" %") for v in (line.public, line.occupational))  # type: ignore[return-value]


def _stay(line: StopLine) -> str:
    if math.isinf(line.longest_stay):
        return "no limit"
    return show_time(line.longest_stay) if line.longest_stay >= 1.0 else "NO STAY"


def changed_emitters(entry: Entry) -> tuple[Antenna, ...]:
    """Return the antennas that the job has in another state than the site as it was built, in the job's state.

    Parameters
    ----------
    entry : Entry
        The entry.
    """
    built = next((dict(s.states) for s in entry.before.states if s.name == AS_BUILT), {})
    pairs = zip(entry.before.antennas, entry.site.antennas, strict=True)
    return tuple(now for was, now in pairs if now.state != built.get(now.name, was.state))


def locks_table(entry: Entry) -> Table:
    """Return the lock-and-tag list: every emitter that is not simply on, as it was built and as the job has it.

    Parameters
    ----------
    entry : Entry
        The entry.
    """
    rows = []
    built = next((dict(s.states) for s in entry.before.states if s.name == AS_BUILT), {})
    for before, after in zip(entry.before.antennas, entry.site.antennas, strict=True):
        was, now = built.get(after.name, before.state), after.state
        if now == was and now.condition is Condition.ON:
            continue
        change = now.words if was == now else f"{was.words} → {now.words}"
        owner = told(after.owner) or "owner not known"
        call = told(after.contact) or "NO NUMBER"
        rows.append((after.name, change, f"{owner}; call {call}", "", "", ""))
    if not rows:
        rows.append(("nothing is turned down", "", "", "", "", ""))
    return Table(
        "Lock and tag list",
        (
            "Emitter", "From → to", "Owner, number to call", "Locked by, time", "Verified by, time, reading",
            "Restored by, time",
        ),
        tuple(rows),
        (0.17, 0.19, 0.23, 0.13, 0.15, 0.13),
    )  # fmt: skip


def signature_table() -> Table:
    """Return the lines on which the crew signs."""
    one = ("Name", "Trained", "Signature", "In", "Out")
    blank = ("",) * len(one)
    lead = ("RF safety lead:", *blank[1:], "Ground leader:", *blank[1:])
    widths = (0.17, 0.08, 0.15, 0.05, 0.05)
    return Table(
        "Briefed, understood and agreed",
        (*one, *one),
        (lead, *((*blank, *blank),) * (SIGNATURES // 2)),
        (*widths, *widths),
    )
