"""The JSON Schema of garments and jobs in the site file."""

from __future__ import annotations

from typing import Any

from core.files.schema_parts import NUMBER, TEXT, a_list, an_object, numbers, quantity, state_schema
from core.limits.tier import TIERS
from core.site.garment import COMPLETE_SET, Soundness
from core.site.job import HIGHER_CONTROLS
from core.site.ticks import PRE_USE_CHECKS

_MOMENT = {"type": "string", "description": "a day, or a day and a time like '2026-12-01 07:40'"}
_DATE = {"type": "string", "description": "a date like '2026-11-24'"}


def garment_schema() -> dict[str, Any]:
    """Return the schema of a garment: its card, and the record of the set at hand."""
    rating = TEXT | {
        "description": "percent of the occupational limit or attenuation of the whole garment, like '800 %' or '9 dB'"
    }
    band = an_object(
        {
            "low": quantity("frequency", "lower edge"),
            "high": quantity("frequency", "upper edge"),
            "rating": rating,
        },
        ["low", "high", "rating"],
    )
    return an_object(
        {
            "name": TEXT,
            "source": TEXT | {"description": "whose figures these are: the maker's card"},
            "bands": a_list(band),
            "parts": a_list({"enum": list(COMPLETE_SET)})
            | {"description": "what of the set is at hand; left out: all of it"},
            "condition": {"enum": [s.value for s in Soundness]},
            "inspected": _DATE,
            "inspected_by": TEXT,
            "wear": TEXT | {"description": "the card's rules of wear"},
            "remark": TEXT,
        },
        ["name", "source", "bands", "condition"],
    )


def job_schema() -> dict[str, Any]:
    """Return the schema of a job."""
    work = {
        "anyOf": [
            an_object({"low": numbers(3), "high": numbers(3)}, ["low", "high"])
            | {"description": "a box between two corners, m"},
            an_object({"ladder": TEXT, "heights": numbers(2)}, ["ladder", "heights"])
            | {"description": "a span of heights on a ladder, m above the datum"},
        ]
    }
    tick = an_object({"by": TEXT, "when": _MOMENT}, ["by", "when"])
    return an_object(
        {
            "name": TEXT,
            "tier": {"enum": list(TIERS), "description": "whose limit; left out: occupational"},
            "when": TEXT,
            "crew": TEXT | {"description": "who goes"},
            "route": an_object(
                {
                    "stops": a_list(_stop()),
                    "way_down": a_list(_stop())
                    | {"description": "left out: the same way back without a stop"},
                    "climb_speed": quantity("speed", "on ladders"),
                    "walk_speed": quantity("speed", "elsewhere"),
                },
                ["stops"],
            ),
            "work": work,
            "states": {
                "type": "object",
                "description": "what antennas are set to for the job, by name; others as the site has them",
                "additionalProperties": state_schema(),
            },
            "garment": TEXT | {"description": "name of a garment of the site"},
            "garment_training": TEXT
            | {
                "description": "when and by whom the wearers were trained with it; no credit without"
            },
            "higher_controls": an_object(dict.fromkeys(HIGHER_CONTROLS, TEXT), [])
            | {
                "description": "why each control before the garment was not enough; no credit without"
            },
            "garment_checks": an_object(dict.fromkeys(PRE_USE_CHECKS, tick), [])
            | {"description": "checks before the garment is worn that are done, by whom and when"},
            "dwell_ceiling_percent": NUMBER
            | {"description": "of the occupational limit, 100 to 1000; left out: 300"},
            "garment_margin": quantity("loss", "left under the garment's rating"),
            "remark": TEXT,
        },
        ["name"],
    )


def _stop() -> dict[str, Any]:
    return an_object(
        {
            "name": TEXT,
            "position": numbers(3),
            "ladder": TEXT,
            "height": NUMBER | {"description": "of the climber's middle on the ladder, m"},
            "dwell": quantity("time", "time spent there"),
        },
        ["name"],
    )
