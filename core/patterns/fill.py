"""Completing a scattered or partial 3-D pattern to the whole sphere, erring high."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from core.arrays import Floats
from core.patterns.envelope import UNKNOWN_LOSS
from core.patterns.model import Grid

Array = NDArray[np.float64]

WIDE_GAP = 2.5
"""Gaps of this many usual steps are missing data, not coarse sampling."""
FINEST_FILL = 2.0
"""Degrees between nodes put into a gap, at least."""


def complete_grid(azimuth: Floats, elevation: Floats, gain: Floats) -> Grid:
    """Return a grid over the whole sphere from one that may have holes or edges.

    Parameters
    ----------
    azimuth : array (na,)
        Ascending in [-180, 180).
    elevation : array (ne,)
        Ascending in [-90, 90].
    gain : array (ne, na)
        dBi, NaN where the file says nothing; at least one value.

    Notes
    -----
    A direction without data gets the largest of: 20 dB below the peak; what the nearest measured
    directions around it have; the level found anywhere as far off the axis or farther.
    """
    given = (np.array(part, dtype=np.float64) for part in (azimuth, elevation, gain))
    azimuth, elevation, gain = _with_gaps(*given)
    filled = np.isnan(gain)
    if np.any(filled):
        known = np.where(filled, -np.inf, gain)
        floor = float(known.max()) - UNKNOWN_LOSS
        cautious = np.maximum(
            np.maximum(_grown(known), _revolved(azimuth, elevation, known)), floor
        )
        gain = np.where(filled, cautious, gain)
    return Grid(azimuth, elevation, gain, filled)


def _with_gaps(azimuth: Array, elevation: Array, gain: Array) -> tuple[Array, Array, Array]:
    """Return the grid with empty nodes in every gap much wider than the usual step, and both poles.

    A pole within that reach of the last row takes the largest value of the row.
    """
    across = np.sort(
        np.concatenate((azimuth, _between(np.append(azimuth, azimuth[0] + 360.0), azimuth)))
    )
    up = np.unique(np.concatenate(([-90.0], elevation, [90.0])))
    up = np.sort(np.concatenate((up, _between(up, elevation))))
    out = np.full((up.size, across.size), np.nan)
    out[np.ix_(np.searchsorted(up, elevation), np.searchsorted(across, azimuth))] = gain
    for pole, neighbour in ((0, 1), (-1, -2)):
        if np.all(np.isnan(out[pole])) and np.all(np.isfinite(out[neighbour])):
            near = abs(up[pole] - up[neighbour]) <= WIDE_GAP * _usual_step(elevation)
            if near and up[neighbour] in elevation:
                out[pole] = out[neighbour].max()
    return across, up, out


def _usual_step(nodes: Array) -> float:
    return float(np.percentile(np.diff(nodes), 75))


def _between(closed: Array, nodes: Array) -> Array:
    """Return nodes to put into wide gaps of ``closed``, judged by the steps of ``nodes``."""
    usual = _usual_step(nodes)
    gaps = np.flatnonzero(np.diff(closed) > WIDE_GAP * usual)
    extra = [
        np.linspace(a, b, int(np.ceil((b - a) / max(usual, FINEST_FILL))) + 1)[1:-1]
        for a, b in zip(closed[gaps], closed[gaps + 1], strict=True)
    ]
    found = np.concatenate([np.zeros(0), *extra])
    return np.where(found >= 180.0, found - 360.0, found)


def _grown(known: Array) -> Array:
    """Return values spread into the empty nodes, ring by ring, each the largest of its neighbours."""
    spread = known
    while np.any(np.isneginf(spread)):
        wide = np.maximum(np.maximum(np.roll(spread, 1, 1), np.roll(spread, -1, 1)), spread)
        around = wide.copy()
        around[1:] = np.maximum(around[1:], wide[:-1])
        around[:-1] = np.maximum(around[:-1], wide[1:])
        spread = np.where(np.isneginf(spread), around, spread)
    return spread


def _revolved(azimuth: Array, elevation: Array, known: Array) -> Array:
    """Return for each node the largest value known as far off the axis or farther."""
    row, column = np.unravel_index(int(np.argmax(known)), known.shape)
    up, turn = np.radians(elevation)[:, None], np.radians(azimuth - azimuth[column])[None, :]
    peak = np.radians(elevation[row])
    cosine = np.sin(up) * np.sin(peak) + np.cos(up) * np.cos(peak) * np.cos(turn)
    flat, order = known.ravel(), np.argsort(cosine, axis=None)
    out = np.empty_like(flat)
    out[order] = np.maximum.accumulate(flat[order])
    return out.reshape(known.shape)
