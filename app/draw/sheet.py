"""What is on screen as sheets of paper: shading, or proven zones, as a whole and one corner a sheet."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from pathlib import Path

import shapely

from app.draw import style
from app.draw.book import save_sheets
from app.draw.drawn import Subject, drawn_sheets
from app.draw.flow import Block, Entry
from app.draw.furniture import Setup, Sheet
from app.draw.insets import narrowed, small_groups
from app.draw.layout import Bounds, laid
from app.draw.lines import Lines, refined_lines
from app.draw.map import MapView
from app.draw.symbols import line_key, shade_key, zone_key
from app.draw.tables import (
    caution_section,
    fence_sections,
    reading_blocks,
    reading_sections,
    sign_sections,
)
from app.draw.text_sheets import rest_sheets, text_sheets
from app.draw.titles import tier_name, title_of, where
from core.exposure.raster import Raster
from core.fences.fence import Check
from core.limits.sets import get_set
from core.limits.tier import Tier
from core.reading.data import Reading
from core.reading.provisos import provisos
from core.reading.signs import SignLine
from core.site.site import Site
from core.site.terraces import DROP
from core.units import show_length
from core.views.body import STANDING
from core.views.views import PlanView, View
from core.views.words import body_words
from core.zones.site_zones import SiteZones

Pin = tuple[float, float]
"""A pinned place, in view coordinates, m."""
_DOOR = 1.5
"""m around a piece of a zone on a sheet of its own."""
_APART = 3.0
"""m within which pieces of a zone share a sheet."""
_CORNER = 15.0
"""m: what lies together and is larger is no corner of a roof."""


def save_map(
    path: Path,
    site: Site,
    raster: Raster,
    *,
    tier: Tier,
    contours: Sequence[float],
    setup: Setup | None = None,
    folder: Path | None = None,
    width_px: int = 1600,
) -> str:
    """Write a map of a raster as PNG, SVG or PDF, by the file's ending; return what a picture leaves out.

    Raises
    ------
    InputError
        If the ending is another one, the scale does not fit, or the file cannot be written.
    """
    lines = refined_lines(site, raster, tier, contours)
    sheets = map_sheets(
        site, raster, tier=tier, contours=contours, lines=lines, setup=setup, folder=folder
    )
    return save_sheets(path, sheets, width_px=width_px)


def check_fit(view: View, setup: Setup) -> None:
    """Refuse a scale at which a view does not fit the paper, before anything is computed.

    Raises
    ------
    InputError
        If it does not fit.
    """
    laid(setup, view.bounds, "the plan" if isinstance(view, PlanView) else "the elevation")


def map_sheets(
    site: Site,
    raster: Raster,
    *,
    tier: Tier,
    contours: Sequence[float],
    lines: Lines | None = None,
    setup: Setup | None = None,
    folder: Path | None = None,
    checks: Mapping[str, Check] | None = None,
    pin: Pin | None = None,
) -> list[Sheet]:
    """Return the sheets of a shaded map.

    Parameters
    ----------
    site : Site
        The site.
    raster : Raster
        What is shaded.
    tier : {"public", "occupational"}
        Whose limit.
    contours : sequence of float
        Percents at which lines are drawn.
    lines : tuple, optional
        The lines, where they are known better than from the raster.
    setup : Setup, optional
        Paper, scale, job, date, units.
    folder : Path, optional
        Where the site's picture is.
    checks : mapping of str to Check, optional
        The checks of the fences, by name.
    pin : (u, v), optional
        A place that is marked.

    Raises
    ------
    InputError
        If a scale that was asked for does not fit the paper.
    """
    setup = setup or Setup()
    limits = get_set(site.limit_set)

    def paint(view: MapView) -> None:
        view.show_raster(raster, tier, contours, lines)
        _pin(view, pin)

    drawn = [p for p in contours if lines is None or any(q == p and some for q, some in lines)]
    shading = Block(
        heading=f"Percent of the {limits.key} {limits.name_of(tier)} limit", entries=shade_key()
    )
    key = [shading]
    rows = line_key(drawn, reactive=bool(raster.reactive.any()))
    if rows:
        key.append(Block(heading="Lines", entries=rows))
    subject = Subject(
        site=site,
        view=raster.view,
        what=f"Percent of the limit; {where(site, raster.view, feet=setup.feet)}",
        tier=tier_name(site, tier),
        paint=paint,
        key=tuple(key),
        checks=checks or {},
        folder=folder,
    )
    return drawn_sheets(subject, setup)


def zone_sheets(
    site: Site,
    zones: SiteZones,
    *,
    setup: Setup | None = None,
    folder: Path | None = None,
    checks: Mapping[str, Check] | None = None,
    pin: Pin | None = None,
    what: str = "Proven zones",
) -> list[Sheet]:
    """Return the sheets of proven zones, pieces that are too small to see in insets.

    Parameters
    ----------
    site : Site
        The site.
    zones : SiteZones
        What is drawn.
    setup, folder, checks, pin
        As :func:`map_sheets`.
    what : str
        What is on the sheet, for the title block.

    Raises
    ------
    InputError
        If a scale that was asked for does not fit the paper.
    """
    setup = setup or Setup()
    view = zones.view

    def small(scale: int) -> list[Bounds]:
        return small_groups(zones, view.bounds, scale)

    subject = _of_zones(site, zones, view, f"{what}; {where(site, view, feet=setup.feet)}")
    subject = replace(
        subject, folder=folder, checks=checks or {}, small=small, paint=_painter(site, zones, pin)
    )
    return drawn_sheets(subject, setup)


def door_sheets(
    site: Site, zones: SiteZones, *, setup: Setup | None = None, folder: Path | None = None
) -> list[Sheet]:
    """Return a sheet for each corner of a site that has a piece of a zone, to hang at its door.

    Parameters
    ----------
    site : Site
        The site.
    zones : SiteZones
        What is drawn; pieces of the outermost zone that lie together share a sheet.
    setup, folder
        As :func:`map_sheets`.

    Raises
    ------
    InputError
        If a scale that was asked for does not fit the paper.
    """
    setup = setup or Setup()
    corners = _corners(zones)
    sheets: list[Sheet] = []
    for i, bounds in enumerate(corners, 1):
        view = narrowed(zones.view, bounds)
        what = f"Corner {i} of {len(corners)}; proven zones, {where(site, view, feet=setup.feet)}"
        subject = _of_zones(site, zones, view, what)
        short = replace(subject, folder=folder, full=False, key=subject.key[:1])
        sheets += drawn_sheets(short, setup)
    return sheets


def sign_sheets(
    site: Site, lines: Sequence[SignLine], *, setup: Setup | None = None
) -> list[Sheet]:
    """Return the sheets of the sign schedule.

    Parameters
    ----------
    site : Site
        The site.
    lines : sequence of SignLine
        What each way in needs.
    setup : Setup, optional
        Paper, job, date, units.
    """
    setup = setup or Setup()
    title = title_of(site, "Sign schedule", setup, body=body_words(STANDING, feet=setup.feet))
    sections = sign_sections(lines, site.limit_set, provisos(site), feet=setup.feet)
    sections.append(caution_section())
    return text_sheets(title, setup.paper, sections)


def reading_sheets(site: Site, reading: Reading, *, setup: Setup | None = None) -> list[Sheet]:
    """Return the sheets of one reading.

    Parameters
    ----------
    site : Site
        The site.
    reading : Reading
        What one place shows.
    setup : Setup, optional
        Paper, job, date, units.
    """
    setup = setup or Setup()
    x, y, z = (show_length(c, feet=setup.feet) for c in reading.position)
    what = f"Reading at x {x}, y {y}, z {z}"
    title = title_of(site, what, setup, body=reading.height_rule)
    sheets = text_sheets(title, setup.paper, reading_sections(reading, feet=setup.feet))
    return [*sheets, *rest_sheets(title, setup.paper, reading_blocks(reading))]


def fence_sheets(
    site: Site,
    zones: SiteZones | None,
    checks: Mapping[str, Check],
    *,
    setup: Setup | None = None,
    folder: Path | None = None,
    drop: float = DROP,
) -> list[Sheet]:
    """Return the sheets of the fences of a site: the plan with what they hold back and their leaks, then a list.

    Parameters
    ----------
    site : Site
        The site.
    zones : SiteZones or None
        What the fences on the plan hold back; None where there is no such fence.
    checks : mapping of str to Check
        Their checks, by name.
    setup, folder
        As :func:`map_sheets`.
    drop : float
        Least difference of height that counts as an edge, m.

    Raises
    ------
    InputError
        If a scale that was asked for does not fit the paper.
    """
    setup = setup or Setup()
    sheets = []
    if zones is not None:
        sheets += zone_sheets(
            site, zones, setup=setup, folder=folder, checks=checks, what="Fences and proven zones"
        )
    title = title_of(
        site, "Fences", setup, body=body_words(STANDING, feet=setup.feet), tier="as listed"
    )
    sections = fence_sections(site, checks, drop=drop, feet=setup.feet)
    return [*sheets, *text_sheets(title, setup.paper, sections)]


def _corners(zones: SiteZones) -> list[Bounds]:
    """Return the bounds of what lies together of the outermost zone, as far as the view goes; largest first.

    Where that is too large to be a corner, the corners of the next zone in it follow.
    """
    frame = shapely.box(*zones.view.bounds)
    regions = [zone.region for _, zone in zones.zones]
    found = []
    for bounds in _together(regions[0], frame):
        found.append(bounds)
        if len(regions) > 1 and max(bounds[2] - bounds[0], bounds[3] - bounds[1]) > _CORNER:
            found += _together(regions[1], frame.intersection(shapely.box(*bounds)))
    return list(dict.fromkeys(found))


def _together(region: shapely.Geometry, frame: shapely.Geometry) -> list[Bounds]:
    """Return the bounds of groups of pieces in a frame, with some room about them; largest first."""
    shown = region.intersection(frame)
    groups = []
    for part in shapely.get_parts(shapely.buffer(shown, _APART / 2.0)):
        held = part.intersection(shown)
        if held.area > 0.0:
            groups.append((held.area, held.buffer(_DOOR, join_style="mitre").bounds))
    return [tuple(float(x) for x in b) for _, b in sorted(groups, reverse=True)]  # type: ignore[misc]


def _of_zones(site: Site, zones: SiteZones, view: View, what: str) -> Subject:
    tiers = list(dict.fromkeys(step.tier for step, _ in zones.zones))
    exact = [
        *dict.fromkeys(f"{zone.message[0].upper()}{zone.message[1:]}." for _, zone in zones.zones)
    ]
    return Subject(
        site=site,
        view=view,
        what=what,
        tier=tier_name(site, tiers[0]) if len(tiers) == 1 else " and ".join(tiers),
        paint=_painter(site, zones, None),
        key=(
            Block(heading="Zones", entries=zone_key(zones, site.limit_set)),
            Block(
                heading="How exact the zones are",
                entries=tuple(Entry(text=text) for text in exact),
            ),
        ),
        notes=zones.notes,
    )


def _painter(site: Site, zones: SiteZones, pin: Pin | None) -> Callable[[MapView], None]:
    def paint(view: MapView) -> None:
        view.show_zones(zones, site.limit_set)
        _pin(view, pin)

    return paint


def _pin(view: MapView, pin: Pin | None) -> None:
    if pin is not None:
        view.axes.plot(*pin, "+", ms=16, mew=2.2, color=style.PIN, zorder=20)
