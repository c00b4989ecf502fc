"""Colours, line styles and levels of every picture: one table.

Percent of the limit is shown by lightness, from near white to near black violet through one gentle turn
of hue, built in CIE Lab so that equal steps of percent look equal, in colour, in grey and to colour-blind
people. No colour of the scale stands for permission.
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from matplotlib.colors import BoundaryNorm, LinearSegmentedColormap
from numpy.typing import NDArray

LEVELS = (1.0, 5.0, 20.0, 50.0, 100.0, 200.0, 500.0, 1000.0, 10000.0)
"""Percent of the limit at which the shading steps."""

CONTOURS = (5.0, 20.0, 100.0, 1000.0)
"""Percent at which lines are drawn unless the user chooses others."""

PAPER = "#ffffff"
INK = "#1d2430"
QUIET = "#6b7686"
STRUCTURE = "#8b95a3"
ANTENNA = "#0b5c77"
SILENT = "#9aa4b0"
PIN = "#b3126b"
LADDER = "#3b4656"

HEAVY_KINDS = ("penthouse", "tower", "mast", "wall")
"""Kinds of structure with a heavy outline on a plan."""


def _lab_to_rgb(lab: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return sRGB (n, 3) of CIE Lab D65 (n, 3), clipped to the gamut."""
    fy = (lab[:, 0] + 16.0) / 116.0
    f = np.stack([fy + lab[:, 1] / 500.0, fy, fy - lab[:, 2] / 200.0], axis=1)
    xyz = np.where(f > 6 / 29, f**3, 3 * (6 / 29) ** 2 * (f - 4 / 29)) * [0.95047, 1.0, 1.08883]
    linear = xyz @ np.array(
        [[3.2406, -0.9689, 0.0557], [-1.5372, 1.8758, -0.2040], [-0.4986, 0.0415, 1.0570]]
    )
    linear = np.clip(linear, 0.0, 1.0)
    return np.asarray(
        np.where(linear <= 0.0031308, 12.92 * linear, 1.055 * linear ** (1 / 2.4) - 0.055)
    )


@lru_cache(maxsize=1)
def colormap() -> LinearSegmentedColormap:
    """Return the scale: lightness 97 to 14 in even steps, hue from sand through rose to violet."""
    t = np.linspace(0.0, 1.0, 256)
    lightness = 97.0 - 83.0 * t
    hue = np.radians(85.0 - 145.0 * t)
    chroma = 8.0 + 46.0 * np.sin(np.pi * np.clip(t * 0.92 + 0.06, 0, 1)) ** 1.2
    lab = np.stack([lightness, chroma * np.cos(hue), chroma * np.sin(hue)], axis=1)
    return LinearSegmentedColormap.from_list("dusk", _lab_to_rgb(lab))


def norm() -> BoundaryNorm:
    """Return the step norm of the shading, in percent."""
    return BoundaryNorm([0.0, *LEVELS], 256, extend="max")


def contour_width(percent: float) -> float:
    """Return the line width of a contour: the limit itself is the heaviest."""
    return 2.2 if percent == 100.0 else 1.5 if percent >= 1000.0 else 0.9


def percent_label(percent: float) -> str:
    """Return a contour's label."""
    return f"{percent:g} %"


ZONE_FILLS = {
    "public": "#e8e1d6",
    "occupational": "#b3a3ae",
    "garment": "#8b7589",
    "ten times": "#5d4a66",
}
"""Zones by lightness, from the outside in; hatch and line tell them apart as well."""
ZONE_HATCHES = {"public": "//", "occupational": "xx", "garment": "++", "ten times": "**"}
ZONE_LINES: dict[str, tuple[float, str]] = {
    "public": (1.4, "solid"),
    "occupational": (2.4, "solid"),
    "garment": (1.8, (0, (1, 1))),  # type: ignore[dict-item]
    "ten times": (2.4, (0, (4, 1.2))),  # type: ignore[dict-item]
}
