"""How colours look in grey print and to colour-blind people, and how light they are."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

_LUMINANCE = np.array([0.2126, 0.7152, 0.0722])
"""IEC 61966-2-1, linear sRGB to relative luminance."""

# Machado, Oliveira and Fernandes, "A Physiologically-based Model for Simulation of Color Vision Deficiency", IEEE
# Transactions on Visualization and Computer Graphics 15(6), 2009: the authors' table for severity 1.0, for linear RGB
# (figures from memory).
SIGHT = {
    "normal": np.eye(3),
    "grey": np.tile(_LUMINANCE, (3, 1)),
    "protan": np.array(
        [
            [0.152286, 1.052583, -0.204868],
            [0.114503, 0.786281, 0.099216],
            [-0.003882, -0.048116, 1.051998],
        ]
    ),
    "deutan": np.array(
        [
            [0.367322, 0.860646, -0.227968],
            [0.280085, 0.672501, 0.047413],
            [-0.011820, 0.042940, 0.968881],
        ]
    ),
    "tritan": np.array(
        [
            [1.255528, -0.076749, -0.178779],
            [-0.078411, 0.930809, 0.147602],
            [0.004733, 0.691367, 0.303900],
        ]
    ),
}


def linear(rgb: object) -> NDArray[np.float64]:
    """Return linear RGB of sRGB colours (..., 3)."""
    v = np.asarray(rgb, dtype=float)
    return np.asarray(np.where(v <= 0.04045, v / 12.92, ((v + 0.055) / 1.055) ** 2.4))


def seen(rgb: object, sight: str) -> NDArray[np.float64]:
    """Return linear RGB (..., 3) of sRGB colours as somebody sees them."""
    return np.clip(linear(rgb) @ SIGHT[sight].T, 0.0, 1.0)


def lightness(rgb: object, sight: str = "normal") -> NDArray[np.float64]:
    """Return CIE L* of sRGB colours (..., 3) as somebody sees them."""
    y = seen(rgb, sight) @ _LUMINANCE
    return np.asarray(116.0 * np.where(y > 0.008856, np.cbrt(y), 7.787 * y + 16 / 116) - 16.0)


def contrast(one: object, other: object) -> float:
    """Return the contrast ratio of two sRGB colours (WCAG 2.1, 1 to 21)."""
    light, dark = sorted((float(linear(c) @ _LUMINANCE) for c in (one, other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)
