"""Which part of a site a place on a map means. No Qt."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely
from shapely import Polygon

from app.draw.part_art import part_lines
from core.fences.outlines import Place
from core.site.parts import Part, Shape, part_of
from core.site.places import AccessPoint, Ladder, Structure, Surface
from core.site.site import Site
from core.site.surfaces import surface_shape
from core.views.views import View

_TOGETHER = 0.3
"""Part of the reach within which antennas are at one place for a mouse: one over another on the same mast."""


def antennas_at(site: Site, view: View, place: Place, reach: float) -> list[int]:
    """Return the antennas that a place on a map means: the nearest one within ``reach`` m, and those drawn over it."""
    if not site.antennas:
        return []
    away = np.hypot(
        *(view.to_view(np.array([a.position for a in site.antennas])) - np.array(place)).T
    )
    nearest = float(away.min())
    if nearest > reach:
        return []
    return [
        int(i) for i in np.argsort(away, kind="stable") if away[i] <= nearest + _TOGETHER * reach
    ]


def next_chosen(here: Sequence[int], chosen: Sequence[int], *, adds: bool) -> list[int]:
    """Return the antennas that are chosen after a click, the current one first.

    A click on antennas ``here``, drawn over each other, chooses the first, and every further click the next. One that
    ``adds`` leaves the others chosen; where all of them are chosen it takes the first away.
    """
    if not adds:
        at = next((n for n, i in enumerate(here) if list(chosen) == [i]), -1)
        return [here[(at + 1) % len(here)]]
    fresh = next((i for i in here if i not in chosen), None)
    if fresh is not None:
        return [fresh, *chosen]
    return [i for i in chosen if i != here[0]] or list(chosen)


def under(site: Site, place: Place, reach: float) -> Part | None:
    """Return the part of a site that a place on the plan means.

    The nearest point or line within ``reach`` m (what is small or stands before what lies), else the highest, then
    smallest surface or structure it is in.
    """
    best: tuple[float, Part] | None = None
    inside: list[tuple[float, float, Part]] = []
    at = shapely.Point(place)
    shapes: tuple[Shape, ...] = (
        *site.access_points, *site.ladders, *site.structures, *site.surfaces,
    )  # fmt: skip
    for shape in shapes:
        if isinstance(shape, AccessPoint):
            line: shapely.Geometry = shapely.Point(shape.position[:2])
        elif isinstance(shape, Ladder):
            line = shapely.LineString([p[:2] for p in shape.points])
        elif isinstance(shape, Structure) and shape.kind in Structure.LINES:
            line = shapely.LineString(shape.outline)
        elif isinstance(shape, Surface | Structure):
            area = (
                surface_shape(shape)
                if isinstance(shape, Surface)
                else shapely.make_valid(Polygon(shape.outline))
            )
            line = area.boundary
            top = shape.height if isinstance(shape, Surface) else shape.top
            if area.covers(at):
                inside.append((-top, area.area, part_of(shape)))
        else:
            continue
        away = line.distance(at)
        if away <= reach and (best is None or away < best[0] - 0.25 * reach):
            best = (away, part_of(shape))
    if best is not None:
        return best[1]
    return min(inside, key=lambda one: one[:2])[2] if inside else None


def upright(site: Site, view: View, place: Place, reach: float) -> Part | None:
    """Return the part of a site that a place on an elevation means.

    The nearest line within ``reach`` m, else the lowest and narrowest structure whose box it is in.
    """
    best: tuple[float, Part] | None = None
    inside: list[tuple[float, Part]] = []
    at = shapely.Point(place)
    # A surface comes before what stands on it: its line is the lower edge of that too.
    shapes: tuple[Shape, ...] = (
        *site.access_points, *site.ladders, *site.surfaces, *site.structures,
    )  # fmt: skip
    for shape in shapes:
        for line in part_lines(shape, view):
            drawn = shapely.LineString(line) if len(line) > 1 else shapely.Point(line[0])
            away = drawn.distance(at)
            if away <= reach and (best is None or away < best[0] - 0.25 * reach):
                best = (away, part_of(shape))
            if isinstance(shape, Structure):
                box = shapely.box(*drawn.bounds)
                inside += [(box.area, part_of(shape))] if box.covers(at) else []
    if best is not None:
        return best[1]
    return min(inside, key=lambda one: one[0])[1] if inside else None
