"""Mouse, wheel and keys of a map, as signals in the map's coordinates; a mode that is on comes first."""

from __future__ import annotations

from typing import Protocol

import numpy as np
from PySide6.QtCore import QEvent, QPointF, Qt, Signal
from PySide6.QtGui import (
    QEnterEvent,
    QFocusEvent,
    QKeyEvent,
    QKeySequence,
    QMouseEvent,
    QNativeGestureEvent,
    QWheelEvent,
)

from app.modes.camera import STEP, Place
from app.modes.drawing import Key, Pointer
from app.modes.picking import antennas_at
from app.window.canvas import MapCanvas

_REACH = 9.0
"""Pixels within which the mouse takes hold of something."""

_SLOP = 4.0
"""Pixels a press may slip before it moves the map."""

_CROSS_STEP, _CROSS_FINE = 16.0, 1.0
"""Pixels an arrow key moves the cross: alone, and with Shift."""

_EDGE = 24.0
"""Pixels from the edge at which the cross takes the map along."""

_PAN = 0.2
"""Part of the map that Ctrl with an arrow key moves it by."""

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
_ARROWS = {
    Qt.Key.Key_Left: (-1.0, 0.0),
    Qt.Key.Key_Right: (1.0, 0.0),
    Qt.Key.Key_Up: (0.0, 1.0),
    Qt.Key.Key_Down: (0.0, -1.0),
}
_CLOSER = {
    Qt.Key.Key_Plus: STEP,
    Qt.Key.Key_Equal: STEP,
    Qt.Key.Key_Minus: 1.0 / STEP,
    Qt.Key.Key_Underscore: 1.0 / STEP,
}
_ASKED = {Qt.Key.Key_0: "all", Qt.Key.Key_1: "selection", Qt.Key.Key_Backspace: "back"}


class Hand(Protocol):
    """What takes over the mouse and the keys of a map while a mode is on."""

    def pressed(self, at: Pointer) -> None: ...
    def doubled(self, at: Pointer) -> None: ...
    def released(self) -> None: ...
    def moved(self, at: Pointer) -> None: ...
    def left(self) -> None: ...
    def key(self, key: Key, *, shift: bool) -> None: ...
    def typed(self, text: str) -> bool: ...
    def takes_back(self) -> bool: ...
    def lets_pan(self) -> bool: ...


class PointedCanvas(MapCanvas):
    """A map that is clicked, moved and steered. Signals carry view coordinates in m.

    ``hovered`` carries a place, or None when there is no pointer; ``zoomed`` a place and how many times closer;
    ``panned`` metres to the right and up; ``asked`` one of ``all``, ``selection``, ``back``. A click on antennas is
    ``picked`` first: their indices, and whether Ctrl or Shift adds to what is chosen.
    """

    clicked = Signal(float, float)
    picked = Signal(list, bool)
    hovered = Signal(object)
    dragged = Signal(int, float, float)
    dropped = Signal(bool)
    zoomed = Signal(float, float, float)
    panned = Signal(float, float)
    asked = Signal(str)

    def __init__(self, name: str) -> None:
        super().__init__(name)
        self.movable = False
        self.hand: Hand | None = None
        self._press: QPointF | None = None
        self._panning = False
        self._taken = False
        self._held: int | None = None
        self._carrying = False

    # the mouse -------------------------------------------------------------------------------------

    def mousePressEvent(self, event: QMouseEvent) -> None:
        at = event.position()
        self._hide_cross()
        if event.button() == Qt.MouseButton.MiddleButton:
            self._press, self._panning = at, True
        if event.button() != Qt.MouseButton.LeftButton:
            return
        # The release belongs to whoever took the press, even where the press ended a mode.
        self._taken = self.hand is not None
        if self.hand is not None:
            self.hand.pressed(self._pointer(event))
            if self.hand is None or not self.hand.lets_pan():
                return
        else:
            self._held = self._antenna_to_move(at) if self.movable else None
        self._press, self._panning = at, False

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        if event.button() != Qt.MouseButton.LeftButton:
            return
        self._taken = True
        if self.hand is not None:
            self.hand.doubled(self._pointer(event))

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        if event.button() not in (Qt.MouseButton.LeftButton, Qt.MouseButton.MiddleButton):
            return
        panned, self._panning = self._panning, False
        press, self._press = self._press, None
        carried, self._carrying = self._carrying, False
        self._held = None
        if event.button() == Qt.MouseButton.MiddleButton:
            return
        if self._taken:
            self._taken = False
            if self.hand is not None:
                self.hand.released()
        elif carried:
            self.dropped.emit(True)
        elif press is not None and not panned:
            self._click(self.place_of(event.position()), event.modifiers())

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        at = event.position()
        if self._press is not None:
            slip = at - self._press
            beyond = np.hypot(slip.x(), slip.y()) > _SLOP
            if self._held is not None:
                self._carrying = self._carrying or beyond
                if self._carrying:
                    self.dragged.emit(self._held, *self.place_of(at))
                return
            if self._panning or beyond:
                self._panning, self._press = True, at
                self.setCursor(Qt.CursorShape.ClosedHandCursor)
                self.panned.emit(-slip.x() * self.scale, slip.y() * self.scale)
                return
        elif self.cursor().shape() == Qt.CursorShape.ClosedHandCursor:
            self.unsetCursor()
        if self.hand is not None:
            self.hand.moved(self._pointer(event))
        if self._press is None:
            self.hovered.emit(self.place_of(at))

    def wheelEvent(self, event: QWheelEvent) -> None:
        notches = event.angleDelta().y() / 120.0
        if notches:
            self.zoomed.emit(*self.place_of(event.position()), STEP**notches)
        event.accept()

    def leaveEvent(self, event: QEvent) -> None:
        if self.hand is not None:
            self.hand.left()
        if self.cross is None:
            self.hovered.emit(None)
        event.accept()

    def enterEvent(self, event: QEnterEvent) -> None:
        event.accept()

    def _pointer(self, event: QMouseEvent) -> Pointer:
        """Return the mouse in m; its reach is the same number of pixels at any scale."""
        free = bool(event.modifiers() & Qt.KeyboardModifier.ShiftModifier)
        return Pointer(self.place_of(event.position()), _REACH * self.scale, free)

    def antennas_at(self, place: Place) -> list[int]:
        """Return the indices of the antennas that a click on a place means, the nearest first."""
        if self.scene is None or self.view is None:
            return []
        return antennas_at(self.scene.site, self.view, place, _REACH * self.scale)

    def _antenna_to_move(self, at: QPointF) -> int | None:
        """Return the antenna under the mouse: of several in one place the chosen one."""
        here = self.antennas_at(self.place_of(at))
        if self.scene is None or not here:
            return None
        named = (i for i in here if self.scene.site.antennas[i].name == self.scene.selected)
        return next(named, here[0])

    def _click(self, place: Place, held: Qt.KeyboardModifier) -> None:
        """Say what was clicked, with the mouse or with the cross."""
        here = self.antennas_at(place)
        if here:
            adds = Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.ShiftModifier
            self.picked.emit(here, bool(held & adds))
        self.clicked.emit(*place)

    # keys ------------------------------------------------------------------------------------------

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
        if (
            isinstance(event, QNativeGestureEvent)
            and event.gestureType() == Qt.NativeGestureType.ZoomNativeGesture
        ):
            self.zoomed.emit(*self.place_of(event.position()), 1.0 + event.value())
            return True
        return bool(super().event(event))

    def keyPressEvent(self, event: QKeyEvent) -> None:
        key = self._key_of(event)
        shift = bool(event.modifiers() & Qt.KeyboardModifier.ShiftModifier)
        if self._carrying and event.key() == Qt.Key.Key_Escape:
            self._press, self._held, self._carrying = None, None, False
            self.dropped.emit(False)
        elif self.hand is not None and _is_text(event) and self.hand.typed(event.text()):
            event.accept()
        elif self.hand is not None and key is not None:
            self.hand.key(key, shift=shift)
        elif not self._steered(event, shift=shift):
            event.ignore()

    def keyReleaseEvent(self, event: QKeyEvent) -> None:
        event.ignore()

    def _steered(self, event: QKeyEvent, *, shift: bool) -> bool:
        """Let keys move cross and map; returns whether the key meant anything."""
        key = Qt.Key(event.key())
        held = event.modifiers() & ~(
            Qt.KeyboardModifier.ShiftModifier | Qt.KeyboardModifier.KeypadModifier
        )
        if key in _ARROWS and held == Qt.KeyboardModifier.ControlModifier:
            right, up = _ARROWS[key]
            width, height = (_PAN * self.scale * side for side in self.size_now)
            self.panned.emit(right * width, up * height)
        elif held:
            return False
        elif key in _ARROWS:
            self._move_cross(*_ARROWS[key], _CROSS_FINE if shift else _CROSS_STEP)
        elif key in _CLOSER:
            self.zoomed.emit(*self._at_cross(), _CLOSER[key])
        elif key in _ASKED:
            self.asked.emit(_ASKED[key])
        elif key in (Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Space) and self.cross:
            self._click(self.cross, event.modifiers())
        elif key == Qt.Key.Key_Escape and self.cross:
            self._hide_cross()
        else:
            return False
        return True

    def _at_cross(self) -> Place:
        width, height = self.size_now
        return self.cross or self.place_of(QPointF(width / 2.0, height / 2.0))

    def _move_cross(self, right: float, up: float, pixels: float) -> None:
        """Move the cross, first to where it comes up, and take the map along at its edge."""
        if self.cross is None:
            self.cross = self._at_cross()
        else:
            step = pixels * self.scale
            self.cross = self.cross[0] + right * step, self.cross[1] + up * step
        at, (width, height) = self.pixel_of(self.cross), self.size_now
        over = max(0.0, _EDGE - at.x()) - max(0.0, at.x() - width + _EDGE)
        under = max(0.0, _EDGE - at.y()) - max(0.0, at.y() - height + _EDGE)
        if over or under:
            self.panned.emit(-over * self.scale, under * self.scale)
        self.hovered.emit(self.cross)
        self.update()

    def _hide_cross(self) -> None:
        if self.cross is not None:
            self.cross = None
            self.hovered.emit(None)
            self.update()

    def focusInEvent(self, event: QFocusEvent) -> None:
        super().focusInEvent(event)
        self.update()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        super().focusOutEvent(event)
        self._hide_cross()
        self.update()

    def _key_of(self, event: QKeyEvent) -> Key | None:
        """Return what a key means to a mode, None where it is for the window."""
        if event.matches(QKeySequence.StandardKey.Undo):
            # An undo with nothing to undo is no shortcut and comes here too: it must not remove a corner.
            return Key.BACK if self.hand is not None and self.hand.takes_back() else None
        other = Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.AltModifier
        return None if event.modifiers() & other else _KEYS.get(Qt.Key(event.key()))


def _is_text(event: QKeyEvent) -> bool:
    """Return whether a key is a letter, a figure or a sign that is typed."""
    other = Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.AltModifier
    both = event.modifiers() & other
    # AltGr, with which some keyboards type an @, comes as both.
    return event.text().isprintable() and bool(event.text()) and (not both or both == other)
