"""Faces of walls, penthouses, buildings and plant as mirrors, and how strongly an antenna looks at each.

A face that the antenna's beam meets sends back the image of the antenna. Any other sends no more than the strongest
wave that goes to it, whatever the direction. The coefficient is that of an endless conducting plate, held against
image theory by tests; corners are in core.site.corner.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from functools import lru_cache
from itertools import pairwise

import numpy as np
import shapely
from shapely import MultiPoint, Polygon

from core.site.levels import Levels
from core.site.mirror import UNDER, Matter, Mirror
from core.site.places import Structure
from core.site.site import Antenna
from core.units import from_db

_WALL = Matter(1.0, 0.0, 1.0, True, "not known, counted as metal")

_FINE, _COARSE = np.arange(-12.0, 12.5, 2.0), np.arange(15.0, 86.0, 10.0)
_ELEVATIONS = np.radians(np.concatenate([-_COARSE[::-1], _FINE, _COARSE]))
_BEARINGS = np.radians(np.arange(-85.0, 86.0, 10.0))
BEAM_DB = 6.0
"""A face that gets no more than this below the antenna's gain is met by its beam; the image of any other is cheaper."""


def strength(face: Mirror, antenna: Antenna, levels: Levels, grid_north: float) -> float:
    """Return the strongest wave that an antenna sends to a face, W/sr for 1 W, near fields as far ones.

    Parameters
    ----------
    face : Mirror
        The face, of a wall or of one that is mirrored in planes before it.
    antenna : Antenna
        The antenna.
    levels : Levels
        How strongly it looks in each direction.
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
    ways = np.array(face.origin) + np.ravel(u)[:, None] * along - at
    ways[:, 2] += np.ravel(v)
    return float(levels.towards(ways @ frame).max()) ** 2


def is_met(intensity: float, antenna: Antenna, frequency: float) -> bool:
    """Return whether a beam of an antenna is behind an intensity in W/sr for 1 W.

    Parameters
    ----------
    intensity : float
        See :func:`strength`.
    antenna : Antenna
        The antenna.
    frequency : float
        Hz.
    """
    peak = antenna.kind.directivity(frequency) / (4.0 * np.pi)
    return intensity >= peak * from_db(-BEAM_DB)


MOST_FACES = 12
"""A building with more sides counts as the smallest rectangle about it, a wall as a simpler line."""


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
            before = float((np.array(antenna[:2]) - np.array(start)) @ normal)
            if structure.kind == "wall" and before < 0.0:
                normal, before = -normal, -before
            # Drawing snaps to lines: an antenna on a face hangs before it.
            if before < -UNDER:
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


def _simpler(line: tuple[tuple[float, float], ...]) -> tuple[tuple[float, float], ...]:
    """Return a line of no more than so many pieces, moved no further than it needs to be."""
    least = 0.005
    while len(line) > MOST_FACES + 1:
        line = tuple((x, y) for x, y in shapely.LineString(line).simplify(least).coords)
        least *= 2.0
    return line


@lru_cache(maxsize=512)
def _faces(
    kind: str, outline: tuple[tuple[float, float], ...]
) -> tuple[tuple[tuple[float, float], tuple[float, float]], ...]:
    """Return the sides of a structure; an outline that is no simple ring counts as its hull."""
    if kind == "wall":
        return tuple(pairwise(_simpler(outline)))
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
