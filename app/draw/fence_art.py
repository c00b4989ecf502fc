"""Fences on a map: what the crew will see, with what their check said."""

from __future__ import annotations

import math

import numpy as np
from matplotlib.patches import Polygon as PolygonPatch

from app.draw.drawing import Drawing
from app.draw.notes import beyond
from app.draw.placing import leftwards
from core.fences.fence import Check
from core.fences.site_fences import UNFENCED
from core.site.site import Site
from core.units import FOOT
from core.views.views import ElevationView

FENCE_LINE = (0, (7, 2, 1.5, 2))
_SAID = 3
"""Leaks of a fence that are said in words; the others are marked."""


def draw_plan_fences(view: Drawing, site: Site) -> None:
    """Draw closed fence lines with their corners, names and checks; leaks with their size."""
    for fence in site.fences:
        if not fence.outline:
            continue
        patch = PolygonPatch(
            list(fence.outline),
            closed=True,
            fill=False,
            edgecolor=view.palette.pin,
            lw=4.0 if fence.name == view.selected else 2.0,
            ls=FENCE_LINE,
            zorder=8.2,
        )
        view.add(view.axes.add_patch(patch))
        corners = np.array(fence.outline)
        view.add(
            view.axes.plot(
                corners[:, 0],
                corners[:, 1],
                "s",
                ms=4,
                mfc=view.palette.paper,
                mec=view.palette.pin,
                zorder=8.3,
            )[0]
        )
        check = view.checks.get(fence.name)
        words = _label(fence.name, check, feet=view.feet)
        # Above its highest corner, else below its lowest one; where fences crowd too much, one word over another
        # says nothing, and the list under the maps has them all.
        left = leftwards(words, float(corners[:, 0].mean()), view.axes.get_xlim())
        spots = []
        for end, upward in ((np.argmax(corners[:, 1]), True), (np.argmin(corners[:, 1]), False)):
            u, v = (float(c) for c in corners[end])
            spots += beyond(u, v, upward=upward, left_first=left)
        # A leak is said however crowded the map is.
        leaks = check is not None and not check.holds
        note = view.notes.at_one_of(words, spots, needed=leaks)
        if note is not None:
            view.add(note)
        if check is not None:
            _draw_leaks(view, check, "leaks here by")
    missed = view.checks.get(UNFENCED)
    if missed is not None:
        _draw_leaks(view, missed, "no fence here")


def _label(name: str, check: Check | None, *, feet: bool) -> str:
    if check is None or (math.isinf(check.margin) and check.holds):
        return name
    if not check.holds:
        return f"{name}: LEAKS"
    scale, unit = (FOOT, "ft") if feet else (1.0, "m")
    return f"{name}: holds, {check.margin / scale:.2f} {unit}"


def _draw_leaks(view: Drawing, check: Check, words: str) -> None:
    """Mark every leak; the worst ones say how far they go."""
    scale, unit = (FOOT, "ft") if view.feet else (1.0, "m")
    for i, leak in enumerate(check.leaks):
        x, y = leak.place
        view.add(
            view.axes.plot(
                x, y, "X", ms=11, color=view.palette.pin, mec=view.palette.paper, zorder=8.4
            )[0]
        )
        if i < _SAID:
            far = "" if check.unfenced else f" {leak.distance / scale:.2f} {unit}"
            view.note(f"{words}{far}", x, y, (9, -4), bold=True)


def draw_ladder_fences(view: Drawing, site: Site, plane: ElevationView) -> None:
    """Draw the spans of heights nobody stops in beside their ladder."""
    for fence in site.fences:
        if not fence.ladder:
            continue
        points = plane.to_view(np.array(site.ladder(fence.ladder).points))
        u = float(points[:, 0].mean())
        for low, high in fence.stops:
            view.add(
                view.axes.plot(
                    [u, u],
                    [low, high],
                    color=view.palette.pin,
                    alpha=0.75,
                    zorder=5.5,
                    lw=9 if fence.name == view.selected else 5,
                )[0]
            )
            check = view.checks.get(fence.name)
            state = f", {check.words(feet=view.feet)}" if check is not None else ""
            scale, unit = (FOOT, "ft") if view.feet else (1.0, "m")
            span = f"{low / scale:.1f} to {high / scale:.1f} {unit}"
            view.note(f"no stop {span}{state}", u, high, (8, -10))
