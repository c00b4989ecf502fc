"""Radiation envelopes of dishes: ITU-R F.699 and the FCC's limits for fixed links."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from core.patterns.model import wrap
from core.units import wavelength

Array = NDArray[np.float64]

LOWEST, HIGHEST, SMALLEST_SIZE = 0.1e9, 70e9, 0.63
"""What Recommendation ITU-R F.699 covers: Hz, and the least diameter in wavelengths."""
MAIN_LOBE = 0.0025
"""Fall of the main lobe, dB for each (degree times diameter in wavelengths) squared, ITU-R F.699-7."""

_EDGES = np.array([5.0, 10.0, 15.0, 20.0, 30.0, 100.0, 140.0])
_SUPPRESSION = {
    "A": np.array([0.0, 25.0, 29.0, 33.0, 36.0, 42.0, 55.0, 55.0]),
    "B": np.array([0.0, 20.0, 24.0, 28.0, 32.0, 35.0, 36.0, 36.0]),
}


def f699_dish(
    off_axis: ArrayLike, *, diameter: float, frequency: float, gain: float | None = None
) -> Array:
    """Return the peak side-lobe envelope of a dish in dBi, ITU-R F.699-7.

    Parameters
    ----------
    off_axis : array_like
        Angle from the beam axis in degrees.
    diameter, frequency : float
        m and Hz, 0.1 to 70 GHz.
    gain : float or None
        dBi; ``20 log10(D/wavelength) + 7.7`` if not known.

    Raises
    ------
    ValueError
        Outside the recommendation's range of frequency or of diameter in wavelengths.

    Notes
    -----
    For D of at most 100 wavelengths the ends of the plateau and of the slope follow from
    continuity. Holds beyond about ``2 D^2 / wavelength`` only.
    """
    main, bend, edge = f699_edges(diameter=diameter, frequency=frequency, gain=gain)
    size = diameter / wavelength(frequency)
    angle = np.abs(wrap(off_axis))
    peak, plateau = _peak(size, gain), _plateau(size)
    drop = 25.0 * np.log10(np.maximum(angle, 1e-3))
    if size > 100.0 and frequency >= 1e9:
        slope, back = 32.0 - drop, -10.0
    elif frequency >= 1e9:
        slope, back = 52.0 - 10.0 * np.log10(size) - drop, 10.0 - 10.0 * np.log10(size)
    else:
        slope, back = 52.0 - 10.0 * np.log10(size) - drop, -2.0 - 5.0 * np.log10(size)
    return np.select(
        [angle < main, angle < bend, angle < edge],
        [peak - MAIN_LOBE * (angle * size) ** 2, np.full_like(angle, plateau), slope],
        back,
    )


def f699_edges(
    *, diameter: float, frequency: float, gain: float | None = None
) -> tuple[float, float, float]:
    """Return the angles in degrees at which main lobe, plateau and slope of :func:`f699_dish` end.

    Parameters
    ----------
    diameter : float
        m.
    frequency : float
        Hz.
    gain : float or None
        dBi.

    Raises
    ------
    ValueError
        As :func:`f699_dish`.
    """
    size = diameter / wavelength(frequency)
    if not LOWEST <= frequency <= HIGHEST or size <= SMALLEST_SIZE:
        raise ValueError("F.699 covers 0.1 to 70 GHz and dishes over 0.63 wavelengths")
    main = float(np.sqrt(max(_peak(size, gain) - _plateau(size), 0.0) / MAIN_LOBE) / size)
    large = size > 100.0 and frequency >= 1e9
    bend = 15.85 * size**-0.6 if large else 100.0 / size
    return main, bend, 48.0 if frequency >= 1e9 else 144.5 * size**-0.2


def _peak(size: float, gain: float | None) -> float:
    return float(20.0 * np.log10(size) + 7.7) if gain is None else gain


def _plateau(size: float) -> float:
    return float(2.0 + 15.0 * np.log10(size))


def fcc_fixed_link(off_axis: ArrayLike, *, gain: float, category: str = "B") -> Array:
    """Return the highest level in dBi the FCC allows a fixed-link antenna off its axis.

    47 CFR 74.536 (17.7 to 19.7 GHz) and 47 CFR 30.406 (38.6 to 40 GHz) state the same minimum
    suppressions. Inside 5 degrees nothing is guaranteed, so the full gain stands. A licensed dish
    of which nothing else is known may be taken as category B.
    """
    suppression = _SUPPRESSION[category]
    return gain - suppression[np.searchsorted(_EDGES, np.abs(wrap(off_axis)), side="left")]
