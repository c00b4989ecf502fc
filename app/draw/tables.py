"""What is printed as text and tables: the sign schedule, a reading, fences."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from app.draw.flow import Block, lines_of
from core.fences.fence import Check
from core.fences.site_fences import chain
from core.limits.sets import get_set
from core.reading.cautions import FULL
from core.reading.data import Reading, SourceLine
from core.reading.provisos import provisos
from core.reading.report import margin_words
from core.reading.signs import SignLine
from core.site.site import Site
from core.site.terraces import DROP
from core.units import FOOT, show_frequency, show_length, show_percent, show_power
from core.validation.document import Section, Table


def sign_sections(
    lines: Sequence[SignLine], limit_set: str, first: Sequence[str] = (), *, feet: bool = False
) -> list[Section]:
    """Return the sign schedule: what has to be read ``first``, one table, then what each sign has to say."""
    key = get_set(limit_set).key
    rows = []
    for line in lines:
        x, y, z = line.access.position
        where = ", ".join(show_length(c, feet=feet) for c in (x, y, z))
        percent = [
            "no figure" if line.reading.reactive else show_percent(t.total)
            for t in (line.reading.public, line.reading.occupational)
        ]
        category = "no verdict" if line.category is None else line.category.name.capitalize()
        rows.append(
            (
                line.access.name,
                line.access.kind,
                "yes" if line.access.public else "no",
                where,
                category,
                line.word,
                line.colour or "none",
                *percent,
            )
        )
    head = (
        "Way in", "Kind", "Open to the public", "At x, y, z", "Category", "Sign word", "Colour",
        f"% of {key} public", f"% of {key} occupational",
    )  # fmt: skip
    said = "The site has no way in on its list: nothing is said of signs."
    if lines:
        said = "A standing body at each way in; the spatial peak over the body counts."
    sections = [
        Section(
            title="Sign schedule",
            paragraphs=(*(f"{line}." for line in first), said),
            tables=(Table(head=head, rows=tuple(rows), numeric=frozenset((7, 8))),) if rows else (),
        )
    ]
    for line in lines:
        paragraphs = [line.requires, *(f"* {text}" for text in line.content)]
        paragraphs += [line.note, f"Source: {line.source}" if line.source else ""]
        sections.append(
            Section(
                title=f"{line.access.name}: {line.word}",
                paragraphs=tuple(p for p in paragraphs if p),
                level=3,
            )
        )
    return sections


def reading_sections(reading: Reading, *, feet: bool = False) -> list[Section]:
    """Return a reading: the verdict, both tiers, the table of shares, then reasons an emitter at a time."""
    key = reading.limit_set.key
    x, y, z = (show_length(c, feet=feet) for c in reading.position)
    rule = f"{reading.height_rule[:1].upper()}{reading.height_rule[1:]}."
    first = [f"At x {x}, y {y}, z {z}. {rule}", reading.verdict]
    if reading.warning:
        first.append(f"NOTE: {reading.warning}.")
    if reading.if_back is not None:
        first.append(f"NOTE: {reading.if_back.words(key)}")
    if reading.span is not None:
        first.append(reading.span.words(key))
    average = any(line.peak is not None for line in (reading.public, reading.occupational))
    head = ["Against", "Percent", "Margin", "What would bring it down"]
    if average:
        head.insert(3, "Highest place of this average")
    tiers = []
    for line in (reading.public, reading.occupational):
        row = [
            f"{key} {line.name}",
            "no figure" if reading.reactive else show_percent(line.total),
            "treat as over the limit" if reading.reactive else margin_words(line),
            line.fix,
        ]
        if average:
            row.insert(3, "" if line.peak is None else show_percent(line.peak))
        tiers.append(tuple(row))
    totals = Table(head=tuple(head), rows=tuple(tiers), numeric=frozenset((1,)))
    emitters = sorted(reading.emitters, key=lambda e: -e.public)
    shares = Table(
        head=(
            "Emitter", "Frequency", "Radiated now", "State", "% public", "% occupational",
            "E, V/m", "H, A/m", "S, W/m²", "Away",
        ),
        rows=tuple(_share(e, feet=feet) for e in emitters),
        numeric=frozenset(range(4, 9)),
    )  # fmt: skip
    return [
        Section(title="Reading", paragraphs=tuple(first), tables=(totals,)),
        Section(
            title="Emitters, largest share first",
            paragraphs=() if emitters else ("There is no emitter on the list.",),
            tables=(shares,) if emitters else (),
            level=3,
        ),
    ]


def reading_blocks(reading: Reading) -> list[Block]:
    """Return what a reading assumes, its cautions, and its reasons an emitter at a time."""
    emitters = sorted(reading.emitters, key=lambda e: -e.public)
    assumed = (f"Estimate: {reading.estimate}.", *reading.assumptions)
    return [
        Block(heading="Assumptions", entries=lines_of(assumed)),
        Block(heading="Cautions", entries=lines_of(reading.cautions)),
        *(_reasons(e) for e in emitters if e.power),
    ]


def _share(e: SourceLine, *, feet: bool) -> tuple[str, ...]:
    if not e.power:
        return (e.name, show_frequency(e.frequency), "0 W", e.state, "0 %", "0 %", "", "", "", "")
    if e.reactive:
        figures = ("no figure", "no figure", "", "", "")
    else:
        figures = (
            show_percent(e.public), show_percent(e.occupational), f"{e.e:.3g}", f"{e.h:.3g}", f"{e.s:.3g}",
        )  # fmt: skip
    away = show_length(e.distance, feet=feet)
    return (e.name, show_frequency(e.frequency), show_power(e.power), e.state, *figures, away)


def _reasons(e: SourceLine) -> Block:
    lines = []
    for tier, limit in e.limits.items():
        lines.append(
            f"{tier} limit: none at this frequency"
            if limit is None
            else f"{tier} limit: {limit.text}, averaging {limit.averaging} ({limit.source}; {limit.status})"
        )
    lines.append(f"model: {e.model} [{e.source}]; {e.trust}")
    if e.added_db:
        lines.append(f"added because the model can be low: {e.added_db:g} dB")
    lines += [e.reflection, *e.power_words, *e.assumptions]
    return Block(heading=f"Reasons: {e.name}", entries=lines_of(lines))


def fence_sections(
    site: Site, checks: Mapping[str, Check], *, drop: float = DROP, feet: bool = False
) -> list[Section]:
    """Return the fences of a site as a list, with what each holds back, takes, and what its check said.

    Parameters
    ----------
    site : Site
        The site.
    checks : mapping of str to Check
        Their checks by name; what no fence touches stands under a name of its own.
    drop : float
        Least difference of height that counts as an edge, m.
    feet : bool
        Lengths in feet.
    """
    unit, scale = ("ft", FOOT) if feet else ("m", 1.0)
    rows, corners = [], []
    for fence in site.fences:
        check = checks.get(fence.name)
        said = "not checked" if check is None else check.words(feet=feet)
        holds = f"{100.0 * fence.threshold:g} % of {site.limit_set} {fence.tier}"
        if fence.outline:
            takes = chain(site, fence, drop).words(feet=feet)
            rows.append((fence.name, holds, str(len(fence.outline)), takes, said))
            places = "; ".join(f"{x / scale:.2f}, {y / scale:.2f}" for x, y in fence.outline)
            corners.append((fence.name, places))
        else:
            spans = ", ".join(f"{a / scale:.1f} to {b / scale:.1f} {unit}" for a, b in fence.stops)
            rows.append((fence.name, holds, "", f"no stop on {fence.ladder} from {spans}", said))
    known = {f.name for f in site.fences}
    rows += [
        (name, "", "", "", check.words(feet=feet))
        for name, check in checks.items()
        if name not in known
    ]
    tables = []
    if rows:
        head = ("Fence", "Holds back", "Corners", "Takes", "Check")
        tables.append(Table(head=head, rows=tuple(rows), numeric=frozenset((2,))))
    if corners:
        tables.append(Table(head=("Fence", f"Corners x, y in {unit}"), rows=tuple(corners)))
    drops = show_length(drop, feet=feet)
    edges = f"Edges are drops of {drops} or more." if rows else "The site has no fence."
    paragraphs = (*(f"{line}." for line in provisos(site)), edges)
    return [
        Section(title="Fences", paragraphs=paragraphs, tables=tuple(tables)),
        caution_section(),
    ]


def caution_section() -> Section:
    """Return the cautions that stand wherever a figure is printed."""
    return Section(title="Cautions", paragraphs=tuple(f"* {text}" for text in FULL), level=3)
