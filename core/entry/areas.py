"""Where a plan has to hold: a place, a span of a ladder, a piece of a surface, a box, or a way.

Every area is made of pieces that the search for proven zones can take: lines, upright planes and stacks of cubes, of
points, so that a body is over at a place where one of its heights is. An area is the union of the bodies in it.
"""

from __future__ import annotations

import itertools
from collections.abc import Sequence

import numpy as np
import shapely

from core.entry.pieces import LEAST, Area, Piece
from core.errors import InputError
from core.proof.assess import Plane
from core.site.places import Ladder
from core.site.site import Site
from core.site.surfaces import surface_shape
from core.units import show_length
from core.views.body import CLIMBING, STANDING, Body

_ZERO = np.zeros(1)


def _body_words(body: Body) -> str:
    if body.heights == CLIMBING.heights:
        return "a climber"
    return "somebody standing there" if body.heights == STANDING.heights else "a point"


def _ends(body: Body) -> tuple[float, float]:
    if body.average:
        raise InputError(
            "is not planned for",
            field="average",
            fix="A plan holds the peak over the body, which is never under its average",
        )
    return min(body.heights), max(body.heights)


def _upright(x: float, y: float, low: float, high: float) -> Piece:
    if high - low < LEAST:
        low, high = low - 0.5 * LEAST, high + 0.5 * LEAST
    plane = Plane(np.array([x, y, 0.0]), np.array([[0.0, 0.0, 1.0]]), _ZERO, _ZERO)
    return Piece(plane, np.array([low]), np.array([high]))


def at_place(position: tuple[float, float, float], body: Body) -> Area:
    """Return the area of one body.

    Parameters
    ----------
    position : (x, y, z)
        Where its column begins from, m.
    body : Body
        The column of heights that is exposed.

    Raises
    ------
    InputError
        If the body is an average.
    """
    x, y, z = position
    low, high = _ends(body)
    words = f"{_body_words(body)} at {x:g}, {y:g}, {z:g} m"
    return Area((_upright(x, y, z + low, z + high),), words)


def along(points: Sequence[tuple[float, float, float]], body: Body, words: str) -> Area:
    """Return the area of a body that moves along straight legs.

    Parameters
    ----------
    points : sequence of (x, y, z)
        Corners of the way, m.
    body : Body
        The column of heights that is exposed, from the way.
    words : str
        What it is called.

    Raises
    ------
    InputError
        If there is no point, or the body is an average.
    """
    low, high = _ends(body)
    if not points:
        raise InputError("has no point", field="route", fix="Give at least one place")
    if len(points) == 1:
        return Area(at_place(points[0], body).pieces, words)
    return Area(tuple(leg(a, b, low, high) for a, b in itertools.pairwise(points)), words)


def leg(
    a: tuple[float, float, float], b: tuple[float, float, float], low: float, high: float
) -> Piece:
    """Return the piece of a body that moves straight from one place to another.

    Parameters
    ----------
    a, b : (x, y, z)
        The ends, m.
    low, high : float
        Least and largest height of the body from them, m.
    """
    way = np.array(b[:2]) - np.array(a[:2])
    length = float(np.hypot(*way))
    if length < LEAST:
        return _upright(a[0], a[1], min(a[2], b[2]) + low, max(a[2], b[2]) + high)
    if high - low < LEAST:
        low, high = low - 0.5 * LEAST, high + 0.5 * LEAST
    east, north = way / length
    plane = Plane(
        np.array([a[0], a[1], 0.0]),
        np.array([[east, north, 0.0], [0.0, 0.0, 1.0]]),
        _ZERO,
        _ZERO,
    )
    swept = shapely.Polygon(
        [(0.0, a[2] + low), (length, b[2] + low), (length, b[2] + high), (0.0, a[2] + high)]
    )
    _, bottom, _, top = swept.bounds
    return Piece(plane, np.array([0.0, bottom]), np.array([length, top]), swept)


def on_ladder(
    ladder: Ladder, span: tuple[float, float] | None = None, body: Body = CLIMBING
) -> Area:
    """Return the area of a climber on a span of heights of a ladder.

    Parameters
    ----------
    ladder : Ladder
        The ladder.
    span : (low, high) or None
        Heights of the climber's middle, m above the site datum; all of the ladder where None.
    body : Body
        The column of heights that is exposed.

    Raises
    ------
    InputError
        If the span is empty or leaves the ladder.
    """
    heights = [p[2] for p in ladder.points]
    low, high = min(heights), max(heights)
    if span is None:
        span = low, high
    if not low - 1e-6 <= span[0] <= span[1] <= high + 1e-6:
        raise InputError(
            f"{span[0]:g} to {span[1]:g} m is not on {ladder.name}",
            field="span",
            fix=f"Give two heights from {low:g} to {high:g} m, the lower first",
        )
    pieces: list[Piece] = []
    for a, b in itertools.pairwise(ladder.points):
        part = _part(a, b, span)
        if part is not None:
            pieces.append(leg(*part, *_ends(body)))
    words = f"{_body_words(body)} on {ladder.name} from {show_length(span[0])} to {show_length(span[1])}"
    return Area(tuple(pieces), words)


def _part(
    a: tuple[float, float, float], b: tuple[float, float, float], span: tuple[float, float]
) -> tuple[tuple[float, float, float], tuple[float, float, float]] | None:
    """Return the part of a leg at heights of a span; None where it has none."""
    low, high = sorted((a[2], b[2]))
    if high < span[0] or low > span[1]:
        return None
    if high == low:
        return a, b
    ends = [
        tuple(p + (q - p) * (min(max(z, span[0]), span[1]) - a[2]) / (b[2] - a[2]) for p, q in zip(a, b, strict=True))
        for z in (a[2], b[2])
    ]  # fmt: skip
    return (ends[0][0], ends[0][1], ends[0][2]), (ends[1][0], ends[1][1], ends[1][2])


def on_surface(
    site: Site,
    name: str,
    region: tuple[float, float, float, float] | None = None,
    body: Body = STANDING,
) -> Area:
    """Return the area of bodies on a walking surface, or on the part of it in a region.

    Parameters
    ----------
    site : Site
        The site.
    name : str
        The surface's name.
    region : (west, south, east, north) or None
        m; all of the surface where None.
    body : Body
        The column of heights that is exposed.

    Raises
    ------
    InputError
        If there is no such surface, or the region has no part of it.
    """
    surface = next((s for s in site.surfaces if s.name == name), None)
    if surface is None:
        known = ", ".join(s.name for s in site.surfaces)
        raise InputError(
            f"no surface is called {name!r}",
            field="surface",
            fix=f"Use one of {known}" if known else "Draw one in the site file",
        )
    shape: shapely.Geometry = surface_shape(surface)
    words = f"{_body_words(body)} on {name}"
    if region is not None:
        _check_region(region)
        shape = shape.intersection(shapely.box(*region))
        west, south, east, north = region
        words += f", {west:g} to {east:g} m east, {south:g} to {north:g} m north"
    if shape.area <= 0.0:
        raise InputError(
            f"has nothing of {name}",
            field="region",
            fix="Give west, south, east, north in m over a part of the surface",
        )
    west, south, east, north = shape.bounds
    low, high = _ends(body)
    bottom, top = (west, south, surface.height + low), (east, north, surface.height + high)
    return Area((_stack(bottom, top, shape),), words)


def in_box(
    low: tuple[float, float, float], high: tuple[float, float, float], body: Body | None = None
) -> Area:
    """Return the area of a box; with a body, of bodies whose middle or feet are in it.

    Parameters
    ----------
    low, high : (x, y, z)
        Least and largest corner, m; a side may be 0.
    body : Body or None
        The column of heights that is exposed; points of the box where None.

    Raises
    ------
    InputError
        If a corner is the wrong way round, or the body is an average.
    """
    if any(b < a for a, b in zip(low, high, strict=True)):
        raise InputError("is the wrong way round", field="box", fix="Give the lower corner first")
    down, up = (0.0, 0.0) if body is None else _ends(body)
    corners = [", ".join(f"{c:g}" for c in corner) for corner in (low, high)]
    words = f"the box from {corners[0]} to {corners[1]} m"
    bottom, top = (low[0], low[1], low[2] + down), (high[0], high[1], high[2] + up)
    wide = [b - a >= LEAST for a, b in zip(low[:2], high[:2], strict=True)]
    if all(wide):
        shape = shapely.box(low[0], low[1], high[0], high[1])
        return Area((_stack(bottom, top, shape),), words)
    if not any(wide):
        return Area((_upright(low[0], low[1], bottom[2], top[2]),), words)
    ends = (low[0], low[1], 0.0), (high[0], high[1], 0.0)
    return Area((leg(*ends, bottom[2], top[2]),), words)


def _stack(
    low: tuple[float, float, float], high: tuple[float, float, float], shape: shapely.Geometry
) -> Piece:
    """Return cubes over a shape, or squares of it where only one height counts."""
    column = high[2] - low[2]
    if column < LEAST:
        plane = Plane(np.zeros(3), np.eye(3)[:2], np.array([low[2]]), _ZERO)
        return Piece(plane, np.array(low[:2]), np.array(high[:2]), shape)
    plane = Plane(np.zeros(3), np.eye(3), np.array([low[2]]), _ZERO, column)
    return Piece(plane, np.array([*low[:2], 0.0]), np.array([*high[:2], column]), shape)


def _check_region(region: tuple[float, float, float, float]) -> None:
    west, south, east, north = region
    if not (west < east and south < north):
        raise InputError(
            "is empty",
            field="region",
            fix="Give west, south, east, north in m, west and south first",
        )
