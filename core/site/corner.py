"""What several planes send back one after the other: a wall and a surface, or two walls that meet.

Such a wave comes from the antenna mirrored in each plane in turn, or reaches the place mirrored in each the other way
round. Planes at a right angle give one image, whichever is met first; a level surface is at a right angle to every
wall. Exact for endless conducting plates (image theory); the corners of finite ones are held against it by tests.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import permutations

import numpy as np
import shapely
from numpy.typing import NDArray

from core.arrays import Floats, Points
from core.site.mirror import Mirror

MEETING = 3.0
"""m between two walls up to which they are a corner."""
RIGHT = 0.035
"""Cosine up to which two walls count as at a right angle, 2 degrees."""

Place = tuple[float, float, float]


@dataclass(frozen=True, slots=True)
class Leg:
    """One plane on the way of a wave that meets several.

    Attributes
    ----------
    mirror : Mirror
        The plane.
    antenna : tuple of three floats
        Where the wave comes from: the antenna mirrored in the planes before, m.
    later : tuple of Mirror
        The planes behind it, in which the place is mirrored.
    """

    mirror: Mirror
    antenna: Place
    later: tuple[Mirror, ...]


@dataclass(frozen=True, slots=True)
class Corner:
    """Planes that a wave meets one after the other; one plane is the simplest of them.

    Attributes
    ----------
    orders : tuple of tuple of Mirror
        The orders that give this image, from the antenna to the place.
    """

    orders: tuple[tuple[Mirror, ...], ...]

    @property
    def planes(self) -> tuple[Mirror, ...]:
        """Its planes from the antenna to the place, in its first order."""
        return self.orders[0]

    @property
    def conductor(self) -> bool:
        """Whether metal is among its planes."""
        return any(m.matter.conductor for m in self.planes)

    def mirrored(self, points: Points) -> Points:
        """Return the points (n, 3) mirrored in its planes."""
        return mirrored(self.planes, points)

    def legs(self, antenna: Place) -> Iterator[list[Leg]]:
        """Yield the legs of each order for an antenna.

        Without shade, which is one of the place itself, and without waves from edges: those of the surface alone are
        there already.
        """
        for order in self.orders:
            source, out = antenna, []
            for i, mirror in enumerate(order):
                bare = replace(mirror, shade=None, edges=False)
                out.append(Leg(bare, source, order[i + 1 :]))
                source = _place(mirror.mirrored(np.array([source]))[0])
            yield out

    def coefficient(self, points: Points, antenna: Place, frequency: float) -> Floats:
        """Return the coefficient (n,) of the image for points (n, 3) and an antenna's centre.

        That of the order that sends most: in a corner the other one meets a plane past its end.
        """
        if len(self.planes) == 1:
            return self.planes[0].coefficient(points, antenna, frequency)
        most = np.zeros(len(points), points.dtype)
        for legs in self.legs(antenna):
            size = np.ones_like(most)
            for leg in legs:
                there = mirrored(leg.later, points)
                size *= leg.mirror.coefficient(there, leg.antenna, frequency)
            most = np.maximum(most, size)
        # A roof keeps what a lower plane sends from those over it, by whatever wall it comes.
        for plane in self.planes:
            if plane.shade is not None:
                most *= plane.shade.open(plane.shade.past(points))
        return most


def mirrored(planes: Sequence[Mirror], points: Points) -> Points:
    """Return points (n, 3) mirrored in planes that a wave meets in this order on its way to them.

    Parameters
    ----------
    planes : sequence of Mirror
        From the antenna to the place.
    points : array, shape (n, 3)
        Site points, m.
    """
    for plane in reversed(planes):
        points = plane.mirrored(points)
    return points


Meets = Callable[[Mirror], bool]
"""Whether an antenna's beam meets a face."""


@dataclass(frozen=True, slots=True)
class Sent:
    """What sends an antenna's wave back: planes that its beam meets, several in turn, walls that no beam meets."""

    images: tuple[Corner, ...]
    turns: tuple[Corner, ...]
    glows: tuple[Corner, ...]


def corners(mirrors: Iterable[Mirror], antenna: Place, meets: Meets) -> Sent:
    """Return every plane and every corner of planes that sends an antenna's wave back.

    A corner is a wall with a surface, two walls that meet, or both with a surface, where a beam meets the last wall.
    Not counted: walls that face each other without meeting, and more than two walls in turn, as acute corners have
    them.

    Parameters
    ----------
    mirrors : iterable of Mirror
        The planes that the antenna stands in front of.
    antenna : tuple of three floats
        The antenna's centre, site frame, m.
    meets : callable
        Whether its beam meets a face.
    """
    known = tuple(mirrors)
    level = [m for m in known if not m.upright]
    walls = [m for m in known if m.upright]
    met = [w for w in walls if meets(w)]
    turns = []
    for orders in (*(((w,),) for w in walls), *_pairs(walls, antenna)):
        sets = [orders] if len(orders[0]) > 1 else []
        sets += [
            tuple(longer for o in orders for longer in _with(m, o))
            for m in level
            if all(_top(w) > m.origin[2] for w in orders[0])
        ]
        turns += [Corner(one) for one in sets if _is_met(one, meets)]
    images = tuple(Corner(((m,),)) for m in (*level, *met))
    glows = tuple(Corner(((w,),)) for w in walls if w not in met)
    return Sent(images, tuple(turns), glows)


def _is_met(orders: tuple[tuple[Mirror, ...], ...], meets: Meets) -> bool:
    """Return whether a beam meets the last wall of an order, as the antenna sees it in the planes before."""
    for order in orders:
        last = max(i for i, m in enumerate(order) if m.upright)
        if meets(_seen_in(order[:last], order[last])):
            return True
    return False


def _seen_in(planes: Sequence[Mirror], face: Mirror) -> Mirror:
    """Return a face mirrored in planes, the last one first."""
    for plane in reversed(planes):
        (middle,) = plane.mirrored(np.array([face.origin]))
        normal, along = plane.turned(np.array([face.normal, face.along]))
        face = replace(face, origin=_place(middle), normal=_place(normal), along=_place(along))
    return face


def _place(array: NDArray[np.float64]) -> Place:
    x, y, z = (float(v) for v in array)
    return x, y, z


def _with(plane: Mirror, order: tuple[Mirror, ...]) -> Iterator[tuple[Mirror, ...]]:
    for i in range(len(order) + 1):
        yield (*order[:i], plane, *order[i:])


def _pairs(walls: Sequence[Mirror], antenna: Place) -> Iterator[tuple[tuple[Mirror, ...], ...]]:
    """Yield the orders of every two walls that meet in an inner corner."""
    at = np.array([antenna])
    for i, j in permutations(range(len(walls)), 2):
        a, b = walls[i], walls[j]
        right = abs(float(np.dot(a.normal, b.normal))) < RIGHT
        if (right and i > j) or not (_inside(a, b) and _inside(b, a) and _meet(a, b)):
            continue
        if right:
            yield ((a, b), (b, a))
        elif float(b.height(a.mirrored(at))[0]) > 0.0:
            yield ((a, b),)


def _inside(wall: Mirror, other: Mirror) -> bool:
    """Return whether some of another wall stands in front of one; outer corners of a building do not."""
    return bool(wall.height(_ends(other)).max() > 1e-3)


def _meet(wall: Mirror, other: Mirror) -> bool:
    """Return whether two walls come near each other, on the plan and in height."""
    a, b = (shapely.LineString(_ends(w)[:, :2]) for w in (wall, other))
    apart = max(_bottom(wall), _bottom(other)) - min(_top(wall), _top(other))
    return bool(a.distance(b) <= MEETING and apart < 0.0)


def _ends(wall: Mirror) -> NDArray[np.float64]:
    middle, along = np.array(wall.origin), np.array(wall.along)
    return np.stack([middle - wall.half[0] * along, middle + wall.half[0] * along])


def _top(wall: Mirror) -> float:
    return wall.origin[2] + wall.half[1]


def _bottom(wall: Mirror) -> float:
    return wall.origin[2] - wall.half[1]
