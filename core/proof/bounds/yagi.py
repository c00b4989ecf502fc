"""Bound of a Yagi: full gain over the distance to its hull, blended into an envelope far out.

As an amplitude the blend of powers is the norm of (√(1-w) c/d, √w g(t)/r) with the distance d to the hull (a
convex set), r to the middle of the boom, the angle t off the boom and the weight w, a ramp of
u = ln(r/start(t)). √w and √(1-w) as functions of the ramp's argument have derivatives of at most √3 and,
downward, 3 (t√(3 - 2t)).
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from core.antennas import yagi as yg
from core.antennas.yagi import Yagi
from core.arrays import Floats
from core.fields.unit_field import ramp
from core.proof.bounds.angles import Curve, curve, slope_jet, spread
from core.proof.bounds.base import Bound, Patches, bound, reactive_code
from core.proof.bounds.jet import Jet, stacked
from core.units import ETA0, from_db, wavelength


@dataclass(frozen=True, eq=False)
class _Cuts:
    """Relative field of the envelope, and ln(start) of the pattern in wavelengths, against the angle."""

    envelope: Curve
    start: Curve


@lru_cache(maxsize=64)
def _cuts(kind: Yagi) -> _Cuts:
    return _Cuts(
        curve(lambda t: np.sqrt(kind.relative_gain(t)), 0.0, 180.0, factor=True),
        curve(lambda t: np.log(kind.pattern_from(t, 1.0)), 0.0, 180.0),
    )


@bound.register
def bound_of_yagi(kind: Yagi, frequency: float, patches: Patches, *, conservative: bool) -> Bound:
    lam = wavelength(frequency)
    nd = patches.dimension
    c, rho = patches.centre, patches.radius
    away = np.sqrt(np.einsum("ni,ni->n", c, c))
    near = np.maximum(away - rho, 0.01 * lam)
    off = np.degrees(np.arctan2(np.hypot(c[:, 1], c[:, 2]), c[:, 0]))
    wide = spread(away, rho)
    low, high = np.maximum(off - wide, 0.0), np.minimum(off + wide, 180.0)
    angle = slope_jet(near, low, high, nd)
    envelope, start = (t.jet(low, high, angle) for t in (_cuts(kind).envelope, _cuts(kind).start))
    gap = kind.hull_distance(c, lam)
    hull = np.maximum(gap - rho, kind.trust(frequency))
    top = np.sqrt(from_db(kind.gain) / (4.0 * np.pi) * ETA0)
    cover = np.sqrt(from_db(yg.PATTERN_COVER_DB)) if conservative else 1.0
    on_close, on_far = _weights(kind, lam, (near, away + rho), (low, high), start, nd)
    close = Jet(1.0 / hull, 1.0 / hull**2, nd / hull**3) * on_close
    far = Jet(1.0 / near, 1.0 / near**2, nd / near**3) * envelope * on_far
    jet = stacked([close, far.scaled(cover)]).scaled(top)
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
        reactive=reactive_code(gap, rho, kind.trust(frequency)),
    )


def _weights(
    kind: Yagi,
    lam: float,
    distance: tuple[Floats, Floats],
    angle: tuple[Floats, Floats],
    start: Jet,
    nd: int,
) -> tuple[Jet, Jet]:
    """Return the jets of √(1 - w) and √w over ranges of distance and angle."""
    near, far = distance
    # The start grows with the angle off the boom.
    u_low = np.log(near / kind.pattern_from(angle[1], lam))
    u_high = np.log(far / kind.pattern_from(angle[0], lam))
    span = float(np.log(yg.FADE))
    low, high = ramp(u_low, 0.0, span), ramp(u_high, 0.0, span)
    moving = (low < 1.0) & (high > 0.0)
    first = 1.0 / near + start.m1
    second = nd / near**2 + start.m2
    slope, bend = np.sqrt(3.0) / span, 3.0 / span**2
    m1, m2 = slope * first * moving, (slope * second + bend * first**2) * moving
    return Jet(np.sqrt(1.0 - low), m1, m2), Jet(np.sqrt(high), m1, m2)
