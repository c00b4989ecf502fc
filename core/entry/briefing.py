"""What a crew's sheet says, part by part, as data: text, window and paper print the same."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import shapely

from core.entry.checks import IN_THE_FIELD, NOT_FOR, pre_use
from core.entry.course import course, most_use
from core.entry.entry import Entry, Stretch
from core.entry.practice import BEFORE, CONTACT, MONITOR, PEOPLE, RESCUE, STOP_WORK
from core.entry.report import ASSUMPTIONS, show_time, verdict_sentence
from core.entry.sheet_tables import (
    Table,
    changed_emitters,
    locks_table,
    signature_table,
    stops_table,
)
from core.entry.turned_up import turned_up
from core.entry.way_cautions import way_cautions
from core.exposure.garment_use import Verdict, allowed_use
from core.exposure.sources import sources
from core.exposure.surveyed import raised_words
from core.limits.currents import contact_current_caution
from core.limits.sets import get_set
from core.reading.cautions import FULL, contact_cautions
from core.reading.provisos import uncounted
from core.reading.signs import sign_schedule
from core.site.site import Antenna, Condition, told
from core.units import at_most, show_allowance, show_frequency, show_percent, show_power

_REACH = 2.0
"""m from the way within which metal is touched (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Line:
    """One line of a part; ``heavy`` for what nobody may overlook, ``tick`` for what is ticked, ``done`` where it is."""

    text: str
    heavy: bool = False
    tick: bool = False
    done: bool = False


@dataclass(frozen=True, slots=True)
class Part:
    """A heading with its lines."""

    heading: str
    lines: tuple[Line, ...]


@dataclass(frozen=True, slots=True)
class Briefing:
    """A crew's sheet.

    Attributes
    ----------
    verdict : str
        In one sentence; ``is_go`` whether the crew may go.
    reasons : tuple of str
        Why, or why not.
    warnings : Part or None
        What must be read first.
    stops, locks : Table
        Stop by stop, and emitter by emitter what is set, by whom, verified and restored by whom.
    first, rest : tuple of Part
        What stands beside the drawings, and what follows.
    signatures : Table
    """

    verdict: str
    is_go: bool
    reasons: tuple[str, ...]
    warnings: Part | None
    stops: Table
    locks: Table
    first: tuple[Part, ...]
    rest: tuple[Part, ...]
    signatures: Table


def briefing(entry: Entry) -> Briefing:
    """Return what the sheet of a planned entry says.

    Parameters
    ----------
    entry : Entry
        The entry.

    Raises
    ------
    InputError
        If the site's data are inconsistent.
    """
    raised = raised_words(entry.site)
    go = entry.verdict.is_go
    first = [_job(entry), _window(entry), *_no_stop(entry), *_garment(entry), _emitters(entry)]
    rest = [
        _plain("Before anybody goes in", BEFORE, tick=True),
        *_checks(entry),
        _plain("Monitor", MONITOR),
        _contact(entry),
        _plain("Implants and pregnancy", PEOPLE),
        _plain("Stop work", STOP_WORK),
        _plain("Rescue", RESCUE),
        *_signs(entry),
        _plain("What the figures take for granted", (*_assumed(entry), *ASSUMPTIONS)),
        _plain("Cautions", FULL),
    ]
    return Briefing(
        f"{_condition(entry)}{verdict_sentence(entry)}" if go else verdict_sentence(entry),
        go,
        entry.reasons if not go or len(entry.reasons) > 1 else (),
        _warnings(entry, raised),
        stops_table(entry),
        locks_table(entry),
        tuple(first),
        tuple(rest),
        signature_table(),
    )


def _condition(entry: Entry) -> str:
    """Return on what a go depends: emitters that are not as the site is filed."""
    set_anew = len(changed_emitters(entry))
    if not set_anew:
        return ""
    one = "emitter is" if set_anew == 1 else "emitters are"
    return f"NOT AS FILED, only once {set_anew} {one} set, locked and measured as listed. "


def _plain(heading: str, lines: Sequence[str], *, tick: bool = False) -> Part:
    return Part(heading, tuple(Line(text, tick=tick) for text in lines))


def _job(entry: Entry) -> Part:
    job, site = entry.job, entry.site
    limits = get_set(site.limit_set)
    lines = [
        Line(f"Window of time: {job.when or '____________________'}", heavy=True),
        Line(f"Crew held against: {limits.key} {limits.name_of(job.tier)}"),
    ]
    if job.crew:
        lines.append(Line(f"Crew: {job.crew}"))
    if job.work is not None:
        at = job.work
        place = (
            f"{at.ladder}, {at.heights[0]:g} to {at.heights[1]:g} m"
            if at.heights is not None
            else f"from {_xyz(at.low or ())} to {_xyz(at.high or ())} m"
        )
        lines.append(Line(f"Work: {place}"))
    if job.remark:
        lines.append(Line(job.remark))
    return Part("Job", tuple(lines))


def _warnings(entry: Entry, raised: tuple[str, ...]) -> Part | None:
    """Return unknown and unverified items, what is not counted and what is raised; all of it in bold."""
    site = entry.site
    lines = [*turned_up(entry), *(f"{words}." for words in raised)]
    lines += [f"NOT COUNTED: {line}." for line in uncounted(site)]
    lines += [words for a in site.antennas if (words := _unsure(a))]
    lines += [
        f"NOBODY TO CALL for {a.name}: find its owner before anybody goes."
        for a in changed_emitters(entry)
        if not told(a.contact)
    ]
    if entry.way is not None:
        lines += way_cautions(site, entry.way)
    if not site.conservative:
        lines.append("BEST ESTIMATE of the site: its figures can be low.")
    if not lines:
        return None
    return Part("Read this first", tuple(Line(text, heavy=True) for text in lines))


def _unsure(antenna: Antenna) -> str:
    name = antenna.name
    match antenna.state.condition:
        case Condition.UNKNOWN:
            return (
                f"UNKNOWN: nobody knows what {name} does; it counts at full power until verified."
            )
        case Condition.STANDBY:
            return (
                f"STAND-BY: {name} can come on by itself; it counts at full power until locked out."
            )
        case Condition.OFF:
            return (
                f"NOT LOCKED: {name} is off and counts as silent, but can come back. Lock it out."
            )
        case _:
            return ""


def _window(entry: Entry) -> Part:
    lines = []
    worst = entry.worst
    if worst is not None:
        of = f"{show_percent(worst.average)} of {entry.site.limit_set} {entry.job.tier}"
        clock = f"from {show_time(worst.start)} to {show_time(worst.end)} after the start"
        if worst.window is None:
            lines.append(Line(f"Peak on the way: {of}, {clock}. The rule gives no averaging time."))
        else:
            cut = ", if a stay is cut short" if worst.cut_short else ""
            lines.append(
                Line(f"Worst {show_time(worst.window)}: {of} on average{cut}, {clock}.", heavy=True)
            )
    if entry.work is not None:
        most = at_most(float(entry.work.occupational.max()))
        lines.append(Line(f"In the work volume {most} of {entry.site.limit_set} occupational."))
    lines.append(Line("Time keeper: ____________________"))
    return Part("Time", tuple(lines))


def _no_stop(entry: Entry) -> list[Part]:
    parts = []
    if entry.stretches:
        heading = f"{closed_words(entry)} (over {entry.site.limit_set} {entry.job.tier})"
        parts.append(Part(heading, tuple(Line(_where(s), heavy=True) for s in entry.stretches)))
    if entry.beyond:
        lines = tuple(Line(_where(s), heavy=True) for s in entry.beyond)
        parts.append(Part("Nobody goes here in the garment", lines))
    return parts


def _emitters(entry: Entry) -> Part:
    """Return every antenna by its number on the drawings, with what it does then and what it radiates."""
    found = sources(entry.site)
    lines = []
    for i, antenna in enumerate(entry.site.antennas, 1):
        carriers = ", ".join(
            f"{show_frequency(s.carrier.frequency)} {show_power(s.power) if s.power else 'silent'}"
            for s in found
            if s.antenna is antenna
        )
        lines.append(Line(f"{i} {antenna.name}: {antenna.state.words}; {carriers}"))
    return Part("Emitters by their number, average power radiated during the job", tuple(lines))


def closed_words(entry: Entry) -> str:
    """Return what the stretches of the way over the limit mean for the crew of an entry.

    Parameters
    ----------
    entry : Entry
        The entry.
    """
    if entry.verdict is Verdict.WITHIN:
        return "Only in the closed garment here"
    return "Nobody stops here"


def _where(stretch: Stretch) -> str:
    if stretch.ladder:
        low, high = sorted((stretch.start[2], stretch.end[2]))
        low, high = math.floor(10.0 * low) / 10.0, math.ceil(10.0 * high) / 10.0
        return f"{stretch.ladder}, {low:.1f} to {high:.1f} m: up to {show_percent(stretch.most)}"
    return (
        f"from {_xyz(stretch.start)} to {_xyz(stretch.end)} m: up to {show_percent(stretch.most)}"
    )


def _xyz(place: Sequence[float]) -> str:
    return ", ".join(f"{v:.4g}" for v in place)


def _garment(entry: Entry) -> list[Part]:
    garment, job = entry.garment, entry.job
    if garment is None:
        return [Part("Garment", (Line("None: no credit is taken for a garment."),))]
    looked = f"inspected {garment.inspected}" if garment.inspected else "NO INSPECTION ON RECORD"
    by = f" by {garment.inspected_by}" if garment.inspected_by else ""
    used = show_percent(most_use(entry, course(entry)))
    allowed = (
        f"{show_allowance(allowed_use(job.garment_margin))} allowed, {job.garment_margin:g} dB kept"
    )
    lines = [
        Line(f"{garment.name}: {entry.verdict.value}", heavy=True),
        Line(f"Card: {garment.source}. {'; '.join(b.words for b in garment.bands)}."),
        Line(f"{str(garment.condition).capitalize()}, {looked}{by}. Parts: {', '.join(garment.parts)}."),
        Line(f"Used to {used} of its rating; {allowed}."),
    ]  # fmt: skip
    if garment.wear:
        lines.append(Line(f"Rules of wear: {garment.wear}"))
    lines += [Line(f"Why not {control}: {reason}") for control, reason in job.higher_controls]
    return [Part("Garment", tuple(lines))]


def _checks(entry: Entry) -> list[Part]:
    if entry.garment is None:
        return []
    return [
        Part(
            "Before the garment is worn: each is ticked, or it does not count",
            tuple(
                Line(f"{text} ({t.words})" if t else text, tick=True, done=t is not None)
                for text, t in pre_use(entry.job)
            ),
        ),
        _plain("While it is worn", IN_THE_FIELD),
        _plain("It is not for", NOT_FOR),
    ]


def _metal(entry: Entry) -> tuple[str, ...]:
    """Return the ladders, ways in, fences, towers, masts and railings within reach of the way, by name."""
    site, way = entry.site, entry.way
    if way is None:
        return ()
    found = [place.stop.ladder for place in way.places if place.stop.ladder]
    ends = [p.position for p in way.places]
    ends += [end for leg in way.legs for p in leg.pieces for end in (p.start, p.end)]
    path = shapely.LineString([e[:2] for e in ends])
    low, high = min(e[2] for e in ends), max(e[2] for e in ends)
    for access in site.access_points:
        if path.distance(shapely.Point(access.position[:2])) <= _REACH:
            found.append(access.name)
    for one in site.structures:
        shape = shapely.MultiPoint(one.outline).convex_hull
        metal = one.kind in ("tower", "mast", "railing") and one.base <= high and one.top >= low
        if metal and path.distance(shape) <= _REACH:
            found.append(one.name)
    return tuple(dict.fromkeys(found))


def _contact(entry: Entry) -> Part:
    site = entry.site
    radiating = sources(site)
    found = contact_cautions(radiating, site.limit_set)
    lines = [Line(text, heavy=True) for text in found]
    in_band = [
        f"{s.antenna.name} ({show_frequency(s.carrier.frequency)})"
        for s in radiating
        if s.power > 0.0 and contact_current_caution(s.carrier.frequency) is not None
    ]
    if in_band:
        more = f" and {len(in_band) - 3} more of the list" if len(in_band) > 3 else ""
        lines.append(Line(f"In that band: {', '.join(in_band[:3])}{more}.", heavy=True))
        metal = _metal(entry)
        if metal:
            lines.append(
                Line(f"Metal that is touched on this way: {', '.join(metal)}.", heavy=True)
            )
    if not found:
        lines.append(Line("No emitter that radiates is in the band of contact-current limits."))
    return Part("Contact current and burns", (*lines, *(Line(text) for text in CONTACT)))


def _signs(entry: Entry) -> list[Part]:
    lines = []
    for sign in sign_schedule(entry.site):
        category = "" if sign.category is None else f"Category {sign.category.name.capitalize()}, "
        note = f" {sign.note}" if sign.note else ""
        lines.append(
            Line(f"{sign.access.name}: {category}{sign.word}. {sign.requires}{note}".strip())
        )
    return [Part("Signs and ways in, as set for the job", tuple(lines))] if lines else []


def _assumed(entry: Entry) -> tuple[str, ...]:
    site, job = entry.site, entry.job
    limits = get_set(site.limit_set)
    out = [
        f"{'Conservative estimate' if site.conservative else 'BEST ESTIMATE, can be low'}; {site.reflection.words}; "
        "calculated, not measured; modelled sources only; no shading counted.",
        f"Limits: {limits.title}. {limits.status}",
    ]
    if job.route is not None:
        climb, walk = 60.0 * job.route.climb_speed, 60.0 * job.route.walk_speed
        out.append(f"{climb:.3g} m a minute on ladders, {walk:.3g} m a minute elsewhere.")
    return tuple(out)


def text_of(sheet: Briefing) -> list[str]:
    """Return every text of a sheet.

    Parameters
    ----------
    sheet : Briefing
        The sheet.
    """
    parts = [*([sheet.warnings] if sheet.warnings else []), *sheet.first, *sheet.rest]
    tables = (sheet.stops, sheet.locks, sheet.signatures)
    return [
        sheet.verdict,
        *sheet.reasons,
        *(t for p in parts for t in (p.heading, *(line.text for line in p.lines))),
        *(t for one in tables for t in (one.heading, *one.head, *(c for row in one.rows for c in row))),
    ]  # fmt: skip
