"""The words beside places on a map, which keep out of each other's way.

Where nothing is free the least crowded place is taken, or for words that are said elsewhere too, none.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from matplotlib.axes import Axes
from matplotlib.text import Annotation

from app.draw import style
from app.draw.placing import leftwards

Box = tuple[float, float, float, float]
"""Left, low, right and high, in points."""

_NEAR = 10.0
"""Points above or below a place within which it is plain what words belong to."""

_LETTER, _BOLD, _HEIGHT, _DROP = 4.6, 5.3, 9.0, 2.0
"""Points: width of a letter of 8 points on average, its height, and how far it reaches below the line."""


@dataclass(frozen=True, slots=True)
class Spot:
    """A place of a map, in its coordinates, and where words begin from it, in points.

    Words that begin to the left are written leftwards.
    """

    u: float
    v: float
    right: float
    up: float


def around(u: float, v: float, right: float, up: float, *, left_first: bool) -> list[Spot]:
    """Return the spots about a place, the usual one first, then the others from near to far."""
    sides = (-right, right) if left_first else (right, -right)
    heights = (up, -up - 7.0, up + 11.0, -up - 18.0, up + 22.0, -up - 29.0)
    return [Spot(u, v, side, height) for height in heights for side in sides]


def beyond(u: float, v: float, *, upward: bool, left_first: bool) -> list[Spot]:
    """Return spots above a place, or below it, from near to far."""
    sides = (-3.0, 3.0) if left_first else (3.0, -3.0)
    heights = (7.0, 18.0, 29.0) if upward else (-14.0, -25.0, -36.0)
    return [Spot(u, v, side, height) for height in heights for side in sides]


@dataclass(slots=True)
class Notes:
    """Puts words on one set of axes; ``taken`` is where words and marks are already."""

    axes: Axes
    taken: list[Box] = field(default_factory=list)

    def clear(self) -> None:
        """Forget what is there."""
        self.taken.clear()

    def keep_free(self, u: float, v: float, reach: float) -> None:
        """Keep words off a mark of a half-width in points."""
        x, y = self._points(u, v)
        self.taken.append((x - reach, y - reach, x + reach, y + reach))

    def keep_corner(self, across: float, up: float) -> None:
        """Keep words out of the upper right corner, given as parts of the axes."""
        left, low, right, high = self._frame()
        self.taken.append((right - across * (right - left), high - up * (high - low), right, high))

    def beside(
        self, text: str, u: float, v: float, offset: tuple[float, float], *, bold: bool = False
    ) -> Annotation:
        """Put words beside a place, best at an offset in points."""
        left_first = leftwards(text, u, self.axes.get_xlim())
        spots = around(u, v, *offset, left_first=left_first)
        note = self.at_one_of(text, spots, bold=bold, needed=True)
        assert note is not None
        return note

    def at_one_of(
        self, text: str, spots: Sequence[Spot], *, bold: bool = False, needed: bool = False
    ) -> Annotation | None:
        """Put words at the first spot that is free; if none is, at the best, or nowhere unless ``needed``."""
        frame, found = self._frame(), []
        for spot in spots:
            box = self._box(text, spot, bold=bold)
            found.append((self._crowded(box, frame), box, spot))
            if found[-1][0] == 0.0:
                break
        crowded, box, spot = min(found, key=lambda one: one[0])
        if crowded > 0.0 and not needed:
            return None
        self.taken.append(box)
        return self._write(text, spot, bold=bold)

    def _write(self, text: str, spot: Spot, *, bold: bool) -> Annotation:
        away = max(spot.up, -spot.up - _HEIGHT)
        # Words that had to move away are tied to their place by a line.
        tie = {"arrowstyle": "-", "lw": 0.8, "color": style.INK, "shrinkA": 1.0, "shrinkB": 3.0}
        return self.axes.annotate(
            text,
            (spot.u, spot.v),
            xytext=(spot.right, spot.up),
            textcoords="offset points",
            ha="right" if spot.right < 0.0 else "left",
            fontsize=8,
            fontweight="bold" if bold else "normal",
            color=style.INK,
            zorder=8,
            annotation_clip=True,
            arrowprops=tie if away > _NEAR else None,
            bbox={"facecolor": style.PAPER, "edgecolor": "none", "pad": 0.9, "alpha": 0.8},
        )

    def _points(self, u: float, v: float) -> tuple[float, float]:
        x, y = self.axes.transData.transform((u, v)) * 72.0 / self.axes.figure.dpi
        return float(x), float(y)

    def _frame(self) -> Box:
        (u0, u1), (v0, v1) = self.axes.get_xlim(), self.axes.get_ylim()
        return (*self._points(u0, v0), *self._points(u1, v1))

    def _box(self, text: str, spot: Spot, *, bold: bool) -> Box:
        x, y = self._points(spot.u, spot.v)
        width = (_BOLD if bold else _LETTER) * len(text)
        left = x + spot.right - (width if spot.right < 0.0 else 0.0)
        low = y + spot.up
        return left - 1.0, low - _DROP, left + width + 1.0, low + _HEIGHT

    def _crowded(self, box: Box, frame: Box) -> float:
        """Return how much of a box lies over others or outside the frame, in square points."""
        lost = max(_area(box) - _shared(box, frame), 0.0)
        return lost + sum(_shared(box, other) for other in self.taken)


def _area(box: Box) -> float:
    return (box[2] - box[0]) * (box[3] - box[1])


def _shared(one: Box, other: Box) -> float:
    wide = min(one[2], other[2]) - max(one[0], other[0])
    tall = min(one[3], other[3]) - max(one[1], other[1])
    return wide * tall if wide > 0.0 and tall > 0.0 else 0.0
