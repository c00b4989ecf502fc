"""Places that lie at right angles to what was drawn before. No Qt."""

from __future__ import annotations

import math

from core.fences.outlines import Outline, Place
from core.fences.snapping import Snapped
from core.site.moving import tidy

_AXES = ((1.0, 0.0), (0.0, 1.0))
Line = tuple[Place, Place]
"""A place and a direction of length 1."""


def squared(corners: Outline, place: Place, reach: float, *, closes: bool) -> Snapped | None:
    """Return the place near another one that is square to what was drawn, or None within ``reach`` m.

    The next side lies along or across the side before it; the first one along or across the plan. Where the line
    ``closes``, the place may also lie so that its last side is square to the first.
    """
    if not corners:
        return None
    last = corners[-1]
    before = _direction(corners[-2], last) if len(corners) > 1 else None
    lines = [(last, way) for way in _both(before)]
    near = [(away, at) for line in lines for away, at in (_foot(line, place),) if away <= reach]
    if closes and len(corners) > 2:
        first = [(corners[0], way) for way in _both(_direction(corners[0], corners[1]))]
        met = [at for one in lines for other in first for at in (_crossing(one, other),) if at]
        whole = [(math.dist(at, place), at) for at in met if math.dist(at, last) > reach]
        if whole and min(whole)[0] <= reach:
            return Snapped(_tidy(min(whole)[1]), "square to both ends")
    if not near:
        return None
    _, at = min(near)
    if math.dist(at, last) <= reach:
        return None
    return Snapped(_tidy(at), "at a right angle" if before else "along the plan")


def _both(way: Place | None) -> tuple[Place, ...]:
    return _AXES if way is None else (way, (-way[1], way[0]))


def _direction(one: Place, other: Place) -> Place | None:
    length = math.dist(one, other)
    return ((other[0] - one[0]) / length, (other[1] - one[1]) / length) if length else None


def _foot(line: Line, place: Place) -> tuple[float, Place]:
    """Return how far a place is from a line, and the place on the line nearest to it."""
    (x, y), (u, v) = line
    along = (place[0] - x) * u + (place[1] - y) * v
    at = x + along * u, y + along * v
    return math.dist(at, place), at


def _crossing(one: Line, other: Line) -> Place | None:
    ((x, y), (a, b)), ((u, v), (c, d)) = one, other
    across = a * d - b * c
    if abs(across) < 1e-9:
        return None
    along = ((u - x) * d - (v - y) * c) / across
    return x + along * a, y + along * b


def _tidy(place: Place) -> Place:
    return tidy(place[0]), tidy(place[1])
