"""What of a site is seen: one scale of length for all maps, and the middle of each. Frozen values, no Qt."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

Place = tuple[float, float]
Box = tuple[float, float, float, float]
"""Left, low, right, high in m."""
Size = tuple[float, float]
"""Width and height of a map in pixels of the desktop."""

CLOSEST, FARTHEST_OUT = 0.0004, 25.0
"""m a pixel: a centimetre is 25 pixels wide, or 10 km are 400."""

_WITHIN = 50_000.0
"""m: no map is moved farther from the datum than this."""

_ROOM = 1.06
"""What is fitted leaves this much room around itself."""

STEP = 1.25
"""How much one key or one notch of the wheel changes the scale."""


@dataclass(frozen=True, slots=True)
class Camera:
    """The scale of all maps, m a pixel, and by the name of each map the place in its middle.

    Places are coordinates of the map's view, m. Whatever moves one map leaves the middles of the others; a
    change of scale changes all.
    """

    scale: float = 0.1
    middles: Mapping[str, Place] = field(default_factory=dict)

    def middle(self, name: str) -> Place:
        """Return the place in the middle of a map."""
        return self.middles.get(name, (0.0, 0.0))

    def bounds(self, name: str, size: Size) -> Box:
        """Return what a map of a size shows."""
        u, v = self.middle(name)
        across, up = (0.5 * self.scale * max(side, 1.0) for side in size)
        return u - across, v - up, u + across, v + up

    def at(self, name: str, middle: Place) -> Camera:
        """Return the camera with another place in the middle of one map."""
        u, v = (min(max(c, -_WITHIN), _WITHIN) for c in middle)
        return replace(self, middles={**self.middles, name: (u, v)})

    def panned(self, name: str, right: float, up: float) -> Camera:
        """Return the camera moved over one map by metres."""
        u, v = self.middle(name)
        return self.at(name, (u + right, v + up))

    def zoomed(self, name: str, about: Place, closer: float) -> Camera:
        """Return the camera so many times closer; what is at ``about`` on one map stays where it is."""
        scale = min(max(self.scale / closer, CLOSEST), FARTHEST_OUT)
        kept = scale / self.scale
        u, v = self.middle(name)
        moved = about[0] + (u - about[0]) * kept, about[1] + (v - about[1]) * kept
        return replace(self.at(name, moved), scale=scale)


def fitted(boxes: Mapping[str, Box], sizes: Mapping[str, Size]) -> Camera:
    """Return the closest camera that shows a box on each map whole."""
    scale, middles = CLOSEST, {}
    for name, (left, low, right, high) in boxes.items():
        width, height = (max(side, 1.0) for side in sizes[name])
        scale = max(scale, _ROOM * (right - left) / width, _ROOM * (high - low) / height)
        middles[name] = (left + right) / 2.0, (low + high) / 2.0
    return Camera(min(scale, FARTHEST_OUT), middles)


_LONGEST = 100


@dataclass(frozen=True, slots=True)
class Trail:
    """Where the camera was before each movement, the newest last."""

    past: tuple[Camera, ...] = ()

    def after(self, camera: Camera) -> Trail:
        """Return the trail with one more place that was left."""
        return Trail((*self.past, camera)[-_LONGEST:])

    def back(self) -> tuple[Camera | None, Trail]:
        """Return where the camera was before, None at the beginning, and the trail without it."""
        return (self.past[-1], Trail(self.past[:-1])) if self.past else (None, self)
