"""The crew's sheet: verdict, drawings, stops, locks, garment, practice, signatures on two sides of paper at most."""

from __future__ import annotations

import io
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from matplotlib.text import Text
from PIL import Image

from app.draw import glyphs, style
from app.draw.book import as_pdf, as_picture, check_format, numbered
from app.draw.brief_views import elevation_of, plan_of, zones_of
from app.draw.flow import Block, Entry, flow
from app.draw.furniture import GAP, Setup, Sheet, Title, Trial, room_of
from app.draw.map import MapView
from app.draw.paper import POINT, Box
from app.draw.route_art import draw_route
from app.draw.route_lines import WORK_DASH
from app.draw.ruled import draw_table, first_rows, table_height
from app.draw.symbols import dot, frame, stroke, symbol_key, zone_key
from app.draw.titles import title_of
from app.draw.words import LEADING, wrapped
from app.draw.zone_art import draw_zones
from core.entry.briefing import Briefing, Part, briefing, closed_words, text_of
from core.entry.entry import Entry as Planned
from core.entry.sheet_tables import Table
from core.errors import InputError
from core.files.atomic import write_file
from core.site.site import Site
from core.zones.site_zones import SiteZones

FORMATS = (".pdf", ".png")
SIZES = tuple(7.2 - 0.2 * i for i in range(12))
"""Points of the text, from the largest down to the least that is read at arm's length without trouble."""
BAND = 11.0
DRAWN = 0.42
"""mm: height of the verdict; part of the first side's width that the drawings take."""
PLAN = 0.46
"""Part of the drawings' height that the plan takes; the key stands below it."""
TICKS = 13.0, 10.0
_WORDS = 6.0
"""Points: words on drawings as small as these."""
_PHONE_PX = 1700


@dataclass(frozen=True, slots=True)
class Drawn:
    """What the drawings of a sheet show: their places on paper, N of their scales, views and zones."""

    boxes: tuple[Box, Box]
    scales: tuple[int, int]
    zones: tuple[SiteZones, SiteZones]


def save_brief(
    path: Path, entry: Planned, setup: Setup, mark: str, *, folder: Path | None = None
) -> None:
    """Write the sheet of a planned entry: a PDF, or a PNG with its sides one under the other.

    Parameters
    ----------
    path : Path
        The file.
    entry : Planned
        The planned entry.
    setup : Setup
        Paper, date and units.
    mark : str
        The fingerprint of the inputs.
    folder : Path or None
        Where the site's picture is.

    Raises
    ------
    InputError
        If the ending is another one, the sheet does not fit on two sides, or the file cannot be written.
    """
    ending = check_format(path, FORMATS)
    write_file(path, brief_bytes(brief_sheets(entry, setup, mark, folder=folder), ending))


def brief_bytes(sheets: Sequence[Sheet], ending: str) -> bytes:
    """Return the sides of a crew's sheet as a PDF, or as a PNG with one under the other.

    Parameters
    ----------
    sheets : sequence of Sheet
        As :func:`brief_sheets` makes them.
    ending : {".pdf", ".png"}
        Which of the two.
    """
    if ending == ".pdf":
        return as_pdf(sheets)
    sides = [
        Image.open(io.BytesIO(as_picture(s.figure, ".png", _PHONE_PX))).convert("RGB")
        for s in sheets
    ]
    whole = Image.new("RGB", (sides[0].width, sum(s.height for s in sides)), "white")
    y = 0
    for side in sides:
        whole.paste(side, (0, y))
        y += side.height
    buffer = io.BytesIO()
    # Few colours are used; a small file goes out to a phone.
    whole.quantize(128, dither=Image.Dither.NONE).save(buffer, "PNG", optimize=True)
    return buffer.getvalue()


def brief_sheets(
    entry: Planned, setup: Setup, mark: str, *, folder: Path | None = None
) -> tuple[Sheet, ...]:
    """Return the sides of a crew's sheet: two at most, and where lists are too long for them sides of their own.

    Parameters
    ----------
    entry, setup, mark, folder
        As :func:`save_brief`.

    Raises
    ------
    InputError
        If it does not fit on two sides.
    """
    said = briefing(entry)
    lost = glyphs.warning([*text_of(said), *_names(entry.site), entry.job.name])
    drawn = _drawn(entry, setup, said, lost)
    title = _title(entry, setup, mark, drawn)
    sides = _Sides(entry, said, setup, title, drawn, SIZES[-1], lost, folder)
    if sides.made(Trial) is None:
        sides = replace(sides, over=True)
    if sides.made(Trial) is None:
        raise InputError(
            "does not fit on two sides of paper",
            field=f'job "{entry.job.name}"',
            fix="Shorten texts, divide the job, or use --paper A3",
        )
    # The largest size that fits; what fits in one fits in every smaller one.
    large, small = -1, len(SIZES) - 1
    while small - large > 1:
        middle = (small + large) // 2
        fits = replace(sides, size=SIZES[middle]).made(Trial) is not None
        large, small = (large, middle) if fits else (middle, small)
    made = replace(sides, size=SIZES[small])
    sheets = made.made()
    assert sheets is not None
    # What takes longest is drawn once.
    made.draw(sheets[0])
    for sheet in numbered(sheets):
        for text in sheet.figure.findobj(Text):
            text.set_text(glyphs.printable(text.get_text()))
    return tuple(sheets)


def _names(site: Site) -> list[str]:
    groups = (site.surfaces, site.ladders, site.access_points, site.fences, site.antennas)
    return [site.name, site.revision, *(one.name for group in groups for one in group)]


def _title(entry: Planned, setup: Setup, mark: str, drawn: Drawn) -> Title:
    site, paper = entry.site, setup.paper.name
    upright, flat = drawn.scales
    whole = title_of(
        site,
        f"Crew briefing. Fingerprint of the inputs {mark}",
        replace(setup, job=entry.job.name),
        tier=entry.job.tier,
        view=drawn.zones[1].view,
    )
    return replace(
        whole,
        scale=f"elevation 1:{upright}, plan 1:{flat} on {paper}",
        body="whole body: climber 1 m below to 1 m above, walker 0 to 2 m; highest place counts",
    )


def _drawn(entry: Planned, setup: Setup, said: Briefing, lost: str) -> Drawn:
    """Return the views and zones; they do not depend on the size of the text."""
    room = room_of(setup.paper)
    width = DRAWN * room.width - GAP
    each = (width - GAP) / 2.0
    tall = room.height - BAND - _head_height(said, lost, room.width) - 3.0
    boxes = (
        Box(room.left + TICKS[0], room.low + TICKS[1], each - TICKS[0], tall - TICKS[1]),
        Box(
            room.left + each + GAP + TICKS[0],
            room.low + (1.0 - PLAN) * tall + TICKS[1],
            each - TICKS[0],
            PLAN * tall - TICKS[1],
        ),
    )
    upright, n_up = elevation_of(entry, boxes[0])
    flat, n_flat = plan_of(entry, boxes[1])
    return Drawn(
        boxes, (n_up, n_flat), (zones_of(entry, upright, n_up), zones_of(entry, flat, n_flat))
    )


def _head_lines(said: Briefing, lost: str) -> list[tuple[str, bool]]:
    """Return what stands under the verdict, and whether it is in bold."""
    told = [r for r in said.reasons if r not in said.verdict]
    lines = [(f"Why: {'; '.join(told)}.", False)] if told else []
    if said.warnings is not None:
        lines += [(line.text, True) for line in said.warnings.lines]
    return [*lines, *([(lost, True)] if lost else [])]


def _head_height(said: Briefing, lost: str, width: float, size: float = SIZES[3]) -> float:
    """Return the height in mm of what stands under the verdict, in a width in mm."""
    rows = sum(
        len(wrapped(text, size, width / POINT, heavy=heavy, broken=True))
        for text, heavy in _head_lines(said, lost)
    )
    return rows * size * LEADING * POINT + 2.3


def _way_swatch(sheet: Sheet, box: Box) -> None:
    stroke(style.PIN, 1.8)(sheet, box)
    dot("s", style.PIN)(sheet, box)


@dataclass(frozen=True, slots=True)
class _Sides:
    """Both sides, made with text of one size; ``over`` gives tables that are too long sides of their own."""

    entry: Planned
    said: Briefing
    setup: Setup
    title: Title
    drawn: Drawn
    size: float
    lost: str
    folder: Path | None
    over: bool = False

    def made(self, kind: type[Sheet] = Sheet) -> list[Sheet] | None:
        """Return the sides with all their words, or None where something does not fit."""
        first, second = (kind(self.setup.paper, self.title) for _ in range(2))
        top = self._head(first)
        rest = self._beside(first, top)
        if rest is None or (rest[1] and not self.over) or self._second(second, rest[0]):
            return None
        return [first, second, *self._lists(kind, rest[1])]

    def _head(self, sheet: Sheet) -> float:
        """Write the verdict, why, and what must be read first; return where it ends, mm."""
        room, said = sheet.room, self.said
        band = Box(room.left, room.top - BAND, room.width, BAND)
        sheet.box(band, width=1.6, fill=style.PAPER if said.is_go else style.INK)
        colour = style.INK if said.is_go else style.PAPER
        inside = Box(band.left + 2.0, band.low + 0.6, band.width - 4.0, band.height - 1.8)
        sheet.write_in(said.verdict, inside, most=15.0, heavy=True, colour=colour)
        y = band.low - 0.8
        size = self.size
        for text, heavy in _head_lines(said, self.lost):
            for row in wrapped(text, size, room.width / POINT, heavy=heavy, broken=True):
                y -= size * LEADING * POINT
                sheet.write(row, room.left, y + 0.3 * size * POINT, size=size, heavy=heavy)
        return y - 1.5

    def draw(self, sheet: Sheet) -> None:
        """Draw the elevation and the plan on the first side."""
        for box, zones in zip(self.drawn.boxes, self.drawn.zones, strict=True):
            view = MapView(sheet.axes(box), self.folder)
            view.feet = self.setup.feet
            view.notes.size = _WORDS
            view.axes.tick_params(labelsize=6)
            view.show_site(self.entry.site, zones.view)
            for axis in (view.axes.xaxis, view.axes.yaxis):
                axis.label.set_fontsize(6.2)
            draw_route(view, self.entry, zones.view)
            # So small a drawing has no room for the names of zones; its key has them.
            draw_zones(view.axes, zones)

    def _beside(self, sheet: Sheet, top: float) -> tuple[list[Block], list[Table]] | None:
        """Write stops, locks and the first parts beside the drawings; return parts and tables that go over the page."""
        room = sheet.room
        left = room.left + DRAWN * room.width + GAP
        beside = Box(left, room.low, room.right - left, top - room.low)
        plan_box = self.drawn.boxes[1]
        under = Box(
            plan_box.left - TICKS[0] + 2.0,
            room.low,
            plan_box.width + TICKS[0] - 2.0,
            plan_box.low - TICKS[1] - room.low - 1.0,
        )
        if self.drawn.boxes[0].top > top:
            return None
        over = list(flow(sheet, [under], [self._key()]))
        y = beside.top
        later: list[Table] = []
        for table in (self.said.stops, self.said.locks):
            height = table_height(table, beside.width, self.size)
            if y - height < beside.low or (self.over and table is self.said.locks):
                later.append(table)
                y -= self.size * LEADING * POINT
                words = f"{table.heading}: on a side of its own"
                sheet.write(words, left, y, size=self.size + 1.2, heavy=True)
                y -= GAP
                continue
            y = (
                draw_table(sheet, Box(left, y - height, beside.width, height), table, self.size)
                - GAP
            )
        half = (beside.width - GAP) / 2.0
        height = y - beside.low
        columns = [
            Box(left + i * (half + GAP), beside.low, half, height) for i in range(2) if height > 8.0
        ]
        parts = self._blocks([*self.said.first, *self.said.rest])
        return [*over, *flow(sheet, columns, parts)], later

    def _second(self, sheet: Sheet, before: Sequence[Block]) -> Sequence[Block]:
        """Write the rest and the signatures; return what does not fit."""
        room, table = sheet.room, self.said.signatures
        height = table_height(table, room.width, self.size)
        draw_table(sheet, Box(room.left, room.low, room.width, height), table, self.size)
        low = room.low + height + GAP
        third = (room.width - 2.0 * GAP) / 3.0
        columns = [Box(room.left + i * (third + GAP), low, third, room.top - low) for i in range(3)]
        return flow(sheet, columns, before)

    def _lists(self, kind: type[Sheet], tables: Sequence[Table]) -> list[Sheet]:
        """Write tables on sides of their own, as many rows on each as it has room for."""
        sheets: list[Sheet] = []
        width, top = room_of(self.setup.paper).width, 0.0
        for table in tables:
            left = table
            while left.rows:
                one = table_height(replace(left, rows=left.rows[:1]), width, self.size)
                if not sheets or top - one < sheets[-1].room.low:
                    sheets.append(kind(self.setup.paper, self.title))
                    top = sheets[-1].room.top
                room = sheets[-1].room
                part = first_rows(left, width, top - room.low, self.size)
                height = table_height(part, width, self.size)
                box = Box(room.left, top - height, width, height)
                draw_table(sheets[-1], box, part, self.size)
                top -= height + GAP
                left = replace(left, rows=left.rows[len(part.rows) :])
        return sheets

    def _blocks(self, parts: Sequence[Part]) -> list[Block]:
        return [
            Block(
                heading=part.heading,
                size=self.size + 1.2,
                entries=tuple(
                    Entry(
                        text=f"{'☑' if line.done else '☐'} {line.text}" if line.tick else line.text,
                        heavy=line.heavy,
                        size=self.size,
                        apart=0.07 * self.size,
                    )
                    for line in part.lines
                ),
            )
            for part in parts
        ]

    def _key(self) -> Block:
        """Return the key of both drawings."""
        site, upright = self.entry.site, self.drawn.zones[0]
        found = [
            Entry(
                text="way of the crew, its stops by their number in the table", swatch=_way_swatch
            ),
        ]
        if self.entry.job.work is not None:
            found.append(Entry(text="work volume", swatch=frame(style.PIN, 1.6, WORK_DASH)))
        if self.entry.stretches or self.entry.beyond:
            found.append(
                Entry(
                    text=f"{closed_words(self.entry).lower()} (over {site.limit_set} {self.entry.job.tier})",
                    swatch=stroke(style.INK, 7.0, alpha=0.35),
                )
            )
        if site.surveys:
            found.append(Entry(text="reading of a survey", swatch=dot("x", style.INK)))
            found.append(
                Entry(text="raised about a reading", swatch=frame(style.PIN, 1.8, (0, (1.5, 1.5))))
            )
        # What the zones mean stands beside them; if anything goes over the page it is the furniture of a map.
        found += zone_key(upright, site.limit_set)
        found += [e for zones in self.drawn.zones for e in symbol_key(site, zones.view)]
        unique = {e.text: replace(e, size=self.size - 0.8, apart=0.8, tall=3.4) for e in found}
        return Block(
            heading="Key of the drawings", entries=tuple(unique.values()), size=self.size + 1.2
        )
