"""Outlines drawn by hand: corners moved, put in and taken out, and shapes that cannot be a fence refused.

A corner is (x, y) in plan metres; an outline is closed from its last corner to its first.
"""

from __future__ import annotations

import itertools

import shapely
from shapely import LineString, Polygon

from core.errors import InputError

Place = tuple[float, float]
Outline = tuple[Place, ...]

LEAST_AREA = 0.01
"""m²: less is a line, not a place that is fenced."""
SAME = 1e-3
"""m: corners nearer than this are one corner."""


def fence_outline(corners: Outline, what: str = "fence", digits: int = 3) -> Outline:
    """Return corners as a fence can have them: whole millimetres, none twice in a row.

    Parameters
    ----------
    what : str
        What is drawn, for the error.
    digits : int
        Decimals of a metre that are kept.

    Raises
    ------
    InputError
        If fewer than three corners are left, the line crosses itself or it encloses nothing.
    """
    places: list[Place] = []
    for x, y in corners:
        place = (round(float(x), digits) + 0.0, round(float(y), digits) + 0.0)
        if not places or _apart(place, places[-1]):
            places.append(place)
    while len(places) > 1 and not _apart(places[0], places[-1]):
        places.pop()
    if len(places) < 3:
        raise InputError(
            f"a {what} of {len(places)} corner{'s' * (len(places) != 1)} encloses nothing",
            fix="Give it at least 3 corners",
        )
    flat = InputError(f"the {what} encloses no area", fix="Move a corner off the line")
    if shapely.convex_hull(LineString(places)).area < LEAST_AREA:
        raise flat
    crossing = _crossing(places)
    if crossing is not None:
        x, y = crossing
        raise InputError(
            f"the {what} would cross or touch itself at {x:.2f}, {y:.2f}",
            fix="Keep its sides apart",
        )
    if Polygon(places).area < LEAST_AREA:
        raise flat
    return tuple(places)


def with_corner(outline: Outline, side: int, place: Place) -> Outline:
    """Return an outline with a new corner on the side that begins at corner ``side``.

    Parameters
    ----------
    place : Place
        A place on the plan, m.
    """
    return (*outline[: side + 1], place, *outline[side + 1 :])


def with_moved(outline: Outline, corner: int, place: Place) -> Outline:
    """Return an outline with one corner elsewhere.

    Parameters
    ----------
    place : Place
        A place on the plan, m.
    """
    return (*outline[:corner], place, *outline[corner + 1 :])


def without_corner(outline: Outline, corner: int) -> Outline:
    """Return an outline with one corner less; it may no longer be one a fence can have."""
    return (*outline[:corner], *outline[corner + 1 :])


def _apart(a: Place, b: Place) -> bool:
    return abs(a[0] - b[0]) >= SAME or abs(a[1] - b[1]) >= SAME


def _crossing(places: list[Place]) -> Place | None:
    """Return where a closed line meets itself other than at its own corners."""
    sides = [LineString(pair) for pair in itertools.pairwise([*places, places[0]])]
    last = len(sides) - 1
    for (i, one), (j, other) in itertools.combinations(enumerate(sides), 2):
        met = one.intersection(other)
        neighbours = j == i + 1 or (i == 0 and j == last)
        if met.is_empty or (neighbours and met.length == 0.0):
            continue
        x, y = shapely.get_coordinates(met)[0]
        return float(x), float(y)
    return None
