"""What is being drawn with the mouse: line so far, rubber band, the place it snaps to, what to do next."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from matplotlib.artist import Artist
from matplotlib.axes import Axes
from matplotlib.lines import Line2D

from app.draw import style
from core.fences.outlines import Place

_LETTER, _MARGIN, _LEAST = 6.9, 16.0, 24
"""Pixels of a letter of the words, pixels beside them, and letters of a line at least."""


@dataclass(frozen=True, slots=True)
class Sketch:
    """A drawing in progress, in view coordinates, m.

    Attributes
    ----------
    line, corners : sequence of places
        What stands, and its corners; a closed line repeats its first place.
    rubber : sequence of places
        What would follow.
    mark : place or None
        Where the next press acts; ``snapped`` says that something drew it there, ``on_corner`` a corner.
    selected : place or None
        The corner that keys act on.
    hint, state : str
        What can be done, and where the mark is.
    """

    line: Sequence[Place] = ()
    corners: Sequence[Place] = ()
    rubber: Sequence[Place] = ()
    mark: Place | None = None
    snapped: bool = False
    on_corner: bool = False
    selected: Place | None = None
    hint: str = ""
    state: str = ""


class SketchArt:
    """Artists that are drawn by blit over the finished map; made once, with the first sketch, and updated."""

    def __init__(self, axes: Axes) -> None:
        self._axes, self._is_made = axes, False
        self.sketch: Sketch | None = None

    def _make(self) -> None:
        axes, self._is_made = self._axes, True

        def line(**style_: object) -> Line2D:
            made = Line2D([], [], animated=True, zorder=25)
            made.set(**style_)
            axes.add_line(made)
            return made

        hollow = {"ls": "", "mfc": "none", "ms": 13}
        # A pale line under each dark one: the shading goes from near white to near black.
        self._under = [line(color=style.PAPER, lw=4.6, alpha=0.9) for _ in range(2)]
        self._line = line(color=style.PIN, lw=2.4)
        self._rubber = line(color=style.PIN, lw=1.6, ls=(0, (4, 2)))
        self._corners = line(ls="", marker="s", ms=6, mfc=style.PAPER, mec=style.PIN, mew=1.6)
        self._selected = line(ls="", marker="s", ms=9, mfc=style.PIN, mec=style.PAPER)
        self._halo = line(mec=style.PAPER, mew=4.6, **hollow)
        self._mark = line(mec=style.INK, mew=2.0, **hollow)
        self._words = axes.annotate(
            "",
            (0.0, 1.0),
            xycoords="axes fraction",
            xytext=(5, -5),
            textcoords="offset points",
            ha="left",
            va="top",
            fontsize=8.5,
            color=style.PAPER,
            linespacing=1.35,
            bbox={"facecolor": style.INK, "edgecolor": "none", "pad": 3.5},
            animated=True,
            zorder=31,
        )

    @property
    def artists(self) -> tuple[Artist, ...]:
        """What to draw now, from below upwards."""
        if self.sketch is None:
            return ()
        lines = (*self._under, self._line, self._rubber, self._corners, self._selected)
        return (*lines, self._halo, self._mark, self._words)

    def show(self, sketch: Sketch | None) -> None:
        """Take over a sketch; None shows nothing."""
        self.sketch = sketch
        if sketch is None:
            return
        if not self._is_made:
            self._make()
        for artist, places in (
            (self._under[0], sketch.line),
            (self._line, sketch.line),
            (self._under[1], sketch.rubber),
            (self._rubber, sketch.rubber),
            (self._corners, sketch.corners),
            (self._selected, [sketch.selected] if sketch.selected else []),
        ):
            artist.set_data(*np.array(places, dtype=float).reshape(-1, 2).T)
        for artist in (self._halo, self._mark):
            artist.set_data(*np.array([sketch.mark] if sketch.mark else []).reshape(-1, 2).T)
            artist.set_marker("s" if sketch.on_corner else "o" if sketch.snapped else "+")
        said = "\n".join(part for part in (sketch.hint, sketch.state) if part)
        axes = self._words.axes
        across = int((axes.bbox.width - _MARGIN) / _LETTER) if axes is not None else _LEAST
        lines = (textwrap.fill(line, max(across, _LEAST)) for line in said.split("\n"))
        self._words.set_text("\n".join(lines))
