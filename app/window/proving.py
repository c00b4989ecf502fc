"""Proven zones for both maps and the checks of fences, off the window's thread.

The shading comes back while zones are made. What depends on the fences only is done without proving a zone
anew.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any

from PySide6.QtCore import QObject, Qt, Signal

from app.window.canvas import MapCanvas
from app.window.jobs import Worker
from core.fences.site_fences import check_site, fence_view
from core.limits.tier import Tier
from core.proof.tolerance import Ceiling
from core.site.site import Site
from core.views.views import PlanView, View
from core.zones.site_zones import SiteZones, site_zones
from core.zones.zone import Zone, zone

CEILING = Ceiling(seconds=30.0)
"""The window waits at most this long for one zone; past it the zone is looser and says so."""


@dataclass(frozen=True)
class _Proven:
    """A zone on the walking surfaces, and the site without fences and the plan it was proven for."""

    site: Site
    view: PlanView
    zone: Zone


class Proving(QObject):
    """Asks for the zones of both maps when they are wanted, newest request wins.

    Fences are checked whether zones are shown or not. ``trouble`` is why the newest request has failed.
    """

    said = Signal(str)
    failed = Signal(str)
    checked = Signal(object)

    def __init__(self, plan: MapCanvas, elevation: MapCanvas) -> None:
        super().__init__()
        self.canvases = {"plan": plan, "elevation": elevation}
        self.shown: dict[str, SiteZones] = {}
        self.wanted = False
        self.trouble = ""
        self.busy = False
        self.worker = Worker()
        self._shown_for: dict[str, Site] = {}
        # Only the worker's thread touches these.
        self._kept: list[_Proven] = []
        queued = Qt.ConnectionType.QueuedConnection
        self.worker.done.connect(self._done, queued)
        self.worker.failed.connect(self._failed, queued)
        self.worker.busy.connect(self._set_busy, queued)

    def ask(self, site: Site, views: dict[str, View]) -> None:
        """Prove the zones of views anew, if zones are wanted, and check the fences.

        What was shown goes at once, unless it is still right: fences change no zone.
        """
        self.trouble = ""
        bare = replace(site, fences=())
        for name in list(self.shown):
            right = self._shown_for[name] == bare and self.shown[name].view == views[name]
            if not (self.wanted and right):
                self.canvases[name].show_zones(None, "")
                del self.shown[name]
        wanted = self.wanted and bool(site.antennas)
        missing = {n: v for n, v in views.items() if wanted and n not in self.shown}
        plan = self.shown.get("plan")

        def work(cancelled: Callable[[], bool], emit: Callable[[Any], None]) -> None:
            known = plan
            for i, (name, view) in enumerate(missing.items()):

                def progress(done: float, i: int = i) -> None:
                    emit((i + done) / len(missing))

                zones = site_zones(
                    site, view, progress=progress, cancelled=cancelled, ceiling=CEILING
                )
                emit((name, zones, bare))
                if name == "plan":
                    known = zones
                    emit(self._checks(site, bare, known, cancelled))
            if "plan" not in missing:
                emit(self._checks(site, bare, known, cancelled))

        self.worker.submit(work if missing or site.fences else lambda cancelled, emit: None)

    def _checks(
        self, site: Site, bare: Site, shown: SiteZones | None, cancelled: Callable[[], bool]
    ) -> object:
        """Return the checks of all fences, with zones that are shown or were proven for them before."""

        def known(tier: Tier, threshold: float, view: PlanView) -> Zone:
            for step, one in shown.zones if shown is not None else ():
                if (step.tier, step.threshold) == (tier, threshold) and _holds(one.view, view):
                    return one
            for kept in self._kept:
                one = kept.zone
                alike = (one.tier, one.threshold) == (tier, threshold)
                if alike and kept.site == bare and _holds(kept.view, view):
                    return one
            one = zone(site, threshold, tier, view, cancelled=cancelled, ceiling=CEILING)
            self._kept = [k for k in self._kept if k.site == bare]
            self._kept.append(_Proven(bare, view, one.on_surfaces(site)))
            return self._kept[-1].zone

        return check_site(site, known=known, cancelled=cancelled, ceiling=CEILING)

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
        name, zones, bare = result
        self.shown[name], self._shown_for[name] = zones, bare
        self.canvases[name].show_zones(zones, bare.limit_set)
        self.said.emit(f"{name.capitalize()}: zones {zones.message}")

    def _failed(self, number: int, text: str) -> None:
        if number == self.worker.newest:
            self.trouble = text
            self.failed.emit(text)

    def _set_busy(self, on: bool) -> None:
        self.busy = on

    def close(self) -> None:
        """Stop."""
        self.worker.close()


def _holds(one: View, view: PlanView) -> bool:
    """Return whether a view shows all of a plan, for the same bodies at the same height."""
    return (
        isinstance(one, PlanView)
        and (one.height, one.body) == (view.height, view.body)
        and all(a <= b for a, b in zip(one.region[:2], view.region[:2], strict=True))
        and all(a >= b for a, b in zip(one.region[2:], view.region[2:], strict=True))
    )


def on_walking_plan(site: Site, view: View) -> bool:
    """Return whether a map shows what fences are for: standing people on the walking surfaces."""
    plan = fence_view(site)
    return isinstance(view, PlanView) and (view.height, view.body) == (plan.height, plan.body)
