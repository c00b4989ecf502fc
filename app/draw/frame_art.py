"""Axes, scale bar and north of a map: on paper outside its frame, on screen inside it."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
from matplotlib.axes import Axes
from matplotlib.collections import LineCollection
from matplotlib.ticker import MultipleLocator

from app.draw.drawing import Drawing
from app.draw.placing import compass, nice_length
from core.site.site import Site
from core.units import FOOT
from core.views.defaults import true_azimuth
from core.views.views import ElevationView, View

_TICK, _PAD = 4.0, 3.0
"""Points: how long a tick is, and how far its number is from it."""

_TICKS_APART = 62.0
"""Points between numbers along the frame, at least."""

_LETTER = 4.7
"""Points that a letter of the numbers is wide on average."""

_CORNER = 30.0
"""Points at the lower left where the two rows of numbers would meet."""


def axis_words(site: Site | None, view: View) -> tuple[str, str]:
    """Return what the two axes of a view count."""
    if not isinstance(view, ElevationView):
        return "x east", "y north"
    azimuth = true_azimuth(site, view) if site else view.azimuth
    return f"along {azimuth:g}° ({compass(azimuth)})", "above datum"


def datum_along(view: View) -> float:
    """Return what the first axis reads at u = 0: it counts from the datum, wherever an elevation cuts."""
    return view.datum_along if isinstance(view, ElevationView) else 0.0


def axes_outside(axes: Axes, site: Site | None, view: View, *, feet: bool) -> None:
    """Number the frame of a map on paper."""
    unit, scale = ("ft", FOOT) if feet else ("m", 1.0)
    u0, v0, u1, v1 = view.bounds
    start = datum_along(view)
    for axis, low, high, zero in ((axes.xaxis, u0, u1, start), (axes.yaxis, v0, v1, 0.0)):
        # Round steps in the unit shown, not in metres.
        step = nice_length((high - low) / scale / 4.0) * scale
        axis.set_major_locator(MultipleLocator(step, offset=-zero))
        axis.set_major_formatter(_formatter(zero, step, scale))
    if not isinstance(view, ElevationView):
        axes.set_xlabel(f"x east, {unit}", fontsize=8)
        axes.set_ylabel(f"y north, {unit}", fontsize=8)
        return
    azimuth = true_azimuth(site, view) if site else view.azimuth
    left, right = compass(azimuth + 180.0), compass(azimuth)
    axes.set_xlabel(f"{left}  ←  along azimuth {azimuth:g}°, {unit}  →  {right}", fontsize=8)
    axes.set_ylabel(f"height above site datum, {unit}", fontsize=8)


def _formatter(zero: float, step: float, scale: float) -> Callable[[float, object], str]:
    return lambda value, _: _number((value + zero) / scale, step / scale)


def axes_inside(drawing: Drawing, site: Site, view: View) -> None:
    """Number the edges of a map that fills its frame; the last number of each says what it counts."""
    axes, feet = drawing.axes, drawing.feet
    unit, scale = ("ft", FOOT) if feet else ("m", 1.0)
    u0, v0, u1, v1 = view.bounds
    width, height = (side * 72.0 / axes.figure.dpi for side in axes.bbox.size)
    words = axis_words(site, view)
    segments = []
    for k, (low, high, room, zero) in enumerate(
        ((u0, u1, width, datum_along(view)), (v0, v1, height, 0.0))
    ):
        wanted = (high - low) / scale * _TICKS_APART * (1.0 if k == 0 else 0.75) / max(room, 1.0)
        step = _at_least(wanted) * scale
        first = math.ceil((low + zero) / step + _CORNER / room * (high - low) / step)
        last = math.floor((high + zero) / step - 8.0 / room * (high - low) / step)
        # The last number first: with its words it may reach to the left over others, which then stay away.
        free = math.inf
        for n in range(last, first - 1, -1):
            at = n * step - zero
            text = _number(n * step / scale, step / scale)
            said = f"{unit} {words[k]}" if n == last else ""
            part = (at - low) / (high - low)
            end = np.array([[part, 0.0], [part, _TICK / height]])
            segments.append(end if k == 0 else np.array([[0.0, part], [_TICK / width, part]]))
            if k == 1 or part * width + 0.5 * _LETTER * len(text) < free:
                free = _tick_label(drawing, text, said, part, size=(width, height), upright=k == 1)
    ticks = LineCollection(segments, colors=drawing.palette.ink, linewidths=1.0, zorder=9)
    ticks.set_transform(axes.transAxes)
    drawing.add(axes.add_collection(ticks, autolim=False))


def _tick_label(
    drawing: Drawing,
    number: str,
    said: str,
    part: float,
    *,
    size: tuple[float, float],
    upright: bool,
) -> float:
    """Write one number at the lower or the left edge, wholly inside, and what it counts beside it.

    Return where it begins, points from the left edge.
    """
    width, height = size
    text = f"{number} {said}".strip()
    long = _LETTER * len(text) + 4.0
    to_the_left = False
    if upright:
        x, y = _TICK + _PAD, part * height - 4.0
    else:
        half = 0.5 * _LETTER * len(number)
        x, y = max(part * width - half, 2.0), _TICK + _PAD
        if x + long > width:
            # The number stays at its tick; the words go before it.
            text, to_the_left = f"{said}: {number}", True
            x = max(part * width + half, long)
    words = drawing.axes.annotate(
        text, (0.0, 0.0), xycoords="axes fraction", xytext=(x, y), textcoords="offset points",
        ha="right" if to_the_left else "left", fontsize=7.5, color=drawing.palette.ink, zorder=9.1,
        bbox={"facecolor": drawing.palette.paper, "edgecolor": "none", "pad": 0.8, "alpha": 0.75},
    )  # fmt: skip
    drawing.add(words)
    left, low = _corner(drawing)
    left -= long if to_the_left else 0.0
    drawing.notes.keep((left + x - 2.0, low + y - 3.0, left + x + long, low + y + 9.0))
    return x - long if to_the_left else x


def _corner(drawing: Drawing) -> tuple[float, float]:
    x, y = drawing.axes.bbox.p0 * 72.0 / drawing.axes.figure.dpi
    return float(x), float(y)


def scale_bar(drawing: Drawing, view: View, *, inside: bool) -> None:
    """Draw a round length to hold against the map."""
    axes, ink = drawing.axes, drawing.palette.ink
    u0, v0, u1, v1 = view.bounds
    unit, name = (FOOT, "ft") if drawing.feet else (1.0, "m")
    length = nice_length((u1 - u0) / unit / 4.0)
    if inside:
        width, height = (side * 72.0 / axes.figure.dpi for side in axes.bbox.size)
        x, y = u0 + 44.0 / width * (u1 - u0), v0 + 27.0 / height * (v1 - v0)
    else:
        x, y = u0 + 0.04 * (u1 - u0), v0 + 0.035 * (v1 - v0)
    for lw, colour in ((6.0, drawing.palette.paper), (3.5, ink)):
        bar = axes.plot([x, x + length * unit], [y, y], color=colour, lw=lw, zorder=9)[0]
        bar.set_solid_capstyle("butt")
        drawing.add(bar)
    shown = f"{100.0 * length:g} cm" if name == "m" and length < 1.0 else f"{length:g} {name}"
    if name == "m" and length >= 1000.0:
        shown = f"{length / 1000.0:g} km"
    drawing.note(shown, x, y, (1, 4))


def north_arrow(drawing: Drawing, site: Site) -> None:
    """Draw an arrow to true north in the upper right corner."""
    axes, palette = drawing.axes, drawing.palette
    width, height = (side * 72.0 / axes.figure.dpi for side in axes.bbox.size)
    turn = np.radians(site.anchor.grid_north if site.anchor else 0.0)
    x, y = 1.0 - 17.0 / width, 1.0 - 8.0 / height
    arrow = axes.annotate(
        "N",
        xy=(x, y),
        xytext=(x + 26.0 / width * np.sin(turn), y - 26.0 / height * np.cos(turn)),
        xycoords="axes fraction",
        ha="center",
        va="center",
        fontsize=10,
        fontweight="bold",
        color=palette.ink,
        arrowprops={"arrowstyle": "-|>", "color": palette.ink, "lw": 1.6},
        zorder=9,
        bbox={"facecolor": palette.paper, "edgecolor": "none", "pad": 0.6, "alpha": 0.8},
    )
    drawing.add(arrow)


def _at_least(length: float) -> float:
    """Return the smallest 1, 2 or 5 times a power of ten that is not under a length."""
    power = 10.0 ** math.floor(math.log10(length))
    return next(m * power for m in (1.0, 2.0, 5.0, 10.0) if m * power >= length * (1.0 - 1e-9))


def _number(value: float, step: float) -> str:
    """Return a number with as many decimals as its step needs."""
    decimals = max(0, -math.floor(math.log10(step) + 1e-9))
    return f"{round(value, decimals) + 0.0:.{decimals}f}"
