"""Bound of an antenna known by a pattern: table over distance far out, equivalent elements near.

Far out the gain's largest value over the angles of the patch (core.patterns) is taken over the distance.
Near, all elements stand on one vertical line, so the field is the azimuth cut times the sum of elements
without it: the cut enters with its largest value, the sum obeys the contract. In between the blend of powers
is linear in a weight that depends on the distance alone.
"""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from core.antennas import elements as el
from core.antennas import measured as ms
from core.antennas.elements import Elements
from core.antennas.field import ramp
from core.antennas.measured import Measured
from core.arrays import Bools, Floats, Points
from core.bounds.angles import spread
from core.bounds.arms import SEAM
from core.bounds.base import Bound, Majorant, Patches, bound, majorant, over, reactive_code
from core.bounds.elements import both_sums, element_bounds, sum_code
from core.bounds.scalar import between, fallen, nearest, spread_curve
from core.geometry import segment_distance
from core.units import ETA0, from_db, wavelength


@lru_cache(maxsize=64)
def _column(kind: Measured, frequency: float, conservative: bool) -> Elements:
    """Return the equivalent elements without their azimuth cut."""
    pattern = kind.pattern(conservative_build=conservative)
    return replace(ms._aperture_elements(kind, frequency, pattern), horizontal=el.uniform)


def _angles(patches: Patches) -> tuple[Floats, Floats, Floats, Floats]:
    """Return the range of azimuth (clockwise) and elevation on patches, degrees."""
    c = patches.centre
    across = np.hypot(c[:, 0], c[:, 1])
    turn, up = np.degrees(np.arctan2(-c[:, 1], c[:, 0])), np.degrees(np.arctan2(c[:, 2], across))
    wide, tall = spread(across, patches.radius), spread(np.hypot(across, c[:, 2]), patches.radius)
    return turn - wide, turn + wide, np.maximum(up - tall, -90.0), np.minimum(up + tall, 90.0)


def _gains(kind: Measured, conservative: bool, patches: Patches) -> tuple[Floats, Floats]:
    """Return the largest gain over 4π (n,), and the largest relative power of the azimuth cut."""
    pattern = kind.pattern(conservative_build=conservative)
    left, right, down, up = _angles(patches)
    far = pattern.gain_max_over(left, right, down, up) / (4.0 * np.pi)
    all_up = np.full(len(patches), 90.0)
    cut = pattern.gain_max_over(left, right, -all_up, all_up) / from_db(pattern.peak)
    return far, cut * (1.0 + 1e-9)


def _weights(kind: Measured, frequency: float, patches: Patches) -> tuple[Floats, Floats]:
    region = kind.length**2 / wavelength(frequency)
    c = patches.centre
    away = np.sqrt(np.einsum("ni,ni->n", c, c))
    low = ramp(np.maximum(away - patches.radius, 0.0), region, 2.0 * region)
    return low, ramp(away + patches.radius, region, 2.0 * region)


def _near(
    kind: Measured, frequency: float, conservative: bool, patches: Patches
) -> tuple[Floats, Floats, Floats, Floats]:
    """Return sup, curve and jump of the sum without azimuth cut, in √E², and the gap."""
    column = _column(kind, frequency, conservative)
    found = element_bounds(column, patches, common_direction=conservative)
    e, curve, jump = found.total.m0, found.total.m2, found.jump
    if conservative:
        cover = np.sqrt(from_db(ms.NEAR_COVER_DB))
        e, curve = np.maximum(e, found.floor.m0) * cover, np.maximum(curve, found.floor.m2) * cover
        jump = jump * cover
    end = np.array([0.0, 0.0, kind.length / 2.0])
    gap = np.maximum(segment_distance(patches.centre, -end, end) - kind.width / 2.0, 0.0)
    return e, curve, jump, gap


@bound.register
def _(kind: Measured, frequency: float, conservative: bool, patches: Patches) -> Bound:
    lam = wavelength(frequency)
    raised = np.sqrt(from_db(kind.tolerance)) if conservative else 1.0
    far, cut = _gains(kind, conservative, patches)
    low, high = _weights(kind, frequency, patches)
    near, curve, jump, gap = _near(kind, frequency, conservative, patches)
    cut = np.sqrt(cut)
    origin = nearest(patches, 0.01 * lam)
    out = np.sqrt(ETA0 * far)
    sup = np.sqrt(between((near * cut) ** 2, (out / origin) ** 2, low, high)) * raised
    far_curve = spread_curve(out, origin, patches.dimension)
    second = np.maximum(np.where(low < 1.0, curve * cut, 0.0), np.where(high > 0.0, far_curve, 0.0))
    second, jump = second * raised, jump * cut * raised
    # The distance may be negative inside the housing, which is reactive all the same.
    return Bound(
        e=sup,
        h=sup / ETA0,
        e_curve=second,
        h_curve=second / ETA0,
        e_jump=jump,
        h_jump=jump / ETA0,
        gap=gap,
        reactive=reactive_code(gap, patches.radius, kind.trust(frequency)),
    )


@majorant.register
def _(
    kind: Measured,
    frequency: float,
    conservative: bool,
    patches: Patches,
    known: Bound,
    points: Points,
    corners: NDArray[np.intp],
) -> Majorant:
    lam = wavelength(frequency)
    unit = kind.unit_field(points, frequency, conservative=conservative)
    far, cut = _gains(kind, conservative, patches)
    low, high = _weights(kind, frequency, patches)
    away = np.maximum(np.sqrt(np.einsum("ni,ni->n", points, points)), 0.01 * lam)[corners]
    out = fallen(far, away, nearest(patches, 0.01 * lam), patches)
    close = low < 1.0
    e_near, h_near = _near_over(kind, frequency, conservative, patches, points, corners, close)
    raised = from_db(kind.tolerance) if conservative else 1.0
    e_over = between(e_near * cut[:, None], out * ETA0, low, high) * raised
    h_over = between(h_near * cut[:, None], out / ETA0, low, high) * raised
    return Majorant(unit.e2[corners], unit.h2[corners], e_over, h_over)


def _near_over(
    kind: Measured, frequency: float, conservative: bool, patches: Patches,
    points: Points, corners: NDArray[np.intp], rows: Bools,
) -> tuple[Floats, Floats]:  # fmt: skip
    """Return the majorants (n, c) of the elements without azimuth cut where ``rows``."""
    e_over, h_over = np.zeros(corners.shape), np.zeros(corners.shape)
    if not rows.any():
        return e_over, h_over
    column = _column(kind, frequency, conservative)
    part = patches.part(rows)
    used, index = np.unique(corners[rows], return_inverse=True)
    at, index = points[used], index.reshape(corners[rows].shape)
    sums = [el.phasor_sum(column, at, common_direction=conservative)]
    if conservative:
        if (sum_code(column, part) == SEAM).any():
            sums += both_sums(column, at)
        floor = el.power_sum(column, at, keep_azimuth=True)
        sums = [el.floored(*s, floor) for s in sums]
    scale = from_db(ms.NEAR_COVER_DB) if conservative else 1.0
    e, curve, jump, _ = _near(kind, frequency, conservative, part)
    slack = 0.5 * part.half**2 * curve + jump
    for out, i, unit in ((e_over, 0, 1.0), (h_over, 1, ETA0)):
        value = np.max([s[i] for s in sums], axis=0) * scale
        out[rows] = over(value[index], e / unit, slack / unit)
    return e_over, h_over
