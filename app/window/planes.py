"""The flat pieces of a site that a pane can show: what is seen of a scene, and what a click there means. No Qt.

A pane needs no more than one of these: another kind of pane is another class here.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Protocol

import numpy as np

from app.modes.camera import Place, Size
from app.window.scene import Pin, Scene
from core.arrays import Floats
from core.geometry import bearing
from core.site.surfaces import standing_on
from core.units import show_length
from core.views.body import Body
from core.views.defaults import default_elevation, default_plan
from core.views.views import ElevationView, Height, PlanView, View


@dataclass(frozen=True)
class Marks:
    """What a pane marks: the pin (u, v), whether it was made there, and a line (n, 2) of another cut."""

    pin: tuple[float, float] | None
    own: bool
    line: Floats | None


class Plane(Protocol):
    """What a pane shows of a scene."""

    name: str
    axes: tuple[str, str]

    def title(self, scene: Scene) -> str:
        """Return what stands over the map, without the limit."""

    def whole(self, scene: Scene) -> View:
        """Return the view of the whole site, whatever is seen of it."""

    def view(self, scene: Scene, size: Size) -> View:
        """Return the view that a map of a size, in pixels, shows."""

    def marks(self, scene: Scene, view: View) -> Marks:
        """Return the pin and the other cut as they are seen here."""

    def pinned(self, scene: Scene, view: View, u: float, v: float) -> Scene:
        """Return the scene with a pin where somebody clicked."""

    def body(self, scene: Scene) -> tuple[Body, Height | None]:
        """Return the body of a reading that was pinned here, and the height rule of the map."""

    def foot(self, scene: Scene, view: View, u: float, v: float) -> tuple[float, float, float]:
        """Return the place of the site that a body at (u, v) stands or hangs at, m."""

    def moved(
        self, scene: Scene, view: View, index: int, u: float, v: float
    ) -> tuple[float, float, float]:
        """Return where an antenna is that was dragged to (u, v), m."""


class Plan:
    """The plan."""

    name = "plan"
    axes = ("x", "y")

    def title(self, scene: Scene) -> str:
        return scene.look.height.said(feet=scene.look.feet)

    def whole(self, scene: Scene) -> PlanView:
        return default_plan(scene.site, scene.look.height, scene.look.plan_body)

    def view(self, scene: Scene, size: Size) -> PlanView:
        return replace(self.whole(scene), region=scene.camera.bounds(self.name, size))

    def marks(self, scene: Scene, view: View) -> Marks:
        east, north = bearing(scene.look.azimuth - scene.site.grid_north)
        far = 1e5
        x, y = scene.origin
        line = np.array([(x - far * east, y - far * north), (x + far * east, y + far * north)])
        pin = scene.pin
        at = (pin.place[0], pin.place[1]) if pin else None
        return Marks(at, pin is None or pin.pane == self.name, line)

    def pinned(self, scene: Scene, view: View, u: float, v: float) -> Scene:
        return replace(scene, pin=Pin(self.foot(scene, view, u, v), self.name))

    def body(self, scene: Scene) -> tuple[Body, Height | None]:
        return scene.look.plan_body, scene.look.height

    def foot(self, scene: Scene, view: View, u: float, v: float) -> tuple[float, float, float]:
        return on_plan(scene, u, v)

    def moved(
        self, scene: Scene, view: View, index: int, u: float, v: float
    ) -> tuple[float, float, float]:
        return u, v, scene.site.antennas[index].position[2]


class Elevation:
    """The vertical plane through the scene's origin."""

    name = "elevation"
    axes = ("along", "z")

    def title(self, scene: Scene) -> str:
        x, y = (show_length(c, feet=scene.look.feet) for c in scene.origin)
        return f"through x {x}, y {y} along {scene.look.azimuth:g}°"

    def whole(self, scene: Scene) -> ElevationView:
        look = scene.look
        return default_elevation(scene.site, look.azimuth, scene.origin, look.climb_body)

    def view(self, scene: Scene, size: Size) -> ElevationView:
        left, low, right, high = scene.camera.bounds(self.name, size)
        return replace(self.whole(scene), along=(left, right), up=(low, high))

    def marks(self, scene: Scene, view: View) -> Marks:
        line = None
        height = scene.look.height
        if not height.above_surface:
            a, _, b, _ = view.bounds
            line = np.array([(a, height.metres), (b, height.metres)])
        pin = scene.pin
        if pin is None:
            return Marks(None, True, line)
        u, v = view.to_view(np.array([pin.place]))[0]
        return Marks((float(u), float(v)), pin.pane == self.name, line)

    def pinned(self, scene: Scene, view: View, u: float, v: float) -> Scene:
        return replace(scene, pin=Pin(self.foot(scene, view, u, v), self.name))

    def body(self, scene: Scene) -> tuple[Body, Height | None]:
        return scene.look.climb_body, None

    def foot(self, scene: Scene, view: View, u: float, v: float) -> tuple[float, float, float]:
        x, y, z = (float(c) for c in view.to_site(scene.site, u, v)[0])
        return x, y, z

    def moved(
        self, scene: Scene, view: View, index: int, u: float, v: float
    ) -> tuple[float, float, float]:
        assert isinstance(view, ElevationView)
        x, y, z = scene.site.antennas[index].position
        east, north = bearing(view.azimuth)
        along = float(view.to_view(np.array([[x, y, z]]))[0][0])
        return x + (u - along) * east, y + (u - along) * north, v


def on_plan(scene: Scene, x: float, y: float) -> tuple[float, float, float]:
    """Return the place a body stands at for a click on the plan."""
    height = scene.look.height
    foot, _, _ = standing_on(scene.site, x, y)
    return x, y, height.metres + (foot if height.above_surface else 0.0)


def cut_through(plane: Plane, scene: Scene, x: float, y: float) -> Scene:
    """Return the scene cut through a place; what is seen of the cut stays where it is."""
    before = plane.whole(scene).to_view(np.array([[x, y, 0.0]]))[0][0]
    camera = scene.camera.panned(plane.name, -float(before), 0.0)
    return replace(scene, origin=(x, y), camera=camera)


def seen_at(plane: Plane, scene: Scene, place: tuple[float, float, float]) -> Place:
    """Return where a place of the site is on a plane."""
    u, v = plane.whole(scene).to_view(np.array([place]))[0]
    return float(u), float(v)
