"""What stands on a site: surfaces, structures, ladders, access points, antennas, the plan picture."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from pathlib import Path

import numpy as np
from matplotlib.collections import LineCollection
from matplotlib.lines import Line2D
from matplotlib.patches import Polygon as PolygonPatch

from app.draw import style
from app.draw.drawing import Drawing
from app.draw.fence_art import draw_ladder_fences, draw_plan_fences
from app.draw.picture import draw_picture
from app.draw.placing import IN_PLANE, antenna_metal, beside, numbers
from core.site.site import Antenna, Site
from core.units import FOOT
from core.views.views import ElevationView, View

_GROUPED = 14.0
"""Points within which antennas share a label."""

_BORESIGHT = 17.0
"""Points that the line of a boresight is long."""


def draw_plan(drawing: Drawing, site: Site, picture_at: Path | None) -> None:
    """Draw what stands on a plan."""
    picture = draw_picture(drawing.axes, site, picture_at, drawing.palette)
    if picture is not None:
        drawing.add(picture)
    colours = drawing.palette
    for surface in sorted(site.surfaces, key=lambda s: s.height):
        if surface.kind != "ground":
            _shape(drawing, surface.outline, colours.structure, 0.9, "dashed")
    for structure in site.structures:
        heavy = 1.6 if structure.kind in style.HEAVY_KINDS else 1.1
        closed = structure.kind not in structure.LINES
        _shape(drawing, structure.outline, colours.ink, heavy, "solid", closed=closed)
    for ladder in site.ladders:
        points = np.array(ladder.points)[:, :2]
        drawing.add(
            drawing.axes.plot(*points.T, "s-", ms=4, color=colours.ladder, lw=1, zorder=5)[0]
        )
    for access in site.access_points:
        x, y, _ = access.position
        _gate(drawing, x, y)
        drawing.note(access.name, x, y, (7, -3))
    draw_plan_fences(drawing, site)


def draw_elevation(drawing: Drawing, site: Site, view: ElevationView) -> None:
    """Draw what stands behind and before a vertical plane."""
    colours = drawing.palette
    for surface in site.surfaces:
        _span(drawing, view, surface.outline, surface.height, surface.height, colours.ink, 1.4)
    for structure in site.structures:
        outline, base, top = structure.outline, structure.base, structure.top
        _span(drawing, view, outline, base, top, colours.structure, 1.1)
    for ladder in site.ladders:
        uv = view.to_view(np.array(ladder.points))
        line = drawing.axes.plot(*uv.T, color=colours.ladder, lw=2.2, ls=(0, (1, 1)), zorder=5)
        drawing.add(line[0])
    draw_ladder_fences(drawing, site, view)
    for access in site.access_points:
        u, v = view.to_view(np.array([access.position]))[0]
        _gate(drawing, float(u), float(v))


def _gate(drawing: Drawing, u: float, v: float) -> None:
    colours = drawing.palette
    mark = drawing.axes.plot(u, v, "D", ms=6, mfc=colours.paper, mec=colours.ink, zorder=6)
    drawing.add(mark[0])


def _span(
    drawing: Drawing,
    view: ElevationView,
    outline: Sequence[tuple[float, float]],
    base: float,
    top: float,
    colour: str,
    lw: float,
) -> None:
    u = view.to_view(np.array([(x, y, 0.0) for x, y in outline]))[:, 0]
    corners = [(u.min(), base), (u.max(), base), (u.max(), top), (u.min(), top)]
    _shape(drawing, corners, colour, lw, "solid")


def _shape(
    drawing: Drawing,
    outline: Sequence[tuple[float, float]],
    colour: str,
    lw: float,
    ls: str,
    *,
    closed: bool = True,
) -> None:
    patch = PolygonPatch(
        list(outline), closed=closed, fill=False, edgecolor=colour, lw=lw, ls=ls, zorder=4
    )
    patch.set_clip_path(drawing.axes.patch)
    drawing.add(drawing.axes.add_artist(patch))


def draw_antennas(
    drawing: Drawing,
    site: Site,
    view: View,
    members: Sequence[int],
    selected: str = "",
    also: Collection[str] = (),
) -> None:
    """Draw metal, boresight and number of some antennas; those in one place share a label."""
    colours = drawing.palette
    u0, v0, u1, v1 = view.bounds
    point = _metres_a_point(drawing)
    segments, inks = [], []
    places: list[tuple[np.ndarray, list[int]]] = []
    for i in members:
        antenna = site.antennas[i]
        uv = view.to_view(np.array([antenna.position]))[0]
        near = abs(beside(site, antenna, view)) <= IN_PLANE
        colour = colours.antenna if antenna.state.factor and near else colours.silent
        lines = antenna_metal(site, antenna, view)
        if antenna.kind.has_boresight:
            lines.append(_boresight(site, antenna, view, uv, _BORESIGHT * point))
        segments += lines
        inks += [colour] * len(lines)
        edge = colours.paper if near else colour
        _dot(drawing, uv, 5.5, colour if near else colours.paper, edge, 1.0, 7.0)
        if antenna.name == selected or antenna.name in also:
            heavy = 1.8 if antenna.name == selected else 0.9
            for width, ink in ((heavy + 2.2, colours.paper), (heavy, colours.pin)):
                _dot(drawing, uv, 14.0, "none", ink, width, 7.1)
        if u0 <= uv[0] <= u1 and v0 <= uv[1] <= v1:
            group = next((m for at, m in places if np.hypot(*(at - uv)) < _GROUPED * point), None)
            if group is None:
                places.append((uv, [i]))
            else:
                group.append(i)
    _metal(drawing, segments, inks)
    for uv, group in places:
        away = [abs(beside(site, site.antennas[m], view)) for m in group]
        said = _off(away, feet=drawing.feet)
        drawing.note(f"{numbers(group)}{said}", float(uv[0]), float(uv[1]), (8, 6), bold=True)


def _dot(
    drawing: Drawing, at: np.ndarray, size: float, fill: str, edge: str, width: float, order: float
) -> None:
    # Axes.plot measures what it is given for limits that are set by hand here, which takes longer than to draw it.
    mark = Line2D(
        [at[0]], [at[1]], marker="o", ls="", ms=size, mfc=fill, mec=edge, mew=width, zorder=order
    )
    drawing.add(drawing.axes.add_artist(mark))


def _metal(drawing: Drawing, segments: list[np.ndarray], inks: list[str]) -> None:
    """Draw lines of metal on a pale seam: the shading below may be as dark as they are."""
    for width, colours in ((3.2, drawing.palette.paper), (1.6, inks)):
        lines = LineCollection(segments, colors=colours, linewidths=width, zorder=6)
        drawing.add(drawing.axes.add_collection(lines, autolim=False))


def _off(away: Sequence[float], *, feet: bool) -> str:
    """Return how far antennas are off the plane: nothing where they are in it, a range where they differ."""
    if max(away) <= IN_PLANE:
        return ""
    scale, unit = (FOOT, "ft") if feet else (1.0, "m")
    low, high = (f"{one / scale:.0f}" for one in (min(away), max(away)))
    return f" ({low} {unit} off)" if low == high else f" ({low} to {high} {unit} off)"


def _boresight(
    site: Site, antenna: Antenna, view: View, uv: np.ndarray, length: float
) -> np.ndarray:
    forward = site.frame_of(antenna)[:, 0]
    tip = view.to_view((np.array(antenna.position) + length * forward)[None, :])[0]
    return np.array([uv, tip])


def _metres_a_point(drawing: Drawing) -> float:
    axes = drawing.axes
    (u0, u1), width = axes.get_xlim(), axes.bbox.width
    return float((u1 - u0) / max(width, 1.0) * axes.figure.dpi / 72.0)


def keep_words_off(drawing: Drawing, site: Site, view: View) -> None:
    """Keep words off antennas and access points."""
    places = [a.position for a in site.antennas] + [a.position for a in site.access_points]
    for u, v in view.to_view(np.array(places).reshape(-1, 3)):
        drawing.notes.keep_free(float(u), float(v), 4.5)
