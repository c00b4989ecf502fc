"""Declared values as the text of a field, and back: in the units of the user, with one clear error."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import MISSING, dataclass
from typing import Any

from app.window.typed import length, number, quantity
from core.antennas.base import Parameter
from core.errors import InputError
from core.units import DIPOLE_DB, FOOT, format_quantity

_BARE = re.compile(r"[\s\d.,eE+-]+")


@dataclass(frozen=True, slots=True)
class Units:
    """How the user writes: lengths in feet, gains over a dipole."""

    feet: bool = False
    dbd: bool = False


def shown(value: Any, spec: Parameter, units: Units) -> str:
    """Return the text of a value; empty where there is none.

    It may be rounded in its last places: a text that nobody changes is not read back.
    """
    if value is None:
        return ""
    if spec.form == "length":
        return f"{_feet(value)} ft" if units.feet else f"{value:.12g} m"
    if spec.form == "wavelengths":
        return f"{value:.12g} λ"
    if spec.form == "gain":
        return f"{value - DIPOLE_DB:.6g} dBd" if units.dbd else f"{value:.12g} dBi"
    if spec.form in ("frequency", "power", "loss"):
        return format_quantity(float(f"{value:.9g}"), spec.form).replace(".0 dB", " dB")
    if spec.form == "angle":
        return f"{value:.12g}°"
    if spec.form == "numbers":
        return "; ".join(f"{one:.12g}" for one in value)
    return f"{value:.12g}" if spec.form in ("number", "count") else str(value)


def _feet(metres: float) -> str:
    feet = metres / FOOT
    return f"{feet:.4g}" if abs(feet) < 1.0 else f"{round(feet, 4):.12g}"


def taken(text: str, spec: Parameter, default: Any, units: Units) -> Any:
    """Return the value of a text in SI; what counts where nothing is said (``default``) where it is empty.

    Raises
    ------
    InputError
        If it is no such value, is out of range, or is needed and empty.
    """
    text = text.strip()
    if not text and spec.form not in ("text", "words"):
        if default is MISSING:
            raise InputError("is empty", fix=f"Write {_like(spec, units)}")
        return default
    if spec.form in ("text", "words", "file"):
        return text
    if spec.form == "numbers":
        parts = text.split(";") if ";" in text else text.split()
        return tuple(number(part.strip(" ,")) for part in parts if part.strip(" ,"))
    value = _READERS.get(spec.form, _number)(text, units)
    if not spec.low <= value <= spec.high:
        raise InputError(f"{text!r} is out of range", fix=f"Use {span(spec, units)}")
    if spec.form == "count":
        if value != int(value):
            raise InputError(f"{text!r} is not a whole number", fix=f"Use {span(spec, units)}")
        return int(value)
    return value


def span(spec: Parameter, units: Units) -> str:
    """Return what a field takes, in words; empty where it takes anything."""
    ends = [abs(end) for end in (spec.low, spec.high)]
    if max(ends) == float("inf"):
        return ""
    low, high = (shown(end, spec, units) for end in (spec.low, spec.high))
    return f"{low} to {high}"


def _like(spec: Parameter, units: Units) -> str:
    known = span(spec, units)
    return f"a value from {known}" if known else "it"


def is_dbd(text: str) -> bool | None:
    """Return whether a gain was typed over a dipole; None where it does not say."""
    found = re.search(r"dB([di])\s*$", text.strip())
    return found[1] == "d" if found else None


def _length(text: str, units: Units) -> float:
    return length(text, feet=units.feet)


def _wavelengths(text: str, _: Units) -> float:
    return number(re.sub(r"\s*(λ|wl|wavelengths?)\s*$", "", text))


def _angle(text: str, _: Units) -> float:
    return number(re.sub(r"\s*(°|deg|degrees?)\s*$", "", text))


def _loss(text: str, _: Units) -> float:
    # A loss has one unit only.
    return quantity(f"{text} dB" if _BARE.fullmatch(text) else text, "loss")


def _number(text: str, _: Units) -> float:
    return number(text.removesuffix("%"))


def _quantity(kind: str) -> Callable[[str, Units], float]:
    return lambda text, _: quantity(text, kind)


_READERS: dict[str, Callable[[str, Units], float]] = {
    "length": _length,
    "wavelengths": _wavelengths,
    "angle": _angle,
    "loss": _loss,
    "number": _number,
    "count": _number,
    **{kind: _quantity(kind) for kind in ("frequency", "power", "gain")},
}
