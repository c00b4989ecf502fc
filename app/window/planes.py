"""The flat pieces of a site that a pane can show: what is seen of a scene, and what a click there means. No Qt.

A pane needs no more than one of these: another kind of pane is another class here.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Protocol

import numpy as np

from app.window.scene import Pin, Scene
from core.arrays import Floats
from core.geometry import bearing
from core.site.surfaces import standing_on
from core.units import show_length
from core.views.body import Body
from core.views.defaults import default_elevation, site_extent
from core.views.views import ElevationView, Height, PlanView, View

GROW = 1.4
"""A map shows at most this much more than the site's extent to fill its canvas."""


@dataclass(frozen=True)
class Marks:
    """What a pane marks: the pin (u, v), whether it was made there, and a line (n, 2) of another cut."""

    pin: tuple[float, float] | None
    own: bool
    line: Floats | None


class Plane(Protocol):
    """What a pane shows of a scene. ``aspect`` is the canvas's width over its height."""

    name: str
    axes: tuple[str, str]

    def title(self, scene: Scene) -> str:
        """Return what stands over the map, without the limit."""

    def view(self, scene: Scene, aspect: float) -> View:
        """Return the view that fills the canvas."""

    def marks(self, scene: Scene, view: View) -> Marks:
        """Return the pin and the other cut as they are seen here."""

    def pinned(self, scene: Scene, view: View, u: float, v: float) -> Scene:
        """Return the scene with a pin where somebody clicked."""

    def body(self, scene: Scene) -> tuple[Body, Height | None]:
        """Return the body of a reading that was pinned here, and the height rule of the map."""

    def moved(
        self, scene: Scene, view: View, index: int, u: float, v: float
    ) -> tuple[float, float, float]:
        """Return where an antenna is that was dragged to (u, v), m."""


class Plan:
    """The plan of the whole site, widened to the canvas."""

    name = "plan"
    axes = ("x", "y")

    def title(self, scene: Scene) -> str:
        return scene.look.height.said(feet=scene.look.feet)

    def view(self, scene: Scene, aspect: float) -> PlanView:
        west, south, east, north = site_extent(scene.site)
        w, h = east - west, north - south
        wanted = float(np.clip(aspect, w / h / GROW, w / h * GROW))
        if w / h < wanted:
            grow = (h * wanted - w) / 2.0
            west, east = west - grow, east + grow
        else:
            grow = (w / wanted - h) / 2.0
            south, north = south - grow, north + grow
        return PlanView((west, south, east, north), scene.look.height, scene.look.plan_body)

    def marks(self, scene: Scene, view: View) -> Marks:
        east, north = bearing(scene.look.azimuth - scene.site.grid_north)
        far = 1000.0
        x, y = scene.origin
        line = np.array([(x - far * east, y - far * north), (x + far * east, y + far * north)])
        pin = scene.pin
        at = (pin.place[0], pin.place[1]) if pin else None
        return Marks(at, pin is None or pin.pane == self.name, line)

    def pinned(self, scene: Scene, view: View, u: float, v: float) -> Scene:
        return replace(scene, pin=Pin(on_plan(scene, u, v), self.name), origin=(u, v))

    def body(self, scene: Scene) -> tuple[Body, Height | None]:
        return scene.look.plan_body, scene.look.height

    def moved(
        self, scene: Scene, view: View, index: int, u: float, v: float
    ) -> tuple[float, float, float]:
        return u, v, scene.site.antennas[index].position[2]


class Elevation:
    """The vertical plane through the scene's origin, fitted to the canvas about the antennas."""

    name = "elevation"
    axes = ("along", "z")

    def title(self, scene: Scene) -> str:
        x, y = (show_length(c, feet=scene.look.feet) for c in scene.origin)
        return f"through x {x}, y {y} along {scene.look.azimuth:g}°"

    def view(self, scene: Scene, aspect: float) -> ElevationView:
        look = scene.look
        view = default_elevation(scene.site, look.azimuth, scene.origin, look.climb_body)
        low, high = view.up
        a, b = view.along
        if (b - a) / (high - low) < aspect:
            grow = min((high - low) * aspect, (b - a) * GROW) - (b - a)
            a, b = a - grow / 2.0, b + grow / 2.0
        else:
            # Wider than the canvas: a tall structure fills it, the far ends are cut off.
            width = float(np.clip((high - low) * aspect, min(b - a, 60.0), b - a))
            middle = float(np.clip(0.0, a + width / 2.0, b - width / 2.0))
            a, b = middle - width / 2.0, middle + width / 2.0
            high = low + float(np.clip(width / aspect, high - low, GROW * (high - low)))
        return replace(view, along=(a, b), up=(low, high))

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
        x, y, z = (float(c) for c in view.to_site(scene.site, u, v)[0])
        return replace(scene, pin=Pin((x, y, z), self.name))

    def body(self, scene: Scene) -> tuple[Body, Height | None]:
        return scene.look.climb_body, None

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
