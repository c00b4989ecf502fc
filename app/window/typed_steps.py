"""Places and steps as people type them while they draw: ``12.5``, ``12.5 @ 90``, ``3 m E 2 m N``, ``x; y``."""

from __future__ import annotations

import math
import re

from app.modes.typed_place import parse_offset
from app.window.typed import length, number
from core.errors import InputError
from core.fences.outlines import Place
from core.site.moving import tidy

_WAY = re.compile(r"[\d\s.'\"](n|s|e|w|north|south|east|west)\b", re.IGNORECASE)
_INCHES = re.compile(r"\d\s*(in|inch|inches)\s*$", re.IGNORECASE)


def coordinates(text: str, *, feet: bool = False) -> tuple[float, ...] | None:
    """Return the lengths in m of ``x; y`` or ``x; y; z``; None where the text is no list.

    A comma parts them too, where a space follows it.

    Raises
    ------
    InputError
        If one of them is no length, or there are too few or too many.
    """
    parts = text.split(";") if ";" in text else re.split(r",\s+", text)
    if len(parts) < 2:
        return None
    if len(parts) > 3:
        raise InputError(f"{text!r} is no place", fix="Write x; y, or x; y; z")
    return tuple(tidy(length(part, feet=feet)) for part in parts)


def step(
    text: str,
    last: Place | None,
    toward: Place | None,
    *,
    feet: bool = False,
    grid_north: float = 0.0,
) -> tuple[float, ...]:
    """Return the place (x, y) or (x, y, z) in m that a text means.

    Parameters
    ----------
    text : str
        A length alone goes from the last place towards the pointer; with ``@`` along an azimuth from true north;
        with directions to the east and north; two lengths are the place itself.
    last : (x, y) or None
        The last place that was put.
    toward : (x, y) or None
        Where the pointer is.
    feet : bool
        What a bare number is in.
    grid_north : float
        Degrees by which the plan's up is clockwise of true north.

    Raises
    ------
    InputError
        If it cannot be read, or there is nothing to go from or to.
    """
    there = coordinates(text, feet=feet)
    if there is not None:
        return there
    if last is None:
        raise InputError(
            f"{text!r} is measured from the last place, and there is none yet",
            fix="Click the first place, or type it: x; y",
        )
    if "@" in text:
        far, _, way = text.partition("@")
        azimuth = math.radians(number(way.strip().removesuffix("°")) - grid_north)
        reach = length(far, feet=feet)
        return _from(last, reach * math.sin(azimuth), reach * math.cos(azimuth))
    if _WAY.search(text) and not _INCHES.search(text):
        return _from(last, *parse_offset(text, feet=feet))
    reach = length(text, feet=feet)
    apart = math.dist(last, toward) if toward is not None else 0.0
    if toward is None or apart < 1e-9:
        raise InputError(
            f"{text!r} has no direction",
            fix="Lead the pointer where it is to go, or write 12.5 @ 90",
        )
    return _from(last, reach * (toward[0] - last[0]) / apart, reach * (toward[1] - last[1]) / apart)


def height(text: str, floor: float, *, feet: bool = False) -> float:
    """Return a height in m above the datum; with a plus, above ``floor`` (m).

    Raises
    ------
    InputError
        If it is none.
    """
    up = length(text, feet=feet)
    return tidy(floor + up if text.strip().startswith("+") else up)


def _from(last: Place, east: float, north: float) -> Place:
    return tidy(last[0] + east), tidy(last[1] + north)
