"""Fences: what a crew can see of a zone, checked against it.

A plan fence is a closed line of a few straight pieces; on a ladder it is a span of heights nobody stops
in. Where a fence meets the edge of the walking surface the edge itself is the boundary: nobody stands
beyond it. How one is fitted is in core.fences.around.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from shapely import Polygon

from core.fences.walls import margin_of
from core.limits.tier import Tier
from core.shapes import only_areas
from core.site.places import Fence
from core.units import FOOT
from core.zones.ladders import RUNG, Interval

_TOUCH = 1e-6


@dataclass(frozen=True, slots=True)
class Leak:
    """Where a zone passes a fence: a place beyond it, and how far beyond, m."""

    place: tuple[float, float]
    distance: float


@dataclass(frozen=True, slots=True)
class Check:
    """Whether a fence holds its zone.

    ``margin`` is the least distance in m between zone and fence line where it holds; infinite when the
    zone is empty or no fence line is needed. ``leaks`` has the worst first. ``unfenced`` is the area in
    m² of pieces no fence touches; their leaks say where they are, and how large: the side of a square of
    that area. ``holding`` is False where there is nothing of a zone inside; ``open_sides`` are those on which the
    zone was not followed to its end. ``loose`` zones met a ceiling: a leak of one may not be over.
    """

    margin: float
    leaks: tuple[Leak, ...]
    unfenced: float = 0.0
    holding: bool = False
    open_sides: tuple[str, ...] = ()
    loose: bool = False

    @property
    def holds(self) -> bool:
        """True when no part of the zone is outside, as far as it goes."""
        return not self.leaks and not self.open_sides

    def words(self, *, feet: bool = False) -> str:
        """Return the result in one sentence, lengths in m or ft."""
        unit, scale = ("ft", FOOT) if feet else ("m", 1.0)
        if self.leaks:
            worst = self.leaks[0]
            x, y = (c / scale for c in worst.place)
            if self.unfenced:
                area = self.unfenced / scale**2
                return f"{area:.3g} {unit}² of the zone, the largest piece at {x:.2f}, {y:.2f}"
            may = "MAY LEAK (the zone met its ceiling)" if self.loose else "LEAKS"
            return f"{may} by {_length(worst.distance, feet=feet)} at {x:.2f}, {y:.2f}"
        if self.open_sides:
            return f"NOT PROVEN: the zone may go on, {', '.join(self.open_sides)}"
        if math.isinf(self.margin):
            return (
                "holds: edges and walls all around"
                if self.holding
                else "holds: no part of its zone is inside"
            )
        return f"holds with a margin of {_length(self.margin, feet=feet)}"


def _length(metres: float, *, feet: bool) -> str:
    """Return a length as people read it: millimetres, or tenths of inches, where it is small."""
    if feet:
        return (
            f"{metres / FOOT:.2f} ft" if metres >= 0.1 * FOOT else f"{12.0 * metres / FOOT:.1f} in"
        )
    return f"{metres:.2f} m" if metres >= 0.1 else f"{1000.0 * metres:.1f} mm"


def check(
    fence: Polygon, region: shapely.Geometry, surface: shapely.Geometry | None = None
) -> Check:
    """Return whether a fence holds a zone on the walking surface.

    ``distance`` of a leak is how far the zone reaches beyond the fence.

    Parameters
    ----------
    region : shapely.Geometry
        The zone.
    """
    zone = region if surface is None else only_areas(region.intersection(surface))
    outside = only_areas(zone.difference(fence.buffer(_TOUCH)))
    leaks = []
    for piece in outside.geoms:
        leaks.append(leak(piece, fence))
    leaks.sort(key=lambda one: -one.distance)
    return Check(margin_of(fence, zone, surface), tuple(leaks), holding=zone.intersects(fence))


def leak(piece: Polygon, fences: shapely.Geometry) -> Leak:
    """Return the place of a piece that is farthest from the fences, to 1 cm or 1 %.

    Parameters
    ----------
    piece : Polygon
        A part of the zone outside.
    fences : geometry
        Everything inside of fences, m.
    """
    line = piece.exterior
    if fences.area < shapely.convex_hull(fences).area - 1e-9:
        # Between two corners of the piece another side or fence may be nearer: looked at in small steps.
        far = float(shapely.hausdorff_distance(line, fences))
        line = shapely.segmentize(line, max(0.01, 0.005 * far))
    xy = shapely.get_coordinates(line)
    distance = shapely.distance(shapely.points(xy), fences)
    worst = int(np.argmax(distance))
    return Leak((float(xy[worst, 0]), float(xy[worst, 1])), float(distance[worst]))


def check_stops(
    spans: Sequence[tuple[float, float]],
    intervals: Sequence[Interval],
    ends: tuple[float, float] = (-math.inf, math.inf),
) -> Check:
    """Return whether spans of heights hold the proven intervals of a ladder.

    Intervals shorter than a rung (:data:`core.zones.ladders.RUNG`) are no place to stop at: they need no span.

    Parameters
    ----------
    spans : sequence of (low, high)
        Heights nobody stops in, m.
    intervals : sequence of Interval
        Proven intervals of the ladder.
    ends : (foot, top)
        Heights of the ladder's ends, m: a span that reaches one needs no margin there.
    """
    leaks, margins = [], []
    for one in intervals:
        if one.high - one.low < RUNG:
            continue
        within = [(low, high) for low, high in spans if low <= one.high and high >= one.low]
        low = min((s[0] for s in within), default=math.inf)
        high = max((s[1] for s in within), default=-math.inf)
        gaps = _gaps(one, sorted(within))
        if gaps:
            worst = max(gaps, key=lambda g: g[1] - g[0])
            leaks.append(Leak((0.0, worst[0]), worst[1] - worst[0]))
        else:
            below = math.inf if low <= ends[0] else one.low - low
            above = math.inf if high >= ends[1] else high - one.high
            margins.append(min(below, above))
    leaks.sort(key=lambda one: -one.distance)
    return Check(min(margins, default=math.inf), tuple(leaks), holding=bool(margins))


def _gaps(one: Interval, spans: Sequence[tuple[float, float]]) -> list[tuple[float, float]]:
    """Return the parts of an interval that no span covers."""
    gaps, at = [], one.low
    for low, high in spans:
        if low > at + 1e-9:
            gaps.append((at, min(low, one.high)))
        at = max(at, high)
    if at < one.high - 1e-9:
        gaps.append((at, one.high))
    return gaps


def as_fences(
    outlines: Sequence[Polygon], tier: Tier, threshold: float, stem: str, taken: Sequence[str] = ()
) -> tuple[Fence, ...]:
    """Return outlines as fences of a site, with names that are free.

    Parameters
    ----------
    tier : Tier
        Whose limit.
    threshold : float
        Fraction of the limit they hold back.
    stem : str
        How their names begin.
    taken : Sequence[str]
        Names that are in use.
    """
    fences, used = [], set(taken)
    number = 1
    for outline in outlines:
        while f"{stem} {number}" in used:
            number += 1
        name = f"{stem} {number}"
        used.add(name)
        points = tuple(
            (round(float(x), 3), round(float(y), 3)) for x, y in outline.exterior.coords[:-1]
        )
        fences.append(Fence(name=name, tier=tier, threshold=threshold, outline=points))
    return tuple(fences)
