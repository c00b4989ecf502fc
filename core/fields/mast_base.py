"""The base of a mast or whip: what a sinusoidal current leaves out close to the feed.

A sinusoid has no charge at the base of a quarter wave and no current at the base of a half wave. The base
voltage and current put them back: a thin cone of half angle a/d with voltage V carries
E = V/(d ln(2d/a)), and a long wire carries H = I/(2π d). Both fade out at distances of the mast's
height. Derived and checked for this project against method-of-moments masts; no published source.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from core.arrays import Floats
from core.units import ETA0

_THICKNESS = (25, 125, 625, 3125, 15625)
# Height in wavelengths, then base voltage (V) and base current (A) for 1 W at each height/radius of
# _THICKNESS. Computed for this project with a thin-wire method of moments (piecewise sinusoidal
# Galerkin, perfect ground, feed gap at the base).
# fmt: off
_TABLE = np.array([
    (0.02, 2889, 4774, 6697, 8623, 1.055e+04, 3.16, 2.85, 2.7, 2.63, 2.6),
    (0.03, 1270, 2102, 2949, 3799, 4648, 2.1, 1.89, 1.8, 1.75, 1.73),
    (0.04, 704, 1166, 1638, 2110, 2583, 1.56, 1.42, 1.34, 1.31, 1.29),
    (0.05, 440, 733, 1031, 1329, 1627, 1.23, 1.13, 1.07, 1.04, 1.03),
    (0.06, 296, 498, 701, 904, 1108, 1.02, 0.933, 0.888, 0.866, 0.856),
    (0.08, 155, 264, 373, 482, 591, 0.744, 0.685, 0.657, 0.642, 0.635),
    (0.1, 90.9, 156, 221, 287, 352, 0.569, 0.536, 0.517, 0.506, 0.501),
    (0.125, 49.6, 86.7, 124, 162, 199, 0.439, 0.415, 0.402, 0.396, 0.392),
    (0.15, 27.8, 49.5, 71.9, 94.2, 116, 0.34, 0.33, 0.324, 0.32, 0.318),
    (0.175, 14.9, 27.3, 40.5, 53.6, 66.6, 0.27, 0.268, 0.266, 0.265, 0.264),
    (0.2, 7.77, 13.6, 20.5, 27.5, 34.5, 0.216, 0.22, 0.221, 0.222, 0.222),
    (0.225, 5.9, 6.38, 8.21, 10.6, 13.3, 0.172, 0.181, 0.185, 0.187, 0.188),
    (0.25, 7.65, 7.54, 7.35, 7.25, 7.19, 0.136, 0.149, 0.155, 0.158, 0.16),
    (0.275, 9.81, 11.4, 13, 14.8, 16.7, 0.108, 0.121, 0.129, 0.133, 0.136),
    (0.3, 11.7, 14.8, 18.1, 21.6, 25.2, 0.0878, 0.0973, 0.107, 0.112, 0.114),
    (0.325, 13.2, 17.6, 22.1, 27, 31.9, 0.0759, 0.0772, 0.0869, 0.0925, 0.0956),
    (0.35, 14.3, 19.7, 25.4, 31.2, 37.2, 0.0737, 0.0607, 0.0692, 0.0751, 0.0783),
    (0.375, 15.2, 21.4, 27.9, 34.7, 41.6, 0.0836, 0.049, 0.0536, 0.0591, 0.0624),
    (0.4, 15.9, 22.8, 30, 37.5, 45.1, 0.0923, 0.044, 0.0407, 0.0446, 0.0476),
    (0.425, 16.4, 23.8, 31.7, 39.7, 47.9, 0.108, 0.0471, 0.0323, 0.0323, 0.0341),
    (0.45, 16.8, 24.7, 33, 41.6, 50.3, 0.126, 0.0565, 0.0317, 0.0245, 0.0231),
    (0.475, 17, 25.3, 34, 43, 52.2, 0.144, 0.0698, 0.0392, 0.0257, 0.0195),
    (0.5, 17, 25.6, 34.8, 44.1, 53.6, 0.172, 0.0855, 0.0518, 0.0356, 0.0271),
    (0.55, 16.3, 25.4, 35.1, 44.9, 54.8, 0.202, 0.121, 0.0848, 0.067, 0.0577),
    (0.6, 13.8, 23, 32.8, 42.5, 52.3, 0.228, 0.159, 0.123, 0.106, 0.0969),
    (0.65, 9.54, 16.8, 25.2, 33.6, 41.9, 0.218, 0.18, 0.156, 0.143, 0.136),
    (0.7, 6.81, 8.56, 12.3, 16.6, 21.1, 0.172, 0.164, 0.159, 0.155, 0.152),
    (0.75, 8.09, 8.52, 8.42, 8.29, 8.21, 0.13, 0.121, 0.127, 0.131, 0.133),
    (0.8, 9.97, 12.9, 15.8, 18.7, 21.8, 0.113, 0.0821, 0.0893, 0.0958, 0.0994),
])
# fmt: on


def base_drive(height: float, radius: float, wavelength: float) -> tuple[float, float]:
    """Return the base voltage (V) and base current (A), rms, of a mast that radiates 1 W.

    Parameters
    ----------
    height, radius, wavelength : float
        m. Masts taller than 0.8 wavelength repeat every half wavelength.
    """
    tall = height / wavelength
    lowest = float(_TABLE[0, 0])
    short = max(lowest / tall, 1.0)
    if tall > 0.8:
        tall = 0.3 + (tall - 0.3) % 0.5
    logs = np.log(_THICKNESS)
    thick = float(np.clip(np.log(height / radius), logs[0], logs[-1]))
    split = 1 + len(_THICKNESS)
    drive = []
    for columns in (_TABLE[:, 1:split], _TABLE[:, split:]):
        across = [float(np.interp(thick, logs, row)) for row in np.log(columns)]
        drive.append(float(np.exp(np.interp(tall, _TABLE[:, 0], across))))
    # A short mast's voltage grows with the square of its shortness, its current in proportion.
    return drive[0] * short**2, drive[1] * short


@dataclass(frozen=True, slots=True)
class Drive:
    """What feeds one mast, whip or dipole arm: rms values, lengths in m, wave number in rad/m."""

    loop: complex
    volts: float
    amps: float
    height: float
    radius: float
    k: float


def base_terms(
    drive: Drive, distance: Floats, from_feed: Floats | None = None, *, conservative: bool
) -> tuple[Floats, Floats]:
    """Return E² and H² (n,) that the base adds to the sinusoid's field.

    Parameters
    ----------
    drive : Drive
        The mast.
    distance : array, shape (n,)
        From the nearest point of the mast, m.
    from_feed : array, shape (n,), optional
        Distance from the feed, m, with which the terms fade out; by default ``distance``, so that they
        reach all the way up a mast.
    conservative : bool
        Whether the whole base terms count; otherwise what the sinusoid's own base charge and current
        already carry is taken off, and below a quarter wave the sinusoid's H stands alone.
    """
    d = np.maximum(distance, drive.radius)
    away = d if from_feed is None else from_feed
    fade = drive.height**2 / (drive.height**2 + away * away)
    e2: Floats = (drive.volts / (d * np.log(2.0 * d / drive.radius)) * fade) ** 2
    h2: Floats = (drive.amps / (2.0 * np.pi * d)) ** 2 * fade
    if not conservative:
        kh = drive.k * drive.height
        charge = ETA0 / (2.0 * np.pi) * abs(drive.loop) * np.cos(kh)
        own = abs(drive.loop) * np.sin(kh) / (2.0 * np.pi)
        e2 = np.maximum(e2 - (charge / d * fade) ** 2, 0.0)
        h2 = np.maximum(h2 - (own / d) ** 2 * fade, 0.0) if kh > 0.5 * np.pi else np.zeros_like(d)
    return e2, h2


def combined(
    e2: Floats, h2: Floats, e2_base: Floats, h2_base: Floats, *, conservative: bool
) -> tuple[Floats, Floats]:
    """Return the sinusoid's E² and H² with the base terms.

    E in power sum; H the larger of the two when the whole term counts, else in power sum too.

    Parameters
    ----------
    e2 : array
        E², V²/m².
    h2 : array
        H², A²/m².
    e2_base : array
        E² of the base terms, V²/m².
    h2_base : array
        H² of the base terms, A²/m².
    conservative : bool
        With the printed floors and decibels; else the best estimate.

    Returns
    -------
    tuple of arrays
        Each of the same shape as the arrays given.
    """
    return e2 + e2_base, np.maximum(h2, h2_base) if conservative else h2 + h2_base
