"""Finding the table cell of an angle quickly when the steps differ."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

import numpy as np
from numpy.typing import NDArray

from core.arrays import Floats

_MOST_BINS = 1 << 17


@dataclass(frozen=True, slots=True, eq=False)
class Axis:
    """Ascending nodes of one side of a table.

    Bins no wider than the smallest step point at the cell their start lies in, so one comparison
    finishes the search. A step too small for that falls back to bisection.
    """

    nodes: Floats
    _bins: NDArray[np.intp] | None = field(init=False, repr=False)
    _copies: dict[str, tuple[Floats, Floats]] = field(init=False, repr=False)

    def __post_init__(self) -> None:
        nodes = np.array(self.nodes, dtype=np.float64)
        steps = np.diff(nodes)
        count = int(np.ceil((nodes[-1] - nodes[0]) / steps.min() * 1.001)) + 1
        bins = None
        if count <= _MOST_BINS:
            starts = nodes[0] + (nodes[-1] - nodes[0]) / count * np.arange(count + 1)
            bins = np.searchsorted(nodes, starts, side="right") - 1
            bins = np.clip(bins, 0, nodes.size - 2)
        object.__setattr__(self, "nodes", nodes)
        object.__setattr__(self, "_bins", bins)
        copies = {
            kind: (nodes.astype(kind), (1.0 / steps).astype(kind))
            for kind in ("float32", "float64")
        }
        object.__setattr__(self, "_copies", copies)

    def locate(self, value: NDArray[Any]) -> tuple[NDArray[np.intp], Floats]:
        """Return the cell index and the share (0 to 1) of the way through it.

        Values outside the axis are taken to its ends.
        """
        nodes, inverse = self._copies[value.dtype.name]
        if self._bins is None:
            cell = np.searchsorted(nodes, value, side="right") - 1
            cell = np.clip(cell, 0, nodes.size - 2)
        else:
            count = self._bins.size - 1
            scale = value.dtype.type(count / (self.nodes[-1] - self.nodes[0]))
            slot = ((value - nodes[0]) * scale).astype(np.intp)
            cell = self._bins[np.clip(slot, 0, count, out=slot)]
            cell = cell + (value >= nodes[cell + 1])
            np.minimum(cell, nodes.size - 2, out=cell)
        share = (value - nodes[cell]) * inverse[cell]
        return cell, np.clip(share, value.dtype.type(0.0), value.dtype.type(1.0))
