"""Proven zones for all panes and the checks of fences, off the window's thread.

What was proven last stays on screen, dimmed and marked, while zones are made for another site or plane; the shading
is shown where there is nothing of the kind. What depends on the fences only is done without proving a zone anew.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace

from PySide6.QtCore import QObject, Signal

from app.window.jobs import Worker
from app.window.pane import Pane
from app.window.scene import Scene, Standing, radiating
from core.fences.fence import Check
from core.fences.site_fences import check_site, fence_view
from core.limits.tier import Tier
from core.progress import Asked, Progress
from core.proof.tolerance import Ceiling
from core.reading.provisos import provisos
from core.site.site import Site
from core.views.views import ElevationView, PlanView, View
from core.zones.following import follow, keep, remember
from core.zones.site_zones import SiteZones, site_zone, site_zones
from core.zones.steps import STEPS, Step
from core.zones.zone import Zone

_MARK = "zones of before the change, being proven anew"
_TIGHTENED = "proven; edges are being tightened"
_MORE = "where the garment is enough is being proven"
_NOT_YET = f"{_TIGHTENED}. Where the garment is enough is not known yet"
_SLOW = 1.0
"""Seconds: bounds are kept where proofs of the panes have taken longer."""
_FIRST_LOOK = Ceiling(seconds=3.0, cells=30_000)

CEILING = Ceiling(seconds=90.0)
"""The window waits at most this long for one zone; past it the zone is looser and says so."""


@dataclass(frozen=True)
class Progressed:
    """Part of the zones that are asked for, 0 to 1."""

    done: float


@dataclass(frozen=True)
class ZonesProven:
    """The zones of a pane, and the site without fences that they were proven for.

    Those that are ``rough`` come from kept bounds and are followed by those that were asked for.
    """

    pane: str
    zones: SiteZones
    site: Site
    rough: bool = False


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
        self.rough: dict[str, ZonesProven] = {}
        self.before: dict[str, ZonesProven] = {}
        self.busy = False
        self._steps: tuple[Step, ...] = STEPS
        self.worker = Worker()
        # Only the worker's thread touches these.
        self._kept: list[_Proven] = []
        self._given: _Proven | None = None
        self._unfinished = False
        self.worker.done.connect(self._done)
        self.worker.failed.connect(self.failed)
        self.worker.busy.connect(self._set_busy)

    def know(self, site: Site, zone: Zone) -> None:
        """Take a zone on the walking surfaces that was proven elsewhere, as for a fit: it is not proven again."""
        assert isinstance(zone.view, PlanView)
        self._given = _Proven(radiating(site), zone.view, zone)

    def ask(self, scene: Scene) -> None:
        """Prove the zones of a scene anew, if zones are wanted, and check the fences.

        What was shown is of before the change, unless it is still right: fences change no zone. A garment is one zone
        more, and no other is proven anew for it.
        """
        site, steps = scene.zoned, scene.steps
        bare, stated = radiating(site), scene.stated
        fenced = radiating(stated)
        # What is seen of them changes no zone: they are those of the whole site.
        views = {name: pane.plane.whole(scene) for name, pane in self.panes.items()}
        wanted = scene.zones and bool(site.antennas)
        known_zones = self._known(bare, views)
        self._keep_what_is_right(bare, views if wanted else {}, steps)
        missing = {n: v for n, v in views.items() if wanted and n not in self.shown}
        plan = self.shown.get("plan")

        def work(cancelled: Callable[[], bool], emit: Callable[[Answer], None]) -> None:
            # Fences are for the site as it is shown, whatever a job sets.
            known = plan.zones if plan is not None and fenced == bare else None
            for name, view in missing.items():
                if name in known_zones:
                    continue
                self._follow(name, site, view, cancelled, emit)
            self._unfinished = bool(missing)
            started, done = time.perf_counter(), list[SiteZones]()
            for i, (name, view) in enumerate(missing.items()):

                def progress(done: float, i: int = i) -> None:
                    emit(Progressed((i + done) / len(missing)))

                have = known_zones.get(name)
                zones = with_steps(site, view, steps, have, progress=progress, cancelled=cancelled)
                emit(ZonesProven(name, zones, bare))
                plain = of_steps(zones, STEPS)
                done.append(plain)
                remember(site, plain)
                if name == "plan":
                    known = zones if fenced == bare else None
                    emit(ChecksMade(self._checks(stated, fenced, known, cancelled)))
            if "plan" not in missing:
                emit(ChecksMade(self._checks(stated, fenced, known, cancelled)))
            self._unfinished = False
            if time.perf_counter() - started > _SLOW:
                for view in missing.values():
                    keep(site, view, cancelled=cancelled)
                for zones in done:
                    remember(site, zones)

        self.worker.submit(work if missing or site.fences else lambda cancelled, emit: None)

    def _follow(
        self,
        name: str,
        site: Site,
        view: View,
        cancelled: Callable[[], bool],
        emit: Callable[[Answer], None],
    ) -> None:
        """Show what kept bounds say at once; where the last proofs were not finished, some are made first."""
        zones = follow(site, view, cancelled=cancelled)
        if zones is None and self._unfinished:
            keep(site, view, ceiling=_FIRST_LOOK, cancelled=cancelled)
            zones = follow(site, view, cancelled=cancelled)
        if zones is not None:
            emit(ZonesProven(name, zones, radiating(site), rough=True))

    @property
    def standing(self) -> dict[str, Standing]:
        """What the zones on screen are worth, by pane."""
        old = dict.fromkeys(self.before, Standing.BEFORE)
        rough = dict.fromkeys(self.rough, Standing.ROUGH)
        return old | rough | dict.fromkeys(self.shown, Standing.PROVEN)

    def outdate(self) -> None:
        """Mark everything on screen as of before a change that is being made."""
        for name in (*self.shown, *self.rough):
            self._put_back(name)

    def forget(self) -> None:
        """Take everything off: another site is opened."""
        self._keep_what_is_right(None, {})

    def _known(self, site: Site, views: Mapping[str, View]) -> dict[str, SiteZones]:
        """Return what was proven in full for a site and its views, whatever its boundaries are."""
        return {
            name: one.zones
            for name, one in (*self.before.items(), *self.shown.items())
            if not one.rough and one.site == site and one.zones.view == views[name]
        }

    def _keep_what_is_right(
        self, site: Site | None, views: Mapping[str, View], steps: tuple[Step, ...] = STEPS
    ) -> None:
        """Leave the zones on screen that are of a site and its views; others are of before or go."""
        self._steps = steps
        for name in self.panes:
            one = self.shown.get(name) or self.rough.get(name) or self.before.get(name)
            if one is None:
                continue
            right = name in views and one.site == site and one.zones.view == views[name]
            there = one.zones.steps
            mark = _MORE if right else _MARK
            right = right and set(steps) <= set(there)
            if right and (name in self.before or there != steps):
                self._show(replace(one, zones=of_steps(one.zones, steps)))
            elif not right and name in views and same_plane(one.zones.view, views[name]):
                self._put_back(name, mark)
            elif not right:
                for some in (self.shown, self.rough, self.before):
                    some.pop(name, None)
                self.panes[name].canvas.show_zones(None, "")
                self.changed.emit()

    def _put_back(self, name: str, mark: str = _MARK) -> None:
        """Show the zones of a pane as those of before, if they are not already."""
        one = self.shown.pop(name, None) or self.rough.pop(name, None)
        if one is None:
            return
        self.before[name] = one
        self.panes[name].canvas.show_zones(one.zones, one.site.limit_set, mark=mark, dim=True)
        self.changed.emit()

    def _show(self, one: ZonesProven) -> None:
        for some in (self.before, self.rough):
            some.pop(one.pane, None)
        (self.rough if one.rough else self.shown)[one.pane] = one
        mark = _TIGHTENED if one.rough else ""
        mark = mark if one.zones.steps == self._steps else _NOT_YET
        self.panes[one.pane].canvas.show_zones(one.zones, one.site.limit_set, mark=mark)
        self.changed.emit()

    def _checks(
        self, site: Site, bare: Site, shown: SiteZones | None, cancelled: Callable[[], bool]
    ) -> dict[str, Check]:
        """Return the checks of all fences, with zones that are shown or were proven for them before."""

        def known(tier: Tier, threshold: float, view: PlanView) -> Zone:
            for step, one in shown.zones if shown is not None else ():
                alike = step.garment is None and (step.tier, step.threshold) == (tier, threshold)
                if alike and holds(one.view, view):
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
            case ZonesProven(pane, zones, site, _):
                self._show(answer)
                notes = "".join(f". {note}" for note in (*zones.notes, *provisos(site)))
                self.said.emit(f"{pane.capitalize()}: zones {zones.message}{notes}")

    def _set_busy(self, on: bool) -> None:
        self.busy = on

    def close(self) -> None:
        """Stop."""
        self.worker.close()


def of_steps(zones: SiteZones, steps: Sequence[Step]) -> SiteZones:
    """Return zones with some of their boundaries only."""
    return replace(zones, zones=tuple((s, zone) for s, zone in zones.zones if s in steps))


def with_steps(
    site: Site,
    view: View,
    steps: tuple[Step, ...],
    known: SiteZones | None,
    *,
    progress: Progress,
    cancelled: Asked,
) -> SiteZones:
    """Return the zones of a view for some boundaries; only those that are not ``known`` are proven."""
    have = dict(known.zones) if known is not None else {}
    more = tuple(step for step in steps if step not in have)
    made = site_zones(
        site, view, steps=more or steps, progress=progress, cancelled=cancelled, ceiling=CEILING
    )
    have |= dict(made.zones)
    # What is unknown beside the zones is said of the outermost.
    outer = known if known is not None and steps[0] not in more else made
    return replace(outer, zones=tuple((step, have[step]) for step in steps))


def same_plane(one: View, other: View) -> bool:
    """Return whether what is in one view is at the same place in another: an elevation has its own coordinates."""
    if isinstance(one, ElevationView) and isinstance(other, ElevationView):
        return (one.origin, one.azimuth) == (other.origin, other.azimuth)
    return isinstance(one, PlanView) and isinstance(other, PlanView)


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
