"""The chosen job, planned anew with every change: a quick look first, then the proof; and its tools."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from typing import Any

from PySide6.QtCore import QObject, QTimer, Signal
from PySide6.QtGui import QAction

from app.window.briefs import Briefs
from app.window.document import Document
from app.window.files import Files
from app.window.jobs import Worker
from app.window.layout import Placed
from app.window.maps import Maps
from app.window.planned import Planned
from app.window.plans import Plans
from app.window.route_on_maps import RouteOnMaps
from app.window.route_tool import RouteTool
from app.window.scene import Scene, radiating
from app.window.tasks import PLANNED
from core.entry.course import Course, course, glance
from core.entry.entry import Entry, plan_entry
from core.progress import Asked
from core.site.job import Job
from core.site.site import Site

QUIET = 150
"""ms without a change before a job is planned anew."""


@dataclass(frozen=True)
class _Asked:
    """What an entry depends on."""

    site: Site
    job: Job


@dataclass(frozen=True)
class _Found:
    asked: _Asked
    course: Course | None
    entry: Entry | None = None


class Entries(QObject):
    """Holds the one :class:`Planned` there is; ``planned_changed`` carries it. Newest request wins."""

    planned_changed = Signal(object)
    refused = Signal(str)
    accepted = Signal(str)

    def __init__(
        self, document: Document, maps: Maps, files: Files, placed: Mapping[str, Placed]
    ) -> None:
        super().__init__()
        self.document, self.maps = document, maps
        self.panels = panels = [one.panel for one in placed.values()]
        self.planned = Planned()
        self.worker = Worker()
        self.route = RouteTool(document, maps)
        self.drawn = RouteOnMaps(maps)
        self.plans = Plans(document, maps)
        self.briefs = Briefs(maps, files)
        self._asked: _Asked | None = None
        self._later = QTimer(self, singleShot=True, interval=QUIET)
        self._later.timeout.connect(self._plan)
        self.worker.done.connect(self._take)
        self.worker.failed.connect(self._failed)
        maps.scene_changed.connect(self.show_scene)
        for tool in (self.route, self.plans, self.briefs):
            tool.refused.connect(self.refused)
            tool.accepted.connect(self.accepted)
        for shown in (self.drawn, self.briefs, *panels):
            if hasattr(shown, "show_planned"):
                self.planned_changed.connect(shown.show_planned)
        for panel in panels:
            for signal, slot in (
                ("job_chosen", maps.choose_job),
                ("told", self.drawn.tell),
                ("walked", self._walked),
                ("way_chosen", self.route.set_back),
                ("plan_wanted", self.plans.find),
                ("plan_cancelled", self.plans.cancel),
                ("plan_applied", self.plans.apply),
                ("brief_exported", self.briefs.ask_export),
                ("brief_printed", self.briefs.ask_print),
                ("paper_chosen", self.briefs.set_paper),
            ):
                if hasattr(panel, signal):
                    getattr(panel, signal).connect(slot)
            for name, source in (("show_plan", self.plans.found), ("show_brief", self.briefs.made)):
                if hasattr(panel, name):
                    source.connect(getattr(panel, name))

    def attach(self, actions: Mapping[str, QAction]) -> None:
        """Give the panels that have a button for it the action of the menu that draws the way."""
        for panel in self.panels:
            if hasattr(panel, "set_draw_action"):
                panel.set_draw_action(actions["route"])

    def show_scene(self, scene: Scene) -> None:
        """Follow what an entry depends on, in the tasks that show one."""
        if scene.task not in PLANNED or scene.carried is not None:
            return
        job = scene.chosen
        if job is None or (job.route is None and job.work is None):
            if self._asked is not None or self.planned.job != job:
                self._asked = None
                self.worker.submit(lambda cancelled, emit: None)
                self._say(Planned(job))
            return
        # What is ticked changes no figure: nothing is proven anew for it.
        figured = replace(job, garment_checks=())
        asked = _Asked(replace(radiating(scene.stated), garments=scene.site.garments), figured)
        if asked == self._asked:
            self._tick(job)
            return
        self._asked = asked
        # The work that is overtaken stops at once; the new one begins when nothing has changed for a while.
        self.worker.submit(lambda cancelled, emit: None)
        same = self.planned.job is not None and self.planned.job.name == job.name
        kept = self.planned if same else Planned()
        self._say(replace(kept, job=job, stale=True, trouble=""))
        self._later.start()

    def _plan(self) -> None:
        asked, scene = self._asked, self.maps.scene
        if asked is None:
            return
        site, state = scene.site, scene.state

        def work(cancelled: Asked, emit: Callable[[Any], None]) -> None:
            emit(_Found(asked, glance(site, asked.job, state, cancelled)))
            entry = plan_entry(site, asked.job, state, cancelled)
            emit(_Found(asked, course(entry), entry))

        self.worker.submit(work)

    def _take(self, found: _Found) -> None:
        job = self.planned.job
        if found.asked != self._asked or job is None:
            return
        if found.entry is None:
            self._say(replace(self.planned, course=found.course))
        else:
            self._say(Planned(job, found.course, replace(found.entry, job=job)))

    def _tick(self, job: Job) -> None:
        """Follow what was ticked of the garment."""
        now = self.planned
        if now.job is not None and now.job.garment_checks != job.garment_checks:
            entry = replace(now.entry, job=job) if now.entry is not None else None
            self._say(replace(now, job=job, entry=entry))

    def _failed(self, text: str) -> None:
        self._say(Planned(self.planned.job, trouble=text))

    def _say(self, planned: Planned) -> None:
        self.planned = planned
        self.planned_changed.emit(planned)

    def _walked(self, place: tuple[float, float, float], climbs: bool) -> None:
        """Pin the reading at a place of the way."""
        if climbs:
            self.maps.pin_climber(place)
        else:
            self.maps.pin_walker(place)

    def close(self) -> None:
        """Stop all work."""
        self._later.stop()
        for one in (self.worker, self.plans.worker, self.briefs.worker):
            one.close()
