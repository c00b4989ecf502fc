"""A printed sheet with one map: title, map, legend, emitter key, assumptions and caution."""

from __future__ import annotations

import io
import textwrap
from collections.abc import Sequence
from pathlib import Path

from matplotlib.axes import Axes
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.colorbar import Colorbar
from matplotlib.figure import Figure

from app.draw import style
from app.draw.map import MapView
from app.draw.zone_art import zone_legend
from core.errors import InputError
from core.exposure.raster import Raster
from core.exposure.sources import not_covered, sources
from core.files.atomic import write_file
from core.limits.sets import get_set
from core.limits.tier import Tier
from core.reading.cautions import SHORT
from core.reading.data import NO_SURFACE
from core.reading.provisos import provisos
from core.site.site import Site
from core.units import show_frequency, show_length, show_power
from core.views.defaults import true_azimuth
from core.views.views import PlanView, View
from core.views.words import body_words
from core.zones.site_zones import SiteZones

FORMATS = (".png", ".svg", ".pdf")


def save_map(
    path: Path,
    site: Site,
    raster: Raster,
    *,
    tier: Tier,
    contours: Sequence[float],
    feet: bool = False,
    folder: Path | None = None,
    width_px: int = 1600,
) -> None:
    """Write a sheet with the map of a raster as PNG, SVG or PDF, by the file's ending.

    Raises
    ------
    InputError
        If the ending is another one, or the file cannot be written.
    """
    figure = map_sheet(site, raster, tier=tier, contours=contours, feet=feet, folder=folder)
    write_sheet(path, figure, width_px)


def write_sheet(path: Path, figure: Figure, width_px: int) -> None:
    """Write a page as PNG, SVG or PDF, by the file's ending, the same for the same page.

    Raises
    ------
    InputError
        If the ending is another one, or the file cannot be written.
    """
    if path.suffix.lower() not in FORMATS:
        raise InputError(
            f"{path.suffix or 'no ending'} is not a picture format",
            source=str(path),
            fix="End it in .png, .svg or .pdf",
        )
    ending = path.suffix.lower().removeprefix(".")
    picture = io.BytesIO()
    figure.savefig(
        picture,
        format=ending,
        dpi=width_px / figure.get_figwidth(),
        metadata=_no_date(path),
    )
    write_file(path, picture.getvalue())


def _no_date(path: Path) -> dict[str, None]:
    """Leave out what would make two runs of the same site differ."""
    return {".pdf": {"CreationDate": None}, ".svg": {"Date": None}}.get(path.suffix.lower(), {})


def map_sheet(
    site: Site,
    raster: Raster,
    *,
    tier: Tier,
    contours: Sequence[float],
    feet: bool = False,
    folder: Path | None = None,
) -> Figure:
    """Return the sheet as a figure, 11 × 8.5 inches."""
    figure, axes = _page(site, subtitle(site, raster.view, tier, feet=feet))
    _say_notes(figure, axes, provisos(site), "map")
    view = MapView(axes, folder)
    view.feet = feet
    view.show_site(site, raster.view)
    view.show_raster(raster, tier, contours)
    limits = get_set(site.limit_set)
    legend = figure.add_axes((0.71, 0.54, 0.022, 0.30))
    shade_legend(legend, f"% of {limits.key} {limits.name_of(tier)}")
    emitter_key(figure.add_axes((0.70, 0.10, 0.28, 0.38)), site)
    return figure


_MOST_NOTES = 6


def save_zones(
    path: Path, site: Site, zones: SiteZones, *, feet: bool = False, folder: Path | None = None
) -> None:
    """Write a sheet with proven zones as PNG, SVG or PDF.

    Raises
    ------
    InputError
        As :func:`save_map`.
    """
    write_sheet(path, zones_sheet(site, zones, feet=feet, folder=folder), 1600)


def zones_sheet(
    site: Site, zones: SiteZones, *, feet: bool = False, folder: Path | None = None
) -> Figure:
    """Return the sheet of proven zones as a figure."""
    where = subtitle(site, zones.view, "public", feet=feet).split("; ", 1)[1]
    figure, axes = _page(site, f"Proven zones; {where}; {zones.message}")
    _say_notes(figure, axes, [*provisos(site), *(f"{n}." for n in zones.notes)], "zones")
    view = MapView(axes, folder)
    view.feet = feet
    view.show_site(site, zones.view)
    view.show_zones(zones, site.limit_set)
    steps = [step for step, _ in zones.zones]
    zone_legend(figure.add_axes((0.70, 0.52, 0.28, 0.34)), site.limit_set, steps)
    emitter_key(figure.add_axes((0.70, 0.10, 0.28, 0.38)), site)
    return figure


def _say_notes(figure: Figure, axes: Axes, lines: Sequence[str], command: str) -> None:
    """Print below the map, which makes room, what it does not say: open sides, unknown ground, what is not counted."""
    wrapped = [row for line in lines for row in textwrap.wrap(line, 175)]
    shown = wrapped
    if len(wrapped) > _MOST_NOTES:
        more = len(wrapped) - _MOST_NOTES + 1
        shown = [
            *wrapped[: _MOST_NOTES - 1],
            f"… and {more} more lines, which `isofence {command}` prints",
        ]
    left, bottom, width, height = axes.get_position().bounds
    room = 0.0145 * len(shown)
    axes.set_position((left, bottom + room, width, height - room))
    for row, text in enumerate(reversed(shown)):
        figure.text(0.06, 0.07 + 0.0145 * row, text, fontsize=6.8, color=style.INK, va="center")


def _page(site: Site, words: str) -> tuple[Figure, Axes]:
    """Return a page with title, caution and the axes for its map."""
    figure = Figure(figsize=(11.0, 8.5), facecolor=style.PAPER)
    FigureCanvasAgg(figure)
    axes = figure.add_axes((0.06, 0.11, 0.62, 0.76))
    axes.set_anchor("C")
    figure.text(
        0.06, 0.955, site.name, fontsize=15, fontweight="bold", color=style.INK, va="center"
    )
    lines = textwrap.wrap(words, 104)
    figure.text(0.06, 0.913, "\n".join(lines), fontsize=9, color=style.INK, va="center")
    figure.text(0.06, 0.028, SHORT, fontsize=8, color=style.INK, va="center")
    figure.text(0.06, 0.05, _assumptions(site), fontsize=7.5, color=style.QUIET, va="center")
    return figure, axes


def subtitle(site: Site, view: View, tier: Tier, *, feet: bool = False) -> str:
    """Return what the map shows in one line: quantity, plane, body rule, revision."""
    limits = get_set(site.limit_set)
    what = f"Percent of the {limits.key} {limits.name_of(tier)} limit"
    if isinstance(view, PlanView):
        where = f"plan, {view.height.said(feet=feet)}"
    else:
        x, y = view.origin
        place = f"x {show_length(x, feet=feet)}, y {show_length(y, feet=feet)}"
        where = f"elevation through {place} along azimuth {true_azimuth(site, view):g}°"
    body = body_words(view.body, feet=feet)
    revision = f"; revision {site.edition}" if site.edition else ""
    undrawn = (
        "" if site.surfaces else f"; NO VERDICT: {NO_SURFACE}, figures for a stated height only"
    )
    return f"{what}; {where}; {body}{revision}{undrawn}"


def _assumptions(site: Site) -> str:
    estimate = "conservative estimate" if site.conservative else "BEST ESTIMATE, can be low"
    rest = "modelled sources only; continuous exposure; no shading counted"
    return f"{estimate}; {site.reflection.words}; {rest}"


def shade_legend(axes: Axes, title: str, *, note: bool = True, size: float = 8.0) -> Colorbar:
    """Draw the legend of the shading, with the percents at its steps; ``note`` says what the hatching is."""
    from matplotlib.cm import ScalarMappable

    bar = Colorbar(
        axes, ScalarMappable(style.norm(), style.colormap()), spacing="uniform", extend="max"
    )
    bar.set_ticks(list(style.LEVELS), labels=[f"{level:g} %" for level in style.LEVELS])
    bar.minorticks_off()
    axes.tick_params(labelsize=size, colors=style.INK)
    axes.set_title(
        "\n".join(textwrap.wrap(title, 26)),
        fontsize=size + 0.5,
        color=style.INK,
        loc="left",
        pad=size,
    )
    if not note:
        return bar
    axes.text(
        4.6, 0.98, "hatched: inside an\nantenna's reactive\nregion, no figure:\ntreat as over\nevery limit",
        transform=axes.transAxes, fontsize=7.5, va="top", color=style.INK,
    )  # fmt: skip
    return bar


def emitter_key(axes: Axes, site: Site) -> None:
    """List the antennas by their number on the map, with carriers, power and state."""
    axes.set_axis_off()
    found = sources(site)
    limits = get_set(site.limit_set)
    outside = set(not_covered(found, limits))
    lines: list[tuple[str, bool]] = []
    for i, antenna in enumerate(site.antennas, 1):
        lines.append((f"{i}  {antenna.name} ({antenna.state.words})", True))
        for source in found:
            if source.antenna is antenna:
                mark = f"  NOT COVERED by {limits.key}" if source in outside else ""
                power = show_power(source.radiated.power)
                tone = show_frequency(source.carrier.frequency)
                lines.append((f"     {source.carrier.name}: {tone}, {power}{mark}", False))
    most = 30
    shown = (
        lines
        if len(lines) <= most
        else [*lines[: most - 1], (f"… and {len(lines) - most + 1} more lines", False)]
    )
    size = 8.0 if len(shown) <= 22 else 6.6
    step = min(0.052, 1.0 / max(len(shown), 1))
    axes.text(
        0.0,
        1.03,
        "Emitters (average radiated power)",
        fontsize=8.5,
        color=style.INK,
        transform=axes.transAxes,
    )
    for row, (text, heavy) in enumerate(shown):
        axes.text(
            0.0, 0.97 - row * step, text, fontsize=size, color=style.INK, va="top", transform=axes.transAxes,
            fontweight="bold" if heavy else "normal",
        )  # fmt: skip
