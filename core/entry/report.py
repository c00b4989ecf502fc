"""A planned entry as text a person can read aloud, and as plain data for other programs."""

from __future__ import annotations

import math

from core.entry.checks import CARE, IN_THE_FIELD, NOT_FOR, PRE_USE, not_done, pre_use
from core.entry.entry import Entry, StopLine, Stretch
from core.entry.lock_list import plan_data, plan_lines
from core.entry.power_plan import PowerPlan
from core.entry.turned_up import begun_from, turned_up
from core.entry.way_cautions import way_cautions
from core.exposure.garment_use import Verdict, allowed_use
from core.exposure.sources import sources
from core.exposure.surveyed import raised_words
from core.limits.sets import get_set
from core.limits.tier import Tier
from core.reading.cautions import FULL, contact_cautions
from core.reading.provisos import provisos
from core.site.site import Condition
from core.units import at_most, show_allowance, show_percent

ASSUMPTIONS = (
    "The body is the whole column: a climber from 1 m below to 1 m above the height given, a walker from the feet to "
    "2 m; the highest place of it counts, also between the heights and places that are printed.",
    "A stay is at most as long as planned: leaving early never makes the result better here.",
    "Nothing was met before the start and after the end of the way.",
    "Short stays give no credit to the public, none beside a garment, and none where the rule has no averaging.",
    "A burn, a shock and a contact current are not averaged over time.",
)
"""What an entry takes for granted, printed with it."""


def show_time(seconds: float) -> str:
    """Return seconds as people say them, rounded down; a stay is never shown longer than it is.

    Examples
    --------
    >>> show_time(240.0), show_time(71.99), show_time(1380.0)
    ('4 min', '1 min 11 s', '23 min')
    """
    whole = math.floor(seconds + 1e-3)
    hours, minutes, left = whole // 3600, whole % 3600 // 60, whole % 60
    parts = [f"{hours} h"] if hours else []
    parts += [f"{minutes} min"] if minutes else []
    parts += [f"{left} s"] if left or not parts else []
    return " ".join(parts)


def stay_words(seconds: float) -> str:
    """Return a longest stay of so many seconds in words."""
    if math.isinf(seconds):
        return "no limit to the stay"
    return f"stay at most {show_time(seconds)}" if seconds >= 1.0 else "no stay"


def verdict_sentence(entry: Entry) -> str:
    """Return the verdict of an entry in one sentence."""
    name = entry.garment.name if entry.garment is not None else ""
    if entry.verdict is Verdict.NOT_NEEDED:
        if entry.reasons:
            return f"Go without a garment, {entry.reasons[0]}."
        whose = "public" if entry.job.tier == "public" else "occupational"
        return f"Go: no garment needed, nowhere over the {whose} limit."
    why = "; ".join(entry.reasons)
    if entry.verdict is Verdict.WITHIN:
        undone = not_done(entry.job)
        return f"Go in the complete {name}: within its rating everywhere{undone and f'; {undone}'}."
    if entry.verdict is Verdict.NO_MARGIN:
        left = entry.job.garment_margin
        return f"NO GO: {name} is within its rating, but less than {left:g} dB are left."
    if entry.verdict is Verdict.NOT_ENOUGH and entry.garment is not None:
        return f"NO GO: {name} is not enough."
    if entry.verdict is Verdict.NOT_ENOUGH:
        return f"NO GO: {why}."
    return f"NO GO, no credit: {why}."


def cautions(entry: Entry) -> tuple[str, ...]:
    """Return what has to be said with an entry: the transmitters that can come back first."""
    lines = [*turned_up(entry), *provisos(entry.site)]
    lines += [
        f"{a.name} is turned down, which is no lock: tag it, and confirm it with a meter."
        for a in entry.site.antennas
        if a.state.condition is Condition.REDUCED
    ]
    if entry.way is not None:
        lines += way_cautions(entry.site, entry.way)
    if entry.garment is not None and entry.garment.wear:
        lines.append(f"Rules of wear of {entry.garment.name}: {entry.garment.wear}")
    raised = [f"{words}." for words in raised_words(entry.site)]
    return (*raised, *lines, *FULL, *contact_cautions(sources(entry.site), entry.site.limit_set))


def as_text(entry: Entry, plan: PowerPlan | None = None) -> str:
    """Return the whole entry as text.

    Parameters
    ----------
    entry : Entry
        The entry.
    plan : PowerPlan or None
        The plan that was looked for.
    """
    site, job = entry.site, entry.job
    limits = get_set(site.limit_set)
    lines = [
        f"{job.name}: {site.name}" + (f" (revision {site.revision})" if site.revision else ""),
        f"Crew held against {limits.key} {limits.name_of(job.tier)}."
        + (f" {job.when}." if job.when else ""),
        "",
        verdict_sentence(entry),
    ]
    if entry.state:
        lines += ["", f"In the state {entry.state!r}, not as filed."]
    changes = _changes(entry)
    if changes:
        lines += ["", "Set for the job:"]
        lines += [f"  {c['emitter']}: {c['from']} -> {c['to']}" for c in changes]
    if plan is not None and not entry.verdict.is_go:
        lines += ["", *plan_lines(entry.site, plan)]
    if entry.stops:
        lines += ["", "Stops:"]
        for line in entry.stops:
            lines += _stop_text(entry, line, limits.key)
    if entry.worst is not None:
        lines += ["", _window_words(entry)]
    if entry.work is not None:
        most = float(entry.work.occupational.max())
        lines += [
            "",
            f"In the work volume {at_most(most)} of {limits.key} occupational.",
        ]
    if entry.stretches:
        lines += ["", f"Nobody stops here on the way up (over {limits.key} {job.tier}):"]
        lines += [f"  {_stretch_words(s)}" for s in entry.stretches]
    if entry.garment is not None:
        lines += [*_beyond_text(entry), "", *_garment_text(entry)]
    lines += ["", "Assumptions:", f"  - {_speeds(entry)}"] if job.route else ["", "Assumptions:"]
    lines += [f"  - {text}" for text in ASSUMPTIONS]
    lines += ["", "Cautions:", *(f"  - {text}" for text in cautions(entry))]
    return "\n".join(lines) + "\n"


def _beyond_text(entry: Entry) -> list[str]:
    assert entry.garment is not None
    if not entry.beyond:
        return []
    head = f"{entry.garment.name} is not enough, or gets no credit, here on the way up (use of its rating):"
    return ["", head, *(f"  {_stretch_words(s)}" for s in entry.beyond)]


def _stop_text(entry: Entry, line: StopLine, key: str) -> list[str]:
    stop = line.place.stop
    at = f"{stop.ladder}, {stop.height:g} m" if stop.ladder else _xyz(line.place.position)
    head = f"  {stop.name} ({at})" + (f", planned {show_time(stop.dwell)}" if stop.dwell else "")
    if line.no_figure:
        return [head, "      so near an antenna that there is no figure: treat as over every limit"]
    text = f"{show_percent(line.public)} of {key} public, {show_percent(line.occupational)} occupational"
    out = [head, f"      {text}; {stay_words(line.longest_stay)}"]
    if line.use is not None:
        why = f" ({'; '.join(line.reasons)})" if line.reasons else ""
        out.append(
            f"      garment used to {show_percent(line.use)} of its rating: {line.verdict}{why}"
        )
    if line.governed_by and line.occupational >= 0.01:
        out.append(f"      most of it: {line.governed_by}")
    return out


def _window_words(entry: Entry) -> str:
    worst = entry.worst
    assert worst is not None
    of = f"{show_percent(worst.average)} of {entry.site.limit_set} {entry.job.tier}"
    clock = f"from {show_time(worst.start)} to {show_time(worst.end)} after the start"
    if worst.window is None:
        return f"Peak on the way: {of}, {clock}; the rule gives no averaging time."
    if entry.job.tier == "public":
        return (
            f"Worst {show_time(worst.window)}: {of} on average, {clock}; no credit to the public."
        )
    cut = " if a stay is cut short" if worst.cut_short else ""
    return f"Worst {show_time(worst.window)}: {of} on average{cut}, {clock}."


def _stretch_words(stretch: Stretch) -> str:
    most = at_most(stretch.most)
    if stretch.ladder:
        low, high = sorted((stretch.start[2], stretch.end[2]))
        low, high = math.floor(10.0 * low) / 10.0, math.ceil(10.0 * high) / 10.0
        return f"{stretch.ladder} from {low:.1f} m to {high:.1f} m: {most}"
    return f"from {_xyz(stretch.start)} to {_xyz(stretch.end)}: {most}"


def _xyz(place: tuple[float, float, float]) -> str:
    return ", ".join(f"{v:.4g}" for v in place) + " m"


def _garment_text(entry: Entry) -> list[str]:
    garment = entry.garment
    assert garment is not None
    looked = f"inspected {garment.inspected}" if garment.inspected else "no inspection on record"
    by = f" by {garment.inspected_by}" if garment.inspected_by else ""
    allowed = show_allowance(allowed_use(entry.job.garment_margin))
    return [
        f"Garment {garment.name} ({garment.source}): {garment.condition}, {looked}{by}.",
        *(f"  {band.words}" for band in garment.bands),
        f"  may be used to {allowed} of its rating ({entry.job.garment_margin:g} dB are kept)",
        "Why nothing before it was enough:",
        *(f"  {control}: {reason}" for control, reason in entry.job.higher_controls),
        "Before it is worn:",
        *(
            f"  [{'x' if t else ' '}] {text}{f' ({t.words})' if t else ''}"
            for text, t in pre_use(entry.job)
        ),
        "While it is worn:",
        *(f"  - {text}" for text in IN_THE_FIELD),
        "It is not for:",
        *(f"  - {text}" for text in NOT_FOR),
        "Care:",
        *(f"  - {text}" for text in CARE),
    ]


def _speeds(entry: Entry) -> str:
    route = entry.job.route
    assert route is not None
    back = "back the same way without a stop" if route.way_down is None else "back by its own way"
    climb, walk = 60.0 * route.climb_speed, 60.0 * route.walk_speed
    return f"{climb:.3g} m a minute on ladders, {walk:.3g} m a minute elsewhere; {back}."


def _changes(entry: Entry) -> list[dict[str, str]]:
    begun = begun_from(entry)
    return [
        {"emitter": b.name, "from": b.state.words, "to": a.state.words}
        for b, a in zip(begun.antennas, entry.site.antennas, strict=True)
        if a.state != b.state
    ]


def as_data(entry: Entry, plan: PowerPlan | None = None) -> dict[str, object]:
    """Return the entry as JSON-ready data; percents are numbers, times in s, places in m.

    ``longest_stay_s`` is null where exposure sets no end to a stay. ``plan`` is what the job sets itself where that
    lets it go, else what more has to be turned down (:mod:`core.entry.job_plan`), null where nobody asked.

    Parameters
    ----------
    entry : Entry
        The entry.
    plan : PowerPlan or None
        The plan that was looked for.
    """
    job, site = entry.job, entry.site
    return {
        "job": job.name,
        "site": site.name,
        "revision": site.revision,
        "limit_set": site.limit_set,
        "tier": job.tier,
        "when": job.when,
        "crew": job.crew,
        "state": entry.state or None,
        "verdict": entry.verdict.value,
        "go": entry.verdict.is_go,
        "rests_on": _rests_on(entry),
        "sentence": verdict_sentence(entry),
        "reasons": list(entry.reasons),
        "states": _changes(entry),
        "stops": [_stop_data(line, entry) for line in entry.stops],
        "worst_window": _window_data(entry, job.tier),
        "no_stop": [_stretch_data(s) for s in entry.stretches],
        "garment_not_enough": [_stretch_data(s) for s in entry.beyond],
        "work": None
        if entry.work is None
        else {
            "percent": {
                "public": 100.0 * float(entry.work.public.max()),
                "occupational": 100.0 * float(entry.work.occupational.max()),
            },
            "garment_use_percent": None
            if entry.garment is None
            else 100.0 * float(entry.work.use.max()),
        },
        "garment": None if entry.garment is None else _garment_data(entry),
        "plan": _plan(entry, plan),
        "assumptions": [*([_speeds(entry)] if job.route else []), *ASSUMPTIONS],
        "cautions": list(cautions(entry)),
    }


def _rests_on(entry: Entry) -> str | None:
    """Return what a go rests on; None for a no."""
    if not entry.verdict.is_go:
        return None
    if entry.verdict is Verdict.WITHIN:
        return "the garment"
    return "limited stays" if entry.reasons else "levels under the limit"


def _plan(entry: Entry, plan: PowerPlan | None) -> dict[str, object] | None:
    if entry.verdict.is_go:
        return {"steps": _changes(entry), "meets": True, "reason": ""}
    return None if plan is None else plan_data(plan)


def _stretch_data(s: Stretch) -> dict[str, object]:
    return {
        "ladder": s.ladder or None,
        "from": list(s.start),
        "to": list(s.end),
        "percent": 100.0 * s.most,
    }


def _stop_data(line: StopLine, entry: Entry) -> dict[str, object]:
    stop = line.place.stop
    # Where short stays let a job go without a garment, none is needed at any stop; how long is said beside it.
    by_time = _rests_on(entry) == "limited stays"
    return {
        "name": stop.name,
        "position": list(line.place.position),
        "ladder": stop.ladder or None,
        "dwell_s": stop.dwell,
        "no_figure": line.no_figure,
        "percent": {"public": 100.0 * line.public, "occupational": 100.0 * line.occupational},
        "garment": {
            "use_percent": None if line.use is None else 100.0 * line.use,
            "verdict": Verdict.NOT_NEEDED.value if by_time else line.verdict.value,
            "reasons": [] if by_time else list(line.reasons),
        },
        "longest_stay_s": None if math.isinf(line.longest_stay) else line.longest_stay,
        "governed_by": line.governed_by,
    }


def _window_data(entry: Entry, tier: Tier) -> dict[str, object] | None:
    worst = entry.worst
    if worst is None:
        return None
    return {
        "tier": tier,
        "percent": 100.0 * worst.average,
        "window_s": worst.window,
        "from_s": worst.start,
        "to_s": worst.end,
        "if_cut_short": worst.cut_short,
    }


def _garment_data(entry: Entry) -> dict[str, object]:
    garment = entry.garment
    assert garment is not None
    return {
        "name": garment.name,
        "source": garment.source,
        "bands": [band.words for band in garment.bands],
        "condition": garment.condition.value,
        "inspected": garment.inspected or None,
        "missing": list(garment.missing),
        "may_use_percent": 100.0 * allowed_use(entry.job.garment_margin),
        "higher_controls": dict(entry.job.higher_controls),
        "pre_use": list(PRE_USE),
        "pre_use_done": {t.check: {"by": t.by, "when": t.when} for t in entry.job.garment_checks},
        "in_the_field": list(IN_THE_FIELD),
        "not_for": list(NOT_FOR),
        "care": list(CARE),
    }
