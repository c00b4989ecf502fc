"""The profile of a way: percent of both limits and of a garment's rating against time or length, with its stops."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from matplotlib.artist import Artist
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.ticker import MaxNLocator

from core.arrays import Floats
from core.entry.course import Course
from core.units import FOOT, show_allowance

LEAST, MOST = 1.0, 1e5
"""Percent at the edges; what is beyond stands at them."""
_DIM = 0.4
_APART = 13.0
"""Pixels between the numbers of two stops."""


@dataclass(frozen=True)
class Shown:
    """What a profile shows.

    Attributes
    ----------
    course : Course
    length : bool
        Against the length of the way; else against time.
    feet : bool
    stale : bool
        Of something that has changed since: drawn dim.
    pin : int
        The place of the course that is pinned; -1 for none.
    """

    course: Course
    length: bool = False
    feet: bool = False
    stale: bool = False
    pin: int = -1


class ProfileArt:
    """Draws profiles on a figure; :meth:`index_at` turns a pixel into a place of the course."""

    def __init__(self, figure: Figure, *, paper: str, ink: str, pin: str) -> None:
        self.paper, self.ink = paper, ink
        self.pin = pin
        self.axes: Axes = figure.add_axes((0.07, 0.2, 0.92, 0.62))
        self._shown: list[Artist] = []
        self._of: Shown | None = None
        axes = self.axes
        axes.set_facecolor(paper)
        axes.set_yscale("log")
        axes.set_ylim(LEAST, MOST)
        axes.set_yticks(
            [1, 10, 100, 1000, 1e4, 1e5], labels=["1", "10", "100", "1k", "10k", "100k"]
        )
        axes.minorticks_off()
        axes.xaxis.set_major_locator(MaxNLocator(8, integer=True))
        axes.tick_params(labelsize=7.5, colors=ink, length=3)
        for spine in axes.spines.values():
            spine.set_color(ink)
        axes.grid(axis="y", color=ink, alpha=0.13, lw=0.8)
        axes.axhline(100.0, color=ink, lw=2.6, zorder=3)
        figure.set_facecolor(paper)

    def place(self, width: float, height: float) -> None:
        """Fit the plot into a figure of so many pixels: room for percents, words above and the axis below."""
        left, right, top, low = 44.0, 12.0, 22.0, 34.0
        self.axes.set_position(
            (left / width, low / height, 1.0 - (left + right) / width, 1.0 - (top + low) / height)
        )

    def show(self, shown: Shown) -> None:
        """Draw a profile in the place of the last one."""
        for artist in self._shown:
            artist.remove()
        self._shown, self._of = [], shown
        one, axes = shown.course, self.axes
        x = self._x(shown)
        axes.set_xlim(0.0, max(float(x[-1]), 1e-3) if len(x) else 1.0)
        unit = (
            ("ft" if shown.feet else "m") + " of the way" if shown.length else "min after the start"
        )
        axes.set_xlabel(unit, fontsize=7.5, color=self.ink, labelpad=1.0)
        dim = _DIM if shown.stale else 1.0
        self._bands(shown, x)
        self._curve(x, one.occupational, "occupational", dim, lw=2.2)
        self._curve(x, one.public, "public", dim, lw=1.0)
        if one.use is not None:
            words = f"of rating ({show_allowance(one.allowed)} allowed)"
            self._curve(x, one.use, words, dim, lw=1.6, ls=(0, (5, 2)))
            line = axes.axhline(
                100.0 * one.allowed, color=self.ink, lw=0.9, ls=(0, (5, 2)), zorder=2.5
            )
            self._shown.append(line)
        if one.average is not None:
            words = "moving average"
            self._curve(x, one.average, words, dim, lw=1.8, ls=(0, (1, 1.2)), colour=self.pin)
        self._marks(shown)
        if 0 <= shown.pin < len(x):
            mark = axes.axvline(float(x[shown.pin]), color=self.pin, lw=1.4, zorder=7)
            self._shown.append(mark)
        legend = axes.legend(
            loc="lower left", bbox_to_anchor=(-0.005, 1.04), ncol=6, fontsize=7, frameon=False,
            borderaxespad=0.0, handlelength=1.8, columnspacing=0.9, handletextpad=0.5, labelcolor=self.ink,
        )  # fmt: skip
        self._shown.append(legend)

    def index_at(self, x: float) -> int:
        """Return the place of the course at a column of pixels of the figure; -1 where none is shown."""
        if self._of is None or not len(self._of.course.seconds):
            return -1
        value = float(self.axes.transData.inverted().transform((x, 0.0))[0])
        return int(np.argmin(np.abs(self._x(self._of) - value)))

    def column_of(self, index: int) -> float:
        """Return the column of pixels of a place of the course."""
        assert self._of is not None
        return float(self.axes.transData.transform((self._x(self._of)[index], 1.0))[0])

    def _x(self, shown: Shown) -> Floats:
        one = shown.course
        if shown.length:
            return one.metres / (FOOT if shown.feet else 1.0)
        return one.seconds / 60.0

    def _curve(
        self, x: Floats, level: Floats, words: str, alpha: float, *, lw: float,
        ls: object = "solid", colour: str = "",
    ) -> None:  # fmt: skip
        percent = np.clip(100.0 * level, LEAST, MOST)
        (line,) = self.axes.plot(
            x, percent, lw=lw, ls=ls, color=colour or self.ink, alpha=alpha, label=words, zorder=4,
            gid=words,
        )  # fmt: skip
        self._shown.append(line)

    def _bands(self, shown: Shown, x: Floats) -> None:
        """Draw the worst window, and where nobody stops; both are of a proven course."""
        one = shown.course

        def ends(span: tuple[float, float]) -> tuple[float, float]:
            first, last = (one.nearest(t, length=False) for t in span)
            return float(x[first]), float(x[last])

        alpha = 0.5 if shown.stale else 1.0
        if one.worst is not None:
            band = self.axes.axvspan(
                *ends(one.worst), facecolor=self.pin, alpha=0.13 * alpha, lw=0.0, zorder=1,
                label="worst window", gid="worst",
            )  # fmt: skip
            self._shown.append(band)
        for i, span in enumerate(one.closed):
            band = self.axes.axvspan(
                *ends(span), ymax=0.09, facecolor="none", edgecolor=self.ink, hatch="////", lw=0.0,
                alpha=alpha, zorder=2, label="" if i else "nobody stops", gid="closed",
            )  # fmt: skip
            self._shown.append(band)

    def _marks(self, shown: Shown) -> None:
        """Write the numbers of stops along the upper edge; those that would meet share one place."""
        scale = self.axes.transData
        written = -1e9
        for mark in shown.course.marks:
            if shown.length:
                middle = mark.metres / (FOOT if shown.feet else 1.0)
                ends = (middle, middle)
            else:
                ends = (mark.seconds[0] / 60.0, mark.seconds[1] / 60.0)
                middle = 0.5 * sum(ends)
            if ends[1] > ends[0]:
                band = self.axes.axvspan(*ends, ymin=0.93, facecolor=self.ink, alpha=0.3, lw=0.0)
                self._shown.append(band)
            else:
                line = self.axes.axvline(middle, color=self.ink, lw=0.7, alpha=0.5, zorder=1.5)
                self._shown.append(line)
            column = float(scale.transform((middle, 1.0))[0])
            if column - written < _APART:
                continue
            written = column
            note = self.axes.annotate(
                str(mark.number), (middle, 1.0), (0, -2), xycoords=("data", "axes fraction"),
                textcoords="offset points", ha="center", va="top", fontsize=7.5, fontweight="bold",
                color=self.ink, zorder=8, annotation_clip=False,
                bbox={"facecolor": self.paper, "edgecolor": "none", "pad": 0.8, "alpha": 0.85},
            )  # fmt: skip
            self._shown.append(note)
