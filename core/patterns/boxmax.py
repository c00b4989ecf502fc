"""Largest table value over many index boxes at once."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from core.arrays import Floats

Indices = NDArray[np.signedinteger[Any]]


def _sliding(values: NDArray[np.float32], shift: int) -> NDArray[np.float32]:
    """Return max(values[i], values[i + shift]) along the last axis, the tail kept as it is."""
    if shift >= values.shape[-1]:
        return values
    out = values.copy()
    np.maximum(values[..., :-shift], values[..., shift:], out=out[..., :-shift])
    return out


class BoxMaximum:
    """Windows of 2^k by 2^m nodes, kept at every quarter window, answer any box with four look-ups.

    The windows reach at most a quarter of their length beyond the box on each side, which keeps the
    memory near sixteen times the table instead of one copy for each pair of sizes, and the answer is
    an upper bound that is exact for boxes up to a few nodes. Values are kept in float32 rounded up.
    """

    def __init__(self, table: Floats) -> None:
        """Build from a table (rows, columns); columns are cyclic."""
        self._rows, self._columns = table.shape
        rounded = np.nextafter(table.astype(np.float32), np.float32(np.inf))
        twice = np.hstack((rounded, rounded))
        tall, wide = (max(size - 1, 1).bit_length() + 1 for size in (self._rows, self._columns))
        self._start = np.zeros((tall, wide), dtype=np.intp)
        self._width = np.zeros(wide, dtype=np.intp)
        parts: list[NDArray[np.float32]] = []
        at = 0
        across = twice
        for m in range(wide):
            if m > 0:
                across = _sliding(across, 1 << (m - 1))
            narrow = np.ascontiguousarray(across[:, :: self._stride(m)])
            self._width[m] = narrow.shape[1]
            down = narrow.T
            for k in range(tall):
                if k > 0:
                    down = _sliding(down, 1 << (k - 1))
                kept = np.ascontiguousarray(down[:, :: self._stride(k)].T)
                self._start[k, m] = at
                at += kept.size
                parts.append(kept.ravel())
        self._flat = np.concatenate(parts)

    @staticmethod
    def _stride(k: int) -> int:
        return 1 << max(k - 2, 0)

    @staticmethod
    def _windows(first: Indices, last: Indices) -> tuple[Indices, Indices, Indices]:
        """Return the size class and the two kept windows that cover first..last together."""
        length = last - first + 1
        # Two windows on a quarter-window raster cover 1.5 * 2^k + 2 nodes for certain; below
        # k = 2 every window is kept and two cover 2^(k+1).
        size = np.zeros_like(length)
        for k in range(1, 40):
            previous = k - 1
            covered = 2 << previous if previous < 2 else (3 << previous) // 2 + 2
            longer = length > covered
            if not np.any(longer):
                break
            size = np.where(longer, k, size)
        stride = np.left_shift(1, np.maximum(size - 2, 0))
        one = first // stride
        two = np.maximum(last + 1 - np.left_shift(1, size), first)
        two = np.maximum(-(-two // stride), one)
        return size, one, two

    def over(self, row_lo: Indices, row_hi: Indices, col_lo: Indices, col_hi: Indices) -> Floats:
        """Return the bound for boxes of nodes, both ends included.

        ``col_hi`` may run past the last column: it then wraps. A box is at most one turn wide.
        """
        k, top, bottom = self._windows(row_lo, row_hi)
        m, left, right = self._windows(col_lo, col_hi)
        start, width = self._start[k, m], self._width[m]
        best = self._flat[start + top * width + left]
        for row, column in ((top, right), (bottom, left), (bottom, right)):
            best = np.maximum(best, self._flat[start + row * width + column])
        return np.asarray(best, dtype=np.float64)
