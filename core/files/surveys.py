"""Surveys in a site file: what their readings share is written once, in front of them."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Any

from core.errors import InputError
from core.files.node import Node
from core.files.schema_parts import TEXT, a_list, an_object, numbers, state_schema
from core.files.states import read_state, state_json
from core.limits.sets import SETS
from core.limits.tier import TIERS, Tier, tier_of
from core.site.state import State
from core.site.surveys import FIELD_UNITS, USUAL_UNCERTAINTY, Measured, Survey
from core.units import format_quantity

_SHARED = ("instrument", "uncertainty", "calibrated", "time", "states")
_READING = ("name", "position", "value", *_SHARED, "explained")
_SPELLED = {"mW/cm2": "mW/cm²", "W/m2": "W/m²"}
_VALUE = re.compile(r"^\s*([+-]?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][+-]?\d+)?)\s*(.*?)\s*$")


def read_surveys(node: Node) -> tuple[Survey, ...]:
    """Return the surveys of a site file.

    Parameters
    ----------
    node : Node
        The site.

    Raises
    ------
    InputError
        If one of them cannot be used.
    """
    return tuple(_placed(_survey, path, value) for path, value in node.children("surveys"))


def _placed(read: Any, path: str, value: object, *rest: object) -> Any:
    try:
        return read(path, value, *rest)
    except InputError as error:
        known = error.field.startswith(path)
        raise error if known else error.within(path) from None


def _survey(path: str, value: object) -> Survey:
    node = Node(value, path, ("name", *_SHARED, "readings"))
    return Survey(
        name=node.text("name"),
        readings=tuple(
            _placed(_reading, p, v, node) for p, v in node.children("readings", required=True)
        ),
    )


def _reading(path: str, value: object, survey: Node) -> Measured:
    node = Node(value, path, _READING)

    def of(key: str) -> Node:
        return node if node.has(key) else survey

    x, y, z = node.numbers("position", 3)
    try:
        amount, unit, limit_set, tier = parse_value(node.text("value"))
    except InputError as error:
        raise error.within(node.at("value")) from None
    shares = of("uncertainty")
    if not of("states").has("states"):
        raise node.error("states", "is missing", 'Say what was on: {"antenna": "on", ...}')
    return Measured(
        name=node.text("name"),
        position=(x, y, z),
        value=amount,
        unit=unit,
        limit_set=limit_set,
        tier=tier,
        states=_states(of("states")),
        uncertainty=shares.quantity("uncertainty", "loss")
        if shares.has("uncertainty")
        else USUAL_UNCERTAINTY,
        instrument=of("instrument").text("instrument", ""),
        calibrated=of("calibrated").text("calibrated", ""),
        time=of("time").text("time", ""),
        explained=node.text("explained", ""),
    )


def parse_value(text: str) -> tuple[float, str, str, Tier]:
    """Return value, unit, limit set and tier of text such as ``"12.5 V/m"`` or ``"35 % FCC occupational"``.

    Raises
    ------
    InputError
        If it is no number with a unit of a reading.
    """
    match = _VALUE.match(text) if len(text) <= 100 else None
    if match is None:
        raise InputError(
            f"{text!r} is not a number with a unit", fix='Write it like "12.5 V/m", with a point'
        )
    return float(match[1]), *parse_unit(match[2])


def parse_unit(text: str) -> tuple[str, str, Tier]:
    """Return unit, limit set and tier of text such as ``"V/m"`` or ``"% FCC occupational"``.

    Raises
    ------
    InputError
        If it is no unit of a reading.
    """
    words = text.split()
    unit = _SPELLED.get(text.strip(), text.strip())
    if unit in FIELD_UNITS:
        return unit, "", "occupational"
    if words and words[0] == "%":
        if len(words) != 3 or words[1] not in SETS:
            raise InputError(
                f"{text!r} does not say of which limit",
                fix=f"Write like % FCC occupational; the sets are {', '.join(SETS)}",
            )
        return "%", words[1], tier_of(words[2])
    said = f"{text!r} is not a unit of a reading" if text.strip() else "has no unit"
    raise InputError(said, fix=f"Use one of {', '.join(FIELD_UNITS)}, or like % FCC occupational")


def _states(node: Node) -> tuple[tuple[str, State], ...]:
    value = node.values["states"]
    if not isinstance(value, dict):
        raise node.error("states", "must be an object in braces", 'Write {"antenna": "on", ...}')
    one = Node(value, node.at("states"), tuple(value))
    return tuple((antenna, read_state(one, antenna)) for antenna in value)


def surveys_json(surveys: Sequence[Survey]) -> list[dict[str, object]]:
    """Return surveys as the JSON value that :func:`read_surveys` reads back to the same surveys.

    Parameters
    ----------
    surveys : sequence of Survey
        The surveys.
    """
    return [_survey_json(s) for s in surveys]


def _survey_json(survey: Survey) -> dict[str, object]:
    readings = [_reading_json(r) for r in survey.readings]
    # What all of them say alike is said once.
    shared = {
        key: readings[0][key]
        for key in _SHARED
        if key in readings[0] and all(r.get(key) == readings[0][key] for r in readings)
    }
    rest = [{k: v for k, v in r.items() if k not in shared} for r in readings]
    return {"name": survey.name, **shared, "readings": rest}


def _reading_json(r: Measured) -> dict[str, object]:
    unit = f"% {r.limit_set} {r.tier}" if r.unit == "%" else r.unit
    out: dict[str, object] = {
        "name": r.name,
        "position": list(r.position),
        "value": f"{r.value!r} {unit}",
        "uncertainty": format_quantity(r.uncertainty, "loss"),
        "states": {name: state_json(state) for name, state in r.states},
    }
    texts = {"instrument": r.instrument, "calibrated": r.calibrated, "time": r.time}
    out |= {key: text for key, text in (*texts.items(), ("explained", r.explained)) if text}
    return out


def survey_schema() -> dict[str, Any]:
    """Return the schema (draft 2020-12) of a survey."""
    states = {
        "type": "object",
        "description": "what each antenna on the list was doing; one that is not named was not there",
        "additionalProperties": state_schema(),
    }
    usual = f"either way, like '2 dB'; {USUAL_UNCERTAINTY:g} dB where not said"
    units = f"like '12.5 V/m' ({', '.join(FIELD_UNITS)}) or '35 % FCC occupational' ({' or '.join(TIERS)})"
    shared: dict[str, Any] = {
        "instrument": TEXT,
        "uncertainty": TEXT | {"description": usual},
        "calibrated": TEXT | {"description": "date of the calibration, like 2026-05-31"},
        "time": TEXT | {"description": "date or time of the reading, like 2026-05-31T14:20"},
        "states": states,
    }
    why = "why it is above the prediction; then it raises nothing"
    reading = an_object(
        {
            "name": TEXT,
            "position": numbers(3),
            "value": TEXT | {"description": units},
            **shared,
            "explained": TEXT | {"description": why},
        },
        ["name", "position", "value"],
    )
    return an_object({"name": TEXT, **shared, "readings": a_list(reading)}, ["name", "readings"])
