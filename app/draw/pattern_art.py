"""A picture of an antenna's pattern: its two principal cuts, polar, in dB below the largest."""

from __future__ import annotations

from typing import Any

import numpy as np
from matplotlib.figure import Figure

from app.draw.style import Palette
from core.antennas.cuts import Cuts
from core.units import show_frequency

DEEPEST = 40.0
"""dB below the largest gain that the middle of a picture stands for."""
_RINGS = (10.0, 20.0, 30.0, 40.0)
_SIZE = 7.0
"""Points of the words."""


def draw_cuts(figure: Figure, cuts: Cuts, palette: Palette) -> None:
    """Draw both cuts side by side on an empty ``figure``, in the colours of a ``palette``.

    The level cut is seen from above with the boresight up; the upright one from the antenna's right, the boresight to
    the right.
    """
    figure.clear()
    figure.set_facecolor(palette.paper)
    most = float(max(cuts.level.max(), cuts.upright.max()))
    for i, (title, angles, gain, zero, turn) in enumerate(
        (
            ("level", cuts.azimuth, cuts.level, "N", -1),
            ("upright", cuts.elevation, cuts.upright, "E", 1),
        )
    ):
        axes: Any = figure.add_axes((0.5 * i + 0.08, 0.14, 0.34, 0.64), projection="polar")
        axes.set_theta_zero_location(zero)
        axes.set_theta_direction(turn)
        axes.set_facecolor(palette.paper)
        axes.plot(
            np.radians(angles), np.maximum(gain - most, -DEEPEST), color=palette.antenna, lw=1.6
        )
        axes.set_rlim(-DEEPEST, 0.0)
        axes.set_rgrids([-ring for ring in _RINGS[:3]], labels=[])
        axes.set_thetagrids(range(0, 360, 90), labels=["0°", "90°", "180°", "-90°"])
        axes.tick_params(labelsize=_SIZE, colors=palette.ink, pad=-3.0)
        axes.grid(color=palette.quiet, lw=0.5, alpha=0.7)
        axes.spines["polar"].set_color(palette.quiet)
        axes.set_title(title, fontsize=_SIZE + 1.0, color=palette.ink, pad=9.0)
    figure.text(
        0.5,
        0.02,
        f"{show_frequency(cuts.frequency)}: {most:.1f} dBi at the edge, 10 dB a ring",
        ha="center",
        fontsize=_SIZE,
        color=palette.ink,
    )
