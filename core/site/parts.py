"""What stands on a site besides antennas and fences, one thing at a time: taken out, changed, put back.

A part is named by its group and its name. Every function here gives a new site; nothing is changed in place.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any, Literal, get_args

from core.errors import InputError
from core.site.job import Job, Route, Stop
from core.site.places import AccessPoint, Ladder, Picture, Structure, Surface
from core.site.site import Site

Group = Literal["site", "surfaces", "structures", "ladders", "access_points", "picture"]
GROUPS: tuple[Group, ...] = get_args(Group)
Shape = Surface | Structure | Ladder | AccessPoint | Picture
"""Something with a place that can be drawn, moved and turned."""

_GROUP_OF: dict[type, Group] = {
    Site: "site",
    Surface: "surfaces",
    Structure: "structures",
    Ladder: "ladders",
    AccessPoint: "access_points",
    Picture: "picture",
}


@dataclass(frozen=True, slots=True)
class Part:
    """What part of a site is meant. Of the site itself and of its picture there is one each, without a name."""

    group: Group
    name: str = ""


THE_SITE, THE_PICTURE = Part("site"), Part("picture")


def parts(site: Site) -> tuple[Part, ...]:
    """Return every part of a site in the order of its file, the site itself first.

    Parameters
    ----------
    site : Site
        The site.
    """
    named = [
        Part(group, item.name)
        for group in GROUPS
        if group not in ("site", "picture")
        for item in getattr(site, group)
    ]
    return (THE_SITE, *named, *([THE_PICTURE] if site.picture is not None else []))


def part_of(value: Shape | Site) -> Part:
    """Return which part a value is, by its group and name.

    Parameters
    ----------
    value : shape or site
        The value.
    """
    group = _GROUP_OF[type(value)]
    return Part(group, "" if isinstance(value, Site | Picture) else value.name)


def value_of(site: Site, part: Part) -> Shape | Site | None:
    """Return what a part is on a site; None where there is no such part.

    Parameters
    ----------
    site : Site
        The site.
    part : Part
        Which one.
    """
    if part.group == "site":
        return site
    if part.group == "picture":
        return site.picture
    return next((item for item in getattr(site, part.group) if item.name == part.name), None)


def with_value(site: Site, part: Part, value: Shape | Site) -> Site:
    """Return a site with one part changed; what names a ladder follows when it is called otherwise.

    Parameters
    ----------
    site : Site
        The site.
    part : Part
        Which one, as it is called before.
    value : shape or site
        What it is to be.

    Raises
    ------
    InputError
        If the part is gone, or another of its group has that name.
    """
    if isinstance(value, Site):
        return value
    if isinstance(value, Picture):
        return replace(site, picture=value)
    if value_of(site, part) is None:
        raise InputError(f"there is no {part.name!r} any more", fix="Choose another part")
    changed = tuple(value if item.name == part.name else item for item in getattr(site, part.group))
    changes: dict[str, Any] = {part.group: changed}
    site = replace(site, **changes)
    if isinstance(value, Ladder) and value.name != part.name:
        return _ladder_renamed(site, part.name, value.name)
    return site


def with_added(site: Site, *values: Shape) -> Site:
    """Return a site with parts more, in the order given.

    Parameters
    ----------
    site : Site
        The site.
    values : shapes
        What is added; a picture takes the place of the one there is.

    Raises
    ------
    InputError
        If there is one of that name already.
    """
    for value in values:
        if isinstance(value, Picture):
            site = replace(site, picture=value)
            continue
        group = _GROUP_OF[type(value)]
        added: dict[str, Any] = {group: (*getattr(site, group), value)}
        site = replace(site, **added)
    return site


def without(site: Site, part: Part) -> Site:
    """Return a site without a part; the stops of a ladder that goes, go with it.

    Parameters
    ----------
    site : Site
        The site.
    part : Part
        Which one.

    Raises
    ------
    InputError
        If it is the site itself.
    """
    if part.group == "site":
        raise InputError("a site cannot be removed from itself", fix="Choose a part of it")
    if part.group == "picture":
        return replace(site, picture=None)
    kept: dict[str, Any] = {
        part.group: tuple(item for item in getattr(site, part.group) if item.name != part.name)
    }
    if part.group == "ladders":
        kept["fences"] = tuple(f for f in site.fences if f.ladder != part.name)
    return replace(site, **kept)


def free_name(site: Site, group: Group, stem: str) -> str:
    """Return a name that no part of a group has: the stem, or the stem with a number.

    Parameters
    ----------
    site : Site
        The site.
    group : str
        Which group.
    stem : str
        What it is to be called.
    """
    taken = {item.name for item in getattr(site, group)}
    count = 1
    while (name := stem if count == 1 else f"{stem} {count}") in taken:
        count += 1
    return name


def _ladder_renamed(site: Site, old: str, new: str) -> Site:
    def stops(items: tuple[Stop, ...] | None) -> tuple[Stop, ...] | None:
        if items is None:
            return None
        return tuple(replace(s, ladder=new) if s.ladder == old else s for s in items)

    def route(of: Route | None) -> Route | None:
        if of is None:
            return None
        return replace(of, stops=stops(of.stops) or (), way_down=stops(of.way_down))

    def job(one: Job) -> Job:
        work = one.work
        if work is not None and work.ladder == old:
            work = replace(work, ladder=new)
        return replace(one, route=route(one.route), work=work)

    fences = tuple(replace(f, ladder=new) if f.ladder == old else f for f in site.fences)
    return replace(site, fences=fences, jobs=tuple(job(j) for j in site.jobs))
