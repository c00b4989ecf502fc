"""Antenna kinds to and from JSON, by their declared parameters alone."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import MISSING
from pathlib import Path
from types import MappingProxyType
from typing import Any

from core.antennas.base import Kind, Parameter, parameters
from core.antennas.kinds import KINDS
from core.errors import InputError
from core.files.node import Node
from core.files.paths import inside, is_file, within
from core.patterns.model import PatternData
from core.patterns.readers import read_pattern
from core.units import format_quantity

NOTHING: Mapping[str, Path] = MappingProxyType({})
"""No file was brought in."""
_QUANTITIES = ("length", "frequency", "gain", "loss", "power", "wavelengths")


def read_kind(
    key: str, value: object, path: str, folder: Path, brought: Mapping[str, Path] = NOTHING
) -> Kind:
    """Return a kind from the JSON object of its parameters.

    Parameters
    ----------
    key : str
        Its key.
    value : object
        The value.
    path : str
        The file.
    folder : Path
        Where the site file is.
    brought : mapping of str to Path
        Files by name that are elsewhere still.

    Raises
    ------
    InputError
        If the kind is unknown, or a parameter is missing, unknown, out of range or without unit.
    """
    if key not in KINDS:
        raise InputError(
            f"{key!r} is not an antenna kind",
            field=path.removesuffix(".model") + ".kind",
            fix=f"Use one of {', '.join(KINDS)}",
        )
    cls = KINDS[key]
    try:
        values = _read_parameters(cls, value, path)
        if "file" in values:
            values["data"] = pattern_of(
                values["file"], reader_answers(cls, values), f"{path}.file", folder, brought
            )
        return cls(**values)
    except InputError as error:
        raise (
            error if error.field.startswith(path) or error.source else error.within(path)
        ) from None


def pattern_of(
    name: str, answers: dict[str, Any], path: str, folder: Path, brought: Mapping[str, Path]
) -> PatternData:
    """Return the pattern in a file beside the site, or in one that was brought in and is not there yet.

    Parameters
    ----------
    name : str
        Of the file.
    answers : dict
        What its reader is told; see :func:`reader_answers`.
    path : str
        Where it is named, for the error.
    folder : Path
        Where the site file is.
    brought : mapping of str to Path
        Files by name that are elsewhere still.

    Raises
    ------
    InputError
        If there is none, or it cannot be used.
    """
    file = within(folder, name, path)
    if name not in brought or is_file(file):
        file = inside(folder, name, path)
    else:
        file = brought[name]
    return read_pattern(file, **answers)


def reader_answers(cls: type, values: Mapping[str, Any]) -> dict[str, Any]:
    """Return what the parameters of a kind (``values`` by name) answer its pattern reader."""
    return {
        spec.reader: values[name]
        for name, (spec, _) in parameters(cls).items()
        if spec.reader and name in values
    }


def _read_parameters(cls: type, value: object, path: str) -> dict[str, Any]:
    declared = parameters(cls)
    node = Node(value, path, tuple(declared))
    values: dict[str, Any] = {}
    for name, (spec, default) in declared.items():
        if not node.has(name):
            if default is MISSING:
                raise node.error(name, "is missing", f"Add it: {spec.help}")
            continue
        values[name] = _read_one(node, name, spec)
    return values


def _read_one(node: Node, name: str, spec: Parameter) -> Any:
    if spec.form in _QUANTITIES:
        return node.within(node.quantity(name, spec.form), name, spec.low, spec.high)
    if spec.form == "parts":
        assert spec.parts is not None
        parts = tuple(_part(spec.parts, child, path) for path, child in node.children(name))
        if not parts:
            raise node.error(name, "is empty", f"Give at least one: {spec.help}")
        return parts
    readers: dict[str, Callable[[], Any]] = {
        "choice": lambda: node.choice(name, spec.choices),
        "count": lambda: node.count(name, int(spec.low), int(spec.high)),
        "numbers": lambda: node.numbers(name),
        "file": lambda: node.text(name),
        "flag": lambda: node.flag(name, default=False),
        "text": lambda: node.text(name),
    }
    return readers.get(spec.form, lambda: node.number(name, None, spec.low, spec.high))()


def _part(cls: type, value: object, path: str) -> Any:
    """Read one part of a kind; an error of its own checks gets its place in front."""
    values = _read_parameters(cls, value, path)
    try:
        return cls(**values)
    except InputError as error:
        raise error.within(path) from None


def write_kind(kind: Any) -> dict[str, object]:
    """Return the JSON object of a kind's (or a part's) parameters; defaults are left out."""
    out: dict[str, object] = {}
    for name, (spec, default) in parameters(type(kind)).items():
        value = getattr(kind, name)
        if value is None or (default is not MISSING and value == default):
            continue
        if spec.form in _QUANTITIES:
            out[name] = format_quantity(value, spec.form)
        elif spec.form == "parts":
            out[name] = [write_kind(part) for part in value]
        elif spec.form == "numbers":
            out[name] = list(value)
        else:
            out[name] = value
    return out
