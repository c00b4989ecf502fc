"""How strongly an antenna looks in each direction at the most: for images that need no field of their own.

Roots of W/sr for 1 W, near fields as far ones.

The strongest wave towards an elevation, whatever the azimuth, and towards an azimuth, whatever the elevation, over all
distances; the smaller of both is no lower than the field of the kind but for what lies between the directions looked
at, and every value is the largest of its neighbours'. In the antenna's frame.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from core.antennas.base import Kind
from core.arrays import Bools, Floats, Points
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


@dataclass(frozen=True, eq=False)
class Levels:
    """Roots of the strongest waves.

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
        """Return the level (n,), root of W/sr for 1 W, towards points (n, 3) in the antenna's frame, m."""
        elevation, azimuth = directions(local)
        up = np.interp(elevation, ELEVATIONS, self.by_elevation)
        across = np.interp(azimuth, AZIMUTHS, self.by_azimuth)
        level: Floats = np.minimum(up, across).astype(local.dtype)
        return level

    def ranges(
        self, elevation: tuple[Floats, Floats], azimuth: tuple[Floats, Floats]
    ) -> tuple[Range, Range]:
        """Return both tables over ranges of elevation and azimuth.

        Parameters
        ----------
        elevation, azimuth : tuple of two arrays, shape (n,)
            Least and largest, rad.
        """
        return (
            _range(ELEVATIONS, self.by_elevation, *elevation),
            _range(AZIMUTHS, self.by_azimuth, *azimuth),
        )


@dataclass(frozen=True, slots=True)
class Range:
    """A table over ranges (n,): its least and largest value, its largest slope, and whether it bends down there."""

    least: Floats
    most: Floats
    slope: Floats
    bends: Bools


def directions(local: Points) -> tuple[Floats, Floats]:
    """Return elevation and azimuth off the boresight (n,), rad.

    Parameters
    ----------
    local : array, shape (n, 3)
        Points in the antenna's frame, m.
    """
    flat = np.hypot(local[:, 0], local[:, 1])
    elevation: Floats = np.arctan2(local[:, 2], flat)
    azimuth: Floats = np.arctan2(np.abs(local[:, 1]), local[:, 0])
    return elevation, azimuth


def _range(nodes: Floats, values: Floats, low: Floats, high: Floats) -> Range:
    """Return a piecewise linear function over ranges (n,); past its ends it is level."""
    ends = np.stack([np.interp(low, nodes, values), np.interp(high, nodes, values)])
    inside = (nodes > low[:, None]) & (nodes < high[:, None])
    least = np.where(inside, values, np.inf).min(axis=1)
    most = np.where(inside, values, -np.inf).max(axis=1)
    slopes = np.concatenate([[0.0], np.diff(values) / np.diff(nodes), [0.0]])
    first = np.searchsorted(nodes, low, side="right")
    last = np.searchsorted(nodes, high, side="left")
    number = np.arange(len(slopes))
    met = (number >= first[:, None]) & (number <= last[:, None])
    downward: Bools = np.asarray((inside & (np.diff(slopes) < 0.0)).any(axis=1))
    return Range(
        np.minimum(ends.min(axis=0), least),
        np.maximum(ends.max(axis=0), most),
        np.where(met, np.abs(slopes), 0.0).max(axis=1),
        downward,
    )


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
    roots = np.sqrt(both)
    return Levels(_widened(roots.max(axis=1)), _widened(roots.max(axis=0)))


def _widened(values: Floats) -> Floats:
    """Return the largest of each value and its neighbours."""
    padded = np.pad(values, 1, mode="edge")
    widest: Floats = np.maximum(np.maximum(padded[:-2], padded[1:-1]), padded[2:])
    return widest
