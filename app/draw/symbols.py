"""The key of a sheet: every symbol, hatch and line that is on it, with what it means."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np
from matplotlib.lines import Line2D
from matplotlib.patches import Rectangle

from app.draw import style
from app.draw.fence_art import FENCE_LINE
from app.draw.flow import Entry, Swatch
from app.draw.furniture import Sheet
from app.draw.paper import Box
from app.draw.placing import IN_PLANE, beside
from core.fences.fence import Check
from core.site.places import Structure
from core.site.site import Site
from core.units import show_length, show_percent
from core.views.views import ElevationView, PlanView, View
from core.zones.site_zones import SiteZones
from core.zones.steps import Step


def symbol_key(
    site: Site, view: View, *, checks: Mapping[str, Check] | None = None, feet: bool = False
) -> tuple[Entry, ...]:
    """Return the key of what stands on the site, as far as a view shows it.

    Parameters
    ----------
    site : Site
        The site.
    view : PlanView or ElevationView
        What is drawn.
    checks : mapping of str to Check, optional
        The checks of fences that are drawn, by name.
    feet : bool
        Lengths in feet.
    """
    entries = [*_antennas(site, view, feet=feet)]
    flat = isinstance(view, PlanView)
    heavy, light, lines = _structures(site)
    if flat:
        if heavy:
            entries.append(Entry(text=f"outline of a {heavy}", swatch=frame(style.INK, 1.6)))
        if light:
            entries.append(Entry(text=f"outline of a {light}", swatch=frame(style.INK, 1.1)))
        if lines:
            entries.append(Entry(text=lines, swatch=stroke(style.INK, 1.6)))
        if any(s.kind != "ground" for s in site.surfaces):
            words = "edge of a roof or platform people walk on"
            entries.append(Entry(text=words, swatch=frame(style.STRUCTURE, 0.9, "dashed")))
    else:
        if site.structures:
            entries.append(
                Entry(text="structure, seen from the side", swatch=frame(style.STRUCTURE, 1.1))
            )
        if site.surfaces:
            entries.append(Entry(text="ground, roof or platform", swatch=stroke(style.INK, 1.4)))
    if site.ladders:
        dash = "solid" if flat else (0, (1, 1))
        swatch = stroke(style.LADDER, 1.0 if flat else 2.2, dash, marker="s" if flat else "")
        entries.append(Entry(text="ladder", swatch=swatch))
    if site.access_points:
        entries.append(
            Entry(text="way in: door, hatch, gate or ladder foot", swatch=dot("D", style.PAPER))
        )
    entries += _fences(site, view, checks or {})
    return tuple(entries)


def _antennas(site: Site, view: View, *, feet: bool) -> list[Entry]:
    if not site.antennas:
        return []
    entries = []
    near = [abs(beside(site, a, view)) <= IN_PLANE for a in site.antennas]
    loud = [a.state.factor > 0.0 for a in site.antennas]
    reach = show_length(IN_PLANE, feet=feet)
    if any(n and on for n, on in zip(near, loud, strict=True)):
        entries.append(
            Entry(
                text="antenna that counts as on, with its number in the list of emitters",
                swatch=dot("o", style.ANTENNA, style.ANTENNA),
            )
        )
    if any(n and not on for n, on in zip(near, loud, strict=True)):
        entries.append(
            Entry(
                text="antenna that is off or locked out",
                swatch=dot("o", style.SILENT, style.SILENT),
            )
        )
    if not all(near):
        entries.append(
            Entry(
                text=f"antenna more than {reach} off this plane; how far is said",
                swatch=dot("o", style.PAPER, style.SILENT),
            )
        )
    if any(a.kind.has_boresight for a in site.antennas):
        entries.append(
            Entry(text="line from an antenna: where it points", swatch=stroke(style.ANTENNA, 1.2))
        )
    return entries


def _structures(site: Site) -> tuple[str, str, str]:
    """Return the kinds of structure with a heavy outline, with a light one, and those that are lines."""
    kinds = list(dict.fromkeys(s.kind for s in site.structures))
    heavy = [k for k in kinds if k in style.HEAVY_KINDS and k not in Structure.LINES]
    light = [k for k in kinds if k not in style.HEAVY_KINDS and k not in Structure.LINES]
    lines = [k for k in kinds if k in Structure.LINES]
    return " or ".join(heavy), " or ".join(light), " or ".join(lines)


def _fences(site: Site, view: View, checks: Mapping[str, Check]) -> list[Entry]:
    entries = []
    if isinstance(view, ElevationView):
        if any(f.ladder for f in site.fences):
            entries.append(
                Entry(
                    text="heights on a ladder where nobody stops",
                    swatch=stroke(style.PIN, 5.0, alpha=0.75),
                )
            )
        return entries
    if any(f.outline for f in site.fences):
        entries.append(
            Entry(
                text="fence, with its corners",
                swatch=stroke(style.PIN, 2.0, FENCE_LINE, marker="s"),
            )
        )
    if any(c.leaks for c in checks.values()):
        entries.append(
            Entry(
                text="LEAK: the zone goes past the fence here, or no fence is here",
                swatch=dot("X", style.PIN, style.PAPER, size=9.0),
            )
        )
    return entries


def line_key(contours: Sequence[float], *, reactive: bool) -> tuple[Entry, ...]:
    """Return the key of the lines over a shading, and of its hatch where ``reactive`` regions are shown."""
    entries = []
    for percent in sorted(contours):
        words = f"{percent:g} % of the limit"
        if percent == 100.0:
            words = "THE LIMIT: 100 %, the heaviest line"
        entries.append(
            Entry(
                text=words,
                swatch=stroke(style.INK, style.contour_width(percent)),
                heavy=percent == 100.0,
            )
        )
    if reactive:
        entries.append(
            Entry(
                text="inside an antenna's reactive region: no figure, treat as over every limit",
                swatch=frame(style.INK, 0.4, hatch="xxxx"),
            )
        )
    return tuple(entries)


def zone_key(zones: SiteZones, limit_set: str) -> tuple[Entry, ...]:
    """Return the key of proven zones: what each means for a person."""
    entries = []
    for step, _ in zones.zones:
        width, dash = style.ZONE_LINES[step.key]
        entries.append(
            Entry(
                text=f"{step.label(limit_set)}: {step.meaning}",
                swatch=frame(
                    style.INK,
                    width,
                    dash,
                    fill=style.ZONE_FILLS[step.key],
                    hatch=style.ZONE_HATCHES[step.key],
                ),
            )
        )
    entries.append(
        Entry(
            text=f"outside: {outside([s for s, _ in zones.zones], limit_set)}, by proof",
            swatch=frame(style.QUIET, 0.6),
        )
    )
    if any(zone.hidden.area for _, zone in zones.zones):
        entries.append(
            Entry(
                text="zone on a surface under another one",
                swatch=frame(style.INK, 1.0, (0, (2, 2))),
            )
        )
    return tuple(entries)


def outside(steps: Sequence[Step], limit_set: str) -> str:
    """Return what is so outside all zones."""
    outermost = steps[0]
    if outermost.threshold == 1.0:
        return f"under the {outermost.tier} limit"
    return f"under {show_percent(outermost.threshold)} of {limit_set} {outermost.tier}"


def dot(marker: str, fill: str, edge: str = style.INK, *, size: float = 6.0) -> Swatch:
    """Return a swatch of a marker."""

    def draw(sheet: Sheet, box: Box) -> None:
        x, y = box.left + box.width / 2.0, box.low + box.height / 2.0
        sheet.ink.add_line(Line2D([x], [y], ls="", marker=marker, ms=size, mfc=fill, mec=edge))

    return draw


def stroke(
    colour: str, width: float, dash: object = "solid", *, marker: str = "", alpha: float = 1.0
) -> Swatch:
    """Return a swatch of a line."""

    def draw(sheet: Sheet, box: Box) -> None:
        y = box.low + box.height / 2.0
        ends = np.array([box.left, box.right])
        sheet.ink.add_line(
            Line2D(
                ends, [y, y], color=colour, lw=width, ls=dash, alpha=alpha, marker=marker, ms=3.5,
                mfc=style.PAPER, solid_capstyle="butt",
            )
        )  # fmt: skip

    return draw


def frame(
    colour: str, width: float, dash: object = "solid", *, fill: str = "none", hatch: str = ""
) -> Swatch:
    """Return a swatch of an area."""

    def draw(sheet: Sheet, box: Box) -> None:
        sheet.ink.add_patch(
            Rectangle(
                (box.left, box.low), box.width, box.height, fc=fill, ec=colour, lw=width, ls=dash,
                hatch=hatch or None,
            )
        )  # fmt: skip

    return draw
