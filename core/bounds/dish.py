"""Bound of a dish: every part of the published chain at the end of its range on the patch.

The values on the axis, the step beside it and the aperture's face fall with distance, and the envelope is
searched over the range of angles, so the largest value on a patch needs no derivative. The bound is flat:
it tightens in proportion to the patch.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from core.antennas import dish as ds
from core.antennas.dish import AxisChain, Dish
from core.antennas.field import ramp
from core.arrays import Floats, Points
from core.bounds.angles import spread
from core.bounds.base import Bound, Majorant, Patches, bound, majorant
from core.units import ETA0, wavelength

_SAMPLES = 48
_EDGE = 1.0 + 1e-9


def _chain_top(chain: AxisChain, low: Floats, high: Floats) -> Floats:
    """Return the largest value of the chain (n,) over ranges of distance: it falls but for one step up."""
    after = np.maximum(low, chain.far_start)
    far = np.where(high >= chain.far_start, chain.gain / (4.0 * np.pi * after**2), 0.0)
    top: Floats = np.maximum(chain.at(low), far)
    return top


def _uniform_top(chain: AxisChain, low: Floats, high: Floats) -> Floats:
    reached = high >= chain.near_end
    return np.where(reached, chain.uniform(np.maximum(low, chain.near_end)), 0.0)


def _face_top(kind: Dish, chain: AxisChain, low: Floats, high: Floats) -> Floats:
    least, most = (np.clip(2.0 - 2.0 * x / kind.diameter, 0.0, 1.0) for x in (high, low))
    ends = [chain.surface * f + chain.near * (1.0 - f) for f in (least, most)]
    return np.where(most > 0.0, np.maximum(*ends), 0.0)


def _envelope_top(kind: Dish, frequency: float, low: Floats, high: Floats) -> Floats:
    """Return the largest envelope gain (n,): samples over the range, ends included.

    The envelope falls with the angle except for what rounding and steps of the formula may do.
    """
    gain = kind.gain_at(frequency)
    angles = low[:, None] + (high - low)[:, None] * np.linspace(0.0, 1.0, _SAMPLES)
    levels = kind._envelope(angles.ravel(), frequency, gain).reshape(angles.shape)
    return ds.from_db_array(levels.max(axis=1))


def _power(kind: Dish, frequency: float, conservative: bool, patches: Patches) -> Floats:
    lam = wavelength(frequency)
    chain = ds.axis_chain(kind.diameter, kind.gain_at(frequency), lam)
    c, rho = patches.centre, patches.radius
    lateral, away = np.hypot(c[:, 1], c[:, 2]), np.sqrt(np.einsum("ni,ni->n", c, c))
    back, ahead = c[:, 0] - rho, c[:, 0] + rho
    axis = _chain_top(chain, np.maximum(back, 0.0), np.maximum(ahead, 0.0))
    if conservative:
        axis = np.maximum(axis, _uniform_top(chain, back, ahead))
    axis = np.maximum(axis, _face_top(kind, chain, back, ahead))
    aside = np.clip((np.maximum(lateral - rho, 0.0) / kind.diameter - 0.5) / 0.5, 0.0, 1.0)
    behind = np.clip(-2.0 * ahead / kind.diameter, 0.0, 4.0)
    beam = axis * ds.BESIDE ** (aside + behind)
    off = np.degrees(np.arccos(np.clip(c[:, 0] / np.maximum(away, 1e-9), -1.0, 1.0)))
    turn = spread(away, rho)
    low, high = np.maximum(off - turn, 0.0), np.minimum(off + turn, 180.0)
    wide = ramp(high, ds.SPILL_FROM, ds.SPILL_FULL)
    envelope = _envelope_top(kind, frequency, low, high)
    envelope = np.maximum(envelope, ds.SPILL_OVER * ds.from_db_array(-30.0 * (1.0 - wide)))
    near = np.maximum(away - rho, 0.05 * kind.diameter)
    cap = np.maximum(_chain_top(chain, near, np.maximum(away + rho, near)), chain.surface * wide)
    far = np.minimum(envelope / (4.0 * np.pi * near**2), cap)
    power: Floats = np.maximum(beam, far) * _EDGE
    return power


@bound.register
def _(kind: Dish, frequency: float, conservative: bool, patches: Patches) -> Bound:
    c, rho = patches.centre, patches.radius
    sup = np.sqrt(ETA0 * _power(kind, frequency, conservative, patches))
    lateral, deep = np.hypot(c[:, 1], c[:, 2]), 0.25 * kind.diameter
    beside = np.maximum(lateral - 0.5 * kind.diameter, 0.0)
    along = np.maximum(np.maximum(-deep - c[:, 0], c[:, 0] - 2.0 * deep), 0.0)
    gap = np.hypot(beside, along)
    some = gap <= rho * _EDGE
    every = (lateral + rho < 0.5 * kind.diameter) & (c[:, 0] - rho > -deep)
    every &= c[:, 0] + rho < 2.0 * deep
    endless, zero = np.full(len(c), np.inf), np.zeros(len(c))
    return Bound(
        e=sup,
        h=sup / ETA0,
        e_curve=endless,
        h_curve=endless,
        e_jump=zero,
        h_jump=zero,
        e_floor=zero,
        h_floor=zero,
        gap=gap,
        reactive=some.astype(np.int8) + (every & some).astype(np.int8),
    )


@majorant.register
def _(
    kind: Dish,
    frequency: float,
    conservative: bool,
    patches: Patches,
    known: Bound,
    points: Points,
    corners: NDArray[np.intp],
) -> Majorant:
    unit = kind.unit_field(points, frequency, conservative=conservative)
    flat = np.repeat(_power(kind, frequency, conservative, patches)[:, None], corners.shape[1], 1)
    return Majorant(unit.e2[corners], unit.h2[corners], flat * ETA0, flat / ETA0)
