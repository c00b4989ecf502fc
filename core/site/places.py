"""The places of a site: where people stand, what stands there, where they come in.

Coordinates in m in the site frame (x east, y north, z up from the datum). Each dataclass checks itself
when it is made and names the field and the fix.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from core.errors import InputError
from core.limits.tier import Tier, tier_of
from core.text import check_name

FARTHEST = 100_000.0
"""m: coordinates beyond this are a unit mix-up, not a site."""
OPACITY = 0.6
"""How strong the lines of a plan picture are where nobody has said."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Surface:
    """Where people stand: ground, a roof, a platform. Outline in m, height above the datum.

    ``material`` is what it is made of, for what it reflects; empty where nobody has said, which counts as the careful
    one: soil for ground, metal for all else.
    """

    name: str
    kind: str
    height: float
    outline: tuple[tuple[float, float], ...]
    holes: tuple[tuple[tuple[float, float], ...], ...] = ()
    material: str = ""

    KINDS = ("ground", "roof", "platform")
    MATERIALS = ("soil", "wet soil", "salt water", "metal", "concrete", "other")

    def __post_init__(self) -> None:
        check_name(self.name)
        if self.kind not in self.KINDS:
            raise InputError(
                f"{self.kind!r} is not a kind of surface",
                field="kind",
                fix=f"Use {_one_of(self.KINDS)}",
            )
        if self.material and self.material not in self.MATERIALS:
            raise InputError(
                f"{self.material!r} is not a material that is known",
                field="material",
                fix=f"Use {_one_of(self.MATERIALS)}",
            )
        check_coordinate(self.height, "height")
        check_outline(self.outline, "outline")
        for hole in self.holes:
            check_outline(hole, "holes")


@dataclass(frozen=True, slots=True, kw_only=True)
class Structure:
    """Something that stands on the site: tower, mast, wall, penthouse, building, plant.

    Drawn, and used for orientation; it does not shade the field (that would only lower it).
    """

    name: str
    kind: str
    outline: tuple[tuple[float, float], ...]
    base: float
    top: float

    KINDS = ("tower", "mast", "wall", "railing", "penthouse", "building", "plant")
    LINES = ("wall", "railing")
    """Kinds whose outline is a line; a railing is seen through: it stops people, not waves."""

    def __post_init__(self) -> None:
        check_name(self.name)
        if self.kind not in self.KINDS:
            raise InputError(
                f"{self.kind!r} is not a kind of structure",
                field="kind",
                fix=f"Use {_one_of(self.KINDS)}",
            )
        check_outline(self.outline, "outline", least=2 if self.kind in self.LINES else 3)
        check_coordinate(self.base, "base")
        check_coordinate(self.top, "top")
        if self.top <= self.base:
            raise InputError(
                f"{self.top:g} m is not above the base at {self.base:g} m",
                field="top",
                fix="Give heights above the site datum",
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class Ladder:
    """A climbing way as a line of points (x, y, z), from the foot up."""

    name: str
    points: tuple[tuple[float, float, float], ...]

    def __post_init__(self) -> None:
        check_name(self.name)
        if len(self.points) < 2:
            raise InputError(
                "has fewer than two points", field="points", fix="Give the foot and the top"
            )
        for point in self.points:
            for value in point:
                check_coordinate(value, "points")


@dataclass(frozen=True, slots=True, kw_only=True)
class AccessPoint:
    """A door, hatch, gate or ladder foot: where somebody can come in."""

    name: str
    kind: str
    position: tuple[float, float, float]
    public: bool = True

    KINDS = ("door", "hatch", "gate", "ladder foot")

    def __post_init__(self) -> None:
        check_name(self.name)
        if self.kind not in self.KINDS:
            raise InputError(
                f"{self.kind!r} is not a kind of access point",
                field="kind",
                fix=f"Use {_one_of(self.KINDS)}",
            )
        for value in self.position:
            check_coordinate(value, "position")


@dataclass(frozen=True, slots=True, kw_only=True)
class Fence:
    """What a crew sees of a zone: a closed line on the plan, or spans of heights on a ladder.

    ``threshold`` is the fraction of the tier's limit it holds back. A plan fence has an ``outline``; a
    ladder fence names its ``ladder`` and has ``stops``, spans (low, high) in m nobody stops in.
    """

    name: str
    tier: Tier
    threshold: float
    outline: tuple[tuple[float, float], ...] = ()
    ladder: str = ""
    stops: tuple[tuple[float, float], ...] = ()

    def __post_init__(self) -> None:
        check_name(self.name)
        tier_of(self.tier)
        if not (math.isfinite(self.threshold) and 0.0 < self.threshold <= 1e7):
            raise InputError(
                f"{self.threshold:g}", field="threshold", fix="Use a fraction over 0, like 1"
            )
        if bool(self.outline) == bool(self.ladder):
            raise InputError(
                "needs an outline or a ladder", field="outline", fix="Give one of the two"
            )
        if self.outline:
            check_outline(self.outline, "outline")
        for low, high in self.stops:
            check_coordinate(low, "stops")
            check_coordinate(high, "stops")
            if high < low:
                raise InputError(
                    f"{low:g} to {high:g} m", field="stops", fix="Give the lower height first"
                )


@dataclass(frozen=True, slots=True, kw_only=True)
class Picture:
    """A plan picture under the map: file, metres per pixel, place of its lower left corner, turn, strength.

    ``opacity`` is how strong its lines are drawn, 0 to 1; even areas are never drawn, whatever it is.
    """

    file: str
    metres_per_pixel: float
    origin: tuple[float, float]
    rotation: float = 0.0
    opacity: float = OPACITY

    def __post_init__(self) -> None:
        if not (math.isfinite(self.metres_per_pixel) and 1e-5 <= self.metres_per_pixel <= 1e3):
            raise InputError(
                f"{self.metres_per_pixel:g}", field="metres_per_pixel", fix="Use 0.00001 to 1000"
            )
        for value in self.origin:
            check_coordinate(value, "origin")
        if not (math.isfinite(self.rotation) and abs(self.rotation) <= 360.0):
            raise InputError(f"{self.rotation:g}°", field="rotation", fix="Use -360 to 360 degrees")
        if not 0.0 <= self.opacity <= 1.0:
            raise InputError(f"{self.opacity:g}", field="opacity", fix="Use 0 to 1")


@dataclass(frozen=True, slots=True, kw_only=True)
class Anchor:
    """Where the datum is on the earth (WGS84), and how far grid north (y) is clockwise of true north."""

    latitude: float
    longitude: float
    grid_north: float = 0.0

    def __post_init__(self) -> None:
        for name, high in (("latitude", 90.0), ("longitude", 180.0), ("grid_north", 180.0)):
            value = getattr(self, name)
            if not (math.isfinite(value) and -high <= value <= high):
                raise InputError(f"{value:g}", field=name, fix=f"Use -{high:g} to {high:g} degrees")


def _one_of(words: tuple[str, ...]) -> str:
    return "one of " + ", ".join(words)


def check_coordinate(value: float, field: str) -> None:
    """Refuse a coordinate that is no place on a site.

    Parameters
    ----------
    value : float
        The value.
    field : str
        Where it stands, for the error.

    Raises
    ------
    InputError
        If it cannot be used.
    """
    if not (math.isfinite(value) and abs(value) <= FARTHEST):
        raise InputError(
            f"{value:g} m is not a place on a site",
            field=field,
            fix="Use metres within 100 km of the datum",
        )


def check_outline(points: tuple[tuple[float, float], ...], field: str, least: int = 3) -> None:
    """Refuse an outline with too few corners or impossible ones.

    Parameters
    ----------
    points : tuple[tuple[float, float], ...]
        Places, m; their precision is kept.
    field : str
        Where it stands, for the error.
    least : int
        How few corners will do.

    Raises
    ------
    InputError
        If it cannot be used.
    """
    if len(points) < least:
        raise InputError(
            f"has {len(points)} corners", field=field, fix=f"Give at least {least} corners"
        )
    for point in points:
        for value in point:
            check_coordinate(value, field)


def check_unique(names: list[str], field: str, what: str) -> None:
    """Refuse two entries of one name.

    Parameters
    ----------
    field : str
        Where it stands, for the error.
    what : str
        What such an entry is called.

    Raises
    ------
    InputError
        If it cannot be used.
    """
    seen: set[str] = set()
    for name in names:
        if name in seen:
            raise InputError(
                f"two entries are called {name!r}",
                field=field,
                fix=f"Give every {what} its own name",
            )
        seen.add(name)
