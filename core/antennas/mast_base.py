"""The base of a mast or whip: what a sinusoidal current leaves out close to the feed.

A sinusoid has no charge at the base of a quarter wave and no current at the base of a half wave. The base
voltage and current put them back: a thin cone of half angle a/d with voltage V carries
E = V/(d ln(2d/a)), and a long wire carries H = I/(2π d). Both fade out at distances of the mast's
height. Derived and checked for this project against method-of-moments masts; no published source.
"""

from __future__ import annotations

import numpy as np

from core.arrays import Floats

_THICKNESS = (25, 100, 400, 1600, 6400)
# Height in wavelengths, then base voltage (V) and base current (A) for 1 W at each height/radius of
# _THICKNESS. Computed for this project with a thin-wire method of moments (piecewise sinusoidal
# Galerkin, perfect ground, feed gap at the base).
# fmt: off
_TABLE = np.array([
    (0.02, 2889, 4508, 6163, 7822, 9480, 3.16, 2.89, 2.73, 2.66, 2.61),
    (0.03, 1270, 1984, 2714, 3446, 4177, 2.1, 1.92, 1.82, 1.77, 1.74),
    (0.04, 704, 1101, 1507, 1914, 2321, 1.56, 1.43, 1.36, 1.32, 1.3),
    (0.05, 440, 692, 948, 1205, 1461, 1.23, 1.14, 1.08, 1.05, 1.04),
    (0.06, 296, 470, 645, 820, 995, 1.02, 0.942, 0.897, 0.874, 0.861),
    (0.08, 155, 249, 343, 437, 531, 0.744, 0.691, 0.663, 0.647, 0.638),
    (0.1, 90.9, 147, 203, 260, 316, 0.569, 0.54, 0.521, 0.51, 0.504),
    (0.125, 49.6, 81.5, 114, 146, 179, 0.439, 0.417, 0.405, 0.398, 0.394),
    (0.15, 27.8, 46.4, 65.7, 85, 104, 0.34, 0.332, 0.325, 0.321, 0.319),
    (0.175, 14.9, 25.5, 36.9, 48.2, 59.4, 0.27, 0.269, 0.267, 0.265, 0.264),
    (0.2, 7.77, 12.6, 18.6, 24.6, 30.6, 0.216, 0.22, 0.221, 0.222, 0.222),
    (0.225, 5.9, 6.21, 7.61, 9.58, 11.8, 0.172, 0.18, 0.185, 0.186, 0.187),
    (0.25, 7.65, 7.57, 7.38, 7.28, 7.22, 0.136, 0.147, 0.154, 0.157, 0.159),
    (0.275, 9.81, 11.2, 12.6, 14.1, 15.7, 0.108, 0.12, 0.128, 0.132, 0.135),
    (0.3, 11.7, 14.4, 17.2, 20.1, 23.2, 0.0878, 0.0958, 0.105, 0.11, 0.113),
    (0.325, 13.2, 16.9, 20.8, 24.9, 29.2, 0.0759, 0.0759, 0.0847, 0.0906, 0.0941),
    (0.35, 14.3, 18.9, 23.8, 28.8, 33.9, 0.0737, 0.0599, 0.0669, 0.073, 0.0767),
    (0.375, 15.2, 20.5, 26.1, 31.9, 37.7, 0.0836, 0.0496, 0.0517, 0.0571, 0.0608),
    (0.4, 15.9, 21.8, 28, 34.3, 40.8, 0.0923, 0.0468, 0.04, 0.043, 0.0461),
    (0.425, 16.4, 22.8, 29.5, 36.4, 43.4, 0.108, 0.0518, 0.034, 0.0317, 0.0331),
    (0.45, 16.8, 23.5, 30.7, 38, 45.4, 0.126, 0.0624, 0.0361, 0.0263, 0.0236),
    (0.475, 17, 24.1, 31.6, 39.3, 47.1, 0.144, 0.0765, 0.0453, 0.0301, 0.0224),
    (0.5, 17, 24.4, 32.2, 40.2, 48.3, 0.172, 0.092, 0.0587, 0.041, 0.0312),
    (0.55, 16.3, 24.1, 32.4, 40.8, 49.3, 0.202, 0.128, 0.0925, 0.0729, 0.0622),
    (0.6, 13.8, 21.7, 30.1, 38.5, 46.9, 0.228, 0.165, 0.131, 0.112, 0.101),
    (0.65, 9.54, 15.7, 22.8, 30.1, 37.3, 0.218, 0.184, 0.162, 0.148, 0.14),
    (0.7, 6.81, 8.18, 11.1, 14.8, 18.6, 0.172, 0.164, 0.16, 0.156, 0.153),
    (0.75, 8.09, 8.5, 8.47, 8.33, 8.25, 0.13, 0.12, 0.126, 0.13, 0.132),
    (0.8, 9.97, 12.5, 15, 17.5, 20.1, 0.113, 0.0823, 0.0868, 0.0935, 0.0976),
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


def base_field(
    distance: Floats, voltage: float, current: float, height: float, radius: float
) -> tuple[Floats, Floats]:
    """Return E² and H² (n,) of the base voltage (V) and current (A) at distances (n,) from the mast, m."""
    d = np.maximum(distance, radius)
    h2 = height * height
    fade = h2 / (h2 + d * d)
    e: Floats = voltage / (d * np.log(2.0 * d / radius)) * fade
    h: Floats = current / (2.0 * np.pi * d) * np.sqrt(fade)
    return e * e, h * h


def with_base(
    e2: Floats,
    h2: Floats,
    distance: Floats,
    voltage: float,
    current: float,
    height: float,
    radius: float,
) -> tuple[Floats, Floats]:
    """Return the sinusoid's E² and H² with the base terms: E in power sum, H the larger."""
    e2_base, h2_base = base_field(distance, voltage, current, height, radius)
    return e2 + e2_base, np.maximum(h2, h2_base)
