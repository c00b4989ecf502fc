"""A route as places and straight pieces between them, with the time each takes."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from core.arrays import Floats
from core.entry.planned import where
from core.errors import InputError
from core.site.job import Job, Stop
from core.site.places import Ladder
from core.site.site import Site
from core.units import show_length
from core.views.body import CLIMBING, STANDING, Body
from core.views.defaults import site_extent

_Point = tuple[float, float, float]
_UNDER, _OVER = 1.0, 3.0
"""m under the lowest and over the highest thing on a site that still belong to it."""
_CLIMBER, _WALKER = (
    (min(CLIMBING.heights), max(CLIMBING.heights)),
    (
        min(STANDING.heights),
        max(STANDING.heights),
    ),
)


@dataclass(frozen=True, slots=True)
class Place:
    """A stop where it is: ``position`` of the feet or of a climber's middle; ``along`` a ladder in m from its foot."""

    stop: Stop
    position: tuple[float, float, float]
    along: float | None

    @property
    def body(self) -> Body:
        """The column of heights that is exposed."""
        return STANDING if self.along is None else CLIMBING

    @property
    def heights(self) -> tuple[float, float]:
        """Least and largest height of the column, m from the position."""
        return _WALKER if self.along is None else _CLIMBER


@dataclass(frozen=True, slots=True)
class Piece:
    """A straight piece of the way from place ``start`` to ``end``, the column of the body on it, and seconds."""

    start: tuple[float, float, float]
    end: tuple[float, float, float]
    heights: tuple[float, float]
    seconds: float

    @property
    def length(self) -> float:
        """How long it is, m."""
        return math.dist(self.start, self.end)

    @property
    def climbs(self) -> bool:
        """Whether it is a piece of a ladder."""
        return self.heights == _CLIMBER


@dataclass(frozen=True, slots=True)
class Leg:
    """The pieces between one place of a way and the next."""

    pieces: tuple[Piece, ...]

    @property
    def seconds(self) -> float:
        """Time it takes."""
        return sum(p.seconds for p in self.pieces)


@dataclass(frozen=True, slots=True)
class Way:
    """The whole way, up and down: places, and the legs from each to the next.

    ``turn`` is the number of places of the way up.
    """

    places: tuple[Place, ...]
    legs: tuple[Leg, ...]
    turn: int

    @property
    def returns(self) -> bool:
        """Whether the way back is the same one: then it passes the same places."""
        up, back = self.places[: self.turn - 1], self.places[self.turn :]
        return [p.position for p in up] == [p.position for p in reversed(back)]


def way_of(site: Site, job: Job) -> Way:
    """Return the way of a job on a site.

    Parameters
    ----------
    site : Site
        The site.
    job : Job
        A job with a route.

    Raises
    ------
    InputError
        If a stop names a ladder that is not there, or lies outside of the site.
    """
    route = job.route
    if route is None:
        raise InputError(
            "has no route", field=f"{where(site, job)} route", fix="Add a route with its stops"
        )
    up = _places(site, job, route.stops, "stops")
    if route.way_down is None:
        back = [_passed(p) for p in reversed(up[:-1])]
    else:
        back = _places(site, job, route.way_down, "way_down")
    places = [*up, *back]
    legs = [_leg(site, job, a, b) for a, b in itertools.pairwise(places)]
    return Way(tuple(places), tuple(legs), len(up))


def _passed(place: Place) -> Place:
    stop = place.stop
    gone = Stop(
        name=stop.name, position=stop.position, ladder=stop.ladder, height=stop.height, dwell=0.0
    )
    return Place(gone, place.position, place.along)


def _places(site: Site, job: Job, stops: Sequence[Stop], key: str) -> list[Place]:
    out = []
    for i, stop in enumerate(stops):
        try:
            out.append(place_of(site, stop))
        except InputError as error:
            raise error.within(f'{where(site, job)} route.{key}[{i}] "{stop.name}":') from None
    return out


def place_of(site: Site, stop: Stop) -> Place:
    """Return where a stop is.

    Parameters
    ----------
    site : Site
        The site.
    stop : Stop
        The stop.

    Raises
    ------
    InputError
        If its ladder is not there, or it lies outside of the site.
    """
    if stop.position is not None:
        _check_inside(site, stop.position)
        return Place(stop, stop.position, None)
    assert stop.height is not None
    along, position = on_ladder(site.ladder(stop.ladder), stop.height)
    return Place(stop, position, along)


def on_ladder(ladder: Ladder, height: float) -> tuple[float, tuple[float, float, float]]:
    """Return how far along a ladder a height is, m from its foot, and the place (x, y, z).

    Parameters
    ----------
    ladder : Ladder
        The ladder.
    height : float
        m above the site datum.

    Raises
    ------
    InputError
        If the ladder does not reach it.
    """
    points = np.array(ladder.points, dtype=np.float64)
    passed = 0.0
    for a, b in itertools.pairwise(points):
        length = float(np.linalg.norm(b - a))
        low, high = sorted((a[2], b[2]))
        if length and low - 1e-9 <= height <= high + 1e-9:
            part = 0.0 if a[2] == b[2] else float(np.clip((height - a[2]) / (b[2] - a[2]), 0, 1))
            x, y, z = (float(v) for v in a + part * (b - a))
            return passed + part * length, (x, y, z)
        passed += length
    low, high = points[:, 2].min(), points[:, 2].max()
    raise InputError(
        f"{show_length(height)} is not on {ladder.name}, which goes from {show_length(low)} to {show_length(high)}",
        field="height",
        fix="Give a height of the ladder, in m above the site datum",
    )


def _check_inside(site: Site, position: tuple[float, float, float]) -> None:
    """Refuse a place outside of all that is drawn, which is a slip."""
    west, south, east, north = site_extent(site)
    corners = [(west, south), (east, north)]
    heights = [0.0]
    for surface in site.surfaces:
        corners += surface.outline
        heights.append(surface.height)
    for structure in site.structures:
        heights += [structure.base, structure.top]
    for ladder in site.ladders:
        corners += [(p[0], p[1]) for p in ladder.points]
        heights += [p[2] for p in ladder.points]
    heights += [a.position[2] for a in site.antennas]
    xy = np.array(corners)
    low = [*xy.min(axis=0), min(heights) - _UNDER]
    high = [*xy.max(axis=0), max(heights) + _OVER]
    if not all(a <= p <= b for a, p, b in zip(low, position, high, strict=True)):
        x, y, z = position
        raise InputError(
            f"{x:g}, {y:g}, {z:g} m is outside the site",
            field="position",
            fix="Give a place on the site (x east, y north, z up, in m), or draw the ground that is missing",
        )


def _leg(site: Site, job: Job, a: Place, b: Place) -> Leg:
    route = job.route
    assert route is not None
    first = site.ladder(a.stop.ladder) if a.along is not None else None
    last = site.ladder(b.stop.ladder) if b.along is not None else None
    if first is not None and first == last:
        climbed = _between(first, a.position, a.along, b.position, b.along)
        return Leg(tuple(_pieces(climbed, route.climb_speed, _CLIMBER)))
    # Nobody leaves a ladder through the air: it is climbed to where it is nearest to the way on.
    off, on = _changed_at(first, a.position, last, b.position)
    pieces: list[Piece] = []
    if first is not None:
        climbed = _between(first, a.position, a.along, *off)
        pieces += _pieces(climbed, route.climb_speed, _CLIMBER)
    # On and off a ladder a body is somewhere between both.
    heights = (min(a.heights[0], b.heights[0]), max(a.heights[1], b.heights[1]))
    pieces += _pieces([off[0], on[0]], route.walk_speed, heights)
    if last is not None:
        climbed = _between(last, *on, b.position, b.along)
        pieces += _pieces(climbed, route.climb_speed, _CLIMBER)
    return Leg(tuple(pieces))


def _pieces(
    points: Sequence[_Point], speed: float, heights: tuple[float, float]
) -> Iterator[Piece]:
    for start, end in itertools.pairwise(points):
        length = float(np.linalg.norm(np.subtract(end, start)))
        if length > 1e-6:
            yield Piece(start, end, heights, length / speed)


def _between(
    ladder: Ladder, start: _Point, low: float | None, end: _Point, high: float | None
) -> list[_Point]:
    """Return the points of a ladder from one place on it to another, both with how far along it they are."""
    assert low is not None
    assert high is not None
    at = _along(ladder)
    inner = [
        ladder.points[i] for i in np.flatnonzero((at > min(low, high)) & (at < max(low, high)))
    ]
    if low > high:
        inner.reverse()
    return [start, *inner, end]


def _along(ladder: Ladder) -> Floats:
    """Return how far along a ladder its points are, m from its foot."""
    points: NDArray[np.float64] = np.array(ladder.points, dtype=np.float64)
    return np.concatenate([[0.0], np.cumsum(np.linalg.norm(np.diff(points, axis=0), axis=1))])


def _nearest(ladder: Ladder, to: _Point) -> tuple[_Point, float]:
    """Return the place on a ladder that is nearest to another place, and how far along it is."""
    at = _along(ladder)
    found: list[tuple[float, _Point, float]] = []
    for (a, b), passed in zip(itertools.pairwise(ladder.points), at, strict=False):
        step = np.subtract(b, a)
        square = float(step @ step)
        part = float(np.clip(np.subtract(to, a) @ step / square, 0.0, 1.0)) if square else 0.0
        x, y, z = (float(v) for v in np.add(a, part * step))
        away = float(np.linalg.norm(np.subtract(to, (x, y, z))))
        found.append((away, (x, y, z), float(passed) + part * math.sqrt(square)))
    _, place, along = min(found)
    return place, along


def _changed_at(
    first: Ladder | None, start: _Point, last: Ladder | None, end: _Point
) -> tuple[tuple[_Point, float], tuple[_Point, float]]:
    """Return where a ladder is left and another one reached, each with how far along it is (0 where none is).

    From one ladder to another it is where they come closest, the lowest such place.
    """
    if first is None or last is None:
        off = (start, 0.0) if first is None else _nearest(first, end)
        on = (end, 0.0) if last is None else _nearest(last, start)
        return off, on
    ways = [(_nearest(first, p), _nearest(last, p)) for p in (*first.points, *last.points)]
    return min(
        ways,
        key=lambda way: (
            round(float(np.linalg.norm(np.subtract(way[0][0], way[1][0]))), 2), way[0][0][2],
        ),
    )  # fmt: skip
