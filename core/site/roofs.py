"""Structures that people walk on: the roof over one and the hole it leaves in what it stands on go where it goes.

A roof belongs to a structure that has its outline and ends at its height; a hole, to one that has its outline and
stands on that surface. What stands on a roof or a platform goes where it goes; what stands on the ground stays.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from shapely import MultiPoint, Point, Polygon, make_valid

from core.site.moving import Spot, moved, tidy
from core.site.parts import (
    Part,
    Shape,
    free_name,
    part_of,
    value_of,
    with_added,
    with_value,
    without,
)
from core.site.places import Structure, Surface
from core.site.site import Site
from core.site.surfaces import surface_shape

_SAME = 1e-3
"""m: heights that differ by less are one."""
NEAR = 0.3
"""m past the edge of a roof at which something still stands on it: hands and drawings are no finer."""
_PAST = 1.5
"""m that a ladder goes past the roof it leads to, for hands (common practice, no source)."""
_HUNG = 1.0
"""m from a floor or a structure within which an antenna seems to hang on it."""


def is_roof(surface: Surface, structure: Structure) -> bool:
    """Return whether a surface is the roof of a structure.

    Parameters
    ----------
    surface : Surface
        The surface.
    structure : Structure
        The structure.
    """
    return surface.outline == structure.outline and abs(surface.height - structure.top) < _SAME


def with_roof(site: Site, structure: Structure) -> Site:
    """Return the site with a roof on a structure, and a hole in what it stands wholly on.

    Parameters
    ----------
    site : Site
        The site.
    structure : Structure
        A structure of it.
    """
    area = Polygon(structure.outline)
    surfaces = tuple(
        replace(s, holes=(*s.holes, structure.outline))
        if abs(s.height - structure.base) < _SAME and surface_shape(s).covers(area)
        else s
        for s in site.surfaces
    )
    name = free_name(site, "surfaces", f"{structure.name} roof")
    roof = Surface(name=name, kind="roof", height=structure.top, outline=structure.outline)
    return with_added(replace(site, surfaces=surfaces), roof)


def with_changed(site: Site, part: Part, value: Shape | Site) -> Site:
    """Return a site with one part changed, as :func:`core.site.parts.with_value`.

    Roof and hole of a structure follow, and a structure its roof. What stands on a roof or a platform goes where it
    goes: structures, ways in, and ladders from there on up. Antennas stay where they are: :func:`left_behind`.

    Parameters
    ----------
    site : Site
        The site.
    part : Part
        Which one.
    value : shape or site
        What it is to be.

    Raises
    ------
    InputError
        If the part is gone, or another of its group has that name.
    """
    old = value_of(site, part)
    changed = with_value(site, part, value)
    by = _shift(old, value)
    if isinstance(old, Structure) and isinstance(value, Structure):
        changed = _roofed(changed, old, value)
    elif isinstance(old, Surface) and isinstance(value, Surface) and by != _STILL:
        house = next((s for s in site.structures if is_roof(old, s)), None)
        if house is not None:
            # A building ends at its roof; what stands on the roof stands on the building.
            under = replace(house, outline=value.outline, top=value.height)
            changed = with_value(changed, part_of(house), under)
            changed = _roofed(changed, house, under)
            old = house
    if by == _STILL or not isinstance(old, Surface | Structure):
        return changed
    carried = _carried(site, old)
    for other in carried:
        new = moved(other, by)
        assert isinstance(new, Structure)
        changed = _roofed(with_value(changed, part_of(other), new), other, new)
    walked = [
        _Floor.of(one)
        for one in (old, *carried)
        if isinstance(one, Surface) or any(is_roof(s, one) for s in site.surfaces)
    ]
    made = _with_ways(changed, walked, _Floor.of(old), by)
    if isinstance(old, Structure):
        up = value.base - old.base if isinstance(value, Structure) else 0.0
        made = _with_doors(made, old, (by[0], by[1], tidy(up)))
    return made


def left_behind(site: Site, part: Part, value: Shape | Site) -> tuple[str, ...]:
    """Return the names of the antennas that hung over or beside a part and stay where they are as it goes elsewhere.

    Parameters
    ----------
    site : Site
        The site as it was.
    part : Part
        Which part changes.
    value : shape or site
        What it is to be.
    """
    old = value_of(site, part)
    east, north, up = _shift(old, value)
    if not isinstance(old, Surface | Structure) or (east, north, up) == _STILL:
        return ()
    floor = _Floor.of(old)
    level = not (east or north)
    if level and isinstance(old, Structure) and not any(is_roof(s, old) for s in site.surfaces):
        # The top of a mast is nothing that an antenna on it stands on.
        return ()
    from_here = floor.height if level or isinstance(old, Surface) else old.base
    reach = floor.shape.buffer(_HUNG)
    return tuple(
        a.name
        for a in site.antennas
        if a.position[2] > from_here - _HUNG and reach.contains(Point(a.position[:2]))
    )


_STILL = (0.0, 0.0, 0.0)


@dataclass(frozen=True, slots=True)
class _Floor:
    """A shape that something stands on, and its height in m."""

    shape: Polygon
    height: float

    @classmethod
    def of(cls, one: Surface | Structure) -> _Floor:
        hull = MultiPoint(one.outline).convex_hull
        shape = Polygon(one.outline) if len(one.outline) > 2 else hull
        height = one.height if isinstance(one, Surface) else one.top
        return cls(make_valid(shape).buffer(NEAR), height)

    def holds(self, x: float, y: float, z: float, over: float = _SAME) -> bool:
        """Return whether a place is on it, or up to ``over`` m above."""
        return -_SAME < z - self.height < over and bool(self.shape.contains(Point(x, y)))


def _shift(old: object, new: object) -> Spot:
    """Return how far a floor goes, m to the east, to the north and up; only a whole outline goes east or north."""
    if (
        isinstance(old, Surface)
        and isinstance(new, Surface)
        and "ground" not in (old.kind, new.kind)
    ):
        up = new.height - old.height
    elif isinstance(old, Structure) and isinstance(new, Structure):
        up = new.top - old.top
    else:
        return _STILL
    steps = [(c - a, d - b) for (a, b), (c, d) in zip(old.outline, new.outline, strict=False)]
    (east, north), *_ = steps
    same = len(old.outline) == len(new.outline) and all(
        abs(x - east) < _SAME and abs(y - north) < _SAME for x, y in steps
    )
    return (tidy(east), tidy(north), tidy(up)) if same else (0.0, 0.0, tidy(up))


def _roofed(site: Site, old: Structure, new: Structure) -> Site:
    """Return a site in which the roof over a structure, and the hole that it leaves, follow it."""
    taken = {s.name for s in site.surfaces}
    east, north, _ = _shift(old, new)
    surfaces = []
    for surface in site.surfaces:
        made = surface
        if is_roof(surface, old):
            name = f"{new.name} roof" if surface.name == f"{old.name} roof" else surface.name
            name = surface.name if name in taken else name
            aside = moved(replace(made, name=name), (east, north, 0.0))
            assert isinstance(aside, Surface)
            made = replace(aside, outline=new.outline, height=new.top)
        foot = min(abs(surface.height - one.base) for one in (old, new))
        if old.outline in surface.holes and foot < _SAME:
            holes = tuple(new.outline if hole == old.outline else hole for hole in made.holes)
            made = replace(made, holes=holes)
        surfaces.append(made)
    return replace(site, surfaces=tuple(surfaces))


def _carried(site: Site, old: Surface | Structure) -> list[Structure]:
    """Return the structures that stand wholly on a floor, and those that stand on them."""
    found: list[Structure] = []
    floors = [_Floor.of(old)]
    while floors:
        floor = floors.pop()
        for other in site.structures:
            on_it = abs(other.base - floor.height) < _SAME
            if other in found or other == old or not on_it:
                continue
            if floor.shape.covers(MultiPoint(other.outline)):
                found.append(other)
                floors.append(_Floor.of(other))
    return found


def _with_ways(changed: Site, floors: list[_Floor], beside: _Floor, by: Spot) -> Site:
    """Return a site with what led to floors, and ladders that hang ``beside`` what goes, taken along."""
    east, north, up = by
    hung = beside.shape.buffer(_HUNG)
    ways = tuple(
        replace(way, position=_there(way.position, by))
        if any(f.holds(*way.position) for f in floors)
        else way
        for way in changed.access_points
    )
    ladders = []
    for ladder in changed.ladders:
        on = [f.height for f in floors if any(f.holds(*p, over=_PAST) for p in ladder.points)]
        rises = min(on) - _SAME if on else math.inf
        if on or all(hung.contains(Point(p[:2])) for p in ladder.points):
            points = tuple(
                _there(p, (east, north, up if p[2] > rises else 0.0)) for p in ladder.points
            )
            ladder = replace(ladder, points=points)
        ladders.append(ladder)
    return replace(changed, access_points=ways, ladders=tuple(ladders))


def _with_doors(site: Site, old: Structure, by: Spot) -> Site:
    """Return a site in which ways in at the foot of a structure, in its walls or before them, go where it goes."""
    shape = _Floor.of(old).shape
    ways = tuple(
        replace(way, position=_there(way.position, by))
        if abs(way.position[2] - old.base) < _SAME and shape.contains(Point(way.position[:2]))
        else way
        for way in site.access_points
    )
    return replace(site, access_points=ways)


def _there(place: Spot, by: Spot) -> Spot:
    x, y, z = (tidy(a + b) for a, b in zip(place, by, strict=True))
    return x, y, z


def without_part(site: Site, part: Part) -> Site:
    """Return a site without a part, as :func:`core.site.parts.without`; a structure takes roof and hole with it.

    Parameters
    ----------
    site : Site
        The site.
    part : Part
        Which one.

    Raises
    ------
    InputError
        If it is the site itself.
    """
    gone = value_of(site, part)
    site = without(site, part)
    if not isinstance(gone, Structure):
        return site
    surfaces = tuple(
        replace(s, holes=tuple(hole for hole in s.holes if hole != gone.outline))
        if abs(s.height - gone.base) < _SAME
        else s
        for s in site.surfaces
        if not is_roof(s, gone)
    )
    return replace(site, surfaces=surfaces)


def with_copy(site: Site, shape: Shape, copy: Shape) -> tuple[Site, Part]:
    """Return a site with a copy of a shape, and which part that is; a structure with a roof is copied with one.

    Parameters
    ----------
    site : Site
        The site.
    shape : shape
        What was copied.
    copy : shape
        The copy, elsewhere and under a name of its own.

    Raises
    ------
    InputError
        If there is one of that name already.
    """
    made = with_added(site, copy)
    alike = isinstance(shape, Structure) and any(is_roof(s, shape) for s in site.surfaces)
    if alike and isinstance(copy, Structure):
        made = with_roof(made, copy)
    return made, part_of(copy)
