"""Pieces of an area as the search for proven zones takes them: lines, upright planes and stacks of cubes, of points."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from core.arrays import Floats
from core.proof.assess import Plane
from core.proof.domains import Domain
from core.proof.lattice import OUTWARD
from core.proof.search import ACROSS

_WIDE = 16.0
_CELL, _MOST_CELLS = 0.1, 1024
_ABOUT = {1: 41, 2: 11, 3: 5}
LEAST = 1e-3
"""m: a side shorter than this is made so long, to either side, so that there is something to search."""


@dataclass(frozen=True, slots=True)
class Piece:
    """What is searched at once: a part of a plane, in its coordinates.

    ``plane`` has one direction (a line), two, or three with the last straight up (cubes over a shape); ``low`` and
    ``high`` (d,) are the corners of the box about it, m; ``shape`` is what it covers, None for a line.
    """

    plane: Plane
    low: Floats
    high: Floats
    shape: shapely.Geometry | None = None

    @property
    def box(self) -> tuple[Floats, Floats]:
        """The box as the search takes it: so wide that cubes as high as the column do not come out tiny."""
        if len(self.low) < 3:
            return self.low, self.high
        wide = self.high.copy()
        wide[:2] = np.maximum(wide[:2], self.low[:2] + _WIDE * self.high[2])
        return self.low, wide

    @property
    def domains(self) -> tuple[Domain, ...]:
        """The piece as the search takes it."""
        if self.shape is None:
            return ()
        return (Domain((0,), self.shape.buffer(OUTWARD, join_style="mitre")),)

    def samples(self, most: int, finest: float) -> NDArray[np.float64]:
        """Return site points (n, 3) spread evenly over the piece, ends and corners among them.

        Parameters
        ----------
        most : int
            About how many.
        finest : float
            m between them at least.
        """
        size = self.high - self.low
        step = max(finest, float(np.prod(np.maximum(size, finest)) / most) ** (1.0 / len(size)))
        counts = [max(2, math.ceil(s / step) + 1) for s in size]
        ways = [np.linspace(a, b, n) for a, b, n in zip(self.low, self.high, counts, strict=True)]
        view = np.stack([g.ravel() for g in np.meshgrid(*ways, indexing="ij")], axis=1)
        if self.shape is not None:
            view = view[shapely.intersects_xy(self.shape, view[:, 0], view[:, 1])]
            corners = shapely.get_coordinates(self.shape)
            if view.shape[1] == 3:
                corners = np.concatenate(
                    [np.column_stack([corners, np.full(len(corners), z)]) for z in ways[2]]
                )
            view = np.concatenate([view, corners])
        return self.plane.at(view, np.full(len(view), self.plane.layers[0]))

    @property
    def across(self) -> int:
        """How many cells a search begins with: on a line many, because a sum near its limit is looked at closely."""
        if len(self.low) > 1:
            return ACROSS
        return int(np.clip(float(self.high[0] - self.low[0]) / _CELL, ACROSS, _MOST_CELLS))

    def near(self, point: NDArray[np.float64], reach: float) -> NDArray[np.float64]:
        """Return site points (n, 3) of the piece close about one of its points (3,); none if it is not of it.

        Parameters
        ----------
        reach : float
            m to every side.
        """
        foot = self.plane.origin + np.array([0.0, 0.0, float(self.plane.layers[0])])
        view = (point - foot) @ self.plane.directions.T
        off = point - foot - view @ self.plane.directions
        if (
            np.abs(off).max() > LEAST
            or (view < self.low - LEAST).any()
            or (view > self.high + LEAST).any()
        ):
            return np.zeros((0, 3))
        steps = np.linspace(-reach, reach, _ABOUT[len(view)])
        grid = np.stack([g.ravel() for g in np.meshgrid(*(steps,) * len(view))], axis=1)
        view = np.clip(view + grid, self.low, self.high)
        if self.shape is not None:
            view = view[shapely.intersects_xy(self.shape, view[:, 0], view[:, 1])]
        return self.plane.at(view, np.full(len(view), self.plane.layers[0]))

    def column(self, view: Floats, finest: float) -> NDArray[np.float64]:
        """Return site points (m, 3) over places (n, d or 2): where the piece is of cubes, of every height of it.

        Parameters
        ----------
        view : array
            Places in the plane's coordinates, m.
        finest : float
            m between heights.
        """
        if len(self.low) == 3:
            heights = np.linspace(
                self.low[2], self.high[2], max(2, math.ceil((self.high[2] - self.low[2]) / finest))
            )
            flat = np.repeat(view[:, :2], len(heights), axis=0)
            view = np.column_stack([flat, np.tile(heights, len(view))])
        return self.plane.at(view, np.full(len(view), self.plane.layers[0]))


@dataclass(frozen=True, slots=True)
class Area:
    """Where a plan has to hold, and in words."""

    pieces: tuple[Piece, ...]
    words: str

    def samples(self, most: int, finest: float) -> NDArray[np.float64]:
        """Return site points (n, 3) over all pieces; see :meth:`Piece.samples`."""
        each = max(2, most // len(self.pieces))
        return np.concatenate([p.samples(each, finest) for p in self.pieces])

    def near(self, point: NDArray[np.float64], reach: float) -> NDArray[np.float64]:
        """Return site points (n, 3) of the area close about one of its points (3,); ``reach`` m to every side."""
        return np.concatenate([p.near(point, reach) for p in self.pieces])
