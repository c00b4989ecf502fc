"""Where the layers of a plane count: pieces of the view, and the cells that touch them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from core.arrays import Bools
from core.proof.lattice import Indices, Lattice


@dataclass(frozen=True, slots=True)
class Domain:
    """A part of the view with the layers of the plane that count in it; ``shape`` None is the whole box."""

    layers: tuple[int, ...]
    shape: shapely.Geometry | None = None


@dataclass(frozen=True, slots=True)
class Domains:
    """All domains of a search; ``of`` (layers,) tells to which a layer belongs, ``column`` is that of bodies, m."""

    members: tuple[Domain, ...]
    of: NDArray[np.intp]
    column: float

    def touched(
        self, lattice: Lattice, level: int, index: Indices, layer: NDArray[np.intp]
    ) -> Bools:
        """Return which cells (n,) touch their domain and its column."""
        keep = np.ones(len(index), bool)
        if index.shape[1] == 3:
            keep = index[:, 2] * lattice.side_at(level) < self.column * (1.0 - 1e-9)
        of = self.of[layer]
        for i, domain in enumerate(self.members):
            mine = np.flatnonzero(of == i)
            if domain.shape is None or mine.size == 0:
                continue
            low = lattice.corners(index[mine], level)
            high = lattice.corners(index[mine] + 1, level)
            square = shapely.box(low[:, 0], low[:, 1], high[:, 0], high[:, 1])
            keep[mine] &= shapely.intersects(domain.shape, square)
        return keep


def domains_of(domains: Sequence[Domain], layers: int, column: float) -> Domains:
    """Return the domains of a search; without any, every layer counts everywhere.

    Parameters
    ----------
    domains : sequence of Domain
        Each layer belongs to one.
    layers : int
        How many there are.
    column : float
        m.
    """
    members = tuple(domains) or (Domain(tuple(range(layers))),)
    of = np.zeros(layers, np.intp)
    for i, domain in enumerate(members):
        of[list(domain.layers)] = i
    return Domains(members, of, column)
