"""Where an antenna of a schedule is: coordinates, or a height above ground or above what it stands on."""

from __future__ import annotations

from typing import Any

import numpy as np
import shapely

from core.files.schedule.rows import AntennaRows, agree
from core.site.site import Site
from core.site.surfaces import has_surface, surface_height, surface_shape

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
        elif has_surface(here.site, x, y):
            foot = float(surface_height(here.site, np.array([[x, y]]))[0])
        else:
            here.problem(
                row, key, "no surface is drawn under it", "Draw it, or give z above the datum"
            )
            continue
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
