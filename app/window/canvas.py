"""A map on screen: the artists of MapView on a Qt canvas that can be moved.

While the map moves, the picture that was drawn last is scaled; while an antenna is carried about, what does not change
is laid over the shading. Words beside the pointer, the cross and the focus are painted over the finished picture.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from matplotlib.figure import Figure
from PySide6.QtCore import QEvent, QPointF, QRect, QRectF, QSize, Qt, QTimer, Signal
from PySide6.QtGui import QImage, QPainter, QPaintEvent, QPalette, QResizeEvent

from app.draw import style
from app.draw.carrying import compose, overlay
from app.draw.isobands import Isobands
from app.draw.map import MapView
from app.draw.sketch_art import Sketch, SketchArt
from app.modes.camera import Box, Place
from app.window.contrast import map_palette
from app.window.letters import KeepingCanvas
from app.window.scene import Scene
from app.window.screen_marks import paint_cross, paint_focus, paint_unknown, paint_words
from core.exposure.raster import Raster
from core.limits.tier import Tier
from core.site.site import Site
from core.views.views import View
from core.zones.site_zones import SiteZones

_LATE = 60
"""Milliseconds a carried antenna waits to be drawn with the shading that belongs to it."""

_SOON = 100
"""Milliseconds a site waits to be drawn together with a shading that is on its way: two drawings take longer."""


@dataclass(frozen=True)
class Shaded:
    """A raster, what it looks like, and whether it is as fine as it gets for what is seen."""

    raster: Raster
    bands: Isobands
    refined: bool = True


@dataclass(frozen=True)
class Told:
    """Words beside a place of the map."""

    place: Place
    words: str


class MapCanvas(KeepingCanvas):
    """One map; mouse and keys are taken in by :class:`app.window.pointing.PointedCanvas`."""

    resized = Signal()

    def __init__(self, name: str) -> None:
        self._figure = Figure(facecolor=style.PAPER)
        self._is_made = False
        super().__init__(self._figure)
        # The canvas of matplotlib is white wherever it stands; this one has the colours of its desktop.
        self.setPalette(QPalette())
        self.setObjectName(name)
        self.setAccessibleName(f"{name} map")
        self.setAccessibleDescription(
            "Arrow keys move a cross, Enter pins a reading there, plus and minus zoom about it, "
            "0 shows all, 1 what is selected, Backspace goes back. Ctrl with an arrow moves the map."
        )
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setMouseTracking(True)
        self.setMinimumSize(QSize(220, 160))
        axes = self._figure.add_axes((0.0, 0.0, 1.0, 1.0))
        self.map = MapView(axes, inside=True)
        self.shaded: Shaded | None = None
        self.tier: Tier = "public"
        self.contours: tuple[float, ...] = style.CONTOURS
        self.scene: Scene | None = None
        self.view: View | None = None
        self.full_draws = 0
        self.waits = False
        """Whether nothing is drawn because a shading is awaited."""
        self.cross: Place | None = None
        self.told: Told | None = None
        self._seen: Box = (0.0, 0.0, 1.0, 1.0)
        self._drawn: Box | None = None
        self._frame: QImage | None = None
        self._overlay: np.ndarray | None = None
        self._uncomposed = False
        self._carried: tuple[Site, View, str] | None = None
        self._late = QTimer(self, singleShot=True, interval=_LATE)
        self._late.timeout.connect(self._compose)
        self._soon = QTimer(self, singleShot=True, interval=_SOON)
        self._soon.timeout.connect(self._wait_no_longer)
        self._background: object = None
        self._pin = [axes.plot([], [], "+", ms=16, mew=w, zorder=20)[0] for w in (5.0, 2.2)]
        self._cut = [
            axes.plot([], [], lw=w, ls=ls, zorder=3.5)[0]
            for w, ls in ((2.6, "solid"), (1.2, (0, (6, 3))))
        ]
        self._sketch, self._sketch_waits = SketchArt(axes), False
        self._is_made = True
        self._dress()

    # colours of the desktop ------------------------------------------------------------------------

    def _dress(self) -> None:
        """Take over the colours of the desktop."""
        palette = map_palette(self)
        self.map.set_palette(palette)
        self._figure.set_facecolor(palette.paper)
        for pale, dark in (self._pin, self._cut):
            pale.set_color(palette.paper)
            dark.set_color(palette.pin)
        self._cut[0].set_alpha(0.7)

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.PaletteChange and self._is_made:
            self._dress()
            self.map.shading.show(self.shaded.bands if self.shaded else None)
            self.map.show_zones_again()
            if self.scene is not None and self.view is not None:
                self.show_scene(self.scene, self.view)

    # what is shown ---------------------------------------------------------------------------------

    @property
    def raster(self) -> Raster | None:
        """What the shading was made from."""
        return self.shaded.raster if self.shaded else None

    def show_scene(self, scene: Scene, view: View) -> None:
        """Draw what stands on the site in a view, sharp again after any movement."""
        self._overlay = self._carried = None
        self._late.stop()
        self.map.folder, self.map.feet = scene.folder, scene.look.feet
        self.map.checks, self.map.pictured = dict(scene.checks), scene.pictured
        self.map.doubts = scene.doubts if scene.task == "site" else ()
        self.tier, self.contours = scene.look.tier, scene.look.contours
        self.scene, self.view, self._seen = scene, view, view.bounds
        if not self.waits:
            self._frame = None
        self.map.show_site(scene.shown, view, scene.selected, also=scene.also)
        self.map.mark_part(scene.site, view, scene.part)
        self.draw_idle()

    def await_shading(self) -> None:
        """Draw nothing until the next shading comes, but no longer than a moment."""
        self._draw_pending = False
        self.waits = True
        self._soon.start()

    def _wait_no_longer(self) -> None:
        self.waits = False
        self._soon.stop()
        if self.view is None or self._seen == self.view.bounds:
            self._frame = None
        self.draw_idle()

    def choose(self, scene: Scene) -> None:
        """Mark the chosen part; nothing else is drawn otherwise."""
        self.scene = scene
        if self.view is not None:
            self.map.mark_part(scene.site, self.view, scene.part)
            self.draw_idle()

    def glide(self, view: View) -> None:
        """Show another piece of the site at once, as well as the picture at hand allows."""
        self._keep_frame()
        self._seen = view.bounds
        self.update()

    def carry(self, scene: Scene, view: View, name: str) -> None:
        """Show an antenna where it is being carried, without drawing anything else anew."""
        if self._overlay is None:
            self.show_scene(scene, view)
            self.map.show_site(scene.shown, view, without=name)
            renderer = self.get_renderer()
            self._overlay = overlay(self._figure, renderer, self.map.under)
        self.scene = scene
        # The shading mostly follows at once, and both are drawn together: once for all moves of the mouse till then.
        self._carried = scene.shown, view, name
        self._late.start()

    def _compose(self) -> None:
        """Lay everything over the shading as soon as there is time: what changes meanwhile costs nothing more."""
        self._uncomposed = True
        self._draw_pending = False
        self._late.stop()
        self.update()

    def compose_now(self) -> None:
        """Draw the picture with the carried antenna."""
        assert self._overlay is not None
        if self._carried is not None:
            self.map.carry(*self._carried)
        self._uncomposed, self._carried = False, None
        self._background = None
        compose(self._figure, self.get_renderer(), self.map.under, self._overlay, self.map.carried)

    def show_shaded(self, shaded: Shaded | None) -> None:
        """Shade the map; None where there is nothing that radiates."""
        self.shaded = shaded
        self.map.show_bands(shaded.bands if shaded else None)
        if self._overlay is not None:
            self._compose()
        elif self.waits:
            self._wait_no_longer()
        else:
            self.draw_idle()

    def show_zones(
        self, zones: SiteZones | None, limit_set: str, *, mark: str = "", dim: bool = False
    ) -> None:
        """Show proven zones in place of the shading, or take them off; see :meth:`MapView.show_zones`."""
        self.map.show_zones(zones, limit_set, mark=mark, dim=dim)
        self.draw_idle()

    def mark(self, pin: Place | None, cut: np.ndarray | None, *, own: bool = True) -> None:
        """Show the pinned place and the other map's cut, as (n, 2) view coordinates.

        A pin that was made on the other map may hang off this one's plane: it is drawn faint.
        """
        for line in self._pin:
            line.set_alpha(1.0 if own else 0.45)
            line.set_data([pin[0]] if pin else [], [pin[1]] if pin else [])
        for line in self._cut:
            line.set_data(*(cut.T if cut is not None else ([], [])))
        self.draw_idle()

    def value_at(self, u: float, v: float) -> tuple[float, bool] | None:
        """Return (fraction, reactive) of the shown raster at a place, None outside it."""
        if self.raster is None:
            return None
        u0, v0, u1, v1 = self.raster.bounds
        rows, columns = self.raster.public.shape
        column, row = int((u - u0) // ((u1 - u0) / columns)), int((v - v0) // ((v1 - v0) / rows))
        if not (0 <= column < columns and 0 <= row < rows):
            return None
        one = self.raster
        return float(one.of(self.tier)[row, column]), bool(one.reactive[row, column])

    def tell(self, told: Told | None) -> None:
        """Write words beside a place, or take them away."""
        if told != self.told:
            self.told = told
            self.update()

    def show_sketch(self, sketch: Sketch | None) -> None:
        """Show what is being drawn with the mouse, by blit; None takes it off."""
        self._sketch.show(sketch)
        # Drawn when there is time: words take longer than a key.
        self._sketch_waits = self._background is not None and not self._is_gliding
        if self._sketch_waits:
            self.update()
        else:
            self.draw_idle()

    def _draw_sketch(self) -> None:
        for artist in self._sketch.artists:
            self.map.axes.draw_artist(artist)

    # places and pixels -----------------------------------------------------------------------------

    @property
    def size_now(self) -> tuple[float, float]:
        """Width and height in pixels of the desktop."""
        return float(max(self.width(), 1)), float(max(self.height(), 1))

    @property
    def scale(self) -> float:
        """m a pixel."""
        return (self._seen[2] - self._seen[0]) / self.size_now[0]

    def place_of(self, at: QPointF) -> Place:
        """Return the place under a pixel."""
        return self._seen[0] + at.x() * self.scale, self._seen[3] - at.y() * self.scale

    def pixel_of(self, place: Place) -> QPointF:
        """Return the pixel over a place."""
        return QPointF(
            (place[0] - self._seen[0]) / self.scale, (self._seen[3] - place[1]) / self.scale
        )

    # painting --------------------------------------------------------------------------------------

    @property
    def _is_gliding(self) -> bool:
        return self._frame is not None and self._drawn is not None and self._seen != self._drawn

    def draw(self) -> None:
        """Draw everything anew."""
        super().draw()
        self.full_draws += 1
        if self.view is not None:
            self._drawn = self.view.bounds
        self._frame = None
        self._background = self.copy_from_bbox(self._figure.bbox)
        self._draw_sketch()

    def draw_idle(self) -> None:
        """Draw anew as soon as there is time; not while the map moves: it is drawn when it stands still."""
        if not self._is_gliding and not self.waits:
            super().draw_idle()

    def _keep_frame(self) -> None:
        """Keep the picture at hand, to be scaled while the map moves."""
        if self._frame is not None or self._drawn is None:
            return
        pixels = np.array(self.buffer_rgba())
        rows, columns = pixels.shape[:2]
        image = QImage(pixels.data, columns, rows, 4 * columns, QImage.Format.Format_RGBA8888)
        self._frame = image.convertToFormat(QImage.Format.Format_RGB32)

    def paintEvent(self, event: QPaintEvent) -> None:
        if self._uncomposed and self._overlay is not None:
            self.compose_now()
        if self._sketch_waits and self._background is not None and not self._is_gliding:
            self.restore_region(self._background)
            self._draw_sketch()
        self._sketch_waits = False
        if not self._is_gliding:
            super().paintEvent(event)
        painter = QPainter(self)
        if self._is_gliding:
            self._paint_frame(painter)
        if self.scene is not None and self.scene.site.antennas:
            paint_unknown(painter, self.rect(), self._pixels_known(), self.map.palette)
        self.paint_more(painter)
        colours = self.map.palette
        if self.hasFocus():
            paint_focus(painter, self.rect(), self.palette().highlight().color(), colours)
            if self.cross is not None:
                paint_cross(painter, self.pixel_of(self.cross), colours)
        if self.told is not None and self.told.words:
            paint_words(
                painter, self.rect(), self.pixel_of(self.told.place), self.told.words, colours
            )
        painter.end()

    @property
    def known(self) -> Box | None:
        """The piece of the site, m, of which there is shading, or zones; None where there is nothing yet."""
        if self.map.zones is not None:
            # Zones reach as far as the danger, unless they were asked for of a piece.
            return self.map.zones.view.bounds if self.map.zones.within else self._seen
        return None if self.raster is None else self.raster.bounds

    def _pixels_known(self) -> QRect:
        known = self.known
        if known is None:
            return QRect()
        low, high = self.pixel_of((known[0], known[3])), self.pixel_of((known[2], known[1]))
        return QRectF(low, high).toAlignedRect()

    def paint_more(self, painter: QPainter) -> None:
        """Paint over the picture, under words, cross and focus; a map that shows no more has nothing here."""

    def paint_picture(self, painter: QPainter) -> None:
        """Paint the picture at hand with another's painter, as that of a map of the same size and camera."""
        self._keep_frame()
        if self._frame is not None:
            self._paint_frame(painter)

    def _paint_frame(self, painter: QPainter) -> None:
        """Paint the part of the kept picture that is seen now, where it belongs."""
        assert self._frame is not None
        assert self._drawn is not None
        painter.fillRect(self.rect(), self.map.palette.paper)
        d0, e0, d1, e1 = self._drawn
        left, low = max(d0, self._seen[0]), max(e0, self._seen[1])
        right, high = min(d1, self._seen[2]), min(e1, self._seen[3])
        if left >= right or low >= high:
            return
        columns, rows = self._frame.width() / (d1 - d0), self._frame.height() / (e1 - e0)
        source = QRectF(
            (left - d0) * columns, (e1 - high) * rows, (right - left) * columns, (high - low) * rows
        )
        painter.drawImage(
            QRectF(self.pixel_of((left, high)), self.pixel_of((right, low))), self._frame, source
        )

    def resizeEvent(self, event: QResizeEvent) -> None:
        old, scale = event.oldSize(), self.scale
        if old.isValid() and old != event.size():
            self._keep_frame()
            # The middle stays where it is, and so does the scale.
            u, v = (self._seen[0] + self._seen[2]) / 2.0, (self._seen[1] + self._seen[3]) / 2.0
            across, up = (0.5 * scale * side for side in self.size_now)
            self._seen = (u - across, v - up, u + across, v + up)
        super().resizeEvent(event)
        self.resized.emit()
