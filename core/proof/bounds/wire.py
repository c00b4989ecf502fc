"""Bound of a wire dipole over ground: both arms, what the ground sends back, floor and base terms.

What real ground sends back is M E with the field of each image arm and a matrix M of the Fresnel
coefficients, at the grazing angle of the ray from the image, s = sin ψ = û·r̂:

    M = Γ_v I + K (ẑ×r̂)(ẑ×r̂)ᵀ for E,  M = -Γ_h I - K (ẑ×r̂)(ẑ×r̂)ᵀ for H,   K = -(Γ_h + Γ_v)/(1 - s²),

because the projection on the side vector is (ẑ×r̂)(ẑ×r̂)ᵀ/(1 - s²). Γ(s) and K(s) are smooth functions whose
derivatives are taken from fine samples; s and r̂ change by at most 1/r, their second derivatives are at
most (2/√3)/r². The reactive rest of E is the quasi-static coefficient times the image's own E less its
travelling part η H × r̂. Across z = 0 the field of real ground has a corner, so patches that cross it
have no curve.
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from core.antennas.wire import LONG, HfDipole
from core.arrays import Floats, Points
from core.fields import ground as gr
from core.fields import half_arms as half
from core.proof.bounds.base import (
    ROUNDING,
    Bound,
    Majorant,
    Patches,
    bound,
    from_values,
    majorant,
    reactive_code,
)
from core.proof.bounds.jet import Jet, compose, larger, stacked
from core.proof.bounds.whip import base_range, half_wires, raised_by, with_base
from core.proof.bounds.wires import Field, Phase, better, folded, magnetic, total
from core.units import ETA0, from_db, wavelength

_SAMPLES = 4001


@lru_cache(maxsize=64)
def _coefficients(ground: complex) -> tuple[tuple[float, float, float], ...]:
    """Return bounds of value, first and second derivative in s of Γ_h, Γ_v and K."""
    s = np.linspace(0.0, 1.0 - 1e-3, _SAMPLES)
    horizontal, vertical = gr.fresnel(np.arcsin(s), ground)
    step = float(s[1] - s[0])
    out = []
    for f in (horizontal, vertical, -(horizontal + vertical) / (1.0 - s * s)):
        first, second = np.abs(np.diff(f)) / step, np.abs(np.diff(f, 2)) / step**2
        # Beyond the last sample all three are nearly constant.
        top = [float(m.max()) * 1.05 for m in (np.abs(f), first, second)]
        out.append((top[0], top[1], top[2]))
    return tuple(out)


def _matrix(ground: complex, r: Floats, nd: int) -> tuple[Jet, Jet]:
    """Return the jets of M for E and for H at distances ≥ r from the image's middle."""
    one = np.ones_like(r)
    sine = Jet(one, 1.0 / r, nd * 2.0 / np.sqrt(3.0) / r**2)
    dyad = Jet(one, 2.0 / r, nd * (4.0 / np.sqrt(3.0) + 2.0) / r**2)
    h, v, k = (compose(*bounds, sine) for bounds in _coefficients(ground))
    turned = k * dyad
    return v + turned, h + turned


def _reflected(
    arms: half.HalfArms, constant: complex | None, patches: Patches, phase: Phase
) -> tuple[Field, list[Jet]]:
    """Return the jets of what the ground sends back, and of H of each arm's part."""
    images = arms.mirrored()
    parts = [half_wires(images.part(slice(i, i + 1))) for i in range(len(images.length))]
    own = [magnetic(p, patches, phase) for p in parts]
    whole = total(half_wires(images), patches, phase)
    if constant is None:
        return whole, own
    static = abs((constant - 1.0) / (constant + 1.0))
    e = whole.e.scaled(static)
    h: Jet | None = None
    each = []
    for i, jet in enumerate(own):
        middle = images.feed[i] + 0.5 * images.length[i] * images.axis[i]
        ray = patches.centre - middle
        r = np.maximum(np.sqrt(np.einsum("ni,ni->n", ray, ray)) - patches.radius, 1e-9)
        for_e, for_h = _matrix(constant, r, patches.dimension)
        one = np.ones_like(r)
        unit = Jet(one, 1.0 / r, patches.dimension * 2.0 / np.sqrt(3.0) / r**2)
        travelling = (jet * unit).scaled(ETA0)
        e = e + travelling * for_e + travelling.scaled(static)
        each.append(jet * for_h)
        h = each[-1] if h is None else h + each[-1]
    assert h is not None
    return Field(e, h), each


def _sums(
    kind: HfDipole, frequency: float, patches: Patches, phase: Phase, *, conservative: bool
) -> tuple[Jet, Jet, Jet]:
    """Return the jets of the arms' and the ground's E and H together, and of the floor of H."""
    arms = kind.arms(frequency, conservative=conservative)
    direct = total(half_wires(arms), patches, phase)
    e, h = direct.e, direct.h
    parts = [
        magnetic(half_wires(arms.part(slice(i, i + 1))), patches, phase)
        for i in range(len(arms.length))
    ]
    if kind.has_own_ground:
        back, own = _reflected(arms, kind.ground_constant(frequency), patches, phase)
        e, h = e + back.e, h + back.h
        parts += own
    # The floor stacks groups of arms; a group's curve is at most the sum of its arms'.
    halves = len(parts) // 2 if kind.has_own_ground else len(parts)
    if kind.length <= LONG * wavelength(frequency):
        grouped = [_summed(parts[:halves])]
        if kind.has_own_ground:
            grouped.append(_summed(parts[halves:]))
        parts = grouped
    return e, h, stacked(parts)


def _jets(
    kind: HfDipole, frequency: float, patches: Patches, *, conservative: bool
) -> tuple[Jet, Jet]:
    """Return the jets of √E² and √H²; of best estimates without the base terms.

    What is added has one common phase taken out, that of a place between the wire and its image, or none.
    """
    height = 0.0 if kind.has_own_ground else kind.height
    place = np.array([0.0, 0.0, height])
    with_it, without = (
        _sums(
            kind,
            frequency,
            conservative=conservative,
            patches=patches,
            phase=Phase(place, taken_out),
        )
        for taken_out in (True, False)
    )
    e, h, floor = (better(one, other) for one, other in zip(with_it, without, strict=True))
    if not conservative:
        return e, h
    arms = kind.arms(frequency, conservative=conservative)
    e, h = larger(e, floor.scaled(ETA0)), larger(h, floor)
    drive = kind.drive(arms, frequency)
    e, h = with_base(e, h, [(drive, *d) for d in _distances(kind, arms, patches)], patches)
    cover = np.sqrt(from_db(kind.cover(frequency)))
    return e.scaled(cover), h.scaled(cover)


def _summed(jets: list[Jet]) -> Jet:
    out = jets[0]
    for jet in jets[1:]:
        out = out + jet
    return out


def _distances(
    kind: HfDipole, arms: half.HalfArms, patches: Patches
) -> list[tuple[Floats, Floats]]:
    """Return the distances of patch centres to each arm and to the feed."""
    feed = patches.centre - [0.0, 0.0, kind.height]
    away = np.sqrt(np.einsum("ni,ni->n", feed, feed))
    return [(gap, away) for gap in half_wires(arms).gaps(patches.centre).T]


def _nearest(
    kind: HfDipole, frequency: float, patches: Patches, *, conservative: bool
) -> tuple[Floats, Floats]:
    arms = kind.arms(frequency, conservative=conservative)
    found = _distances(kind, arms, patches)
    return np.min([d for d, _ in found], axis=0), found[0][1]


@bound.register
def bound_of_wire(
    kind: HfDipole, frequency: float, patches: Patches, *, conservative: bool
) -> Bound:
    up = folded(patches) if kind.has_own_ground else patches
    e, h = _jets(kind, frequency, conservative=conservative, patches=up)
    e2, h2 = e.m0**2, h.m0**2
    gap, away = _nearest(kind, frequency, conservative=conservative, patches=up)
    if not conservative:
        drive = kind.drive(kind.arms(frequency, conservative=False), frequency)
        top, _ = base_range(drive, gap, away, up)
        e2, h2 = e2 + top[0], h2 + top[1]
    tall = patches.half * np.abs(patches.directions[:, :, 2]).sum(axis=1)
    # A side that lies on the ground does not cross it.
    crosses = kind.has_own_ground & (np.abs(patches.centre[:, 2]) < tall * (1.0 - ROUNDING))
    zero = np.zeros(len(patches))
    return Bound(
        e=np.sqrt(e2),
        h=np.sqrt(h2),
        e_curve=np.where(crosses, np.inf, e.m2),
        h_curve=np.where(crosses, np.inf, h.m2),
        e_jump=e.jump + zero,
        h_jump=h.jump + zero,
        e_floor=zero,
        h_floor=zero,
        gap=gap,
        reactive=reactive_code(gap, up.radius, kind.trust(frequency)),
    )


@majorant.register
def majorant_of_wire(
    kind: HfDipole,
    frequency: float,
    patches: Patches,
    known: Bound,
    points: Points,
    corners: NDArray[np.intp],
    *,
    conservative: bool,
) -> Majorant:
    unit = kind.unit_field(points, frequency, conservative=conservative)
    if conservative:
        return from_values(unit.e2, unit.h2, known, patches, corners)
    up = folded(patches) if kind.has_own_ground else patches
    drive = kind.drive(kind.arms(frequency, conservative=False), frequency)
    top, least = base_range(drive, *_nearest(kind, frequency, conservative=False, patches=up), up)
    return raised_by(unit.e2[corners], unit.h2[corners], known, patches, top, least)
