"""The JSON Schema of the site file, built from the same declarations that read it."""

from __future__ import annotations

from dataclasses import MISSING
from typing import Any

from core.antennas.base import Parameter, parameters
from core.antennas.kinds import KINDS
from core.limits.sets import SETS
from core.limits.tier import TIERS
from core.site.places import AccessPoint, Structure, Surface
from core.site.reflection import ReflectionKind
from core.site.site import Condition

_TEXT: dict[str, Any] = {"type": "string"}
_NUMBER: dict[str, Any] = {"type": "number"}
_EXAMPLE = {
    "frequency": "98.1 MHz",
    "power": "25 kW",
    "gain": "6.2 dBd",
    "loss": "0.8 dB",
    "length": "2.05 m",
    "wavelengths": "0.9 wl",
}

_REFLECTION: dict[str, Any] = {
    "anyOf": [
        {"enum": [k.value for k in ReflectionKind]},
        {
            "type": "object",
            "description": "two rays from ground with these constants (S/m); plane in m above the datum, "
            "else every surface below the antenna",
            "properties": {"permittivity": _NUMBER, "conductivity": _NUMBER, "plane": _NUMBER},
            "additionalProperties": False,
        },
    ]
}


def site_schema() -> dict[str, Any]:
    """Return the schema (draft 2020-12) of version 1."""
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "Isofence site, version 1",
        "description": "Lengths in m, angles in degrees (azimuth clockwise from true north, tilt positive down); "
        "powers, gains, losses and frequencies are text with their unit.",
        **_object(
            {
                "format": {"const": "isofence-site"},
                "version": {"const": 1},
                "name": _TEXT,
                "story": _TEXT,
                "revision": _TEXT,
                "limits": {"enum": list(SETS)},
                "estimate": {"enum": ["conservative", "best"]},
                "reflection": _REFLECTION,
                "extent": _numbers(4),
                "anchor": _object(
                    {"latitude": _NUMBER, "longitude": _NUMBER, "grid_north": _NUMBER},
                    ["latitude", "longitude"],
                ),
                "picture": _object(
                    {
                        "file": _TEXT,
                        "flag": {"type": "boolean"},
                        "metres_per_pixel": _NUMBER,
                        "origin": _numbers(2),
                        "rotation": _NUMBER,
                    },
                    ["file", "metres_per_pixel", "origin"],
                ),
                "surfaces": _list(
                    _object(
                        {
                            "name": _TEXT,
                            "kind": {"enum": list(Surface.KINDS)},
                            "height": _NUMBER,
                            "outline": _list(_numbers(2)),
                            "holes": _list(_list(_numbers(2))),
                            "material": {
                                "enum": list(Surface.MATERIALS),
                                "description": "what it reflects as; left out: soil for ground, metal for all else",
                            },
                        },
                        ["name", "kind", "height", "outline"],
                    )
                ),
                "structures": _list(
                    _object(
                        {
                            "name": _TEXT,
                            "kind": {"enum": list(Structure.KINDS)},
                            "outline": _list(_numbers(2)),
                            "base": _NUMBER,
                            "top": _NUMBER,
                        },
                        ["name", "kind", "outline", "base", "top"],
                    )
                ),
                "ladders": _list(
                    _object({"name": _TEXT, "points": _list(_numbers(3))}, ["name", "points"])
                ),
                "access_points": _list(
                    _object(
                        {
                            "name": _TEXT,
                            "kind": {"enum": list(AccessPoint.KINDS)},
                            "position": _numbers(3),
                            "public": {"type": "boolean"},
                        },
                        ["name", "kind", "position"],
                    )
                ),
                "fences": _list(
                    _object(
                        {
                            "name": _TEXT,
                            "tier": {"enum": list(TIERS)},
                            "threshold": _NUMBER,
                            "outline": _list(_numbers(2)),
                            "ladder": _TEXT,
                            "stops": _list(_numbers(2)),
                        },
                        ["name", "tier"],
                    )
                ),
                "antennas": _list({"anyOf": [_antenna(key) for key in KINDS]}),
            },
            ["format", "version", "name", "antennas"],
        ),
    }


def _antenna(key: str) -> dict[str, Any]:
    model = _parameters(KINDS[key])
    words = [c.value for c in Condition if c is not Condition.REDUCED]
    return _object(
        {
            "name": _TEXT,
            "kind": {"const": key, "description": KINDS[key].TITLE},
            "model": model,
            "position": _numbers(3),
            "azimuth": _NUMBER,
            "tilt": _NUMBER,
            "roll": _NUMBER,
            "state": {
                "anyOf": [
                    {"enum": words},
                    _object({"reduced_percent": _NUMBER}, ["reduced_percent"]),
                ]
            },
            "reflection": _REFLECTION,
            "estimate": {"enum": ["conservative", "best"]},
            "tower_in_pattern": {
                "type": "boolean",
                "description": "the pattern was measured with the tower in it: steel is not counted twice",
            },
            "owner": _TEXT,
            "contact": _TEXT,
            "remark": _TEXT,
            "carriers": _list(_carrier()),
        },
        ["name", "kind", "position", "carriers", *(["model"] if model["required"] else [])],
    )


def _carrier() -> dict[str, Any]:
    power = _quantity("power", "average power")
    return _object(
        {
            "name": _TEXT,
            "frequency": _quantity("frequency", "carrier frequency"),
            "transmitter": power,
            "loss": _quantity("loss", "line and filter loss"),
            "gain": _quantity("gain", "stated antenna gain"),
            "erp": power,
            "erp_vertical": power,
            "eirp": power,
            "duty": _NUMBER,
            "duty_source": _TEXT,
        },
        ["name", "frequency"],
    )


def _parameters(cls: type) -> dict[str, Any]:
    declared = parameters(cls)
    required = [name for name, (_, default) in declared.items() if default is MISSING]
    return _object({name: _one(spec) for name, (spec, _) in declared.items()}, required)


def _one(spec: Parameter) -> dict[str, Any]:
    if spec.form in _EXAMPLE:
        return _quantity(spec.form, spec.help)
    if spec.form == "parts":
        assert spec.parts is not None
        return _list(_parameters(spec.parts)) | {"description": spec.help}
    forms: dict[str, dict[str, Any]] = {
        "choice": {"enum": list(spec.choices)},
        "count": {"type": "integer", "minimum": spec.low, "maximum": spec.high},
        "numbers": _list(_NUMBER),
        "file": _TEXT,
        "text": _TEXT,
    }
    return forms.get(spec.form, _NUMBER) | {"description": spec.help}


def _quantity(form: str, help: str) -> dict[str, Any]:
    return {"type": "string", "description": f"{help}, like {_EXAMPLE[form]!r}"}


def _object(properties: dict[str, Any], required: list[str]) -> dict[str, Any]:
    return {
        "type": "object",
        "properties": properties,
        "required": required,
        "additionalProperties": False,
    }


def _list(items: dict[str, Any]) -> dict[str, Any]:
    return {"type": "array", "items": items}


def _numbers(count: int) -> dict[str, Any]:
    return {"type": "array", "items": _NUMBER, "minItems": count, "maxItems": count}
