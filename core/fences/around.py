"""Fences around a zone: closed lines of a few straight pieces that a crew can chain.

How they follow edges and walls is in core.fences.walls.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np
import shapely
from shapely import MultiPolygon, Polygon

from core.arrays import Floats
from core.errors import InputError
from core.fences.fewer import fewer
from core.fences.walls import SNAP, Walls, settle
from core.shapes import only_areas

MARGIN, SLACK, CORNERS = 0.2, 0.3, 8
"""m that a fence keeps from its zone, for a chain that sags and who leans over it (common practice, no source); m that
it may stand farther out for a corner less; most corners. The zone itself is where an upright body, head to foot, is
over: who stands outside is half his width farther off."""
LEAST_SIDE = 1.0
"""m: a shorter side is no use to a crew, unless an edge makes it."""
_HAIR = 1e-7
_CLOSE = 0.02
"""m within which an outline follows the bays of a zone."""
_ARC = 8
"""Sides of a quarter of a circle."""
_ARC_WITHIN = float(np.cos(np.pi / (4 * _ARC)))
"""How near such an arc, drawn inside of its circle, comes to the middle."""


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

    def put_up(outlines: Sequence[Polygon], held: MultiPolygon) -> tuple[Polygon, ...]:
        if surface is None and walls is None:
            return tuple(outlines)
        return settle(outlines, held, margin=margin, surface=surface, walls=walls, snap=snap)

    def outlined(group: MultiPolygon) -> Polygon:
        return _chainable(_offers(group, margin, slack, corners), group, corners, put_up)

    near = 2.0 * margin + slack
    grouped = only_areas(region.buffer(near / 2.0 + _HAIR)) if near > 0 else region
    groups = [only_areas(region.intersection(g)) for g in grouped.geoms]
    groups = [g for g in groups if not g.is_empty]
    outlines = [outlined(g) for g in groups]
    while (pair := _crossing(outlines)) is not None:
        # Fences that cross would confuse a crew: one fence holds both.
        a, b = pair
        both = only_areas(shapely.union_all([groups[a], groups[b]]))
        groups = [g for i, g in enumerate(groups) if i not in pair] + [both]
        outlines = [o for i, o in enumerate(outlines) if i not in pair] + [outlined(both)]
    return put_up(outlines, region)


def _crossing(outlines: Sequence[Polygon]) -> tuple[int, int] | None:
    for a, one in enumerate(outlines):
        for b in range(a + 1, len(outlines)):
            if one.intersects(outlines[b]):
                return a, b
    return None


def _chainable(
    offers: Sequence[Polygon],
    group: MultiPolygon,
    corners: int,
    put_up: Callable[[Sequence[Polygon], MultiPolygon], tuple[Polygon, ...]],
) -> Polygon:
    """Return the first outline that has few corners also where it follows edges and walls; else the one with fewest."""
    found: list[tuple[int, Polygon]] = []
    for one in offers:
        found.append((max(len(p.exterior.coords) - 1 for p in put_up([one], group)), one))
        if found[-1][0] <= corners:
            return one
    return min(found, key=lambda f: f[0])[1]


def _offers(region: MultiPolygon, margin: float, slack: float, corners: int) -> list[Polygon]:
    """Return outlines that hold a zone with its margin: the best one, and after it ones with fewer corners.

    Best is the one with the fewest corners that stands no farther out than margin and slack. When none stands near
    enough with sides that a crew can chain, it is the one of least area that has such sides. Tried are the zone with
    its margin and the least convex outline, both with ever fewer corners, and outlines of equal angles at many turns.
    """
    hull = shapely.convex_hull(region)
    tight = shapely.convex_hull(hull.buffer(margin + _HAIR, join_style="mitre", mitre_limit=8.0))
    tried: dict[int, list[Floats]] = {}
    for whole in (tight, *_close_about(region, margin)):
        for one in fewer(whole):
            points = shapely.get_coordinates(one.exterior)[:-1]
            if len(points) <= corners:
                tried.setdefault(len(points), []).append(points)
    support = shapely.get_coordinates(tight.exterior)
    within = region.buffer((margin + slack + _HAIR) / _ARC_WITHIN, quad_segs=_ARC)
    shapely.prepare(within)
    best: list[tuple[bool, float, Floats]] = []
    for count in range(3, corners + 1):
        rated = [
            (_shortest(t) < LEAST_SIDE, not within.covers(shapely.LinearRing(t)), _area(t), t)
            for t in (*tried.get(count, ()), *_equal_angles(support, count))
        ]
        if not rated:
            continue
        short, far, area, points = min(rated, key=lambda r: r[:3])
        best.append((short, area, points))
        if not (short or far):
            break
    else:
        best.sort(key=lambda r: (not r[0], -r[1]))
    return [Polygon(points) for _, _, points in reversed(best)]


def _close_about(region: MultiPolygon, margin: float) -> list[Polygon]:
    """Return one outline that holds a zone with its margin and follows its bays; none where it is in pieces."""
    reach = (margin + _CLOSE) / _ARC_WITHIN
    grown = only_areas(region.buffer(reach, quad_segs=_ARC))
    if len(grown.geoms) != 1:
        return []
    # Simplified by less than it was grown too much, it still holds the margin.
    return [Polygon(Polygon(grown.geoms[0].exterior).simplify(_CLOSE / 2.0).exterior)]


def _shortest(points: Floats) -> float:
    """Return the length of the shortest side of a closed outline, m."""
    return float(np.hypot(*(np.roll(points, -1, axis=0) - points).T).min())


def _equal_angles(points: Floats, count: int) -> list[Floats]:
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


def _area(points: Floats) -> float:
    return float(Polygon(points).area)
