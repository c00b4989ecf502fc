"""Bound of the worst case: a falling function of the distance to a ball."""

from __future__ import annotations

import numpy as np

from core.antennas.worst_case import REFLECTION, WorstCase
from core.proof.bounds.base import Bound, Patches, bound, reactive_code
from core.units import ETA0, from_db, wavelength


@bound.register
def bound_of_worst_case(
    kind: WorstCase, frequency: float, patches: Patches, *, conservative: bool
) -> Bound:
    """√E² = C f(d) with d the distance to a ball of radius a and u = λ/(2π d).

    f is the larger of u √(1 + u² + u⁴) and 2u² √(1 + u²), norms of powers of u, each of them positive, falling
    and convex in d: so f is convex. Along every direction d'' ≤ 1/r with r = d + a the distance to the ball's
    centre, and f(d)'' = f'' d'² + f' d'' ≥ -|f'(d)|/r, which falls with d.
    """
    half = kind.size / 2.0
    away = np.sqrt(np.einsum("ni,ni->n", patches.centre, patches.centre))
    near = np.maximum(away - patches.radius - half, kind.trust(frequency))
    u = wavelength(frequency) / (2.0 * np.pi * near)
    first, second = u * np.sqrt(1.0 + u**2 + u**4), 2.0 * u**2 * np.sqrt(1.0 + u**2)
    # With d du/dd = -u: d/dd of the squares over twice the norms.
    fall = np.maximum((u**2 + 2.0 * u**4 + 3.0 * u**6) / first, (8.0 * u**4 + 12.0 * u**6) / second)
    scale = np.sqrt(from_db(kind.gain) * REFLECTION / (4.0 * np.pi) * ETA0)
    scale = scale * 2.0 * np.pi / wavelength(frequency)
    top = scale * np.maximum(first, second)
    curve = patches.dimension * scale * fall / near / (near + half)
    zero = np.zeros_like(near)
    gap = np.maximum(away - half, 0.0)
    return Bound(
        e=top,
        h=top / ETA0,
        e_curve=curve,
        h_curve=curve / ETA0,
        e_jump=zero,
        h_jump=zero,
        e_floor=zero,
        h_floor=zero,
        gap=gap,
        reactive=reactive_code(gap, patches.radius, kind.trust(frequency)),
    )
