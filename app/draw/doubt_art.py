"""Marks of what should be looked at, beside the things they are about: on screen only."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from app.draw.drawing import Drawing
from core.reading.doubt import Doubt
from core.views.views import View

_AWAY = (-13.0, 10.0)
"""Points from the thing to its mark."""


def draw_doubts(drawing: Drawing, doubts: Sequence[Doubt], view: View) -> None:
    """Draw a mark beside every place of a ``view`` that ``doubts`` are about; several about one place share it."""
    colours = drawing.palette
    u0, v0, u1, v1 = view.bounds
    places = np.array([d.place for d in doubts if d.place is not None], dtype=np.float64)
    seen = view.to_view(places.reshape(-1, 3))
    for u, v in dict.fromkeys((round(float(u), 3), round(float(v), 3)) for u, v in seen):
        if not (u0 <= u <= u1 and v0 <= v <= v1):
            continue
        mark = drawing.axes.annotate(
            "!", (u, v), _AWAY, textcoords="offset points", ha="center", va="center", fontsize=9.0,
            fontweight="bold", color=colours.pin, zorder=9.0,
            bbox={"boxstyle": "circle,pad=0.25", "fc": colours.paper, "ec": colours.pin, "lw": 1.6},
        )  # fmt: skip
        drawing.add(mark)
