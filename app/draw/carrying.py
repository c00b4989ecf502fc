"""Quick pictures while one antenna is carried about: what does not change is drawn once and laid over the shading."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from matplotlib.artist import Artist
from matplotlib.backends.backend_agg import RendererAgg
from matplotlib.figure import Figure
from numpy.typing import NDArray


def overlay(figure: Figure, renderer: RendererAgg, under: Sequence[Artist]) -> NDArray[np.uint8]:
    """Return all of a figure but its paper and what lies ``under``, as (rows, columns, 4) bytes."""
    hidden = [a for a in (figure.patch, *under) if a.get_visible()]
    for artist in hidden:
        artist.set_visible(False)
    renderer.clear()
    figure.draw(renderer)
    for artist in hidden:
        artist.set_visible(True)
    return np.array(renderer.buffer_rgba())


def compose(
    figure: Figure,
    renderer: RendererAgg,
    under: Sequence[Artist],
    over: NDArray[np.uint8],
    last: Sequence[Artist],
) -> None:
    """Draw paper, what lies ``under``, an :func:`overlay`, and what comes ``last``."""
    renderer.clear()
    figure.patch.draw(renderer)
    for artist in sorted(under, key=Artist.get_zorder):
        artist.draw(renderer)
    renderer.draw_image(renderer.new_gc(), 0.0, 0.0, over[::-1])
    for artist in sorted(last, key=Artist.get_zorder):
        artist.draw(renderer)
