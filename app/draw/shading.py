"""The artists of the shading on one set of axes: nested areas, lines with a pale seam, the reactive region's hatch."""

from __future__ import annotations

import numpy as np
from matplotlib.artist import Artist
from matplotlib.axes import Axes
from matplotlib.collections import LineCollection
from matplotlib.patches import PathPatch, Rectangle
from numpy.typing import NDArray

from app.draw import style
from app.draw.isobands import Isobands
from app.draw.notes import Notes
from app.draw.style import Palette

_APART = 120.0
"""Points between two labels of one line."""


class Shading:
    """Shows one :class:`Isobands` at a time."""

    def __init__(self, axes: Axes, palette: Palette) -> None:
        self.axes, self.palette = axes, palette
        self.bands: Isobands | None = None
        self.visible = True
        self._artists: list[Artist] = []
        self._labels: list[Artist] = []

    @property
    def artists(self) -> tuple[Artist, ...]:
        """What is drawn under everything that stands on the site, from below upwards."""
        return tuple(self._artists)

    def show(self, bands: Isobands | None) -> None:
        """Take the place of what was shown; None takes it off."""
        for artist in (*self._artists, *self._labels):
            artist.remove()
        self._artists, self._labels, self.bands = [], [], bands
        if bands is None:
            return
        u0, v0, u1, v1 = bands.bounds
        ground = Rectangle((u0, v0), u1 - u0, v1 - v0, lw=0.0, zorder=0.0)
        ground.set_facecolor(style.shade(bands.lowest, self.palette))
        self._put(ground)
        for i, (percent, area) in enumerate(bands.areas):
            colour = style.shade(percent * (1.0 + 1e-9), self.palette)
            self._put(PathPatch(area, facecolor=colour, lw=0.0, zorder=0.01 * (i + 1)))
        for percent, lines in bands.lines:
            self._line(percent, lines)
        if bands.reactive is not None:
            hatch = PathPatch(bands.reactive, facecolor="none", lw=0.0, hatch="xxxx", zorder=2.0)
            hatch.set_edgecolor(self.palette.ink)
            self._put(hatch)
        self.set_visible(visible=self.visible)

    def _put(self, patch: PathPatch | Rectangle) -> None:
        # Axes.add_patch measures every vertex for limits that are set by hand here.
        patch.set_clip_path(self.axes.patch)
        self._artists.append(self.axes.add_artist(patch))

    def _line(self, percent: float, lines: tuple[NDArray[np.float64], ...]) -> None:
        width = style.contour_width(percent)
        seam = 2.4 if percent == 100.0 else 1.6
        for wider, colour, order in (
            (seam, self.palette.paper, 3.0),
            (0.0, self.palette.ink, 3.1),
        ):
            made = LineCollection(
                list(lines), colors=colour, linewidths=width + wider, zorder=order, capstyle="round"
            )
            self._artists.append(self.axes.add_collection(made, autolim=False))

    def label(self, notes: Notes) -> None:
        """Write the percents beside the lines, where there is room."""
        self.unlabel()
        if self.bands is None or not self.visible:
            return
        # The limit itself has the choice of places.
        for percent, lines in sorted(self.bands.lines, key=lambda line: line[0] != 100.0):
            text = style.percent_label(percent)
            others = [line for p, rest in self.bands.lines if p != percent for line in rest]
            off = np.concatenate(others) if others and percent != 100.0 else None
            self._labels += notes.along(text, lines, _APART, bold=percent == 100.0, off=off)

    def unlabel(self) -> None:
        """Take the words of the lines off."""
        for artist in self._labels:
            artist.remove()
        self._labels = []

    def set_visible(self, *, visible: bool) -> None:
        """Show all of it, or nothing."""
        self.visible = visible
        for artist in (*self._artists, *self._labels):
            artist.set_visible(visible)
