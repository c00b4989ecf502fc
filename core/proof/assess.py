"""Bounding and evaluating the radiators over the cells of a lattice."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from core.arrays import Bools, Floats
from core.proof.bounds.base import Bound, Majorant
from core.proof.bounds.surroundings import HUGE
from core.proof.enclosure import Enclosure
from core.proof.lattice import Indices, Lattice, offsets
from core.proof.parts import Parts, Share, no_parts, unknown
from core.proof.patchwork import Patchwork
from core.proof.radiators import bound_of, majorant_of

_ENOUGH = 2.0
"""Times the tolerance in metres: the side of cubes below which one that may be over puts its whole place inside."""


class Cells(Protocol):
    """Cells (n,) of one level: lattice index (n, d) and layer (n,)."""

    @property
    def index(self) -> Indices: ...
    @property
    def layer(self) -> NDArray[np.intp]: ...


CLOSE = 0.2
"""A bound for the whole body column is used unless the column reaches this share of the way to the metal."""


@dataclass(frozen=True, slots=True)
class Plane:
    """A line or plane in the site, repeated in several layers, each with the same heights of a body on it.

    ``origin`` (3,), ``directions`` (d, 3) unit vectors; ``layers`` (l,) and ``rises`` (h,) are metres
    added to z. What matters in a layer is the mean or the peak over its rises. With three directions, the third
    straight up, it is the peak over every height of a column of ``column`` m.
    """

    origin: NDArray[np.float64]
    directions: NDArray[np.float64]
    layers: NDArray[np.float64]
    rises: NDArray[np.float64]
    column: float = 0.0

    def at(self, view: Floats, up: Floats) -> NDArray[np.float64]:
        """Return site points (n, 3) of coordinates (n, d), raised by ``up`` (n,)."""
        points: NDArray[np.float64] = self.origin + view @ self.directions
        points[:, 2] += up
        return points

    @property
    def span(self) -> float:
        """Half the height of the body's column, m."""
        return 0.5 * float(self.rises.max() - self.rises.min())


@dataclass(frozen=True, slots=True)
class Pairs:
    """Cells at one height (``rise`` counts the body's heights) with one radiator each, (p,)."""

    cell: NDArray[np.intp]
    rise: NDArray[np.intp]
    radiator: NDArray[np.intp]

    def part(self, rows: Bools | NDArray[np.intp]) -> Pairs:
        """Return some of the pairs."""
        return Pairs(self.cell[rows], self.rise[rows], self.radiator[rows])

    def __len__(self) -> int:
        return len(self.cell)


@dataclass(slots=True)
class Assessor:
    """Bounds and fields of a site on the cells of a lattice; counts the field evaluations."""

    enclosed: Enclosure
    plane: Plane
    lattice: Lattice
    evaluations: int = 0
    steps: Indices = field(init=False)
    _rank: NDArray[np.int16] = field(init=False)
    _first: NDArray[np.intp] = field(init=False)
    _rays: int = field(init=False)

    def __post_init__(self) -> None:
        self.steps = offsets(len(self.plane.directions))
        groups = self.enclosed.groups
        # Small numbers, because those are sorted by their digits.
        self._rank = np.zeros(len(self.enclosed.radiators), np.int16)
        for i, radiator in enumerate(e for members in groups for e in members):
            self._rank[radiator] = i
        self._rays = 1 + max((len(r.around.images) for r in self.enclosed.radiators), default=0)
        self._first = np.cumsum([0, *(len(members) for members in groups)])[:-1]

    def _places(self, level: int, index: Indices, up: Floats, extra: float) -> Patchwork:
        side = self.lattice.side_at(level)
        centre = self.plane.at(self.lattice.centres(index, level), up)
        radius = 0.5 * side * float(np.sqrt(self.steps.shape[1])) + extra
        return Patchwork(centre, self.plane.directions, 0.5 * side, radius)

    def column_radius(self, level: int) -> float:
        """Return the radius of the ball around a cell with the whole body column on it, m."""
        return (
            0.5 * self.lattice.side_at(level) * float(np.sqrt(self.steps.shape[1]))
            + self.plane.span
        )

    def room(self, pairs: int) -> Parts | None:
        """Return room for what bounds of pairs are made of; None where heights are evaluated apart from columns."""
        if len(self.plane.rises) > 1 or self._rays == 1:
            return None
        return no_parts(pairs, self._rays)

    def columns(
        self,
        level: int,
        cells: Cells,
        cell: NDArray[np.intp],
        radiator: NDArray[np.intp],
        share: Share | None = None,
    ) -> Bound:
        """Return bounds (p,) of cells and radiators (p,) that hold for all heights of the body.

        ``share`` takes what they are made of.
        """
        rises = self.plane.rises
        up = self.plane.layers[cells.layer] + 0.5 * float(rises.max() + rises.min())
        places = self._places(level, cells.index, up, self.plane.span)
        return self._bounds(Pairs(cell, np.zeros_like(cell), radiator), places, share)

    def enough(self, level: int, metres: float) -> bool:
        """Return whether cells are cubes hardly larger than what was asked for: one that may be over settles its place.

        Parameters
        ----------
        level : int
            Level of the lattice.
        metres : float
            How exact an edge is asked to be, m.
        """
        return len(self.steps) == 8 and self.lattice.side_at(level) <= _ENOUGH * metres

    def _up(self, cells: Cells, pairs: Pairs) -> Floats:
        up: Floats = self.plane.layers[cells.layer[pairs.cell]] + self.plane.rises[pairs.rise]
        return up

    def heights(self, level: int, cells: Cells, pairs: Pairs) -> Bound:
        """Return bounds of pairs, each at its own height."""
        places = self._places(level, cells.index[pairs.cell], self._up(cells, pairs), 0.0)
        return self._bounds(Pairs(np.arange(len(pairs)), pairs.rise, pairs.radiator), places)

    def _bounds(self, pairs: Pairs, places: Patchwork, share: Share | None = None) -> Bound:
        out = unknown(len(pairs))
        for rows in self._tasks(pairs):
            owners, parts = self._shared(pairs, rows, places)
            mine = share and Share(share.parts, share.rows[rows])
            bound = bound_of([self.enclosed.radiators[e] for e in owners], parts, mine)
            for name in Bound.__slots__:
                getattr(out, name)[rows] = getattr(bound, name)
        return out

    def _tasks(self, pairs: Pairs) -> list[NDArray[np.intp]]:
        """Return the pairs of each group of radiators, sorted by radiator."""
        rank = self._rank[pairs.radiator]
        order = np.argsort(rank, kind="stable")
        ends = np.searchsorted(rank[order], self._first[1:])
        return [rows for rows in np.split(order, ends) if rows.size]

    def _shared(
        self, pairs: Pairs, rows: NDArray[np.intp], places: Patchwork
    ) -> tuple[list[int], list[Patchwork]]:
        owners, starts = np.unique(pairs.radiator[rows], return_index=True)
        parts = np.split(pairs.cell[rows], starts[1:])
        return owners.tolist(), [places.part(p) for p in parts]

    def evaluate(
        self, level: int, cells: Cells, pairs: Pairs, known: Bound, share: Share | None = None
    ) -> tuple[Floats, Floats]:
        """Return majorants and values (p, totals, corners) of pairs with their bounds ``known`` (p,)."""
        got = self.majorants(level, cells, pairs, known, share)
        over = self.enclosed.fractions(pairs.radiator, got.e2_over, got.h2_over, majorant=True)
        value = self.enclosed.fractions(pairs.radiator, got.e2, got.h2)
        return over, np.minimum(value, over)

    def majorants(
        self, level: int, cells: Cells, pairs: Pairs, known: Bound, share: Share | None = None
    ) -> Majorant:
        """Return squares for 1 W and what they cannot exceed, (p, corners), of pairs with their bounds ``known``."""
        k = len(self.steps)
        n = len(pairs)
        e2, h2, e2_over, h2_over = (np.zeros((n, k)) for _ in range(4))
        up = self._up(cells, pairs)
        index = cells.index[pairs.cell]
        places = self._places(level, index, up, 0.0)
        own = Pairs(np.arange(n), pairs.rise, pairs.radiator)
        key = (pairs.radiator * len(self.plane.layers) + cells.layer[pairs.cell]) * len(
            self.plane.rises
        ) + pairs.rise

        for rows in self._tasks(own):
            owners, parts = self._shared(own, rows, places)
            mine = pairs.part(rows)
            points, pair, corners = self._corners(level, index[rows], up[rows], key[rows])
            owner_of = np.searchsorted(owners, mine.radiator[pair])
            radiators = [self.enclosed.radiators[e] for e in owners]
            kept = share and Share(share.parts, share.rows[rows])
            got = majorant_of(radiators, parts, known.part(rows), points, owner_of, corners, kept)
            self.evaluations += len(points)
            e2[rows], h2[rows] = got.e2, got.h2
            e2_over[rows], h2_over[rows] = got.e2_over, got.h2_over
        return Majorant(e2, h2, e2_over, h2_over)

    def _corners(
        self, level: int, index: Indices, up: Floats, key: NDArray[np.intp]
    ) -> tuple[NDArray[np.float64], NDArray[np.intp], NDArray[np.intp]]:
        """Return the different corner points of pairs, a pair for each, and who uses which.

        Pairs with the same ``key`` and place share a point.
        """
        grid = index[:, None, :] + self.steps[None]
        low = grid.min(axis=(0, 1))
        size = grid.max(axis=(0, 1)) - low + 1
        keys = key[:, None].astype(np.int64)
        for axis in range(index.shape[1]):
            keys = keys * size[axis] + (grid[:, :, axis] - low[axis])
        _, first, who = np.unique(keys.ravel(), return_index=True, return_inverse=True)
        pair = (first // len(self.steps)).astype(np.intp)
        view = self.lattice.corners(grid.reshape(-1, index.shape[1])[first], level)
        return self.plane.at(view, up[pair]), pair, who.reshape(keys.shape).astype(np.intp)


def squared(amplitude: Floats) -> Floats:
    """Return squares, large ones held at a finite stand-in for infinity.

    Parameters
    ----------
    amplitude : array
        Amplitudes.

    Returns
    -------
    array
        Same shape as the arrays given.
    """
    capped: Floats = np.minimum(amplitude, 1e90) ** 2
    return capped


def summed(slot: NDArray[np.intp], values: Floats, n: int) -> Floats:
    """Return the sums (n, ...) of values (p, ...) by slot."""
    flat = values.reshape(len(values), int(np.prod(values.shape[1:])))
    out = np.empty((n, flat.shape[1]))
    for j in range(flat.shape[1]):
        out[:, j] = np.bincount(slot, weights=flat[:, j], minlength=n)
    return np.minimum(out, HUGE).reshape(n, *values.shape[1:])


def largest(slot: NDArray[np.intp], values: Floats, n: int, least: float) -> Floats:
    """Return the largest (n,) of values (p,) by slot, ``least`` where there is none."""
    out = np.full(n, least)
    np.maximum.at(out, slot, values)
    return out


def marked(slot: NDArray[np.intp], which: Bools, n: int) -> Bools:
    """Return which slots (n,) have any that is true (p,)."""
    out = np.zeros(n, bool)
    out[slot[which]] = True
    return out
