"""Bound of a stack of dipole bays: its arms, with the floor and the added decibels of the kind."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from core.antennas.stack import COVER_DB, Stack
from core.arrays import Points
from core.bounds.arms import SEAM, arm_bounds, both_sums, sum_code
from core.bounds.base import (
    Bound,
    Majorant,
    Patches,
    bound,
    from_values,
    majorant,
    reactive_code,
)
from core.units import from_db


@bound.register
def _(kind: Stack, frequency: float, conservative: bool, patches: Patches) -> Bound:
    """√E² = √cover · max(|Σ E_n|, (Σ|E_n|²)^½): the larger of two norms of smooth vectors."""
    found = arm_bounds(kind.arms(frequency), patches, common_direction=conservative)
    e, h = found.curves(floor=conservative)
    cover = np.sqrt(from_db(COVER_DB)) if conservative else 1.0
    metal = np.minimum(found.metal, kind.mast_distance(patches.centre))
    return Bound(
        found.e.m0 * cover,
        found.h.m0 * cover,
        e * cover,
        h * cover,
        found.e_jump * cover,
        found.h_jump * cover,
        metal,
        reactive_code(metal, patches.radius, kind.trust(frequency)),
    )


@majorant.register
def _(
    kind: Stack,
    frequency: float,
    conservative: bool,
    patches: Patches,
    known: Bound,
    points: Points,
    corners: NDArray[np.intp],
) -> Majorant:
    """Patches that straddle the edge of the quick sum take the larger of both sums at each corner."""
    unit = kind.unit_field(points, frequency, conservative=conservative)
    e2, h2 = unit.e2, unit.h2
    if conservative:
        arms = kind.arms(frequency)
        seam = np.unique(corners[sum_code(arms, patches) == SEAM])
        if seam.size:
            e2, h2 = e2.copy(), h2.copy()
            cover = from_db(COVER_DB)
            for total in both_sums(arms, points[seam]):
                e2[seam] = np.maximum(e2[seam], cover * np.maximum(total.e2, total.e2_each))
                h2[seam] = np.maximum(h2[seam], cover * np.maximum(total.h2, total.h2_each))
    return from_values(e2, h2, known, patches, corners)
