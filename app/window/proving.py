"""Proven zones for all panes and the checks of fences, off the window's thread.

The shading comes back while zones are made. What depends on the fences only is done without proving a zone
anew.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from PySide6.QtCore import QObject, Signal

from app.window.jobs import Worker
from app.window.pane import Pane
from app.window.scene import Scene, radiating
from core.fences.fence import Check
from core.fences.site_fences import check_site, fence_view
from core.limits.tier import Tier
from core.proof.tolerance import Ceiling
from core.reading.provisos import provisos
from core.site.site import Site
from core.views.views import PlanView, View
from core.zones.site_zones import SiteZones, site_zone, site_zones
from core.zones.zone import Zone

CEILING = Ceiling(seconds=30.0)
"""The window waits at most this long for one zone; past it the zone is looser and says so."""


@dataclass(frozen=True)
class Progressed:
    """Part of the zones that are asked for, 0 to 1."""

    done: float


@dataclass(frozen=True)
class ZonesProven:
    """The zones of a pane, and the site without fences that they were proven for."""

    pane: str
    zones: SiteZones
    site: Site


@dataclass(frozen=True)
class ChecksMade:
    """The checks of the site's fences by name."""

    checks: dict[str, Check]


Answer = Progressed | ZonesProven | ChecksMade


@dataclass(frozen=True)
class _Proven:
    """A zone on the walking surfaces, and the site without fences and the plan it was proven for."""

    site: Site
    view: PlanView
    zone: Zone


class Proving(QObject):
    """Asks for the zones of all panes when they are wanted, newest request wins.

    Fences are checked whether zones are shown or not. ``changed`` says that other zones are on screen than before.
    """

    said = Signal(str)
    failed = Signal(str)
    checked = Signal(object)
    changed = Signal()

    def __init__(self, panes: Sequence[Pane]) -> None:
        super().__init__()
        self.panes = {pane.name: pane for pane in panes}
        self.shown: dict[str, ZonesProven] = {}
        self.busy = False
        self.worker = Worker()
        # Only the worker's thread touches these.
        self._kept: list[_Proven] = []
        self._given: _Proven | None = None
        self.worker.done.connect(self._done)
        self.worker.failed.connect(self.failed)
        self.worker.busy.connect(self._set_busy)

    def know(self, site: Site, zone: Zone) -> None:
        """Take a zone on the walking surfaces that was proven elsewhere, as for a fit: it is not proven again."""
        assert isinstance(zone.view, PlanView)
        self._given = _Proven(radiating(site), zone.view, zone)

    def ask(self, scene: Scene) -> None:
        """Prove the zones of a scene anew, if zones are wanted, and check the fences.

        What was shown goes at once, unless it is still right: fences change no zone.
        """
        site = scene.stated
        bare = radiating(site)
        # What is seen of them changes no zone: they are those of the whole site.
        views = {name: pane.plane.whole(scene) for name, pane in self.panes.items()}
        for name, shown in list(self.shown.items()):
            if not (scene.zones and shown.site == bare and shown.zones.view == views[name]):
                self.panes[name].canvas.show_zones(None, "")
                del self.shown[name]
                self.changed.emit()
        wanted = scene.zones and bool(site.antennas)
        missing = {n: v for n, v in views.items() if wanted and n not in self.shown}
        plan = self.shown.get("plan")

        def work(cancelled: Callable[[], bool], emit: Callable[[Answer], None]) -> None:
            known = plan.zones if plan is not None else None
            for i, (name, view) in enumerate(missing.items()):

                def progress(done: float, i: int = i) -> None:
                    emit(Progressed((i + done) / len(missing)))

                zones = site_zones(
                    site, view, progress=progress, cancelled=cancelled, ceiling=CEILING
                )
                emit(ZonesProven(name, zones, bare))
                if name == "plan":
                    known = zones
                    emit(ChecksMade(self._checks(site, bare, known, cancelled)))
            if "plan" not in missing:
                emit(ChecksMade(self._checks(site, bare, known, cancelled)))

        self.worker.submit(work if missing or site.fences else lambda cancelled, emit: None)

    def _checks(
        self, site: Site, bare: Site, shown: SiteZones | None, cancelled: Callable[[], bool]
    ) -> dict[str, Check]:
        """Return the checks of all fences, with zones that are shown or were proven for them before."""

        def known(tier: Tier, threshold: float, view: PlanView) -> Zone:
            for step, one in shown.zones if shown is not None else ():
                if (step.tier, step.threshold) == (tier, threshold) and holds(one.view, view):
                    return one
            given = self._given
            for kept in (*self._kept, *([given] if given is not None else [])):
                one = kept.zone
                alike = (one.tier, one.threshold) == (tier, threshold)
                if alike and kept.site == bare and holds(kept.view, view):
                    return one
            one = site_zone(site, threshold, tier, view, cancelled=cancelled, ceiling=CEILING)
            self._kept = [k for k in self._kept if k.site == bare]
            self._kept.append(_Proven(bare, view, one))
            return self._kept[-1].zone

        return check_site(site, known=known, cancelled=cancelled, ceiling=CEILING)

    def _done(self, answer: Answer) -> None:
        match answer:
            case Progressed(done):
                self.said.emit(f"Proving zones: {100.0 * done:.0f} %")
            case ChecksMade(checks):
                self.checked.emit(checks)
            case ZonesProven(pane, zones, site):
                self.shown[pane] = answer
                self.panes[pane].canvas.show_zones(zones, site.limit_set)
                self.changed.emit()
                notes = "".join(f". {note}" for note in (*zones.notes, *provisos(site)))
                self.said.emit(f"{pane.capitalize()}: zones {zones.message}{notes}")

    def _set_busy(self, on: bool) -> None:
        self.busy = on

    def close(self) -> None:
        """Stop."""
        self.worker.close()


def holds(one: View, view: PlanView) -> bool:
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
