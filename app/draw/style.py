"""Colours, line styles and levels of every picture: one table.

Percent of the limit is shown by how far the shading is from the paper, built in CIE Lab: five pale steps of nearly
no hue up to the limit, then a break in lightness that is wider than any other step, then five strong steps.
On dark paper the same steps go the other way. Lightness alone tells them apart, in grey and for
colour-blind people; no colour of the scale stands for permission.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np
from matplotlib.colors import BoundaryNorm, ListedColormap, to_rgb
from numpy.typing import NDArray

LEVELS = (1.0, 5.0, 20.0, 50.0, 100.0, 200.0, 500.0, 1000.0, 10000.0)
"""Percent of the limit at which the shading steps."""

CONTOURS = (5.0, 20.0, 100.0, 1000.0)
"""Percent at which lines are drawn unless the user chooses others."""


@dataclass(frozen=True, slots=True)
class Palette:
    """The colours of a map on one paper.

    ``zones`` are the fills of proven zones from the outside in, ``lightness``, ``chroma`` and ``hue`` (degrees) the
    CIE LCh steps of the scale, from the lowest percent up.
    """

    paper: str
    ink: str
    quiet: str
    structure: str
    antenna: str
    silent: str
    pin: str
    ladder: str
    zones: tuple[str, str, str, str]
    lightness: tuple[float, ...]
    chroma: tuple[float, ...]
    hue: tuple[float, ...]

    @property
    def shades(self) -> NDArray[np.float64]:
        """sRGB (steps, 3) of the scale."""
        turn = np.radians(self.hue)
        lab = np.stack(
            [self.lightness, self.chroma * np.cos(turn), self.chroma * np.sin(turn)], axis=1
        )
        return lab_to_rgb(lab)

    def zone_fill(self, key: str) -> str:
        """Return the fill of a zone by the key of its step; one that was asked for has its tier's."""
        return self.zones[tuple(ZONE_HATCHES).index(key)]


LIGHT = Palette(
    paper="#ffffff",
    ink="#1d2430",
    quiet="#5d6877",
    structure="#77818f",
    antenna="#0b5c77",
    silent="#7d8793",
    pin="#b3126b",
    ladder="#3b4656",
    zones=("#e8e1d6", "#b3a3ae", "#8b7589", "#5d4a66"),
    lightness=(98.0, 94.5, 91.0, 87.5, 83.5, 63.0, 52.0, 41.0, 29.0, 16.0),
    chroma=(1.0, 3.0, 5.0, 7.0, 8.0, 44.0, 50.0, 48.0, 40.0, 24.0),
    hue=(250.0, 250.0, 250.0, 250.0, 250.0, 345.0, 332.0, 320.0, 310.0, 300.0),
)
"""White paper: prints, files and light desktops."""

DARK = Palette(
    paper="#14181e",
    ink="#eef1f5",
    quiet="#a3adba",
    structure="#8b97a6",
    antenna="#7fd0ec",
    silent="#8d98a5",
    pin="#ff8cc6",
    ladder="#b9c4d2",
    zones=("#343a42", "#75677d", "#9f8ea8", "#c9b4d3"),
    lightness=(9.5, 13.5, 17.5, 21.5, 26.0, 50.0, 60.0, 70.0, 80.0, 93.0),
    chroma=(2.0, 4.0, 6.0, 8.0, 9.0, 48.0, 46.0, 38.0, 26.0, 10.0),
    hue=(250.0, 250.0, 250.0, 250.0, 250.0, 345.0, 332.0, 320.0, 310.0, 300.0),
)
"""Dark desktops."""

STRONG_LIGHT = replace(
    LIGHT,
    ink="#000000",
    quiet="#000000",
    structure="#333333",
    antenna="#00344a",
    silent="#4d4d4d",
    pin="#8a0050",
    ladder="#000000",
)
STRONG_DARK = replace(
    DARK,
    paper="#000000",
    ink="#ffffff",
    quiet="#ffffff",
    structure="#d9d9d9",
    antenna="#a8ecff",
    silent="#c2c2c2",
    pin="#ffb3da",
    ladder="#ffffff",
)
"""For people who ask their desktop, or the View menu, for strong contrast: no word and no line is grey."""

HEAVY_KINDS = ("penthouse", "tower", "mast", "wall")
"""Kinds of structure with a heavy outline on a plan."""

PAPER, INK, QUIET, STRUCTURE = LIGHT.paper, LIGHT.ink, LIGHT.quiet, LIGHT.structure
ANTENNA, SILENT, PIN, LADDER = LIGHT.antenna, LIGHT.silent, LIGHT.pin, LIGHT.ladder


def palette_on(paper: str, *, strong: bool = False) -> Palette:
    """Return the palette for a desktop whose fields have a colour, with strong contrast where it is asked for."""
    if luminance(to_rgb(paper)) < 0.18:
        return STRONG_DARK if strong else DARK
    return STRONG_LIGHT if strong else LIGHT


def luminance(rgb: tuple[float, ...]) -> float:
    """Return the relative luminance of an sRGB colour, 0 to 1 (IEC 61966-2-1)."""
    v = np.array(rgb[:3])
    linear = np.where(v <= 0.04045, v / 12.92, ((v + 0.055) / 1.055) ** 2.4)
    return float(linear @ [0.2126, 0.7152, 0.0722])


HEAVY_KINDS = ("penthouse", "tower", "mast", "wall")
"""Kinds of structure with a heavy outline on a plan."""

HEAVY_KINDS = ("penthouse", "tower", "mast", "wall")
"""Kinds of structure with a heavy outline on a plan."""


def lab_to_rgb(lab: NDArray[np.float64]) -> NDArray[np.float64]:
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


@lru_cache(maxsize=4)
def colormap(palette: Palette = LIGHT) -> ListedColormap:
    """Return the scale, one colour a step."""
    return ListedColormap(palette.shades.tolist(), "percent")


def norm() -> BoundaryNorm:
    """Return the step norm of the shading, in percent."""
    return BoundaryNorm([0.0, *LEVELS], len(LEVELS) + 1, extend="max")


def shade(percent: float, palette: Palette = LIGHT) -> tuple[float, float, float]:
    """Return the colour of a percent."""
    r, g, b, _ = colormap(palette)(norm()(percent))
    return float(r), float(g), float(b)


def contour_width(percent: float) -> float:
    """Return the line width of a contour: the limit itself is by far the heaviest."""
    return 3.0 if percent == 100.0 else 1.4 if percent >= 1000.0 else 0.8


def percent_label(percent: float) -> str:
    """Return a contour's label."""
    return f"{percent:g} %"


ZONE_HATCHES = {"public": "//", "occupational": "xx", "garment": "++", "ten times": "**"}
ZONE_FILLS = dict(zip(ZONE_HATCHES, LIGHT.zones, strict=True))
"""Zones by lightness, from the outside in; hatch and line tell them apart as well."""
ZONE_LINES: dict[str, tuple[float, str]] = {
    "public": (1.8, "solid"),
    "occupational": (2.6, "solid"),
    "garment": (1.8, (0, (1, 1))),  # type: ignore[dict-item]
    "ten times": (2.4, (0, (4, 1.2))),  # type: ignore[dict-item]
}
