"""The words beside places on a map, which keep out of each other's way, off marks, off edges and off zones.

Where nothing is free the least crowded place is taken, or for words that are said elsewhere too, none. Words
come in layers: those of one layer can be put anew while the others stay.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from itertools import chain

import numpy as np
import shapely
from matplotlib.axes import Axes
from matplotlib.text import Annotation

from app.draw import style
from app.draw.placing import leftwards
from app.draw.style import Palette

Box = tuple[float, float, float, float]
"""Left, low, right and high, in points."""

_NEAR = 10.0
"""Points above or below a place within which it is plain what words belong to."""

_USUAL = 8.0
"""Points: how large letters are."""
_LETTER, _BOLD, _HEIGHT, _DROP = 4.9, 5.6, 9.0, 2.5
"""Points: width of a letter of 8 points on average, its height, and how far it reaches below the line."""

_EDGE = 3.0
"""Points between words and the frame."""

_TOGETHER = 6.0
"""Points within which two lines run together."""

_ZONE_SHARE = 0.3
"""Covering a zone counts this part of covering other words."""

_CROSSED = 60.0
"""Square points that crossing the edge of a zone counts."""


@dataclass(frozen=True, slots=True)
class Spot:
    """A place of a map, in its coordinates, and where words begin from it, in points.

    Words that begin to the left are written leftwards, unless ``ends`` says whether they end there.
    """

    u: float
    v: float
    right: float
    up: float
    ends: bool | None = None

    @property
    def leftwards(self) -> bool:
        """Whether words end at the spot instead of beginning there."""
        return self.right < 0.0 if self.ends is None else self.ends


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
    """Puts words on one set of axes; ``taken`` is where words and marks are already, by layer.

    ``zones`` is what words rather do not cover, in the map's coordinates; ``size`` is that of the letters, points.
    """

    axes: Axes
    palette: Palette = style.LIGHT
    taken: dict[str, list[Box]] = field(default_factory=dict)
    layer: str = ""
    zones: shapely.Geometry | None = None
    size: float = _USUAL

    def begin(self, layer: str) -> None:
        """Forget the words of a layer; those that follow belong to it."""
        self.layer = layer
        self.taken[layer] = []

    def clear(self) -> None:
        """Forget all there is."""
        self.taken.clear()
        self.begin("")

    def keep(self, box: Box) -> None:
        """Keep words off a box in points."""
        self.taken.setdefault(self.layer, []).append(box)

    def keep_free(self, u: float, v: float, reach: float) -> None:
        """Keep words off a mark of a half-width in points."""
        x, y = self._points(u, v)
        self.keep((x - reach, y - reach, x + reach, y + reach))

    def keep_corner(self, across: float, up: float) -> None:
        """Keep words out of the upper right corner, given in points."""
        _, _, right, high = self._frame()
        self.keep((right - across, high - up, right, high))

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
        self,
        text: str,
        spots: Sequence[Spot],
        *,
        bold: bool = False,
        needed: bool = False,
        centred: bool = False,
        tied: bool = False,
    ) -> Annotation | None:
        """Put words at the first spot that is free; if none is, at the best, or nowhere unless ``needed``.

        What is ``needed`` is moved inside the frame where no spot has room: half a word says something else.
        ``centred`` words have their middle at the spot, ``tied`` ones have a line to it.
        """
        frame, found = self._frame(), []
        moved = (self._inside(text, spot, frame, bold=bold) for spot in spots)
        for spot in chain(spots, moved if needed and not centred else ()):
            box = self._box(text, spot, bold=bold, centred=centred)
            crowded = self._crowded(box, frame)
            found.append((crowded + self._over_zones(box), crowded, box, spot))
            if found[-1][0] == 0.0:
                break
        _, crowded, box, spot = min(found, key=lambda one: one[0])
        if crowded > 0.0 and not needed:
            return None
        self.keep(box)
        return self._write(text, spot, bold=bold, centred=centred, tied=tied)

    def _inside(self, text: str, spot: Spot, frame: Box, *, bold: bool) -> Spot:
        """Return a spot moved as far as words at it stick out of the frame; those too long lose their end."""
        left, low, right, high = self._box(text, spot, bold=bold)
        across = min(frame[2] - _EDGE - right, 0.0)
        across += max(frame[0] + _EDGE - left - across, 0.0)
        up = max(frame[1] + _EDGE - low, 0.0) + min(frame[3] - _EDGE - high, 0.0)
        return replace(spot, right=spot.right + across, up=spot.up + up, ends=spot.leftwards)

    def along(
        self,
        text: str,
        lines: Iterable[np.ndarray],
        apart: float,
        *,
        bold: bool = False,
        off: np.ndarray | None = None,
    ) -> list[Annotation]:
        """Put words on lines (n, 2), level, where there is room for all of them, so many points apart.

        They keep off places (m, 2): where several lines run together, words say nothing of one of them.
        """
        others = None if off is None else self._all_points(off)
        half = self._width(text, bold=bold) / 2.0
        put: list[tuple[float, float]] = []
        out = []
        for line in lines:
            points = self._all_points(line)
            run = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(points, axis=0).T))])
            if run[-1] < 2.0 * half:
                continue
            count = int(min(max(run[-1] // 12.0, 1), 200))
            for at in run[-1] * (np.arange(count) + 0.5) / count:
                x, y = (float(np.interp(at, run, c)) for c in points.T)
                if any(np.hypot(x - a, y - b) < apart for a, b in put):
                    continue
                if others is not None and np.abs(others - (x, y)).max(axis=1).min() < _TOGETHER:
                    continue
                u, v = (float(np.interp(at, run, c)) for c in line.T)
                note = self.at_one_of(text, [Spot(u, v, 0.0, 0.0)], bold=bold, centred=True)
                if note is not None:
                    put.append((x, y))
                    out.append(note)
        return out

    def _write(
        self, text: str, spot: Spot, *, bold: bool, centred: bool = False, tied: bool = False
    ) -> Annotation:
        away = 0.0 if centred else max(spot.up, -spot.up - _HEIGHT)
        # Words that had to move away are tied to their place by a line.
        ink = self.palette.ink
        # The line leaves the corner of the words that is nearest; to find where it leaves their box takes long.
        corner = (0.0 if spot.right > 0.0 else 1.0, 0.0 if spot.up > 0.0 else 1.0)
        tie = {
            "arrowstyle": "-", "lw": 0.8, "color": ink, "shrinkA": 0.0, "shrinkB": 3.0,
            "patchA": None, "relpos": corner,
        }  # fmt: skip
        return self.axes.annotate(
            text,
            (spot.u, spot.v),
            xytext=(spot.right, spot.up),
            textcoords="offset points",
            ha="center" if centred else "right" if spot.leftwards else "left",
            va="center" if centred else "baseline",
            fontsize=self.size,
            fontweight="bold" if bold else "normal",
            color=ink,
            zorder=8,
            annotation_clip=True,
            arrowprops=tie if tied or away > _NEAR else None,
            bbox={"facecolor": self.palette.paper, "edgecolor": "none", "pad": 0.9, "alpha": 0.85},
        )

    def _width(self, text: str, *, bold: bool) -> float:
        """Return about how wide words are, points."""
        return (_BOLD if bold else _LETTER) * len(text) * self.size / _USUAL

    def _points(self, u: float, v: float) -> tuple[float, float]:
        x, y = self.axes.transData.transform((u, v)) * 72.0 / self.axes.figure.dpi
        return float(x), float(y)

    def _all_points(self, places: np.ndarray) -> np.ndarray:
        points: np.ndarray = self.axes.transData.transform(places) * 72.0 / self.axes.figure.dpi
        return points

    def _frame(self) -> Box:
        (u0, u1), (v0, v1) = self.axes.get_xlim(), self.axes.get_ylim()
        return (*self._points(u0, v0), *self._points(u1, v1))

    def _box(self, text: str, spot: Spot, *, bold: bool, centred: bool = False) -> Box:
        x, y = self._points(spot.u, spot.v)
        width, tall = self._width(text, bold=bold), _HEIGHT * self.size / _USUAL
        if centred:
            half = width / 2.0 + 1.0
            return x - half, y - 0.6 * tall, x + half, y + 0.6 * tall
        left = x + spot.right - (width if spot.leftwards else 0.0)
        low = y + spot.up
        return left - 1.0, low - _DROP, left + width + 1.0, low + tall

    def _crowded(self, box: Box, frame: Box) -> float:
        """Return how much of a box lies over others or outside the frame, in square points."""
        left, low, right, high = frame
        inner = (left + _EDGE, low + _EDGE, right - _EDGE, high - _EDGE)
        lost = 4.0 * max(_area(box) - _shared(box, inner), 0.0)
        others = sum(_shared(box, other) for layer in self.taken.values() for other in layer)
        return lost + others

    def _over_zones(self, box: Box) -> float:
        """Return what covering zones counts: less than covering words, crossing an edge more than lying inside."""
        if self.zones is None or self.zones.is_empty:
            return 0.0
        corners = np.array([box[:2], box[2:]]) * self.axes.figure.dpi / 72.0
        (u0, v0), (u1, v1) = self.axes.transData.inverted().transform(corners)
        cover = shapely.box(u0, v0, u1, v1)
        part = self.zones.intersection(cover).area / cover.area
        crossed = _CROSSED if 0.0 < part < 1.0 else 0.0
        return _ZONE_SHARE * part * _area(box) + crossed


def _area(box: Box) -> float:
    return (box[2] - box[0]) * (box[3] - box[1])


def _shared(one: Box, other: Box) -> float:
    wide = min(one[2], other[2]) - max(one[0], other[0])
    tall = min(one[3], other[3]) - max(one[1], other[1])
    return wide * tall if wide > 0.0 and tall > 0.0 else 0.0
