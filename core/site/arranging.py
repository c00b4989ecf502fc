"""Antennas of a site arranged: copied, turned to other sectors, renamed, removed, put beside a structure."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Sequence
from dataclasses import replace

import numpy as np

from core.errors import InputError
from core.geometry import bearing
from core.site.moving import middle
from core.site.places import Structure
from core.site.site import Antenna, Site
from core.site.state import State

Place = tuple[float, float, float]

ASIDE = 1.0
"""m east of its original that a copy stands, so that both are seen."""
_NUMBER, _LETTER = re.compile(r"^(.*?)(\d+)$"), re.compile(r"^(.*[\s\-_/])([A-Z])$")


def free_name(like: str, taken: Collection[str]) -> str:
    """Return a name like another one that nobody has: the next number or letter at its end, or a number behind it.

    Parameters
    ----------
    like : str
        The name of the original.
    taken : collection of str
        The names that there are.

    Examples
    --------
    >>> free_name("Sector 1", {"Sector 1", "Sector 2"}), free_name("Panel A", {"Panel A"})
    ('Sector 3', 'Panel B')
    """
    if like not in taken:
        return like
    letter = _LETTER.match(like)
    if letter is not None:
        for code in range(ord(letter[2]) + 1, ord("Z") + 1):
            if f"{letter[1]}{chr(code)}" not in taken:
                return f"{letter[1]}{chr(code)}"
    found = _NUMBER.match(like)
    head, first, width = (found[1], int(found[2]), len(found[2])) if found else (f"{like} ", 1, 1)
    number = first + 1
    while f"{head}{number:0{width}d}" in taken:
        number += 1
    return f"{head}{number:0{width}d}"


def added(site: Site, antennas: Iterable[Antenna]) -> Site:
    """Return the site with more ``antennas`` at the end, each with a name that nobody has."""
    taken = {a.name for a in site.antennas}
    new = []
    for antenna in antennas:
        name = free_name(antenna.name, taken)
        taken.add(name)
        new.append(replace(antenna, name=name))
    return replace(site, antennas=(*site.antennas, *new))


def beside(antenna: Antenna) -> Antenna:
    """Return a copy of an ``antenna``, a metre to the east."""
    x, y, z = antenna.position
    return replace(antenna, position=(x + ASIDE, y, z))


def without(site: Site, indices: Collection[int]) -> Site:
    """Return the site without the antennas of some ``indices``."""
    kept = tuple(a for i, a in enumerate(site.antennas) if i not in set(indices))
    return replace(site, antennas=kept)


def turned(
    site: Site, indices: Sequence[int], angles: Sequence[float], centre: tuple[float, float]
) -> Site:
    """Return the site with copies of some antennas turned about a place: positions and bearings turn together.

    Parameters
    ----------
    site : Site
        The site.
    indices : sequence of int
        The antennas that are copied.
    angles : sequence of float
        Degrees clockwise, one set of copies each.
    centre : (x, y)
        What they are turned about, m.

    Raises
    ------
    InputError
        If an angle is no turn, or there is none.
    """
    if not angles:
        raise InputError("is empty", field="angles", fix="Write degrees, like 120, 240")
    for angle in angles:
        if not -360.0 < angle < 360.0 or angle == 0.0:
            raise InputError(
                f"{angle:g}° is no turn", field="angles", fix="Use degrees other than 0, under 360"
            )
    copies = [_turned(site.antennas[i], angle, centre) for angle in angles for i in indices]
    return added(site, copies)


def _turned(antenna: Antenna, angle: float, centre: tuple[float, float]) -> Antenna:
    a = np.radians(angle)
    x, y, z = antenna.position
    east, north = x - centre[0], y - centre[1]
    return replace(
        antenna,
        position=(
            _rounded(centre[0] + east * np.cos(a) + north * np.sin(a)),
            _rounded(centre[1] + north * np.cos(a) - east * np.sin(a)),
            z,
        ),
        azimuth=round((antenna.azimuth + angle) % 360.0, 9) % 360.0,
    )


def from_structure(
    site: Site, structure: Structure, height: float, azimuth: float, distance: float
) -> Place:
    """Return the place (x, y, z) in m that is so far from a structure's middle.

    Parameters
    ----------
    site : Site
        The site, for where its grid's north is.
    structure : Structure
        The structure.
    height : float
        m above the structure's base.
    azimuth : float
        Bearing from its middle, degrees from true north.
    distance : float
        m from its middle, level.
    """
    east, north = bearing(azimuth - site.grid_north)
    x, y = middle(structure)
    return (
        _rounded(x + distance * east),
        _rounded(y + distance * north),
        _rounded(structure.base + height),
    )


def renamed(site: Site, old: str, new: str) -> Site:
    """Return the site with an antenna under a ``new`` name, wherever the ``old`` one is named: states, jobs, surveys.

    Raises
    ------
    InputError
        If another antenna has that name, or it is none.
    """
    if old == new:
        return site
    if any(a.name == new for a in site.antennas):
        raise InputError(f"another antenna is called {new!r}", field="name", fix="Use another name")

    def pairs(states: tuple[tuple[str, State], ...]) -> tuple[tuple[str, State], ...]:
        return tuple((new if name == old else name, state) for name, state in states)

    def antenna(one: Antenna) -> Antenna:
        if one.allows is not None and one.allows.auxiliary_of == old:
            one = replace(one, allows=replace(one.allows, auxiliary_of=new))
        return replace(one, name=new) if one.name == old else one

    def named(states: tuple[tuple[str, State], ...]) -> bool:
        return any(name == old for name, _ in states)

    return replace(
        site,
        antennas=tuple(map(antenna, site.antennas)),
        states=tuple(
            replace(s, states=pairs(s.states)) if named(s.states) else s for s in site.states
        ),
        jobs=tuple(replace(j, states=pairs(j.states)) if named(j.states) else j for j in site.jobs),
        surveys=tuple(
            replace(s, readings=tuple(replace(r, states=pairs(r.states)) for r in s.readings))
            for s in site.surveys
        ),
    )


def with_antenna(site: Site, index: int, antenna: Antenna) -> Site:
    """Return the site with another ``antenna`` at an ``index``; a new name is known wherever the old one was."""
    named = renamed(site, site.antennas[index].name, antenna.name)
    return replace(named, antennas=(*named.antennas[:index], antenna, *named.antennas[index + 1 :]))


def _rounded(value: float) -> float:
    return round(float(value), 3) + 0.0
