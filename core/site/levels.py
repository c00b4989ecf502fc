"""How strongly an antenna looks in each direction at the most: for images that need no field of their own.

The strongest wave towards an elevation, whatever the azimuth, and towards an azimuth, whatever the elevation, over all
distances; the smaller of both is no lower than the field of the kind but for what lies between the directions looked
at, and every value is the largest of its neighbours'. In the antenna's frame.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from core.antennas.base import Kind
from core.arrays import Floats, Points
from core.units import wavelength

_FINE = np.arange(-20.0, 20.1, 2.0)
_COARSE = np.arange(25.0, 90.1, 5.0)
ELEVATIONS = np.radians(np.concatenate([-_COARSE[::-1], _FINE, _COARSE]))
"""From straight down to straight up, rad; finer about the level, where beams are narrow."""
AZIMUTHS = np.radians(np.arange(0.0, 180.1, 10.0))
"""Off the boresight to either side, rad."""
_TIMES = (1.0, 6.0)
"""Distances in lengths of the antenna and wavelengths; and in the far field, from twice its square over the wavelength
on."""


@dataclass(frozen=True, eq=False, slots=True)
class Levels:
    """The strongest waves in W/sr for 1 W, near fields as far ones.

    Attributes
    ----------
    by_elevation : array
        At :data:`ELEVATIONS`, whatever the azimuth.
    by_azimuth : array
        At :data:`AZIMUTHS`, whatever the elevation.
    """

    by_elevation: Floats
    by_azimuth: Floats

    def towards(self, local: Points) -> Floats:
        """Return the level (n,) towards points (n, 3) in the antenna's frame."""
        elevation, azimuth = directions(local)
        up = np.interp(elevation, ELEVATIONS, self.by_elevation)
        across = np.interp(azimuth, AZIMUTHS, self.by_azimuth)
        level: Floats = np.minimum(up, across).astype(local.dtype)
        return level

    def within(
        self, elevation: tuple[Floats, Floats], azimuth: tuple[Floats, Floats]
    ) -> tuple[Floats, Floats]:
        """Return the least and the largest level (n,) over ranges of elevation and azimuth, rad."""
        low, high = zip(
            _range(ELEVATIONS, self.by_elevation, *elevation),
            _range(AZIMUTHS, self.by_azimuth, *azimuth),
            strict=True,
        )
        return np.minimum(*low), np.minimum(*high)


def directions(local: Points) -> tuple[Floats, Floats]:
    """Return elevation and azimuth off the boresight (n,), rad, of points (n, 3) in the antenna's frame."""
    flat = np.hypot(local[:, 0], local[:, 1])
    elevation: Floats = np.arctan2(local[:, 2], flat)
    azimuth: Floats = np.arctan2(np.abs(local[:, 1]), local[:, 0])
    return elevation, azimuth


def _range(nodes: Floats, values: Floats, low: Floats, high: Floats) -> tuple[Floats, Floats]:
    """Return the least and the largest of a piecewise linear function over ranges (n,)."""
    ends = np.stack([np.interp(low, nodes, values), np.interp(high, nodes, values)])
    inside = (nodes > low[:, None]) & (nodes < high[:, None])
    least = np.where(inside, values, np.inf).min(axis=1)
    most = np.where(inside, values, -np.inf).max(axis=1)
    return np.minimum(ends.min(axis=0), least), np.maximum(ends.max(axis=0), most)


@lru_cache(maxsize=256)
def levels(kind: Kind, frequency: float, *, conservative: bool) -> Levels:
    """Return the levels of a kind at a frequency.

    Parameters
    ----------
    kind : Kind
        The kind.
    frequency : float
        Hz.
    conservative : bool
        With the printed floors and decibels; else the best estimate.
    """
    turn = np.concatenate([-AZIMUTHS[-2:0:-1], AZIMUTHS])
    c, s = np.cos(ELEVATIONS)[:, None], np.sin(ELEVATIONS)[:, None]
    ways = np.stack(
        [c * np.cos(turn), c * np.sin(turn), np.broadcast_to(s, (len(s), len(turn)))], axis=2
    )
    ways = ways.reshape(-1, 3)
    lam = wavelength(frequency)
    size = float(np.ptp(kind.outline(frequency).reshape(-1, 3), axis=0).max())
    far = 2.0 * size**2 / lam
    most = np.zeros(len(ways))
    for away in (*(t * (size + lam) for t in _TIMES), 10.0 * far + 100.0 * lam):
        unit = kind.unit_field(away * ways, frequency, conservative=conservative)
        most = np.maximum(most, np.where(unit.reactive, 0.0, unit.power_density * away**2))
    table = most.reshape(len(ELEVATIONS), len(turn))
    # To the left as to the right, whichever is more.
    middle = len(AZIMUTHS) - 2
    right = table[:, middle:]
    left = np.column_stack([right[:, 0], table[:, :middle][:, ::-1], right[:, -1]])
    both = np.maximum(right, left)
    return Levels(_widened(both.max(axis=1)), _widened(both.max(axis=0)))


def _widened(values: Floats) -> Floats:
    """Return the largest of each value and its neighbours."""
    padded = np.pad(values, 1, mode="edge")
    widest: Floats = np.maximum(np.maximum(padded[:-2], padded[1:-1]), padded[2:])
    return widest
