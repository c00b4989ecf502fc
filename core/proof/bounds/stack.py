"""Bound of a stack of dipole bays: its arms, with the floor and the added decibels of the kind."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from core.antennas.stack import Stack
from core.arrays import Floats, Points
from core.fields.arms import Arms, arm_sum
from core.proof.bounds.arms import SEAM, arm_bounds, both_sums, sum_code
from core.proof.bounds.base import (
    Bound,
    Majorant,
    Patches,
    bound,
    from_branches,
    from_values,
    largest_bound,
    majorant,
    reactive_code,
)
from core.units import from_db


@bound.register
def bound_of_stack(kind: Stack, frequency: float, patches: Patches, *, conservative: bool) -> Bound:
    """√E² = √cover · max(|Σ E_n|, (Σ|E_n|²)^½): the larger of two norms of smooth vectors, with all its currents."""
    if kind.is_unknown:
        return _bound_of_envelope(kind, frequency, patches, conservative=conservative)
    feeds = kind.feeds(frequency, conservative=conservative)
    return largest_bound([
        _bound_with(kind, arms, frequency, patches, conservative=conservative) for arms in feeds
    ])  # fmt: skip


def _bound_with(
    kind: Stack, fed: Arms, frequency: float, patches: Patches, *, conservative: bool
) -> Bound:
    arms = arm_bounds(fed, patches, common_direction=conservative)
    cover = np.sqrt(from_db(kind.cover_db)) if conservative else 1.0
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


def _bound_of_envelope(
    kind: Stack, frequency: float, patches: Patches, *, conservative: bool
) -> Bound:
    """Bounds of the stacks of an envelope, put together: in a group by Pythagoras, then the largest group.

    Where f_i ≤ L_i + t_i with the interpolation L_i of its corners, ‖f‖ ≤ ‖L‖ + ‖t‖, and ‖L‖ is at most the
    interpolation of ‖f‖ at the corners, because a norm is convex.
    """
    names = ("e", "h", "e_curve", "h_curve", "e_jump", "h_jump")

    def squares(stack: Stack) -> Floats:
        one = bound_of_stack(stack, frequency, patches, conservative=conservative)
        values = {name: getattr(one, name) for name in names}
        values["e_curve"] = np.maximum(one.e_curve, one.e_floor)
        values["h_curve"] = np.maximum(one.h_curve, one.h_floor)
        return np.stack([values[name] for name in names]) ** 2

    joined = np.sqrt(kind.over_groups(frequency, squares, conservative=conservative))
    none = np.zeros(len(patches))
    metal = kind.metal_distance(patches.centre, frequency)
    return Bound(
        **dict(zip(names, joined, strict=True)),
        e_floor=none,
        h_floor=none,
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
    if kind.is_unknown:

        def squares(stack: Stack) -> Floats:
            of = _corner_squares(
                stack, frequency, patches, points, corners, conservative=conservative
            )
            larger: Floats = np.maximum(of[:2], of[2:])
            return larger

        e2, h2 = kind.over_groups(frequency, squares, conservative=conservative)
        return from_values(e2, h2, known, patches, corners)
    if not conservative:
        unit = kind.unit_field(points, frequency, conservative=False)
        return from_values(unit.e2, unit.h2, known, patches, corners)
    values = _corner_squares(kind, frequency, patches, points, corners, conservative=True)
    return from_branches((values[0], values[1]), (values[2], values[3]), known, patches, corners)


def _corner_squares(
    kind: Stack,
    frequency: float,
    patches: Patches,
    points: Points,
    corners: NDArray[np.intp],
    *,
    conservative: bool,
) -> Floats:
    """Return E² and H² of the sum, then of the floor, (4, points), with the kind's decibels."""
    found = [
        _corner_squares_with(kind, arms, patches, points, corners, conservative=conservative)
        for arms in kind.feeds(frequency, conservative=conservative)
    ]
    largest: Floats = np.maximum.reduce(found)
    return largest


def _corner_squares_with(
    kind: Stack,
    arms: Arms,
    patches: Patches,
    points: Points,
    corners: NDArray[np.intp],
    *,
    conservative: bool,
) -> Floats:
    total = arm_sum(arms, points, common_direction=conservative)
    if not conservative:
        return np.stack([total.e2, total.h2, 0.0 * total.e2, 0.0 * total.h2])
    cover = from_db(kind.cover_db)
    values = cover * np.stack([total.e2, total.h2, total.e2_each, total.h2_each])
    seam = np.unique(corners[sum_code(arms, patches) == SEAM])
    if seam.size:
        for one in both_sums(arms, points[seam]):
            here = cover * np.stack([one.e2, one.h2, one.e2_each, one.h2_each])
            values[:, seam] = np.maximum(values[:, seam], here)
    return values
