"""What a selection is made from: blocks of options with their loads and costs."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from core.arrays import Bools, Floats

Picks = NDArray[np.intp]

SLACK = 1e-9
"""Part of a row that sums of loads may lose to rounding."""


@dataclass(frozen=True, slots=True)
class Selection:
    """What is to be selected from; blocks with fewer options are filled up.

    Attributes
    ----------
    there : bool array, shape (blocks, options)
        Which options there are.
    loads : array, shape (blocks, options, rows)
        What an option adds to a row, at least 0; no row may exceed 1.
    costs : array, shape (levels, blocks, options)
        Costs by level, at least 0; the level of the owners has zeros here.
    owners : bool array, shape (blocks, options, owners)
        Whom an option touches.
    owner_level : int
        The level on which owners count, one each.
    """

    there: Bools
    loads: Floats
    costs: Floats
    owners: Bools
    owner_level: int

    @property
    def levels(self) -> int:
        """How many levels of cost there are."""
        return len(self.costs)

    def cost(self, picks: Picks) -> tuple[float, ...]:
        """Return the cost by level of picks (blocks,), one option of each block."""
        rows = np.arange(len(picks))
        out = [float(level[rows, picks].sum()) for level in self.costs]
        out[self.owner_level] += float(self.owners[rows, picks].any(axis=0).sum())
        return tuple(out)

    def total(self, picks: Picks) -> Floats:
        """Return the sums of loads (rows,) of picks (blocks,)."""
        sums: Floats = self.loads[np.arange(len(picks)), picks].sum(axis=0)
        return sums
