"""Bound of a Yagi: the larger of a main lobe and of a level all round, both over the distance to its outline.

With the distance d to the flat outline (a convex set) |d'| ≤ 1, d'' ≤ 1/d. For f ≥ 0, falling and convex,
f(d)'' ≥ -|f'(d)|/d, at its largest where d is least.

The lobe's amplitude is √G/(d + δ) times a function of the angle off the boom, the base's a function of it over d.
Near elements and tips have norms of constants over d and over d^1.5, times √w of ramps: one of the way behind the
last element, linear in x, one of the steepness s past the tips. √w and √(1-w) have derivatives of at most √3 and,
downward, 3 over the ramp's span (t√(3 - 2t)).

With ζ the height past the tips and ρ the distance past boom and side, tan s = ζ/ρ: |ζ'|² + |ρ'|² ≤ 1, ζ'' = 0 and
ρ'' ≤ 1/ρ give |s'| ≤ 1/d and |s''| = |ζ ρ''/d² + 2 d' s'/d| ≤ (tan s + 2)/d². The ramp moves only up to its end.
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np

from core.antennas import yagi as yg
from core.antennas.yagi import Yagi
from core.arrays import Floats
from core.fields.unit_field import ramp
from core.proof.bounds.angles import Curve, curve, slope_jet, spread
from core.proof.bounds.base import Bound, Patches, bound, reactive_code
from core.proof.bounds.jet import Jet, larger, stacked
from core.units import ETA0, from_db, wavelength

_Seen = tuple[Floats, Floats, Jet]


@lru_cache(maxsize=64)
def _curves(kind: Yagi) -> tuple[Curve, Curve]:
    """Return the fields of the main lobe and of the level beside and behind, against the angle off the boom."""
    return (
        curve(lambda t: np.sqrt(kind.relative_gain(t)), 0.0, 180.0, factor=True),
        curve(lambda t: np.sqrt(kind.base_gain(t)), 0.0, 180.0, factor=True),
    )


@bound.register
def bound_of_yagi(kind: Yagi, frequency: float, patches: Patches, *, conservative: bool) -> Bound:
    lam = wavelength(frequency)
    outside = kind.outside_of(patches.centre, lam)
    gap = np.sqrt(np.einsum("ni,ni->n", outside, outside))
    near = np.maximum(gap - patches.radius, kind.trust(frequency))
    seen = _seen(lam, patches)
    level = _level(kind, lam, patches, outside, near, seen)
    if not conservative:
        level = level.scaled(np.sqrt(from_db(-yg.BEST_DB)))
    jet = larger(level, _ahead(kind, lam, patches, near, seen)).scaled(
        np.sqrt(ETA0 / (4.0 * np.pi))
    )
    zero = np.zeros(len(patches))
    return Bound(
        e=jet.m0,
        h=jet.m0 / ETA0,
        e_curve=jet.m2,
        h_curve=jet.m2 / ETA0,
        e_jump=zero,
        h_jump=zero,
        e_floor=zero,
        h_floor=zero,
        gap=gap,
        reactive=reactive_code(gap, patches.radius, kind.trust(frequency)),
    )


def _seen(lam: float, patches: Patches) -> _Seen:
    """Return the range of angles off the boom over patches, degrees, and the angle's jet."""
    c = patches.centre
    away = np.sqrt(np.einsum("ni,ni->n", c, c))
    off = np.degrees(np.arctan2(np.hypot(c[:, 1], c[:, 2]), c[:, 0]))
    wide = spread(away, patches.radius)
    low, high = np.maximum(off - wide, 0.0), np.minimum(off + wide, 180.0)
    least = np.maximum(away - patches.radius, 0.01 * lam)
    return low, high, slope_jet(least, low, high, patches.dimension)


def _ahead(kind: Yagi, lam: float, patches: Patches, near: Floats, seen: _Seen) -> Jet:
    back = near + kind.setback(lam) * lam
    fall = Jet(1.0 / back, 1.0 / back**2, patches.dimension / (back**2 * near))
    return (fall * _curves(kind)[0].jet(*seen)).scaled(np.sqrt(from_db(kind.gain)))


def _level(
    kind: Yagi, lam: float, patches: Patches, outside: Floats, near: Floats, seen: _Seen
) -> Jet:
    nd, rho = patches.dimension, patches.radius
    d = near / lam
    plain = Jet(1.0 / near, 1.0 / near**2, nd / near**3)
    # √(A + B/d)/d is the norm of √A/d and √B/d^1.5.
    steeper = Jet(d**-1.5 / lam, 1.5 * d**-2.5 / lam**2, nd * 1.5 * d**-3.5 / lam**3)
    elements = stacked([plain.scaled(np.sqrt(yg.SIDE_FAR)), steeper.scaled(np.sqrt(yg.SIDE_NEAR))])
    tips = stacked([plain.scaled(np.sqrt(yg.TIP_FAR)), steeper.scaled(np.sqrt(yg.TIP_NEAR))])
    past = -patches.centre[:, 0] - kind.boom / 2.0
    flat = np.ones_like(near)
    over = (0.0, yg.BACK_OVER * lam)
    ahead, _ = _weights((past - rho, past + rho), over, Jet(flat, flat, 0.0 * flat))
    base = plain * _curves(kind)[1].jet(*seen)
    across = np.hypot(outside[:, 0], patches.centre[:, 1])
    middle = np.degrees(np.arctan2(outside[:, 2], across))
    wide = spread(np.hypot(across, outside[:, 2]), rho)
    most = np.tan(np.radians(yg.STEEP[1]))
    turn = Jet(flat, 1.0 / near, nd * (most + 2.0) / near**2).scaled(180.0 / np.pi)
    level, steep = _weights((middle - wide, middle + wide), yg.STEEP, turn)
    return stacked([larger(base, elements * ahead) * level, tips * steep])


def _weights(at: tuple[Floats, Floats], span: tuple[float, float], way: Jet) -> tuple[Jet, Jet]:
    """Return the jets of √(1 - w) and √w for a ramp w over a range of values; ``way`` is their jet."""
    low, high = ramp(at[0], *span), ramp(at[1], *span)
    moving = (low < 1.0) & (high > 0.0)
    wide = span[1] - span[0]
    m1 = np.sqrt(3.0) / wide * way.m1 * moving
    m2 = (np.sqrt(3.0) / wide * way.m2 + 3.0 / wide**2 * way.m1**2) * moving
    return Jet(np.sqrt(1.0 - low), m1, m2), Jet(np.sqrt(high), m1, m2)
