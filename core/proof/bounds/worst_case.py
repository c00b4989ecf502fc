"""Bound of the worst case: a constant over the distance to a segment."""

from __future__ import annotations

import numpy as np

from core.antennas.worst_case import REFLECTION, WorstCase
from core.proof.bounds.base import Bound, Patches, bound, reactive_code
from core.units import ETA0, from_db


@bound.register
def bound_of_worst_case(
    kind: WorstCase, frequency: float, patches: Patches, *, conservative: bool
) -> Bound:
    """√E² = C/d with d the distance to a segment.

    d is convex with |d'| ≤ 1 and d'' ≤ 1/d (distance to a convex set), so
    (1/d)'' = 2d'²/d³ - d''/d² ≥ -1/d³ along every direction.
    """
    half = kind.size / 2.0
    c = patches.centre
    past = np.maximum(np.abs(c[:, 2]) - half, 0.0)
    distance = np.sqrt(c[:, 0] ** 2 + c[:, 1] ** 2 + past**2)
    near = np.maximum(distance - patches.radius, kind.trust(frequency))
    scale = np.sqrt(from_db(kind.gain) * REFLECTION / (4.0 * np.pi) * ETA0)
    curve = patches.dimension * scale / near**3
    zero = np.zeros_like(near)
    return Bound(
        e=scale / near,
        h=scale / near / ETA0,
        e_curve=curve,
        h_curve=curve / ETA0,
        e_jump=zero,
        h_jump=zero,
        e_floor=zero,
        h_floor=zero,
        gap=distance,
        reactive=reactive_code(distance, patches.radius, kind.trust(frequency)),
    )
