"""Bound of an antenna known by a pattern: table over distance far out, equivalent elements near.

All equivalent elements stand on one vertical line, so near the field is the azimuth cut times the sum of
elements without it (or times their floor). Between near and far the powers are blended with a weight w of
the distance alone; as an amplitude that is the norm of (√(1-w) near, √w far), whose factors have the
derivatives t√(3 - 2t) has: at most √3 and, downward, 3. Table and cut are smooth but for corners at their
nodes (core.proof.bounds.table).
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from core.antennas import measured as ms
from core.antennas.measured import Measured
from core.arrays import Floats, Points
from core.caches import kept
from core.fields import elements as el
from core.fields.elements import Elements
from core.fields.unit_field import plane_wave, ramp
from core.geometry import directions, segment_distance
from core.proof.bounds.angles import spread
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
from core.proof.bounds.jet import Jet, stacked
from core.proof.bounds.table import Angles, Section, azimuth_cut, cut_jet, gain_jet
from core.units import ETA0, from_db, wavelength


@kept
def _column(kind: Measured, frequency: float, *, conservative: bool) -> tuple[Elements, Section]:
    """Return the equivalent elements without their azimuth cut, and the cut."""
    pattern = kind.pattern(conservative_build=conservative)
    elements = ms.aperture_elements(kind, frequency, pattern)
    azimuth = np.asarray(pattern.azimuth)
    cut = azimuth_cut(azimuth, elements.horizontal(azimuth))
    return replace(elements, horizontal=el.uniform), cut


def _angles(patches: Patches, least: float) -> Angles:
    c, rho = patches.centre, patches.radius
    across = np.hypot(c[:, 0], c[:, 1])
    away = np.hypot(across, c[:, 2])
    turn, up = np.degrees(np.arctan2(-c[:, 1], c[:, 0])), np.degrees(np.arctan2(c[:, 2], across))
    wide, tall = spread(across, rho), spread(away, rho)
    return Angles(
        turn - wide,
        turn + wide,
        np.maximum(up - tall, -90.0),
        np.minimum(up + tall, 90.0),
        np.maximum(across - rho, 1e-9),
        np.maximum(away - rho, least),
    )


def _weights(kind: Measured, frequency: float, patches: Patches, away: Floats) -> tuple[Jet, Jet]:
    """Return the jets of √(1 - w) and √w."""
    region = kind.length**2 / wavelength(frequency)
    c = patches.centre
    far = np.sqrt(np.einsum("ni,ni->n", c, c)) + patches.radius
    low, high = ramp(away, region, 2.0 * region), ramp(far, region, 2.0 * region)
    moving = (low < 1.0) & (high > 0.0)
    first = np.sqrt(3.0) / region * moving
    second = patches.dimension * (np.sqrt(3.0) / region / away + 3.0 / region**2) * moving
    return Jet(np.sqrt(1.0 - low), first, second), Jet(np.sqrt(high), first, second)


@bound.register
def bound_of_measured(
    kind: Measured, frequency: float, patches: Patches, *, conservative: bool
) -> Bound:
    least = 0.01 * wavelength(frequency)
    at = _angles(patches, least)
    nd = patches.dimension
    fall = Jet(1.0 / at.away, 1.0 / at.away**2, nd * 2.0 / at.away**3)
    gain = gain_jet(kind.pattern(conservative_build=conservative), at, patches)
    near_weight, far_weight = _weights(kind, frequency, patches, at.away)
    far = (fall * gain * far_weight).scaled(np.sqrt(ETA0 / (4.0 * np.pi)))
    column, cut = _column(kind, frequency, conservative=conservative)
    found = element_bounds(column, patches, common_direction=conservative)
    shape = cut_jet(cut, at, patches) * near_weight
    cover = np.sqrt(from_db(ms.NEAR_COVER_DB)) if conservative else 1.0
    raised = np.sqrt(from_db(kind.tolerance)) if conservative else 1.0
    used = near_weight.m0 > 0.0
    first, floor = (
        stacked([_masked((jet * shape).scaled(cover), used), far]).scaled(raised)
        for jet in (replace(found.total, jump=found.jump), found.floor)
    )
    if not conservative:
        floor = floor.scaled(0.0)
    end = np.array([0.0, 0.0, kind.length / 2.0])
    # The distance may be negative inside the housing, which is reactive all the same.
    gap = np.maximum(segment_distance(patches.centre, -end, end) - kind.width / 2.0, 0.0)
    sup, jump = np.maximum(first.m0, floor.m0), np.maximum(first.jump, floor.jump)
    return Bound(
        e=sup,
        h=sup / ETA0,
        e_curve=first.m2,
        h_curve=first.m2 / ETA0,
        e_jump=jump,
        h_jump=jump / ETA0,
        e_floor=floor.m2,
        h_floor=floor.m2 / ETA0,
        gap=gap,
        reactive=reactive_code(gap, patches.radius, kind.trust(frequency)),
    )


def _masked(jet: Jet, used: NDArray[np.bool_]) -> Jet:
    return Jet(*(np.where(used, getattr(jet, n), 0.0) for n in Jet.__slots__))


@majorant.register
def majorant_of_measured(
    kind: Measured,
    frequency: float,
    patches: Patches,
    known: Bound,
    points: Points,
    corners: NDArray[np.intp],
    *,
    conservative: bool,
) -> Majorant:
    """The corners of table and cut count on each patch anew: few of them lie in a small one."""
    own = bound(kind, frequency, patches, conservative=conservative)
    if not conservative:
        unit = kind.unit_field(points, frequency, conservative=False)
        return from_values(unit.e2, unit.h2, own, patches, corners)
    column, _ = _column(kind, frequency, conservative=True)
    seam = np.zeros(len(points), bool)
    seam[corners[sum_code(column, patches) == SEAM]] = True
    first, floor = _branches(kind, frequency, points, seam)
    return from_branches(first, floor, own, patches, corners)


def _branches(
    kind: Measured, frequency: float, at: Points, seam: NDArray[np.bool_]
) -> tuple[tuple[Floats, Floats], tuple[Floats, Floats]]:
    """Return E² and H² of the conservative model with the phasor sum and with the floor near."""
    lam = wavelength(frequency)
    pattern = kind.pattern(conservative_build=True)
    r, phi, theta = directions(at)
    far = pattern.gain(phi, theta) / (4.0 * np.pi * np.maximum(r, 0.01 * lam) ** 2)
    region = kind.length**2 / lam
    weight = ramp(r, region, 2.0 * region)
    elements = ms.aperture_elements(kind, frequency, pattern)
    near = weight < 1.0
    sums: list[Floats] = [np.zeros(len(at)), np.zeros(len(at))]
    least = np.zeros(len(at))
    if near.any():
        sums[0][near], sums[1][near] = el.phasor_sum(elements, at[near], common_direction=True)
        least[near] = el.power_sum(elements, at[near], keep_azimuth=True)
    both = near & seam
    if both.any():
        for s, exact, quick in zip(sums, *both_sums(elements, at[both]), strict=True):
            s[both] = np.maximum(s[both], np.maximum(exact, quick))
    cover, raised = from_db(ms.NEAR_COVER_DB), from_db(kind.tolerance)
    first, second = [], []
    for s, f, out in zip(sums, plane_wave(least), plane_wave(far), strict=True):
        first.append(((1.0 - weight) * s * cover + weight * out) * raised)
        second.append(((1.0 - weight) * f * cover + weight * out) * raised)
    return (first[0], first[1]), (second[0], second[1])
