"""A map on screen: MapView on a Qt canvas, cursor by blit, clicks and drags as signals."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Protocol

import numpy as np
from matplotlib.backend_bases import MouseEvent, ResizeEvent
from matplotlib.backends.backend_qtagg import FigureCanvasQTAgg
from matplotlib.figure import Figure
from PySide6.QtCore import QEvent, QSize, Qt, QTimer, Signal
from PySide6.QtGui import QKeyEvent, QKeySequence
from PySide6.QtWidgets import QApplication

from app.draw import style
from app.draw.map import MapView
from app.draw.sketch_art import Sketch, SketchArt
from app.modes.drawing import Key, Pointer
from app.window.scene import Scene
from core.exposure.raster import Raster
from core.limits.tier import Tier
from core.site.site import Site
from core.views.views import View
from core.zones.site_zones import SiteZones

_REACH = 9.0
"""Pixels within which the mouse takes hold of something."""

_KEYS = {
    Qt.Key.Key_Return: Key.CLOSE,
    Qt.Key.Key_Enter: Key.CLOSE,
    Qt.Key.Key_Backspace: Key.BACK,
    Qt.Key.Key_Escape: Key.LEAVE,
    Qt.Key.Key_Delete: Key.DELETE,
    Qt.Key.Key_Space: Key.SPACE,
    Qt.Key.Key_Left: Key.LEFT,
    Qt.Key.Key_Right: Key.RIGHT,
    Qt.Key.Key_Up: Key.UP,
    Qt.Key.Key_Down: Key.DOWN,
}


class Hand(Protocol):
    """What takes over the mouse and the keys of a map while a mode is on."""

    def pressed(self, at: Pointer) -> None: ...
    def doubled(self, at: Pointer) -> None: ...
    def released(self) -> None: ...
    def moved(self, at: Pointer) -> None: ...
    def left(self) -> None: ...
    def key(self, key: Key, *, shift: bool) -> None: ...
    def takes_back(self) -> bool: ...


class MapCanvas(FigureCanvasQTAgg):
    """One map. Signals carry view coordinates in m."""

    clicked = Signal(float, float)
    hovered = Signal(object)
    dragged = Signal(int, float, float)
    dropped = Signal()
    resized = Signal()

    def __init__(self, name: str) -> None:
        self._figure = Figure(facecolor=style.PAPER)
        super().__init__(self._figure)
        self.setObjectName(name)
        self.setAccessibleName(f"{name} map")
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setMinimumSize(QSize(260, 240))
        axes = self._figure.add_axes((0.11, 0.09, 0.86, 0.88))
        axes.set_anchor("C")
        self.map = MapView(axes)
        self.raster: Raster | None = None
        self.tier: Tier = "public"
        self.contours: Sequence[float] = style.CONTOURS
        self._site: Site | None = None
        self._view: View | None = None
        self.movable = False
        self.hand: Hand | None = None
        self._taken = False
        self._held: int | None = None
        self._background: object = None
        self.full_draws = 0
        self._pin = axes.plot([], [], "+", ms=16, mew=2.2, color=style.PIN, zorder=20)[0]
        self._cut = axes.plot([], [], color=style.PIN, lw=1.0, ls=(0, (6, 3)), zorder=19)[0]
        self._cursor = axes.annotate(
            "",
            (0, 0),
            xytext=(12, 12),
            textcoords="offset points",
            fontsize=8.5,
            color=style.PAPER,
            bbox={"facecolor": style.INK, "edgecolor": "none", "pad": 2.5},
            zorder=30,
            animated=True,
            visible=False,
        )
        self._sketch = SketchArt(axes)
        self._settle = QTimer(self, singleShot=True, interval=180)
        self._settle.timeout.connect(self.resized)
        self.mpl_connect("draw_event", self._drawn)
        self.mpl_connect("button_press_event", self._pressed)
        self.mpl_connect("button_release_event", self._released)
        self.mpl_connect("motion_notify_event", self._moved)
        self.mpl_connect("axes_leave_event", self._left)
        self.mpl_connect("resize_event", self._resize)

    def show_scene(self, scene: Scene, view: View) -> None:
        """Draw what stands on the site in a view."""
        self.map.folder, self.map.feet = scene.folder, scene.look.feet
        self.map.checks = dict(scene.checks)
        self.tier, self.contours = scene.look.tier, scene.look.contours
        self._site, self._view = scene.site, view
        self.map.show_site(scene.site, view, scene.selected)
        self.draw_idle()

    def show_raster(self, raster: Raster) -> None:
        """Shade the map."""
        self.raster = raster
        self.map.show_raster(raster, self.tier, self.contours)
        self.draw_idle()

    def clear_raster(self) -> None:
        """Show no shading: there is nothing that radiates."""
        self.raster = None
        self.map.hide_raster()
        self.draw_idle()

    def show_zones(self, zones: SiteZones | None, limit_set: str) -> None:
        """Show proven zones in place of the shading, or take them off."""
        self.map.show_zones(zones, limit_set)
        self.draw_idle()

    def restyle(self, tier: Tier, contours: Sequence[float]) -> None:
        """Show the raster there is for another tier or other contours."""
        self.tier, self.contours = tier, contours
        if self.raster is not None:
            self.show_raster(self.raster)

    def mark(
        self, pin: tuple[float, float] | None, cut: np.ndarray | None, *, own: bool = True
    ) -> None:
        """Show the pinned place and the other map's cut, as (n, 2) view coordinates.

        A pin that was made on the other map may hang off this one's plane: it is drawn faint.
        """
        self._pin.set_alpha(1.0 if own else 0.4)
        self._pin.set_data([pin[0]] if pin else [], [pin[1]] if pin else [])
        self._cut.set_data(
            cut[:, 0] if cut is not None else [], cut[:, 1] if cut is not None else []
        )
        self.draw_idle()

    def value_at(self, u: float, v: float) -> tuple[float, bool] | None:
        """Return (fraction, reactive) of the shown raster at a place, None outside it."""
        if self.raster is None:
            return None
        u0, v0, u1, v1 = self.raster.bounds
        rows, columns = self.raster.public.shape
        column, row = int((u - u0) / (u1 - u0) * columns), int((v - v0) / (v1 - v0) * rows)
        if not (0 <= column < columns and 0 <= row < rows):
            return None
        return float(self.raster.of(self.tier)[row, column]), bool(
            self.raster.reactive[row, column]
        )

    def show_cursor(self, u: float, v: float, text: str) -> None:
        """Write text beside the cursor, by blit."""
        if self._background is None:
            return
        axes = self.map.axes
        left = u < np.mean(axes.get_xlim())
        low = v < np.mean(axes.get_ylim())
        self._cursor.xy = (u, v)
        self._cursor.set_text(text)
        self._cursor.set_horizontalalignment("left" if left else "right")
        self._cursor.set_verticalalignment("bottom" if low else "top")
        self._cursor.set_position((12 if left else -12, 12 if low else -12))
        self._cursor.set_visible(bool(text))
        self._blit()

    def show_sketch(self, sketch: Sketch | None) -> None:
        """Show what is being drawn with the mouse, by blit; None takes it off."""
        self._sketch.show(sketch)
        self._blit()

    def _blit(self) -> None:
        if self._background is None:
            return
        self.restore_region(self._background)
        self._draw_over()
        self.blit(self._figure.bbox)

    def _draw_over(self) -> None:
        for artist in (*self._sketch.artists, self._cursor):
            self.map.axes.draw_artist(artist)

    def _drawn(self, _: object) -> None:
        self.full_draws += 1
        self._background = self.copy_from_bbox(self._figure.bbox)
        self._draw_over()

    def _resize(self, _: ResizeEvent) -> None:
        self._background = None
        self._settle.start()

    def _inside(self, event: MouseEvent) -> bool:
        return event.inaxes is self.map.axes and event.xdata is not None and event.ydata is not None

    def _pressed(self, event: MouseEvent) -> None:
        if event.button != 1 or not self._inside(event):
            return
        # The release belongs to whoever took the press, even where the press ended a mode.
        self._taken = self.hand is not None or event.dblclick
        if self.hand is not None:
            (self.hand.doubled if event.dblclick else self.hand.pressed)(self._pointer(event))
            return
        self._held = self._antenna_at(event) if self.movable else None

    def _released(self, event: MouseEvent) -> None:
        if event.button != 1:
            return
        if self._taken:
            self._taken = False
            if self.hand is not None:
                self.hand.released()
        elif self._held is not None:
            self._held = None
            self.dropped.emit()
        elif self._inside(event):
            self.clicked.emit(float(event.xdata or 0.0), float(event.ydata or 0.0))

    def _moved(self, event: MouseEvent) -> None:
        if not self._inside(event):
            return
        u, v = float(event.xdata or 0.0), float(event.ydata or 0.0)
        if self._held is not None:
            self.dragged.emit(self._held, u, v)
        else:
            if self.hand is not None:
                self.hand.moved(self._pointer(event))
            self.hovered.emit((u, v))

    def _left(self, _: object) -> None:
        self._cursor.set_visible(False)
        if self.hand is not None:
            self.hand.left()
        self.hovered.emit(None)
        self.draw_idle()

    def _pointer(self, event: MouseEvent) -> Pointer:
        """Return the mouse in plan metres; its reach is the same number of pixels at any scale."""
        box = self.map.axes.get_window_extent()
        u0, u1 = self.map.axes.get_xlim()
        reach = _REACH * self.device_pixel_ratio * (u1 - u0) / box.width
        keys = (
            event.guiEvent.modifiers()
            if event.guiEvent is not None
            else QApplication.keyboardModifiers()
        )
        free = bool(keys & Qt.KeyboardModifier.ShiftModifier)
        return Pointer((float(event.xdata or 0.0), float(event.ydata or 0.0)), reach, free)

    def event(self, event: QEvent) -> bool:
        # While corners are being put, undo takes back the last one: the key is not a shortcut then.
        if (
            event.type() == QEvent.Type.ShortcutOverride
            and isinstance(event, QKeyEvent)
            and event.matches(QKeySequence.StandardKey.Undo)
            and self.hand is not None
            and self.hand.takes_back()
        ):
            event.accept()
            return True
        return bool(super().event(event))

    def keyPressEvent(self, event: QKeyEvent) -> None:
        key = self._key_of(event)
        if self.hand is None or key is None:
            super().keyPressEvent(event)
            return
        self.hand.key(key, shift=bool(event.modifiers() & Qt.KeyboardModifier.ShiftModifier))

    def _key_of(self, event: QKeyEvent) -> Key | None:
        """Return what a key means to a mode, None where it is for the window."""
        if event.matches(QKeySequence.StandardKey.Undo):
            # An undo with nothing to undo is no shortcut and comes here too: it must not remove a corner.
            return Key.BACK if self.hand is not None and self.hand.takes_back() else None
        other = Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.AltModifier
        return None if event.modifiers() & other else _KEYS.get(Qt.Key(event.key()))

    def _antenna_at(self, event: MouseEvent) -> int | None:
        site, view = self._site, self._view
        if site is None or view is None or not site.antennas:
            return None
        uv = view.to_view(np.array([a.position for a in site.antennas]))
        pixels = self.map.axes.transData.transform(uv)
        distance = np.hypot(pixels[:, 0] - event.x, pixels[:, 1] - event.y)
        nearest = int(np.argmin(distance))
        return nearest if distance[nearest] <= _REACH * self.device_pixel_ratio else None
