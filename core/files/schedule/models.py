"""The kind of an antenna in a schedule, and the parameters that the kind declares."""

from __future__ import annotations

from typing import Any

from core.antennas.kinds import KINDS
from core.errors import InputError
from core.files.schedule.cells import declared, kind_of, parameter_of, parts_of
from core.files.schedule.columns import heading
from core.files.schedule.rows import AntennaRows, agree, settled, text_of, unlike
from core.files.schedule.writer import CLEAR


def put_kind(here: AntennaRows, json: dict[str, Any]) -> None:
    """Set the kind in an antenna's ``json`` as its rows (``here``) say; those of another kind do not stay."""
    for row in here.rows:
        for column in here.columns:
            text = text_of(row, column)
            if column.key != "kind" or not text.strip():
                continue
            try:
                key, entry = kind_of(text)
            except InputError as error:
                here.refused(row, column, error)
                continue
            if json.get("kind", key) != key:
                if here.draft.old is None:
                    here.problem(row, "kind", f"{text.strip()[:60]!r} is another kind than in an earlier row",
                                 "Give one kind for an antenna")  # fmt: skip
                    continue
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
                target, name, spec = _target(json["model"], cls, key)
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
        fix="Leave the cell empty",
    )
