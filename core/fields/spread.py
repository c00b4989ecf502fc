"""The isotropic value near an antenna: its power sent out evenly from a line as long as the antenna.

    S = P/(4π d (d + L/6)),   d = distance to the line

Far out this is P/(4π r²). Beside the middle of the line the exact mean of 1/(4π r²) over it is within 0.3 dB from half
a length outward; nearer and off the ends this is larger, by up to 3 dB. It is only a floor under nulls.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from core.arrays import Floats, Points
from core.fields.unit_field import UnitField, plane_wave


@dataclass(frozen=True, slots=True)
class Spread:
    """A line in an antenna's frame along z, from ``low`` to ``high`` (m); ``least`` is the nearest it is taken."""

    low: float
    high: float
    least: float

    @property
    def sixth(self) -> float:
        """A sixth of its length, m."""
        return (self.high - self.low) / 6.0

    def distance(self, points: Points) -> Floats:
        """Return the distance (n,) of points (n, 3) in the antenna's frame from the line, m."""
        off = points[:, 2] - np.clip(points[:, 2], self.low, self.high)
        away: Floats = np.sqrt(points[:, 0] ** 2 + points[:, 1] ** 2 + off**2)
        return away

    def density(self, distance: Floats) -> Floats:
        """Return S (n,) for 1 W at distances (n,) from the line, W/m²."""
        d = np.maximum(distance, distance.dtype.type(self.least))
        value: Floats = 1.0 / (4.0 * np.pi * d * (d + distance.dtype.type(self.sixth)))
        return value

    def under(self, field: UnitField, points: Points, share: float) -> UnitField:
        """Return a field that is not below a share of the isotropic value at points (n, 3)."""
        if share <= 0.0:
            return field
        floor = self.density(self.distance(points)) * points.dtype.type(share)
        e2, h2 = plane_wave(floor)
        return UnitField(
            np.maximum(field.e2, e2), np.maximum(field.h2, h2), field.reactive, field.model
        )
