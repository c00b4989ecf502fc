"""Many straight dipole arms a few wavelengths away and farther, summed together.

The same fields as :func:`core.fields.one_arm.far_arm` gives for each, in an order that numpy is quick at: with
G = A w the arm's wave (A = I m η/(2π r), w = j exp(-jkr)) and v = 1/(kr), its field is

    E = R r̂ - U u,   U = G (1 - jv - v²),   R = G cosθ (1 - 3jv - 3v²),   H = G (1 - jv)/η · u × r̂.

With r r̂ = p - c the sums over arms need only ΣR/r, Σ(R/r) c, ΣU u and the like, a few numbers a point. The squares
of single arms are real: |E|² = |G|² (1 - v² + v⁴ + cos²θ (5v² + 3v⁴ - 1)), |H|² = |G|² (1 + v²) sin²θ/η².
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from core.arrays import Bools, Floats, Points
from core.units import ETA0

BLOCK = 16384
"""Numbers of an array worked on at a time: what the nearest cache holds a dozen of."""


@dataclass(frozen=True, slots=True)
class FarSum:
    """E and H (n, 3) of all arms, and the sums of their squares taken one by one, (n,)."""

    e: NDArray[np.complexfloating]
    h: NDArray[np.complexfloating]
    e2_each: Floats
    h2_each: Floats


def far_arms(
    centre: Floats,
    axis: Floats,
    half_length: Floats,
    current: NDArray[np.complex128],
    k: float,
    points: Points,
    near: Floats,
) -> tuple[FarSum, Bools]:
    """Return the summed fields of arms at points, in the points' precision, and which pairs (a, n) are too near.

    Those do not count.

    Parameters
    ----------
    centre, axis : array, shape (a, 3)
        Centres, m, and unit vectors along the arms.
    half_length : array, shape (a,)
        m.
    current : complex array, shape (a,)
        At the loop, A.
    k : float
        Wave number, rad/m.
    points : array, shape (n, 3)
        m.
    near : array, shape (a,)
        m: points nearer than this to an arm's centre are too near.
    """
    real = points.dtype.type
    c, u = centre.astype(real), axis.astype(real)
    kh = (k * half_length).astype(real)[:, None]
    x, y, z = (points[:, i] - c[:, i, None] for i in range(3))
    cos_t = u[:, 0, None] * x
    cos_t += u[:, 1, None] * y
    cos_t += u[:, 2, None] * z
    r2 = x * x
    r2 += y * y
    r2 += z * z
    skip: Bools = r2 < (near**2).astype(real)[:, None]
    any_near = bool(skip.any())
    if any_near:
        np.maximum(r2, (half_length**2).astype(real)[:, None], out=r2)
    inv = 1.0 / np.sqrt(r2)
    cos_t *= inv
    np.clip(cos_t, -1.0, 1.0, out=cos_t)
    size = moment(cos_t, kh)
    size *= inv
    if any_near:
        size[skip] = 0.0
    phase = r2
    phase *= real(k)
    phase *= inv
    scale = 1j * ETA0 / (2.0 * np.pi) * current
    re, im = (part.astype(real)[:, None] for part in (scale.real, scale.imag))
    # The wave G, real and imaginary parts apart: numpy would turn every factor into a complex one.
    cos, sin = np.cos(phase), np.sin(phase)
    g = re * cos + im * sin
    w = im * cos - re * sin
    g *= size
    w *= size
    v = inv * real(1.0 / k)
    v2, q = v * v, cos_t * cos_t
    behind_g, behind_w = v * w, v * g
    lag_g, lag_w = v2 * g - behind_g, v2 * w + behind_w
    ones = np.ones((1, len(c)), real)
    along = cos_t
    along *= inv
    by_r = _together(np.vstack([ones, c.T]), along * (g - 3.0 * lag_g), along * (w - 3.0 * lag_w))
    by_u = _together(u.T, g - lag_g, w - lag_w)
    inv *= real(1.0 / ETA0)
    turning = np.vstack([u.T, np.cross(u, c).T])
    by_turn = _together(turning, inv * (g + behind_g), inv * (w - behind_w))
    at = points.T
    e = at * by_r[0] - by_r[1:] - by_u
    m = by_turn[:3]
    h = np.stack(
        [
            m[1] * at[2] - m[2] * at[1],
            m[2] * at[0] - m[0] * at[2],
            m[0] * at[1] - m[1] * at[0],
        ]
    )
    h -= by_turn[3:]
    size *= size
    weights = (np.abs(scale) ** 2).astype(real)
    h2 = weights @ (size * ((1.0 + v2) * np.maximum(1.0 - q, 0.0)))
    # 1 - v² + v⁴ + cos²θ (5v² + 3v⁴ - 1)
    q *= v2 * (5.0 + 3.0 * v2) - 1.0
    q += v2 * (v2 - 1.0) + 1.0
    q *= size
    return FarSum(e.T, h.T, weights @ q, h2 * real(1.0 / ETA0**2)), skip


def moment(cos_t: Floats, kh: Floats) -> Floats:
    """Return (cos(kh cosθ) - cos kh)/sin²θ; see :func:`core.fields.one_arm.element_moment`.

    Parameters
    ----------
    cos_t : array, shape (a, n)
        Cosine of the angle between arm and direction.
    kh : array, shape (a, 1)
        Wave number times half-length, rad.
    """
    sin2 = 1.0 - cos_t * cos_t
    edge = sin2 < 1e-4
    shape: Floats = np.cos(kh * cos_t)
    shape -= np.cos(kh)
    if edge.any():
        sin2[edge] = 1.0
        shape /= sin2
        return np.where(edge, (0.5 * kh * np.sin(kh)).astype(cos_t.dtype), shape)
    shape /= sin2
    return shape


def _together(weights: Floats, real: Floats, imag: Floats) -> NDArray[np.complexfloating]:
    """Return the sums (w, n) of complex values (a, n) over arms with real weights (w, a)."""
    out = np.empty((len(weights), real.shape[1]), np.result_type(real.dtype, np.complex64))
    out.real, out.imag = weights @ real, weights @ imag
    return out
