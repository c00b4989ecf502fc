"""A closed outline with fewer corners that still holds all it held: notches filled, short sides taken off.

Two steps make an outline larger and have one corner less: a corner that points inward goes, which fills the notch, and
a side between two corners that point outward goes, its neighbours made longer until they meet. The step that adds the
least area comes first. Own construction; what is proven of it is only that every outline holds the one before.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import shapely
from shapely import Polygon

from core.arrays import Floats

_FLAT = 1e-9


def fewer(outline: Polygon, least: int = 3) -> Iterator[Polygon]:
    """Yield an outline without its holes, and ones with ever fewer corners that hold it.

    Parameters
    ----------
    outline : Polygon
        What is to be held, m.
    least : int
        Corners at which it ends.
    """
    points = shapely.get_coordinates(shapely.remove_repeated_points(outline.exterior, _FLAT))[:-1]
    if not outline.exterior.is_ccw:
        points = points[::-1]
    while True:
        yield Polygon(points)
        if len(points) <= least:
            return
        smaller = _one_less(points)
        if smaller is None:
            return
        points = smaller


def _one_less(points: Floats) -> Floats | None:
    """Return a closed outline (n, 2), counterclockwise, with one corner less; None if none can go."""
    before, after = np.roll(points, 1, axis=0), np.roll(points, -1, axis=0)
    turn = _cross(points - before, after - points)
    # A corner that points inward, or none at all, goes: the triangle is added.
    filled = np.where(turn <= 0.0, -0.5 * turn, np.inf)
    meet, added = _meeting(points, turn)
    offers = np.concatenate([filled, added])
    for i in np.argsort(offers, kind="stable"):
        if not np.isfinite(offers[i]):
            return None
        made = _taken(points, int(i), meet)
        if Polygon(made).is_valid:
            return made
    return None


def _taken(points: Floats, step: int, meet: Floats) -> Floats:
    n = len(points)
    if step < n:
        return np.delete(points, step, axis=0)
    i = step - n
    made = points.copy()
    made[i] = meet[i]
    return np.delete(made, (i + 1) % n, axis=0)


def _meeting(points: Floats, turn: Floats) -> tuple[Floats, Floats]:
    """Return where the neighbours of each side meet beyond it (n, 2), and the area it adds; infinite if nowhere."""
    before, after = np.roll(points, 1, axis=0), np.roll(points, -2, axis=0)
    end = np.roll(points, -1, axis=0)
    d, e, gap = points - before, end - after, end - points
    cross = _cross(d, e)
    with np.errstate(divide="ignore", invalid="ignore"):
        t = _cross(gap, e) / cross
        s = _cross(gap, d) / cross
        meet = points + t[:, None] * d
        added = 0.5 * np.abs(_cross(gap, meet - points))
    outward = (turn > 0.0) & (np.roll(turn, -1) > 0.0)
    usable = outward & (np.abs(cross) > 1e-12) & (t > 0.0) & (s > 0.0) & np.isfinite(added)
    return meet, np.where(usable, added, np.inf)


def _cross(a: Floats, b: Floats) -> Floats:
    made: Floats = a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0]
    return made
