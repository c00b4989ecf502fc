"""Parts of a job as people type them: places, spans, times, states of emitters; and as fields show them."""

from __future__ import annotations

import math
import re

from app.window.typed import length, number, quantity
from core.errors import InputError
from core.site.job import Stop
from core.site.state import Condition, State
from core.units import FOOT, format_quantity

_STATES = {c.value: c for c in Condition if c is not Condition.REDUCED}
_SIGNS = re.compile(r"\s*(?:;|\bto\b)\s*")


def seconds(text: str) -> float:
    """Return typed time in s: ``5 min``, ``1.5 h``, ``90 s``; nothing typed is 0.

    Raises
    ------
    InputError
        If it is none.
    """
    return quantity(text, "time") if text.strip() else 0.0


def show_seconds(value: float) -> str:
    """Return s as :func:`seconds` reads them."""
    return format_quantity(value, "time") if value else ""


def lengths(text: str, count: int, *, feet: bool) -> tuple[float, ...]:
    """Return typed lengths in m with semicolons, or ``to``, between them.

    Raises
    ------
    InputError
        If they are not ``count`` lengths.
    """
    parts = [p for p in _SIGNS.split(text.strip()) if p]
    if len(parts) == 1 and count > 1 and text.count(",") == count - 1:
        parts = [p.strip() for p in text.split(",")]
    if len(parts) != count:
        fix = "130.5 to 131.5 m" if count == 2 else "; ".join(["-40", "0", "0"][:count])
        raise InputError(
            f"{text!r} is not {count} lengths",
            fix=f"Write them with semicolons between, like {fix}",
        )
    return tuple(length(part, feet=feet) for part in parts)


def show_lengths(values: tuple[float, ...], *, feet: bool) -> str:
    """Return lengths in m as :func:`lengths` reads them."""
    unit, scale = ("ft", FOOT) if feet else ("m", 1.0)
    return "; ".join(f"{v / scale:.6g}" for v in values) + f" {unit}"


def placed(stop: Stop, text: str, *, feet: bool) -> Stop:
    """Return a stop moved to a typed place: a height on its ladder, or x; y; z.

    Raises
    ------
    InputError
        If it is none.
    """
    if stop.ladder:
        tail = text.rpartition(",")[2] if text.startswith(stop.ladder) else text
        return Stop(
            name=stop.name,
            ladder=stop.ladder,
            height=length(tail.strip(), feet=feet),
            dwell=stop.dwell,
        )
    x, y, z = lengths(text, 3, feet=feet)
    return Stop(name=stop.name, position=(x, y, z), dwell=stop.dwell)


def show_place(stop: Stop, *, feet: bool) -> str:
    """Return where a stop is as :func:`placed` reads it."""
    if stop.ladder:
        return f"{stop.ladder}, {show_lengths((stop.height or 0.0,), feet=feet)}"
    return show_lengths(stop.position or (), feet=feet)


def state(text: str) -> State | None:
    """Return the planned state of an emitter: ``locked out``, ``off``, ``25 %``; nothing typed leaves it as it is.

    Raises
    ------
    InputError
        If it is none.
    """
    word = text.strip().lower().removeprefix("reduced to").strip()
    if word in ("", "as it is", "as the site has it"):
        return None
    if word in _STATES:
        return State(_STATES[word])
    try:
        percent = number(word.removesuffix("%").strip())
    except InputError:
        percent = math.nan
    if not 0.0 <= percent <= 100.0:
        raise InputError(
            f"{text!r} is not what a transmitter does",
            fix=f"Write {', '.join(_STATES)}, the power left like 25 %, or nothing",
        )
    return State(Condition.REDUCED, percent) if percent else State(Condition.LOCKED_OUT)


def show_state(value: State | None) -> str:
    """Return a planned state as :func:`state` reads it."""
    if value is None:
        return ""
    if value.condition is Condition.REDUCED:
        return f"reduced to {value.percent:g} %"
    return value.condition.value
