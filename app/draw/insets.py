"""Insets: pieces of zones that are too small to see on a sheet, each drawn larger, with a mark where it is."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
import shapely
from matplotlib.patches import Rectangle
from numpy.typing import NDArray

from app.draw import style
from app.draw.furniture import Sheet
from app.draw.layout import HEAD, Bounds
from app.draw.paper import SCALES, Box, fits
from core.units import FOOT
from core.views.views import PlanView, View
from core.zones.site_zones import SiteZones

SMALL = 10.0
"""mm: a piece that is smaller than this on paper, in both directions, has an inset."""
_TOGETHER = 8.0
"""mm on paper within which pieces share an inset."""
_AROUND = 1.3
"""An inset shows this many times the size of what it is about, at least."""
_FINEST = 5
"""N of the largest scale of an inset."""
_MOST = 15.0
"""mm on paper: a group that is larger is divided, so that its insets are well larger than the map."""


@dataclass(frozen=True, slots=True)
class Inset:
    """A piece of a view that is drawn larger: its letter, what it shows, the N of its scale, its place on paper."""

    letter: str
    bounds: Bounds
    scale: int
    box: Box


def small_groups(zones: SiteZones, bounds: Bounds, scale: int) -> list[Bounds]:
    """Return the bounds of groups of pieces that are too small to see at 1:``scale``, the outermost zone's first.

    Parameters
    ----------
    zones : SiteZones
        The zones.
    bounds : tuple
        What the map shows, m.
    scale : int
        N of the map's scale.
    """
    frame = shapely.box(*bounds)
    limit, near = SMALL * scale / 1000.0, _TOGETHER * scale / 1000.0
    boxes = []
    for _, zone in zones.zones:
        for piece in zone.region.geoms:
            u0, v0, u1, v1 = piece.bounds
            if max(u1 - u0, v1 - v0) < limit and piece.intersects(frame):
                boxes.append(shapely.box(u0, v0, u1, v1))
    if not boxes:
        return []
    grown = shapely.union_all([b.buffer(near / 2.0, join_style="mitre") for b in boxes])
    groups: list[Bounds] = []
    for part in shapely.get_parts(grown):
        held = np.array([b.bounds for b in boxes if b.intersects(part)])
        groups += _divided(held, _MOST * scale / 1000.0)
    groups.sort(key=lambda g: (-round(g[3], 3), round(g[0], 3)))
    return groups


def _divided(held: NDArray[np.float64], most: float) -> list[Bounds]:
    """Return the bounds (n, 4) of pieces as groups that are no larger than ``most`` m, or one piece each."""
    low, high = held[:, :2].min(axis=0), held[:, 2:].max(axis=0)
    if len(held) == 1 or (high - low).max() <= most:
        return [(float(low[0]), float(low[1]), float(high[0]), float(high[1]))]
    side = int(np.argmax(high - low))
    order = np.argsort(held[:, side] + held[:, side + 2], kind="stable")
    half = len(order) // 2
    return [*_divided(held[order[:half]], most), *_divided(held[order[half:]], most)]


def placed(groups: list[Bounds], cells: list[Box], first: int = 0) -> list[Inset]:
    """Return insets of groups in places with room for their heads; letters go on from ``first``.

    Parameters
    ----------
    groups : list of tuple
        What they show at least, m.
    cells : list of Box
        Their places, mm.
    first : int
        How many letters are taken.
    """
    insets = []
    for i, (group, cell) in enumerate(zip(groups, cells, strict=False), first):
        box = Box(cell.left, cell.low, cell.width, cell.height - HEAD)
        width, height = (_AROUND * (group[k + 2] - group[k]) for k in (0, 1))
        n = next((s for s in SCALES if fits(width, height, box, s) and s >= _FINEST), SCALES[-1])
        across, up = box.width * n / 2000.0, box.height * n / 2000.0
        u, v = (group[0] + group[2]) / 2.0, (group[1] + group[3]) / 2.0
        insets.append(Inset(letter(i), (u - across, v - up, u + across, v + up), n, box))
    return insets


def letter(number: int) -> str:
    """Return A to Z, then AA, AB ..."""
    word = ""
    number += 1
    while number:
        number, rest = divmod(number - 1, 26)
        word = chr(ord("A") + rest) + word
    return word


def narrowed(view: View, bounds: Bounds) -> View:
    """Return a view of a piece."""
    if isinstance(view, PlanView):
        return replace(view, region=bounds)
    return replace(view, along=(bounds[0], bounds[2]), up=(bounds[1], bounds[3]))


def mark(sheet: Sheet, box: Box, bounds: Bounds, scale: int, inset: Inset) -> None:
    """Draw on a map where an inset is, with its letter.

    Parameters
    ----------
    sheet : Sheet
        Where the map is.
    box : Box
        The map, mm.
    bounds : tuple
        What the map shows, m.
    scale : int
        N of the map's scale.
    inset : Inset
        What is marked.
    """
    mm = 1000.0 / scale
    left = max(box.left + (inset.bounds[0] - bounds[0]) * mm, box.left)
    right = min(box.left + (inset.bounds[2] - bounds[0]) * mm, box.right)
    low = max(box.low + (inset.bounds[1] - bounds[1]) * mm, box.low)
    top = min(box.low + (inset.bounds[3] - bounds[1]) * mm, box.top)
    sheet.ink.add_patch(
        Rectangle((left, low), right - left, top - low, fc="none", ec=style.PIN, lw=1.0)
    )
    inward = top > box.top - 4.0
    sheet.ink.text(
        left, top - 0.5 if inward else top + 0.7, inset.letter, fontsize=8.5, fontweight="bold",
        color=style.PIN, ha="left", va="top" if inward else "bottom",
        bbox={"facecolor": style.PAPER, "edgecolor": "none", "pad": 0.6, "alpha": 0.85},
    )  # fmt: skip


def head(sheet: Sheet, inset: Inset, *, feet: bool) -> None:
    """Write the letter, the scale and the middle over an inset."""
    unit, size = ("ft", FOOT) if feet else ("m", 1.0)
    middle = ((inset.bounds[k] + inset.bounds[k + 2]) / 2.0 / size for k in (0, 1))
    u, v = (f"{c:.1f}".replace("-0.0", "0.0") for c in middle)
    text = f"{inset.letter}  1:{inset.scale}  about {u}, {v} {unit}"
    over = Box(inset.box.left, inset.box.top + 0.4, inset.box.width, HEAD - 1.0)
    sheet.write_in(text, over, most=8.0, heavy=True, colour=style.PIN)
