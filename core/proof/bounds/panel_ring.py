"""Bound of panels around a mast: the larger of the phasor sum and the floor, both smooth vectors."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from core.antennas import panel_ring as ring
from core.antennas.panel_ring import PanelRing
from core.arrays import Points
from core.fields import elements as el
from core.fields.unit_field import plane_wave
from core.proof.bounds.arms import SEAM
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
from core.proof.bounds.elements import both_sums, element_bounds, sum_code
from core.proof.bounds.jet import larger
from core.units import ETA0, from_db


@bound.register
def bound_of_panel_ring(
    kind: PanelRing, frequency: float, patches: Patches, *, conservative: bool
) -> Bound:
    elements = ring.elements_of(kind, frequency)
    sums = element_bounds(elements, patches, common_direction=conservative)
    cover = np.sqrt(from_db(ring.COVER_DB)) if conservative else 1.0
    least = cover if conservative else 0.0
    whole = np.sqrt(ring.share_all_round(elements))
    floor = larger(sums.floor, sums.blind.scaled(whole)).scaled(least)
    e = np.maximum(sums.total.m0 * cover, floor.m0)
    curve, smooth = sums.total.m2 * cover, floor.m2
    jump = sums.jump * cover
    gap = np.minimum(sums.gap, kind.core_distance(patches.centre))
    return Bound(
        e=e,
        h=e / ETA0,
        e_curve=curve,
        h_curve=curve / ETA0,
        e_jump=jump,
        h_jump=jump / ETA0,
        e_floor=smooth,
        h_floor=smooth / ETA0,
        gap=gap,
        reactive=reactive_code(gap, patches.radius, kind.trust(frequency)),
    )


@majorant.register
def majorant_of_panel_ring(
    kind: PanelRing,
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
    elements = ring.elements_of(kind, frequency)
    cover = from_db(ring.COVER_DB)
    sums = el.phasor_sum(elements, points, common_direction=True, faces_agree=True)
    e2, h2 = (cover * v for v in sums)
    seam = np.unique(corners[sum_code(elements, patches) == SEAM])
    if seam.size:
        for one_e2, one_h2 in both_sums(elements, points[seam]):
            e2[seam] = np.maximum(e2[seam], cover * one_e2)
            h2[seam] = np.maximum(h2[seam], cover * one_h2)
    floor = plane_wave(cover * ring.least_power(elements, points))
    return from_branches((e2, h2), floor, known, patches, corners)
