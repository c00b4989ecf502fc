"""Numbers as people type them: a decimal comma or point, feet and inches, units. Read here, at the edge of the window.

A comma before exactly three digits may be meant either way, a thousand times apart; it is refused, never guessed.
"""

from __future__ import annotations

import re
from collections.abc import Callable

from core.errors import InputError
from core.units import FOOT, LONGEST, parse_quantity

_LENGTHS = {
    "m": 1.0, "cm": 0.01, "mm": 0.001, "km": 1000.0, "ft": FOOT, "'": FOOT, "′": FOOT, "feet": FOOT,
    "in": FOOT / 12.0, '"': FOOT / 12.0, "″": FOOT / 12.0, "''": FOOT / 12.0, "inch": FOOT / 12.0,
    "inches": FOOT / 12.0,
}  # fmt: skip
_PART = re.compile(r"\s*([+-]?(?:\d+(?:\.\d*)?|\.\d+))\s*([a-zA-Z'\"′″]*)\s*")
_DOUBTFUL = re.compile(r"\d,\d{3}(?!\d)")
_DECIMAL = re.compile(r"(?<![\d.,])([+-]?\d*),(\d+)(?![\d.,])")


def pointed(text: str) -> str:
    """Return a text with its decimal comma as a point.

    Raises
    ------
    InputError
        If a comma may as well part thousands, or points and commas are mixed.
    """
    if "," not in text:
        return text
    if _DOUBTFUL.search(text) and not re.search(r"(?<!\d)0,\d{3}(?!\d)", text):
        raise InputError(
            f"{text!r} can be read in two ways, a thousand times apart",
            fix="Write a decimal point, and no sign between thousands",
        )
    made = _DECIMAL.sub(r"\1.\2", text)
    if "," in made:
        raise InputError(f"{text!r} is not a number", fix="Write one decimal point or comma")
    return made


def quantity(text: str, kind: str) -> float:
    """Return the SI value of a typed quantity with its unit, as ``2,5 kW`` or ``98.1 MHz``.

    Raises
    ------
    InputError
        As :func:`pointed` and :func:`core.units.parse_quantity`.
    """
    return parse_quantity(pointed(text), kind)


def number(text: str) -> float:
    """Return a typed number.

    Raises
    ------
    InputError
        If it is none.
    """
    try:
        if len(text) > LONGEST or not re.fullmatch(r"[\s\d.,eE+-]*", text):
            raise ValueError
        return float(pointed(text))
    except ValueError:
        raise InputError(f"{text!r} is not a number", fix="Write a number, as 1.5 or 1,5") from None


def length(text: str, *, feet: bool = False) -> float:
    """Return a typed length in m: ``1.5``, ``1,5 m``, ``16 ft``, ``5' 6"``, ``5 ft 6 in``.

    A bare number is in m, or in ft where ``feet`` are shown.

    Raises
    ------
    InputError
        If it is none.
    """
    wrong = InputError(
        f"{text!r} is not a length",
        fix="Write a number, with m, ft or in, or feet and inches: 5 ft 6 in",
    )
    parts: list[tuple[float, str]] = []
    made, at = pointed(text), 0
    while at < len(made) <= LONGEST:
        found = _PART.match(made, at)
        if found is None or (parts and found[1][0] in "+-"):
            raise wrong
        parts.append((float(found[1]), found[2].lower()))
        at = found.end()
    if not parts or len(made) > LONGEST or any(unit and unit not in _LENGTHS for _, unit in parts):
        raise wrong
    if len(parts) == 1:
        value, unit = parts[0]
        return value * _LENGTHS[unit or ("ft" if feet else "m")]
    units = [_LENGTHS.get(unit) for _, unit in parts]
    inches = parts[1][0]
    if len(parts) != 2 or units != [FOOT, FOOT / 12.0] or not 0.0 <= inches < 12.0:
        raise wrong
    sign = -1.0 if made.strip().startswith("-") else 1.0
    return sign * (abs(parts[0][0]) * FOOT + inches * FOOT / 12.0)


def numbers(
    text: str, count: int, field: str, read: Callable[[str], float] = number
) -> tuple[float, ...]:
    """Return several typed numbers, with commas between or semicolons.

    Raises
    ------
    InputError
        If they are not so many (``count``); the error names the ``field``.
    """
    try:
        # With semicolons between, commas are decimal ones.
        parts = text.split(";") if ";" in text or count == 1 else text.split(",")
        values = tuple(read(part) for part in parts)
    except InputError:
        values = ()
    if len(values) != count:
        raise InputError(
            f"{text!r} is not {count} numbers",
            field=field,
            fix="Write decimal points with commas between, or semicolons between",
        )
    return values
