"""Pieces of a region in which nothing was seen over the threshold: the bounds could not decide them.

Where a model has a step, or a bound is poor, cells as small as was asked for may still have to count as inside although
no field near the threshold was found in them. They are no edge that is exact to anything, and it has to be said.
"""

from __future__ import annotations

import numpy as np
import shapely
from shapely import MultiPolygon

from core.proof.search import Outcome
from core.proof.tolerance import Fineness

_SEEN = 2.0
"""Times the tolerance: a field so much below the threshold was still seen near it."""


def undecided(
    result: Outcome, fineness: Fineness, region: MultiPolygon, domain: int = 0
) -> MultiPolygon:
    """Return the pieces of a region of a search that were only not ruled out.

    Parameters
    ----------
    result : Outcome
        What a search has found.
    fineness : Fineness
        How fine it was asked to be.
    region : MultiPolygon
        Its region in a domain.
    domain : int
        Which.
    """
    if region.is_empty:
        return region
    least = fineness.threshold * (1.0 - _SEEN * fineness.share)
    known = np.zeros(len(region.geoms), bool)
    for leaf in result.leaves:
        mine = result.domain_of[leaf.layer] == domain
        with np.errstate(invalid="ignore"):
            field = leaf.values - (leaf.share * fineness.threshold)[:, None]
        # A cell that counts as a whole and has no slack was decided.
        mine &= (field >= least).any(axis=1)
        index = np.unique(leaf.index[mine], axis=0)
        left = np.flatnonzero(~known)
        if not len(index) or not len(left):
            continue
        low, high = (result.lattice.corners(index + step, leaf.level) for step in (0, 1))
        # The pieces ask, for they have many corners and are prepared once.
        tree = shapely.STRtree(shapely.box(*low.T, *high.T))
        known[left[tree.query(np.array(region.geoms)[left], predicate="intersects")[0]]] = True
    return MultiPolygon([p for p, one in zip(region.geoms, known, strict=True) if not one])
