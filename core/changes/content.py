"""What a value holds, whatever object holds it: two readings of one pattern file are the same antenna."""

from __future__ import annotations

import dataclasses
import hashlib
from collections.abc import Iterator
from enum import Enum

import numpy as np

from core.antennas.base import Kind, parameters
from core.site.site import Site


def fingerprint(value: object) -> str:
    """Return a digest of all that a value holds: numbers, texts, arrays, dataclasses and their lists.

    Parameters
    ----------
    value : object
        The value.

    Raises
    ------
    TypeError
        If it holds something whose content cannot be told.
    """
    digest = hashlib.sha256()
    for piece in _pieces(value):
        digest.update(piece)
    return digest.hexdigest()


def _pieces(value: object) -> Iterator[bytes]:
    yield type(value).__name__.encode()
    if isinstance(value, np.ndarray):
        yield f"{value.dtype}{value.shape}".encode()
        yield np.ascontiguousarray(value).tobytes()
    elif dataclasses.is_dataclass(value) and not isinstance(value, type):
        for field in dataclasses.fields(value):
            if field.init:
                yield field.name.encode()
                yield from _pieces(getattr(value, field.name))
    elif isinstance(value, tuple | list):
        yield str(len(value)).encode()
        for item in value:
            yield from _pieces(item)
    elif isinstance(value, dict):
        for key in sorted(value):
            yield from _pieces(key)
            yield from _pieces(value[key])
    elif value is None or isinstance(value, str | int | float | bool | Enum | np.generic):
        yield repr(value).encode()
    else:
        raise TypeError(f"the content of a {type(value).__name__} is not known")


def file_content(kind: Kind) -> str:
    """Return a digest of what an antenna's pattern file says, whatever it is called; nothing where it has none.

    Parameters
    ----------
    kind : Kind
        The antenna's model.
    """
    declared = parameters(type(kind))
    held = []
    for field in dataclasses.fields(kind):  # type: ignore[arg-type]
        value = getattr(kind, field.name)
        if field.name not in declared and field.init and value is not None:
            named = dataclasses.is_dataclass(value) and hasattr(value, "source")
            held.append(dataclasses.replace(value, source="") if named else value)
    return fingerprint(held) if held else ""


def sharing(before: Site, after: Site) -> Site:
    """Return the site after, with the models of the site before where they hold the same.

    Sites are read one at a time, and a pattern read twice is two objects. With one object, what is computed of it is
    computed once.

    Parameters
    ----------
    before, after : Site
        The two states.
    """
    known = {fingerprint(a.kind): a.kind for a in before.antennas}
    antennas = tuple(
        dataclasses.replace(a, kind=known.get(fingerprint(a.kind), a.kind)) for a in after.antennas
    )
    return dataclasses.replace(after, antennas=antennas)
