"""A traced line and the answers to what was asked, made into shapes of a site. No Qt."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from shapely import LineString, Point, Polygon

from app.modes.shape_kinds import ShapeKind
from core.errors import InputError
from core.fences.outlines import Outline, Place, fence_outline
from core.site.moving import check_width, square, tidy
from core.site.parts import Part, free_name, part_of, with_added, with_value
from core.site.places import AccessPoint, Ladder, Structure, Surface, check_coordinate
from core.site.roofs import NEAR, with_roof
from core.site.site import Site
from core.site.surfaces import standing_on, surface_shape

_DIGITS = 6


def outline_of(kind: ShapeKind, corners: Outline) -> Outline:
    """Return traced corners as a shape of the kind can have them.

    Raises
    ------
    InputError
        If they are too few, or the line of a closed shape crosses itself.
    """
    if kind.trace == "outline":
        return fence_outline(corners, "shape", _DIGITS)
    least = {"line": 2, "climb": 2, "pair": 2}.get(kind.trace, 1)
    if len(corners) < least:
        raise InputError(
            f"a {kind.title.lower()} of {len(corners)} point{'s' * (len(corners) != 1)}",
            fix=f"Give it at least {least} points",
        )
    return corners


_TOUCHING = 0.05
"""m from an edge at which a way in is in the wall there."""


def foot_of(site: Site, kind: ShapeKind, corners: Outline) -> float:
    """Return the height in m of what is below a traced shape: its middle, or the first place of a line.

    A wall that runs along the edge of a roof, a little past it or not, stands on it. A door at the foot of a wall
    leads to what is before it, and not onto the roof over it.
    """
    if kind.trace == "outline":
        inner = Polygon(corners).representative_point()
        return standing_on(site, float(inner.x), float(inner.y))[0]
    if kind.trace == "line":
        line = LineString(corners)
        held = [s.height for s in site.surfaces if surface_shape(s).buffer(NEAR).covers(line)]
        return max([*held, standing_on(site, *corners[0])[0]])
    if kind.kind == "door":
        at = Point(corners[0])
        roofs = [s for s in site.surfaces if surface_shape(s).boundary.distance(at) <= _TOUCHING]
        around = [s.height for s in roofs for roof in roofs if roof.outline in s.holes]
        if around:
            return max(around)
    return standing_on(site, *corners[0])[0]


def stem_of(kind: ShapeKind, site: Site) -> str:
    """Return what a new shape of a kind is called where nobody says."""
    return free_name(site, kind.group, kind.title)


def check_answer(site: Site, kind: ShapeKind, corners: Outline, name: str, value: Any) -> None:
    """Refuse an answer that no shape traced like this can have, while it can be mended.

    Raises
    ------
    InputError
        If it cannot be used.
    """
    if name == "width":
        check_width(value)
    if name in ("top", "height"):
        check_coordinate(value, name)
    if name == "top" and value <= (foot := foot_of(site, kind, corners)):
        raise InputError(
            f"{value:g} m is not above its foot at {foot:g} m",
            field=name,
            fix="Write +3 for 3 m above it",
        )


def made(
    site: Site,
    kind: ShapeKind,
    corners: Outline,
    heights: tuple[float, ...],
    answers: Mapping[str, Any],
) -> tuple[Site, Part]:
    """Return the site with a new shape, and which part of it that is.

    Parameters
    ----------
    site : Site
    kind : ShapeKind
    corners : outline
        What was traced, m.
    heights : tuple of float
        The height of each place of a climb, and of a place where one was typed, m.
    answers : mapping
        What was answered, by the name of each ask: SI, and text.

    Raises
    ------
    InputError
        If there can be no such shape.
    """
    line = outline_of(kind, corners)
    if kind.key == "hole":
        return _holed(site, line)
    name = str(answers["name"])
    if kind.group == "surfaces":
        new = Surface(name=name, kind=kind.kind, height=answers["height"], outline=line)
        return with_added(site, new), part_of(new)
    if kind.group == "ladders":
        points = tuple((x, y, z) for (x, y), z in zip(line, heights, strict=True))
        ladder = Ladder(name=name, points=points)
        return with_added(site, ladder), part_of(ladder)
    foot = foot_of(site, kind, line)
    if kind.group == "access_points":
        at = heights[0] if heights else foot
        way = AccessPoint(name=name, kind=kind.kind, position=(*line[0], at))
        return with_added(site, way), part_of(way)
    outline = square(line[0], answers["width"]) if kind.trace == "place" else line
    structure = Structure(name=name, kind=kind.kind, outline=outline, base=foot, top=answers["top"])
    changed = with_added(site, structure)
    if kind.roofed:
        changed = with_roof(changed, structure)
    return changed, part_of(structure)


def _holed(site: Site, line: Outline) -> tuple[Site, Part]:
    """Return the site with a hole in the highest surface that it lies in."""
    area = Polygon(line)
    under = [s for s in site.surfaces if surface_shape(s).covers(area)]
    if not under:
        raise InputError(
            "the hole lies in no surface", fix="Draw it wholly inside one that is drawn already"
        )
    whole = max(under, key=lambda s: s.height)
    return with_value(site, part_of(whole), replace(whole, holes=(*whole.holes, line))), part_of(
        whole
    )


def rounded(place: Place) -> Place:
    """Return a place of the mouse: whole millimetres, as nobody clicks finer."""
    return tidy(round(place[0], 3)), tidy(round(place[1], 3))
