"""Pieces that the JSON Schema of the site file is put together from."""

from __future__ import annotations

from typing import Any

from core.files.states import WORDS

TEXT: dict[str, Any] = {"type": "string"}
NUMBER: dict[str, Any] = {"type": "number"}
EXAMPLES = {
    "frequency": "98.1 MHz",
    "power": "25 kW",
    "gain": "6.2 dBd",
    "loss": "0.8 dB",
    "length": "2.05 m",
    "wavelengths": "0.9 wl",
    "time": "20 min",
    "speed": "9 m/min",
}


def state_schema() -> dict[str, Any]:
    """Return the schema of an antenna's state."""
    left = an_object({"reduced_percent": NUMBER}, ["reduced_percent"])
    return {"anyOf": [{"enum": list(WORDS)}, left]}


def quantity(form: str, help: str) -> dict[str, Any]:
    """Return the schema of text with a unit.

    Parameters
    ----------
    form : str
        Which quantity, a key of :data:`EXAMPLES`.
    help : str
        What it is, in words.
    """
    return {"type": "string", "description": f"{help}, like {EXAMPLES[form]!r}"}


def an_object(properties: dict[str, Any], required: list[str]) -> dict[str, Any]:
    """Return the schema of an object.

    Parameters
    ----------
    properties : dict
        What it may have, by name.
    required : list of str
        What it must have.
    """
    return {
        "type": "object",
        "properties": properties,
        "required": required,
        "additionalProperties": False,
    }


def a_list(items: dict[str, Any]) -> dict[str, Any]:
    """Return the schema of a list of such items."""
    return {"type": "array", "items": items}


def numbers(count: int) -> dict[str, Any]:
    """Return the schema of a list of so many numbers, the count."""
    return {"type": "array", "items": NUMBER, "minItems": count, "maxItems": count}
