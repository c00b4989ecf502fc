"""Faces of walls, penthouses, buildings and plant as mirrors.

A face that the antenna's beam meets sends back the image of the antenna. Any other adds what comes to the place
anyhow, weaker by the ratio of both ways: behind and below an antenna all directions are much alike. The coefficient is
that of an endless conducting plate, held against image theory by tests; corners are in core.site.corner.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from functools import lru_cache
from itertools import pairwise

import numpy as np
import shapely
from shapely import MultiPoint, Polygon

from core.site.mirror import Matter, Mirror
from core.site.places import Structure
from core.site.site import Antenna
from core.units import from_db

_WALL = Matter(1.0, 0.0, 1.0, True, "not known, counted as metal")

_FINE, _COARSE = np.arange(-12.0, 12.5, 2.0), np.arange(15.0, 86.0, 10.0)
_ELEVATIONS = np.radians(np.concatenate([-_COARSE[::-1], _FINE, _COARSE]))
_BEARINGS = np.radians(np.arange(-85.0, 86.0, 10.0))
BEAM_DB = 6.0
"""A face that gets no more than this below the antenna's gain is met by its beam."""
_AWAY = (1.0, 4.0, 40.0)
"""How many times as far as the face the field is looked at: a beam may form behind it only."""


def seen(face: Mirror, antenna: Antenna, frequency: float, grid_north: float) -> Mirror:
    """Return a face of a wall, marked as one whose image is relative to the direct field unless a beam meets it.

    Parameters
    ----------
    face : Mirror
        The face.
    antenna : Antenna
        The antenna, in front of it.
    frequency : float
        Hz.
    grid_north : float
        Degrees by which the site's y axis is clockwise of true north.
    """
    at, frame = np.array(antenna.position), antenna.frame(grid_north)
    normal, along = np.array(face.normal), np.array(face.along)
    high = face.antenna_height(antenna.position)
    foot = at - high * normal - np.array(face.origin)
    # Directions from the antenna, every so many degrees, held to the face; and that next to the boresight.
    u = np.clip(foot @ along + high * np.tan(_BEARINGS), -face.half[0], face.half[0])
    v = foot[2] + np.hypot(high, u - foot @ along)[:, None] * np.tan(_ELEVATIONS)
    v = np.clip(v, -face.half[1], face.half[1])
    u = np.broadcast_to(u[:, None], v.shape)
    boresight = frame[:, 0]
    into = -float(boresight @ normal)
    if into > 1e-3:
        hit = foot + boresight * high / into
        u = np.append(u, np.clip(hit @ along, -face.half[0], face.half[0]))
        v = np.append(v, np.clip(hit[2], -face.half[1], face.half[1]))
    spots = np.unique(np.column_stack([np.ravel(u), np.ravel(v)]).round(6), axis=0)
    ways = np.array(face.origin) + spots[:, :1] * along - at
    ways[:, 2] += spots[:, 1]
    most = 0.0
    for times in _AWAY:
        there = times * ways
        unit = antenna.kind.unit_field(there @ frame, frequency, conservative=True)
        strength = unit.power_density * np.einsum("ni,ni->n", there, there)
        most = max(most, float(np.max(np.where(unit.reactive, 0.0, strength))))
    peak = antenna.kind.directivity(frequency) / (4.0 * np.pi)
    return replace(face, relative=most < peak * from_db(-BEAM_DB))


MOST_FACES = 12
"""A building or a wall with more sides counts as the smallest rectangle about it."""


def faces(structures: Iterable[Structure], antenna: tuple[float, float, float]) -> Iterator[Mirror]:
    """Yield the faces of walls, penthouses, buildings and plant that an antenna stands in front of.

    Parameters
    ----------
    structures : iterable of Structure
        Towers, masts and railings are no walls.
    antenna : tuple of three floats
        The antenna's centre, site frame, m.
    """
    for structure in structures:
        if structure.kind in ("tower", "mast", "railing"):
            continue
        middle_up = 0.5 * (structure.base + structure.top)
        half_up = 0.5 * (structure.top - structure.base)
        for start, end in _faces(structure.kind, structure.outline):
            side = np.array(end) - np.array(start)
            length = float(np.hypot(*side))
            if length == 0.0:
                continue
            # Closed outlines run anticlockwise, so that this normal looks out of them.
            normal = np.array([side[1], -side[0]]) / length
            before = (np.array(antenna[:2]) - np.array(start)) @ normal
            if structure.kind == "wall" and before < 0.0:
                normal, before = -normal, -before
            if before <= 0.0:
                continue
            middle = 0.5 * (np.array(start) + np.array(end))
            yield Mirror(
                f"a face of {structure.name}",
                _WALL,
                (float(middle[0]), float(middle[1]), middle_up),
                (float(normal[0]), float(normal[1]), 0.0),
                (float(side[0]) / length, float(side[1]) / length, 0.0),
                (0.5 * length, half_up),
            )


@lru_cache(maxsize=512)
def _faces(
    kind: str, outline: tuple[tuple[float, float], ...]
) -> tuple[tuple[tuple[float, float], tuple[float, float]], ...]:
    """Return the sides of a structure; an outline that is no simple ring counts as its hull."""
    if kind == "wall" and len(outline) <= MOST_FACES + 1:
        return tuple(pairwise(outline))
    ring = Polygon(outline)
    if not ring.is_valid:
        ring = MultiPoint(outline).convex_hull
    if isinstance(ring, Polygon) and len(ring.exterior.coords) > MOST_FACES + 1:
        ring = shapely.minimum_rotated_rectangle(ring)
    if not isinstance(ring, Polygon) or ring.area == 0.0:
        return ()
    corners = [
        (float(x), float(y)) for x, y in shapely.geometry.polygon.orient(ring).exterior.coords
    ]
    return tuple(pairwise(corners))
