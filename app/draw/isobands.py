"""A raster as the areas over each percent and the lines around them, made from the same values so that they agree.

Between the middles of cells the logarithm of the percent is interpolated. Areas are nested: each holds all that is at
or over its percent, so that they can be painted one over another without a seam. No figure is drawn here.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from contourpy import FillType, LineType, contour_generator
from matplotlib.path import Path
from numpy.typing import NDArray

from app.draw import style
from core.exposure.raster import Raster
from core.limits.tier import Tier

_LEAST = 1e-6
"""Percent that everything lower is drawn as."""


@dataclass(frozen=True, slots=True)
class Isobands:
    """What a raster looks like to one tier.

    Attributes
    ----------
    bounds : tuple
        What the raster covers, m.
    lowest : float
        Percent the whole of it is at least shaded as.
    areas : tuple of (percent, Path)
        Where it is that percent or more, from the lowest up; percents that nothing reaches are left out.
    lines : tuple of (percent, tuple of (n, 2) arrays)
        Where it is exactly that percent, in view coordinates, m.
    reactive : Path or None
        Where no figure is given.
    """

    bounds: tuple[float, float, float, float]
    lowest: float
    areas: tuple[tuple[float, Path], ...]
    lines: tuple[tuple[float, tuple[NDArray[np.float64], ...]], ...]
    reactive: Path | None


def isobands(raster: Raster, tier: Tier, percents: Sequence[float]) -> Isobands:
    """Return areas at the steps of the scale, and lines at the percents asked for."""
    u, v = middles(raster)
    shown = np.log10(np.maximum(100.0 * raster.of(tier).astype(np.float64), _LEAST))
    generator = contour_generator(
        u, v, _to_the_edge(shown), fill_type=FillType.OuterCode, line_type=LineType.Separate
    )
    low, high = 10.0 ** float(shown.min()), 10.0 ** float(shown.max())
    steps = [level for level in style.LEVELS if low < level <= high]
    areas = [(level, joined(*generator.filled(np.log10(level), np.inf))) for level in steps]
    wanted = [level for level in sorted(set(percents)) if low < level < high]
    lines = [
        (level, tuple(np.asarray(line) for line in generator.lines(np.log10(level))))
        for level in wanted
    ]
    return Isobands(
        raster.bounds, low, tuple((p, a) for p, a in areas if a is not None), tuple(lines),
        _reactive(raster),
    )  # fmt: skip


def _reactive(raster: Raster) -> Path | None:
    if not raster.reactive.any():
        return None
    u, v = middles(raster)
    flags = _to_the_edge(raster.reactive.astype(np.float64))
    generator = contour_generator(u, v, flags, fill_type=FillType.OuterCode)
    return joined(*generator.filled(0.5, np.inf))


def middles(raster: Raster) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return u and v of the middles of the cells, and of the edges of the raster beyond them."""
    u0, v0, u1, v1 = raster.bounds
    rows, columns = raster.public.shape
    u = u0 + (np.arange(columns) + 0.5) * (u1 - u0) / columns
    v = v0 + (np.arange(rows) + 0.5) * (v1 - v0) / rows
    return np.concatenate([[u0], u, [u1]]), np.concatenate([[v0], v, [v1]])


def _to_the_edge(values: NDArray[np.float64]) -> NDArray[np.float64]:
    """Carry the outermost cells to the edge of the raster."""
    return np.pad(values, 1, mode="edge")


def joined(points: list[NDArray[np.float64]], codes: list[NDArray[np.uint8]]) -> Path | None:
    """Return the pieces of an area, as contourpy gives them, as one path; None where there are none."""
    return Path(np.concatenate(points), np.concatenate(codes)) if points else None
