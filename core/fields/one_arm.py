"""The field of one straight dipole arm with sinusoidal current: exact close in, its pattern integral farther out."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from core.arrays import Complexes, Floats, Points, cross
from core.units import ETA0

_NEAREST = 1e-3
"""Distances are held above this part of a wavelength so that a point on the metal stays finite."""


def element_moment(unit: Floats, axis: Floats, h: float, k: float) -> tuple[Floats, Floats]:
    """Return (cos(kh cosθ) - cos kh)/sin²θ and cosθ of an arm for directions (n, 3).

    Parameters
    ----------
    unit : array
        Unit vectors of directions.
    axis : array
        Unit vector along the arm.
    h : float
        Half-length, m.
    k : float
        Wave number, rad/m.
    """
    real = unit.dtype.type
    kh = real(k * h)
    cos_t = np.clip(unit @ axis, -1.0, 1.0)
    sin2 = 1.0 - cos_t * cos_t
    edge = sin2 < 1e-4
    moment = (np.cos(kh * cos_t) - np.cos(kh)) / np.where(edge, real(1.0), sin2)
    return np.where(edge, real(0.5) * kh * np.sin(kh), moment), cos_t


def near_arm(
    offset: Points, u: Floats, h: float, current: complex, k: float
) -> tuple[NDArray[np.complexfloating], NDArray[np.complexfloating]]:
    """Return the exact E and H (n, 3) of one arm at offsets (n, 3) from its centre.

    Parameters
    ----------
    offset : array, shape (n, 3)
        Points relative to the arm's centre, m.
    u : array, shape (3,)
        Unit vector along the arm.
    h : float
        Half-length, m.
    current : complex
        Current at the loop, A; the fields are rms if it is.
    k : float
        Wave number, rad/m.

    References
    ----------
    E_z, E_rho and H_phi of the sinusoidal dipole: Balanis, Antenna Theory, section 8.5.2 (near field of a
    finite dipole; from memory).
    """
    offset = offset.astype(np.float64, copy=False)
    small = _NEAREST * 2.0 * np.pi / k
    z = offset @ u
    across = offset - z[:, None] * u
    rho = np.sqrt(np.einsum("ij,ij->i", across, across))
    rho_safe = np.maximum(rho, small * 1e-3)
    r1 = np.maximum(np.hypot(rho, z - h), small)
    r2 = np.maximum(np.hypot(rho, z + h), small)
    r0 = np.maximum(np.hypot(rho, z), small)
    w1, w2, w0 = np.exp(-1j * k * r1), np.exp(-1j * k * r2), np.exp(-1j * k * r0)
    cos_kh = np.cos(k * h)
    q = ETA0 / (4.0 * np.pi)
    e_z = -1j * q * current * (w1 / r1 + w2 / r2 - 2.0 * cos_kh * w0 / r0)
    bracket = (z - h) * w1 / r1 + (z + h) * w2 / r2 - 2.0 * z * cos_kh * w0 / r0
    e_rho = 1j * q * current / rho_safe * bracket
    h_phi = 1j * current / (4.0 * np.pi * rho_safe) * (w1 + w2 - 2.0 * cos_kh * w0)
    radial = across / rho_safe[:, None]
    e = e_rho[:, None] * radial + e_z[:, None] * u
    return e, h_phi[:, None] * cross(u, radial)


def far_arm(
    offset: Points, r2: Floats, u: Floats, h: float, current: complex, k: float
) -> tuple[NDArray[np.complexfloating], NDArray[np.complexfloating]]:
    """Return E and H of one arm a few wavelengths away and farther.

    The Hertzian dipole's terms in 1/r, 1/r² and 1/r³ (Balanis, Antenna Theory, eqs. 4-8 and 4-10,
    from memory) with its moment
    replaced by the arm's pattern integral ∫ I e^{jks cosθ} ds = (2I/k)(cos(kh cosθ) - cos kh)/sin²θ
    (eq. 4-62a, from memory).

    Parameters
    ----------
    offset : array, shape (n, 3)
        Places relative to the centre, m.
    r2 : array
        Squared distances, m².
    u : array
        Unit vector along the arm.
    current : complex
        Current at the loop, A.

    Returns
    -------
    tuple of arrays
        Each of the same shape as the arrays given.
    """
    real = offset.dtype.type
    axis = u.astype(offset.dtype)
    inv_r = 1.0 / np.sqrt(r2)
    unit = offset * inv_r[:, None]
    moment, cos_t = element_moment(unit, axis, h, k)
    phase = real(k) * r2 * inv_r
    ctype = np.complex64 if real is np.float32 else np.complex128
    wave: Complexes = np.empty(len(r2), dtype=ctype)
    wave.real, wave.imag = np.cos(phase), -np.sin(phase)
    amplitude = wave * (moment * inv_r)
    v = inv_r / real(k)
    # E = j eta/(2 pi) I m e^{-jkr}/r [(cos t r - u)(1 - jv - v^2) + 2 cos t (-jv)(1 - jv) r]
    scale = type(wave[0])(1j * ETA0 / (2.0 * np.pi) * current) if len(wave) else 0j
    one = 1.0 - v * v - 1j * v
    along_u = amplitude * one * scale
    along_r = (cos_t * (1.0 - 3.0 * v * v - 3j * v)).astype(wave.dtype) * amplitude * scale
    e = along_r[:, None] * unit - along_u[:, None] * axis
    turn = cross(axis, unit)
    h_amplitude = (amplitude * (1.0 - 1j * v)).astype(wave.dtype) * (scale / real(ETA0))
    return e.astype(wave.dtype, copy=False), (h_amplitude[:, None] * turn).astype(
        wave.dtype, copy=False
    )
