"""The way of a job on a map: the line people take, its stops by number, and where nobody stops."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from app.draw import style
from app.draw.fence_art import Drawing
from app.draw.route_lines import work_frame
from core.entry.entry import Entry, work_box
from core.views.views import ElevationView, View

_APART = 5.0
"""m: stops that are closer on the map than this share a mark, unless the map is smaller."""


def draw_route(drawing: Drawing, entry: Entry, view: View) -> None:
    """Draw the work volume of an entry, its way up, the numbers of its stops in the table, and the closed stretches."""
    if entry.job.work is not None:
        low, high = work_box(entry.site, entry.job.work)
        box = work_frame(low.tolist(), high.tolist(), view, style.PIN)
        drawing.add(drawing.axes.add_patch(box))
    way = entry.way
    if way is None:
        return
    for one, width in [(s, 7.0) for s in (*entry.stretches, *entry.beyond)]:
        ends = view.to_view(np.array([one.start, one.end], dtype=np.float64))
        drawing.add(
            drawing.axes.plot(
                ends[:, 0], ends[:, 1], color=style.INK, lw=width, alpha=0.35,
                solid_capstyle="butt", zorder=7.2,
            )[0]
        )  # fmt: skip
    for leg in way.legs[: way.turn - 1]:
        points = [leg.pieces[0].start, *(p.end for p in leg.pieces)] if leg.pieces else []
        if len(points) < 2:
            continue
        uv = view.to_view(np.array(points, dtype=np.float64))
        for width, colour in ((3.4, style.PAPER), (1.8, style.PIN)):
            drawing.add(
                drawing.axes.plot(uv[:, 0], uv[:, 1], color=colour, lw=width, zorder=7.7)[0]
            )
    _stops(drawing, entry, view)


def _stops(drawing: Drawing, entry: Entry, view: View) -> None:
    u0, v0, u1, v1 = view.bounds
    near = min(_APART, 0.045 * max(u1 - u0, v1 - v0))
    groups: list[tuple[np.ndarray, list[int]]] = []
    for i, line in enumerate(entry.stops, 1):
        at = view.to_view(np.array([line.place.position], dtype=np.float64))[0]
        if not (u0 <= at[0] <= u1 and v0 <= at[1] <= v1):
            continue
        for place, members in groups:
            if np.hypot(*(at - place)) < near:
                members.append(i)
                break
        else:
            groups.append((at, [i]))
    for at, members in groups:
        u, v = float(at[0]), float(at[1])
        drawing.add(
            drawing.axes.plot(u, v, "s", ms=5, mfc=style.PIN, mec=style.PAPER, zorder=7.8)[0]
        )
        left = isinstance(view, ElevationView)
        words = f"stop {_numbers(members)}"
        drawing.note(words, u, v, (-7 if left else 7, -3), bold=True)


def _numbers(members: Sequence[int]) -> str:
    return ", ".join(str(m) for m in members)
