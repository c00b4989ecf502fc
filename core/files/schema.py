"""The JSON Schema of the site file, built from the same declarations that read it."""

from __future__ import annotations

from dataclasses import MISSING
from typing import Any

from core.antennas.base import Parameter, parameters
from core.antennas.kinds import KINDS
from core.files.allowances import allowance_schema
from core.files.entry_schema import garment_schema, job_schema
from core.files.named_states import states_schema
from core.files.schema_parts import (
    EXAMPLES,
    NUMBER,
    TEXT,
    a_list,
    an_object,
    numbers,
    quantity,
    state_schema,
)
from core.files.surveys import survey_schema
from core.limits.sets import SETS
from core.limits.tier import TIERS
from core.site.places import AccessPoint, Structure, Surface
from core.site.reflection import ReflectionKind

_REFLECTION: dict[str, Any] = {
    "anyOf": [
        {"enum": [k.value for k in ReflectionKind]},
        {
            "type": "object",
            "description": "two rays from ground with these constants (S/m); plane in m above the datum, "
            "else every surface below the antenna",
            "properties": {"permittivity": NUMBER, "conductivity": NUMBER, "plane": NUMBER},
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
        **an_object(
            {
                "format": {"const": "isofence-site"},
                "version": {"const": 1},
                "name": TEXT,
                "story": TEXT,
                "revision": TEXT,
                "limits": {"enum": list(SETS)},
                "estimate": {"enum": ["conservative", "best"]},
                "reflection": _REFLECTION,
                "extent": numbers(4),
                "anchor": an_object(
                    {"latitude": NUMBER, "longitude": NUMBER, "grid_north": NUMBER},
                    ["latitude", "longitude"],
                ),
                "picture": an_object(
                    {
                        "file": TEXT,
                        "metres_per_pixel": NUMBER,
                        "origin": numbers(2),
                        "rotation": NUMBER,
                        "opacity": {
                            "type": "number",
                            "description": "how strong its lines are drawn, 0 to 1",
                        },
                    },
                    ["file", "metres_per_pixel", "origin"],
                ),
                "surfaces": a_list(
                    an_object(
                        {
                            "name": TEXT,
                            "kind": {"enum": list(Surface.KINDS)},
                            "height": NUMBER,
                            "outline": a_list(numbers(2)),
                            "holes": a_list(a_list(numbers(2))),
                            "material": {
                                "enum": list(Surface.MATERIALS),
                                "description": "what it reflects as; left out: soil for ground, metal for all else",
                            },
                        },
                        ["name", "kind", "height", "outline"],
                    )
                ),
                "structures": a_list(
                    an_object(
                        {
                            "name": TEXT,
                            "kind": {"enum": list(Structure.KINDS)},
                            "outline": a_list(numbers(2)),
                            "base": NUMBER,
                            "top": NUMBER,
                        },
                        ["name", "kind", "outline", "base", "top"],
                    )
                ),
                "ladders": a_list(
                    an_object({"name": TEXT, "points": a_list(numbers(3))}, ["name", "points"])
                ),
                "access_points": a_list(
                    an_object(
                        {
                            "name": TEXT,
                            "kind": {"enum": list(AccessPoint.KINDS)},
                            "position": numbers(3),
                            "public": {"type": "boolean"},
                        },
                        ["name", "kind", "position"],
                    )
                ),
                "fences": a_list(
                    an_object(
                        {
                            "name": TEXT,
                            "tier": {"enum": list(TIERS)},
                            "threshold": NUMBER,
                            "outline": a_list(numbers(2)),
                            "ladder": TEXT,
                            "stops": a_list(numbers(2)),
                        },
                        ["name", "tier"],
                    )
                ),
                "states": states_schema(),
                "garments": a_list(garment_schema()),
                "jobs": a_list(job_schema()),
                "antennas": a_list({"anyOf": [_antenna(key) for key in KINDS]}),
                "surveys": a_list(survey_schema()),
            },
            ["format", "version", "name", "antennas"],
        ),
    }


def _antenna(key: str) -> dict[str, Any]:
    model = _parameters(KINDS[key])
    return an_object(
        {
            "name": TEXT,
            "kind": {"const": key, "description": KINDS[key].TITLE},
            "model": model,
            "position": numbers(3),
            "azimuth": NUMBER,
            "tilt": NUMBER,
            "roll": NUMBER,
            "state": state_schema(),
            "reflection": _REFLECTION,
            "estimate": {"enum": ["conservative", "best"]},
            "tower_in_pattern": {
                "type": "boolean",
                "description": "the pattern was measured with the tower in it: steel is not counted twice",
            },
            "allows": allowance_schema(),
            "owner": TEXT,
            "contact": TEXT,
            "remark": TEXT,
            "carriers": a_list(_carrier()),
        },
        ["name", "kind", "position", "carriers", *(["model"] if model["required"] else [])],
    )


def _carrier() -> dict[str, Any]:
    power = quantity("power", "average power")
    return an_object(
        {
            "name": TEXT,
            "frequency": quantity("frequency", "carrier frequency"),
            "transmitter": power,
            "loss": quantity("loss", "line and filter loss"),
            "gain": quantity("gain", "stated antenna gain"),
            "erp": power,
            "erp_vertical": power,
            "eirp": power,
            "duty": NUMBER,
            "duty_source": TEXT,
        },
        ["name", "frequency"],
    )


def _parameters(cls: type) -> dict[str, Any]:
    declared = parameters(cls)
    required = [name for name, (_, default) in declared.items() if default is MISSING]
    return an_object({name: _one(spec) for name, (spec, _) in declared.items()}, required)


def _one(spec: Parameter) -> dict[str, Any]:
    if spec.form in EXAMPLES:
        return quantity(spec.form, spec.help)
    if spec.form == "parts":
        assert spec.parts is not None
        return a_list(_parameters(spec.parts)) | {"description": spec.help}
    forms: dict[str, dict[str, Any]] = {
        "choice": {"enum": list(spec.choices)},
        "count": {"type": "integer", "minimum": spec.low, "maximum": spec.high},
        "numbers": a_list(NUMBER),
        "file": TEXT,
        "flag": {"type": "boolean"},
        "text": TEXT,
    }
    return forms.get(spec.form, NUMBER) | {"description": spec.help}
