"""Every kind of shape of a site, one row each: how it is drawn, what is asked then, and the fields of its form.

Another kind of shape is another row here; the drawing, the list, the form and the menu follow from it.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any, Literal

from core.errors import InputError
from core.limits.sets import SETS
from core.site.moving import middle, moved, width_of, with_width
from core.site.parts import Group, Part, Shape
from core.site.places import AccessPoint, Anchor, Ladder, Picture, Structure, Surface
from core.site.reflection import Reflection, ReflectionKind
from core.site.site import Site

Form = Literal[
    "text", "length", "number", "degrees", "percent", "choice", "flag", "corners", "place", "earth"
]
"""What a field holds. ``corners``: rings of places, each (x, y) or (x, y, z); ``place``: one such place alone;
``earth``: latitude and longitude, or None."""
Trace = Literal["outline", "line", "climb", "place", "pair", "none"]
"""How a shape is drawn: a closed line, an open one, a line with heights, a place, two places, or not at all."""


@dataclass(frozen=True)
class Field:
    """One thing of a shape that can be typed.

    Attributes
    ----------
    name : str
        The field of the dataclass, and what errors call it.
    label : str
        What stands beside it.
    form : str
        What it holds, see :data:`Form`.
    help : str
        Its tip.
    choices : tuple of (value, words)
        What it can be.
    get, put : callables
        How it is taken out and put back where it is no plain field of the dataclass.
    fixed : bool
        It is shown and cannot be typed.
    """

    name: str
    label: str
    form: Form
    help: str = ""
    choices: tuple[tuple[object, str], ...] = ()
    get: Callable[[Any], Any] | None = None
    put: Callable[[Any, Any], Any] | None = None
    fixed: bool = False

    def value(self, shape: Shape | Site) -> Any:
        """Return what stands in the field of a shape."""
        return self.get(shape) if self.get is not None else getattr(shape, self.name)

    def with_value(self, shape: Shape | Site, value: Any) -> Any:
        """Return the shape with another value in the field.

        Raises
        ------
        InputError
            If the shape cannot have it.
        """
        if self.put is not None:
            return self.put(shape, value)
        return replace(shape, **{self.name: value})


@dataclass(frozen=True)
class Ask:
    """What is typed once a shape is traced: ``usual`` is taken where nothing is typed."""

    name: str
    words: str
    form: Literal["height", "length", "text", "place", "length or place"]
    usual: str = ""


@dataclass(frozen=True)
class ShapeKind:
    """A kind of shape.

    Attributes
    ----------
    key : str
        Unique; ``kind`` is what the site file calls it.
    title : str
        What people call it, and what a new one is called.
    group : str
        Where in the site it is kept.
    trace : str
        How it is drawn, see :data:`Trace`.
    asks : tuple of Ask
    fields : tuple of Field
    roofed : bool
        People walk on it: it is drawn with a roof, and the surface it stands on gets a hole.
    """

    key: str
    title: str
    group: Group
    trace: Trace
    asks: tuple[Ask, ...]
    fields: tuple[Field, ...]
    kind: str = ""
    roofed: bool = False


def _plain(values: tuple[str, ...]) -> tuple[tuple[object, str], ...]:
    return tuple((value, value) for value in values)


def _one_place(name: str, label: str, help: str) -> Field:
    return Field(
        name, label, "place", help,
        get=lambda s: ((getattr(s, name),),),
        put=lambda s, rings: replace(s, **{name: rings[0][0]}),
    )  # fmt: skip


def _surface_rings(surface: Surface, rings: tuple[Any, ...]) -> Surface:
    return replace(surface, outline=rings[0], holes=tuple(rings[1:]))


def _with_middle(structure: Structure, rings: tuple[Any, ...]) -> Shape:
    (x, y), (u, v) = rings[0][0], middle(structure)
    return moved(structure, (x - u, y - v, 0.0))


def _earth(site: Site, value: tuple[float, float] | None) -> Site:
    if value is None:
        return replace(site, anchor=None)
    return replace(
        site, anchor=Anchor(latitude=value[0], longitude=value[1], grid_north=site.grid_north)
    )


def _grid_north(site: Site, value: float) -> Site:
    if site.anchor is None:
        if value == 0.0:
            return site
        raise InputError(
            "goes with a place on the earth",
            field="Grid north",
            fix="Give latitude and longitude first",
        )
    return replace(site, anchor=replace(site.anchor, grid_north=value))


NAME = Field("name", "Name", "text")
_OUTLINE = Field(
    "outline", "Corners", "corners", get=lambda s: (s.outline,),
    put=lambda s, rings: replace(s, outline=rings[0]),
)  # fmt: skip
_SURFACE = (
    NAME,
    Field("kind", "Kind", "choice", choices=_plain(Surface.KINDS)),
    Field("height", "Height", "length", "Above the site datum"),
    Field(
        "material", "Made of", "choice",
        "What it reflects as. Not known counts as soil for ground, as metal for all else",
        (("", "not known"), *_plain(Surface.MATERIALS)),
    ),
    Field(
        "outline", "Corners", "corners", "The outline, and after it each hole",
        get=lambda s: (s.outline, *s.holes), put=_surface_rings,
    ),
)  # fmt: skip
_STANDING = (
    NAME,
    Field("kind", "Kind", "choice", choices=_plain(Structure.KINDS)),
    Field("base", "Base", "length", "Above the site datum"),
    Field("top", "Top", "length", "Above the site datum"),
)
_STEEL = (
    *_STANDING,
    Field(
        "width", "Width", "length", "The longer side of the box about it", get=width_of, put=with_width
    ),
    Field(
        "middle", "Middle", "place", get=lambda s: ((middle(s),),), put=_with_middle
    ),
    _OUTLINE,
)  # fmt: skip
_WAY_IN = (
    NAME,
    Field("kind", "Kind", "choice", choices=_plain(AccessPoint.KINDS)),
    Field("public", "Open to the public", "flag", "Anybody can come in here"),
    _one_place("position", "Place", "x, y, and z above the site datum"),
)
_CLIMB = (
    NAME,
    Field(
        "points", "Points", "corners", "From the foot up; z above the site datum",
        get=lambda s: (s.points,), put=lambda s, rings: replace(s, points=rings[0]),
    ),
)  # fmt: skip
_PICTURE = (
    Field("file", "File", "text", "Beside the site file, or copied there when the site is saved", fixed=True),
    Field("metres_per_pixel", "m a pixel", "number", "Metres that a pixel of the picture is wide"),
    _one_place("origin", "Lower left", "Where the lower left corner lies"),
    Field("rotation", "Turned by", "degrees", "Clockwise, about its lower left corner"),
    Field(
        "opacity", "Strength", "percent",
        "How strong its lines are. Even areas are never drawn: they would change the colours of the shading",
    ),
)  # fmt: skip
SITE_FIELDS = (
    NAME,
    Field("revision", "Revision", "text"),
    Field("limit_set", "Limits", "choice", choices=_plain(tuple(SETS))),
    Field(
        "reflection", "Reflection", "choice", choices=tuple((k, k.value) for k in ReflectionKind),
        get=lambda s: s.reflection.kind, put=lambda s, kind: replace(s, reflection=Reflection(kind)),
    ),
    Field(
        "anchor", "Lat.; long.", "earth", "Where the datum is on the earth (WGS84): 41.2; -96.1. May stay empty",
        get=lambda s: (s.anchor.latitude, s.anchor.longitude) if s.anchor else None, put=_earth,
    ),
    Field(
        "grid_north", "Grid north", "degrees", "How far the plan's up is clockwise of true north",
        put=_grid_north,
    ),
)  # fmt: skip

_CALLED = Ask("name", "Name", "text")
_HEIGHT = Ask("height", "Height above the datum, or +3.5 above what is below", "height")
_TOP = Ask("top", "Top above the datum, or +3.5 above its foot", "height")


def _structure(
    kind: str, title: str, trace: Trace = "outline", *, wide: str = "", roofed: bool = False
) -> ShapeKind:
    asks = (_TOP, *([Ask("width", "Width", "length", wide)] if wide else []), _CALLED)
    fields = _STEEL if wide else (*_STANDING, _OUTLINE)
    return ShapeKind(kind, title, "structures", trace, asks, fields, kind, roofed)


KINDS: tuple[ShapeKind, ...] = (
    ShapeKind(
        "ground", "Ground", "surfaces", "outline", (replace(_HEIGHT, usual="0"), _CALLED), _SURFACE, "ground"
    ),
    _structure("building", "Building", roofed=True),
    ShapeKind("roof", "Roof", "surfaces", "outline", (_HEIGHT, _CALLED), _SURFACE, "roof"),
    _structure("penthouse", "Penthouse", roofed=True),
    ShapeKind("platform", "Platform", "surfaces", "outline", (_HEIGHT, _CALLED), _SURFACE, "platform"),
    ShapeKind("hole", "Hole in a surface", "surfaces", "outline", (), ()),
    _structure("wall", "Wall", "line"),
    _structure("railing", "Railing", "line"),
    _structure("plant", "Plant"),
    _structure("tower", "Tower", "place", wide="0.6 m"),
    _structure("mast", "Mast", "place", wide="0.1 m"),
    ShapeKind("ladder", "Ladder", "ladders", "climb", (_CALLED,), _CLIMB),
    *(
        ShapeKind(kind, kind.capitalize(), "access_points", "place", (_CALLED,), _WAY_IN, kind)
        for kind in AccessPoint.KINDS
    ),
    ShapeKind(
        "picture", "Plan picture", "picture", "pair",
        (
            Ask("apart", "How far apart they are, or where the first is: x; y", "length or place"),
            Ask("second", "Where the second is: x; y", "place"),
        ),
        _PICTURE,
    ),
    ShapeKind("site", "Site", "site", "none", (), SITE_FIELDS),
)  # fmt: skip

BY_KEY = {kind.key: kind for kind in KINDS}
DRAWN = tuple(kind for kind in KINDS if kind.trace not in ("pair", "none"))
"""The kinds that are drawn, in the order of the menu."""


def kind_of(value: Shape | Site) -> ShapeKind:
    """Return the row of a shape."""
    if isinstance(value, Site):
        return BY_KEY["site"]
    if isinstance(value, Picture):
        return BY_KEY["picture"]
    return BY_KEY["ladder" if isinstance(value, Ladder) else value.kind]


GROUP_TITLES: dict[Group, str] = {
    "site": "Site",
    "surfaces": "Surfaces",
    "structures": "Structures",
    "ladders": "Ladders",
    "access_points": "Ways in",
    "picture": "Plan picture",
}


def said(part: Part) -> str:
    """Return what a part is called in the list of undo steps."""
    if part.group in ("site", "picture"):
        return "the site" if part.group == "site" else "the plan picture"
    return f"'{part.name}'"
