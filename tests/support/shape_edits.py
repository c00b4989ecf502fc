"""Random edits of shapes, as a user makes them: drawn, moved, turned, typed, copied, reshaped, removed."""

from __future__ import annotations

import random
from dataclasses import replace
from typing import Any

from app.modes.making import made, stem_of
from app.modes.shape_kinds import DRAWN, kind_of, said
from app.window.document import Document
from core.errors import InputError
from core.site.moving import moved, places, turned, with_corner, with_place, without_corner
from core.site.parts import free_name, parts, value_of
from core.site.roofs import with_changed, with_copy, without_part
from core.site.site import Site

_MOST = 14


def random_shape_edit(document: Document, rng: random.Random) -> None:
    """Make one edit that changes something; those that are refused change nothing."""
    before = document.site
    while document.site == before:
        try:
            _try(document, rng)
        except InputError:
            assert document.site == before


def _try(document: Document, rng: random.Random) -> None:
    site = document.site
    there = [p for p in parts(site) if p.group != "site"]
    what = rng.choice(("draw", "move", "turn", "corner", "more", "less", "type", "copy", "remove"))
    if what == "draw" or not there:
        if len(there) < _MOST:
            _draw(document, rng)
        return
    part = rng.choice(there)
    shape: Any = value_of(site, part)
    some = rng.randrange(len(places(shape)))
    place = rng.uniform(-20.0, 20.0), rng.uniform(-20.0, 20.0)
    new: Any = {
        "move": lambda: moved(shape, (*place, rng.uniform(-3.0, 3.0))),
        "turn": lambda: turned(shape, rng.uniform(-360.0, 360.0)),
        "corner": lambda: with_place(shape, some, place),
        "more": lambda: with_corner(shape, some, place),
        "less": lambda: without_corner(shape, some),
        "type": lambda: _typed(shape, rng),
        "copy": lambda: shape,
        "remove": lambda: shape,
    }[what]()
    if what == "remove":
        document.edit(f"remove {said(part)}", lambda s: without_part(s, part))
    elif what == "copy":
        if len(there) < _MOST:
            twin = replace(new, name=free_name(site, part.group, part.name[:40]))
            document.edit(f"copy {said(part)}", lambda s: with_copy(s, shape, twin)[0])
    else:
        document.edit(f"{what} {said(part)}", lambda s: with_changed(s, part, new))


def _typed(shape: Any, rng: random.Random) -> Any:
    field = rng.choice([f for f in kind_of(shape).fields if not f.fixed])
    match field.form:
        case "text":
            return field.with_value(shape, f"name {rng.randrange(10**6)}")
        case "choice":
            return field.with_value(shape, rng.choice(field.choices)[0])
        case "flag":
            return field.with_value(shape, not field.value(shape))
        case "length":
            return field.with_value(shape, round(rng.uniform(0.1, 30.0), 3))
    return field.with_value(shape, field.value(shape))


def _draw(document: Document, rng: random.Random) -> None:
    kind = rng.choice(DRAWN)
    x, y = round(rng.uniform(-20.0, 20.0), 3), round(rng.uniform(-20.0, 20.0), 3)
    corners = ((x, y), (x + 3.0, y), (x + 3.0, y + 2.0))
    if kind.trace == "place":
        corners = corners[:1]
    heights = (0.0, 3.0, 6.0) if kind.trace == "climb" else ()
    answers = {
        "name": stem_of(kind, document.site) if kind.asks else "", "height": rng.uniform(0.0, 9.0),
        "top": rng.uniform(9.0, 30.0), "width": 0.6,
    }  # fmt: skip

    def drawn(site: Site) -> Site:
        return made(site, kind, corners, heights, answers)[0]

    document.edit(f"draw {kind.title}", drawn)
