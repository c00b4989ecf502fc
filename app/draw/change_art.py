"""A difference of two states on a map, and what zones gained and lost: hatches, signed lines, where nothing is said."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence

import numpy as np
from matplotlib.artist import Artist
from matplotlib.axes import Axes
from matplotlib.cm import ScalarMappable
from matplotlib.collections import LineCollection
from matplotlib.colorbar import Colorbar
from matplotlib.patches import PathPatch, Rectangle
from matplotlib.path import Path
from shapely import MultiPolygon

from app.draw import change_style, style
from app.draw.change_bands import ChangeBands
from app.draw.change_style import FALL_HATCH, GAINED_HATCH, LOST_HATCH, STEPS, Quantity, signed
from app.draw.map import MapView
from core.changes.difference_map import LEAST
from core.units import show_percent

_APART = 120.0
"""Points between two labels of one line."""


class ChangeArt:
    """The artists of one difference on a map; what else is on it stays."""

    def __init__(self, view: MapView) -> None:
        self.view = view
        self.bands: ChangeBands | None = None
        self._artists: list[Artist] = []
        self._labels: list[Artist] = []

    def show(self, bands: ChangeBands | None) -> None:
        """Shade rise and fall, with lines at the steps: solid for a rise, dashed for a fall; None takes all off."""
        for artist in self._artists:
            artist.remove()
        self._artists, self.bands = [], bands
        if bands is not None:
            rises, falls = change_style.shades(self.view.palette)
            steps = STEPS[bands.quantity]
            for side, colours in ((bands.rises, rises), (bands.falls, falls)):
                for step, area in side:
                    i = steps.index(step)
                    self._fill(area, 0.1 * (i + 1), facecolor=colours[i])
            if bands.falls:
                self._hatch(bands.falls[0][1], 0.9, FALL_HATCH, self.view.palette.quiet)
            for step, lines in bands.lines:
                self._line(step, list(lines))
            if bands.no_figure is not None:
                self._hatch(bands.no_figure, 2.0, "xxxx", self.view.palette.ink)
        self.label()

    def _fill(self, area: Path, order: float, *, facecolor: str) -> None:
        self._put(PathPatch(area, facecolor=facecolor, lw=0.0, zorder=order))

    def _hatch(self, area: Path, order: float, hatch: str, ink: str) -> None:
        patch = PathPatch(area, facecolor="none", lw=0.0, hatch=hatch, zorder=order)
        patch.set_edgecolor(ink)
        self._put(patch)

    def _put(self, patch: PathPatch) -> None:
        patch.set_clip_path(self.view.axes.patch)
        self._artists.append(self.view.axes.add_artist(patch))

    def _line(self, step: float, lines: list[np.ndarray]) -> None:
        made = LineCollection(
            lines, colors=self.view.palette.ink, linewidths=0.8, zorder=3.1,
            linestyles="solid" if step > 0 else "dashed",
        )  # fmt: skip
        self._artists.append(self.view.axes.add_collection(made, autolim=False))

    def label(self) -> None:
        """Write the steps beside the lines, where there is room."""
        for artist in self._labels:
            artist.remove()
        self._labels = []
        self.view.notes.begin("differences")
        for step, lines in self.bands.lines if self.bands is not None else ():
            text = signed(step, self.bands.quantity)  # type: ignore[union-attr]
            self._labels += self.view.notes.along(text, lines, _APART)


def draw_gained_and_lost(
    view: MapView, gained: Sequence[MultiPolygon], lost: Sequence[MultiPolygon]
) -> list[Artist]:
    """Draw what zones gained, upright lines in a heavy outline, and lost, dots in a dashed one; returns the artists."""
    made: list[Artist] = []
    ink, paper = view.palette.ink, view.palette.paper
    for regions, hatch, width, dashes in (
        (lost, LOST_HATCH, 1.6, (0, (4, 2))),
        (gained, GAINED_HATCH, 2.4, "solid"),
    ):
        pieces = [p for region in regions for p in region.geoms]
        if not pieces:
            continue
        rings = [np.asarray(r.coords) for p in pieces for r in (p.exterior, *p.interiors)]
        area = Path.make_compound_path(*(Path(r, closed=True) for r in rings))
        patch = PathPatch(area, facecolor="none", lw=0.0, hatch=hatch, zorder=2.6)
        patch.set_edgecolor(ink)
        patch.set_clip_path(view.axes.patch)
        made.append(view.axes.add_artist(patch))
        for colour, wide, style_ in ((paper, width + 1.8, "solid"), (ink, width, dashes)):
            line = LineCollection(rings, colors=colour, linewidths=wide, linestyles=style_, zorder=3.3)  # fmt: skip
            made.append(view.axes.add_collection(line, autolim=False))
    return made


def shade_legend(axes: Axes, title: str) -> Colorbar:
    """Draw the legend of the shading of a state, with the percents at its steps."""
    shade = ScalarMappable(style.norm(), style.colormap())
    bar = Colorbar(axes, shade, spacing="uniform", extend="max")
    bar.set_ticks(list(style.LEVELS), labels=[f"{level:g} %" for level in style.LEVELS])
    bar.minorticks_off()
    bar.ax.tick_params(labelsize=6.5, colors=style.INK)
    _head(axes, title)
    return bar


def change_legend(axes: Axes, title: str, quantity: Quantity) -> None:
    """Draw the legend of a difference: its steps with their signs, falls hatched, paper where nothing changed."""
    rises, falls = change_style.shades()
    steps = STEPS[quantity]
    boxes = [*reversed(falls), style.PAPER, *rises]
    axes.set_xlim(0.0, 1.0)
    axes.set_ylim(0.0, len(boxes))
    for i, colour in enumerate(boxes):
        box = Rectangle((0.0, i), 1.0, 1.0, facecolor=colour, lw=0.0)
        if i < len(falls):
            box.set(hatch=FALL_HATCH, edgecolor=style.QUIET)
        axes.add_patch(box)
    edges = [*(-s for s in reversed(steps)), *steps]
    axes.set_xticks([])
    axes.yaxis.tick_right()
    axes.set_yticks(range(1, len(boxes)), [signed(s, quantity) for s in edges])
    axes.tick_params(labelsize=6.5, colors=style.INK)
    _head(axes, title)


def _head(axes: Axes, title: str) -> None:
    axes.set_title(
        "\n".join(textwrap.wrap(title, 16)), fontsize=7, color=style.INK, loc="left", pad=5
    )


NO_SHADING = (
    f"paper: no change to speak of, or under {show_percent(LEAST)} of the limit before and after; hatched: a fall; "
    "crosses: inside a reactive region, no figure"
)
"""What has no shading in a difference, and what the hatches are."""
