"""Where nobody goes on the way of a job: raised places that nobody has explained, and poles that carry a wave."""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Iterator

import numpy as np
from numpy.typing import NDArray

from core.entry.pieces import Area
from core.entry.way import Way
from core.exposure.surveyed import Raise, raises
from core.site.poles import Pole, carrying_poles
from core.site.site import Site

Box = NDArray[np.float64]


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
    parts = [(np.array([start, end]), low, high) for start, end, low, high in _stretches(way)]
    if work is not None:
        corners = np.array(list(itertools.product(*zip(*work, strict=True))))
        parts.append((corners, *work))
    return _reached(site, parts)


def poles_in(site: Site, area: Area) -> tuple[Pole, ...]:
    """Return the poles that carry a wave and come too near to an area.

    Parameters
    ----------
    site : Site
        The site.
    area : Area
        What is asked about.
    """
    return _reached(site, _pieces(area))


def _boxes(
    way: Way | None, work: tuple[NDArray[np.float64], NDArray[np.float64]] | None
) -> list[tuple[NDArray[np.float64], NDArray[np.float64]]]:
    """Return least and largest corners of what a job passes through."""
    boxes = [work] if work is not None else []
    return boxes + [(low, high) for _, _, low, high in _stretches(way)]


def _stretches(way: Way | None) -> Iterator[tuple[Box, Box, Box, Box]]:
    """Yield the ends of every piece and place of a way, and the corners of the box that bodies there are in."""
    if way is None:
        return
    ends = [(p.start, p.end, p.heights) for leg in way.legs for p in leg.pieces]
    ends += [(p.position, p.position, p.heights) for p in way.places]
    for start, end, heights in ends:
        first, last = np.array(start, dtype=np.float64), np.array(end, dtype=np.float64)
        low, high = np.minimum(first, last), np.maximum(first, last)
        low[2], high[2] = low[2] + heights[0], high[2] + heights[1]
        yield first, last, low, high


def _reached(site: Site, parts: Iterable[tuple[Box, Box, Box]]) -> tuple[Pole, ...]:
    """Return the poles too near to parts: their points (n, 3), and the corners of their boxes."""
    found = carrying_poles(site)
    listed = list(parts) if found else []
    return tuple(
        pole
        for pole in found
        if any(pole.reaches(points, low[2], high[2]) for points, low, high in listed)
    )


def is_raised_in(site: Site, area: Area) -> bool:
    """Return whether a reading that nobody has explained raises a place of an area, or of the box about a piece of it.

    Parameters
    ----------
    site : Site
        The site.
    area : Area
        What is asked about.
    """
    parts = list(_pieces(area))
    return any(
        _apart(one, low, high) <= one.radius for one in raises(site) for _, low, high in parts
    )


def _pieces(area: Area) -> Iterator[tuple[Box, Box, Box]]:
    """Yield the corners of every piece of an area, and those of the box about the bodies in it."""
    for piece in area.pieces:
        corners = np.array(list(itertools.product(*zip(piece.low, piece.high, strict=True))))
        points = piece.plane.origin + corners @ piece.plane.directions
        low, high = points.min(axis=0), points.max(axis=0)
        low[2] += piece.plane.layers.min() + piece.plane.rises.min()
        high[2] += piece.plane.layers.max() + max(piece.plane.rises.max(), piece.plane.column)
        yield points, low, high


def _apart(one: Raise, low: NDArray[np.float64], high: NDArray[np.float64]) -> float:
    """Return how far a raise's place is from a box, m."""
    at = np.array(one.place)
    return float(np.linalg.norm(np.maximum(np.maximum(low - at, at - high), 0.0)))
