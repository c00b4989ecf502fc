"""The body as a column of heights."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from core.arrays import Points


@dataclass(frozen=True, slots=True)
class Body:
    """The column of heights (m, from the point given) over which a body is exposed.

    ``average`` takes the mean of the fractions, where the table allows it; otherwise the height with
    the largest total counts.
    """

    heights: tuple[float, ...]
    average: bool = False

    @property
    def words(self) -> str:
        """How the column was used, in one phrase."""
        low, high = min(self.heights), max(self.heights)
        rule = "spatial average" if self.average else "spatial peak"
        return f"{rule} over a body column from {low:g} to {high:g} m ({len(self.heights)} heights)"


STANDING = Body(tuple(np.round(np.arange(0.0, 2.01, 0.25), 2).tolist()))


CLIMBING = Body(tuple(np.round(np.arange(-1.0, 1.01, 0.25), 2).tolist()))


POINT = Body((0.0,))


def column(points: Points, body: Body) -> Points:
    """Return the points (n × heights, 3) of body columns that start at points (n, 3)."""
    rise = np.zeros((len(body.heights), 3), points.dtype)
    rise[:, 2] = body.heights
    out: Points = (points[:, None, :] + rise).reshape(-1, 3)
    return out
