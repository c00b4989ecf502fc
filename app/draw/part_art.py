"""The part of a site that is chosen, marked on a map."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from matplotlib.lines import Line2D

from app.draw.drawing import Drawing
from core.site.parts import Part, Shape, value_of
from core.site.places import AccessPoint, Ladder, Picture, Structure, Surface
from core.site.site import Site
from core.views.views import ElevationView, View

_LINE, _SEAM = 2.6, 5.2
"""Points: the line, and the pale seam it lies on."""
_ORDER = 4.5
"""Over what stands there, under antennas: their numbers are read while a shape is chosen."""


def draw_part(drawing: Drawing, site: Site, view: View, part: Part) -> None:
    """Draw the chosen part over all else; nothing where it has no place, as the site itself."""
    shape = value_of(site, part)
    if shape is None or isinstance(shape, Site):
        return
    colours = drawing.palette
    for line in part_lines(shape, view):
        for width, colour in ((_SEAM, colours.paper), (_LINE, colours.pin)):
            mark = Line2D(*np.array(line).T, color=colour, lw=width, zorder=_ORDER)
            if len(line) == 1:
                mark.set(marker="D", ms=9.0, mfc="none", mew=width / 2.0 + 0.5, ls="")
            drawing.add(drawing.axes.add_artist(mark))


def part_lines(shape: Shape, view: View) -> list[Sequence[Sequence[float]]]:
    """Return what is drawn of a shape, as lines of places (u, v); a line of one place is a mark."""
    if isinstance(shape, Ladder):
        return [view.to_view(np.array(shape.points)).tolist()]
    if isinstance(shape, AccessPoint):
        return [view.to_view(np.array([shape.position])).tolist()]
    if isinstance(view, ElevationView):
        return [] if isinstance(shape, Picture) else [_span(shape, view)]
    if isinstance(shape, Picture):
        return [[shape.origin]]
    rings = (shape.outline, *(shape.holes if isinstance(shape, Surface) else ()))
    if isinstance(shape, Structure) and shape.kind in Structure.LINES:
        return [shape.outline]
    return [(*ring, ring[0]) for ring in rings]


def _span(shape: Surface | Structure, view: ElevationView) -> list[list[float]]:
    """Return the box of a shape as a vertical plane shows it; of a surface its line."""
    u = view.to_view(np.array([(x, y, 0.0) for x, y in shape.outline]))[:, 0]
    low, high = float(u.min()), float(u.max())
    if isinstance(shape, Surface):
        return [[low, shape.height], [high, shape.height]]
    base, top = shape.base, shape.top
    return [[low, base], [high, base], [high, top], [low, top], [low, base]]
