"""The validation report: what was held against what, how far off, and on which side."""

from __future__ import annotations

import math
from collections.abc import Iterable

from core.validation import dish_field, families, low, published
from core.validation.case import PUBLISHED, Case
from core.validation.data import load
from core.validation.document import Section, Table, markdown
from core.validation.fields import free, medium_wave
from core.validation.kinds import LOWEST_DB
from core.validation.spread import DistanceTable, Row, Span
from core.validation.suite import GROUPS, cases, every_case, misses, tables

DEEPEST_DB = -60.0
"""Deeper than this nothing is told apart: the null of an ideal array."""

SUMMARY = (
    ("stacks of dipole bays", ("stack",)),
    ("sector panels", ("panel",)),
    ("panels on the faces of a mast", ("panel-ring",)),
    ("beam-steering panels", ("beam-array",)),
    ("antennas known by a pattern", ("pattern",)),
    ("Yagis", ("yagi",)),
    ("whips", ("whip",)),
    ("wire dipoles, with and without ground", ("hf-dipole",)),
    ("AM masts, E and H each on its own", ("am-mast, E", "am-mast, H")),
    ("dishes, across the beam", ("dish",)),
)
"""What the summary calls a kind, and the keys of its rows."""

NOT_COVERED = (
    "Height that clears a beam (1.8 m + 1.6 R in a transceiver manual): the maps answer that, no formula does.",
    "Time averages (3 min on, 3 min off; 90 s at four times the limit): no model averages over time. Limits carry "
    "their averaging time, a carrier its duty, and exposure is taken as continuous.",
    "Spatial mean by the cylinder formulas of FCC OET Bulletin 65 (from memory): not used; arms and elements are "
    "summed instead, and the exact means beside a collinear stack are in the table of stacks.",
    "Distance tables of FCC OET Bulletin 65 Supplement A and of ITU-R BS.1698, figures of its sections 2 and 4: not "
    "seen in print; the AM distances here were computed for this project instead.",
    "Guys, feed lines, walls, two surfaces at once, wide towers and monopoles, real soil near a mast, ice, people: in "
    "no reference here.",
)


def summary() -> tuple[Section, ...]:
    """Return the short part: counts, one row a kind, and whatever missed."""
    found, failed = every_case(), misses()
    printed = sum(case.status == PUBLISHED for case in found)
    rows = [row for table in tables() for row in table.rows]
    points = sum(row.count for row in rows)
    verdict = (
        "All of them are within what is allowed."
        if not failed
        else f"{len(failed)} are not within what is allowed: " + "; ".join(failed) + "."
    )
    words = (
        f"{len(found)} single values ({printed} of them published, the others computed for this project) and "
        f"{len(rows)} rows of reference fields ({points} comparisons). {verdict}",
        "Error of S, the larger of E²/377 and 377 H², in dB: minus is low, plus is high. Points within 20 dB of the "
        "largest of their set and outside the kind's trust distance. Nearer than that there is no figure.",
        f"Known to be more than {LOWEST_DB:g} dB low: {'; '.join(known_low()) or 'nothing'}.",
    )
    return (
        Section(
            title="How far the models are from the truth",
            level=1,
            paragraphs=words,
            tables=(summary_table(),),
        ),
    )


def known_low() -> tuple[str, ...]:
    """Return what is lower than a conservative figure may be and yet allowed, with the reason's place."""
    rows = [
        f"{row.kind}, {row.antenna} ({row.low:+.1f} dB, not checked)"
        for table in (
            free(conservative=True),
            medium_wave(conservative=True),
            dish_field.beams(conservative=True),
            families.by_distance(conservative=True),
        )
        for row in table.rows
        if row.low < -LOWEST_DB
    ]
    reflections = [
        f"{case.title}: {case.inputs}, {case.quantity} ({case.difference_db:+.1f} dB)"
        for case in cases(published.SUMS)
        if case.difference_db < -LOWEST_DB
    ]
    return (*rows, *reflections)


def summary_table() -> Table:
    """Return one row a kind: lowest and highest error, without and with what every reading adds."""
    rows = []
    for words, keys in SUMMARY:
        spans = [
            _extremes(_rows_of(keys, conservative=conservative)) for conservative in (False, True)
        ]
        if "hf-dipole" in keys:
            spans = [_joined(spans[0], "best estimate"), _joined(spans[1], "S, conservative")]
        rows.append((words, *(_decibels(value) for span in spans for value in span)))
    return Table(
        head=("kind of antenna", "best estimate: lowest", "highest", "as shown: lowest", "highest"),
        rows=tuple(rows),
        numeric=frozenset({1, 2, 3, 4}),
    )


def _rows_of(keys: tuple[str, ...], *, conservative: bool) -> list[Row]:
    every = (
        free(conservative=conservative),
        medium_wave(conservative=conservative),
        dish_field.beams(conservative=conservative),
        families.by_distance(conservative=conservative),
    )
    # A row that stands for no real antenna is shown in its table, not here.
    return [
        row
        for table in every
        for row in table.rows
        if row.kind in keys and not (row.kind == "dish" and "evenly" in row.antenna)
    ]


def _extremes(rows: list[Row]) -> Span:
    return min(row.low for row in rows), max(row.high for row in rows)


def _joined(span: Span, words: str) -> Span:
    """The span with the single values of the wire dipoles over real ground."""
    found = [c.difference_db for c in cases(low.WIRES_GROUP) if c.quantity.endswith(words)]
    return min(span[0], *found), max(span[1], *found)


def document() -> tuple[Section, ...]:
    """Return the whole report."""
    sources = _Sources()
    groups = [_group(name, sources) for name in GROUPS]
    return (
        *summary(),
        _reading(),
        Section(
            title="Reference fields",
            paragraphs=(
                "Antennas, all of them invented, computed with a general-purpose thin-wire method of moments: perfect "
                "conductors, 1 kW radiated. Each cell is the lowest / the highest error in dB of the points at that "
                "distance from the nearest metal.",
                *_accuracy(),
            ),
        ),
        *(_distance(table) for table in tables()),
        *groups,
        Section(title="Not covered", paragraphs=tuple(f"* {words}" for words in NOT_COVERED)),
        Section(
            title="Sources",
            paragraphs=("P: published. C: computed for this project.",),
            tables=(sources.table(),),
        ),
    )


def summary_markdown() -> str:
    """Return the short part as markdown."""
    return markdown(summary())


def as_markdown() -> str:
    """Return the whole report as markdown."""
    return markdown(document())


def _reading() -> Section:
    return Section(
        title="How to read it",
        paragraphs=(
            "dB: ours over the truth, as power: 10 log of a power ratio, 20 log of a field or a distance (the power "
            "density moves that much), a difference where both are in dB. Side: high, low, or level (within 0.005 dB).",
            "Allowed: how far ours may lie below and above. Any: no promise on that side, because a conservative "
            "figure may be high. Published values carry their printed rounding.",
            "Conservative is what every map and every reading shows: with the decibels and the floors that each "
            "reading names. Best estimate is the same model without them.",
        ),
    )


def _accuracy() -> tuple[str, ...]:
    """How good the references themselves are: the largest change on refining or with a second solver."""
    names = {
        "dipole-100mhz": "dipole", "stack-4x-1.0wl-freespace": "4 dipoles", "stack-12x-1.0wl-freespace": "12 dipoles",
        "stack-8x-0.5wl-freespace": "8 dipoles", "stack-8x-0.5wl-ground": "8 dipoles over ground",
        "turnstile-1bay-98mhz": "turnstile", "slant-ring-4bay-98mhz": "rings", "panel-450mhz-grid": "panel",
        "panel-450mhz-image": "panel with endless reflector", "yagi-150mhz": "Yagi",
    }  # fmt: skip
    parts = []
    for name, words in names.items():
        worst = max(
            max(b["E_max_db"], b["H_max_db"]) for a in load(name)["accuracy"] for b in a["bins"]
        )
        parts.append(f"{words} {worst:.1f}" if worst >= 0.05 else f"{words} under 0.1")
    return (
        "How far the references themselves move, in dB at the most, when they are refined or a second solver is "
        f"used: {', '.join(parts)}; masts H under 0.1, E 0.1 from 5 m, 0.3 at 2 m, 0.6 at 1 m.",
    )


class _Sources:
    """Numbers for sources, in the order in which they are met."""

    def __init__(self) -> None:
        self._known: dict[tuple[str, str], str] = {}

    def key(self, case: Case) -> str:
        found = (case.status, case.source)
        if found not in self._known:
            letter = "P" if case.status == PUBLISHED else "C"
            self._known[found] = f"{letter}{len(self._known) + 1}"
        return self._known[found]

    def table(self) -> Table:
        rows = tuple((key, source) for (_, source), key in self._known.items())
        return Table(head=("", "source"), rows=rows)


def _group(name: str, sources: _Sources) -> Section:
    head = (
        "case",
        "inputs",
        "quantity",
        "truth",
        "ours",
        "unit",
        "dB",
        "side",
        "allowed dB",
        "",
        "source",
    )
    rows = tuple(_repeats_blank(_row(case, sources) for case in cases(name)))
    return Section(title=name, tables=(Table(head=head, rows=rows, numeric=frozenset({3, 4, 6})),))  # fmt: skip


def _row(case: Case, sources: _Sources) -> tuple[str, ...]:
    return (
        case.title,
        case.inputs,
        case.quantity,
        f"{case.expected + 0.0:.6g}",
        _number(case),
        case.unit,
        _signed(case.difference_db, 2),
        case.side,
        _allowed(case.tolerance_db_low, case.tolerance_db_high),
        _verdict(passed=case.passed, low_db=case.tolerance_db_low, high_db=case.tolerance_db_high),
        sources.key(case),
    )


def _repeats_blank(rows: Iterable[tuple[str, ...]]) -> Iterable[tuple[str, ...]]:
    """Write a case's title once."""
    last = None
    for row in rows:
        yield ("" if row[0] == last else row[0], *row[1:])
        last = row[0]


def _distance(table: DistanceTable) -> Section:
    head = ("kind", "antenna", "points", "lowest", "highest", "allowed dB", "", *table.ranges)
    rows = tuple(
        (
            row.kind,
            row.antenna,
            str(row.count),
            _decibels(row.low),
            _decibels(row.high),
            _allowed(row.allowed_low, row.allowed_high),
            _verdict(passed=row.passed, low_db=row.allowed_low, high_db=row.allowed_high),
            *("" if s is None else f"{_decibels(s[0])}/{_decibels(s[1])}" for s in row.spans),
        )
        for row in table.rows
    )
    about = f"{table.about} Distances in {table.unit}."
    numeric = frozenset({2, 3, 4, *range(7, len(head))})
    return Section(
        title=table.title,
        level=3,
        paragraphs=(about,),
        tables=(Table(head=head, rows=rows, numeric=numeric),),
    )


def _number(case: Case) -> str:
    """Ours with as many digits as stay the same everywhere."""
    if case.law == "level":
        return _signed(case.ours, 3).removeprefix("+")
    return f"{case.ours + 0.0:.5g}"


def _signed(value: float, digits: int) -> str:
    text = f"{value:+.{digits}f}"
    return text[1:] if float(text) == 0.0 else text


def _decibels(value: float) -> str:
    return f"<{DEEPEST_DB:.0f}" if value < DEEPEST_DB else _signed(value, 1)


def _verdict(low_db: float, high_db: float, *, passed: bool) -> str:
    """Nothing where nothing is promised: such a row is only shown."""
    if not passed:
        return "MISS"
    return "" if math.isinf(low_db) and math.isinf(high_db) else "ok"


def _allowed(low_db: float, high_db: float) -> str:
    if math.isinf(low_db) and math.isinf(high_db):
        return "any"
    below = "any" if math.isinf(low_db) else f"-{low_db:.2g}" if low_db else "0"
    above = "any" if math.isinf(high_db) else f"+{high_db:.2g}"
    # A relative tolerance is a little wider below than above.
    if abs(low_db - high_db) <= 0.05 * min(low_db, high_db):
        return f"±{max(low_db, high_db):.2g}"
    return f"{below}/{above}"
