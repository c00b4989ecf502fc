"""Small flat patches of a site, and what they are mirrored in planes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from core.site.mirror import Mirror


@dataclass(frozen=True, slots=True)
class Patchwork:
    """Patches in the site frame: centres (n, 3), directions (d, 3) of all, half-side and radius."""

    centre: NDArray[np.float64]
    directions: NDArray[np.float64]
    half: float
    radius: float

    def part(self, rows: NDArray[np.intp]) -> Patchwork:
        """Return some of the patches."""
        return Patchwork(self.centre[rows], self.directions, self.half, self.radius)


def mirrored(planes: Sequence[Mirror], places: Patchwork) -> Patchwork:
    """Return patches mirrored in planes that a wave meets in this order on its way to them.

    Parameters
    ----------
    planes : sequence of Mirror
        From the antenna to the place.
    places : Patchwork
        The patches, in the site frame.
    """
    centre, directions = places.centre, places.directions
    for plane in reversed(planes):
        centre = np.asarray(plane.mirrored(centre), dtype=np.float64)
        directions = plane.turned(directions)
    return Patchwork(centre, directions, places.half, places.radius)
