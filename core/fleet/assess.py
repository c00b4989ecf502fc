"""One site of a fleet: check, zones, signs, fences, and what changed, as a line of the table."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from core.changes.comparison import Comparison, State, of_states, proven
from core.changes.content import sharing
from core.changes.jobs import outcome
from core.changes.people import sign_words
from core.errors import InputError, short
from core.files.folder import files_of, is_site, stamp
from core.files.site_file import load_site
from core.fleet.plan import Answer, Plan
from core.limits.sets import get_set
from core.reading.doubts import doubts
from core.reading.provisos import silent, uncounted
from core.reading.signs import sign_schedule
from core.site.site import Site
from core.zones.steps import STEPS

_LONGEST = 300
_SITE = (
    "site_file", "result", "finding", "error", "site", "edition", "limit_set", "antennas", "doubts", "not_counted",
    "public_m2", "occupational_m2", "ten_times_m2", "zones_exact", "zones_unknown", "ladder_closed_public_m",
    "ladder_closed_occupational_m", "signs", "highest_category", "no_verdict", "fences", "fences_not_holding",
    "unfenced_m2", "jobs", "jobs_no_go",
)  # fmt: skip
_CHANGE = (
    "compared", "worse", "differences", "public_gained_m2", "public_lost_m2", "occupational_gained_m2",
    "occupational_lost_m2", "ladders_changed", "ways_in_worse", "fences_worse", "jobs_worse",
    "newly_over_five_percent",
)  # fmt: skip


def columns(plan: Plan) -> tuple[str, ...]:
    """Return the columns of the table, in order.

    Parameters
    ----------
    plan : Plan
        What is asked of every site.
    """
    return (*_SITE, *_CHANGE) if plan.against else _SITE


def assess(plan: Plan, name: str) -> Answer:
    """Return the answer for one file; whatever is wrong with it is in its row, and no error leaves this call.

    Parameters
    ----------
    plan : Plan
        What is asked.
    name : str
        The file, from the folder on.
    """
    folder, against = Path(plan.folder), Path(plan.against)
    stamps = (stamp(folder, (name,)), stamp(against, (name,)) if plan.against else [])
    if not is_site(folder / name):
        return Answer(name=name, row=None, stamps=stamps)
    try:
        site = _load(folder / name, name)
        stamps = (stamp(folder, files_of(name, site)), stamps[1])
        if plan.limits:
            site = replace(site, limit_set=plan.limits)
        state = proven(site, None, plan.tolerance, ceiling=plan.ceiling)
        row = _row(state)
        if plan.against:
            stamps = (stamps[0], _compared(plan, name, state, row))
    except InputError as error:
        row = _failed(short(error.within(source=name).line(), _LONGEST))
    except MemoryError:
        row = _failed("not enough memory for this site")
    except Exception as error:
        row = _failed(short(f"unexpected error ({type(error).__name__}: {error})", _LONGEST))
    return Answer(name=name, row=row, stamps=stamps)


def _failed(why: str) -> dict[str, str]:
    return {"result": "error", "finding": "yes", "error": why}


def _load(path: Path, name: str) -> Site:
    try:
        return load_site(path)
    except InputError as error:
        # Named from the folder on, so that a table says the same wherever the folder lies.
        raise InputError(error.message, source=name, field=error.field, fix=error.fix) from None


def _row(state: State) -> dict[str, str]:
    site = state.site
    get_set(site.limit_set)
    zones = [zone for _, zone in state.zones.zones]
    doubted, missing = doubts(site), [*uncounted(site), *silent(site)]
    signs = sign_schedule(site)
    verdicts = [line.category for line in signs if line.category is not None]
    leaking = [name for name, check in state.checks.items() if not check.holds]
    refused = [job.name for job in site.jobs if not outcome(site, job.name).go]
    exact = state.zones.complete and all(z.complete for _, z in state.ladders)
    unknown = bool(state.zones.unknown or any(z.open_sides for z in zones))
    found = (
        doubted or missing or leaking or refused or unknown or not exact or len(verdicts) < len(signs)
        or any(z.area for z in zones) or any(z.intervals for _, z in state.ladders)
        or any(v > 1 for v in verdicts)
    )  # fmt: skip
    return {
        "result": "done",
        "finding": _yes(found),
        "site": site.name,
        "edition": site.edition,
        "limit_set": site.limit_set,
        "antennas": str(len(site.antennas)),
        "doubts": str(len(doubted)),
        "not_counted": str(len(missing)),
        "public_m2": _number(zones[0].area),
        "occupational_m2": _number(zones[1].area),
        "ten_times_m2": _number(zones[2].area),
        "zones_exact": _yes(exact),
        "zones_unknown": _yes(unknown),
        "ladder_closed_public_m": _number(_closed(state, STEPS[0].key)),
        "ladder_closed_occupational_m": _number(_closed(state, STEPS[1].key)),
        "signs": "; ".join(f"{line.access.name}: {sign_words(line)}" for line in signs),
        "highest_category": max(verdicts).name.capitalize() if verdicts else "",
        "no_verdict": str(len(signs) - len(verdicts)),
        "fences": str(len(site.fences)),
        "fences_not_holding": "; ".join(leaking),
        "unfenced_m2": _number(sum(c.unfenced for c in state.checks.values())),
        "jobs": str(len(site.jobs)),
        "jobs_no_go": "; ".join(refused),
    }


def _closed(state: State, key: str) -> float:
    return sum(i.end - i.start for step, z in state.ladders if step.key == key for i in z.intervals)


def _compared(plan: Plan, name: str, state: State, row: dict[str, str]) -> list[list[str | int]]:
    """Add what changed to a row; return the stamps of the files it was compared with.

    A state before that is missing or broken is named, and the row of the site itself stays.
    """
    folder = Path(plan.against)
    marks = stamp(folder, (name,))
    try:
        if not (folder / name).exists():
            row["compared"] = "not there before"
            return marks
        before = _load(folder / name, name)
        marks = stamp(folder, files_of(name, before))
        was = proven(before, state.zones.view, plan.tolerance, ceiling=plan.ceiling)  # type: ignore[arg-type]
        shared = replace(state, site=sharing(before, state.site))
        row |= _changes(of_states(was, shared))
    except InputError as error:
        row |= {"compared": short(f"error: {error.line()}", _LONGEST), "finding": "yes"}
    return marks


def _changes(found: Comparison) -> dict[str, str]:
    areas = {
        key: (
            sum(z.gained.area for z in found.zones if z.step.key == key),
            sum(z.lost.area for z in found.zones if z.step.key == key),
        )
        for key in ("public", "occupational")
    }
    return {
        "compared": "yes",
        "worse": _yes(found.worse),
        "differences": str(len(found.differences)),
        "public_gained_m2": _number(areas["public"][0]),
        "public_lost_m2": _number(areas["public"][1]),
        "occupational_gained_m2": _number(areas["occupational"][0]),
        "occupational_lost_m2": _number(areas["occupational"][1]),
        "ladders_changed": str(len(found.ladders)),
        "ways_in_worse": "; ".join(a.name for a in found.access if a.worse),
        "fences_worse": "; ".join(f.name for f in found.fences if f.worse),
        "jobs_worse": "; ".join(j.name for j in found.jobs if j.worse),
        "newly_over_five_percent": "; ".join(
            dict.fromkeys(r.name for r in found.newly_responsible)
        ),
    }


def _number(value: float) -> str:
    return f"{value:.2f}"


def _yes(value: object) -> str:
    return "yes" if value else "no"
