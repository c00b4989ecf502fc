"""Structures that people walk on: the roof over one and the hole it leaves in what it stands on go where it goes.

A roof belongs to a structure that has its outline and ends at its height; a hole, to one that has its outline and
stands on that surface. What stands wholly on a structure goes up and down with its top.
"""

from __future__ import annotations

from dataclasses import replace

from shapely import MultiPoint, Polygon

from core.site.moving import tidy
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

    Roof and hole of a structure follow, and the structures on it; antennas, ladders and ways in stay where they are.

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
    if not isinstance(old, Structure) or not isinstance(value, Structure):
        return changed
    taken = {s.name for s in site.surfaces}
    surfaces = []
    for surface in site.surfaces:
        new = surface
        if is_roof(surface, old):
            name = f"{value.name} roof" if surface.name == f"{old.name} roof" else surface.name
            name = surface.name if name in taken else name
            new = replace(new, name=name, outline=value.outline, height=value.top)
        if old.outline in surface.holes and abs(surface.height - old.base) < _SAME:
            holes = tuple(value.outline if hole == old.outline else hole for hole in surface.holes)
            new = replace(new, holes=holes)
        surfaces.append(new)
    changed = replace(changed, surfaces=tuple(surfaces))
    up = value.top - old.top
    for other in site.structures if up else ():
        if other.name != old.name and _stands_on(other, old):
            risen = replace(other, base=tidy(other.base + up), top=tidy(other.top + up))
            changed = with_changed(changed, part_of(other), risen)
    return changed


def _stands_on(other: Structure, structure: Structure) -> bool:
    if abs(other.base - structure.top) >= _SAME or len(structure.outline) < 3:
        return False
    return bool(MultiPoint(structure.outline).convex_hull.covers(MultiPoint(other.outline)))


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
