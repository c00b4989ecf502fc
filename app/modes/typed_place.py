"""Places that are typed: so far to the side of something, at a height. No Qt."""

from __future__ import annotations

import math
import re

from core.errors import InputError
from core.site.site import Site
from core.site.surfaces import standing_on
from core.units import FOOT

Spot = tuple[float, float, float]
"""x, y, z in m."""

DATUM = "site datum"

_UNITS = {"m": 1.0, "cm": 0.01, "ft": FOOT, "'": FOOT, "in": FOOT / 12.0, '"': FOOT / 12.0}
_FEET, _INCHES = ("ft", "'"), ("in", '"')
_WAYS = {
    "east": (1.0, 0.0),
    "west": (-1.0, 0.0),
    "north": (0.0, 1.0),
    "south": (0.0, -1.0),
}
_PART = re.compile(
    r"\s*(?P<number>[+-]?(?:\d+(?:[.,]\d+)?|[.,]\d+))\s*(?P<unit>cm|m|ft|in|'|\")?\s*"
    r"(?P<way>(?:north|south|east|west|[nsew])(?!\w))?\s*(?:[;,](?=\s|$)|\band\b|;)?\s*",
    re.IGNORECASE,
)
_DOUBTFUL = re.compile(r"(?<![\d.,])[1-9]\d{0,2},\d{3}(?![\d.,])")
"""A comma before three digits may be a decimal one, or part thousands."""
_LONGEST = 80
"""Characters of a text that may be a place."""


def starts(site: Site, pin: Spot | None) -> dict[str, Spot]:
    """Return the places that others can be told from, by name."""
    out: dict[str, Spot] = {DATUM: (0.0, 0.0, 0.0)}
    if pin is not None:
        out["the pin"] = pin
    for antenna in site.antennas:
        out.setdefault(antenna.name, antenna.position)
    for access in site.access_points:
        out.setdefault(access.name, access.position)
    for ladder in site.ladders:
        for point, end in ((ladder.points[0], "first end"), (ladder.points[-1], "last end")):
            out.setdefault(f"{ladder.name}, {end}", point)
    return out


def parse_offset(text: str, *, feet: bool = False) -> tuple[float, float]:
    """Return metres to the east and to the north of such text as ``2 m west``, ``2 m W 3 m N`` or ``4; -1.5``.

    Two numbers without a direction are east and north. Without a unit they are metres, or feet if those are shown.
    Decimals follow a point or a comma.

    Raises
    ------
    InputError
        If it is something else.
    """
    found = _parts(text, "offset", feet=feet)
    if found is None or len(found) > 4:
        raise _refused(text, "offset", "Write 2 m west, or 2 m W 3 m N, or two numbers: 4; -1.5")
    lengths = [length for length, _ in found]
    ways = [way for _, way in found]
    if not any(ways):
        if len(lengths) not in (0, 2):
            raise _refused(text, "offset", "Say which way: 2 m west; or give east and north: 4; -1")
        return (lengths[0], lengths[1]) if lengths else (0.0, 0.0)
    if not all(ways):
        raise _refused(text, "offset", "Give each number its direction: 2 m west 3 m north")
    east, north = 0.0, 0.0
    for length, way in zip(lengths, ways, strict=True):
        right, up = next(v for k, v in _WAYS.items() if k.startswith(way.lower()))
        east, north = east + right * length, north + up * length
    return east, north


def parse_height(text: str, start: float, *, feet: bool = False) -> float:
    """Return the height above the datum, m, of such text as ``112 m``; with a sign from ``start``: ``+1.5 m``.

    Raises
    ------
    InputError
        If it is something else.
    """
    found = _parts(text, "height", feet=feet)
    if found is None or len(found) != 1 or found[0][1]:
        raise _refused(text, "height", "Write 112 m, or +1.5 m from the place in the list")
    height, _ = found[0]
    return start + height if text.strip()[0] in "+-" else height


def typed_place(
    site: Site, start: Spot, offset: str, height: str, *, feet: bool = False
) -> tuple[Spot, bool]:
    """Return the place, and whether somebody stands there: no height means the surface.

    Raises
    ------
    InputError
        If a text cannot be read.
    """
    east, north = parse_offset(offset, feet=feet)
    x, y = start[0] + east, start[1] + north
    if height.strip():
        return (x, y, parse_height(height, start[2], feet=feet)), False
    foot, _, _ = standing_on(site, x, y)
    return (x, y, foot), True


def _parts(text: str, field: str, *, feet: bool) -> list[tuple[float, str]] | None:
    """Return (m, direction) of each part, None where the text is anything else; 5 ft 6 in are one part."""
    out: list[tuple[float, str]] = []
    at, goes_on = 0, False
    text = text.strip()
    if len(text) > _LONGEST:
        return None
    if _DOUBTFUL.search(text):
        raise InputError(
            f"{text!r} can be read in two ways, a thousand times apart",
            field=field,
            fix="Write a decimal point, and no sign between thousands",
        )
    while at < len(text):
        match = _PART.match(text, at)
        if match is None or match.end() == at:
            return None
        number, unit, way = match["number"], (match["unit"] or "").lower(), match["way"] or ""
        value = _length(number, unit, feet=feet)
        if goes_on and unit in _INCHES and number[0] not in "+-":
            whole, _ = out.pop()
            value = whole + math.copysign(value, whole)
        out.append((value, way))
        goes_on = unit in _FEET and not way and not match[0].rstrip().endswith((",", ";"))
        at = match.end()
    return out


def _length(number: str, unit: str, *, feet: bool) -> float:
    scale = _UNITS[unit] if unit else FOOT if feet else 1.0
    return float(number.replace(",", ".")) * scale


def _refused(text: str, field: str, fix: str) -> InputError:
    return InputError(f"{text!r} is not understood", field=field, fix=fix)
