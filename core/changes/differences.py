"""What changed between two states of a site, in the words of the schedule.

Every field of every entry is compared. One that is not in the tables here is still reported, under its own name, so
that nothing that is new in a site can change unseen.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator, Sequence
from typing import Any

from core.antennas.base import Kind, parameters
from core.changes.content import file_content
from core.changes.words import (
    Words,
    degrees,
    frequency,
    metres,
    outlines,
    place,
    plain,
    region,
    stated,
    summary,
)
from core.site.site import Site

_FIELDS: dict[str, tuple[str, Words]] = {
    "Antenna.position": ("moved", place),
    "Antenna.azimuth": ("turned", degrees),
    "Antenna.tilt": ("re-tilted", degrees),
    "Antenna.roll": ("rolled", degrees),
    "Antenna.conservative": ("estimate", lambda v, **_: _estimate(v)),
    "Antenna.tower_in_pattern": ("tower in its pattern", plain),
    "Carrier.frequency": ("frequency", frequency),
    "Carrier.duty": ("duty factor", plain),
    "Carrier.duty_source": ("source of the duty factor", plain),
    "Surface.height": ("height", metres),
    "Surface.material": ("material", plain),
    "Structure.base": ("base", metres),
    "Structure.top": ("top", metres),
    "AccessPoint.position": ("moved", place),
    "AccessPoint.public": ("open to the public", plain),
    "Fence.threshold": ("threshold", plain),
    "Site.limit_set": ("limit set", plain),
    "Site.conservative": ("estimate", lambda v, **_: _estimate(v)),
    "Site.extent": ("frame of the plan", region),
    "Site.picture": ("plan picture", plain),
    "Site.anchor": ("place on the earth", plain),
}
"""Class and field → what the change is called, and how its values are said."""

_NOUNS = {
    "antennas": "antenna", "carriers": "carrier", "surfaces": "surface", "structures": "structure",
    "ladders": "ladder", "access_points": "access point", "fences": "fence",
}  # fmt: skip


@dataclasses.dataclass(frozen=True, slots=True)
class Difference:
    """One thing that changed: what, on which entry of the site, and its values before and after in words."""

    what: str
    name: str
    was: str
    now: str

    @property
    def words(self) -> str:
        """The change in one line."""
        said = " → ".join(v for v in (self.was, self.now) if v)
        return f"{self.name}: {self.what}: {said}"


def differences(before: Site, after: Site, *, feet: bool = False) -> tuple[Difference, ...]:
    """Return everything that changed from one state of a site to the other; turned round, everything is turned round.

    Parameters
    ----------
    before, after : Site
        The two states.
    feet : bool
        Lengths and areas in feet instead of metres.
    """
    return tuple(_fields(before, after, "site", feet=feet))


def renamed(was: Sequence[Any], now: Sequence[Any]) -> dict[str, str]:
    """Return the names before, by those after, of entries that differ in nothing but their names.

    Parameters
    ----------
    was, now : sequence
        A list of entries of a site in its two states.
    """
    old, new = {v.name for v in was}, {v.name for v in now}
    came = [v for v in now if v.name not in old]
    names: dict[str, str] = {}
    for item in was:
        if item.name not in new:
            same = (v.name for v in came if v.name not in names and _is_renamed(item, v))
            second = next(same, None)
            if second is not None:
                names[second] = item.name
    return names


def _fields(was: Any, now: Any, name: str, *, feet: bool) -> Iterator[Difference]:
    """Yield the changes of two entries of one class, field by field."""
    cls = type(was)
    for field in dataclasses.fields(cls):
        one, other = getattr(was, field.name), getattr(now, field.name)
        if one is other or (field.name == "name" and cls is not Site):
            continue
        if isinstance(one, Kind) and isinstance(other, Kind):
            yield from _kinds(one, other, name, feet=feet)
        elif _are_entries(one) or _are_entries(other):
            noun = _NOUNS.get(field.name, field.name.removesuffix("s").replace("_", " "))
            yield from _group(noun, one, other, name if cls is not Site else "", feet=feet)
        elif one != other:
            word, said = _FIELDS.get(f"{cls.__name__}.{field.name}", ("", plain))
            word = word or field.name.replace("_", " ")
            if field.name in ("outline", "points", "holes", "stops"):
                first, second = _corners(one, other, feet=feet)
            else:
                first, second = said(one, feet=feet), said(other, feet=feet)
                if first == second:
                    # Less than the last digit of feet: metres say all of them.
                    first, second = said(one), said(other)
            yield Difference(word, name, first, second)


def _corners(one: tuple[Any, ...], other: tuple[Any, ...], *, feet: bool) -> tuple[str, str]:
    """Return two outlines, lines or lists of outlines in words."""
    rings = any(isinstance(v, tuple) and isinstance(v[0], tuple) for v in (*one, *other) if v)
    if rings:
        one, other = sum(one, ()), sum(other, ())
    return outlines(one, other, feet=feet)


def _are_entries(value: object) -> bool:
    return isinstance(value, tuple) and any(
        dataclasses.is_dataclass(v) and hasattr(v, "name") for v in value
    )


def _group(
    noun: str, was: Sequence[Any], now: Sequence[Any], owner: str, *, feet: bool
) -> Iterator[Difference]:
    """Yield the changes of a list of entries that have names: gone, added, renamed, changed."""
    old, new = {v.name: v for v in was}, {v.name: v for v in now}
    names = renamed(was, now)
    for second, first in names.items():
        yield Difference("renamed", _path(owner, noun), first, second)
    for name, item in old.items():
        if name not in new and name not in names.values():
            yield Difference(f"{noun} gone", _path(owner, name), summary(item, feet=feet), "")
    for name, item in new.items():
        if name not in old and name not in names:
            yield Difference(f"{noun} added", _path(owner, name), "", summary(item, feet=feet))
    for name, item in old.items():
        if name in new:
            yield from _fields(item, new[name], _path(owner, name), feet=feet)


def _is_renamed(item: Any, other: Any) -> bool:
    """Return whether two entries differ in nothing but their names."""
    return isinstance(other, type(item)) and not list(_fields(item, other, "", feet=False))


def _path(owner: str, name: str) -> str:
    return f"{owner}: {name}" if owner else name


def _kinds(was: Kind, now: Kind, name: str, *, feet: bool) -> Iterator[Difference]:
    if type(was) is not type(now):
        yield Difference("exchanged", name, was.TITLE, now.TITLE)
        return
    yield from _model(was, now, name, "model", feet=feet)
    contents = [file_content(kind) for kind in (was, now)]
    if contents[0] != contents[1]:
        files = [getattr(kind, "file", "pattern") for kind in (was, now)]
        said = [f"{file} (content {key[:8]})" for file, key in zip(files, contents, strict=True)]
        yield Difference("pattern file's content", name, said[0], said[1])


def _model(was: Any, now: Any, name: str, where: str, *, feet: bool) -> Iterator[Difference]:
    """Yield the changes of a model, or of one of its parts, parameter by parameter."""
    for key, (spec, _) in parameters(type(was)).items():
        one, other = getattr(was, key), getattr(now, key)
        place = f"{where}, {key.replace('_', ' ')}"
        if spec.form == "parts" and len(one) == len(other):
            for number, (a, b) in enumerate(zip(one, other, strict=True), 1):
                yield from _model(a, b, name, f"{place} {number}", feet=feet)
        elif spec.form == "parts":
            yield Difference(place, name, f"{len(one)} of them", f"{len(other)} of them")
        elif one != other:
            first, second = stated(one, spec, feet=feet), stated(other, spec, feet=feet)
            if first == second:
                first, second = stated(one, spec), stated(other, spec)
            yield Difference(place, name, first, second)


def _estimate(value: object) -> str:
    if value is None:
        return "that of the site"
    return "conservative" if value else "best estimate, can be low"
