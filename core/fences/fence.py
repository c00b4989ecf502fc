"""Fences: what a crew can see of a zone, fitted around it and checked against it.

A plan fence is a closed line of a few straight pieces; on a ladder it is a span of heights nobody stops
in. Where a fence meets the edge of the walking surface the edge itself is the boundary: nobody stands
beyond it. How it follows edges and walls is in core.fences.walls.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import MultiPolygon, Polygon

from core.errors import InputError
from core.fences.walls import SNAP, Walls, margin_of, settle
from core.limits.tier import Tier
from core.shapes import only_areas
from core.site.places import Fence
from core.units import FOOT
from core.zones.ladders import RUNG, Interval

MARGIN, SLACK, CORNERS = 0.5, 1.0, 8
LEAST_SIDE = 1.0
"""m: a shorter side is no use to a crew, unless an edge makes it."""
_TOUCH = 1e-6
_HAIR = 1e-7


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


def fit(
    region: MultiPolygon,
    *,
    margin: float = MARGIN,
    slack: float = SLACK,
    corners: int = CORNERS,
    surface: shapely.Geometry | None = None,
    walls: Walls | None = None,
    snap: float = SNAP,
) -> tuple[Polygon, ...]:
    """Return fences around a zone: one closed outline for each group of pieces, fewest corners first.

    Parameters
    ----------
    region : MultiPolygon
        The zone, in plan metres.
    margin : float
        The fence keeps this far from the zone, m.
    slack : float
        It may stand this much farther out where that saves a corner, m.
    corners : int
        Most corners of one fence; with fewer than the slack would need, the fence stands farther out.
        Edges and walls it follows come on top.
    surface : geometry, optional
        Where people walk: the fence stays on it and uses its edge.
    walls : Walls, optional
        What no chain passes: the fence goes round it or along it (core.fences.walls).
    snap : float
        A fence nearer than this to the edge of the surface or to a wall goes there, m.

    Raises
    ------
    InputError
        If the settings make no sense.
    """
    if not (0.0 <= margin <= 100.0 and 0.0 <= slack <= 100.0 and 4 <= corners <= 60):
        raise InputError(
            f"margin {margin:g} m, slack {slack:g} m, {corners} corners",
            field="fence",
            fix="Use margin and slack of 0 to 100 m and 4 to 60 corners",
        )
    if region.is_empty:
        return ()
    near = 2.0 * margin + slack
    grouped = only_areas(region.buffer(near / 2.0 + _HAIR)) if near > 0 else region
    groups = [only_areas(region.intersection(g)) for g in grouped.geoms]
    groups = [g for g in groups if not g.is_empty]
    outlines = [_outline(g, margin, slack, corners) for g in groups]
    while (pair := _crossing(outlines)) is not None:
        # Fences that cross would confuse a crew: one fence holds both.
        a, b = pair
        both = only_areas(shapely.union_all([groups[a], groups[b]]))
        groups = [g for i, g in enumerate(groups) if i not in pair] + [both]
        kept = [o for i, o in enumerate(outlines) if i not in pair]
        outlines = [*kept, _outline(both, margin, slack, corners)]
    if surface is None and walls is None:
        return tuple(outlines)
    return settle(outlines, region, margin=margin, surface=surface, walls=walls, snap=snap)


def _crossing(outlines: Sequence[Polygon]) -> tuple[int, int] | None:
    for a, one in enumerate(outlines):
        for b in range(a + 1, len(outlines)):
            if one.intersects(outlines[b]):
                return a, b
    return None


def _outline(region: MultiPolygon, margin: float, slack: float, corners: int) -> Polygon:
    """Return the outline with the fewest corners that stands no farther out than margin and slack.

    Tried for each number of corners: the tight outline with its least edges taken away one by one, and
    outlines of equal angles at many turns. When none stands near enough with sides that a crew can chain, the
    nearest one that has such sides.
    """
    hull = shapely.convex_hull(region)
    tight = shapely.convex_hull(hull.buffer(margin + _HAIR, join_style="mitre", mitre_limit=8.0))
    ring = shapely.remove_repeated_points(tight.exterior, 1e-9)
    points = shapely.get_coordinates(ring)[:-1]
    best: NDArray[np.float64] | None = points if ring.is_ccw else points[::-1]
    reduced: dict[int, NDArray[np.float64]] = {}
    while best is not None and len(best) >= 3:
        reduced[len(best)] = best
        best = _without_an_edge(best)
    support = shapely.get_coordinates(tight.exterior)
    nearest: list[tuple[bool, float, NDArray[np.float64]]] = []
    for count in range(3, corners + 1):
        tried = _equal_angles(support, count)
        if count in reduced:
            tried.append(reduced[count])
        rated = [(_shortest(t) < LEAST_SIDE, _overshoot(t, region), t) for t in tried]
        if not rated:
            continue
        nearest.append(min(rated, key=lambda r: r[:2]))
        short, out, best_of_count = nearest[-1]
        if not short and out <= margin + slack + 1e-6:
            return Polygon(best_of_count)
    return Polygon(min(nearest, key=lambda r: r[:2])[2])


def _shortest(points: NDArray[np.float64]) -> float:
    """Return the length of the shortest side of a closed outline, m."""
    return float(np.hypot(*(np.roll(points, -1, axis=0) - points).T).min())


def _equal_angles(points: NDArray[np.float64], count: int) -> list[NDArray[np.float64]]:
    """Return outlines of ``count`` equal angles that hold points (n, 2), at 36 turns."""
    step = 2.0 * np.pi / count
    outlines = []
    for first in np.arange(36) * step / 36:
        angle = first + np.arange(count) * step
        normal = np.stack([np.cos(angle), np.sin(angle)], axis=1)
        reach = (points @ normal.T).max(axis=0) + _HAIR
        along = (np.roll(reach, -1) - reach * np.cos(step)) / np.sin(step)
        back = (np.roll(reach, 1) - reach * np.cos(step)) / np.sin(step)
        # A side whose ends have changed places does not belong to the outline.
        if np.all(along + back > 1e-9):
            tangent = np.stack([-normal[:, 1], normal[:, 0]], axis=1)
            outlines.append(reach[:, None] * normal + along[:, None] * tangent)
    return outlines


def _without_an_edge(points: NDArray[np.float64]) -> NDArray[np.float64] | None:
    """Return a convex outline with one edge less and the least added area; None when none can go.

    The edge from i to i+1 goes when its neighbours, made longer, meet beyond it.
    """
    n = len(points)
    before, after = np.roll(points, 1, axis=0), np.roll(points, -2, axis=0)
    start, end = points, np.roll(points, -1, axis=0)
    d, e = start - before, end - after
    cross = d[:, 0] * e[:, 1] - d[:, 1] * e[:, 0]
    gap = end - start
    with np.errstate(divide="ignore", invalid="ignore"):
        t = (gap[:, 0] * e[:, 1] - gap[:, 1] * e[:, 0]) / cross
        s = (gap[:, 0] * d[:, 1] - gap[:, 1] * d[:, 0]) / cross
        meet = start + t[:, None] * d
        added = 0.5 * np.abs(
            gap[:, 0] * (meet[:, 1] - start[:, 1]) - gap[:, 1] * (meet[:, 0] - start[:, 0])
        )
    usable = (np.abs(cross) > 1e-12) & (t > 0) & (s > 0) & np.isfinite(added)
    if not usable.any():
        return None
    i = int(np.argmin(np.where(usable, added, np.inf)))
    kept = [points[j] for j in range(n) if j not in (i, (i + 1) % n)]
    kept.insert(i if i + 1 < n else 0, meet[i])
    return np.array(kept)


def _overshoot(points: NDArray[np.float64], region: shapely.Geometry) -> float:
    """Return how far the farthest corner stands from the region, m."""
    return float(shapely.distance(shapely.points(points), region).max())


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
