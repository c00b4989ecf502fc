"""Ladders on paper: one strip each, heights at a true scale, with the proven spans of every zone, and a table."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from matplotlib.patches import Rectangle

from app.draw import style
from app.draw.flow import Block, Entry, flow
from app.draw.furniture import GAP, Setup, Sheet, room_of
from app.draw.layout import COLUMN
from app.draw.paper import Box, chosen_scale
from app.draw.placing import nice_length
from app.draw.symbols import frame
from app.draw.text_sheets import columns_of, rest_sheets, text_sheets
from app.draw.titles import (
    assumption_block,
    caution_block,
    emitter_block,
    title_of,
    warning_block,
)
from core.site.site import Site
from core.units import FOOT
from core.validation.document import Section, Table
from core.views.body import CLIMBING
from core.views.words import body_words
from core.zones.climbing import Spans, left_free
from core.zones.ladders import LadderZone, closed_spans, show_height
from core.zones.steps import Step

STRIP = 46.0
"""mm of paper for one ladder."""
_BAR = 9.0
"""mm: width of the bar of one zone."""
_TICKS = 12.0
_HEAD = 9.0
_FOOT = 4.0


@dataclass(frozen=True, slots=True)
class _Strip:
    """One ladder with the closed spans of each zone, from the outside in."""

    name: str
    foot: float
    top: float
    zones: tuple[tuple[Step, Spans, bool], ...]


def ladder_sheets(
    site: Site, found: Sequence[tuple[Step, LadderZone]], *, setup: Setup | None = None
) -> list[Sheet]:
    """Return the sheets of a site's ladders.

    Parameters
    ----------
    site : Site
        The site.
    found : sequence of (Step, LadderZone)
        The proven spans of every ladder, as :func:`core.zones.site_zones.ladder_zones` gives them.
    setup : Setup, optional
        Paper, scale, job, date, units.

    Raises
    ------
    InputError
        If a scale that was asked for does not fit the paper.
    """
    setup = setup or Setup()
    strips = _strips(site, found, feet=setup.feet)
    room = room_of(setup.paper)
    area = Box(room.left, room.low, room.width - COLUMN - GAP, room.height)
    low = min((s.foot for s in strips), default=0.0)
    high = max((s.top for s in strips), default=1.0)
    tall = Box(0.0, 0.0, STRIP, area.height - _HEAD - _FOOT)
    scale = chosen_scale(0.0, high - low, tall, setup.scale, "the ladders' height")
    body = body_words(CLIMBING, feet=setup.feet)
    what = "Ladders: spans of heights that are in a zone, proven, for a climber"
    title = title_of(site, what, setup, body=body, scale=scale if strips else None)
    each = max(1, int((area.width - _TICKS) / STRIP))
    sheets, rest = [], tuple(_blocks(site, found, setup))
    for first in range(0, max(len(strips), 1), each):
        sheet = Sheet(setup.paper, title)
        some = strips[first : first + each]
        used = _TICKS + STRIP * len(some)
        _heights(sheet, area, low, high, scale, feet=setup.feet)
        for i, strip in enumerate(some):
            left = area.left + _TICKS + i * STRIP
            _strip(sheet, Box(left, area.low + _FOOT, STRIP, area.height), strip, low, scale, setup)
        columns = columns_of(Box(area.right + GAP, room.low, COLUMN, room.height), COLUMN)
        spare = Box(area.left + used + GAP, room.low, area.width - used - GAP, room.height)
        if spare.width > 0.8 * COLUMN:
            columns = [*columns_of(spare, COLUMN), *columns]
        rest = flow(sheet, columns, rest)
        sheets.append(sheet)
    words = title_of(site, what, setup, body=body)
    return [
        *sheets,
        *rest_sheets(words, setup.paper, rest),
        *text_sheets(words, setup.paper, [_table(site, strips, feet=setup.feet)]),
    ]


def _strips(site: Site, found: Sequence[tuple[Step, LadderZone]], *, feet: bool) -> list[_Strip]:
    strips = []
    for ladder in site.ladders:
        heights = [p[2] for p in ladder.points]
        zones = tuple(
            (step, closed_spans(one.intervals, feet=feet), one.complete)
            for step, one in found
            if one.ladder == ladder.name
        )
        strips.append(_Strip(ladder.name, min(heights), max(heights), zones))
    return strips


def _heights(sheet: Sheet, area: Box, low: float, high: float, scale: int, *, feet: bool) -> None:
    """Draw round heights to the left of the strips."""
    unit = FOOT if feet else 1.0
    step = nice_length(max((high - low) / unit, 1e-3) / 5.0) * unit
    at, right = step * -(-low // step), area.left + _TICKS
    while at <= high + 1e-9:
        y = area.low + _FOOT + 1000.0 * (at - low) / scale
        sheet.line(right - 1.8, y, right, y)
        sheet.write(f"{at / unit:g}", right - 2.5, y - 0.9, size=7.0, ha="right")
        at += step
    top = area.low + _FOOT + 1000.0 * (high - low) / scale
    sheet.write("ft" if feet else "m", right - 2.5, top + 2.5, size=7.0, ha="right")


def _strip(sheet: Sheet, box: Box, strip: _Strip, low: float, scale: int, setup: Setup) -> None:
    mm = 1000.0 / scale
    bottom, top = (box.low + (h - low) * mm for h in (strip.foot, strip.top))
    sheet.write_in(
        strip.name, Box(box.left, top + 1.0, STRIP - 2.0, _HEAD - 1.5), most=8.0, heavy=True
    )
    sheet.ink.add_patch(
        Rectangle((box.left, bottom), _BAR, top - bottom, fc=style.PAPER, ec=style.INK, lw=1.0)
    )
    marks: list[float] = []
    for step, spans, _ in strip.zones:
        width, dash = style.ZONE_LINES[step.key]
        for start, end in spans:
            a, b = (min(max(h, strip.foot), strip.top) for h in (start, end))
            sheet.ink.add_patch(
                Rectangle(
                    (box.left, box.low + (a - low) * mm), _BAR, (b - a) * mm,
                    fc=style.ZONE_FILLS[step.key], ec=style.INK, hatch=style.ZONE_HATCHES[step.key],
                    lw=width, ls=dash,
                )
            )  # fmt: skip
            marks += [a, b]
    marks += [strip.foot, strip.top]
    _numbers(sheet, box, sorted(set(marks)), low, mm, feet=setup.feet)


def _numbers(
    sheet: Sheet, box: Box, heights: Sequence[float], low: float, mm: float, *, feet: bool
) -> None:
    """Write heights beside a strip, pushed apart where they are close, each tied to its place."""
    line, x = 3.1, box.left + _BAR
    places: list[float] = []
    for height in heights:
        y = box.low + (height - low) * mm
        places.append(max(y, places[-1] + line) if places else y)
    # What was pushed over the top goes back down.
    most = box.low + (heights[-1] - low) * mm + 1.0
    for i in reversed(range(len(places))):
        places[i] = min(places[i], most)
        most = places[i] - line
    for height, at in zip(heights, places, strict=True):
        y = box.low + (height - low) * mm
        sheet.line(x + 0.5, y, x + 5.0, at, width=0.4)
        sheet.write(show_height(height, feet=feet), x + 5.8, at - 0.9, size=7.0)


def _blocks(site: Site, found: Sequence[tuple[Step, LadderZone]], setup: Setup) -> list[Block]:
    steps = list(dict.fromkeys(step for step, _ in found))
    loose = [f"{one.ladder}, {step.words}: the search met its ceiling, the spans are wider than they have to be"
             for step, one in found if not one.complete]  # fmt: skip
    key = [
        Entry(
            text=f"{step.label(site.limit_set)}: {step.meaning}",
            swatch=frame(
                style.INK, *style.ZONE_LINES[step.key], fill=style.ZONE_FILLS[step.key],
                hatch=style.ZONE_HATCHES[step.key],
            ),
        )
        for step in steps
    ]  # fmt: skip
    key.append(
        Entry(
            text="outside every zone, by proof. A gap that is too short to stay in is closed",
            swatch=frame(style.INK, 1.0),
        )
    )
    return [
        *warning_block(site, tuple(loose)),
        Block(heading="Zones on a ladder", entries=tuple(key)),
        emitter_block(site),
        assumption_block(site),
        caution_block(site),
    ]


def _table(site: Site, strips: Sequence[_Strip], *, feet: bool) -> Section:
    rows = []
    for strip in strips:
        first = strip.name
        for step, spans, complete in strip.zones:
            rows.append(
                (
                    first,
                    step.label(site.limit_set),
                    _said(spans, feet=feet) or "nowhere",
                    _said(left_free(spans, strip.foot, strip.top), feet=feet) or "nowhere",
                    "proven" if complete else "proven, met its ceiling",
                )
            )
            first = ""
    if not rows:
        return Section(title="Ladders", paragraphs=("The site has no ladder.",))
    head = ("Ladder", "Zone", "A climber is in it from", "Outside it from", "How sure")
    heights = (
        "Heights are in m or ft above the site datum, those of the middle of a climber's body."
    )
    return Section(
        title="Spans of heights",
        paragraphs=(heights,),
        tables=(Table(head=head, rows=tuple(rows)),),
    )


def _said(spans: Spans, *, feet: bool) -> str:
    return ", ".join(
        f"{show_height(low, feet=feet)} to {show_height(high, feet=feet)}" for low, high in spans
    )
