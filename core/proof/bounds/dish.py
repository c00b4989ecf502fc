"""Bound of a dish: the beam and the envelope beside it, each a product of powers of convex distances.

The model is the larger of a beam and an envelope. Both are positive, so their amplitude is e^{u/2}, and along
any direction (e^{u/2})'' ≥ e^{u/2} u''/2: what lifts it above its chord is where the logarithm u bends
downward. With x the way along the axis, l the distance from the axis, r that from the aperture's centre and
t the angle off the axis (l' ≤ |d⊥|, 0 ≤ l'' ≤ |d⊥|²/l for the part d⊥ of a direction across the axis;
r'' ≤ 1/r; |t'| ≤ 1/r, |t''| ≤ (1 + |cot t|)/r²), the parts bend downward by at most

    beam:      log of a line (the face, D/2 to D): (slope/value)²; 1/x and 1/x² bend upward;
               BESIDE^{2l/D - 1}: (2 ln(1/BESIDE)/D) l''; 1/l² beyond D: 2 l''/l;
    envelope:  -2 log r: 2/r²; main lobe -c t²: 2c (t'² + t t'') ≤ 2c (2 + t)/r²; slope -2.5 log t:
               2.5 (1/t + 1/t²)/r²; spill-over 3 ln 10 · ramp(t): 3 ln 10 (6/w² + 1.5/w · 2)/r²,
               w = 15°; 0 on the plateau and behind;
    cap:       -log r or -2 log r: 1/r² or 2/r²; the amplitude √(surface · ramp): √surface (3/w² + 2√3/w)/r².

Of the larger of two the larger counts. Where a patch lies across a step or a corner at which the slope falls
there is no such bound, and the largest value on the patch stands for that part: every piece falls or rises
over its range, so ranges are enough.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from core.antennas import dish as ds
from core.antennas.dish import AxisChain, Dish
from core.arrays import Bools, Floats, Points
from core.fields.unit_field import ramp
from core.proof.bounds.angles import spread
from core.proof.bounds.base import Bound, Majorant, Patches, bound, majorant, over
from core.units import ETA0

_EDGE = 1.0 + 1e-9
_WIDTH = np.radians(ds.SPILL_FULL - ds.SPILL_FROM)
_SPILL = 3.0 * np.log(10.0) * (6.0 / _WIDTH**2 + 3.0 / _WIDTH)
_SPILL_ROOT = 3.0 / _WIDTH**2 + 2.0 * np.sqrt(3.0) / _WIDTH


@dataclass(frozen=True, slots=True)
class _Part:
    """Largest power density (n,) of one part for 1 W, and the curve of its root; inf where it has none."""

    power: Floats
    curve: Floats


@dataclass(frozen=True, slots=True)
class _Ranges:
    """Where patches (n,) lie: ranges of x, l, r in metres and of t in degrees; Σ|d⊥|² of the directions."""

    back: Floats
    ahead: Floats
    inner: Floats
    outer: Floats
    near: Floats
    far: Floats
    low: Floats
    high: Floats
    across: Floats

    @classmethod
    def of(cls, kind: Dish, patches: Patches) -> _Ranges:
        c, rho = patches.centre, patches.radius
        lateral, away = np.hypot(c[:, 1], c[:, 2]), np.sqrt(np.einsum("ni,ni->n", c, c))
        off = np.degrees(np.arccos(np.clip(c[:, 0] / np.maximum(away, 1e-9), -1.0, 1.0)))
        turn = spread(away, rho)
        near = np.maximum(away - rho, 0.05 * kind.diameter)
        return cls(
            c[:, 0] - rho,
            c[:, 0] + rho,
            np.maximum(lateral - rho, 0.0),
            lateral + rho,
            near,
            np.maximum(away + rho, near),
            np.maximum(off - turn, 0.0),
            np.minimum(off + turn, 180.0),
            (patches.directions[:, :, 1:] ** 2).sum(axis=(1, 2)),
        )


def _astride(low: Floats, high: Floats, at: float) -> Bools:
    """Return which ranges reach both sides of a value, or come as near to it as rounding."""
    reach = 1e-7 * (1.0 + abs(at))
    return np.asarray((low < at + reach) & (high > at - reach))


def _chain_top(chain: AxisChain, low: Floats, high: Floats) -> Floats:
    """Return the largest value of the chain (n,) over ranges of distance: it falls but for one step up."""
    after = np.maximum(low, chain.far_start)
    far = np.where(high >= chain.far_start, chain.gain / (4.0 * np.pi * after**2), 0.0)
    top: Floats = np.maximum(chain.at(low), far)
    return top


def _face_top(kind: Dish, chain: AxisChain, low: Floats, high: Floats) -> Floats:
    least, most = (np.clip(2.0 - 2.0 * x / kind.diameter, 0.0, 1.0) for x in (high, low))
    ends = [chain.surface * f + chain.near * (1.0 - f) for f in (least, most)]
    return np.where(most > 0.0, np.maximum(*ends), 0.0)


def _envelope_top(kind: Dish, frequency: float, low: Floats, high: Floats) -> Floats:
    """Return the largest envelope gain (n,): each of its pieces falls, so ends and edges are enough."""
    gain = kind.gain_at(frequency)
    top = kind.envelope(low, frequency, gain)
    for edge in kind.envelope_edges(frequency)[1]:
        # Just past the edge: at it, rounding decides which piece counts.
        after = kind.envelope(np.array([edge + 1e-9]), frequency, gain)
        top = np.where(_astride(low, high, edge), np.maximum(top, after), top)
    return ds.from_db_array(top)


def _beam(kind: Dish, chain: AxisChain, at: _Ranges) -> _Part:
    d = kind.diameter
    axis = _chain_top(chain, np.maximum(at.back, 0.0), np.maximum(at.ahead, 0.0))
    axis = np.maximum(axis, _face_top(kind, chain, at.back, at.ahead))
    aside = np.clip((at.inner / d - 0.5) / 0.5, 0.0, 1.0)
    behind = np.clip(-2.0 * at.ahead / d, 0.0, 4.0)
    further = np.maximum(at.inner / d, 1.0) ** -2
    power = axis * ds.BESIDE ** (aside + behind) * further * _EDGE
    slope = 2.0 / d * abs(chain.surface - chain.near) / min(chain.surface, chain.near)
    bend = np.where(at.back < d, slope**2, 0.0)
    falling = (at.outer > 0.5 * d) & (at.inner < d)
    steep = -2.0 * np.log(ds.BESIDE) / d
    beside = np.where(falling, steep * at.across / np.maximum(at.inner, 0.5 * d), 0.0)
    outside = np.where(at.outer > d, 2.0 * at.across / np.maximum(at.inner, d) ** 2, 0.0)
    bend = bend + np.maximum(beside, outside)
    corners = [0.0, 0.5 * d, d, chain.near_end, chain.far_start]
    broken = _astride(at.inner, at.outer, 0.5 * d)
    for corner in corners:
        broken |= _astride(at.back, at.ahead, corner)
    return _Part(power, np.where(broken, np.inf, 0.5 * np.sqrt(power) * bend))


def _envelope(kind: Dish, frequency: float, chain: AxisChain, n: int, at: _Ranges) -> _Part:
    """Return the envelope over 4πr², held to what the chain allows; ``n`` directions span the patches."""
    wide, wide_least = (ramp(t, ds.SPILL_FROM, ds.SPILL_FULL) for t in (at.high, at.low))

    def spilled(levels: Floats, weight: Floats) -> Floats:
        raised: Floats = np.maximum(
            levels, ds.SPILL_OVER * ds.from_db_array(-30.0 * (1.0 - weight))
        )
        return raised

    gain = kind.gain_at(frequency)
    free = spilled(_envelope_top(kind, frequency, at.low, at.high), wide) / (
        4.0 * np.pi * at.near**2
    )
    least = spilled(ds.from_db_array(kind.envelope(at.high, frequency, gain)), wide_least)
    least = least / (4.0 * np.pi * at.far**2)
    cap = np.maximum(_chain_top(chain, at.near, at.far), chain.surface * wide)
    stepping = _astride(at.near, at.far, chain.far_start)
    cap_least = np.where(stepping, chain.near * chain.near_end / chain.far_start, np.inf)
    cap_least = np.minimum(cap_least, chain.at(at.far))
    cap_least = np.maximum(cap_least, chain.surface * wide_least)
    power = np.minimum(free, cap) * _EDGE
    away2 = at.near**2
    shape, broken = _shape_bend(kind, frequency, at)
    free_curve = 0.5 * np.sqrt(power) * n * (2.0 + shape) / away2
    free_curve = np.where(broken, np.inf, free_curve)
    cap_curve = np.maximum(
        0.5 * np.sqrt(power) * n * 2.0 / away2,
        np.where(wide > 0.0, np.sqrt(chain.surface) * n * _SPILL_ROOT / away2, 0.0),
    )
    stepping |= _astride(at.near, at.far, chain.near_end)
    cap_curve = np.where(stepping, np.inf, cap_curve)
    # A margin for rounding: on a draw neither is taken.
    under, capped = free * _EDGE <= cap_least, least >= cap * _EDGE
    curve = np.where(under, free_curve, np.where(capped, cap_curve, np.inf))
    return _Part(power, np.where(at.near > 0.05 * kind.diameter, curve, np.inf))


def _shape_bend(kind: Dish, frequency: float, at: _Ranges) -> tuple[Floats, Bools]:
    """Return how far the log of the envelope's gain bends downward, times r², and where it has no bound."""
    main, edges = kind.envelope_edges(frequency)
    low, high = np.radians(at.low), np.radians(at.high)
    near_axis = 2.0 * main * (2.0 + high)
    held = np.maximum(low, 1e-9)
    slope = 2.5 * (1.0 / held + 1.0 / held**2)
    bend = np.where(at.low < edges[0], near_axis, 0.0)
    bend = np.where((at.high > edges[1]) & (at.low < edges[2]), np.maximum(bend, slope), bend)
    spilling = (at.high > ds.SPILL_FROM) & (at.low < ds.SPILL_FULL)
    bend = np.where(spilling, np.maximum(bend, _SPILL), bend)
    broken = np.zeros(len(low), bool)
    for edge in edges:
        broken |= _astride(at.low, at.high, edge)
    return bend, broken


def _parts(
    kind: Dish, frequency: float, patches: Patches, *, conservative: bool
) -> tuple[_Part, _Part]:
    chain = kind.chain(frequency, conservative=conservative)
    at = _Ranges.of(kind, patches)
    beside = _envelope(kind, frequency, chain, patches.dimension, at)
    return _beam(kind, chain, at), beside


@bound.register
def bound_of_dish(kind: Dish, frequency: float, patches: Patches, *, conservative: bool) -> Bound:
    c, rho = patches.centre, patches.radius
    beam, beside = _parts(kind, frequency, conservative=conservative, patches=patches)
    sup = np.sqrt(ETA0 * np.maximum(beam.power, beside.power))
    curve = np.sqrt(ETA0) * np.maximum(beam.curve, beside.curve)
    lateral, deep = np.hypot(c[:, 1], c[:, 2]), 0.25 * kind.diameter
    aside = np.maximum(lateral - 0.5 * kind.diameter, 0.0)
    along = np.maximum(np.maximum(-deep - c[:, 0], c[:, 0] - 2.0 * deep), 0.0)
    gap = np.hypot(aside, along)
    some = gap <= rho * _EDGE
    every = (lateral + rho < 0.5 * kind.diameter) & (c[:, 0] - rho > -deep)
    every &= c[:, 0] + rho < 2.0 * deep
    zero = np.zeros(len(c))
    return Bound(
        e=sup,
        h=sup / ETA0,
        e_curve=curve,
        h_curve=curve / ETA0,
        e_jump=zero,
        h_jump=zero,
        e_floor=zero,
        h_floor=zero,
        gap=gap,
        reactive=some.astype(np.int8) + (every & some).astype(np.int8),
    )


@majorant.register
def majorant_of_dish(
    kind: Dish,
    frequency: float,
    patches: Patches,
    known: Bound,
    points: Points,
    corners: NDArray[np.intp],
    *,
    conservative: bool,
) -> Majorant:
    """Beam and envelope each have a majorant of their own: where one has a corner, the other need not."""
    bounds = _parts(kind, frequency, conservative=conservative, patches=patches)
    values = kind.parts(points, frequency, conservative=conservative)
    e2, above = [], []
    for part, s in zip(bounds, values, strict=True):
        at_corners = ETA0 * s[corners]
        slack = 0.5 * patches.half**2 * np.sqrt(ETA0) * part.curve
        e2.append(at_corners)
        above.append(over(at_corners, np.sqrt(ETA0 * part.power), slack))
    field, raised = np.maximum(*e2), np.maximum(*above)
    return Majorant(field, field / ETA0**2, raised, raised / ETA0**2)
