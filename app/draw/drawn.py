"""A view on sheets: the map at a true scale, its insets, its key, and what has to be read with it."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path

from app.draw import insets, layout, style
from app.draw.flow import Block, Entry, flow
from app.draw.furniture import GAP, NO_DRAWING, NO_PLAN, Setup, Sheet
from app.draw.map import MapView
from app.draw.paper import Box
from app.draw.symbols import frame, symbol_key
from app.draw.text_sheets import columns_of, rest_sheets
from app.draw.titles import (
    assumption_block,
    caution_block,
    emitter_block,
    title_of,
    warning_block,
)
from core.fences.fence import Check
from core.site.site import Site
from core.views.views import PlanView, View

_INSET_SHEET = 75.0
"""mm: least side of an inset on a sheet of its own."""
_LEAST_WORDS = 30.0
"""mm: lower paper is not written on."""


def _none(_: int) -> list[layout.Bounds]:
    return []


@dataclass(frozen=True, slots=True, kw_only=True)
class Subject:
    """What is drawn on a sheet.

    Attributes
    ----------
    site : Site
    view : PlanView or ElevationView
    what, tier : str
        For the title block.
    paint : callable
        Puts the shading or the zones on a map; it is called for the map and for every inset.
    key : tuple of Block
        What the shading or the zones mean.
    notes : tuple of str
        What must be read first.
    checks : mapping of str to Check
        The checks of the fences, by name.
    small : callable
        Called with the N of the map's scale; returns bounds of what is too small to see.
    folder : Path or None
        Where the site's picture is.
    full : bool
        The emitters, assumptions and cautions are printed too.
    """

    site: Site
    view: View
    what: str
    tier: str
    paint: Callable[[MapView], None]
    key: tuple[Block, ...] = ()
    notes: tuple[str, ...] = ()
    checks: Mapping[str, Check] = field(default_factory=dict)
    small: Callable[[int], list[layout.Bounds]] = _none
    folder: Path | None = None
    full: bool = True


def drawn_sheets(subject: Subject, setup: Setup) -> list[Sheet]:
    """Return the sheet of a subject, then sheets of insets and words that it has no room for.

    Raises
    ------
    InputError
        If a scale that was asked for does not fit the paper.
    """
    bounds = subject.view.bounds
    what = "the plan" if isinstance(subject.view, PlanView) else "the elevation"
    plan = layout.laid(setup, bounds, what)
    groups = subject.small(plan.scale)
    if groups:
        plan = layout.laid(setup, bounds, what, len(groups))
        groups = subject.small(plan.scale)
    title = title_of(
        subject.site, subject.what, setup, tier=subject.tier, view=subject.view, scale=plan.scale
    )
    sheet = Sheet(setup.paper, title)
    _map(sheet, plan.map, subject, subject.view, setup)
    beside = insets.placed(groups, list(plan.insets))
    later = _inset_sheets(subject, setup, groups[len(beside) :], len(beside))
    for inset in beside:
        _inset(sheet, inset, subject, setup)
    for inset in (*beside, *(i for _, some in later for i in some)):
        insets.mark(sheet, plan.map, bounds, plan.scale, inset)
    rest = flow(sheet, plan.columns, _blocks(subject, setup, insets=bool(groups)))
    for one, some in later:
        rest = flow(one, _under(one, some), rest)
    return [
        sheet,
        *(one for one, _ in later),
        *rest_sheets(replace(title, scale=NO_DRAWING, north=NO_PLAN), setup.paper, rest),
    ]


def _map(sheet: Sheet, box: Box, subject: Subject, view: View, setup: Setup) -> MapView:
    """Draw a view into a rectangle that has its scale."""
    drawn = MapView(sheet.axes(box), subject.folder)
    drawn.feet, drawn.checks = setup.feet, dict(subject.checks)
    drawn.show_site(subject.site, view)
    subject.paint(drawn)
    return drawn


def _inset(sheet: Sheet, inset: insets.Inset, subject: Subject, setup: Setup) -> None:
    view = insets.narrowed(subject.view, inset.bounds)
    drawn = _map(sheet, inset.box, subject, view, setup)
    # The scale bar and the scale over it say how large it is; numbers have no room.
    drawn.axes.set_xticks([])
    drawn.axes.set_yticks([])
    drawn.axes.set_xlabel("")
    drawn.axes.set_ylabel("")
    insets.head(sheet, inset, feet=setup.feet)


def _inset_sheets(
    subject: Subject, setup: Setup, groups: Sequence[layout.Bounds], first: int
) -> list[tuple[Sheet, list[insets.Inset]]]:
    """Return sheets that are full of insets, with the insets on each."""
    sheets = []
    left = list(groups)
    while left:
        title = title_of(
            subject.site, f"Insets; {subject.what}", setup, tier=subject.tier, view=subject.view
        )
        sheet = Sheet(setup.paper, replace(title, scale="noted at each inset"))
        cells = layout.grid(sheet.room, len(left), _INSET_SHEET)
        placed = insets.placed(left, cells, first)
        for inset in placed:
            _inset(sheet, inset, subject, setup)
        sheets.append((sheet, placed))
        first += len(placed)
        left = left[len(placed) :]
    return sheets


def _under(sheet: Sheet, some: Sequence[insets.Inset]) -> list[Box]:
    """Return columns for words on what insets leave free below them."""
    room = sheet.room
    tall = min(i.box.low for i in some) - GAP - room.low
    if tall < _LEAST_WORDS:
        return []
    return columns_of(Box(room.left, room.low, room.width, tall))


def _blocks(subject: Subject, setup: Setup, *, insets: bool) -> list[Block]:
    site = subject.site
    symbols = symbol_key(site, subject.view, checks=subject.checks, feet=setup.feet)
    if insets:
        mark = Entry(
            text="A, B, C …: drawn larger in the inset of that letter, at the scale over it",
            swatch=frame(style.PIN, 1.0),
        )
        symbols = (mark, *symbols)
    blocks = [*warning_block(site, subject.notes), *subject.key]
    blocks.append(Block(heading="Symbols", entries=symbols))
    if subject.full:
        blocks += [emitter_block(site), assumption_block(site), caution_block(site)]
    return [b for b in blocks if b.entries]
