"""A difference of two states on a map: a two-sided shading that reads in grey, signed lines, where nothing is said."""

from __future__ import annotations

import textwrap
from typing import Literal

import numpy as np
from matplotlib.artist import Artist
from matplotlib.axes import Axes
from matplotlib.cm import ScalarMappable
from matplotlib.colorbar import Colorbar

from app.draw import style
from core.changes.difference_map import LEAST, ChangeMap
from core.limits.tier import Tier
from core.units import show_percent

Quantity = Literal["decibels", "points"]
_STEPS: dict[str, tuple[float, ...]] = {"decibels": style.CHANGES, "points": style.CHANGED_POINTS}
UNITS: dict[str, str] = {"decibels": "dB", "points": "percent points"}
_FAR = 1e6


class ChangeArt:
    """The artists of one difference on one set of axes; what else is on the axes stays."""

    def __init__(self, axes: Axes) -> None:
        self.axes = axes
        self._artists: list[Artist] = []

    def hide(self) -> None:
        """Take the difference off."""
        for artist in self._artists:
            artist.remove()
        self._artists = []

    def show(self, change: ChangeMap, tier: Tier, quantity: Quantity = "decibels") -> None:
        """Shade rise and fall against a tier's limit, with lines at the steps: solid for a rise, dashed for a fall.

        Cells inside a reactive region before or after have crosses and no shading. In decibels, cells that are slight
        in both states have none either.
        """
        self.hide()
        steps = _STEPS[quantity]
        rise = np.clip(getattr(change, quantity)(tier), -_FAR, _FAR)
        silent = change.no_figure
        if quantity == "decibels":
            silent = silent | change.slight(tier)
        u0, v0, u1, v1 = change.after.bounds
        self._artists.append(
            self.axes.imshow(
                np.ma.masked_array(rise, silent),
                origin="lower",
                extent=(u0, u1, v0, v1),
                cmap=style.change_colormap(),
                norm=style.change_norm(steps),
                interpolation="nearest",
                zorder=0.5,
                aspect="equal",
            )
        )
        bounds = change.after.view.bounds
        self.axes.set_xlim(bounds[0], bounds[2])
        self.axes.set_ylim(bounds[1], bounds[3])
        rows, columns = rise.shape
        if rows < 2 or columns < 2:
            return
        u = u0 + (np.arange(columns) + 0.5) * (u1 - u0) / columns
        v = v0 + (np.arange(rows) + 0.5) * (v1 - v0) / rows
        self._lines(u, v, np.where(silent, np.nan, rise), steps, quantity)
        self._hatch(u, v, change.no_figure)

    def _lines(
        self, u: np.ndarray, v: np.ndarray, rise: np.ndarray, steps: tuple[float, ...], quantity: Quantity
    ) -> None:  # fmt: skip
        if np.isnan(rise).all():
            return
        low, high = float(np.nanmin(rise)), float(np.nanmax(rise))
        shown = [s for s in steps if low < s < high]
        if not shown:
            return
        lines = self.axes.contour(
            u,
            v,
            np.ma.masked_invalid(rise),
            shown,
            colors=style.INK,
            linewidths=0.8,
            linestyles=["solid" if s > 0 else "dashed" for s in shown],
            zorder=3.1,
        )
        unit = " dB" if quantity == "decibels" else ""
        names = {s: f"{s:+g}{unit}" for s in shown}
        for text in self.axes.clabel(
            lines, fmt=names, fontsize=6.5, inline=False, colors=style.INK
        ):
            text.set_bbox(
                {"facecolor": style.PAPER, "edgecolor": "none", "pad": 0.6, "alpha": 0.85}
            )
            text.set_zorder(3.2)
            text.set_clip_on(True)
        self._artists.append(lines)

    def _hatch(self, u: np.ndarray, v: np.ndarray, none: np.ndarray) -> None:
        if none.any() and not none.all():
            self._artists.append(
                self.axes.contourf(
                    u, v, none.astype(float), [0.5, 1.5], colors="none", hatches=["xxxx"], zorder=2
                )
            )


def shade_legend(axes: Axes, title: str) -> Colorbar:
    """Draw the legend of the shading of a state, with the percents at its steps."""
    shade = ScalarMappable(style.norm(), style.colormap())
    bar = Colorbar(axes, shade, spacing="uniform", extend="max")
    bar.set_ticks(list(style.LEVELS), labels=[f"{level:g} %" for level in style.LEVELS])
    return _small(bar, title)


def change_legend(axes: Axes, title: str, quantity: Quantity) -> Colorbar:
    """Draw the legend of a difference, with its steps and their signs."""
    steps = _STEPS[quantity]
    shade = ScalarMappable(style.change_norm(steps), style.change_colormap())
    bar = Colorbar(axes, shade, spacing="uniform", extend="both")
    unit = " dB" if quantity == "decibels" else ""
    bar.set_ticks(list(steps), labels=[f"{s:+g}{unit}" for s in steps])
    return _small(bar, title)


def _small(bar: Colorbar, title: str) -> Colorbar:
    bar.minorticks_off()
    bar.ax.tick_params(labelsize=6.5, colors=style.INK)
    bar.ax.set_title(
        "\n".join(textwrap.wrap(title, 16)), fontsize=7, color=style.INK, loc="left", pad=5
    )
    return bar


NO_SHADING = (
    f"white: under {show_percent(LEAST)} of the limit before and after; crosses: inside a reactive "
    "region, no figure"
)
"""What has no shading in a difference."""
