"""The two-sided scale of differences: its steps, and what a rise and a fall look like, on light and dark paper.

Where nothing changed to speak of there is only paper. Both sides go away from the paper step by step, in lightness
alone as well, and a fall is hatched besides: grey print and colour-blind people tell the sides apart by the hatch and
by the lines (solid for a rise, dashed for a fall), others by brown and blue too. No colour stands for permission.
"""

from __future__ import annotations

from functools import lru_cache
from typing import Literal

import numpy as np
from matplotlib.colors import to_hex

from app.draw.style import DARK, LIGHT, Palette, lab_to_rgb

Quantity = Literal["decibels", "points"]

STEPS: dict[Quantity, tuple[float, ...]] = {
    "decibels": (0.1, 1.0, 3.0, 10.0),
    "points": (1.0, 20.0, 100.0, 1000.0),
}
"""Sizes at which the shading of a rise and of a fall steps; under the first nothing changed to speak of."""
UNITS: dict[Quantity, str] = {"decibels": "dB", "points": "percent points"}

FALL_HATCH = "\\\\\\\\"
GAINED_HATCH, LOST_HATCH = "||", ".."
"""Hatches of a fall, and of what a zone gained and lost."""

_RISE, _FALL = 55.0, 250.0
_LIGHTNESS = {
    LIGHT.paper: ((88.0, 72.0, 52.0, 32.0), (93.0, 86.0, 77.0, 66.0)),
    DARK.paper: ((27.0, 44.0, 63.0, 84.0), (20.0, 28.0, 37.0, 47.0)),
}
_CHROMA = ((18.0, 40.0, 52.0, 38.0), (8.0, 16.0, 23.0, 30.0))


@lru_cache(maxsize=2)
def shades(palette: Palette = LIGHT) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Return the colours of a rise and of a fall, each from the smallest to the largest."""
    sides = []
    for lightness, chroma, hue in zip(
        _LIGHTNESS[palette.paper], _CHROMA, (_RISE, _FALL), strict=True
    ):
        turn, far = np.radians(hue), np.array(chroma)
        lab = np.stack([lightness, far * np.cos(turn), far * np.sin(turn)], axis=1)
        sides.append(tuple(to_hex(c) for c in lab_to_rgb(lab)))
    return sides[0], sides[1]


def signed(step: float, quantity: Quantity) -> str:
    """Return a step with its sign, and dB where it is of those."""
    return f"{step:+g}{' dB' if quantity == 'decibels' else ''}"
