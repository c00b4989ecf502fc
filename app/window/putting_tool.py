"""The chosen antenna put where somebody clicks, on any map."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np
from PySide6.QtCore import QObject, Signal

from app.modes.drawing import Left, Mode
from app.modes.putting import Put, Putting
from app.window.document import Document
from app.window.mode_hand import ModeHand
from app.window.pane import Pane
from app.window.scene import Scene
from core.errors import InputError
from core.fences.snapping import Targets, targets


class PuttingTool(QObject):
    """Takes the mouse of every pane until an antenna is put."""

    ended = Signal()
    refused = Signal(str)

    def __init__(
        self, document: Document, panes: Sequence[Pane], scene: Callable[[], Scene]
    ) -> None:
        super().__init__()
        self.document, self._scene = document, scene
        self.hands = [_Putter(pane, self._put, self.stop) for pane in panes]
        self.index = 0

    def begin(self, index: int) -> None:
        """Take the antenna of an index into the hand."""
        self.index = index
        for hand in self.hands:
            hand.begin(self._scene(), index)

    def let_go(self) -> None:
        """Let go of it."""
        for hand in self.hands:
            hand.end()

    def stop(self) -> None:
        """Let go of it, and say so."""
        self.let_go()
        self.ended.emit()

    def _put(self, pane: Pane, put: Put) -> None:
        scene = self._scene()
        x, y, z = pane.plane.moved(scene, pane.view(scene), self.index, *put.place)
        self.stop()
        try:
            self.document.move(self.index, (round(x, 3), round(y, 3), round(z, 3)))
        except InputError as error:
            self.refused.emit(error.line())


class _Putter(ModeHand):
    """The antenna over one pane."""

    def __init__(
        self, pane: Pane, put: Callable[[Pane, Put], None], stop: Callable[[], None]
    ) -> None:
        super().__init__()
        self.pane, self._put, self._stop = pane, put, stop

    def begin(self, scene: Scene, index: int) -> None:
        antenna = scene.site.antennas[index]
        u, v = self.pane.plane.whole(scene).to_view(np.array([antenna.position]))[0]
        near = targets(scene.site) if self.pane.name == "plan" else _NOWHERE
        self.mode = Putting(antenna.name, (float(u), float(v)), near)
        self.pane.canvas.hand = self
        self.pane.canvas.show_sketch(self.mode.sketch())

    def end(self) -> None:
        self.mode = None
        if self.pane.canvas.hand is self:
            self.pane.canvas.hand = None
            self.pane.canvas.show_sketch(None)

    def turn(self, mode: Mode, effect: object | None) -> None:
        if isinstance(effect, Left):
            self._stop()
        elif isinstance(effect, Put):
            self._put(self.pane, effect)
        else:
            self.mode = mode
            self.pane.canvas.show_sketch(mode.sketch())


_NOWHERE = Targets(np.zeros((0, 2)), (), np.zeros((0, 2, 2)), ())
