"""The way of a job over a map on screen: made anew whenever it changes, in the colours of the map."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from matplotlib.artist import Artist
from matplotlib.axes import Axes
from matplotlib.patches import Rectangle

from app.draw.style import Palette
from core.views.views import View

Point = tuple[float, float, float]
_NEAR = 11.0
"""Pixels: stops nearer to each other than this share a number."""


@dataclass(frozen=True)
class RouteLines:
    """A way in places of the site, m: its line, stops, stretches where nobody stops, corners of the work volume.

    ``stale``: the stretches are of a way that has changed since.
    """

    line: tuple[Point, ...]
    stops: tuple[Point, ...]
    closed: tuple[tuple[Point, Point], ...]
    work: tuple[Point, Point] | None
    stale: bool


WORK_DASH = (0, (3, 2))
"""How the edge of a work volume is broken."""


def work_frame(low: Sequence[float], high: Sequence[float], view: View, colour: str) -> Rectangle:
    """Return the edge of a work volume in a view; ``low`` and ``high`` are its corners (x, y, z), m."""
    (x0, y0, z0), (x1, y1, z1) = low, high
    corners = np.array([(x, y, z) for x in (x0, x1) for y in (y0, y1) for z in (z0, z1)])
    uv = view.to_view(corners)
    (u0, v0), (u1, v1) = uv.min(axis=0), uv.max(axis=0)
    bounds = view.bounds
    # A volume of no width is seen all the same.
    room = 0.004 * max(bounds[2] - bounds[0], bounds[3] - bounds[1])
    return Rectangle(
        (u0 - room, v0 - room), u1 - u0 + 2 * room, v1 - v0 + 2 * room, fill=False,
        edgecolor=colour, lw=1.6, ls=WORK_DASH, zorder=9.1,
    )  # fmt: skip


class RouteArt:
    """Artists of one way on the axes of a map."""

    def __init__(self, axes: Axes) -> None:
        self.axes = axes
        self.artists: list[Artist] = []
        self._told: tuple[object, ...] = ()

    def show(self, lines: RouteLines | None, view: View, palette: Palette) -> bool:
        """Draw a way, or take it off; return whether anything has changed."""
        told = (lines, view, palette.ink)
        if told == self._told:
            return False
        self._told = told
        for artist in self.artists:
            artist.remove()
        self.artists = []
        if lines is None:
            return True
        if lines.work is not None:
            self._work(lines.work, view, palette)
        for ends in lines.closed:
            uv = view.to_view(np.array(ends, dtype=np.float64))
            self._line(uv, palette.ink, 8.0, 9.0, alpha=0.2 if lines.stale else 0.45)
        if lines.line:
            uv = view.to_view(np.array(lines.line, dtype=np.float64))
            self._line(uv, palette.paper, 4.2, 9.2)
            self._line(uv, palette.pin, 2.2, 9.3)
        self._stops(lines.stops, view, palette)
        return True

    def _line(
        self, uv: np.ndarray, colour: str, width: float, order: float, *, alpha: float = 1.0
    ) -> None:
        (made,) = self.axes.plot(
            uv[:, 0], uv[:, 1], color=colour, lw=width, alpha=alpha, zorder=order,
            solid_capstyle="butt",
        )  # fmt: skip
        self.artists.append(made)

    def _work(self, work: tuple[Point, Point], view: View, palette: Palette) -> None:
        box = work_frame(*work, view, palette.pin)
        self.artists.append(self.axes.add_patch(box))

    def _stops(self, stops: tuple[Point, ...], view: View, palette: Palette) -> None:
        if not stops:
            return
        uv = view.to_view(np.array(stops, dtype=np.float64))
        left, low, right, high = view.bounds
        width = float(self.axes.get_window_extent().width) or 1.0
        near = _NEAR * (right - left) / width
        groups: list[tuple[np.ndarray, list[int]]] = []
        for i, at in enumerate(uv, 1):
            if not (left <= at[0] <= right and low <= at[1] <= high):
                continue
            group = next((m for g, m in groups if np.hypot(*(g - at)) < near), None)
            if group is None:
                groups.append((at, [i]))
            else:
                group.append(i)
        for at, members in groups:
            note = self.axes.annotate(
                ", ".join(str(m) for m in members), (float(at[0]), float(at[1])), (-9, 0),
                textcoords="offset points", ha="right", va="center", fontsize=8, fontweight="bold",
                color=palette.paper, zorder=9.6, annotation_clip=True,
                bbox={"boxstyle": "round,pad=0.25", "facecolor": palette.pin, "edgecolor": palette.paper},
            )  # fmt: skip
            (dot,) = self.axes.plot(
                *at, "o", ms=6, mfc=palette.pin, mec=palette.paper, mew=1.2, zorder=9.5
            )
            self.artists += [note, dot]
