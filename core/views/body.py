"""The body as a column of heights."""

from __future__ import annotations

from dataclasses import dataclass, replace

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
        return f"{rule} over the whole body, {low:g} m to {high:g} m"


STANDING = Body(tuple(np.round(np.arange(0.0, 2.01, 0.25), 2).tolist()))


CLIMBING = Body(tuple(np.round(np.arange(-1.0, 1.01, 0.25), 2).tolist()))


POINT = Body((0.0,))


FINEST = 4
"""Halvings of a column's step at most: 16 mm."""


def resolved(body: Body, narrowest: float) -> Body:
    """Return a body with as many heights as a beam asks for that is ``narrowest`` m from edge to edge.

    A beam whose edge is at a tenth of its power lies within 0.5 dB of its peak at the nearest of heights a
    quarter of its size apart (own evaluation). A single point stays one.

    Parameters
    ----------
    narrowest : float
        m, or inf.
    """
    count = len(body.heights)
    if count < 2:
        return body
    low, high = min(body.heights), max(body.heights)
    step = (high - low) / (count - 1)
    halvings = 0
    while halvings < FINEST and step > 0.25 * narrowest * (1.0 + 1e-9):
        step, halvings = step / 2.0, halvings + 1
    if not halvings:
        return body
    return replace(
        body, heights=tuple(np.linspace(low, high, (count - 1) * 2**halvings + 1).tolist())
    )


def column(points: Points, body: Body) -> Points:
    """Return the points (n × heights, 3) of body columns that start at points (n, 3)."""
    rise = np.zeros((len(body.heights), 3), points.dtype)
    rise[:, 2] = body.heights
    out: Points = (points[:, None, :] + rise).reshape(-1, 3)
    return out
