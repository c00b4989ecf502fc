"""A difference of two states as the areas beyond each step, and the lines around them. No figure is drawn here."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from contourpy import ContourGenerator, FillType, LineType, contour_generator
from matplotlib.path import Path
from numpy.typing import NDArray

from app.draw.change_style import STEPS, Quantity
from app.draw.isobands import joined, middles
from core.changes.difference_map import ChangeMap
from core.limits.tier import Tier

_FAR = {"decibels": 60.0, "points": 1e6}
"""Where a difference is drawn as no larger: what came out of nothing, or went into it."""


@dataclass(frozen=True, slots=True)
class ChangeBands:
    """What a difference looks like to one tier.

    Attributes
    ----------
    quantity : {"decibels", "points"}
    bounds : tuple
        What it covers, m.
    rises, falls : tuple of (step, Path)
        Where it rose, or fell, by that or more, from the smallest up; steps that nothing reaches are left out.
    lines : tuple of (signed step, tuple of (n, 2) arrays)
        Where the difference is exactly that, in view coordinates, m.
    no_figure : Path or None
        Inside a reactive region before or after.
    """

    quantity: Quantity
    bounds: tuple[float, float, float, float]
    rises: tuple[tuple[float, Path], ...]
    falls: tuple[tuple[float, Path], ...]
    lines: tuple[tuple[float, tuple[NDArray[np.float64], ...]], ...]
    no_figure: Path | None


def change_bands(change: ChangeMap, tier: Tier, quantity: Quantity = "decibels") -> ChangeBands:
    """Return where the exposure rose and fell against a tier's limit, step by step.

    There is nothing where there is no figure; in decibels, nor where both states are slight.
    """
    rise = change.decibels(tier) if quantity == "decibels" else change.points(tier)
    far = _FAR[quantity]
    silent = change.no_figure
    if quantity == "decibels":
        silent = silent | change.slight(tier)
    values = np.where(silent, np.nan, np.clip(rise, -far, far))
    known = values[~silent]
    low, high = (float(known.min()), float(known.max())) if known.size else (0.0, 0.0)
    up = _generator(change, values)
    down = _generator(change, -values)
    rises, falls = (
        tuple((s, area) for s in STEPS[quantity] if s < most and (area := _area(g, s)) is not None)
        for g, most in ((up, high), (down, -low))
    )
    shown = [s for step in STEPS[quantity] for s in (-step, step) if low < s < high]
    lines = [(s, tuple(np.asarray(line) for line in up.lines(s))) for s in sorted(shown)]
    none = None
    if change.no_figure.any():
        none = _area(_generator(change, change.no_figure.astype(np.float64)), 0.5)
    return ChangeBands(quantity, change.after.bounds, rises, falls, tuple(lines), none)


def _generator(change: ChangeMap, values: NDArray[np.float64]) -> ContourGenerator:
    u, v = middles(change.after)
    padded = np.ma.masked_invalid(np.pad(values, 1, mode="edge"))
    return contour_generator(
        u, v, padded, fill_type=FillType.OuterCode, line_type=LineType.Separate
    )


def _area(generator: ContourGenerator, step: float) -> Path | None:
    return joined(*generator.filled(step, np.inf))
