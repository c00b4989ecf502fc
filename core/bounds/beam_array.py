"""Bound of a beam-steering panel: every factor of its envelope at the end of its range on the patch.

The element's pattern falls with the angles off its axis, the array factor's envelope with the gap between
the directions a place is seen under and the beams; blends of powers are linear in their weights. What is
left is a gain over r², whose distance part is second order.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from core.antennas import beam_array as bm
from core.antennas.beam_array import BeamArray
from core.antennas.field import ramp
from core.antennas.stack import stack_heights
from core.arrays import Floats, Points
from core.bounds.angles import spread
from core.bounds.base import Bound, Majorant, Patches, bound, majorant, reactive_code
from core.bounds.scalar import between, fallen, nearest, spread_curve
from core.units import ETA0, from_db, wavelength

_EDGE = 1.0 + 1e-9
_ENTRIES = 40_000


def _element_top(kind: BeamArray, offset: Floats, radius: Floats) -> tuple[Floats, Floats]:
    """Return the largest relative powers of an element over balls: with and without elevation cut.

    ``offset`` (n, 3) are the balls' centres from the element, ``radius`` (n,).
    """
    across = np.hypot(offset[:, 0], offset[:, 1])
    up = np.degrees(np.arctan2(np.abs(offset[:, 2]), across))
    turn = np.degrees(np.arctan2(np.abs(offset[:, 1]), offset[:, 0]))
    tall = spread(np.hypot(across, offset[:, 2]), radius)
    low_up, high_up = np.maximum(up - tall, 0.0), np.minimum(up + tall, 90.0)
    azimuth = np.maximum(turn - spread(across, radius), 0.0) * (1.0 - ramp(high_up, *bm.POLE))
    deepest = kind.front_to_back
    side = np.minimum(12.0 * (azimuth / kind.azimuth_width) ** 2, deepest)
    rise = np.minimum(12.0 * (low_up / kind.elevation_width) ** 2, deepest)
    scale = -np.log(10.0) / 10.0
    both: Floats = np.exp(scale * np.minimum(side + rise, deepest)) * _EDGE
    return both, np.exp(scale * side) * _EDGE


def _steered_top(kind: BeamArray, patches: Patches, lam: float) -> Floats:
    """Return the largest array factor: sines of directions change by at most radius/r on a patch."""
    c, rho = patches.centre, patches.radius
    width, height = kind._size(lam)
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
    factor: Floats = bm._factor(
        np.min([a for a, _ in rows], axis=0) - max(up, down),
        np.max([b for _, b in rows], axis=0) - min(up, down),
        kind.rows, kind.row_spacing,
    ) * bm._factor(
        np.min([a for a, _ in columns], axis=0) - turn,
        np.max([b for _, b in columns], axis=0) + turn,
        kind.columns, kind.column_spacing,
    )  # fmt: skip
    return factor * _EDGE


def _sums(kind: BeamArray, patches: Patches, lam: float) -> tuple[Floats, Floats]:
    """Return the largest power densities times r², aligned and blind to phase, r from the centre."""
    c, rho = patches.centre, patches.radius
    away = np.sqrt(np.einsum("ni,ni->n", c, c))
    share = from_db(kind.element_gain) / (4.0 * np.pi)
    count = kind.rows * kind.columns
    pattern, cut = _element_top(kind, c, rho)
    aligned, blind = share * count * pattern, share * cut
    reach = bm.CLOSE * max(kind._size(lam))
    close = away - rho < 4.0 / 3.0 * reach
    if close.any():
        part = patches.part(close)
        near = _close_sums(kind, part, lam)
        far2 = (away[close] + part.radius) ** 2
        low = ramp(np.maximum(away[close] - part.radius, 0.0), reach, 4.0 / 3.0 * reach)
        high = ramp(away[close] + part.radius, reach, 4.0 / 3.0 * reach)
        aligned[close] = between(near[0] * far2, aligned[close], low, high)
        blind[close] = between(near[1] * far2, blind[close], low, high)
    return aligned, blind


def _close_sums(kind: BeamArray, patches: Patches, lam: float) -> Floats:
    """Return the largest sums (2, n) over the elements, each from its own place."""
    share = from_db(kind.element_gain) / (4.0 * np.pi)
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
        for i, top in enumerate(_element_top(kind, offset, radius)):
            sums[i, start : start + rows] = (weight * top).reshape(-1, len(places)).sum(axis=1)
    sums[1] /= len(places)
    return sums


def _gain(kind: BeamArray, frequency: float, conservative: bool, patches: Patches) -> Floats:
    """Return the largest power density times r² (n,)."""
    lam = wavelength(frequency)
    c = patches.centre
    away = np.sqrt(np.einsum("ni,ni->n", c, c))
    far_from = kind._far_from(lam)
    most, least = (
        1.0 - ramp(np.maximum(r, 0.0) / far_from, 1.0, 2.0)
        for r in (away - patches.radius, away + patches.radius)
    )
    aligned, blind = _sums(kind, patches, lam)
    s = aligned * _steered_top(kind, patches, lam)
    if conservative:
        floor = between(aligned / (kind.rows * kind.columns), blind, least, most)
        s = np.maximum(s, floor)
        cover = bm.FAR_COVER_DB + (bm.NEAR_COVER_DB - bm.FAR_COVER_DB) * most
        s = s * 10.0 ** (cover / 10.0)
    return s * _EDGE


@bound.register
def _(kind: BeamArray, frequency: float, conservative: bool, patches: Patches) -> Bound:
    lam = wavelength(frequency)
    amplitude = np.sqrt(ETA0 * _gain(kind, frequency, conservative, patches))
    near = nearest(patches, 0.1 * lam)
    curve = spread_curve(amplitude, near, patches.dimension)
    gap = kind._box_distance(patches.centre, lam)
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
def _(
    kind: BeamArray,
    frequency: float,
    conservative: bool,
    patches: Patches,
    known: Bound,
    points: Points,
    corners: NDArray[np.intp],
) -> Majorant:
    lam = wavelength(frequency)
    unit = kind.unit_field(points, frequency, conservative=conservative)
    away = np.maximum(np.sqrt(np.einsum("ni,ni->n", points, points)), 0.1 * lam)[corners]
    gain = _gain(kind, frequency, conservative, patches)
    s = fallen(gain, away, nearest(patches, 0.1 * lam), patches)
    return Majorant(unit.e2[corners], unit.h2[corners], s * ETA0, s / ETA0)
