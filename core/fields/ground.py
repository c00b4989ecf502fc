"""Plane ground: its permittivity and what it reflects."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from core.arrays import Complexes
from core.units import wavelength


def complex_permittivity(permittivity: float, conductivity: float, frequency: float) -> complex:
    """Return the relative complex permittivity ε_r - j 60 λ σ of ground (σ in S/m).

    Parameters
    ----------
    conductivity : float
        S/m.
    frequency : float
        Hz.
    """
    return permittivity - 60j * wavelength(frequency) * conductivity


def fresnel(grazing: ArrayLike, ground: complex) -> tuple[Complexes, Complexes]:
    """Return the reflection coefficients for horizontal and vertical polarisation.

    Parameters
    ----------
    grazing : array-like
        Angle between ray and ground, rad.
    ground : complex
        Relative complex permittivity.

    Returns
    -------
    tuple of arrays
        Each of the same shape as the arrays given.

    References
    ----------
    Γ_h = (sin ψ - q)/(sin ψ + q), Γ_v = (ε sin ψ - q)/(ε sin ψ + q), q = sqrt(ε - cos² ψ) (textbook
    form, from memory).
    """
    s = np.sin(np.asarray(grazing, dtype=np.float64))
    q = np.sqrt(ground - (1.0 - s * s))
    horizontal: Complexes = np.asarray((s - q) / (s + q))
    vertical: Complexes = np.asarray((ground * s - q) / (ground * s + q))
    return horizontal, vertical
