"""Lines of equal percent on a map, with their numbers where there is room."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from matplotlib.artist import Artist
from matplotlib.axes import Axes
from matplotlib.collections import LineCollection

from app.draw import style
from app.draw.lines import Lines
from app.draw.notes import Box

_APART = 150.0
"""Points between two numbers of one line."""
_HALF = 14.0
"""Points: half the width of a number."""
_CLEAR = 26.0
"""Points that a number keeps from the frame and from other numbers."""


def draw_lines(axes: Axes, lines: Lines, words: Sequence[Box] = ()) -> list[Artist]:
    """Draw lines in view coordinates, the limit the heaviest, off ``words`` that are there, and return the artists."""
    artists: list[Artist] = []
    taken: list[np.ndarray] = []
    for percent, some in lines:
        width = style.contour_width(percent)
        for wider, colour, order in ((1.6, style.PAPER, 3.0), (0.0, style.INK, 3.1)):
            made = LineCollection(
                list(some), colors=colour, linewidths=width + wider, zorder=order, capstyle="round"
            )
            artists.append(axes.add_collection(made, autolim=False))
    # The limit itself has the choice of places.
    for percent, some in sorted(lines, key=lambda one: one[0] != 100.0):
        for line in some:
            artists += _numbers(axes, percent, line, taken, words)
    return artists


def _numbers(
    axes: Axes, percent: float, line: np.ndarray, taken: list[np.ndarray], words: Sequence[Box]
) -> list[Artist]:
    """Write the number of a line beside it where it is straight and nothing else is."""
    points = axes.transData.transform(line) * 72.0 / axes.figure.dpi
    low, high = (axes.transAxes.transform(c) * 72.0 / axes.figure.dpi for c in ((0, 0), (1, 1)))
    along = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(points, axis=0).T))])
    if along[-1] < 2.0 * _CLEAR:
        return []
    count = max(1, int(along[-1] / _APART))
    found: list[Artist] = []
    for part in range(count):
        for shift in (0.5, 0.35, 0.65, 0.2, 0.8, 0.05, 0.95):
            i = int(np.searchsorted(along, (part + shift) / count * along[-1]))
            i = min(max(i, 2), len(points) - 3) if len(points) > 5 else len(points) // 2
            at = points[i]
            off_frame = (at - low > _CLEAR).all() and (high - at > _CLEAR).all()
            at_bar = (
                at[0] < low[0] + 0.32 * (high - low)[0] and at[1] < low[1] + 0.1 * (high - low)[1]
            )
            if not off_frame or at_bar or any(_near(at, w) for w in words):
                continue
            if any(np.hypot(*(at - t)) < 2.0 * _CLEAR for t in taken):
                continue
            before, after = points[max(i - 2, 0)], points[min(i + 2, len(points) - 1)]
            angle = np.degrees(np.arctan2(*(after - before)[::-1]))
            taken.append(at)
            found.append(
                axes.text(
                    float(line[i, 0]), float(line[i, 1]), style.percent_label(percent),
                    fontsize=7.5, fontweight="bold" if percent == 100.0 else "normal",
                    color=style.INK, ha="center", va="center", clip_on=True, zorder=3.2,
                    rotation=(angle + 90.0) % 180.0 - 90.0, rotation_mode="anchor",
                    bbox={"facecolor": style.PAPER, "edgecolor": "none", "pad": 0.8, "alpha": 0.85},
                )
            )  # fmt: skip
            break
    return found


def _near(at: np.ndarray, words: Box) -> bool:
    left, low, right, high = words
    return left - _HALF < at[0] < right + _HALF and low - 8.0 < at[1] < high + 8.0
