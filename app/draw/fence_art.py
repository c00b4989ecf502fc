"""Fences on a map: what the crew will see, with what their check said."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from matplotlib.patches import Polygon as PolygonPatch

from app.draw import style
from core.site import Site
from core.views import ElevationView

if TYPE_CHECKING:
    from app.draw.map import MapView

_LINE = (0, (7, 2, 1.5, 2))


def draw_plan_fences(view: MapView, site: Site) -> None:
    """Draw closed fence lines with their corners, names and checks; leaks with their size."""
    for fence in site.fences:
        if not fence.outline:
            continue
        patch = PolygonPatch(
            list(fence.outline),
            closed=True,
            fill=False,
            edgecolor=style.PIN,
            lw=2.0,
            ls=_LINE,
            zorder=8.2,
        )
        view.add(view.axes.add_patch(patch))
        corners = np.array(fence.outline)
        view.add(
            view.axes.plot(
                corners[:, 0], corners[:, 1], "s", ms=4, mfc=style.PAPER, mec=style.PIN, zorder=8.3
            )[0]
        )
        check = view.checks.get(fence.name)
        words = f"{fence.name}: {check.words()}" if check is not None else fence.name
        top = corners[int(np.argmax(corners[:, 1]))]
        view.note(words, float(top[0]), float(top[1]), (3, 7))
        for leak in check.leaks if check is not None else ():
            x, y = leak.place
            view.add(
                view.axes.plot(x, y, "X", ms=11, color=style.PIN, mec=style.PAPER, zorder=8.4)[0]
            )


def draw_ladder_fences(view: MapView, site: Site, plane: ElevationView) -> None:
    """Draw the spans of heights nobody stops in beside their ladder."""
    for fence in site.fences:
        if not fence.ladder:
            continue
        points = plane.to_view(np.array(site.ladder(fence.ladder).points))
        u = float(points[:, 0].mean())
        for low, high in fence.stops:
            view.add(
                view.axes.plot([u, u], [low, high], color=style.PIN, lw=5, alpha=0.75, zorder=5.5)[
                    0
                ]
            )
            check = view.checks.get(fence.name)
            state = f", {check.words()}" if check is not None else ""
            view.note(f"no stop {low:.1f} to {high:.1f} m{state}", u, high, (8, -10))
