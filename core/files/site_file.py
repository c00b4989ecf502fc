"""Reading a site file: strict JSON with a version, one clear error a mistake."""

from __future__ import annotations

import json
import stat
from collections.abc import Mapping
from pathlib import Path
from typing import NoReturn

from core.errors import InputError
from core.files.antenna_file import ESTIMATES, placed, read_antenna, read_reflection, xyz
from core.files.entry_sections import read_garment, read_job
from core.files.kinds import NOTHING
from core.files.named_states import read_states
from core.files.node import Node
from core.files.paths import is_file, within
from core.files.site_writer import FORMAT, VERSION
from core.files.surveys import read_surveys
from core.limits.sets import DEFAULT_SET, get_set
from core.limits.tier import TIERS
from core.site.places import (
    OPACITY,
    AccessPoint,
    Anchor,
    Fence,
    Ladder,
    Picture,
    Structure,
    Surface,
)
from core.site.reflection import Reflection
from core.site.site import Site

LARGEST_FILE = 20_000_000
LARGEST_PICTURE = 100_000_000

_SITE = (
    "format", "version", "name", "story", "revision", "limits", "estimate", "reflection", "extent",
    "anchor", "picture", "surfaces", "structures", "ladders", "access_points", "fences", "states",
    "garments", "jobs", "antennas", "surveys",
)  # fmt: skip
_SURFACE = ("name", "kind", "height", "outline", "holes", "material")
_STRUCTURE = ("name", "kind", "outline", "base", "top")


def load_site(path: Path | str) -> Site:
    """Return the site of a file.

    Parameters
    ----------
    path : Path | str
        The file.

    Raises
    ------
    InputError
        One clear error that names the file, the field and the fix.
    """
    path = Path(path)
    try:
        return read_site(_parse(_read_text(path)), path.parent)
    except InputError as error:
        raise error if error.source else error.within(source=str(path)) from None


def present(path: Path) -> None:
    """Refuse a name under which no file can be found.

    Parameters
    ----------
    path : Path
        The name.

    Raises
    ------
    InputError
        If no file of that name is there, or none can be.
    """
    try:
        path.stat()
    except FileNotFoundError:
        raise InputError("does not exist", source=str(path), fix="Check the path") from None
    except (OSError, ValueError) as error:
        raise _unreadable(error).within(source=str(path)) from None


def _unreadable(error: OSError | ValueError) -> InputError:
    reason = getattr(error, "strerror", None) or error
    return InputError(f"cannot be read ({reason})", fix="Check the path and the rights")


def _read_text(path: Path) -> str:
    try:
        if path.is_dir():
            raise InputError("is a folder", fix="Name the site file in it")
        found = path.stat()
        if not stat.S_ISREG(found.st_mode):
            # A pipe would be waited for without end.
            raise InputError("is no ordinary file", fix="Name a site file")
        size = found.st_size
        if size > LARGEST_FILE:
            raise InputError(
                f"is {size / 1e6:.0f} MB",
                fix=f"A site file has at most {LARGEST_FILE / 1e6:.0f} MB",
            )
        return path.read_text(encoding="utf-8-sig")
    except FileNotFoundError:
        raise InputError("does not exist", fix="Check the path") from None
    except UnicodeDecodeError:
        raise InputError(
            "is not text in UTF-8",
            fix="Name a site file; patterns and pictures are named inside it",
        ) from None
    except InputError:
        raise
    except (OSError, ValueError) as error:
        raise _unreadable(error) from None


def _parse(text: str) -> object:
    def refuse(name: str) -> NoReturn:
        raise InputError(
            f"{name} is not a number that means anything here", fix="Write a finite number"
        )

    def unique(pairs: list[tuple[str, object]]) -> dict[str, object]:
        values: dict[str, object] = {}
        for key, value in pairs:
            if key in values:
                raise InputError(
                    f"{key!r} is written twice in one object", field=key, fix="Keep one of them"
                )
            values[key] = value
        return values

    try:
        return json.loads(text, parse_constant=refuse, object_pairs_hook=unique)
    except json.JSONDecodeError as error:
        raise InputError(
            f"is not JSON: {error.msg} at line {error.lineno}, column {error.colno}",
            fix="Correct that place; a comma or a quote is often missing just before it",
        ) from None
    except RecursionError:
        raise InputError("is nested too deeply", fix="Name a site file") from None
    except InputError:
        raise
    except ValueError:
        # Python refuses to read integers of thousands of digits.
        raise InputError(
            "holds a number of thousands of digits", fix="Write numbers as people do"
        ) from None


def read_site(value: object, folder: Path, brought: Mapping[str, Path] = NOTHING) -> Site:
    """Return the site of parsed JSON; patterns and pictures are looked up in ``folder``.

    Parameters
    ----------
    value : object
        The value.
    brought : mapping of str to Path
        Pattern files by name that are elsewhere still.

    Raises
    ------
    InputError
        If it cannot be used.
    """
    if not isinstance(value, dict) or value.get("format") != FORMAT:
        raise InputError(
            "is not an Isofence site", field="format", fix=f'A site file says "format": "{FORMAT}"'
        )
    version = value.get("version")
    if version != VERSION or isinstance(version, bool):
        newer = isinstance(version, int) and version > VERSION
        fix = "Use a newer Isofence" if newer else f'Write "version": {VERSION}'
        raise InputError(
            f"version {version!r} cannot be read (this program reads {VERSION})",
            field="version",
            fix=fix,
        )
    node = Node(value, "", _SITE)
    limit_set = node.text("limits", DEFAULT_SET)
    try:
        get_set(limit_set)
    except InputError as error:
        raise error.within("limits") from None
    return Site(
        name=node.text("name"),
        story=node.text("story", ""),
        revision=node.text("revision", ""),
        limit_set=limit_set,
        conservative=node.choice("estimate", ESTIMATES, ESTIMATES[0]) == ESTIMATES[0],
        reflection=read_reflection(node) or Reflection(),
        extent=_tuple4(node.numbers("extent", 4)) if node.has("extent") else None,
        anchor=_anchor(node),
        picture=_picture(node, folder),
        surfaces=tuple(placed(_surface, path, v) for path, v in node.children("surfaces")),
        structures=tuple(placed(_structure, path, v) for path, v in node.children("structures")),
        ladders=tuple(placed(_ladder, path, v) for path, v in node.children("ladders")),
        access_points=tuple(placed(_access, path, v) for path, v in node.children("access_points")),
        fences=tuple(placed(_fence, path, v) for path, v in node.children("fences")),
        states=read_states(node),
        garments=tuple(placed(read_garment, path, v) for path, v in node.children("garments")),
        jobs=tuple(placed(read_job, path, v) for path, v in node.children("jobs")),
        antennas=tuple(
            placed(read_antenna, path, v, folder, brought)
            for path, v in node.children("antennas", required=True)
        ),
        surveys=read_surveys(node),
    )


def _tuple4(values: tuple[float, ...]) -> tuple[float, float, float, float]:
    a, b, c, d = values
    return a, b, c, d


def _pairs(points: tuple[tuple[float, ...], ...]) -> tuple[tuple[float, float], ...]:
    return tuple((p[0], p[1]) for p in points)


def _anchor(node: Node) -> Anchor | None:
    if not node.has("anchor"):
        return None
    child = Node(node.values["anchor"], "anchor", ("latitude", "longitude", "grid_north"))
    try:
        return Anchor(
            latitude=child.number("latitude"),
            longitude=child.number("longitude"),
            grid_north=child.number("grid_north", 0.0),
        )
    except InputError as error:
        raise error if error.field.startswith("anchor") else error.within("anchor") from None


def _picture(node: Node, folder: Path) -> Picture | None:
    if not node.has("picture"):
        return None
    child = Node(
        node.values["picture"],
        "picture",
        ("file", "metres_per_pixel", "origin", "rotation", "opacity"),
    )
    x, y = child.numbers("origin", 2)
    name = child.text("file")
    # A map without its picture is still a map: what is missing or broken is a doubt, not an error.
    path = within(folder, name, "picture.file")
    size = path.stat().st_size if is_file(path) else 0
    if size > LARGEST_PICTURE:
        raise InputError(
            f"{name!r} is {size / 1e6:.0f} MB",
            field="picture.file",
            fix="Use a picture under 100 MB",
        )
    try:
        return Picture(
            file=name,
            metres_per_pixel=child.number("metres_per_pixel"),
            origin=(x, y),
            rotation=child.number("rotation", 0.0, -360.0, 360.0),
            opacity=child.number("opacity", OPACITY),
        )
    except InputError as error:
        raise error if error.field.startswith("picture") else error.within("picture") from None


def _surface(path: str, value: object) -> Surface:
    node = Node(value, path, _SURFACE)
    return Surface(
        name=node.text("name"),
        kind=node.text("kind"),
        height=node.number("height"),
        outline=_pairs(node.points("outline", 2)),
        holes=tuple(_pairs(ring) for ring in node.rings("holes")),
        material=node.text("material", ""),
    )


def _structure(path: str, value: object) -> Structure:
    node = Node(value, path, _STRUCTURE)
    return Structure(
        name=node.text("name"),
        kind=node.text("kind"),
        outline=_pairs(node.points("outline", 2)),
        base=node.number("base"),
        top=node.number("top"),
    )


def _ladder(path: str, value: object) -> Ladder:
    node = Node(value, path, ("name", "points"))
    return Ladder(
        name=node.text("name"), points=tuple((p[0], p[1], p[2]) for p in node.points("points", 3))
    )


def _access(path: str, value: object) -> AccessPoint:
    node = Node(value, path, ("name", "kind", "position", "public"))
    return AccessPoint(
        name=node.text("name"),
        kind=node.text("kind"),
        position=xyz(node, "position"),
        public=node.flag("public", default=True),
    )


def _fence(path: str, value: object) -> Fence:
    node = Node(value, path, ("name", "tier", "threshold", "outline", "ladder", "stops"))
    stops = node.points("stops", 2) if node.has("stops") else ()
    return Fence(
        name=node.text("name"),
        tier=node.choice("tier", TIERS),
        threshold=node.number("threshold", 1.0),
        outline=_pairs(node.points("outline", 2)) if node.has("outline") else (),
        ladder=node.text("ladder", ""),
        stops=_pairs(stops),
    )
