"""Bound of a beam-steering panel: every factor of its envelope at the end of its range on the patch.

The element's pattern falls with the angles off its axis, the array factor's envelope with the gap between
the directions a place is seen under and the beams; blends of powers are linear in their weights. What is
left is a gain over r², whose distance part is second order.

Beyond the blends (from twice the far distance on, and outside the reach of the single elements) and below the
elevations where azimuths are given up, the power is a product, and its logarithm u bends downward by little, so
that the amplitude e^{u/2}, whose second derivative is at least e^{u/2} u''/2, has a slack of second order. With
r' the distance from the panel, o the offset of a beam from a direction the place is seen under (|o'| ≤ 1/r',
|o''| ≤ (2/√3)/r'², a component of a unit vector), N elements s wavelengths apart, φ and θ azimuth and elevation,

    array factor  2 log(sin Ny/(N sin y)), y = πso: bends by at most 2π²(1 - 4/π²)(Ns)² o'² (csc²t - 1/t² rises
                  up to t = π/2) and has a slope of at most 4Ns; its side-lobe envelope bends upward and joins
                  without a corner;
    element       -c φ²/w²: 2c (1 + φ)/(w² r⊥²);  -c θ²/w²: 2c (1 + θ (1 + r/r⊥))/(w² r²), c = 1.2 ln 10;
    cosine        log x - log r, x ahead of the face: 1/x² + 1/r²; not used where x is small beside r;
    distance      -2 log r: 2/r².

The largest over many beams and many points of the panel, and what the element is held to, are largest values of
such functions: they keep the bound.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from core.antennas import beam_array as bm
from core.antennas.beam_array import BeamArray
from core.antennas.stack import stack_heights
from core.arrays import Floats, Points, highest
from core.fields.unit_field import ramp
from core.proof.bounds.angles import spread
from core.proof.bounds.base import Bound, Majorant, Patches, bound, majorant, over, reactive_code
from core.proof.bounds.scalar import between, fallen, nearest, spread_curve
from core.units import ETA0, from_db, wavelength

_EDGE = 1.0 + 1e-9
_ENTRIES = 40_000
_GRAZING = 0.05
"""Of the distance: nearer than this to the plane of the face the cosine bends too much to be of use."""


def _element_top(
    kind: BeamArray, offset: Floats, radius: Floats, *, conservative: bool
) -> tuple[Floats, Floats]:
    """Return the largest relative powers of an element over balls: with and without elevation cut.

    ``offset`` (n, 3) are the balls' centres from the element, ``radius`` (n,).
    """
    across = np.hypot(offset[:, 0], offset[:, 1])
    up = np.degrees(np.arctan2(np.abs(offset[:, 2]), across))
    turn = np.degrees(np.arctan2(np.abs(offset[:, 1]), offset[:, 0]))
    away = np.hypot(across, offset[:, 2])
    tall = spread(away, radius)
    low_up, high_up = np.maximum(up - tall, 0.0), np.minimum(up + tall, 90.0)
    azimuth = np.maximum(turn - spread(across, radius), 0.0) * (1.0 - ramp(high_up, *bm.POLE))
    deepest = kind.front_to_back
    side = np.minimum(12.0 * (azimuth / kind.azimuth_width) ** 2, deepest)
    rise = np.minimum(12.0 * (low_up / kind.elevation_width) ** 2, deepest)
    scale = -np.log(10.0) / 10.0
    both: Floats = np.exp(scale * np.minimum(side + rise, deepest)) * _EDGE
    if conservative:
        off = np.degrees(np.arccos(np.clip(offset[:, 0] / np.maximum(away, 1e-9), -1.0, 1.0)))
        seen = np.cos(np.radians(np.maximum(off - tall, 0.0)))
        both = np.maximum(both, seen * _EDGE)
    return both, np.exp(scale * side) * _EDGE


def _steered_top(kind: BeamArray, patches: Patches, lam: float) -> Floats:
    """Return the largest array factor: sines of directions change by at most radius/r on a patch."""
    c, rho = patches.centre, patches.radius
    width, height = kind.face_size(lam)
    up, down = np.sin(np.radians([kind.steer_up, -kind.steer_down]))
    turn = np.sin(np.radians(kind.steer_azimuth))
    y, z = c[:, 1], c[:, 2]
    rows: list[tuple[Floats, Floats]] = []
    columns: list[tuple[Floats, Floats]] = []
    for from_y in (-width / 2.0, np.clip(y, -width / 2.0, width / 2.0), width / 2.0):
        for from_z in (-height / 2.0, np.clip(z, -height / 2.0, height / 2.0), height / 2.0):
            r = np.sqrt(c[:, 0] ** 2 + (y - from_y) ** 2 + (z - from_z) ** 2)
            held = np.maximum(r, 0.1 * lam)
            # The nearest point of the panel moves with the place, by no more than it does.
            change = np.minimum(2.0 * rho / np.maximum(r - rho, 1e-9), 2.0)
            for seen, value in ((rows, (z - from_z) / held), (columns, (y - from_y) / held)):
                seen.append((value - change, value + change))
    factor: Floats = bm.element_factor(
        np.min([a for a, _ in rows], axis=0) - max(up, down),
        np.max([b for _, b in rows], axis=0) - min(up, down),
        kind.rows, kind.row_spacing,
    ) * bm.element_factor(
        np.min([a for a, _ in columns], axis=0) - turn,
        np.max([b for _, b in columns], axis=0) + turn,
        kind.columns, kind.column_spacing,
    )  # fmt: skip
    return factor * _EDGE


def _sums(
    kind: BeamArray, patches: Patches, lam: float, *, conservative: bool
) -> tuple[Floats, Floats]:
    """Return the largest power densities times r², aligned and blind to phase, r from the centre."""
    c, rho = patches.centre, patches.radius
    away = np.sqrt(np.einsum("ni,ni->n", c, c))
    share = from_db(kind.element) / (4.0 * np.pi)
    count = kind.rows * kind.columns
    pattern, cut = _element_top(kind, c, rho, conservative=conservative)
    aligned, blind = share * count * pattern, share * cut
    reach = bm.CLOSE * max(kind.face_size(lam))
    close = away - rho < 4.0 / 3.0 * reach
    if close.any():
        part = patches.part(close)
        near = _close_sums(kind, part, lam, conservative=conservative)
        far2 = (away[close] + part.radius) ** 2
        low = ramp(np.maximum(away[close] - part.radius, 0.0), reach, 4.0 / 3.0 * reach)
        high = ramp(away[close] + part.radius, reach, 4.0 / 3.0 * reach)
        aligned[close] = between(near[0] * far2, aligned[close], low, high)
        blind[close] = between(near[1] * far2, blind[close], low, high)
    return aligned, blind


def _close_sums(kind: BeamArray, patches: Patches, lam: float, *, conservative: bool) -> Floats:
    """Return the largest sums (2, n) over the elements, each from its own place."""
    share = from_db(kind.element) / (4.0 * np.pi)
    y, z = np.meshgrid(
        stack_heights(kind.columns, kind.column_spacing * lam),
        stack_heights(kind.rows, kind.row_spacing * lam),
    )
    places = np.stack([0.0 * y.ravel(), y.ravel(), z.ravel()], axis=1)
    sums = np.zeros((2, len(patches)))
    rows = max(1, _ENTRIES // len(places))
    for start in range(0, len(patches), rows):
        part = patches.part(slice(start, start + rows))
        offset = (part.centre[:, None, :] - places).reshape(-1, 3)
        radius = np.repeat(part.radius, len(places))
        near = np.sqrt(np.einsum("ni,ni->n", offset, offset)) - radius
        weight = share / np.maximum(near, 0.1 * lam) ** 2
        tops = _element_top(kind, offset, radius, conservative=conservative)
        for i, top in enumerate(tops):
            sums[i, start : start + rows] = (weight * top).reshape(-1, len(places)).sum(axis=1)
    sums[1] /= len(places)
    return sums


def _gain(kind: BeamArray, frequency: float, patches: Patches, *, conservative: bool) -> Floats:
    """Return the largest power density times r² (n,)."""
    lam = wavelength(frequency)
    c = patches.centre
    away = np.sqrt(np.einsum("ni,ni->n", c, c))
    far_from = kind.far_from_distance(lam)
    most, least = (
        1.0 - ramp(np.maximum(r, 0.0) / far_from, 1.0, 2.0)
        for r in (away - patches.radius, away + patches.radius)
    )
    aligned, blind = _sums(kind, patches, lam, conservative=conservative)
    s = aligned * _steered_top(kind, patches, lam)
    if conservative:
        floor = between(aligned / (kind.rows * kind.columns), blind, least, most)
        s = np.maximum(s, floor)
        cover = bm.FAR_COVER_DB + (bm.NEAR_COVER_DB - bm.FAR_COVER_DB) * most
        s = s * 10.0 ** (cover / 10.0)
    return s * _EDGE


def _curve(kind: BeamArray, frequency: float, patches: Patches, *, conservative: bool) -> Floats:
    """Return how far the power's logarithm bends downward (n,), Σ_j over the directions; inf where unknown."""
    lam = wavelength(frequency)
    c, rho, nd = patches.centre, patches.radius, patches.dimension
    width, height = kind.face_size(lam)
    across = np.hypot(c[:, 0], c[:, 1])
    away = np.hypot(across, c[:, 2])
    start = 4.0 / 3.0 * bm.CLOSE * max(width, height)
    if conservative:
        start = max(start, 2.0 * kind.far_from_distance(lam))
    up = np.degrees(np.arctan2(np.abs(c[:, 2]), across)) + spread(away, rho)
    known = (away - rho > start * _EDGE) & (up < bm.POLE[0])
    r = np.where(known, away - rho, 1.0)
    axis = np.where(known, np.maximum(across - rho, 1e-9), 1.0)
    beside = np.where(known, away - rho - 0.5 * np.hypot(width, height), 1.0)
    known &= beside > 0.0
    beside = np.where(known, beside, 1.0)
    bend = np.zeros_like(r)
    for count, spacing in ((kind.rows, kind.row_spacing), (kind.columns, kind.column_spacing)):
        if count > 1:
            size = count * spacing
            sharp = 2.0 * np.pi**2 * (1.0 - 4.0 / np.pi**2) * size**2
            bend = bend + (sharp + nd * 4.0 * size * 2.0 / np.sqrt(3.0)) / beside**2
    turn = np.arctan2(np.abs(c[:, 1]), c[:, 0]) + np.radians(spread(across, rho))
    turn = np.minimum(turn, np.pi)
    fall = 1.2 * np.log(10.0) * np.degrees(1.0) ** 2
    bend = bend + nd * 2.0 * fall / kind.azimuth_width**2 * (1.0 + turn) / axis**2
    tall = 1.0 + np.radians(up) * (1.0 + (away + rho) / axis)
    bend = bend + nd * 2.0 * fall / kind.elevation_width**2 * tall / r**2
    bend = bend + nd * 2.0 / r**2
    if conservative:
        ahead = c[:, 0] - rho
        known &= (ahead > _GRAZING * r) | (c[:, 0] + rho < 0.0)
        bend = bend + nd * (1.0 / np.where(ahead > 0.0, ahead, r) ** 2 + 1.0 / r**2)
    return np.where(known, bend, np.inf)


@bound.register
def bound_of_beam_array(
    kind: BeamArray, frequency: float, patches: Patches, *, conservative: bool
) -> Bound:
    lam = wavelength(frequency)
    amplitude = np.sqrt(ETA0 * _gain(kind, frequency, conservative=conservative, patches=patches))
    near = nearest(patches, 0.1 * lam)
    bend = _curve(kind, frequency, conservative=conservative, patches=patches)
    # Where it has none the majorant is another one; this curve is what its distance part has.
    plain = spread_curve(amplitude, near, patches.dimension)
    curve = np.where(np.isfinite(bend), 0.5 * amplitude / near * bend, plain)
    gap = kind.box_distance(patches.centre, lam)
    zero = np.zeros(len(patches))
    return Bound(
        e=amplitude / near,
        h=amplitude / near / ETA0,
        e_curve=curve,
        h_curve=curve / ETA0,
        e_jump=zero,
        h_jump=zero,
        e_floor=zero,
        h_floor=zero,
        gap=gap,
        reactive=reactive_code(gap, patches.radius, kind.trust(frequency)),
    )


@majorant.register
def majorant_of_beam_array(
    kind: BeamArray,
    frequency: float,
    patches: Patches,
    known: Bound,
    points: Points,
    corners: NDArray[np.intp],
    *,
    conservative: bool,
) -> Majorant:
    lam = wavelength(frequency)
    unit = kind.unit_field(points, frequency, conservative=conservative)
    away = np.maximum(np.sqrt(np.einsum("ni,ni->n", points, points)), 0.1 * lam)[corners]
    gain = _gain(kind, frequency, conservative=conservative, patches=patches)
    near = nearest(patches, 0.1 * lam)
    s = fallen(gain, away, near, patches)
    top = np.sqrt(gain) / near
    slack = (
        0.25
        * patches.half**2
        * top
        * _curve(kind, frequency, conservative=conservative, patches=patches)
    )
    smooth = over(unit.e2[corners] / ETA0, top, slack)
    s = np.where((highest(smooth) < highest(s))[:, None], smooth, s)
    return Majorant(unit.e2[corners], unit.h2[corners], s * ETA0, s / ETA0)
