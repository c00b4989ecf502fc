"""Bound of a Yagi: full gain over the distance to its hull, blended into an envelope far out.

The blend is linear in its weight and the envelope falls with the angle off the boom, so weights and
angles enter with the ends of their ranges on the patch.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from core.antennas import yagi as yg
from core.antennas.field import ramp
from core.antennas.yagi import Yagi
from core.arrays import Floats, Points
from core.bounds.angles import spread
from core.bounds.base import Bound, Majorant, Patches, bound, majorant, reactive_code
from core.bounds.scalar import between, fallen, nearest, spread_curve
from core.units import ETA0, from_db, wavelength


def _ranges(
    kind: Yagi, frequency: float, conservative: bool, patches: Patches
) -> tuple[Floats, Floats, Floats, Floats]:
    """Return the numerators of the close and the far power (n,), and the range of the weight."""
    lam = wavelength(frequency)
    c = patches.centre
    away = np.sqrt(np.einsum("ni,ni->n", c, c))
    off = np.degrees(np.arctan2(np.hypot(c[:, 1], c[:, 2]), c[:, 0]))
    wide = spread(away, patches.radius)
    low, high = np.maximum(off - wide, 0.0), np.minimum(off + wide, 180.0)
    top = from_db(kind.gain) / (4.0 * np.pi)
    cover = from_db(yg.PATTERN_COVER_DB if conservative else 0.0)
    far = top * kind._relative(low) * cover * (1.0 + 1e-9)
    log_fade = float(np.log(yg.FADE))
    weight = [
        ramp(np.log(np.maximum(r, 0.01 * lam) / kind._pattern_from(angle, lam)), 0.0, log_fade)
        for r, angle in ((away - patches.radius, high), (away + patches.radius, low))
    ]
    return np.full(len(c), top), far, weight[0], weight[1]


@bound.register
def _(kind: Yagi, frequency: float, conservative: bool, patches: Patches) -> Bound:
    lam = wavelength(frequency)
    close, far, low, high = _ranges(kind, frequency, conservative, patches)
    gap = kind._hull_distance(patches.centre, lam)
    hull = np.maximum(gap - patches.radius, kind.trust(frequency))
    origin = nearest(patches, 0.01 * lam)
    sup = np.sqrt(ETA0 * between(close / hull**2, far / origin**2, low, high))
    d = patches.dimension
    curve = np.sqrt(ETA0) * np.maximum(
        spread_curve(np.sqrt(close), hull, d) * (low < 1.0),
        spread_curve(np.sqrt(far), origin, d) * (high > 0.0),
    )
    zero = np.zeros(len(patches))
    return Bound(
        e=sup,
        h=sup / ETA0,
        e_curve=curve,
        h_curve=curve / ETA0,
        e_jump=zero,
        h_jump=zero,
        gap=gap,
        reactive=reactive_code(gap, patches.radius, kind.trust(frequency)),
    )


@majorant.register
def _(
    kind: Yagi,
    frequency: float,
    conservative: bool,
    patches: Patches,
    known: Bound,
    points: Points,
    corners: NDArray[np.intp],
) -> Majorant:
    lam = wavelength(frequency)
    unit = kind.unit_field(points, frequency, conservative=conservative)
    close, far, low, high = _ranges(kind, frequency, conservative, patches)
    gap = kind._hull_distance(patches.centre, lam)
    hull = np.maximum(gap - patches.radius, kind.trust(frequency))
    to_hull = np.maximum(kind._hull_distance(points, lam), 0.01 * lam)[corners]
    to_origin = np.maximum(np.sqrt(np.einsum("ni,ni->n", points, points)), 0.01 * lam)[corners]
    s = between(
        fallen(close, to_hull, hull, patches),
        fallen(far, to_origin, nearest(patches, 0.01 * lam), patches),
        low,
        high,
    )
    return Majorant(unit.e2[corners], unit.h2[corners], s * ETA0, s / ETA0)
