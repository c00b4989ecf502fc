"""Numbers and units as people write them into the cells of a schedule.

A cell may have its unit with it ("100 kW", "12.5 dBd", 30'-6"), or take that of its column's header. Thousands may be
set apart by a space, an apostrophe, a point or a comma. What a lone comma or point before three digits means is taken
from the other cells of the table, never guessed.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterable
from dataclasses import dataclass

from core.errors import InputError
from core.units import parse_quantity, units_of

QUANTITIES = ("length", "frequency", "gain", "loss", "power", "wavelengths")

_SPACES = " \u00a0\u202f'’"
_NUMBER = re.compile(
    rf"\s*([+\-−]?)\s*(\d(?:[\d.,{_SPACES}]*[\d.,])?|[.,]\d+)((?<=[\d.,])[eE][+-]?\d+)?\s*(\D.*)?",
    re.DOTALL,
)
_SPACED = re.compile(rf"\d{{1,3}}(?:[{_SPACES}]\d{{3}})+(?:[.,]\d+)?")
_GROUPED = re.compile(r"\d{1,3}(?:[.,]\d{3})+")
_OPEN = re.compile(r"[1-9]\d{0,2}[.,]\d{3}")
_RANGE = re.compile(r"(?:-|−|–|to\b|\.\.+|/)\s*\d")
_FEET = re.compile(r"\s*([+\-−]?)(\d+)\s*(?:'|′|ft)\s*-?\s*(\d+(?:\.\d+)?)\s*(?:\"|″|in)\s*")
_SAID = {
    "feet": "ft", "foot": "ft", "'": "ft", "′": "ft", "inch": "in", "inches": "in", '"': "in", "″": "in",
    "meter": "m", "meters": "m", "metre": "m", "metres": "m", "watt": "W", "watts": "W", "kilowatt": "kW",
    "kilowatts": "kW", "λ": "wl",
}  # fmt: skip
_DEGREES = (
    "",
    "deg",
    "degree",
    "degrees",
    "°",
    "°t",
    "deg t",
    "° t",
    "t",
    "true",
    "deg true",
    "° true",
)
_MAGNETIC = ("°m", "deg m", "° m", "mag", "magnetic", "deg mag")


@dataclass(frozen=True, slots=True)
class Decimals:
    """The decimal signs that a table is known to use: both where it is mixed, none where no cell shows it."""

    signs: frozenset[str]

    def meaning(self, sign: str) -> bool | None:
        """Return whether a lone ``sign`` before three digits is the decimal sign; None where that is open."""
        if len(self.signs) == 2:
            return None
        if not self.signs:
            return True if sign == "." else None
        return sign in self.signs


POINT, COMMA = Decimals(frozenset(".")), Decimals(frozenset(","))
_OPEN_SIGNS = Decimals(frozenset(".,"))
"""Nothing is known: a lone sign before three digits is never guessed."""


def decimals_of(cells: Iterable[str], between: str = ",") -> Decimals:
    """Return the decimal signs that the numbers in some cells show.

    Parameters
    ----------
    cells : iterable of str
        The cells.
    between : str
        What stands between the cells of the table. Semicolons do where the comma is the decimal sign, and a point may
        set thousands apart there: if no number shows which, neither is taken for granted.
    """
    signs: set[str] = set()
    for text in cells:
        match = _NUMBER.fullmatch(text)
        if match is None:
            continue
        body = match[2].strip()
        if any(c in _SPACES for c in body) and not _SPACED.fullmatch(body):
            continue
        body = "".join(c for c in body if c not in _SPACES)
        found = [c for c in body if c in ".,"]
        if len(set(found)) == 2:
            signs.add(found[-1])
        elif len(found) > 1 and _GROUPED.fullmatch(body):
            signs.add("," if found[0] == "." else ".")
        elif len(found) == 1 and not _OPEN.fullmatch(body):
            signs.add(found[0])
    return Decimals(frozenset(signs)) if signs or between != ";" else _OPEN_SIGNS


def settled_by_table(text: str, decimals: Decimals) -> str:
    """Return the number that a cell with a lone sign before three digits is read as; nothing where all is plain.

    A point that other cells show to be the decimal sign is plain. ``text`` and ``decimals`` as in :func:`number_of`.
    """
    match = _NUMBER.fullmatch(text) if len(text) <= 100 else None
    body = match[2].strip() if match is not None else ""
    if not _OPEN.fullmatch(body):
        return ""
    sign = "," if "," in body else "."
    is_decimal = decimals.meaning(sign)
    if is_decimal is None or (sign in decimals.signs and sign == "."):
        return ""
    return body.replace(sign, "." if is_decimal else "")


def number_of(text: str, decimals: Decimals) -> tuple[float, str]:
    """Return the number in a cell and what stands behind it.

    Parameters
    ----------
    text : str
        The cell.
    decimals : Decimals
        The decimal signs of the table.

    Raises
    ------
    InputError
        If it is no number, or could be two.

    Examples
    --------
    >>> number_of("1 250,5 kW", COMMA), number_of("12.5dBd", POINT)
    ((1250.5, 'kW'), (12.5, 'dBd'))
    """
    match = _NUMBER.fullmatch(text) if len(text) <= 100 else None
    if match is None:
        raise InputError(f"{text[:60]!r} is not a number", fix="Write a number and its unit")
    if match[4] and _RANGE.match(match[4]):
        raise InputError(
            f"{text[:60]!r} is not one number",
            fix="Write one number and its unit, the higher of two",
        )
    body = _plain(match[2].strip(), text, decimals)
    value = float(body + (match[3] or ""))
    if not math.isfinite(value):
        raise InputError(f"{text!r} is too large", fix="Check the number and its unit")
    return (-value if match[1] and match[1] != "+" else value), (match[4] or "").strip()


def _plain(body: str, text: str, decimals: Decimals) -> str:
    """Return digits with a decimal point, or none."""
    if any(c in _SPACES for c in body):
        if not _SPACED.fullmatch(body):
            raise InputError(f"{text!r} is not one number", fix="Write one number and its unit")
        body = "".join(c for c in body if c not in _SPACES)
    signs = [c for c in body if c in ".,"]
    if not signs:
        return body
    if len(set(signs)) == 2:
        whole, _, part = body.rpartition(signs[-1])
        if signs.count(signs[-1]) > 1 or not _GROUPED.fullmatch(whole):
            raise InputError(f"{text!r} is not a number", fix="Write it without thousands signs")
        return f"{''.join(c for c in whole if c.isdigit())}.{part}"
    if len(signs) > 1:
        if not _GROUPED.fullmatch(body):
            raise InputError(f"{text!r} is not a number", fix="Write it with one decimal sign")
        return "".join(c for c in body if c.isdigit())
    sign = signs[0]
    if not _OPEN.fullmatch(body):
        return body.replace(sign, ".")
    is_decimal = decimals.meaning(sign)
    if is_decimal is None:
        whole = body.replace(sign, "")
        raise InputError(
            f"{text!r} could be {whole} or {body.replace(sign, '.')}",
            fix=f"Write {whole} or {body}0, or say which decimal sign the table has",
        )
    return body.replace(sign, "." if is_decimal else "")


def unit_named(word: str, form: str) -> str:
    """Return the unit that a ``word`` means for a ``form`` of quantity, whatever its case; nothing if it is none.

    Raises
    ------
    InputError
        If only its case would tell two units apart.
    """
    known = units_of(form)
    word = word.strip().rstrip(".")
    if word in known:
        return word
    said = _SAID.get(word.lower())
    if said in known:
        return said
    fitting = [unit for unit in known if unit.lower() == word.lower()]
    if len(fitting) > 1:
        raise InputError(
            f"{word!r} could be {' or '.join(fitting)}", fix=f"Write {' or '.join(fitting)}"
        )
    return fitting[0] if fitting else ""


def quantity_of(text: str, form: str, unit: str, decimals: Decimals) -> float:
    """Return the SI value of a cell.

    Parameters
    ----------
    text : str
        The cell.
    form : str
        ``length``, ``frequency``, ``gain``, ``loss``, ``power`` or ``wavelengths``.
    unit : str
        Unit of the column, for a cell without one; may be empty.
    decimals : Decimals
        The decimal signs of the table.

    Raises
    ------
    InputError
        If it is no such quantity, or has no unit.
    """
    feet = _FEET.fullmatch(text) if form == "length" else None
    if feet is not None:
        value = float(feet[2]) + float(feet[3]) / 12.0
        return parse_quantity(f"{-value if feet[1] and feet[1] != '+' else value!r} ft", "length")
    number, word = number_of(text, decimals)
    known = ", ".join(units_of(form))
    if not word and not unit:
        raise InputError(
            f"{text!r} has no unit", fix=f"Write one of {known} behind it or in the header"
        )
    named = unit_named(word, form) if word else unit
    if not named:
        raise InputError(f"{word!r} is not a unit of {form}", fix=f"Use one of {known}")
    return parse_quantity(f"{number!r} {named}", form)


def degrees_of(text: str, unit: str, decimals: Decimals, meaning: str = "like 4") -> float:
    """Return an angle in degrees; see :func:`quantity_of` for ``text``, ``unit`` and ``decimals``.

    ``meaning`` says from where they count, with an example.

    Raises
    ------
    InputError
        If it is no angle, or one from magnetic north.
    """
    if not any(c.isdigit() for c in text):
        raise InputError(f"{text[:60]!r} is not a number", fix=f"Write degrees {meaning}")
    number, word = number_of(text, decimals)
    said = (word or unit).lower()
    if said in _MAGNETIC:
        raise InputError(
            f"{text!r} is from magnetic north", fix="Give it from true north (add the declination)"
        )
    if said not in _DEGREES:
        raise InputError(f"{word or unit!r} is not a unit of angle", fix="Give degrees")
    return number


def share_of(text: str, unit: str, decimals: Decimals) -> float:
    """Return a share as a fraction, of ``0.75`` or ``75 %``.

    Parameters
    ----------
    text : str
        The cell.
    unit : str
        Unit of the column; may be empty.
    decimals : Decimals
        The decimal signs of the table.

    Raises
    ------
    InputError
        If it is none.
    """
    number, word = number_of(text, decimals)
    said = word or unit
    if said not in ("", "%", "percent"):
        raise InputError(f"{said!r} is not a unit of a share", fix="Use 0.75 or 75 %")
    return number / 100.0 if said else number
