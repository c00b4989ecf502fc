"""A ladder as a strip: heights against percent of both tiers, with the spans a climber may use."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np
from matplotlib.artist import Artist
from matplotlib.axes import Axes
from matplotlib.colors import to_rgb
from matplotlib.figure import Figure
from matplotlib.patches import Rectangle
from matplotlib.text import Annotation, Text

from app.draw import style
from app.draw.placing import antenna_metal, numbers
from core.exposure.profile import Profile
from core.limits.tier import TIERS, Tier
from core.site.places import Ladder
from core.site.site import Site
from core.views.defaults import default_elevation
from core.zones.ladders import LadderZone, closed_spans, show_height

LEFT, RIGHT = 1.0, 1e5
"""Percent at the edges of the strip; what is beyond stands at them."""
_APART = 11.0
"""Points between two heights that are written."""
_GAP = 4.0
"""Points between the strip and the numbers of emitters beside it."""
_WRITTEN = (
    (85.0, ("10", "100", "1k", "10k")), (60.0, ("", "100", "", "10k")), (-np.inf, ("", "100", "", "")),
)  # fmt: skip
"""Which percents are written from so many points of the curves on."""
_DIM = 0.35
PIN_ON_DARK = "#f07ab8"
"""The colour of pins and stops on a dark ground."""


@dataclass(frozen=True)
class Strip:
    """What a strip shows.

    Attributes
    ----------
    site : Site
    ladder : Ladder
    profile : Profile or None
        Percent along the ladder, of this site.
    zones : mapping of Tier to LadderZone
        What was proven last; drawn dim where it is ``stale``.
    stale : bool
        The site has changed since.
    feet : bool
    pin : float or None
        Height of the pinned place, m.
    worn : LadderZone or None
        Where the garment that is worn is not enough; None where none is, or nothing is known yet.
    """

    site: Site
    ladder: Ladder
    profile: Profile | None = None
    zones: Mapping[Tier, LadderZone] = field(default_factory=dict)
    stale: bool = False
    feet: bool = False
    pin: float | None = None
    worn: LadderZone | None = None


class LadderStrip:
    """Draws strips on a figure, within ``rect`` (left, bottom, width, height as parts of it)."""

    def __init__(
        self,
        figure: Figure,
        rect: tuple[float, float, float, float],
        *,
        paper: str = style.PAPER,
        ink: str = style.INK,
    ) -> None:
        self.paper, self.ink = paper, ink
        self.pin = style.PIN if luminance(paper) > 0.3 else PIN_ON_DARK
        self.spans: Axes = figure.add_axes(rect)
        self.curves: Axes = figure.add_axes(rect, sharey=self.spans)
        # Artists are made once and updated: what follows a strip is taken off before the next one.
        self._shown: list[Artist] = []
        self._written: tuple[list[float], list[str]] = ([], [])
        self._columns: tuple[str, ...] = ()
        self._numbers: list[Text] = []
        self._words: Annotation | None = None
        self._furnish()
        self.place(rect)

    def place(self, rect: tuple[float, float, float, float]) -> None:
        """Put the strip into another part of its figure, with room at its right for the numbers of emitters."""
        self._rect = left, bottom, width, height = rect
        figure = self.spans.figure
        widest = max((note.get_window_extent().width for note in self._numbers), default=0.0)
        gap = (_GAP if widest else 0.0) * float(figure.dpi) / 72.0
        room = min((widest + 2.0 * gap) / figure.bbox.width, 0.4 * width)
        third = 0.3 * width
        self.spans.set_position((left, bottom, third, height))
        self.curves.set_position((left + third, bottom, width - third - room, height))
        points = figure.bbox.width * 72.0 / float(figure.dpi)
        wide = (width - third - room) * points
        labels = next(said for least, said in _WRITTEN if wide >= least)
        self.curves.set_xticks([10, 100, 1000, 1e4], labels=labels)
        if self._words is not None:
            # Under the numbers too: there is room.
            self._words.set_position((room * points, -17.0))

    def show(self, strip: Strip) -> None:
        """Draw a strip in the place of the last one."""
        heights = [p[2] for p in strip.ladder.points]
        low, high = min(heights), max(heights)
        room = max(0.3, 0.02 * (high - low))
        for artist in self._shown:
            artist.remove()
        self._shown = []
        self.spans.set_ylim(low - room, high + room)
        self._curves(strip)
        self._spans(strip, low, high)
        self.place(self._rect)

    def heights_width(self) -> float:
        """Return the width in pixels of the widest height that is written at the left."""
        labels = self.spans.get_yticklabels()
        return max((label.get_window_extent().width for label in labels), default=0.0)

    def height_at(self, y: float) -> float:
        """Return the height in m at a row of pixels, from the bottom of the figure."""
        return float(self.curves.transData.inverted().transform((0.0, y))[1])

    def _points(self) -> float:
        """Return how tall the strip is, in points."""
        figure = self.spans.figure
        return max(self.spans.get_window_extent().height * 72.0 / float(figure.dpi), 1.0)

    def _furnish(self) -> None:
        for axes in (self.spans, self.curves):
            axes.set_facecolor(self.paper)
            axes.tick_params(labelsize=7.5, colors=self.ink, length=3)
            for spine in axes.spines.values():
                spine.set_color(self.ink)
        axes = self.curves
        axes.set_xscale("log")
        axes.set_xlim(LEFT, RIGHT)
        axes.tick_params(axis="y", labelleft=False, left=False)
        axes.minorticks_off()
        axes.grid(axis="x", color=self.ink, alpha=0.15, lw=0.8)
        axes.axvline(100.0, color=self.ink, lw=2.4, zorder=3)
        axes.axvline(1000.0, color=self.ink, lw=1.2, ls=(0, (4, 2)), zorder=3)
        self.spans.tick_params(axis="x", length=0)
        self.spans.axvline(1.0, color=self.ink, lw=0.6)

    # curves ----------------------------------------------------------------------------------------

    def _curves(self, strip: Strip) -> None:
        axes = self.curves
        words = axes.annotate(
            f"% of {strip.site.limit_set}\nheavy: worker\nthin: public", (1.0, 0.0), (0.0, -17.0),
            xycoords="axes fraction", textcoords="offset points", ha="right", va="top", fontsize=7.5,
            color=self.ink,
        )  # fmt: skip
        self._words = words
        self._shown.append(words)
        if strip.profile is not None:
            self._drawn(strip.profile)
        self._emitters(strip)
        if strip.pin is not None:
            for part in (axes, self.spans):
                line = part.axhline(strip.pin, color=self.pin, lw=1.2, ls=(0, (6, 3)), zorder=6)
                self._shown.append(line)

    def _drawn(self, profile: Profile) -> None:
        up = profile.places[:, 2]
        for tier, width in zip(TIERS, (1.1, 2.2), strict=True):
            percent = np.clip(100.0 * profile.of(tier), LEFT, RIGHT)
            (line,) = self.curves.plot(percent, up, color=self.ink, lw=width, zorder=4)
            line.set_gid(tier)
            self._shown.append(line)
        half = 0.5 * float(np.abs(np.diff(up)).max())
        edges = np.flatnonzero(np.diff(np.concatenate([[False], profile.reactive, [False]])))
        for a, b in edges.reshape(-1, 2):
            ends = up[a:b].min() - half, up[a:b].max() + half
            region = self.curves.axhspan(
                *ends, facecolor="none", edgecolor=self.ink, hatch="xxxx", lw=0.0, zorder=2
            )
            self._shown.append(region)

    def _emitters(self, strip: Strip) -> None:
        """Mark where antennas are, by their numbers; those so near that words would meet share them."""
        view = default_elevation(strip.site)
        axes = self.curves
        low, high = self.spans.get_ylim()
        grain = _APART * (high - low) / self._points()
        self._numbers = []
        places: list[tuple[float, list[int]]] = []
        for i, antenna in enumerate(strip.site.antennas):
            metal = [line[:, 1] for line in antenna_metal(strip.site, antenna, view)]
            ends = np.concatenate(metal) if metal else np.array([antenna.position[2]])
            if ends.max() < low or ends.min() > high:
                continue
            colour = style.STRUCTURE if antenna.state.factor == 0.0 else self.ink
            self._shown += axes.plot(
                [RIGHT * 0.8] * 2, [max(ends.min(), low), min(ends.max(), high)],
                color=colour, lw=3.0, solid_capstyle="butt", zorder=5,
            )  # fmt: skip
            middle = float(np.clip((ends.min() + ends.max()) / 2.0, low, high))
            near = next((p for p in places if abs(p[0] - middle) < grain), None)
            if near is None:
                places.append((middle, [i]))
            else:
                near[1].append(i)
        for middle, members in places:
            note = axes.annotate(
                numbers(members), (1.0, middle), (_GAP, 0.0), xycoords=axes.get_yaxis_transform(),
                textcoords="offset points", fontsize=7.5, fontweight="bold", va="center",
                color=self.ink, annotation_clip=True,
            )  # fmt: skip
            self._numbers.append(note)
        self._shown += self._numbers

    # spans -----------------------------------------------------------------------------------------

    def _spans(self, strip: Strip, low: float, high: float) -> None:
        axes = self.spans
        stops = [f for f in strip.site.fences if f.ladder == strip.ladder.name]
        zones: list[tuple[str, LadderZone | None]] = [(t, strip.zones.get(t)) for t in TIERS]
        zones += [("garment", strip.worn)] if strip.worn is not None else []
        named = ("public", "worker", *(key for key, _ in zones[2:]))
        shown = (*named, "fence") if stops else named
        if shown != self._columns:
            self._columns = shown
            axes.set_xlim(0.0, len(shown))
            places = [i + 0.5 for i in range(len(shown))]
            axes.set_xticks(places, labels=shown, rotation=90, color=self.ink)
        alpha = _DIM if strip.stale else 1.0
        written: list[float] = [low, high]
        for i, (tier, zone) in enumerate(zones):
            if zone is None:
                continue
            for a, b in closed_spans(zone.intervals, feet=strip.feet):
                a, b = max(a, low), min(b, high)
                box = Rectangle(
                    (i + 0.08, a), 0.84, b - a, facecolor=style.ZONE_FILLS[tier], alpha=alpha,
                    edgecolor=style.INK, hatch=style.ZONE_HATCHES[tier], lw=1.0, zorder=2, gid=tier,
                )  # fmt: skip
                self._shown.append(axes.add_patch(box))
                if tier == "occupational":
                    written += [a, b]
        for fence in stops:
            for a, b in fence.stops:
                box = Rectangle(
                    (len(zones) + 0.2, a),
                    0.6,
                    b - a,
                    facecolor=self.pin,
                    lw=0.0,
                    zorder=2,
                    gid=fence.name,
                )
                self._shown.append(axes.add_patch(box))
        if strip.stale or not strip.zones:
            said = axes.annotate(
                "being proven…", (0.0, 1.0), (0.0, 3.0), xycoords="axes fraction",
                textcoords="offset points", fontsize=8, color=self.ink,
            )  # fmt: skip
            self._shown.append(said)
        self._heights(written, strip)

    def _heights(self, written: list[float], strip: Strip) -> None:
        """Write the ends of the spans, foot and top first; what would meet a neighbour stands in the words only."""
        low, high = self.spans.get_ylim()
        grain = _APART * (high - low) / self._points()
        kept: list[float] = []
        for height in written:
            if all(abs(height - k) >= grain for k in kept):
                kept.append(height)
        labels = [show_height(h, feet=strip.feet) for h in kept]
        if (kept, labels) != self._written:
            self._written = kept, labels
            self.spans.set_yticks(kept, labels=labels)


def luminance(colour: str) -> float:
    """Return the relative luminance of a colour, 0 to 1 (WCAG 2.1)."""
    rgb = np.array(to_rgb(colour))
    linear = np.where(rgb <= 0.04045, rgb / 12.92, ((rgb + 0.055) / 1.055) ** 2.4)
    return float(linear @ [0.2126, 0.7152, 0.0722])
