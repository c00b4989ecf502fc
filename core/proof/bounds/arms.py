"""Bounds for sums of straight dipole arms (core.fields.arms).

An arm of half-length h and current I(s) = I sin k(h - |s|) is a line of Hertzian dipoles, so with
R⃗ the vector from the point s of the arm, R = |R⃗|, x = 1/(kR), T = R̂R̂ᵀ,

    E = kη/(4π) ∫ I(s) e^{-jkR} g(R⃗) u ds,   g = [(I - T) - jx (I - 3T) - x² (I - 3T)]/R,
    H = k/(4π) ∫ I(s) e^{-jkR} (1 - jx) (u × R̂)/R ds

(Balanis, Antenna Theory, eqs. 4-8 and 4-10, from memory). The three-wave form is this integral in closed form; the
far form is the same with R⃗ taken from the arm's centre except in the phase, which is linear in s.
∫|I(s)|ds = |I| μ with μ = (2⌊kh/π⌋ + 1 - cos(kh mod π))/k.

Derivatives of g. In the plane of d and R̂ with c = d·R̂ and s² = 1 - c² the derivatives of R^{-m}(I - aT)
along d are 2×2 matrices in the basis (R̂, ŝ); their norms, maximised over the angle in closed form, are

    m, a     |·| R^m   |·'| R^(m+1)   |·''| R^(m+2)
    1, 1         1        2/√3            3
    2, 3         2        4              12
    3, 3         2        6              24

and for R̂/R^m: 1, 1, 2 for m = 1 and 1, 2, 6 for m = 2. Norm of g itself:
max(√(1 - x² + x⁴), 2x√(1 + x²))/R. All fall with R, so they are taken at the nearest distance.
Phase: e^{jk(r₀ - R)} as in core.proof.bounds.sight.

Near and far form do not join exactly: where a patch reaches the distance at which an arm changes from one
to the other, twice the largest difference of the two there is added to the slack (|v + d| ≤ B(|v_c|) + t + δ
and |v_c| ≤ |v_c + d_c| + δ). The quick sum with one common direction (core.fields.array_factor) is the
same integral with the direction taken from the origin, so the distance to the origin counts as one more
nearest distance; patches across its edge are evaluated in both forms.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from core.arrays import Bools, Floats, Points
from core.fields import arms as arm
from core.fields import one_arm
from core.fields.arms import Arms, ArmSum, far_from
from core.fields.array_factor import FAR_ELEVATION
from core.fields.one_arm import far_arm
from core.proof.bounds.base import ENDLESS, ROUNDING, Patches
from core.proof.bounds.cluster import STRAIGHT, Cluster, cluster, outside, seen_from
from core.proof.bounds.jet import Jet, wave
from core.proof.bounds.sight import sight
from core.units import ETA0

_ELEMENTS = 24_000
_JUMP_SPAN = 0.1


@dataclass(frozen=True, slots=True)
class ArmBounds:
    """Jets on patches (n,) of the vector sum and of the arms stacked blind to phase.

    ``e``, ``h`` belong to the sum, ``e_each``, ``h_each`` to the stacked vector; ``e_jump``, ``h_jump``
    (n,) is to be added to a slack; ``metal`` (n,) is the distance from the centre to the metal.
    """

    e: Jet
    h: Jet
    e_each: Jet
    h_each: Jet
    e_jump: Floats
    h_jump: Floats
    metal: Floats


def arm_bounds(
    arms: Arms, patches: Patches, *, common_direction: bool, any_axis: bool = False
) -> ArmBounds:
    """Return the bounds of a set of arms on patches in the antenna frame.

    ``common_direction`` as for :func:`core.fields.arms.arm_sum`. With ``any_axis`` the bounds hold
    however the arms are turned about their centres.
    """
    of = _cluster(arms)
    # Half a wavelength more, so that the reactive region is left to the exact distance.
    far = outside(patches, of) > np.pi / arms.k
    change = _change(arms)
    offset = patches.centre - of.centre
    away = np.sqrt(np.einsum("ni,ni->n", offset, offset))
    far &= np.abs(away - change.mean()) > of.reach + np.ptp(change) + patches.radius
    if far.all() and len(patches):
        return _from_far(arms, patches, common_direction=common_direction)
    out = _empty(len(patches))
    rows = np.flatnonzero(far)
    if rows.size:
        _put(out, rows, _from_far(arms, patches.part(rows), common_direction=common_direction))
    rows = np.flatnonzero(~far)
    if rows.size:
        _put(
            out,
            rows,
            _in_chunks(
                arms, patches.part(rows), common_direction=common_direction, any_axis=any_axis
            ),
        )
    return out


def _empty(n: int) -> ArmBounds:
    jets = [Jet(np.zeros(n), np.zeros(n), np.zeros(n)) for _ in range(4)]
    return ArmBounds(jets[0], jets[1], jets[2], jets[3], np.zeros(n), np.zeros(n), np.zeros(n))


def _put(out: ArmBounds, rows: NDArray[np.intp], part: ArmBounds) -> None:
    for name in ("e", "h", "e_each", "h_each"):
        for m in ("m0", "m1", "m2"):
            getattr(getattr(out, name), m)[rows] = getattr(getattr(part, name), m)
    for name in ("e_jump", "h_jump", "metal"):
        getattr(out, name)[rows] = getattr(part, name)


@lru_cache(maxsize=512)
def _cluster(arms: Arms) -> Cluster:
    weight = np.abs(arms.current) * absolute_moment(arms)
    centre = np.average(arms.centre, axis=0, weights=np.maximum(weight, 1e-300))
    return cluster(arms.centre, weight, arms.half_length, centre)


def _change(arms: Arms) -> Floats:
    """Return the distances (m,) at which the arms change from near to far form."""
    change: Floats = arm.NEAR_WAVELENGTHS * 2.0 * np.pi / arms.k + arms.half_length
    return change


def _from_far(arms: Arms, patches: Patches, *, common_direction: bool) -> ArmBounds:
    """Return the bounds from the array's moments: the same terms as in _chunk, each at its mean."""
    k, nd = arms.k, patches.dimension
    of = _cluster(arms)
    seen = seen_from(patches, of)
    near = seen.near
    c = patches.centre
    if common_direction:
        near = np.minimum(near, np.sqrt(np.einsum("ni,ni->n", c, c)) - patches.radius)
    x = 1.0 / (k * near)
    kernels = electric_kernel(near, x, nd), magnetic_kernel(near, x, nd)
    phase = wave(k * seen.rate, k * seen.bend)
    own = wave(
        k * of.size / near,
        k * of.size * STRAIGHT * nd / near**2,
    )
    moment = np.abs(arms.current) * absolute_moment(arms)
    each = float(np.sqrt(moment @ moment))
    scales = k * ETA0 / (4.0 * np.pi), k / (4.0 * np.pi)
    e, h = (
        (kernel * phase).scaled(of.weight * s) for kernel, s in zip(kernels, scales, strict=True)
    )
    e_each, h_each = (
        (kernel * own).scaled(each * s) for kernel, s in zip(kernels, scales, strict=True)
    )
    grain = _grain(arms).max() / near
    offset = c - of.centre
    metal = np.sqrt(np.einsum("ni,ni->n", offset, offset)) - of.reach
    return ArmBounds(
        e, h, e_each, h_each,
        grain * of.weight * scales[0], grain * of.weight * scales[1], metal,
    )  # fmt: skip


def _grain(arms: Arms) -> Floats:
    """Return what rounding and the far form's constant near an arm's axis stand for, over its strength."""
    kh = arms.k * arms.half_length
    grain: Floats = 3e-7 + 3e-6 * (kh + kh * kh)
    return grain


def _in_chunks(
    arms: Arms, patches: Patches, *, common_direction: bool, any_axis: bool
) -> ArmBounds:
    rows = max(1, _ELEMENTS // arms.size)
    parts = [
        _chunk(
            arms,
            patches.part(slice(i, i + rows)),
            common_direction=common_direction,
            any_axis=any_axis,
        )
        for i in range(0, len(patches), rows)
    ]
    if len(parts) == 1:
        return parts[0]

    def jets(name: str) -> Jet:
        found = [getattr(p, name) for p in parts]
        return Jet(*(np.concatenate([getattr(j, m) for j in found]) for m in ("m0", "m1", "m2")))

    def flat(name: str) -> Floats:
        return np.concatenate([getattr(p, name) for p in parts])

    return ArmBounds(
        jets("e"), jets("h"), jets("e_each"), jets("h_each"),
        flat("e_jump"), flat("h_jump"), flat("metal"),
    )  # fmt: skip


def electric_kernel(r: Floats, x: Floats, nd: int) -> Jet:
    """Return the jet of g at distances ≥ r, x = 1/(k r), for ``nd`` directions.

    Its norm is never taken below 1/r, which is that of the quick sum's plane-wave form.
    """
    x2 = x * x
    m0 = np.maximum(np.sqrt(1.0 - x2 + x2 * x2), 2.0 * x * np.sqrt(1.0 + x2))
    m0 = np.maximum(m0, 1.0) / r
    m1 = np.sqrt(nd) * (2.0 / np.sqrt(3.0) + 4.0 * x + 6.0 * x2) / r**2
    return Jet(m0, m1, nd * (3.0 + 12.0 * x + 24.0 * x2) / r**3)


def magnetic_kernel(r: Floats, x: Floats, nd: int) -> Jet:
    """Return the jet of (1 - jx) R̂/R at distances ≥ r.

    Parameters
    ----------
    x : array
        1/(k r).
    nd : int
        Directions along which the patch extends.
    """
    m0 = np.sqrt(1.0 + x * x) / r
    return Jet(m0, np.sqrt(nd) * (1.0 + 2.0 * x) / r**2, nd * (2.0 + 6.0 * x) / r**3)


NEAR_SUM, SEAM, FAR_SUM = 0, 1, 2


def sum_code(arms: Arms, patches: Patches) -> NDArray[np.int8]:
    """Return by which form ``arm_sum`` with a common direction sums the arms on patches (n,)."""
    return far_code(patches, far_from(arms), FAR_ELEVATION)


def far_code(patches: Patches, start: float, sine: float) -> NDArray[np.int8]:
    """Return where patches (n,) lie beyond a distance and below a sine of elevation.

    NEAR_SUM for nowhere, FAR_SUM for everywhere, SEAM for both.

    Parameters
    ----------
    start : float
        m.
    """
    c = patches.centre
    r = np.sqrt(np.einsum("ni,ni->n", c, c))
    rho = patches.radius * (1.0 + ROUNDING) + ROUNDING * r
    turn = np.arcsin(np.minimum(rho / np.maximum(r, 1e-9), 1.0))
    up = np.abs(np.arcsin(np.clip(c[:, 2] / np.maximum(r, 1e-9), -1.0, 1.0)))
    edge = np.arcsin(sine)
    some = (r + rho > start) & (up - turn < edge)
    every = (r - rho > start) & (up + turn < edge)
    code: NDArray[np.int8] = some.astype(np.int8) + (every & some).astype(np.int8)
    return code


def both_sums(arms: Arms, points: Points) -> tuple[ArmSum, ArmSum]:
    """Return the sum of the arms at points (n, 3) in the exact and in the quick form."""
    quick = ArmSum(
        np.zeros((len(points), 3), np.complex128),
        np.zeros((len(points), 3), np.complex128),
        np.zeros(len(points)),
        np.zeros(len(points)),
    )
    arm.far_sum(arms, points, np.ones(len(points), bool), quick)
    return arm.arm_sum(arms, points), quick


def _chunk(arms: Arms, patches: Patches, *, common_direction: bool, any_axis: bool) -> ArmBounds:
    k, nd = arms.k, patches.dimension
    weight = np.abs(arms.current)
    centre = np.average(arms.centre, axis=0, weights=np.maximum(weight, 1e-300))
    gap = _segment_gap(arms, patches, any_axis=any_axis)
    metal = gap.min(axis=1)
    near = np.maximum(gap - patches.radius[:, None], 1e-4 / k)
    seen = sight(patches, arms.centre, centre, arms.half_length, near, k)
    if common_direction:
        c = patches.centre
        origin = np.sqrt(np.einsum("ni,ni->n", c, c)) - patches.radius
        quick = sum_code(arms, patches) != NEAR_SUM
        near = np.where(quick[:, None], np.minimum(near, origin[:, None]), near)
        # A patch around the whole array reaches its metal; a distance is never less than nothing.
        near = np.maximum(near, 1e-4 / k)
    x = 1.0 / (k * near)
    moment = weight * absolute_moment(arms)
    e_kernel, h_kernel = electric_kernel(near, x, nd), magnetic_kernel(near, x, nd)
    phase = wave(k * seen.rate, k * seen.bend)
    # Blind to phase every arm is its own reference: only the arm's length turns the phase.
    own = wave(
        k * arms.half_length / near,
        k * arms.half_length * STRAIGHT * nd / near**2,
    )
    to_e, to_h = moment * (k * ETA0 / (4.0 * np.pi)), moment * (k / (4.0 * np.pi))
    e_jump, h_jump = _jumps(arms, seen.distance, near, patches.radius)
    return ArmBounds(
        (e_kernel * phase).scaled(to_e).total(),
        (h_kernel * phase).scaled(to_h).total(),
        (e_kernel * own).scaled(to_e).root_total(),
        (h_kernel * own).scaled(to_h).root_total(),
        (e_jump * to_e).sum(axis=1),
        (h_jump * to_h).sum(axis=1),
        metal,
    )


def absolute_moment(arms: Arms) -> Floats:
    """Return μ (m,) = ∫|sin k(h - |s|)| ds of every arm, m."""
    kh = arms.k * arms.half_length
    mu: Floats = (2.0 * np.floor(kh / np.pi) + 1.0 - np.cos(np.mod(kh, np.pi))) * (2.0 / arms.k)
    return mu


def _segment_gap(arms: Arms, patches: Patches, *, any_axis: bool) -> Floats:
    """Distance (n, m) from patch centres to the arms, or to the balls they can turn in."""
    offset = patches.centre[:, None, :] - arms.centre[None, :, :]
    if any_axis:
        away = np.sqrt(np.einsum("nmi,nmi->nm", offset, offset))
        ball: Floats = np.maximum(away - arms.half_length, 0.0)
        return ball
    along = np.einsum("nmi,mi->nm", offset, arms.axis)
    past = along - np.clip(along, -arms.half_length, arms.half_length)
    across2 = np.einsum("nmi,nmi->nm", offset, offset) - along**2
    gap: Floats = np.sqrt(np.maximum(across2, 0.0) + past**2)
    return gap


def _jumps(arms: Arms, distance: Floats, near: Floats, radius: Floats) -> tuple[Floats, Floats]:
    """Twice the largest step (n, m) between near and far form, over the arm's kη/(4π) |I| μ.

    Zero where the patch lies on one side. A patch too wide for the table has no slack. In both
    forms a few 1e-7 of the field stand for the rounding of the closed form near the arm's axis and
    for the far form's constant near it.
    """
    change = _change(arms)
    reach = radius[:, None] * (1.0 + 1e-9)
    astride: Bools = np.abs(distance - change) <= reach
    e_step = np.array([_step(round(float(arms.k * h), 9))[0] for h in arms.half_length])
    h_step = np.array([_step(round(float(arms.k * h), 9))[1] for h in arms.half_length])
    grain = _grain(arms) / near
    wide = reach > _JUMP_SPAN * change
    with np.errstate(invalid="ignore"):
        e = np.where(astride, np.where(wide, ENDLESS, 2.0 * e_step / near), 0.0) + grain
        h = np.where(astride, np.where(wide, ENDLESS, 2.0 * h_step / near), 0.0) + grain
    return e, h


@lru_cache(maxsize=256)
def _step(kh: float) -> tuple[float, float]:
    """Largest |near form - far form| · r over kη/(4π) |I| μ within a tenth of the change-over.

    Sampled every 0.09° and every hundredth of the radius, plus 5 %: with the common phase e^{-jkr}
    taken out the difference varies no faster than e^{jkh cosθ}.
    """
    k = 2.0 * np.pi
    h = kh / k
    mu = (2.0 * np.floor(kh / np.pi) + 1.0 - np.cos(np.mod(kh, np.pi))) * (2.0 / k)
    theta = np.linspace(0.0, np.pi / 2.0, 1001)
    u = np.array([0.0, 0.0, 1.0])
    worst = [0.0, 0.0]
    change = arm.NEAR_WAVELENGTHS + h
    for r in change * np.linspace(1.0 - 2.2 * _JUMP_SPAN, 1.0 + 2.2 * _JUMP_SPAN, 45):
        at = r * np.stack([np.sin(theta), 0.0 * theta, np.cos(theta)], axis=1)
        near_form = one_arm.near_arm(at, u, h, 1.0, k)
        far_form = far_arm(at, np.full(len(theta), r * r), u, h, 1.0, k)
        for i, scale in enumerate((k * ETA0 / (4.0 * np.pi), k / (4.0 * np.pi))):
            step = np.linalg.norm(near_form[i] - far_form[i], axis=1).max()
            worst[i] = max(worst[i], float(step) * r / (scale * mu))
    return worst[0] * 1.05, worst[1] * 1.05
