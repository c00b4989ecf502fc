"""What a way takes for granted: where ladders are got on, and walks through what stands there or over nothing."""

from __future__ import annotations

import itertools
from collections.abc import Iterator

import numpy as np
import shapely

from core.entry.way import Piece, Place, Way
from core.site.site import Site
from core.site.surfaces import foot_height, has_surface, standing_on

_APART = 0.25
"""m between places of a walk that are looked at."""
_STEP = 1.0
"""m off what is drawn to stand on from which a walk is over nothing (our own choice: more than a tall step)."""
_SHORT = 1.5
"""m of a walk on to a ladder or off it within which nothing is asked."""
_STRIDE, _HEAD = 0.3, 2.0
"""m over the feet between which a structure is in the way (our own choice: what is lower is stepped over)."""
_OPEN = ("tower", "mast", "railing")
"""Structures that are climbed in, or whose gaps are not drawn."""


def way_cautions(site: Site, way: Way) -> tuple[str, ...]:
    """Return what has to be said of a way, in sentences.

    Parameters
    ----------
    site : Site
        The site.
    way : Way
        The way.
    """
    found = [
        f"{p.stop.name}: nothing to stand on is drawn at {p.position[2]:g} m there."
        for p in way.places
        if p.along is None and _is_over_nothing(site, p.position)
    ]
    for (a, b), leg in zip(itertools.pairwise(way.places), way.legs, strict=True):
        found += _of_leg(site, a, b, leg.pieces)
    return tuple(dict.fromkeys(found))


def _is_over_nothing(site: Site, place: tuple[float, float, float]) -> bool:
    x, y, z = place
    return bool(standing_on(site, x, y, z)[2]) or not has_surface(site, x, y)


def _of_leg(site: Site, a: Place, b: Place, pieces: tuple[Piece, ...]) -> Iterator[str]:
    first, last = sorted((a.stop.name, b.stop.name))
    between = f"Between {first} and {last}"
    if any(p.climbs for p in pieces) and not all(p.climbs for p in pieces):
        for place, piece in ((a, pieces[0]), (b, pieces[-1])):
            if piece.climbs and piece.length > _SHORT:
                where = piece.end if piece.start == place.position else piece.start
                yield (
                    f"{between} {place.stop.ladder} is taken to be climbed from or to {where[2]:.4g} m, where it is "
                    "nearest; no stop says so."
                )
    for piece in pieces:
        if not piece.climbs:
            yield from _of_walk(site, between, piece)


def _of_walk(site: Site, between: str, piece: Piece) -> Iterator[str]:
    # The way back is the same: it is said once.
    start, end = (np.array(p) for p in sorted((piece.start, piece.end)))
    count = max(2, int(np.ceil(piece.length / _APART)) + 1)
    places = start + np.linspace(0.0, 1.0, count)[:, None] * (end - start)
    line = shapely.LineString([piece.start[:2], piece.end[:2]])
    for one in site.structures:
        if one.kind in _OPEN:
            continue
        shape = (
            shapely.LineString(one.outline)
            if one.kind in one.LINES
            else shapely.Polygon(one.outline)
        )
        if not shape.intersects(line) or shape.touches(line):
            continue
        near = shapely.dwithin(shape, shapely.points(places[:, :2]), _APART)
        feet = places[near, 2]
        if ((feet + _HEAD > one.base) & (feet + _STRIDE < one.top)).any():
            yield f"{between} the straight way goes through {one.name}: put a stop where people walk around it."
            return
    if piece.length <= _SHORT:
        return
    off = np.abs(places[:, 2] - foot_height(site, places)) > _STEP
    bare = np.array([not has_surface(site, x, y) for x, y, _ in places])
    # The ends are said of the stops themselves.
    if (off | bare)[1:-1].any():
        x, y, z = places[1:-1][(off | bare)[1:-1]][0]
        yield (
            f"{between} the straight way leaves what is drawn to stand on (at {x:.1f}, {y:.1f}, {z:.1f} m): put stops "
            "along the way people take."
        )
