"""How the camera is moved: by wheel, hand and keys, to all, to what is selected, to a place, and back."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

import shapely
from PySide6.QtCore import QObject, QTimer, Signal

from app.modes.camera import STEP, Box, Camera, Trail, fitted
from app.window.pane import Pane
from app.window.planes import seen_at
from app.window.scene import Scene
from core.limits.tier import Tier
from core.zones.site_zones import SiteZones

_STILL = 110
"""Milliseconds without movement after which a map is drawn sharp."""

_LEAST_REACH = 1.0
"""m about an antenna or a pin that is fitted, at least."""


class Steering(QObject):
    """Says where the camera goes; whoever owns the scene moves it there.

    ``moved`` carries the camera and whether it shows all of the site; ``still`` comes when it has stood for a
    moment.
    """

    moved = Signal(object, bool)
    still = Signal()

    def __init__(self, panes: Sequence[Pane], scene: Callable[[], Scene]) -> None:
        super().__init__()
        self.panes = {pane.name: pane for pane in panes}
        self._scene = scene
        self.trail = Trail()
        self._timer = QTimer(self, singleShot=True, interval=_STILL)
        self._timer.timeout.connect(self.still)
        for pane in panes:
            pane.zoomed.connect(self._zoomed)
            pane.panned.connect(self._panned)
            pane.resized.connect(self._resized)

    @property
    def is_moving(self) -> bool:
        """Whether the maps wait to be drawn sharp."""
        return self._timer.isActive()

    def _to(self, camera: Camera, *, all_of_it: bool = False, noted: bool = True) -> None:
        now = self._scene().camera
        if noted and camera != now and not self.is_moving:
            self.trail = self.trail.after(now)
        self._timer.start()
        self.moved.emit(camera, all_of_it)

    def _zoomed(self, pane: Pane, u: float, v: float, closer: float) -> None:
        self._to(self._scene().camera.zoomed(pane.name, (u, v), closer))

    def _panned(self, pane: Pane, right: float, up: float) -> None:
        self._to(self._scene().camera.panned(pane.name, right, up))

    def _resized(self) -> None:
        scene = self._scene()
        self._to(self.all_of(scene) if scene.fitted else scene.camera,
                 all_of_it=scene.fitted, noted=False)  # fmt: skip

    def zoom(self, notches: int) -> None:
        """Go closer to the middle of the map that has the keys, or away from it."""
        pane = next((p for p in self.panes.values() if p.canvas.hasFocus()), None)
        pane = pane or next(iter(self.panes.values()))
        camera = self._scene().camera
        at = pane.canvas.cross or camera.middle(pane.name)
        self._to(camera.zoomed(pane.name, at, STEP**notches))

    def show_all(self) -> None:
        """Show all of the site on every map."""
        self._to(self.all_of(self._scene()), all_of_it=True)

    def all_of(self, scene: Scene) -> Camera:
        """Return the camera that shows all of a site."""
        boxes = {name: pane.plane.whole(scene).bounds for name, pane in self.panes.items()}
        return fitted(boxes, self._sizes())

    def sees_all(self, scene: Scene) -> bool:
        """Return whether nothing of a site lies outside the maps."""
        for pane in self.panes.values():
            (a0, b0, a1, b1), (u0, v0, u1, v1) = (
                pane.view(scene).bounds, pane.plane.whole(scene).bounds
            )  # fmt: skip
            if a0 > u0 or b0 > v0 or a1 < u1 or b1 < v1:
                return False
        return True

    def show_selection(self, zones: Mapping[str, SiteZones] | None = None) -> None:
        """Show the selected antenna, else the pin, so large that the zone of the tier about it fills a map."""
        scene = self._scene()
        place = selected_place(scene)
        if place is None:
            return
        boxes: dict[str, Box] = {}
        for name, pane in self.panes.items():
            at = seen_at(pane.plane, scene, place)
            across, up = _zone_reach((zones or {}).get(name), scene.look.tier, at)
            boxes[name] = at[0] - across, at[1] - up, at[0] + across, at[1] + up
        self._to(fitted(boxes, self._sizes()))

    def centre(self, place: tuple[float, float, float]) -> None:
        """Put a place of the site into the middle of every map; the scale stays."""
        scene = self._scene()
        camera = scene.camera
        for name, pane in self.panes.items():
            camera = camera.at(name, seen_at(pane.plane, scene, place))
        self._to(camera)

    def back(self) -> None:
        """Show what was seen before the last movement."""
        camera, self.trail = self.trail.back()
        if camera is not None:
            self._to(camera, noted=False)

    def forget(self) -> None:
        """Forget where the camera was: another site is shown."""
        self.trail = Trail()

    def stop(self) -> None:
        """Move nothing any more: what is seen is drawn anew without it, or nothing is seen any longer."""
        self._timer.stop()

    def _sizes(self) -> dict[str, tuple[float, float]]:
        return {name: pane.canvas.size_now for name, pane in self.panes.items()}


def selected_place(scene: Scene) -> tuple[float, float, float] | None:
    """Return where the selected antenna is, else the pin."""
    for antenna in scene.site.antennas:
        if antenna.name == scene.selected:
            return antenna.position
    return scene.pin.place if scene.pin else None


def _zone_reach(
    zones: SiteZones | None, tier: Tier, at: tuple[float, float]
) -> tuple[float, float]:
    """Return how far across and up the piece of a tier's zone about a place reaches from it, a metre at least.

    It holds the place, or is within a metre of it.
    """
    spot = shapely.Point(at)
    steps = () if zones is None else zones.zones
    region = next((zone.region for step, zone in steps if step.key == tier), None)
    pieces = [] if region is None else [p for p in region.geoms if p.distance(spot) < 1.0]
    if not pieces:
        return _LEAST_REACH, _LEAST_REACH
    left, low, right, high = min(pieces, key=lambda p: p.area).bounds
    return (
        max(at[0] - left, right - at[0], _LEAST_REACH),
        max(at[1] - low, high - at[1], _LEAST_REACH),
    )
