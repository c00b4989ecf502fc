"""What those who draw parts of a site on a map are given: axes, colours, and where words go."""

from __future__ import annotations

from typing import Protocol

from matplotlib.artist import Artist
from matplotlib.axes import Axes

from app.draw.notes import Notes
from app.draw.style import Palette
from core.fences.fence import Check


class Drawing(Protocol):
    """The drawing that parts are added to."""

    axes: Axes
    palette: Palette
    notes: Notes
    checks: dict[str, Check]
    feet: bool
    selected: str

    def add(self, artist: Artist) -> None:
        """Keep an artist until the site is drawn anew."""

    def note(
        self, text: str, u: float, v: float, offset: tuple[float, float], *, bold: bool = False
    ) -> None:
        """Write a word beside a place."""
