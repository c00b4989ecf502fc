"""What one hold of a shape means where the site is seen from the side: a height, or a place and its height."""

from __future__ import annotations

from dataclasses import replace

from core.site.moving import Spot, tidy
from core.site.parts import Shape
from core.site.places import AccessPoint, Ladder, Structure, Surface


def holds(shape: Shape) -> tuple[float, ...]:
    """Return the heights, m, that can be changed by themselves: of a surface, a top, each point of a ladder, a way in.

    Parameters
    ----------
    shape : shape
        The shape; a picture has none.
    """
    if isinstance(shape, Surface):
        return (shape.height,)
    if isinstance(shape, Structure):
        return (shape.top,)
    if isinstance(shape, Ladder):
        return tuple(z for _, _, z in shape.points)
    return (shape.position[2],) if isinstance(shape, AccessPoint) else ()


def lifted(shape: Shape, index: int, by: Spot) -> Shape:
    """Return a shape with one of its :func:`holds` elsewhere.

    Surfaces and tops only go up and down: where they are on the plan stays.

    Parameters
    ----------
    shape : shape
        The shape.
    index : int
        Which hold.
    by : (x, y, z)
        How far to the east, to the north and up, m.

    Raises
    ------
    InputError
        If that is no place on a site, or a top is not above its base.
    """
    east, north, up = by
    if isinstance(shape, Surface):
        return replace(shape, height=tidy(shape.height + up))
    if isinstance(shape, Structure):
        return replace(shape, top=tidy(shape.top + up))
    if isinstance(shape, Ladder):
        x, y, z = shape.points[index]
        new = tidy(x + east), tidy(y + north), tidy(z + up)
        return replace(shape, points=(*shape.points[:index], new, *shape.points[index + 1 :]))
    if isinstance(shape, AccessPoint):
        x, y, z = shape.position
        return replace(shape, position=(tidy(x + east), tidy(y + north), tidy(z + up)))
    return shape
