"""Passes the mouse and the keys of a map on to a mode."""

from __future__ import annotations

from PySide6.QtCore import QObject

from app.modes.drawing import Key, Mode, Pointer


class ModeHand(QObject):
    """Holds a mode; what the mode answers is for :meth:`turn`."""

    def __init__(self) -> None:
        super().__init__()
        self.mode: Mode | None = None

    def turn(self, mode: Mode, effect: object | None) -> None:
        """Take over the next mode and carry out what it brings about."""
        raise NotImplementedError

    def pressed(self, at: Pointer) -> None:
        """Pass a press on to the mode."""
        if self.mode is not None:
            self.turn(*self.mode.pressed(at))

    def doubled(self, at: Pointer) -> None:
        """Pass a double-click on to the mode."""
        if self.mode is not None:
            self.turn(*self.mode.doubled(at))

    def released(self) -> None:
        """Pass a release on to the mode."""
        if self.mode is not None:
            self.turn(*self.mode.released())

    def moved(self, at: Pointer) -> None:
        """Pass a movement on to the mode."""
        if self.mode is not None:
            self.turn(self.mode.moved(at), None)

    def left(self) -> None:
        """Tell the mode that the mouse has left the map."""
        if self.mode is not None:
            self.turn(self.mode.left(), None)

    def key(self, key: Key, *, shift: bool) -> None:
        """Pass a key on to the mode."""
        if self.mode is not None:
            self.turn(*self.mode.key(key, shift=shift))

    def typed(self, text: str) -> bool:
        """Take a letter or a figure; return whether the mode had a use for it."""
        return False

    def takes_back(self) -> bool:
        """Return whether undo means the last thing that was put, not the last edit."""
        return False

    def lets_pan(self) -> bool:
        """Return whether a press that took hold of nothing moves the map."""
        return False
