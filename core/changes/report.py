"""A comparison as text a person can read aloud, and as plain data for other programs."""

from __future__ import annotations

from collections.abc import Iterator

import shapely
from shapely import MultiPolygon

from core.changes.comparison import Comparison
from core.changes.differences import differences
from core.changes.jobs import JobChange
from core.changes.people import AccessChange, FenceChange, sign_words
from core.changes.places import MOST
from core.changes.shares import RULE, Responsible, Rise
from core.changes.zones import LadderChange, Spans, ZoneChange
from core.exposure.fractions import REACTIVE_FRACTION
from core.fences.fence import Check
from core.reading.cautions import SHORT
from core.site.site import Site
from core.units import FOOT, show_length, show_percent

NOTHING = "nothing"
CHANGED = "What changed"
"""The heading of what two states differ in."""
_EDGES = "the edge moved within what it is exact to; the exposure did not {} there"
_AREA = 0.05
"""m² under which an area is said to be a hair."""


def sections(
    comparison: Comparison, *, feet: bool = False
) -> tuple[tuple[str, tuple[str, ...]], ...]:
    """Return the comparison as headings with their lines; parts with nothing in them are said so.

    Parameters
    ----------
    comparison : Comparison
        The comparison.
    feet : bool
        Lengths and areas in feet instead of metres.
    """
    c = comparison
    parts: tuple[tuple[str, list[str]], ...] = (
        (CHANGED, [d.words for d in (differences(c.before, c.after, feet=True) if feet else c.differences)]),
        ("Zones", [_zone(z, c, feet=feet) for z in c.zones]),
        ("Ladders", [_ladder(one, c, feet=feet) for one in c.ladders]),
        ("Ways in", [_access(a) for a in c.access]),
        ("Fences", [_fence(f, feet=feet) for f in c.fences]),
        ("Jobs", [_job(j) for j in c.jobs]),
        ("Newly over five percent of the limit", _shares(c, feet=feet)),
        ("Largest rises", [_rise(r, c, feet=feet) for r in c.rises]),
        ("To be known", [*(f"NEWLY NOT COUNTED: {n}" for n in c.newly_uncounted), *_sampled(c), *c.notes]),
    )  # fmt: skip
    return tuple((title, tuple(lines)) for title, lines in parts)


def _sampled(c: Comparison) -> list[str]:
    """Return what is looked for at places, where all else is proven."""
    if not c.differences:
        return []
    return [
        f"who is newly over five percent, and the largest rises, are looked for at up to {MOST} places of each surface "
        "and zone and not proven: between them there can be more"
    ]


def as_text(comparison: Comparison, *, feet: bool = False) -> str:
    """Return the whole comparison as text.

    Parameters
    ----------
    comparison : Comparison
        The comparison.
    feet : bool
        Lengths and areas in feet instead of metres.
    """
    lines = [heading(comparison), ""]
    for title, said in sections(comparison, feet=feet):
        lines.append(f"{title}: {NOTHING}" if not said else f"{title}:")
        lines += [f"  {line}" for line in said]
    lines += ["", verdict(comparison), SHORT]
    return "\n".join(lines) + "\n"


def heading(comparison: Comparison) -> str:
    """Return which states are compared, in one line.

    Parameters
    ----------
    comparison : Comparison
        The comparison.
    """
    ends = (comparison.before, comparison.after)
    names = [f"{s.name}, revision {s.edition}" if s.edition else s.name for s in ends]
    return f"{names[0]} → {names[1]}"


def verdict(comparison: Comparison) -> str:
    """Return in one sentence whether something got worse for people.

    Parameters
    ----------
    comparison : Comparison
        The comparison.
    """
    if comparison.worse:
        return "WORSE FOR PEOPLE: redo signs, fences and entry plans before the change is made."
    if not comparison.differences:
        return "Nothing changed."
    rises = " Some places rise, and stay under their limits." if comparison.rises else ""
    return f"No zone, span, way in or fence got worse for people.{rises}"


def _zone(z: ZoneChange, c: Comparison, *, feet: bool) -> str:
    said = [f"{z.step.label(_limits(c))}, {z.surface} at {show_length(z.height, feet=feet)}:"]
    if not z.gained.is_empty:
        edges = "" if z.rose else f" ({_EDGES.format('rise')})"
        said.append(f"gained {_area(z.gained, feet=feet)}{edges}")
    if not z.lost.is_empty:
        edges = "" if z.fell else f" ({_EDGES.format('fall')})"
        said.append(f"{'and ' if len(said) > 1 else ''}lost {_area(z.lost, feet=feet)}{edges}")
    return " ".join(said)


def _limits(c: Comparison) -> str:
    """Return the limit set that both states are held against, or that each has its own."""
    same = c.before.limit_set == c.after.limit_set
    return c.after.limit_set if same else "each limit set"


def _area(region: MultiPolygon, *, feet: bool) -> str:
    unit, scale = ("ft", FOOT) if feet else ("m", 1.0)
    largest = max(region.geoms, key=lambda p: p.area)
    x, y = shapely.get_coordinates(largest.representative_point())[0] / scale
    area = region.area / scale**2
    shown = f"{area:.1f}" if region.area >= _AREA else f"{area:.2g}"
    pieces = len(region.geoms)
    where = (
        f"about {x:.1f}, {y:.1f}"
        if pieces == 1
        else f"in {pieces} pieces, the largest about {x:.1f}, {y:.1f}"
    )
    return f"{shown} {unit}² {where}"


def _spans(spans: Spans, *, feet: bool) -> str:
    if not spans:
        return "free"
    return ", ".join(
        f"{show_length(low, feet=feet)} to {show_length(high, feet=feet)}" for low, high in spans
    )


def _has_ladder(site: Site, name: str) -> bool:
    return any(ladder.name == name for ladder in site.ladders)


def _spans_data(site: Site, name: str, spans: Spans) -> list[list[float]] | None:
    """Return spans as data; None where there is no such ladder, which is another thing than a free one."""
    return [list(s) for s in spans] if _has_ladder(site, name) else None


def _ladder(one: LadderChange, c: Comparison, *, feet: bool) -> str:
    edges = f" ({_EDGES.format('rise')})" if one.gained and not one.rose else ""
    was, now = (
        _spans(spans, feet=feet) if _has_ladder(site, name) else "not there"
        for site, name, spans in ((c.before, one.earlier, one.was), (c.after, one.ladder, one.now))
    )
    return f"{one.ladder}, {one.step.label(_limits(c))}: {was} → {now}{edges}"


def _access(a: AccessChange) -> str:
    worse = "WORSE: " if a.worse else ""
    return f"{worse}{a.name}: {sign_words(a.was)} → {sign_words(a.now)}"


def _fence(f: FenceChange, *, feet: bool) -> str:
    worse = "WORSE: " if f.worse else ""
    return f"{worse}{f.name}: {_check(f.was, feet=feet)} → {_check(f.now, feet=feet)}"


def _job(j: JobChange) -> str:
    worse = "WORSE: " if j.worse else ""
    why = f" ({'; '.join(j.now.reasons)})" if j.now.reasons else ""
    return f"{worse}{j.name}: {j.was.words} → {j.now.words}{why}"


def _check(check: Check | None, *, feet: bool) -> str:
    return "not there" if check is None else check.words(feet=feet)


def _at(place: tuple[float, float, float], *, feet: bool) -> str:
    x, y, z = (v / FOOT if feet else v for v in place)
    return f"at {x:.1f}, {y:.1f}, {z:.1f}{' ft' if feet else ' m'}"


def _shares(c: Comparison, *, feet: bool) -> list[str]:
    lines = [_share(r, c, feet=feet) for r in c.newly_responsible]
    return [*lines, f"Rule: {RULE}"] if lines else []


def _share(r: Responsible, c: Comparison, *, feet: bool) -> str:
    owner = f" ({r.owner})" if r.owner else ""
    other = "; it was so elsewhere already" if r.elsewhere else ""
    at = _at(r.place, feet=feet)
    key = f"{_limits(c)} {r.tier}"
    if r.reactive and r.now >= REACTIVE_FRACTION:
        return (
            f"{r.name}{owner}: newly inside its reactive region, no figure, {r.where} {at}{other}"
        )
    total = (
        "there is no figure for all together"
        if r.reactive
        else f"all together make {show_percent(r.total)}"
    )
    return (
        f"{r.name}{owner}: {show_percent(r.was)} → {show_percent(r.now)} of {key}, where {total}, "
        f"{r.where} {at}{other}"
    )


def _rise(r: Rise, c: Comparison, *, feet: bool) -> str:
    at = _at(r.place, feet=feet)
    if r.reactive:
        return (
            f"{r.where} {at}: newly inside a reactive region, no figure, treat as over every limit"
        )
    return f"{r.where} {at}: {show_percent(r.was)} → {show_percent(r.now)} of {_limits(c)} {r.tier}"


def as_data(comparison: Comparison) -> dict[str, object]:
    """Return the comparison as plain data; lengths in m, areas in m².

    Parameters
    ----------
    comparison : Comparison
        The comparison.
    """
    c = comparison
    return {
        "before": _site(c.before.name, c.before.edition, c.before.limit_set),
        "after": _site(c.after.name, c.after.edition, c.after.limit_set),
        "worse": c.worse,
        "differences": [
            {"what": d.what, "name": d.name, "from": d.was, "to": d.now} for d in c.differences
        ],
        "zones": [
            {
                "name": z.step.words,
                "tier": z.step.tier,
                "surface": z.surface,
                "height_m": z.height,
                "gained_m2": z.gained.area,
                "lost_m2": z.lost.area,
            }
            for z in c.zones
        ],
        "ladders": [
            {
                "name": one.ladder,
                "tier": one.step.key,
                "from_spans": _spans_data(c.before, one.earlier, one.was),
                "to_spans": _spans_data(c.after, one.ladder, one.now),
            }
            for one in c.ladders
        ],
        "access": [
            {"name": a.name, "category_before": sign_words(a.was), "category_after": sign_words(a.now)}
            for a in c.access
        ],
        "fences": [
            {"name": f.name, "holds_before": _holds(f.was), "holds_after": _holds(f.now)}
            for f in c.fences
        ],
        "jobs": [
            {"name": j.name, "verdict_before": j.was.words, "verdict_after": j.now.words}
            for j in c.jobs
        ],
        "newly_over_five_percent": list(_shares_data(c)),
        "largest_rises": list(_rises_data(c)),
        "newly_not_counted": list(c.newly_uncounted),
        "notes": list(c.notes),
        "caution": SHORT,
    }  # fmt: skip


def _site(name: str, revision: str, limit_set: str) -> dict[str, str]:
    return {"site": name, "revision": revision, "limit_set": limit_set}


def _holds(check: Check | None) -> bool | None:
    return None if check is None else check.holds


def _shares_data(c: Comparison) -> Iterator[dict[str, object]]:
    for r in c.newly_responsible:
        yield {
            "name": r.name,
            "owner": r.owner,
            "tier": r.tier,
            "where": r.where,
            "place": list(r.place),
            "percent_before": 100.0 * r.was,
            "percent_after": None if r.reactive and r.now >= REACTIVE_FRACTION else 100.0 * r.now,
            "total_percent_after": None if r.reactive else 100.0 * r.total,
            "reactive": r.reactive,
            "elsewhere_before": r.elsewhere,
            "rule": RULE,
        }


def _rises_data(c: Comparison) -> Iterator[dict[str, object]]:
    for r in c.rises:
        yield {
            "where": r.where,
            "tier": r.tier,
            "place": list(r.place),
            "percent_before": None if r.reactive else 100.0 * r.was,
            "percent_after": None if r.reactive else 100.0 * r.now,
            "reactive": r.reactive,
        }
