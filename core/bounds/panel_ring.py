"""Bound of panels around a mast: the larger of the phasor sum and the floor, both smooth vectors."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from core.antennas import elements as el
from core.antennas import panel_ring as ring
from core.antennas.panel_ring import PanelRing
from core.arrays import Points
from core.bounds.arms import SEAM
from core.bounds.base import (
    Bound,
    Majorant,
    Patches,
    bound,
    from_values,
    majorant,
    reactive_code,
)
from core.bounds.elements import both_sums, element_bounds, sum_code
from core.units import ETA0, from_db


@bound.register
def _(kind: PanelRing, frequency: float, conservative: bool, patches: Patches) -> Bound:
    elements = ring._elements(kind, frequency)
    found = element_bounds(elements, patches, common_direction=conservative)
    e, curve = found.total.m0, found.total.m2
    cover = 1.0
    if conservative:
        e, curve = np.maximum(e, found.floor.m0), np.maximum(curve, found.floor.m2)
        cover = np.sqrt(from_db(ring.COVER_DB))
    e, curve, jump = e * cover, curve * cover, found.jump * cover
    gap = np.minimum(found.gap, kind._core_distance(patches.centre))
    return Bound(
        e,
        e / ETA0,
        curve,
        curve / ETA0,
        jump,
        jump / ETA0,
        gap,
        reactive_code(gap, patches.radius, kind.trust(frequency)),
    )


@majorant.register
def _(
    kind: PanelRing,
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
        elements = ring._elements(kind, frequency)
        seam = np.unique(corners[sum_code(elements, patches) == SEAM])
        if seam.size:
            e2, h2 = e2.copy(), h2.copy()
            floor = el.power_sum(elements, points[seam], keep_azimuth=True)
            cover = from_db(ring.COVER_DB)
            for sums in both_sums(elements, points[seam]):
                e2_here, h2_here = el.floored(*sums, floor)
                e2[seam] = np.maximum(e2[seam], cover * e2_here)
                h2[seam] = np.maximum(h2[seam], cover * h2_here)
    return from_values(e2, h2, known, patches, corners)
