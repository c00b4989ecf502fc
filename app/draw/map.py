"""One view of a site: shading or zones, what stands there, words, scale bar, north arrow.

The same artists serve the window and the files.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import replace
from pathlib import Path

import shapely
from matplotlib.artist import Artist
from matplotlib.axes import Axes

from app.draw import frame_art, site_art
from app.draw.doubt_art import draw_doubts
from app.draw.isobands import Isobands, isobands
from app.draw.lines import Lines
from app.draw.notes import Notes
from app.draw.part_art import draw_part
from app.draw.picture import picture_path
from app.draw.shading import Shading
from app.draw.style import LIGHT, Palette
from app.draw.survey_art import draw_surveys
from app.draw.zone_art import draw_zones, label_zones, mark_zones
from core.exposure.raster import Raster
from core.fences.fence import Check
from core.limits.tier import Tier
from core.reading.doubt import Doubt
from core.site.parts import Part
from core.site.site import Site
from core.views.views import PlanView, View
from core.zones.site_zones import SiteZones


class MapView:
    """The artists of one view on one set of axes.

    With ``inside`` the axes fill their frame, and numbers, scale bar and north stand inside it.
    """

    def __init__(
        self,
        axes: Axes,
        folder: Path | None = None,
        palette: Palette = LIGHT,
        *,
        inside: bool = False,
    ) -> None:
        self.axes, self.folder, self.palette, self.inside = axes, folder, palette, inside
        self.site: Site | None = None
        self.view: View | None = None
        self.feet = False
        self.pictured: Path | None = None
        self.selected = ""
        self.checks: dict[str, Check] = {}
        self.doubts: tuple[Doubt, ...] = ()
        self.notes = Notes(axes, palette)
        self.shading = Shading(axes, palette)
        self.zones: SiteZones | None = None
        self._limit_set = ""
        self._mark, self._dim = "", False
        self._static: list[Artist] = []
        self._carried: list[Artist] = []
        self._marked: list[Artist] = []
        self._zone_fills: list[Artist] = []
        self._zone_words: list[Artist] = []
        self._adding = self._static
        # On screen the frame has the shape of what it shows; rounding must not shrink it.
        axes.set_aspect("auto" if inside else "equal")
        axes.tick_params(labelsize=8, colors=palette.ink)
        if inside:
            axes.set_axis_off()

    def set_palette(self, palette: Palette) -> None:
        """Draw in other colours from now on; what is shown follows when it is shown again."""
        self.palette = self.notes.palette = self.shading.palette = palette

    @property
    def under(self) -> tuple[Artist, ...]:
        """What lies under everything that stands on the site."""
        return (*self.shading.artists, *self._zone_fills)

    @property
    def carried(self) -> tuple[Artist, ...]:
        """The antenna that is being carried about."""
        return tuple(self._carried)

    # what stands there -----------------------------------------------------------------------------

    def show_site(
        self,
        site: Site,
        view: View,
        selected: str = "",
        without: str = "",
        also: Collection[str] = (),
    ) -> None:
        """Draw what stands on the site; shading and zones stay. The antenna ``without`` is left out.

        ``selected`` is marked, and more faintly the antennas that are ``also`` chosen.
        """
        self.site, self.view, self.selected = site, view, selected
        _remove(self._static)
        _remove(self._carried)
        u0, v0, u1, v1 = view.bounds
        self.axes.set_xlim(u0, u1)
        self.axes.set_ylim(v0, v1)
        self.axes.apply_aspect()
        # What comes first has the choice of places for its words.
        self.notes.clear()
        self._frame(site, view)
        site_art.keep_words_off(self, site, view)
        members = [i for i, a in enumerate(site.antennas) if a.name != without]
        site_art.draw_antennas(self, site, view, members, selected, also)
        if isinstance(view, PlanView):
            site_art.draw_plan(self, site, self.pictured or picture_path(site, self.folder))
        else:
            site_art.draw_elevation(self, site, view)
        draw_surveys(self, site, view)
        draw_doubts(self, self.doubts, view)
        if without:
            # The lines move with the antenna; words beside them would stay behind.
            self.shading.unlabel()
        else:
            self._label()

    def mark_part(self, site: Site, view: View, part: Part | None) -> None:
        """Mark the chosen part of a site; None takes the mark off."""
        _remove(self._marked)
        if part is not None:
            self._adding = self._marked
            draw_part(self, site, view, part)
            self._adding = self._static

    def carry(self, site: Site, view: View, name: str) -> None:
        """Draw one antenna where it is being carried."""
        _remove(self._carried)
        self._adding = self._carried
        members = [i for i, a in enumerate(site.antennas) if a.name == name]
        self.notes.begin("carried")
        site_art.draw_antennas(self, site, view, members, name)
        self._adding = self._static

    def _frame(self, site: Site, view: View) -> None:
        if self.inside:
            frame_art.axes_inside(self, site, view)
        else:
            frame_art.axes_outside(self.axes, site, view, feet=self.feet)
        frame_art.scale_bar(self, view, inside=self.inside)
        if isinstance(view, PlanView):
            self.notes.keep_corner(34.0, 44.0)
            frame_art.north_arrow(self, site)

    def add(self, artist: Artist) -> None:
        """Keep an artist until the site is drawn anew."""
        self._adding.append(artist)

    def note(
        self, text: str, u: float, v: float, offset: tuple[float, float], *, bold: bool = False
    ) -> None:
        """Put words beside a place; they keep out of the way of others."""
        self.add(self.notes.beside(text, u, v, offset, bold=bold))

    # what is there in the air ----------------------------------------------------------------------

    def show_raster(
        self, raster: Raster, tier: Tier, contours: Sequence[float], lines: Lines | None = None
    ) -> None:
        """Shade the view by percent of a tier's limit and draw the contours asked for, or ``lines`` that are known."""
        bands = isobands(raster, tier, contours)
        self.show_bands(bands if lines is None else replace(bands, lines=lines))

    def show_bands(self, bands: Isobands | None) -> None:
        """Shade the view; None takes shading and lines off."""
        self.shading.show(bands)
        if not self._carried:
            self._label()

    def show_zones(
        self, zones: SiteZones | None, limit_set: str, *, mark: str = "", dim: bool = False
    ) -> None:
        """Show proven zones in place of the shading; None takes them off.

        ``mark`` is written over the map; zones that are ``dim`` have no labels: they are of something else.
        """
        _remove(self._zone_fills)
        self.zones, self._limit_set, self._mark, self._dim = zones, limit_set, mark, dim
        regions = [] if zones is None else [zone.region for _, zone in zones.zones]
        self.notes.zones = shapely.union_all(regions) if regions else None
        if zones is not None:
            self._zone_fills += draw_zones(self.axes, zones, self.palette, dim=dim)
        self.shading.set_visible(visible=zones is None)
        self._label()

    def show_zones_again(self) -> None:
        """Show the zones there are in other colours."""
        self.show_zones(self.zones, self._limit_set, mark=self._mark, dim=self._dim)

    def _label(self) -> None:
        """Write the words of lines and zones where what stands there leaves room."""
        self.notes.begin("lines")
        self.shading.label(self.notes)
        self.notes.begin("zones")
        _remove(self._zone_words)
        if self.zones is not None and self._mark:
            self._zone_words.append(mark_zones(self.axes, self._mark, self.palette))
        if self.zones is not None and self.view is not None and not self._dim:
            self._zone_words += label_zones(
                self.notes, self.zones, self._limit_set, self.view.bounds
            )


def _remove(artists: list[Artist]) -> None:
    for artist in artists:
        artist.remove()
    artists.clear()
