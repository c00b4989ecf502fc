"""What in the drawing of a site cannot be as it is drawn: said by the name of the thing it is about.

How near is near is common practice, no source; no figure uses it.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import shapely

from core.arrays import Floats
from core.reading.doubt import Doubt, of_antenna
from core.site.moving import middle
from core.site.places import AccessPoint, Ladder, Structure, Surface
from core.site.site import Antenna, Site
from core.site.surfaces import surface_shape

AHEAD = 10.0
"""m ahead of an antenna with a reflector within which nothing solid is expected in its beam."""
REACH = 1.5
"""m within which a ladder's end or a way in belongs to a surface or a structure, in plan and in height."""
HANGS = 0.5
"""m under a house, a wall or a railing at which it seems to hang in the air, and over a floor at which it is in it."""
_SOLID = ("penthouse", "building", "plant", "wall")
_ON_FLOORS = ("penthouse", "building", "wall", "railing")
_HOUSES = ("penthouse", "building")


def sketch_doubts(site: Site) -> Iterator[Doubt]:
    """Yield what in the drawing of a ``site`` should be looked at."""
    for antenna in site.antennas:
        yield from _into_walls(site, antenna)
    for ladder in site.ladders:
        yield from _in_the_air(site, ladder)
    for way in site.access_points:
        yield from _on_nothing(site, way)
    for structure in site.structures:
        yield from _under_it(site, structure)
    for surface in site.surfaces:
        yield from _over_its_house(site, surface)


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
    return bool(_shape(structure).contains(shapely.Point(here[:2])))


def _met_after(structure: Structure, here: Floats, beam: Floats) -> float | None:
    """Return after how many metres along the boresight a structure is met; None where it is not, or farther off."""
    level = float(np.hypot(beam[0], beam[1]))
    if level < 1e-6:
        return None
    ray = shapely.LineString([here[:2], here[:2] + AHEAD * beam[:2]])
    met = _shape(structure).intersection(ray)
    if met.is_empty:
        return None
    points = shapely.get_coordinates(met)
    along = np.hypot(points[:, 0] - here[0], points[:, 1] - here[1]) / level
    heights = here[2] + np.array([along.min(), along.max()]) * beam[2]
    if heights.max() < structure.base or heights.min() > structure.top:
        return None
    return float(along.min())


def _under_it(site: Site, structure: Structure) -> Iterator[Doubt]:
    """Yield that a structure hangs over what is drawn under it, or stands wholly inside a house."""
    if structure.kind not in _ON_FLOORS:
        return
    name, foot = structure.name, structure.base
    shape = _shape(structure)
    others = [s for s in site.structures if s is not structure]
    floors = [s.height for s in site.surfaces if surface_shape(s).distance(shape) <= REACH]
    tops = [s.top for s in others if _shape(s).distance(shape) <= REACH]
    about = (name, (*middle(structure), foot))
    for house in others:
        inside = house.kind in _HOUSES and house.base <= foot and structure.top <= house.top
        if inside and house.top - foot > HANGS and _shape(house).buffer(1e-3).covers(shape):
            said = f"{name}: is wholly inside the {house.kind} {house.name!r}: check its height"
            yield Doubt(said, "structure", *about)
            return
    # Where no ground is drawn the datum counts as ground.
    below = [h for h in (*floors, *tops, 0.0) if h <= foot + HANGS]
    if site.surfaces and below and foot - max(below) > HANGS:
        said = (
            f"{name}: its foot, at {foot:g} m, is {foot - max(below):.1f} m over everything that is drawn under it: "
            "check its height"
        )
        yield Doubt(said, "structure", *about)


def _over_its_house(site: Site, surface: Surface) -> Iterator[Doubt]:
    """Yield that a roof does not lie on the house that has its outline."""
    for house in site.structures:
        off = surface.height - house.top
        if house.kind in _HOUSES and house.outline == surface.outline and abs(off) > HANGS:
            if surface.height <= house.base + HANGS:
                continue
            yield Doubt(
                f"{surface.name}: lies {abs(off):.1f} m {'over' if off > 0 else 'under'} the top of the {house.kind} "
                f"{house.name!r}, which has its outline: check both heights",
                "surface",
                surface.name,
                (*middle(surface), surface.height),
            )


def _shape(structure: Structure) -> shapely.Geometry:
    if structure.kind in Structure.LINES:
        return shapely.LineString(structure.outline)
    return shapely.make_valid(shapely.Polygon(structure.outline))


def _in_the_air(site: Site, ladder: Ladder) -> Iterator[Doubt]:
    for words, end in (("begins", ladder.points[0]), ("ends", ladder.points[-1])):
        if _surface_at(site, end):
            continue
        x, y, z = end
        house = _house_about(site, end)
        if house is not None:
            yield Doubt(
                f"{ladder.name}: {words} inside the {house.kind} {house.name!r}, at {x:g}, {y:g}, {z:g} m, where no "
                "floor is drawn: check its height",
                "ladder",
                ladder.name,
                end,
            )
        elif not _beside_structure(site, end):
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


def _house_about(site: Site, place: tuple[float, float, float]) -> Structure | None:
    """Return the house that a place is well inside of."""
    point = shapely.Point(place[:2])
    for house in site.structures:
        in_it = house.kind in _HOUSES and house.base + REACH < place[2] < house.top - REACH
        if in_it and _shape(house).buffer(-HANGS).contains(point):
            return house
    return None


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
