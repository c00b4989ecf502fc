"""The far pattern of any kind in its two principal planes, as its field model has it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from core.antennas.base import Kind
from core.arrays import Floats
from core.units import ETA0, wavelength

FAR_WAVELENGTHS, FAR_APERTURES = 1e4, 1e3
"""How far off a pattern is taken: in wavelengths, and in squared sizes over the wavelength."""
_STEP = 1.0
"""Degrees between directions."""


@dataclass(frozen=True, slots=True)
class Cuts:
    """Two cuts of a far pattern.

    Attributes
    ----------
    frequency : float
        Hz.
    azimuth : array (n,)
        Degrees clockwise from the boresight, -180 to 180.
    level : array (n,)
        dBi in those directions, level with the antenna.
    elevation : array (m,)
        Degrees up from the boresight, over the zenith to the back: -180 to 180.
    upright : array (m,)
        dBi in those directions, in the upright plane of the boresight.
    """

    frequency: float
    azimuth: Floats
    level: Floats
    elevation: Floats
    upright: Floats


def far_cuts(kind: Kind, frequency: float, *, conservative: bool = False) -> Cuts:
    """Return the far pattern of a kind in its own level and upright planes.

    Parameters
    ----------
    kind : Kind
        The antenna.
    frequency : float
        Hz.
    conservative : bool
        With the decibels and floors that a figure has on it.
    """
    lam = wavelength(frequency)
    metal = kind.outline(frequency)
    size = float(np.ptp(metal.reshape(-1, 3), axis=0).max()) if metal.size else 0.0
    away = max(FAR_WAVELENGTHS * lam, FAR_APERTURES * size**2 / lam, 100.0 * size)
    angles = np.arange(-180.0, 180.0 + _STEP / 2.0, _STEP)
    # Exactly along an axis a model may have a corner: a hundredth of a degree off it is no other pattern.
    a = np.radians(angles + 0.01)
    flat, none = (np.cos(a), np.sin(a)), np.zeros_like(a)
    level = np.stack([flat[0], -flat[1], none + 1e-4], axis=1)
    upright = np.stack([flat[0], none + 1e-4, flat[1]], axis=1)
    return Cuts(
        frequency,
        angles,
        _gain(kind, frequency, away * level, conservative=conservative),
        angles,
        _gain(kind, frequency, away * upright, conservative=conservative),
    )


def _gain(kind: Kind, frequency: float, points: Floats, *, conservative: bool) -> Floats:
    field = kind.unit_field(points, frequency, conservative=conservative)
    away2 = np.einsum("ij,ij->i", points, points)
    s = np.maximum(field.e2 / ETA0, field.h2 * ETA0)
    gain: Floats = 10.0 * np.log10(np.maximum(4.0 * np.pi * away2 * s, 1e-9))
    return gain
