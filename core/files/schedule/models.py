"""The kind of an antenna in a schedule, and the parameters that the kind declares."""

from __future__ import annotations

from dataclasses import MISSING
from typing import Any

from core.antennas.base import parameters
from core.antennas.catalogue import CATALOGUE, Entry, classes_at
from core.antennas.generic import Generic
from core.antennas.kinds import KINDS
from core.errors import InputError
from core.files.schedule.cells import declared, kind_of, parameter_of, parts_of
from core.files.schedule.columns import heading
from core.files.schedule.numbers import degrees_of
from core.files.schedule.rows import AntennaRows, agree, settled, text_of, unlike
from core.files.schedule.writer import CLEAR
from core.units import parse_quantity

_WIDTH = "model.azimuth_width"


def put_kind(here: AntennaRows, json: dict[str, Any]) -> None:
    """Set the kind in an antenna's ``json`` as its rows (``here``) say; those of another kind do not stay."""
    said: tuple[str, str] | None = None
    for row in here.rows:
        for column in here.columns:
            text = text_of(row, column)
            if column.key != "kind" or not text.strip():
                continue
            try:
                key, entry = kind_of(text, _frequency(here))
            except InputError as error:
                here.refused(row, column, error)
                continue
            if said is not None and said != (key, entry):
                here.problem(row, "kind", f"{text.strip()[:60]!r} is another kind than in an earlier row",
                             "Give one kind for an antenna")  # fmt: skip
                continue
            said = (key, entry)
            if json.get("kind", key) != key:
                json["model"] = {}
            json["kind"] = key
            if entry:
                json["model"]["entry"] = entry


def put_parameter(here: AntennaRows, json: dict[str, Any], key: str) -> None:
    """Set the parameter of a ``key`` in an antenna's ``json``, or in a part of it, as its rows (``here``) say."""
    cls = KINDS.get(str(json.get("kind")))
    found: tuple[object, int] | None = None
    for row in here.rows:
        for column in here.columns:
            text = text_of(row, column)
            if column.key != key or not text.strip() or cls is None:
                continue
            try:
                if key == _WIDTH and _has_width(json, degrees_of(text, column.unit, here.decimals)):
                    continue
                target, name, spec = _target(json["model"], cls, _own_name(cls, key))
                clears = text.strip().lower() == CLEAR
                value = None if clears else parameter_of(text, spec, column.unit, here.decimals)
                if found is not None and not agree(found[0], value, spec.form):
                    raise unlike(text, found[1])
            except InputError as error:
                here.refused(row, column, error)
                continue
            if found is None and value is None:
                target.pop(name, None)
            elif found is None:
                target[name] = settled(target.get(name), value)
            found = found or (value, row.number)


def _own_name(cls: type, key: str) -> str:
    """Return the key by which a kind knows a parameter: of a class a beam's tilt is its electrical one."""
    return "model.electrical_tilt" if cls is Generic and key == "model.beam_tilt" else key


def _has_width(json: dict[str, Any], degrees: float) -> bool:
    """Return whether an antenna is of a class of that width: then a cell that says so changes nothing."""
    entry = CATALOGUE.get(str(json["model"].get("entry")))
    if json.get("kind") != "generic" or entry is None:
        return False
    kind = entry.build(entry.low)
    widths = [getattr(part, "azimuth_width", None) for part in (kind, *getattr(kind, "bands", ()))]
    return degrees in widths


def missing_parameters(here: AntennaRows, json: dict[str, Any]) -> None:
    """Note in one problem all that an antenna's ``json`` (of the rows ``here``) lacks, and the class that would do."""
    cls = KINDS.get(str(json.get("kind")))
    if cls is None:
        return
    keys = [f"model.{name}" for name in _needed(cls, json["model"])]
    listed = parts_of(cls)
    if listed is not None:
        name, part = listed
        parts = json["model"].get(name) or [{}] * (parameters(cls)[name][1] is MISSING)
        heads = (
            ["model"] if len(parts) == 1 else [f"model.{name}.{i + 1}" for i in range(len(parts))]
        )
        keys += [
            f"{h}.{n}"
            for h, values in zip(heads, parts, strict=True)
            for n in _needed(part, values)
        ]
    # What a cell says and cannot be used has its own problem.
    keys = [key for key in keys if here.said(key) is None]
    if not keys:
        return
    fix = f"Add {'it' if len(keys) == 1 else 'these columns'}"
    if "model.gain" in keys and here.said("gain") is not None:
        fix += f' (the column "{heading("model.gain")}" is what the antenna has, "gain" what the power is counted with)'
    frequency = _frequency(here)
    classes = classes_at(frequency, cls.KEY) if frequency is not None else ()
    if classes and frequency is not None:
        classes = _alike(classes, json["model"], frequency)
        more = " or another of the catalogue" if len(classes) > 1 else ""
        fix += (
            f", or use the class {classes[0].key} ({classes[0].title}){more} in place of {cls.KEY}"
        )
    also = f", and so {'are' if len(keys) > 2 else 'is'} {', '.join(map(heading, keys[1:]))}"
    here.problem(here.rows[0], keys[0], f"is missing{also if keys[1:] else ''}", fix)


def _alike(
    classes: tuple[Entry, ...], model: dict[str, Any], frequency: float
) -> tuple[Entry, ...]:
    """Return the classes with those first that have as many bays, levels or elements as the table says."""
    counts = {k: v for k, v in model.items() if k in ("bays", "levels", "elements")}

    def differs(one: Entry) -> bool:
        built = one.build(frequency)
        return any(getattr(built, k, v) != v for k, v in counts.items())

    return tuple(sorted(classes, key=differs))


def _needed(cls: type, values: dict[str, Any]) -> list[str]:
    """Return the parameters without a default that ``values`` lacks; lists of parts are looked into, not named."""
    return [
        name
        for name, (spec, default) in parameters(cls).items()
        if default is MISSING and name not in values and spec.form != "parts"
    ]


def _frequency(here: AntennaRows) -> float | None:
    """Return the first frequency (Hz) that some rows say; None where none can be read."""
    for row in here.rows:
        for column in here.columns:
            if column.key == "frequency" and text_of(row, column).strip():
                try:
                    return parse_quantity(here.value(text_of(row, column), column), "frequency")
                except InputError:
                    return None
    old = here.draft.old
    return old.carriers[0].frequency if old is not None and old.carriers else None


def _target(model: dict[str, Any], cls: type, key: str) -> tuple[dict[str, Any], str, Any]:
    """Return where in a model a parameter stands, its name, and its declaration."""
    words = key.split(".")[1:]
    parts = parts_of(cls)
    if len(words) == 3 and parts is not None and words[0] == parts[0]:
        spec, number, name = declared(parts[1], words[2]), int(words[1]), words[2]
        listed = model.setdefault(parts[0], [])
        if number < 1 or number > len(listed) + 1:
            raise InputError(f"there is no part {number}", fix=f"Give part {len(listed) + 1} first")
        if spec is not None:
            if number > len(listed):
                listed.append({})
            return listed[number - 1], name, spec
    name = words[-1]
    if len(words) == 1:
        spec = declared(cls, name)
        if spec is not None:
            return model, name, spec
        spec = declared(parts[1], name) if parts is not None else None
        if spec is not None and parts is not None:
            listed = model.setdefault(parts[0], [])
            if len(listed) > 1:
                raise InputError(
                    f"the antenna has {len(listed)} {parts[0]}",
                    fix=f"Call the column: {parts[0]} 1 {name}",
                )
            if not listed:
                listed.append({})
            return listed[0], name, spec
    raise InputError(
        f"{heading(key)!r} is no parameter of a {getattr(cls, 'KEY', '')}",
        fix="Leave the cell empty"
        + (": a class has its own" if getattr(cls, "KEY", "") == "generic" else ""),
    )
