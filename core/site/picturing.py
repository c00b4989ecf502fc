"""Where the plan picture lies: placed by two points of it, or by a world file."""

from __future__ import annotations

import math
from dataclasses import replace

from core.errors import InputError
from core.site.moving import tidy, wrapped
from core.site.places import FARTHEST, Picture

Place = tuple[float, float]
_SAME = 0.001
"""m: places nearer than this are one."""
_SKEW = 0.005
"""Part of a pixel by which the two sides of a world file's pixels may differ."""


def scaled_to(picture: Picture, first: Place, second: Place, distance: float) -> Picture:
    """Return a picture scaled so that two places on it are so far apart; the first stays where it is.

    Parameters
    ----------
    picture : Picture
        The picture as it lies.
    first, second : (x, y)
        Places on the plan, m, as it lies.
    distance : float
        How far apart what is drawn there is, m.

    Raises
    ------
    InputError
        If the places are one, or the distance is none.
    """
    apart = _apart(first, second)
    if not (math.isfinite(distance) and distance > 0.0):
        raise InputError(f"{distance:g} m", field="distance", fix="Give more than 0 m")
    share = distance / apart
    to = first[0] + share * (second[0] - first[0]), first[1] + share * (second[1] - first[1])
    return laid(picture, (first, second), (first, to))


def laid(picture: Picture, here: tuple[Place, Place], there: tuple[Place, Place]) -> Picture:
    """Return a picture moved, turned and scaled so that two places on it come to lie on two others.

    Parameters
    ----------
    picture : Picture
        The picture as it lies.
    here : two (x, y)
        Where two things on the picture are now, m.
    there : two (x, y)
        Where they are on the site, m.

    Raises
    ------
    InputError
        If two of the places are one, or the scale is no scale of a plan.
    """
    grow = _apart(*there) / _apart(*here)
    turn = _azimuth(*there) - _azimuth(*here)
    sin, cos = math.sin(turn), math.cos(turn)
    x, y = picture.origin[0] - here[0][0], picture.origin[1] - here[0][1]
    origin = (
        tidy(there[0][0] + grow * (x * cos + y * sin)),
        tidy(there[0][1] + grow * (y * cos - x * sin)),
    )
    return replace(
        picture,
        metres_per_pixel=picture.metres_per_pixel * grow,
        origin=origin,
        rotation=wrapped(picture.rotation + math.degrees(turn)),
    )


def by_world_file(
    file: str, numbers: tuple[float, ...], rows: int, opacity: float
) -> tuple[Picture, bool]:
    """Return a picture placed by the six numbers of a world file, and whether its place could be used.

    Coordinates of a national grid are no place on a site: the scale and the turn are used then, and the lower left
    corner lies on the datum.

    Parameters
    ----------
    file : str
        The name of the picture beside the site.
    numbers : six floats
        x by column, y by column, x by row, y by row in m, and where the middle of the upper left pixel is.
    rows : int
        Rows of the picture.
    opacity : float
        How strong its lines are, 0 to 1.

    Raises
    ------
    InputError
        If the pixels are no squares, or mirrored.
    """
    a, d, b, e, c, f = numbers
    side = math.hypot(a, d)
    if not side or abs(b - d) > _SKEW * side or abs(e + a) > _SKEW * side:
        raise InputError(
            "its pixels are no squares, or are mirrored",
            field="world file",
            fix="Make the picture anew with square pixels, or place it by two points",
        )
    # The lower left corner is half a pixel left of the first column and half a pixel below the last row.
    x = c - 0.5 * a + b * (rows - 0.5)
    y = f - 0.5 * d + e * (rows - 0.5)
    used = abs(x) <= FARTHEST and abs(y) <= FARTHEST
    made = Picture(
        file=file,
        metres_per_pixel=side,
        origin=(tidy(x), tidy(y)) if used else (0.0, 0.0),
        rotation=wrapped(-math.degrees(math.atan2(d, a))),
        opacity=opacity,
    )
    return made, used


def _apart(one: Place, other: Place) -> float:
    apart = math.dist(one, other)
    if not apart > _SAME:
        raise InputError("the two points are one", field="points", fix="Choose them far apart")
    return apart


def _azimuth(one: Place, other: Place) -> float:
    return math.atan2(other[0] - one[0], other[1] - one[1])
