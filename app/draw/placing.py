"""Where antennas are in a view, and the small words of a map."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from core.geometry import bearing
from core.site.site import Antenna, Site
from core.views.views import ElevationView, View

IN_PLANE = 1.0
"""m: an antenna farther off the shown plane is drawn hollow and its distance said."""

_NICE = (1.0, 2.0, 5.0)
_LONG = 16
"""Characters of a note that takes up to half of a map's width."""


def compass(azimuth: float) -> str:
    """Return the compass word of an azimuth: N, NE, E ..."""
    words = ("N", "NE", "E", "SE", "S", "SW", "W", "NW")
    return words[round(azimuth / 45.0) % 8]


def beside(site: Site, antenna: Antenna, view: View) -> float:
    """Return how far an antenna is off the shown plane, m; 0 on a plan that follows the surfaces.

    On a plan at a fixed height an antenna that reaches through the plane is in it.
    """
    outline = antenna.kind.outline(antenna.carriers[0].frequency) @ site.frame_of(antenna).T
    if isinstance(view, ElevationView):
        east, north = bearing(view.azimuth)
        x, y = antenna.position[0] - view.origin[0], antenna.position[1] - view.origin[1]
        across = outline[..., 0] * north - outline[..., 1] * east
        return _gap(
            x * north - y * east + float(across.min()), x * north - y * east + float(across.max())
        )
    if view.height.above_surface:
        return 0.0
    z = antenna.position[2] - view.height.metres
    return _gap(z + float(outline[..., 2].min()), z + float(outline[..., 2].max()))


def _gap(low: float, high: float) -> float:
    return low if low > 0 else high if high < 0 else 0.0


def numbers(members: Sequence[int]) -> str:
    """Return antenna numbers as people write them: ``1``, ``2, 5``, ``1 to 4``."""
    ones = [m + 1 for m in members]
    if len(ones) > 2 and ones == list(range(ones[0], ones[-1] + 1)):
        return f"{ones[0]} to {ones[-1]}"
    return ", ".join(str(n) for n in ones)


def leftwards(text: str, u: float, limits: tuple[float, float]) -> bool:
    """Return whether a note at ``u`` is written leftwards to stay within a map's ``limits``."""
    low, high = limits
    return u > low + (0.5 if len(text) > _LONG else 0.72) * (high - low)


def antenna_metal(site: Site, antenna: Antenna, view: View) -> list[np.ndarray]:
    """Return the antenna's metal as segments (2, 2) in view coordinates."""
    frequency = antenna.carriers[0].frequency
    local = antenna.kind.outline(frequency)
    placed = local @ site.frame_of(antenna).T + np.array(antenna.position)
    return list(view.to_view(placed.reshape(-1, 3)).reshape(-1, 2, 2))


def nice_length(length: float) -> float:
    """Return the largest 1, 2 or 5 times a power of ten that is not over ``length``."""
    power = 10.0 ** np.floor(np.log10(length))
    return float(max(step * power for step in _NICE if step * power <= length * (1 + 1e-9)))
