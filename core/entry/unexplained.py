"""Where nobody goes on the way of a job: raised places that nobody has explained, and poles that carry a wave."""

from __future__ import annotations

import itertools

import numpy as np
from numpy.typing import NDArray

from core.entry.pieces import Area
from core.entry.way import Way
from core.exposure.surveyed import Raise, raises
from core.site.poles import Pole, carrying_poles
from core.site.site import Site


def raised_on_the_way(
    site: Site, way: Way | None, work: tuple[NDArray[np.float64], NDArray[np.float64]] | None
) -> tuple[str, ...]:
    """Return why a survey forbids a job, one reason a raised place; a garment's bands do not know what raised it.

    Parameters
    ----------
    site : Site
        As planned.
    way : Way or None
        The way of the job.
    work : (low, high) or None
        Corners (3,) of its work volume, m.
    """
    boxes = _boxes(way, work)
    return tuple(
        f"{one.name} read {one.comparison.reading.words}, above its prediction, within {one.radius:.0f} m of the way, "
        "and nobody has explained it"
        for one in raises(site)
        if any(_apart(one, low, high) <= one.radius for low, high in boxes)
    )


def poles_on_the_way(
    site: Site, way: Way | None, work: tuple[NDArray[np.float64], NDArray[np.float64]] | None
) -> tuple[Pole, ...]:
    """Return the poles that carry a wave and come too near to a job: there is no figure beside them.

    Parameters
    ----------
    site, way, work
        As :func:`raised_on_the_way`.
    """
    found = carrying_poles(site)
    places = _places(way, work) if found else np.zeros((0, 3))
    return tuple(pole for pole in found if len(places) and pole.is_near(places))


_APART, _MOST = 0.4, 60
"""m between places of a way, and how many of them a side of a work volume has at most."""


def _places(
    way: Way | None, work: tuple[NDArray[np.float64], NDArray[np.float64]] | None
) -> NDArray[np.float64]:
    """Return places (n, 3) on all of a way and in a work volume, m."""
    found = []
    if work is not None:
        sides = [
            np.linspace(a, b, min(_MOST, int(np.ceil((b - a) / _APART)) + 1))
            for a, b in zip(*work, strict=True)
        ]
        found.append(np.stack(np.meshgrid(*sides, indexing="ij"), axis=-1).reshape(-1, 3))
    lines = [(p.start, p.end, p.heights) for leg in (way.legs if way else ()) for p in leg.pieces]
    lines += [(p.position, p.position, p.heights) for p in (way.places if way else ())]
    for start, end, heights in lines:
        first, last = np.array(start, dtype=np.float64), np.array(end, dtype=np.float64)
        count = int(np.ceil(np.linalg.norm(last - first) / _APART)) + 1
        along = first + np.linspace(0.0, 1.0, count)[:, None] * (last - first)
        for up in np.arange(heights[0], heights[1] + _APART, _APART):
            found.append(along + np.array([0.0, 0.0, min(float(up), heights[1])]))
    return np.concatenate(found) if found else np.zeros((0, 3))


def _boxes(
    way: Way | None, work: tuple[NDArray[np.float64], NDArray[np.float64]] | None
) -> list[tuple[NDArray[np.float64], NDArray[np.float64]]]:
    """Return least and largest corners of what a job passes through."""
    boxes = [work] if work is not None else []
    for leg in way.legs if way is not None else ():
        for piece in leg.pieces:
            ends = np.array([piece.start, piece.end], dtype=np.float64)
            low, high = ends.min(axis=0), ends.max(axis=0)
            low[2], high[2] = low[2] + piece.heights[0], high[2] + piece.heights[1]
            boxes.append((low, high))
    for place in way.places if way is not None else ():
        at = np.array(place.position, dtype=np.float64)
        low, high = at.copy(), at.copy()
        low[2], high[2] = low[2] + place.heights[0], high[2] + place.heights[1]
        boxes.append((low, high))
    return boxes


def is_raised_in(site: Site, area: Area) -> bool:
    """Return whether a reading that nobody has explained raises a place of an area, or of the box about a piece of it.

    Parameters
    ----------
    site : Site
        The site.
    area : Area
        What is asked about.
    """
    boxes = []
    for piece in area.pieces:
        corners = np.array(list(itertools.product(*zip(piece.low, piece.high, strict=True))))
        points = piece.plane.origin + corners @ piece.plane.directions
        low, high = points.min(axis=0), points.max(axis=0)
        low[2] += piece.plane.layers.min() + piece.plane.rises.min()
        high[2] += piece.plane.layers.max() + max(piece.plane.rises.max(), piece.plane.column)
        boxes.append((low, high))
    return any(_apart(one, low, high) <= one.radius for one in raises(site) for low, high in boxes)


def _apart(one: Raise, low: NDArray[np.float64], high: NDArray[np.float64]) -> float:
    """Return how far a raise's place is from a box, m."""
    at = np.array(one.place)
    return float(np.linalg.norm(np.maximum(np.maximum(low - at, at - high), 0.0)))
