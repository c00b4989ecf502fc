"""Proven zones on a map: lightness, hatch, line and words, readable without colour."""

from __future__ import annotations

import numpy as np
import shapely
from matplotlib.artist import Artist
from matplotlib.axes import Axes
from matplotlib.patches import PathPatch
from matplotlib.path import Path

from app.draw import style
from app.draw.notes import Notes, Spot
from app.draw.style import LIGHT, Palette
from core.shapes import only_areas
from core.zones.site_zones import SiteZones
from core.zones.steps import Step

_INSIDE = 8.0
"""A zone whose inscribed circle is this many times as high as a line of words has them inside."""


_AROUND = 16
"""Places along the edge of a zone from which words beside it may be led."""


DIM = 0.3
"""Opacity of zones that are of something else than the map."""


def draw_zones(
    axes: Axes, zones: SiteZones, palette: Palette = LIGHT, *, dim: bool = False
) -> list[Artist]:
    """Draw zones from the outside in and return their artists."""
    artists: list[Artist] = []
    for order, (step, zone) in enumerate(zones.zones):
        hidden = zone.hidden
        shown = zone.region if hidden.is_empty else only_areas(zone.region.difference(hidden))
        for piece in shown.geoms:
            artists.append(_patch(axes, piece, step, 1.0 + 0.1 * order, palette))
        for piece in hidden.geoms:
            artists.append(_below(axes, piece, step, 1.0 + 0.1 * order, palette))
    for artist in artists if dim else ():
        artist.set_alpha(DIM)
    return artists


def mark_zones(axes: Axes, words: str, palette: Palette) -> Artist:
    """Write over a map what its zones are worth, and return the artist."""
    return axes.text(
        0.5, 0.93, words, transform=axes.transAxes, ha="center", va="top", fontsize=9,
        fontweight="bold", color=palette.ink, zorder=30, wrap=True,
        bbox={"facecolor": palette.paper, "edgecolor": palette.ink, "boxstyle": "round,pad=0.4"},
    )  # fmt: skip


def label_zones(
    notes: Notes, zones: SiteZones, limit_set: str, frame: tuple[float, float, float, float]
) -> list[Artist]:
    """Write one label a zone, where only this zone is and it is large enough, else beside it, tied to it."""
    window = shapely.box(*frame)
    high = frame[3] - frame[1]
    line = 9.0 / 72.0 * notes.axes.figure.dpi * high / max(notes.axes.bbox.height, 1.0)
    artists: list[Artist] = []
    for order, (step, zone) in enumerate(zones.zones):
        inner = [z.region for _, z in zones.zones[order + 1 :]]
        own = zone.region.difference(shapely.union_all(inner)) if inner else zone.region
        seen = only_areas(own.intersection(window))
        largest = max(seen.geoms, key=lambda p: p.area, default=None)
        if largest is None:
            continue
        circle = shapely.maximum_inscribed_circle(
            largest, tolerance=max(largest.length / 500.0, 1e-3)
        )
        u, v = circle.coords[0]
        words = step.short(limit_set)
        if circle.length >= 0.5 * _INSIDE * line:
            spots = [Spot(u, v, 0.0, 0.0)]
        else:
            spots = _beside(largest)
        note = notes.at_one_of(words, spots, centred=len(spots) == 1, tied=len(spots) > 1)
        if note is not None:
            artists.append(note)
    return artists


def _beside(piece: shapely.Polygon) -> list[Spot]:
    """Return spots outside a piece that is too small to hold words, all round it, from near to far."""
    ring = piece.exterior
    middle = piece.representative_point()
    out = []
    for up in (13.0, 26.0, 40.0):
        for part in range(_AROUND):
            at = ring.interpolate(part / _AROUND, normalized=True)
            right = 6.0 if at.x >= middle.x else -6.0
            out.append(Spot(at.x, at.y, right, up if at.y >= middle.y else -up - 8.0))
    return out


def _patch(
    axes: Axes, piece: shapely.Polygon, step: Step, zorder: float, palette: Palette
) -> PathPatch:
    width, line = style.ZONE_LINES[step.key]
    patch = PathPatch(
        polygon_path(piece),
        facecolor=palette.zone_fill(step.key),
        edgecolor=palette.ink,
        hatch=style.ZONE_HATCHES[step.key],
        lw=width,
        ls=line,
        zorder=zorder,
    )
    patch.set_clip_path(axes.patch)
    axes.add_artist(patch)
    return patch


def _below(
    axes: Axes, piece: shapely.Polygon, step: Step, zorder: float, palette: Palette
) -> PathPatch:
    """Draw a piece on a surface below another: its dashed line only."""
    width, _ = style.ZONE_LINES[step.key]
    patch = PathPatch(
        polygon_path(piece),
        facecolor="none",
        edgecolor=palette.ink,
        lw=0.6 * width,
        ls=(0, (2, 2)),
        zorder=zorder,
    )
    patch.set_clip_path(axes.patch)
    axes.add_artist(patch)
    return patch


def polygon_path(piece: shapely.Polygon) -> Path:
    """Return a polygon with its holes as one path."""
    rings = [piece.exterior, *piece.interiors]
    vertices = [np.asarray(ring.coords)[:, :2] for ring in rings]
    codes = [
        np.array([Path.MOVETO, *[Path.LINETO] * (len(v) - 2), Path.CLOSEPOLY], dtype=np.uint8)
        for v in vertices
    ]
    return Path(np.concatenate(vertices), np.concatenate(codes))
