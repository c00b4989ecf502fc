"""What the main lobe of a pattern says of the antenna's length."""

from __future__ import annotations

import numpy as np

from core.caches import kept
from core.patterns.model import Pattern

_UNIFORM = 0.886
"""Half-power width in rad times the length in wavelengths of an evenly fed line (textbook, from memory)."""


def uniform_length(pattern: Pattern, lam: float) -> float:
    """Return the length in m of an evenly fed line with the half-power width of the main lobe in elevation.

    Parameters
    ----------
    pattern : Pattern
        The 3-D pattern.
    lam : float
        Wavelength, m.
    """
    return _UNIFORM * lam / float(np.radians(_elevation_width(pattern)))


@kept
def _elevation_width(pattern: Pattern) -> float:
    """Return the half-power width in degrees of the main lobe in the elevation plane it lies in."""
    table = pattern.table
    column = int(np.unravel_index(int(np.argmax(table)), table.shape)[1])
    up = np.arange(-90.0, 90.05, 0.1)
    power = np.interp(up, pattern.elevation, 10.0 ** (table[:, column] / 10.0))
    top = int(np.argmax(power))
    under = power < 0.5 * power[top]
    below = np.flatnonzero(under[:top])
    above = np.flatnonzero(under[top:])
    low = up[below[-1]] if below.size else -90.0
    high = up[top + above[0]] if above.size else 90.0
    return float(high - low)
