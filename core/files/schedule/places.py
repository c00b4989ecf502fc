"""Where an antenna of a schedule is: coordinates, or a height above ground or above what it stands on."""

from __future__ import annotations

from typing import Any

import shapely

from core.files.schedule.rows import AntennaRows, agree
from core.site.places import Surface
from core.site.site import Site
from core.site.surfaces import surface_shape

BRACKET = 1.0
"""m past the edge of a roof that an antenna measured from it may hang (common practice, no source)."""
ABOVE = ("agl", "above surface")
"""Keys of heights that do not count from the datum."""


def put_place(here: AntennaRows, json: dict[str, Any], place: dict[str, Any]) -> None:
    """Set the position in an antenna's ``json`` from its ``place`` (lengths in m by key) and its rows (``here``)."""
    x, y = place["x"], place["y"]
    given = here.said("z")
    for key in ABOVE:
        found = here.said(key)
        if key not in place or found is None or x is None or y is None:
            continue
        row, _ = found
        if key == "agl":
            foot, note = _ground(here.site, x, y)
            here.draft.notes += [note] if note else []
        else:
            on = _surface_meant(here.site, x, y, roof="roof" in found[1].header.casefold())
            if isinstance(on, str):
                here.problem(row, key, on, "Draw it, or give z above the datum, or AGL")
                continue
            foot = on.height
            if not surface_shape(on).intersects(shapely.Point(x, y)):
                here.draft.notes.append(
                    f"beside {on.name!r}: its height counts from there ({on.height:g} m)"
                )
        z = foot + place[key]
        if given is None:
            place["z"] = z
            given = found
        elif place["z"] is not None and not agree(place["z"], z, "length"):
            here.problem(
                row, key, f"means {z:g} m above the datum, but {given[1].header} says {place['z']:g} m",
                "Correct one of them, or leave one empty",
            )  # fmt: skip
    json["position"] = [place["x"], place["y"], place["z"]]


def _surface_meant(site: Site, x: float, y: float, *, roof: bool) -> Surface | str:
    """Return the surface that a height above what is under it counts from, or what is wrong.

    An antenna on a bracket hangs a little past the edge of the roof it is measured from.
    """
    point = shapely.Point(x, y)
    away = [(float(surface_shape(s).distance(point)), s) for s in site.surfaces]
    under = [s for apart, s in away if apart == 0.0]
    highest = max(under, key=lambda s: s.height, default=None)
    roofs = [s for s in site.surfaces if s.kind != "ground"]
    if not roof or not roofs or (highest is not None and highest.kind != "ground"):
        return "no surface is drawn under it" if highest is None else highest
    beside = [s for apart, s in away if s.kind != "ground" and apart <= BRACKET]
    if beside:
        return max(beside, key=lambda s: s.height)
    return f"no roof is drawn under it, nor within {BRACKET:g} m of it"


def _ground(site: Site, x: float, y: float) -> tuple[float, str]:
    """Return the height of the ground at a place, m, and what was taken for it where none is drawn there."""
    grounds = [s for s in site.surfaces if s.kind == "ground"]
    if not grounds:
        return 0.0, "no ground is drawn: heights above ground count from the site datum"
    point = shapely.Point(x, y)
    near = min(grounds, key=lambda s: (float(surface_shape(s).distance(point)), -s.height))
    if surface_shape(near).intersects(point):
        return near.height, ""
    return (
        near.height,
        f"heights above ground where none is drawn count from {near.name!r} ({near.height:g} m)",
    )
