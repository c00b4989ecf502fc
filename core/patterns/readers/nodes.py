"""From single directions with a gain to a grid over the sphere."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from core.patterns.fill import complete_grid
from core.patterns.model import Grid, wrap
from core.patterns.readers.cuts import SAME_LEVEL
from core.patterns.readers.report import MOST_NODES, Report

Array = NDArray[np.float64]

WHOLE = "Give directions all round: 3 azimuths and 2 elevations at the least"


def grid_from_nodes(azimuth: Array, elevation: Array, gain: Array, report: Report) -> Grid:
    """Return a complete grid from directions in any order.

    Parameters
    ----------
    azimuth : Array
        Degrees clockwise.
    report : Report
        Where warnings are kept and refusals worded.

    Raises
    ------
    InputError
        E14 for one direction with two gains, E15 for too few directions, E06 for an elevation
        beyond the poles, E11 if the directions share so few rows and columns that the grid would
        be too large.
    """
    if azimuth.size < 4:
        raise report.refuse("E15", f"{azimuth.size} directions, 4 at least are needed", fix=WHOLE)
    if np.any(np.abs(elevation) > 90.0 + 1e-9):
        raise report.refuse(
            "E06",
            "an elevation lies beyond the poles",
            fix="Elevation runs from -90 (down) to 90 (up)",
        )
    turned = np.round(wrap(azimuth), 6)
    turned = np.where(turned >= 180.0, -180.0, turned)
    across, column = np.unique(turned, return_inverse=True)
    up, row = np.unique(np.clip(np.round(elevation, 6), -90.0, 90.0), return_inverse=True)
    if across.size * up.size > MOST_NODES:
        raise report.refuse(
            "E11",
            f"the directions need a grid of {across.size} by {up.size}",
            fix="Use the same azimuths in every row",
        )
    if across.size < 3 or up.size < 2:
        raise report.refuse(
            "E15", f"{across.size} azimuths by {up.size} elevations are no 3-D pattern", fix=WHOLE
        )
    flat = row * across.size + column
    highest = np.full(across.size * up.size, -np.inf)
    lowest = np.full(across.size * up.size, np.inf)
    np.maximum.at(highest, flat, gain)
    np.minimum.at(lowest, flat, gain)
    seen = np.isfinite(highest)
    spread = float(np.max(highest[seen] - lowest[seen]))
    if spread > SAME_LEVEL:
        k = int(np.argmax(np.where(seen, highest - lowest, -1.0)))
        raise report.refuse(
            "E14",
            f"azimuth {across[k % across.size]:g}, elevation {up[k // across.size]:g} is given twice,"
            f" {spread:.2f} dB apart",
            fix="Keep one value for each direction",
        )
    if azimuth.size > np.count_nonzero(seen):
        report.warn("W14", "directions given twice; the higher value was kept")
    table = np.where(seen, highest, np.nan).reshape(up.size, across.size)
    grid = complete_grid(across, up, table)
    missing = float(np.mean(grid.filled))
    if missing > 0.0:
        report.warn("W15", f"{100.0 * missing:.1f} % of the sphere is missing and was filled high")
    return grid
