"""Readings of surveys on a map: where they were taken, and how far those above their prediction raise it."""

from __future__ import annotations

import math

import numpy as np
from matplotlib.patches import Circle

from app.draw.drawing import Drawing
from core.exposure.surveyed import Raise, raises
from core.geometry import bearing
from core.site.site import Site
from core.views.views import ElevationView, View

_RING = (0, (1.5, 1.5))
_SAID = 6
"""Raised places that are said in words; all of them have their ring."""


def draw_surveys(drawing: Drawing, site: Site, view: View) -> None:
    """Mark every reading with a cross, and ring what those that are not explained raise."""
    readings = [r.position for survey in site.surveys for r in survey.readings]
    if not readings:
        return
    uv = view.to_view(np.array(readings, dtype=np.float64))
    drawing.add(
        drawing.axes.plot(
            uv[:, 0], uv[:, 1], "x", ms=5, mew=1.2, color=drawing.palette.ink, zorder=7.5
        )[0]
    )
    found = sorted(raises(site), key=lambda r: -r.factor)
    for i, one in enumerate(found):
        radius = _radius_on(view, one)
        if radius <= 0.0:
            continue
        u, v = (float(c) for c in view.to_view(np.array([one.place]))[0])
        ring = Circle(
            (u, v), radius, fill=False, edgecolor=drawing.palette.pin, lw=1.8, ls=_RING, zorder=7.6
        )
        drawing.add(drawing.axes.add_patch(ring))
        if i < _SAID:
            drawing.note(f"RAISED {one.factor:.2g} times", u, v, (6, 5), bold=True)


def _radius_on(view: View, one: Raise) -> float:
    """Return the radius of what a raise reaches on a vertical plane, or on a plan at its own height, m."""
    if not isinstance(view, ElevationView):
        return one.radius
    east, north = bearing(view.azimuth)
    x, y, _ = one.place
    off = (x - view.origin[0]) * north - (y - view.origin[1]) * east
    return math.sqrt(max(one.radius**2 - off**2, 0.0))
