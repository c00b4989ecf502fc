"""Sector and array patterns of 3GPP reports and ITU-R M.2101. Levels in dBi, angles in degrees."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from core.patterns.model import wrap

Array = NDArray[np.float64]


def _parabola(angle: Array, width: float, limit: float) -> Array:
    """Return ``min[12 (angle / width)^2, limit]``, the loss shared by all the 3GPP forms."""
    return np.minimum(12.0 * (angle / width) ** 2, limit)


def tr25996_sector(
    azimuth: ArrayLike, *, gain: float = 14.0, width: float = 70.0, limit: float = 20.0
) -> Array:
    """Return the sector pattern of 3GPP TR 25.996 (figures from memory).

    Three-sector sites as preset; six-sector sites: 17 dBi, 35 degrees, 23 dB. It has no vertical
    shape: with nothing added it means full gain straight down.

    Parameters
    ----------
    azimuth : array_like
        Degrees clockwise.
    width : float
        Half-power width in azimuth, degrees.
    limit : float
        Largest attenuation, dB.
    """
    return gain - _parabola(wrap(azimuth), width, limit)


def tr36814_sector(
    azimuth: ArrayLike,
    elevation: ArrayLike,
    *,
    gain: float = 14.0,
    tilt: float = 15.0,
    width: float = 70.0,
    limit: float = 25.0,
    vertical_width: float = 10.0,
    vertical_limit: float = 20.0,
) -> Array:
    """Return the sector pattern of 3GPP TR 36.814 Table A.2.1.1-2 (width, limit, tilt from memory).

    ``tilt`` is electrical, positive down: 15 degrees for sites 500 m apart, 6 for 1732 m.

    Parameters
    ----------
    azimuth : array_like
        Degrees clockwise.
    elevation : array_like
        Degrees up.
    gain : float
        dBi.
    vertical_width : float
        Half-power width in elevation, degrees.
    vertical_limit : float
        Largest attenuation in elevation, dB.
    """
    across = _parabola(wrap(azimuth), width, limit)
    below = -np.asarray(elevation, dtype=np.float64) - tilt
    return gain - np.minimum(across + _parabola(below, vertical_width, vertical_limit), limit)


def tr38901_element(
    azimuth: ArrayLike,
    elevation: ArrayLike,
    *,
    gain: float = 8.0,
    width: float = 65.0,
    limit: float = 30.0,
    vertical_width: float = 65.0,
    vertical_limit: float = 30.0,
) -> Array:
    """Return the element pattern of 3GPP TR 38.901 Table 7.3-1.

    Indoor set: 5 dBi, both widths 90 degrees, both limits 25 dB. Integration gives the preset
    element 9.8 dBi of directivity, so its 8 dBi include losses.

    Parameters
    ----------
    azimuth : array_like
        Degrees clockwise.
    elevation : array_like
        Degrees up.
    gain : float
        dBi.
    vertical_width : float
        Half-power width in elevation, degrees.
    vertical_limit : float
        Largest attenuation in elevation, dB.
    """
    across = _parabola(wrap(azimuth), width, limit)
    up = _parabola(np.asarray(elevation, dtype=np.float64), vertical_width, vertical_limit)
    return gain - np.minimum(across + up, limit)


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanarArray:
    """A steered panel of equal elements: spacings in wavelengths, element as TR 38.901."""

    rows: int = 8
    columns: int = 8
    row_spacing: float = 0.7
    column_spacing: float = 0.5
    element_gain: float = 6.4
    width: float = 90.0
    vertical_width: float = 65.0
    limit: float = 30.0
    vertical_limit: float = 30.0
    correlation: float = 1.0

    def element(self, azimuth: ArrayLike, elevation: ArrayLike) -> Array:
        """Return the level of one element in dBi."""
        return tr38901_element(
            azimuth,
            elevation,
            gain=self.element_gain,
            width=self.width,
            limit=self.limit,
            vertical_width=self.vertical_width,
            vertical_limit=self.vertical_limit,
        )

    def factor(
        self, azimuth: ArrayLike, elevation: ArrayLike, beam_azimuth: float, beam_elevation: float
    ) -> Array:
        """Return the array's power gain over one element, linear."""
        up = np.radians(np.asarray(elevation, dtype=np.float64))
        across = np.radians(np.asarray(azimuth, dtype=np.float64))
        tilt, pan = np.radians(-beam_elevation), np.radians(beam_azimuth)
        rise = self.row_spacing * (np.sin(up) + np.sin(tilt))
        side = self.column_spacing * (np.cos(up) * np.sin(across) - np.cos(tilt) * np.sin(pan))
        total = (_row(rise, self.rows) * _row(side, self.columns)) ** 2
        gain = total / (self.rows * self.columns)
        return np.asarray(1.0 + self.correlation * (gain - 1.0))


def _row(turns: Array, count: int) -> Array:
    """Return ``|sum of exp(j 2 pi n turns)|`` over ``count`` elements."""
    half = np.pi * turns
    below = np.sin(half)
    flat = np.abs(below) < 1e-9
    return np.abs(np.where(flat, count, np.sin(count * half) / np.where(flat, 1.0, below)))


def m2101_array(
    azimuth: ArrayLike,
    elevation: ArrayLike,
    array: PlanarArray,
    *,
    beam_azimuth: float = 0.0,
    beam_elevation: float = 0.0,
) -> Array:
    """Return one beam of a planar array, ITU-R M.2101 (also 3GPP TR 37.840), in dBi.

    A single beam does not bound the exposure of a steered antenna: see :func:`m2101_envelope`.

    Parameters
    ----------
    azimuth : array_like
        Degrees clockwise.
    elevation : array_like
        Degrees up.
    beam_azimuth : float
        Where the beam points, degrees clockwise.
    beam_elevation : float
        Where the beam points, degrees up.
    """
    factor = array.factor(azimuth, elevation, beam_azimuth, beam_elevation)
    return array.element(azimuth, elevation) + 10.0 * np.log10(np.maximum(factor, 1e-20))


def m2101_envelope(
    azimuth: ArrayLike,
    elevation: ArrayLike,
    array: PlanarArray,
    *,
    beam_azimuths: ArrayLike,
    beam_elevations: ArrayLike,
) -> Array:
    """Return the largest level over all pairs of beam directions, in dBi.

    Steps between beams of at most half a beam width keep the dips between them under 1 dB. At the
    full transmit power this is a first bound: power is shared between beams.

    Parameters
    ----------
    azimuth : array_like
        Degrees clockwise.
    elevation : array_like
        Degrees up.
    array : PlanarArray
        The array.
    beam_azimuths : array_like
        Where the beams point, degrees clockwise.
    beam_elevations : array_like
        Where the beams point, degrees up.
    """
    best = np.asarray(0.0)
    for up in np.atleast_1d(np.asarray(beam_elevations, dtype=np.float64)):
        for across in np.atleast_1d(np.asarray(beam_azimuths, dtype=np.float64)):
            best = np.maximum(best, array.factor(azimuth, elevation, float(across), float(up)))
    best = np.maximum(best, 1e-20)
    return np.asarray(array.element(azimuth, elevation) + 10.0 * np.log10(best))
