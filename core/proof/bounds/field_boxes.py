"""What a table of fields does over small boxes of directions: its range and those of its slopes.

Between nodes the field is bilinear: its slope in elevation is constant along elevation in a cell and linear along
azimuth, and the other way round. So over a box both slopes are extreme at the box's edges and at the nodes inside it.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from core.arrays import Bools, Floats
from core.caches import kept
from core.patterns.boxmax import BoxMaximum
from core.patterns.caps import FieldTable

_CELLS = 3
"""Cells that a small box may touch along each side."""


@dataclass(frozen=True, slots=True)
class Range:
    """Least and largest values (n,), and how far the value can fall on a way that goes up or down in its variable.

    On such a way a slope that falls is what lifts a function above its chord.
    """

    low: Floats
    high: Floats
    fall: Floats

    @property
    def size(self) -> Floats:
        """The largest absolute value."""
        return np.maximum(-self.low, self.high)

    def part(self, rows: NDArray[np.intp]) -> Range:
        """Return some of the ranges."""
        return Range(self.low[rows], self.high[rows], self.fall[rows])

    def put(self, rows: NDArray[np.intp], new: Range) -> None:
        """Set some of the ranges."""
        self.low[rows], self.high[rows], self.fall[rows] = new.low, new.high, new.fall


def blank(n: int) -> Range:
    """Return n ranges of nothing but 0."""
    return Range(np.zeros(n), np.zeros(n), np.zeros(n))


@dataclass(frozen=True, slots=True)
class Box:
    """Boxes (n,) of azimuth and elevation, degrees; azimuths may run up to half a turn past ±180."""

    left: Floats
    right: Floats
    down: Floats
    up: Floats

    def part(self, rows: NDArray[np.intp]) -> Box:
        """Return some of the boxes."""
        return Box(self.left[rows], self.right[rows], self.down[rows], self.up[rows])


@dataclass(frozen=True, slots=True)
class Values:
    """Ranges over boxes: of the field, and of its slopes per rad of elevation and of azimuth.

    ``small`` (n,) is False where a box touches too many cells; the slopes say nothing there.
    """

    field: Range
    upward: Range
    across: Range
    small: Bools


@dataclass(frozen=True, eq=False)
class _Sides:
    """A table with a few nodes more on both far sides, so that no index runs out of it."""

    azimuth: Floats
    elevation: Floats
    values: Floats
    boxes: BoxMaximum


@kept
def _sides(table: FieldTable) -> _Sides:
    turn, up = table.azimuth.nodes, table.elevation.nodes
    own = table.values[:, :-1]
    count = min(_CELLS + 1, own.shape[1])
    wide = np.hstack([own, own[:, :count]])
    past = up[-1] + np.arange(1.0, _CELLS + 2.0)
    return _Sides(
        np.concatenate([turn[:-1], turn[:count] + 360.0]),
        np.concatenate([up, past]),
        np.vstack([wide, np.repeat(wide[-1:], _CELLS + 1, axis=0)]),
        BoxMaximum(own),
    )


def values_over(table: FieldTable, box: Box) -> Values:
    """Return the ranges of a table over boxes.

    Parameters
    ----------
    table : FieldTable
        The table.
    box : Box
        The boxes.
    """
    s = _sides(table)
    left = np.mod(box.left + 180.0, 360.0) - 180.0
    right = left + (box.right - box.left)
    column, _ = table.azimuth.locate(np.minimum(left, np.nextafter(180.0, 0.0)))
    row, _ = table.elevation.locate(box.down)
    # How many cells a box touches: 1, 2, 3 or more.
    far_column = np.searchsorted(s.azimuth, right, side="left") - column
    far_row = np.searchsorted(s.elevation, box.up, side="left") - row
    cells = np.maximum(np.maximum(far_column, far_row), 1)
    small = cells <= _CELLS
    out = Values(blank(len(left)), blank(len(left)), blank(len(left)), small)
    for count in range(1, _CELLS + 1):
        rows = np.flatnonzero(cells == count)
        if rows.size:
            place = Box(left[rows], right[rows], box.down[rows], box.up[rows])
            found = _in_cells(s, row[rows], column[rows], place, count)
            for mine, new in zip((out.field, out.upward, out.across), found, strict=True):
                mine.put(rows, new)
    return out


def _in_cells(
    s: _Sides, row: NDArray[np.intp], column: NDArray[np.intp], box: Box, count: int
) -> tuple[Range, Range, Range]:
    """Return the ranges over boxes that touch ``count`` cells and no more along each side.

    One array for each node: reductions over a few numbers are slow.
    """
    stride, flat = s.values.shape[1], s.values.ravel()
    start = row * stride + column
    nodes = [[flat[start + i * stride + j] for j in range(count + 1)] for i in range(count + 1)]
    up = [s.elevation[row + i] for i in range(count + 1)]
    turn = [s.azimuth[column + j] for j in range(count + 1)]
    in_rows = [_sampled(line, turn, box.left, box.right) for line in nodes]
    in_columns = [_sampled(list(line), up, box.down, box.up) for line in zip(*nodes, strict=True)]
    inner = [
        v for line in zip(*in_rows, strict=True) for v in _sampled(list(line), up, box.down, box.up)
    ]
    low, high = _extremes(inner)
    return (
        Range(low, high, high - low),
        _slopes(in_rows, up, box.up),
        _slopes(in_columns, turn, box.right),
    )


def _slopes(lines: list[list[Floats]], nodes: list[Floats], end: Floats) -> Range:
    """Return the slopes per rad between neighbouring lines, cell by cell; those past the box repeat the first."""
    least = most = np.zeros_like(end)
    fall = np.zeros_like(end)
    for k in range(len(lines) - 1):
        scale = 1.0 / np.radians(nodes[k + 1] - nodes[k])
        low, high = _extremes(
            [(b - a) * scale for a, b in zip(lines[k], lines[k + 1], strict=True)]
        )
        if k == 0:
            least, most, fall = low, high, high - low
            continue
        idle = end <= nodes[k]
        least = np.where(idle, least, np.minimum(least, low))
        most = np.where(idle, most, np.maximum(most, high))
        fall = np.where(idle, fall, np.maximum(fall, most - low))
    return Range(least, most, fall)


def largest_over(table: FieldTable, box: Box) -> Floats:
    """Return an upper bound (n,) of a table over boxes of any size.

    Parameters
    ----------
    table : FieldTable
        The table.
    box : Box
        The boxes.
    """
    s = _sides(table)
    turn, up = table.azimuth.nodes, table.elevation.nodes
    count, top = len(turn) - 1, len(up) - 1
    left = np.mod(box.left + 180.0, 360.0) - 180.0
    span = box.right - box.left
    right = left + span
    first = np.clip(np.searchsorted(turn, left, side="right") - 1, 0, count - 1)
    last = np.where(
        right < 180.0,
        np.searchsorted(turn, right, side="left"),
        count + np.searchsorted(turn, right - 360.0, side="left"),
    )
    last = np.where(span >= 360.0, first + count - 1, np.minimum(last, first + count - 1))
    low = np.clip(np.searchsorted(up, box.down, side="right") - 1, 0, top)
    high = np.clip(np.searchsorted(up, box.up, side="left"), 0, top)
    return s.boxes.over(low, np.maximum(low, high), first, last)


def _sampled(values: list[Floats], nodes: list[Floats], low: Floats, high: Floats) -> list[Floats]:
    """Return values at low, at the nodes between and at high, in order; some may repeat."""
    out: list[Floats] = []
    for k in range(len(values)):
        first = max(k - 1, 0)
        at = low if k == 0 else np.minimum(nodes[k], high)
        share = (at - nodes[first]) / (nodes[first + 1] - nodes[first])
        v = values[first] + share * (values[first + 1] - values[first])
        out.append(v if k < 2 else np.where(share > 0.0, v, out[-1]))
    return out


def _extremes(values: list[Floats]) -> tuple[Floats, Floats]:
    low = high = values[0]
    for v in values[1:]:
        low, high = np.minimum(low, v), np.maximum(high, v)
    return low, high
