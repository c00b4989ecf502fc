"""What in the drawing of a site cannot be as it is drawn: said by the name of the thing it is about.

How near is near is common practice, no source; no figure uses it.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import shapely

from core.arrays import Floats
from core.reading.doubt import Doubt, of_antenna
from core.site.places import AccessPoint, Ladder, Structure
from core.site.site import Antenna, Site
from core.site.surfaces import surface_shape

AHEAD = 10.0
"""m ahead of an antenna with a reflector within which nothing solid is expected in its beam."""
REACH = 1.5
"""m within which a ladder's end or a way in belongs to a surface or a structure, in plan and in height."""
_SOLID = ("penthouse", "building", "plant", "wall")


def sketch_doubts(site: Site) -> Iterator[Doubt]:
    """Yield what in the drawing of a ``site`` should be looked at."""
    for antenna in site.antennas:
        yield from _into_walls(site, antenna)
    for ladder in site.ladders:
        yield from _in_the_air(site, ladder)
    for way in site.access_points:
        yield from _on_nothing(site, way)


def _into_walls(site: Site, antenna: Antenna) -> Iterator[Doubt]:
    """Yield what solid stands around an antenna, or close ahead of one that has a direction."""
    here = np.array(antenna.position)
    beam = site.frame_of(antenna)[:, 0] if _is_directional(antenna) else None
    for structure in site.structures:
        if structure.kind not in _SOLID:
            continue
        if _holds(structure, here):
            said = f"{antenna.name}: hangs inside the {structure.kind} {structure.name!r}: check place and height"
            yield of_antenna(antenna, said)
            continue
        away = _met_after(structure, here, beam) if beam is not None else None
        if away is not None:
            yield of_antenna(
                antenna,
                f"{antenna.name}: radiates into the {structure.kind} {structure.name!r}, {away:.1f} m ahead: check "
                "azimuth, place and height",
            )


def _is_directional(antenna: Antenna) -> bool:
    kind = antenna.kind
    return kind.has_boresight and kind.is_backed


def _holds(structure: Structure, here: Floats) -> bool:
    if structure.kind in Structure.LINES or not structure.base < here[2] < structure.top:
        return False
    outline = shapely.make_valid(shapely.Polygon(structure.outline))
    return bool(outline.contains(shapely.Point(here[:2])))


def _met_after(structure: Structure, here: Floats, beam: Floats) -> float | None:
    """Return after how many metres along the boresight a structure is met; None where it is not, or farther off."""
    level = float(np.hypot(beam[0], beam[1]))
    if level < 1e-6:
        return None
    ray = shapely.LineString([here[:2], here[:2] + AHEAD * beam[:2]])
    shape = (
        shapely.LineString(structure.outline)
        if structure.kind in Structure.LINES
        else shapely.make_valid(shapely.Polygon(structure.outline))
    )
    met = shape.intersection(ray)
    if met.is_empty:
        return None
    points = shapely.get_coordinates(met)
    along = np.hypot(points[:, 0] - here[0], points[:, 1] - here[1]) / level
    heights = here[2] + np.array([along.min(), along.max()]) * beam[2]
    if heights.max() < structure.base or heights.min() > structure.top:
        return None
    return float(along.min())


def _in_the_air(site: Site, ladder: Ladder) -> Iterator[Doubt]:
    for words, end in (("begins", ladder.points[0]), ("ends", ladder.points[-1])):
        if not (_surface_at(site, end) or _beside_structure(site, end)):
            x, y, z = end
            yield Doubt(
                f"{ladder.name}: {words} in the air at {x:g}, {y:g}, {z:g} m: no surface and no structure is within "
                f"{REACH:g} m",
                "ladder",
                ladder.name,
                end,
            )


def _on_nothing(site: Site, way: AccessPoint) -> Iterator[Doubt]:
    if site.surfaces and not _surface_at(site, way.position):
        yield Doubt(
            f"{way.name}: no surface is within {REACH:g} m of this {way.kind}: nobody could stand "
            "there. Check its height, or draw what it leads to",
            "way in",
            way.name,
            way.position,
        )


def _surface_at(site: Site, place: tuple[float, float, float]) -> bool:
    point = shapely.Point(place[:2])
    return any(
        abs(surface.height - place[2]) <= REACH and surface_shape(surface).distance(point) <= REACH
        for surface in site.surfaces
    )


def _beside_structure(site: Site, place: tuple[float, float, float]) -> bool:
    point = shapely.Point(place[:2])
    return any(
        structure.base - REACH <= place[2] <= structure.top + REACH
        and shapely.MultiPoint(structure.outline).convex_hull.distance(point) <= REACH
        for structure in site.structures
    )
