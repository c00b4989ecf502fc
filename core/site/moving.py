"""Shapes of a site moved, turned, widened, and their corners changed one at a time.

Places are kept to a thousandth of a millimetre: what a sine leaves of 90 degrees is no place anybody meant.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace

from core.errors import InputError
from core.site.parts import Shape
from core.site.places import AccessPoint, Ladder, Picture, Structure, Surface

Place = tuple[float, float]
Spot = tuple[float, float, float]
_DIGITS = 6


def tidy(value: float) -> float:
    """Return a coordinate in m as it is kept: to a thousandth of a millimetre, never -0.

    Parameters
    ----------
    value : float
        m.
    """
    return round(float(value), _DIGITS) + 0.0


def places(shape: Shape) -> tuple[Place, ...]:
    """Return the corners of a shape on the plan: an outline with its holes after it, or points, or one place.

    Parameters
    ----------
    shape : shape
        The shape; a picture has its lower left corner.
    """
    if isinstance(shape, Surface):
        return (*shape.outline, *(place for hole in shape.holes for place in hole))
    if isinstance(shape, Structure):
        return shape.outline
    if isinstance(shape, Ladder):
        return tuple((x, y) for x, y, _ in shape.points)
    return ((shape.position if isinstance(shape, AccessPoint) else shape.origin)[:2],)


def middle(shape: Shape) -> Place:
    """Return the middle of the box about a shape on the plan, (x, y) in m.

    Parameters
    ----------
    shape : shape
        The shape.
    """
    xs, ys = zip(*places(shape), strict=True)
    return tidy((min(xs) + max(xs)) / 2.0), tidy((min(ys) + max(ys)) / 2.0)


def moved(shape: Shape, by: Spot) -> Shape:
    """Return a shape elsewhere.

    Parameters
    ----------
    shape : shape
        The shape.
    by : (x, y, z)
        How far to the east, to the north and up, m.

    Raises
    ------
    InputError
        If that is no place on a site.
    """
    east, north, up = by
    made = _mapped(shape, lambda x, y: (tidy(x + east), tidy(y + north)))
    if not up:
        return made
    if isinstance(made, Surface):
        return replace(made, height=tidy(made.height + up))
    if isinstance(made, Structure):
        return replace(made, base=tidy(made.base + up), top=tidy(made.top + up))
    if isinstance(made, Ladder):
        return replace(made, points=tuple((x, y, tidy(z + up)) for x, y, z in made.points))
    if isinstance(made, AccessPoint):
        x, y, z = made.position
        return replace(made, position=(x, y, tidy(z + up)))
    return made


def turned(shape: Shape, degrees: float, about: Place | None = None) -> Shape:
    """Return a shape turned clockwise.

    Parameters
    ----------
    shape : shape
        The shape.
    degrees : float
        How far, clockwise as seen from above.
    about : (x, y), optional
        The place that stays, m; the middle of the shape where left out.

    Raises
    ------
    InputError
        If that is no place on a site.
    """
    if not (math.isfinite(degrees) and abs(degrees) <= 360.0):
        raise InputError(f"{degrees:g}°", field="turn", fix="Use -360 to 360 degrees")
    u, v = about if about is not None else middle(shape)
    sin, cos = math.sin(math.radians(degrees)), math.cos(math.radians(degrees))

    def turn(x: float, y: float) -> Place:
        return tidy(u + (x - u) * cos + (y - v) * sin), tidy(v + (y - v) * cos - (x - u) * sin)

    made = _mapped(shape, turn)
    if isinstance(made, Picture):
        return replace(made, rotation=wrapped(made.rotation + degrees))
    return made


def wrapped(degrees: float) -> float:
    """Return an angle over -180 and up to 180 degrees.

    Parameters
    ----------
    degrees : float
        The angle.
    """
    return tidy(180.0 - (180.0 - degrees) % 360.0)


def with_place(shape: Shape, index: int, place: Place) -> Shape:
    """Return a shape with one of its :func:`places` elsewhere; heights stay.

    Parameters
    ----------
    shape : shape
        The shape.
    index : int
        Which place.
    place : (x, y)
        Where it is to be, m.

    Raises
    ------
    InputError
        If that is no place on a site.
    """
    count = iter(range(len(places(shape))))

    def here(x: float, y: float) -> Place:
        return (tidy(place[0]), tidy(place[1])) if next(count) == index else (x, y)

    return _mapped(shape, here)


def with_corner(shape: Shape, index: int, place: Place) -> Shape:
    """Return a shape with a corner more, on the side after one of its :func:`places`.

    Parameters
    ----------
    shape : shape
        The shape.
    index : int
        The place that the side begins at.
    place : (x, y)
        The new corner, m. On a ladder its height is between those of its neighbours.
    """
    new = (tidy(place[0]), tidy(place[1]))
    if isinstance(shape, Surface):
        rings = [
            (*ring[: at + 1], new, *ring[at + 1 :]) if at >= 0 else ring
            for ring, at in _rings(shape, index)
        ]
        return replace(shape, outline=rings[0], holes=tuple(rings[1:]))
    if isinstance(shape, Structure):
        line = shape.outline
        return replace(shape, outline=(*line[: index + 1], new, *line[index + 1 :]))
    if isinstance(shape, Ladder) and index + 1 < len(shape.points):
        (x0, y0, z0), (x1, y1, z1) = shape.points[index : index + 2]
        whole = math.dist((x0, y0), (x1, y1))
        share = math.dist((x0, y0), new) / whole if whole else 0.5
        point = (*new, tidy(z0 + share * (z1 - z0)))
        return replace(
            shape, points=(*shape.points[: index + 1], point, *shape.points[index + 1 :])
        )
    return shape


def without_corner(shape: Shape, index: int) -> Shape:
    """Return a shape with one of its :func:`places` less; a hole that has too few left is filled.

    Parameters
    ----------
    shape : shape
        The shape.
    index : int
        Which place.

    Raises
    ------
    InputError
        If too few are left.
    """
    if isinstance(shape, Surface):
        rings = [
            ring[:at] + ring[at + 1 :] if at >= 0 else ring for ring, at in _rings(shape, index)
        ]
        return replace(shape, outline=rings[0], holes=tuple(r for r in rings[1:] if len(r) > 2))
    if isinstance(shape, Structure):
        return replace(shape, outline=shape.outline[:index] + shape.outline[index + 1 :])
    if isinstance(shape, Ladder):
        return replace(shape, points=shape.points[:index] + shape.points[index + 1 :])
    return shape


def width_of(structure: Structure) -> float:
    """Return the larger side of the box about a structure, m.

    Parameters
    ----------
    structure : Structure
        The structure.
    """
    xs, ys = zip(*structure.outline, strict=True)
    return tidy(max(max(xs) - min(xs), max(ys) - min(ys)))


def with_width(structure: Structure, width: float) -> Structure:
    """Return a structure as wide as that; its middle and its form stay.

    Parameters
    ----------
    structure : Structure
        The structure.
    width : float
        The larger side of the box about it, m.

    Raises
    ------
    InputError
        If nothing can be that wide.
    """
    check_width(width)
    u, v = middle(structure)
    grow = width / max(width_of(structure), 1e-9)
    outline = tuple(
        (tidy(u + grow * (x - u)), tidy(v + grow * (y - v))) for x, y in structure.outline
    )
    return replace(structure, outline=outline)


def check_width(width: float) -> None:
    """Refuse a width that nothing on a site has.

    Parameters
    ----------
    width : float
        m.

    Raises
    ------
    InputError
        If it cannot be used.
    """
    if not (math.isfinite(width) and 0.001 <= width <= 1000.0):
        raise InputError(f"{width:g} m", field="width", fix="Use 1 mm to 1 km")


def square(at: Place, width: float) -> tuple[Place, ...]:
    """Return the four corners (x, y) of a square.

    Parameters
    ----------
    at : (x, y)
        Its middle, m.
    width : float
        Its side, m.

    Raises
    ------
    InputError
        If nothing can be that wide.
    """
    check_width(width)
    x, y, half = at[0], at[1], width / 2.0
    signs = ((-1, -1), (1, -1), (1, 1), (-1, 1))
    return tuple((tidy(x + i * half), tidy(y + j * half)) for i, j in signs)


def _rings(surface: Surface, index: int) -> list[tuple[tuple[Place, ...], int]]:
    """Return each ring with the place in it that an index of all places means, -1 in the others."""
    out = []
    for ring in (surface.outline, *surface.holes):
        out.append((ring, index if 0 <= index < len(ring) else -1))
        index -= len(ring)
    return out


def _mapped(shape: Shape, to: Callable[[float, float], Place]) -> Shape:
    """Return a shape with every place on the plan taken elsewhere, in the order of :func:`places`."""
    if isinstance(shape, Surface):
        outline = tuple(to(x, y) for x, y in shape.outline)
        holes = tuple(tuple(to(x, y) for x, y in hole) for hole in shape.holes)
        return replace(shape, outline=outline, holes=holes)
    if isinstance(shape, Structure):
        return replace(shape, outline=tuple(to(x, y) for x, y in shape.outline))
    if isinstance(shape, Ladder):
        return replace(shape, points=tuple((*to(x, y), z) for x, y, z in shape.points))
    if isinstance(shape, AccessPoint):
        x, y, z = shape.position
        return replace(shape, position=(*to(x, y), z))
    return replace(shape, origin=to(*shape.origin))
