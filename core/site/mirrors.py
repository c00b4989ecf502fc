"""The planes of a site that send an antenna's wave back: surfaces below it, and walls that it stands in front of."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from functools import lru_cache

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import MultiPoint, Polygon

from core.site.faces import faces
from core.site.mirror import LEAST, UNDER, Matter, Mirror, Shade
from core.site.places import Structure, Surface
from core.units import wavelength

# Ground constants after ITU-R P.527 (from memory), at the wetter end of each name: a larger coefficient.
MATTERS = {
    "soil": Matter(30.0, 0.02, LEAST, False, "soil"),
    "wet soil": Matter(40.0, 0.05, LEAST, False, "wet soil"),
    "salt water": Matter(80.0, 5.0, LEAST, False, "salt water"),
    "metal": Matter(1.0, 0.0, 1.0, True, "metal"),
    "concrete": Matter(1.0, 0.0, 1.0, True, "concrete, counted as metal"),
    "other": Matter(1.0, 0.0, 1.0, True, "not known, counted as metal"),
}


def matter_of(surface: Surface) -> Matter:
    """Return what a surface counts as: soil for ground of which nothing is said, metal for all else."""
    if surface.material:
        return MATTERS[surface.material]
    return MATTERS["soil" if surface.kind == "ground" else "other"]


def planes(heights: Iterable[float], matter: Matter) -> tuple[Mirror, ...]:
    """Return level planes without an end at heights above the datum, m.

    Parameters
    ----------
    heights : iterable of float
        m above the site datum.
    matter : Matter
        What all of them are made of.
    """
    return tuple(
        Mirror(f"{h:g} m", matter, (0.0, 0.0, h), (0.0, 0.0, 1.0), (1.0, 0.0, 0.0)) for h in heights
    )


def mirrors(
    surfaces: Iterable[Surface],
    structures: Iterable[Structure],
    antenna: tuple[float, float, float],
    metal: NDArray[np.float64],
    frequency: float,
) -> tuple[Mirror, ...]:
    """Return the planes that reflect an antenna's wave: surfaces below it, and walls that it stands in front of.

    Parameters
    ----------
    surfaces : iterable of Surface
        Those at one height are one plane; ground has no end. Where none is below, the datum counts as soil.
    structures : iterable of Structure
        Faces of walls, penthouses, buildings and plant count as metal.
    antenna : tuple of three floats
        The antenna's centre, site frame, m.
    metal : array, shape (n, 3)
        Places of the antenna's metal from its centre, m: mirrored places behind a plane must keep off it.
    frequency : float
        Hz.
    """
    lam = wavelength(frequency)
    known = tuple(surfaces)
    level = _shaded(list(_levels(known, antenna)), known, antenna, lam)
    return tuple(
        _with_ends(one, antenna, metal, lam) for one in (*level, *faces(structures, antenna))
    )


SOLID = 0.95
"""Share of its rectangle that a roof must fill to count as solid."""
WIDE = 3.0
"""Wavelengths that both its sides must have."""


def _shaded(
    level: list[Mirror],
    surfaces: tuple[Surface, ...],
    antenna: tuple[float, float, float],
    lam: float,
) -> list[Mirror]:
    """Return the planes with the roof that the antenna stands over as the shade of those below it.

    A way from the antenna to a lower plane and back up to somebody on the roof passes the roof twice, because both ends
    are over its rectangle, which is convex. A roof that lets the wave through is still counted as metal itself.
    """
    shade: Shade | None = None
    out = []
    for plane in reversed(level):
        out.append(plane if shade is None else replace(plane, shade=shade))
        here = [s for s in surfaces if s.height == plane.origin[2] and s.kind == "roof"]
        if plane.endless or not here or min(plane.half) < 0.5 * WIDE * lam:
            continue
        filled = shapely.union_all([shapely.make_valid(Polygon(s.outline)) for s in here]).area
        size = 4.0 * plane.half[0] * plane.half[1]
        radius = float(np.sqrt(lam * max(antenna[2] - plane.origin[2], 0.0)))
        one = Shade(plane.origin[:2], plane.along[:2], plane.half, lam + radius)
        over = float(one.past(np.array([antenna]))[0]) <= 0.0
        wider = shade is None or size > 4.0 * shade.half[0] * shade.half[1]
        if over and wider and filled >= SOLID * size:
            shade = one
    return out[::-1]


def _with_ends(
    mirror: Mirror, antenna: tuple[float, float, float], metal: NDArray[np.float64], lam: float
) -> Mirror:
    """Set how far past its end a plane counts, in wavelengths and Fresnel's radii √(λh) for the antenna's height h.

    Surfaces: in full for a wavelength, then over three of both, as the fields over conducting roofs ask for. Faces of
    walls: for a quarter wavelength, then over a wavelength and two radii; beyond a straight edge the wave is 0.2 a
    radius on and 0.08 two (knife edge, ITU-R P.526, numbers from memory).
    """
    high = mirror.antenna_height(antenna)
    radius = float(np.sqrt(lam * high))
    full, fall = (0.25 * lam, lam + 2.0 * radius) if mirror.upright else (lam, 3.0 * (lam + radius))
    # Mirrored places behind the plane must keep off the metal.
    lowest = high + float((metal @ np.array(mirror.normal)).min(initial=0.0))
    return replace(mirror, full=full, fall=fall, depth=max(min(fall, 0.5 * lowest), UNDER))


def _levels(surfaces: tuple[Surface, ...], antenna: tuple[float, float, float]) -> Iterator[Mirror]:
    below = [s for s in surfaces if s.height <= antenna[2]]
    if not below:
        if antenna[2] >= 0.0:
            (datum,) = planes((0.0,), MATTERS["soil"])
            yield replace(datum, name="the site datum (soil, 0 m)")
        return
    for height in sorted({s.height for s in below}):
        here = tuple(s for s in below if s.height == height)
        matter = max((matter_of(s) for s in here), key=_strength)
        name = f"{' and '.join(s.name for s in here)} ({matter.words}, {height:g} m)"
        if any(s.kind == "ground" for s in here):
            (endless,) = planes((height,), matter)
            yield replace(endless, name=name)
            continue
        middle, along, half = _rectangle(tuple(p for s in here for p in s.outline))
        yield Mirror(name, matter, (*middle, height), (0.0, 0.0, 1.0), (*along, 0.0), half)


def _strength(matter: Matter) -> tuple[float, ...]:
    return matter.least, matter.conductor, matter.permittivity, matter.conductivity


@lru_cache(maxsize=512)
def _rectangle(
    outline: tuple[tuple[float, float], ...],
) -> tuple[tuple[float, float], tuple[float, float], tuple[float, float]]:
    """Return middle, direction and half sides of the smallest rectangle about places on the plan."""
    box = shapely.minimum_rotated_rectangle(MultiPoint(outline))
    if not isinstance(box, Polygon):
        west, south, east, north = MultiPoint(outline).bounds
        middle = (0.5 * (west + east), 0.5 * (south + north))
        return middle, (1.0, 0.0), (0.5 * (east - west), 0.5 * (north - south))
    a, b, c = (np.array(p) for p in box.exterior.coords[:3])
    length, width = float(np.hypot(*(b - a))), float(np.hypot(*(c - b)))
    x, y = 0.5 * (a + c)
    east_part, north_part = (b - a) / length
    return (float(x), float(y)), (float(east_part), float(north_part)), (length / 2.0, width / 2.0)
