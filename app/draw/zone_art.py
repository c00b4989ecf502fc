"""Proven zones on a map: lightness, hatch, line and words, readable without colour."""

from __future__ import annotations

import numpy as np
import shapely
from matplotlib.artist import Artist
from matplotlib.axes import Axes
from matplotlib.patches import PathPatch
from matplotlib.path import Path

from app.draw import style
from core.shapes import only_areas
from core.zones.site_zones import SiteZones, Step

_LEAST_LABEL = 0.004
"""Pieces smaller than this part of the view carry no words of their own."""


def draw_zones(axes: Axes, zones: SiteZones, limit_set: str) -> list[Artist]:
    """Draw zones from the outside in and return their artists."""
    artists: list[Artist] = []
    u0, v0, u1, v1 = zones.view.bounds
    whole = (u1 - u0) * (v1 - v0)
    for order, (step, zone) in enumerate(zones.zones):
        hidden = zone.hidden
        shown = zone.region if hidden.is_empty else only_areas(zone.region.difference(hidden))
        for piece in shown.geoms:
            artists.append(axes.add_patch(_patch(piece, step, 1.0 + 0.1 * order)))
        for piece in hidden.geoms:
            artists.append(axes.add_patch(_below(piece, step, 1.0 + 0.1 * order)))
        # One label a zone, where only this zone is.
        inner = [z.region for _, z in zones.zones[order + 1 :]]
        own = only_areas(zone.region.difference(shapely.union_all(inner))) if inner else zone.region
        largest = max(own.geoms, key=lambda p: p.area, default=None)
        if largest is not None and largest.area > _LEAST_LABEL * whole:
            artists.append(_words(axes, largest, step, limit_set))
    return artists


def _patch(piece: shapely.Polygon, step: Step, zorder: float) -> PathPatch:
    width, line = style.ZONE_LINES[step.key]
    return PathPatch(
        polygon_path(piece),
        facecolor=style.ZONE_FILLS[step.key],
        edgecolor=style.INK,
        hatch=style.ZONE_HATCHES[step.key],
        lw=width,
        ls=line,
        zorder=zorder,
    )


def _below(piece: shapely.Polygon, step: Step, zorder: float) -> PathPatch:
    """Return a piece on a surface below another: its dashed line only."""
    width, _ = style.ZONE_LINES[step.key]
    return PathPatch(
        polygon_path(piece),
        facecolor="none",
        edgecolor=style.INK,
        lw=0.6 * width,
        ls=(0, (2, 2)),
        zorder=zorder,
    )


def polygon_path(piece: shapely.Polygon) -> Path:
    """Return a polygon with its holes as one path."""
    rings = [piece.exterior, *piece.interiors]
    vertices = [np.asarray(ring.coords)[:, :2] for ring in rings]
    codes = [
        np.array([Path.MOVETO, *[Path.LINETO] * (len(v) - 2), Path.CLOSEPOLY], dtype=np.uint8)
        for v in vertices
    ]
    return Path(np.concatenate(vertices), np.concatenate(codes))


def _words(axes: Axes, piece: shapely.Polygon, step: Step, limit_set: str) -> Artist:
    at = shapely.maximum_inscribed_circle(piece, tolerance=max(piece.length / 500.0, 1e-3)).coords[
        0
    ]
    percent = f"> {100.0 * step.threshold:g} % {limit_set} {step.tier}"
    return axes.text(
        float(at[0]),
        float(at[1]),
        percent,
        fontsize=7.5,
        ha="center",
        va="center",
        color=style.INK,
        zorder=8,
        clip_on=True,
        bbox={"facecolor": style.PAPER, "edgecolor": "none", "pad": 1.2, "alpha": 0.9},
    )
