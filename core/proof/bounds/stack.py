"""Bound of a stack of dipole bays: its arms, with the floor and the added decibels of the kind."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from core.antennas.stack import COVER_DB, Stack
from core.arrays import Points
from core.fields.arms import arm_sum
from core.proof.bounds.arms import SEAM, arm_bounds, both_sums, sum_code
from core.proof.bounds.base import (
    Bound,
    Majorant,
    Patches,
    bound,
    from_branches,
    from_values,
    majorant,
    reactive_code,
)
from core.units import from_db


@bound.register
def bound_of_stack(kind: Stack, frequency: float, patches: Patches, *, conservative: bool) -> Bound:
    """√E² = √cover · max(|Σ E_n|, (Σ|E_n|²)^½): the larger of two norms of smooth vectors."""
    arms = arm_bounds(kind.arms(frequency), patches, common_direction=conservative)
    cover = np.sqrt(from_db(COVER_DB)) if conservative else 1.0
    floor = cover if conservative else 0.0
    metal = np.minimum(arms.metal, kind.mast_distance(patches.centre))
    return Bound(
        e=arms.e.m0 * cover,
        h=arms.h.m0 * cover,
        e_curve=arms.e.m2 * cover,
        h_curve=arms.h.m2 * cover,
        e_jump=arms.e_jump * cover,
        h_jump=arms.h_jump * cover,
        e_floor=arms.e_each.m2 * floor,
        h_floor=arms.h_each.m2 * floor,
        gap=metal,
        reactive=reactive_code(metal, patches.radius, kind.trust(frequency)),
    )


@majorant.register
def majorant_of_stack(
    kind: Stack,
    frequency: float,
    patches: Patches,
    known: Bound,
    points: Points,
    corners: NDArray[np.intp],
    *,
    conservative: bool,
) -> Majorant:
    """Patches that straddle the edge of the quick sum take the larger of both sums at each corner."""
    if not conservative:
        unit = kind.unit_field(points, frequency, conservative=False)
        return from_values(unit.e2, unit.h2, known, patches, corners)
    arms = kind.arms(frequency)
    cover = from_db(COVER_DB)
    total = arm_sum(arms, points, common_direction=True)
    values = [cover * v for v in (total.e2, total.h2, total.e2_each, total.h2_each)]
    seam = np.unique(corners[sum_code(arms, patches) == SEAM])
    if seam.size:
        for one in both_sums(arms, points[seam]):
            for value, v in zip(values, (one.e2, one.h2, one.e2_each, one.h2_each), strict=True):
                value[seam] = np.maximum(value[seam], cover * v)
    return from_branches((values[0], values[1]), (values[2], values[3]), known, patches, corners)
