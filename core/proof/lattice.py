"""A lattice of squares (or segments) that are halved, and the shapes they leave behind.

Corners of a cell are numbered with the first direction fastest: in two dimensions (low, low),
(high, low), (low, high), (high, high).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import MultiPolygon

from core.arrays import Floats
from core.shapes import only_areas

Indices = NDArray[np.int64]

OUTWARD = 1e-6
"""m by which finished shapes are grown, so that rounding of coordinates cannot cut a point off."""


@dataclass(frozen=True, slots=True)
class Lattice:
    """Cells of side ``side`` · 2^-level from ``origin`` in view coordinates (d,)."""

    origin: Floats
    side: float

    def side_at(self, level: int) -> float:
        """Return the side of cells of a level, m."""
        return self.side * 0.5**level

    def centres(self, index: Indices, level: int) -> Floats:
        """Return the centres (n, d) in view coordinates of cells (n, d)."""
        middle: Floats = self.origin + (index + 0.5) * self.side_at(level)
        return middle

    @property
    def flat(self) -> Lattice:
        """The lattice as seen from above; itself where it has no third direction."""
        return Lattice(self.origin[:2], self.side)

    def corners(self, index: Indices, level: int) -> Floats:
        """Return view coordinates (n, d) of lattice points (n, d)."""
        at: Floats = self.origin + index * self.side_at(level)
        return at


def cover(low: Floats, high: Floats, across: int) -> tuple[Lattice, Indices]:
    """Return a lattice with about ``across`` cells over the longest side of a box, and its cells.

    Parameters
    ----------
    low : array
        Least corner (d,), m.
    high : array
        Largest corner (d,), m.
    """
    size = high - low
    side = float(size.max()) / across
    counts = np.maximum(1, np.ceil(size / side - 1e-9)).astype(int)
    grid = np.indices(tuple(counts)).reshape(len(size), -1).T
    return Lattice(np.asarray(low, dtype=np.float64), side), grid.astype(np.int64)


def cover_columns(low: Floats, high: Floats, across: int) -> tuple[Lattice, Indices]:
    """Return a lattice of cubes over the flat side of a box (3,), and the lowest cubes.

    Their side is the box's height doubled or halved some times: so cubes are stacked in it without a rest, or one is
    taller than the box.

    Parameters
    ----------
    low, high : array
        Least and largest corner (3,), m.
    across : int
        About how many cubes lie along the longest side.
    """
    size = high - low
    side = size[2] * 2.0 ** np.ceil(np.log2(size[:2].max() / across / size[2]) - 1e-9)
    counts = np.maximum(1, np.ceil(size / side - 1e-9)).astype(int)
    grid = np.indices(tuple(counts)).reshape(3, -1).T
    return Lattice(np.asarray(low, dtype=np.float64), float(side)), grid.astype(np.int64)


def offsets(dimension: int) -> Indices:
    """Return the lattice offsets (2^d, d) of a cell's corners, and of its children.

    Parameters
    ----------
    dimension : int
        Directions along which the patch extends.
    """
    return np.array(
        [[(c >> axis) & 1 for axis in range(dimension)] for c in range(1 << dimension)], np.int64
    )


def children(index: Indices) -> Indices:
    """Return the cells (n × 2^d, d) of the next level, the children of one cell together.

    Parameters
    ----------
    index : Indices
        Cells of the lattice.
    """
    steps = offsets(index.shape[1])
    return (2 * index[:, None, :] + steps[None]).reshape(-1, index.shape[1])


def child_weights(dimension: int) -> Floats:
    """Return w (child, corner of child, corner of parent): multilinear weights at child corners.

    Parameters
    ----------
    dimension : int
        Directions along which the patch extends.
    """
    steps = offsets(dimension)
    at = 0.5 * (steps[:, None, :] + steps[None, :, :])
    share = np.where(steps[None, None, :, :] == 1, at[:, :, None, :], 1.0 - at[:, :, None, :])
    weights: Floats = share.prod(axis=-1)
    return weights


def above(corners: Floats, values: Floats, threshold: float) -> NDArray[np.object_]:
    """Return polygons in which majorants can reach a threshold.

    Parameters
    ----------
    corners : array, shape (n, 4, 2)
        The squares.
    values : array, shape (n, 4)
        Corner values; the majorant is at most any concave function through them, so the polygon is
        where the two triangles of their concave envelope reach the threshold. It is convex.
    threshold : float

    Returns
    -------
    array of shapely geometries; without area where nothing is reached.
    """
    v00, v10, v01, v11 = values.T
    falling = v00 + v11 - v10 - v01 <= 0.0
    ends = [(0, 1), (1, 3), (3, 2), (2, 0)]
    points = [corners]
    keep = [values >= threshold]
    for i, j in ends:
        at, cut = _crossing(corners, values, threshold, i, j)
        points.append(at)
        keep.append(cut)
    for i, j, used in ((1, 2, falling), (0, 3, ~falling)):
        at, cut = _crossing(corners, values, threshold, i, j)
        points.append(at)
        keep.append(cut & used[:, None])
    flat, kept = np.concatenate(points, axis=1), np.concatenate(keep, axis=1)
    which = np.nonzero(kept)[0]
    shapes = np.full(len(corners), None, dtype=object)
    groups = shapely.multipoints(flat[kept], indices=np.searchsorted(np.unique(which), which))
    shapes[np.unique(which)] = shapely.convex_hull(groups)
    return shapes


def _crossing(
    corners: Floats, values: Floats, threshold: float, i: int, j: int
) -> tuple[Floats, NDArray[np.bool_]]:
    a, b = values[:, i], values[:, j]
    cut = (a >= threshold) != (b >= threshold)
    t = np.where(cut, (threshold - a) / np.where(cut, b - a, 1.0), 0.0)[:, None]
    return (corners[:, i] * (1.0 - t) + corners[:, j] * t)[:, None, :], cut[:, None]


def boxes(lattice: Lattice, index: Indices, level: int) -> NDArray[np.object_]:
    """Return rectangles that together are the cells (n, 2) of a level, runs of them joined.

    Parameters
    ----------
    lattice : Lattice
        The lattice.
    index : Indices
        Cells of the lattice.
    """
    if len(index) == 0:
        return np.zeros(0, dtype=object)
    order = np.lexsort((index[:, 0], index[:, 1]))
    ix, iy = index[order].T
    new = np.ones(len(ix), bool)
    new[1:] = (iy[1:] != iy[:-1]) | (ix[1:] != ix[:-1] + 1)
    first = np.flatnonzero(new)
    last = np.append(first[1:], len(ix)) - 1
    low = lattice.corners(np.stack([ix[first], iy[first]], axis=1), level)
    high = lattice.corners(np.stack([ix[last] + 1, iy[last] + 1], axis=1), level)
    found: NDArray[np.object_] = shapely.box(low[:, 0], low[:, 1], high[:, 0], high[:, 1])
    return found


def joined(shapes: NDArray[np.object_]) -> MultiPolygon:
    """Return the union of shapes, grown by a hair."""
    solid = [s for s in shapes if s is not None and s.area > 0.0]
    whole = shapely.union_all(solid)
    return only_areas(whole.buffer(OUTWARD, join_style="mitre", quad_segs=2))
