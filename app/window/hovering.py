"""What is said of the place under the pointer: about, from the picture, until it is computed for that place."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np
from PySide6.QtCore import QObject, QTimer, Signal

from app.modes.camera import Place
from app.window.canvas import Told
from app.window.jobs import Worker
from app.window.pane import Pane
from app.window.scene import Scene
from core.exposure.totals import exposure
from core.units import FOOT, show_percent

_REST = 120
"""Milliseconds the pointer rests before its place is computed."""


@dataclass(frozen=True)
class _Exact:
    """The fraction at one place of a pane; ``reactive`` where there is no figure."""

    pane: Pane
    at: Place
    fraction: float
    reactive: bool


class Hovering(QObject):
    """Follows the pointer over all panes; ``said`` is the line that tells where it is."""

    said = Signal(str)

    def __init__(self, scene: Callable[[], Scene]) -> None:
        super().__init__()
        self._scene = scene
        self._at: tuple[Pane, Place] | None = None
        self.worker = Worker()
        self.worker.done.connect(self._computed)
        self._timer = QTimer(self, singleShot=True, interval=_REST)
        self._timer.timeout.connect(self._compute)

    def over(self, pane: Pane, at: Place | None) -> None:
        """Follow the pointer to a place, or off the map."""
        self.stop(keep=pane if at is not None else None)
        if at is None:
            return
        self._at = pane, at
        value = pane.canvas.value_at(*at)
        self._say(pane, at, value, about=True)
        if value is not None:
            self._timer.start()

    def stop(self, keep: Pane | None = None) -> None:
        """Say nothing any more: what was said is of something that has gone."""
        self._timer.stop()
        if self._at is None:
            return
        pane = self._at[0]
        self._at = None
        if pane is not keep:
            pane.canvas.tell(None)
            self.said.emit("")

    def _compute(self) -> None:
        if self._at is None:
            return
        pane, at = self._at
        scene = self._scene()
        site, look = scene.stated, scene.look
        body, _ = pane.plane.body(scene)
        foot = pane.plane.foot(scene, pane.view(scene), *at)

        def work(_: Callable[[], bool], emit: Callable[[Any], None]) -> None:
            found = exposure(site, np.array([foot]), body)
            tier = found.public if look.tier == "public" else found.occupational
            emit(_Exact(pane, at, float(tier.total[0]), bool(found.reactive[0])))

        self.worker.submit(work)

    def _computed(self, exact: _Exact) -> None:
        if self._at == (exact.pane, exact.at):
            self._say(exact.pane, exact.at, (exact.fraction, exact.reactive), about=False)

    def _say(self, pane: Pane, at: Place, value: tuple[float, bool] | None, *, about: bool) -> None:
        scene = self._scene()
        look = scene.look
        unit, scale = ("ft", FOOT) if look.feet else ("m", 1.0)
        start = getattr(pane.view(scene), "datum_along", 0.0), 0.0
        where = ", ".join(
            f"{name} {(c + zero) / scale:.{decimals(pane.canvas.scale / scale)}f}"
            for name, c, zero in zip(pane.plane.axes, at, start, strict=True)
        )
        if value is None:
            text = ""
        elif value[1]:
            text = "no figure: reactive region"
        else:
            text = f"{show_percent(value[0])} of {scene.site.limit_set} {look.tier}"
            text = f"about {text}" if about else text
        # While a mode is on, its own words are on the map.
        pane.canvas.tell(Told(at, text) if pane.canvas.hand is None else None)
        self.said.emit(f"{where} {unit}: {text}" if text else f"{where} {unit}")

    def close(self) -> None:
        """Stop all work."""
        self._timer.stop()
        self.worker.close()


def decimals(scale: float) -> int:
    """Return how many decimals a place has on a map of so many metres, or feet, a pixel."""
    return 3 if scale < 0.005 else 2 if scale < 0.05 else 1
