"""One view of a site: shading, labelled contours, structures, antennas, scale bar, north arrow.

The same artists serve the window and the files. Artists are made once and updated; only contours are
made anew when a raster changes.
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import numpy as np
from matplotlib.artist import Artist
from matplotlib.axes import Axes
from matplotlib.collections import LineCollection
from matplotlib.patches import Polygon as PolygonPatch
from matplotlib.text import Text
from matplotlib.ticker import MultipleLocator

from app.draw import style
from app.draw.fence_art import draw_ladder_fences, draw_plan_fences
from app.draw.notes import Notes
from app.draw.picture import draw_picture
from app.draw.placing import antenna_metal, beside, compass, nice_length, numbers
from app.draw.zone_art import draw_zones
from core.exposure.raster import Raster
from core.fences.fence import Check
from core.limits.tier import Tier
from core.site.site import Antenna, Site
from core.views.defaults import true_azimuth
from core.views.views import ElevationView, PlanView, View
from core.zones.site_zones import SiteZones

FEET = 0.3048

IN_PLANE = 1.0
"""m: an antenna farther off the shown plane is drawn hollow and its distance said."""


class MapView:
    """The artists of one view on one set of axes."""

    def __init__(self, axes: Axes, folder: Path | None = None) -> None:
        self.axes = axes
        self.folder = folder
        self.site: Site | None = None
        self.view: View | None = None
        self.feet = False
        self.selected = ""
        self.notes = Notes(axes)
        self._static: list[Artist] = []
        self._contours: list[Artist] = []
        self._image = axes.imshow(
            np.zeros((1, 1)),
            origin="lower",
            cmap=style.colormap(),
            norm=style.norm(),
            interpolation="nearest",
            zorder=0,
            visible=False,
            aspect="equal",
            alpha=0.92,
        )
        self._hatch: list[Artist] = []
        self._labels: list[Artist] = []
        self._zones: list[Artist] = []
        self._zoned = False
        self.checks: dict[str, Check] = {}
        axes.tick_params(labelsize=8, colors=style.INK)

    def show_site(self, site: Site, view: View, selected: str = "") -> None:
        """Draw what stands on the site; the raster stays."""
        self.site, self.view, self.selected = site, view, selected
        for artist in self._static:
            artist.remove()
        self._static = []
        u0, v0, u1, v1 = view.bounds
        self.axes.set_xlim(u0, u1)
        self.axes.set_ylim(v0, v1)
        # What comes first has the choice of places for its words.
        self.notes.clear()
        self._scale_bar(view)
        self._marks(site, view)
        self._antennas(site, view, selected)
        if isinstance(view, PlanView):
            self._plan(site, view)
        else:
            self._elevation(site, view)
        self._label_axes(view)

    def _marks(self, site: Site, view: View) -> None:
        """Keep words off antennas, access points and the north arrow."""
        places = [a.position for a in site.antennas] + [a.position for a in site.access_points]
        for u, v in view.to_view(np.array(places).reshape(-1, 3)):
            self.notes.keep_free(float(u), float(v), 4.0)
        if isinstance(view, PlanView):
            self.notes.keep_corner(0.09, 0.13)

    def show_raster(self, raster: Raster, tier: Tier, contours: Sequence[float]) -> None:
        """Shade the view by percent of a tier's limit and draw the contours asked for."""
        percent = 100.0 * raster.of(tier)
        u0, v0, u1, v1 = raster.bounds
        self._image.set_data(percent)
        self._image.set_extent((u0, u1, v0, v1))
        self._image.set_visible(True)
        self.axes.set_xlim(raster.view.bounds[0], raster.view.bounds[2])
        self.axes.set_ylim(raster.view.bounds[1], raster.view.bounds[3])
        for artist in [*self._contours, *self._hatch]:
            artist.remove()
        self._contours, self._labels, self._hatch = [], [], []
        rows, columns = percent.shape
        if rows < 2 or columns < 2:
            return
        u = u0 + (np.arange(columns) + 0.5) * (u1 - u0) / columns
        v = v0 + (np.arange(rows) + 0.5) * (v1 - v0) / rows
        self._draw_contours(u, v, percent, sorted(contours))
        if raster.reactive.any() and not raster.reactive.all():
            self._hatch.append(
                self.axes.contourf(
                    u,
                    v,
                    raster.reactive.astype(float),
                    [0.5, 1.5],
                    colors="none",
                    hatches=["xxxx"],
                    zorder=2,
                )
            )
        self._yield_to_zones()

    def _yield_to_zones(self) -> None:
        """Hide the shading while zones are shown."""
        for artist in (self._image, *self._contours, *self._labels, *self._hatch):
            artist.set_visible(not self._zoned)

    def hide_raster(self) -> None:
        """Take shading and contours off."""
        self._image.set_visible(False)
        for artist in [*self._contours, *self._hatch]:
            artist.remove()
        self._contours, self._labels, self._hatch = [], [], []

    def show_zones(self, zones: SiteZones | None, limit_set: str) -> None:
        """Show proven zones in place of the shading; None takes them off."""
        for artist in self._zones:
            artist.remove()
        self._zoned = zones is not None
        self._zones = [] if zones is None else draw_zones(self.axes, zones, limit_set)
        self._yield_to_zones()

    def _draw_contours(
        self, u: np.ndarray, v: np.ndarray, percent: np.ndarray, levels: list[float]
    ) -> None:
        low, high = float(percent.min()), float(percent.max())
        present = [level for level in levels if low < level < high]
        if not present:
            return
        shown = np.log10(np.maximum(percent, 1e-6))
        exponents = [float(np.log10(level)) for level in present]
        widths = [style.contour_width(level) for level in present]
        halo = self.axes.contour(
            u,
            v,
            shown,
            exponents,
            colors=style.PAPER,
            linewidths=[w + 1.6 for w in widths],
            zorder=3,
            linestyles="solid",
        )
        lines = self.axes.contour(
            u,
            v,
            shown,
            exponents,
            colors=style.INK,
            linewidths=widths,
            zorder=3.1,
            linestyles="solid",
        )
        names = {e: style.percent_label(level) for e, level in zip(exponents, present, strict=True)}
        texts = self.axes.clabel(lines, fmt=names, fontsize=7.5, inline=False, colors=style.INK)
        for text in texts:
            if self._at_the_edge(text):
                # Half a number at the frame reads as another number.
                text.set_visible(False)
            text.set_bbox(
                {"facecolor": style.PAPER, "edgecolor": "none", "pad": 0.8, "alpha": 0.85}
            )
            text.set_zorder(3.2)
            text.set_clip_on(True)
        # The contour set takes its labels along when it is removed.
        self._contours = [halo, lines]
        self._labels = [text for text in texts if text.get_visible()]

    def _at_the_edge(self, text: Text) -> bool:
        x, y = text.get_position()
        u0, v0, u1, v1 = self.view.bounds if self.view else (0.0, 0.0, 1.0, 1.0)
        across, up = 0.07 * (u1 - u0), 0.05 * (v1 - v0)
        at_bar = x < u0 + 0.3 * (u1 - u0) and y < v0 + 0.09 * (v1 - v0)
        return at_bar or not (u0 + across < x < u1 - across and v0 + up < y < v1 - up)

    def add(self, artist: Artist) -> None:
        """Keep an artist until the site is drawn anew."""
        self._static.append(artist)

    def _plan(self, site: Site, view: PlanView) -> None:
        picture = draw_picture(self.axes, site, self.folder)
        if picture is not None:
            self.add(picture)
        for surface in sorted(site.surfaces, key=lambda s: s.height):
            if surface.kind != "ground":
                self._outline(surface.outline, style.STRUCTURE, 0.9, "dashed")
        for structure in site.structures:
            heavy = 1.6 if structure.kind in ("penthouse", "tower", "mast", "wall") else 1.1
            closed = structure.kind not in structure.LINES
            self._outline(structure.outline, style.INK, heavy, "solid", closed=closed)
        for ladder in site.ladders:
            points = np.array(ladder.points)
            self.add(
                self.axes.plot(
                    points[:, 0], points[:, 1], "s-", ms=4, color=style.LADDER, lw=1, zorder=5
                )[0]
            )
        for access in site.access_points:
            x, y, _ = access.position
            self.add(
                self.axes.plot(x, y, marker="D", ms=6, mfc=style.PAPER, mec=style.INK, zorder=6)[0]
            )
            self.note(access.name, x, y, (7, -3))
        draw_plan_fences(self, site)
        self._north(view, site)

    def _elevation(self, site: Site, view: ElevationView) -> None:
        for surface in site.surfaces:
            self._span(view, surface.outline, surface.height, surface.height, style.INK, 1.4)
        for structure in site.structures:
            self._span(view, structure.outline, structure.base, structure.top, style.STRUCTURE, 1.1)
        for ladder in site.ladders:
            uv = view.to_view(np.array(ladder.points))
            self.add(
                self.axes.plot(
                    uv[:, 0], uv[:, 1], color=style.LADDER, lw=2.2, ls=(0, (1, 1)), zorder=5
                )[0]
            )
        draw_ladder_fences(self, site, view)
        for access in site.access_points:
            uv = view.to_view(np.array([access.position]))[0]
            self.add(
                self.axes.plot(*uv, marker="D", ms=6, mfc=style.PAPER, mec=style.INK, zorder=6)[0]
            )

    def _span(
        self,
        view: ElevationView,
        outline: Sequence[tuple[float, float]],
        base: float,
        top: float,
        colour: str,
        lw: float,
    ) -> None:
        points = np.array([(x, y, 0.0) for x, y in outline])
        u = view.to_view(points)[:, 0]
        corners = [(u.min(), base), (u.max(), base), (u.max(), top), (u.min(), top)]
        patch = PolygonPatch(corners, closed=True, fill=False, edgecolor=colour, lw=lw, zorder=4)
        self.add(self.axes.add_patch(patch))

    def _outline(
        self,
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
        self.add(self.axes.add_patch(patch))

    def _antennas(self, site: Site, view: View, selected: str) -> None:
        """Draw metal, boresight and number; antennas in one place share a label."""
        segments, colours = [], []
        places: list[tuple[np.ndarray, list[int]]] = []
        u0, v0, u1, v1 = view.bounds
        grain = max(u1 - u0, v1 - v0) / 40.0
        for i, antenna in enumerate(site.antennas):
            uv = view.to_view(np.array([antenna.position]))[0]
            off = beside(site, antenna, view)
            colour = (
                style.ANTENNA if antenna.state.factor and abs(off) <= IN_PLANE else style.SILENT
            )
            for line in antenna_metal(site, antenna, view):
                segments.append(line)
                colours.append(colour)
            self._boresight(site, antenna, view, uv, colour, grain)
            fill = colour if abs(off) <= IN_PLANE else style.PAPER
            marker = self.axes.plot(*uv, "o", ms=4.5, mfc=fill, mec=colour, mew=1.0, zorder=7)[0]
            self.add(marker)
            if antenna.name == selected:
                ring = self.axes.plot(*uv, "o", ms=13, mfc="none", mec=style.PIN, mew=1.8, zorder=7)
                self.add(ring[0])
            if u0 <= uv[0] <= u1 and v0 <= uv[1] <= v1:
                near = (m for at, m in places if np.hypot(*(at - uv)) < 1.8 * grain)
                group = next(near, None)
                if group is None:
                    places.append((uv, [i]))
                else:
                    group.append(i)
        lines = LineCollection(segments, colors=colours, linewidths=1.6, zorder=6)
        self.add(self.axes.add_collection(lines, autolim=False))
        for uv, members in places:
            away = max(abs(beside(site, site.antennas[m], view)) for m in members)
            label = (
                numbers(members)
                if away <= IN_PLANE
                else f"{numbers(members)} ({self._length(away)} off)"
            )
            self.note(label, float(uv[0]), float(uv[1]), (8, 6), bold=True)

    def _length(self, metres: float) -> str:
        return f"{metres / FEET:.0f} ft" if self.feet else f"{metres:.0f} m"

    def _boresight(
        self,
        site: Site,
        antenna: Antenna,
        view: View,
        uv: np.ndarray,
        colour: str,
        grain: float,
    ) -> None:
        if not antenna.kind.has_boresight:
            return
        forward = site.frame_of(antenna)[:, 0]
        tip = view.to_view((np.array(antenna.position) + 2.2 * grain * forward)[None, :])[0]
        self.add(
            self.axes.plot([uv[0], tip[0]], [uv[1], tip[1]], color=colour, lw=1.2, zorder=6)[0]
        )

    def note(
        self, text: str, u: float, v: float, offset: tuple[float, float], *, bold: bool = False
    ) -> None:
        """Put words beside a place; they keep out of the way of others."""
        self.add(self.notes.beside(text, u, v, offset, bold=bold))

    def _scale_bar(self, view: View) -> None:
        u0, v0, u1, v1 = view.bounds
        unit = FEET if self.feet else 1.0
        length = nice_length((u1 - u0) / unit / 4.0)
        x, y = u0 + 0.04 * (u1 - u0), v0 + 0.035 * (v1 - v0)
        bar = self.axes.plot(
            [x, x + length * unit], [y, y], color=style.INK, lw=3.5, solid_capstyle="butt", zorder=9
        )[0]
        self.add(bar)
        self.note(f"{length:g} {'ft' if self.feet else 'm'}", x, y, (1, 4))

    def _north(self, view: PlanView, site: Site) -> None:
        turn = np.radians(site.anchor.grid_north if site.anchor else 0.0)
        arrow = self.axes.annotate(
            "N",
            xy=(0.95 - 0.0 * np.sin(turn), 0.97),
            xytext=(0.95 + 0.075 * np.sin(turn), 0.97 - 0.085 * np.cos(turn)),
            xycoords="axes fraction",
            ha="center",
            va="center",
            fontsize=10,
            fontweight="bold",
            color=style.INK,
            arrowprops={"arrowstyle": "-|>", "color": style.INK, "lw": 1.6},
            zorder=9,
            bbox={"facecolor": style.PAPER, "edgecolor": "none", "pad": 0.6, "alpha": 0.8},
        )
        self.add(arrow)

    def _label_axes(self, view: View) -> None:
        unit, scale = ("ft", FEET) if self.feet else ("m", 1.0)

        def formatter(value: float, _: float) -> str:
            return f"{value / scale:.6g}"

        u0, v0, u1, v1 = view.bounds
        for axis, low, high in ((self.axes.xaxis, u0, u1), (self.axes.yaxis, v0, v1)):
            # Round steps in the unit shown, not in metres.
            axis.set_major_locator(MultipleLocator(nice_length((high - low) / scale / 4.0) * scale))
            axis.set_major_formatter(formatter)
        if isinstance(view, PlanView):
            self.axes.set_xlabel(f"x east, {unit}", fontsize=8)
            self.axes.set_ylabel(f"y north, {unit}", fontsize=8)
            return
        azimuth = true_azimuth(self.site, view) if self.site else view.azimuth
        left, right = compass(azimuth + 180.0), compass(azimuth)
        self.axes.set_xlabel(
            f"{left}  ←  along azimuth {azimuth:g}°, {unit}  →  {right}", fontsize=8
        )
        self.axes.set_ylabel(f"height above site datum, {unit}", fontsize=8)
