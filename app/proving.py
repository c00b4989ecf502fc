"""Proven zones for both maps, off the window's thread; the shading comes back while they are made."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from PySide6.QtCore import QObject, Qt, Signal

from app.canvas import MapCanvas
from app.jobs import Worker
from core.fences import Check
from core.fencing import check_plan
from core.regions import Ceiling
from core.site import Site
from core.views import ElevationView, PlanView
from core.zoning import SiteZones, site_zones

CEILING = Ceiling(seconds=30.0)
"""The window waits at most this long for one zone; past it the zone is looser and says so."""


def fence_checks(site: Site, zones: SiteZones) -> dict[str, Check]:
    """Return the checks of the plan fences that hold back one of the proven zones."""
    found: dict[str, Check] = {}
    for step, one in zones.zones:
        fences = [
            f
            for f in site.fences
            if f.outline and (f.tier, f.threshold) == (step.tier, step.threshold)
        ]
        if fences:
            found |= check_plan(site, fences, one)
    return found


class Proving(QObject):
    """Asks for the zones of both maps when they are wanted, newest request wins."""

    said = Signal(str)
    failed = Signal(str)
    checked = Signal(object)

    def __init__(self, plan: MapCanvas, elevation: MapCanvas) -> None:
        super().__init__()
        self.canvases = {"plan": plan, "elevation": elevation}
        self.shown: dict[str, SiteZones] = {}
        self.wanted = False
        self.busy = False
        self.worker = Worker()
        queued = Qt.ConnectionType.QueuedConnection
        self.worker.done.connect(self._done, queued)
        self.worker.failed.connect(lambda _, text: self.failed.emit(text), queued)
        self.worker.busy.connect(self._set_busy, queued)

    def ask(self, site: Site, views: dict[str, PlanView | ElevationView]) -> None:
        """Prove the zones of views anew, if zones are wanted; what was shown goes at once."""
        self.clear()
        if not self.wanted or not site.antennas:
            self.worker.submit(lambda cancelled, emit: None)
            return

        def work(cancelled: Callable[[], bool], emit: Callable[[Any], None]) -> None:
            for i, (name, view) in enumerate(views.items()):

                def progress(done: float, i: int = i) -> None:
                    emit((i + done) / len(views))

                zones = site_zones(
                    site, view, progress=progress, cancelled=cancelled, ceiling=CEILING
                )
                emit((name, zones, site.limit_set))
                if name == "plan" and site.fences:
                    emit(fence_checks(site, zones))

        self.worker.submit(work)

    def clear(self) -> None:
        """Show the shading again."""
        if self.shown:
            for canvas in self.canvases.values():
                canvas.show_zones(None, "")
            self.shown = {}

    def _done(self, number: int, result: object) -> None:
        if number != self.worker.newest:
            return
        if isinstance(result, float):
            self.said.emit(f"Proving zones: {100.0 * result:.0f} %")
            return
        if isinstance(result, dict):
            self.checked.emit(result)
            return
        assert isinstance(result, tuple)
        name, zones, limit_set = result
        self.shown[name] = zones
        self.canvases[name].show_zones(zones, limit_set)
        self.said.emit(f"{name.capitalize()}: zones {zones.message}")

    def _set_busy(self, on: bool) -> None:
        self.busy = on

    def close(self) -> None:
        """Stop."""
        self.worker.close()
