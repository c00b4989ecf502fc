"""Power plans asked for in the window: found off its thread, cancelled, and applied as a named state by one edit."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any, Literal

from PySide6.QtCore import QObject, Signal

from app.window.document import Document
from app.window.jobs import Worker
from app.window.maps import Maps
from core.entry.areas import at_place, in_box, on_ladder, on_surface
from core.entry.criteria import Criterion
from core.entry.entry import work_box
from core.entry.job_plan import (
    from_the_site,
    garment_criteria,
    job_area,
    job_plan,
    without_credit,
)
from core.entry.pieces import Area
from core.entry.planned import planned_site
from core.entry.plans import Plan
from core.entry.power_plan import PowerPlan, power_plan
from core.errors import InputError
from core.limits.tier import Tier
from core.progress import Asked
from core.site.job import Job
from core.site.site import Site
from core.site.states import in_state, keep_state
from core.views.body import CLIMBING, STANDING

Where = Literal["job", "route", "work", "ladder", "surface", "pin"]


@dataclass(frozen=True)
class Wanted:
    """What a plan is asked for.

    Attributes
    ----------
    where : {"job", "route", "work", "ladder", "surface", "pin"}
        The way and the work of the job, one of them, a span of a ladder, a piece of a surface, or the pinned place.
    aim : {"job", "tier", "garment"}
        That the job may go; percent of a tier with a margin; the rating of the job's garment with its margin.
    tier, percent, margin
        Of the aim ``tier``; margin in dB.
    ladder, span
        Name, and heights in m or None for all of it.
    surface, region
        Name, and (west, south, east, north) in m or None for all of it.
    """

    where: Where = "job"
    aim: Literal["job", "tier", "garment"] = "job"
    tier: Tier = "occupational"
    percent: float = 100.0
    margin: float = 0.0
    ladder: str = ""
    span: tuple[float, float] | None = None
    surface: str = ""
    region: tuple[float, float, float, float] | None = None


@dataclass(frozen=True)
class Found:
    """An answer: the site it begins from, in the state shown then, and what was found; or how far the search is."""

    site: Site | None = None
    plan: PowerPlan | None = None
    said: str = ""
    busy: bool = False
    trouble: str = ""


class Plans(QObject):
    """Looks for one plan at a time; ``found`` carries a :class:`Found`, the last of a search without ``busy``."""

    found = Signal(object)
    refused = Signal(str)
    accepted = Signal(str)

    def __init__(self, document: Document, maps: Maps) -> None:
        super().__init__()
        self.document, self.maps = document, maps
        self.worker = Worker()
        self.worker.done.connect(self._take)
        self.worker.failed.connect(self._failed)
        self.last = Found()
        document.opened.connect(self._forget)
        document.site_changed.connect(self._follow)

    def find(self, wanted: Wanted) -> None:
        """Look for the least that has to be turned down."""
        scene = self.maps.scene
        job, site, filed = scene.chosen, scene.stated, scene.site
        try:
            area, criteria = self._asked(wanted, site, job)
        except InputError as error:
            self._failed(error.line())
            return

        def work(cancelled: Asked, emit: Callable[[Any], None]) -> None:
            def said(words: str) -> None:
                emit(Found(said=words, busy=True))

            if area is None:
                assert job is not None
                plan = job_plan(site, job, cancelled=cancelled, said=said)
                plan = from_the_site(filed, job, plan)
            else:
                silent = without_credit(site, criteria)
                plan = power_plan(
                    site, area, criteria, silent=silent, cancelled=cancelled, said=said
                )
            emit(Found(filed, plan))

        self._say(Found(said="begun", busy=True))
        self.worker.submit(work)

    def _asked(
        self, wanted: Wanted, site: Site, job: Job | None
    ) -> tuple[Area | None, tuple[Criterion, ...]]:
        """Return area and criteria; no area where the job itself says both."""
        if job is None and (wanted.where in ("job", "route", "work") or wanted.aim != "tier"):
            raise InputError(
                "There is no job", fix="Make one, or plan for a ladder, a surface or the pin"
            )
        if wanted.where == "job" and wanted.aim == "job":
            return None, ()
        area = self._area(wanted, site, job)
        if wanted.aim == "tier":
            return area, (Criterion(wanted.tier, wanted.percent, wanted.margin),)
        assert job is not None
        in_garment = garment_criteria(planned_site(site, job), job)
        if wanted.aim == "garment" and not in_garment:
            raise InputError(
                "The garment of the job gets no credit",
                fix="Choose one, complete, sound and inspected, with its training and reasons told",
            )
        return area, in_garment or (Criterion(job.tier),)

    def _area(self, wanted: Wanted, site: Site, job: Job | None) -> Area:
        match wanted.where:
            case "ladder":
                return on_ladder(site.ladder(wanted.ladder), wanted.span, CLIMBING)
            case "surface":
                return on_surface(site, wanted.surface, wanted.region, STANDING)
            case "pin":
                pin = self.maps.scene.pin
                if pin is None:
                    raise InputError("No place is pinned", fix="Click a place on a map first")
                return at_place(pin.place, STANDING if pin.pane == "plan" else CLIMBING)
            case "work":
                assert job is not None
                if job.work is None:
                    raise InputError("The job has no work volume", fix="Say where the work is")
                low, high = (tuple(float(c) for c in end) for end in work_box(site, job.work))
                return in_box(low, high)  # type: ignore[arg-type]
            case "route":
                assert job is not None
                if job.route is None:
                    raise InputError("The job has no route", fix="Draw its way on the maps")
                return job_area(site, replace(job, work=None))
            case _:
                assert job is not None
                return job_area(site, job)

    def cancel(self) -> None:
        """Look no further."""
        self.worker.submit(lambda cancelled, emit: None)
        self._say(Found(trouble="The search was cancelled"))

    def apply(self, plan: Plan, name: str) -> None:
        """Keep a plan as a named state of the site and show the site in it; undo takes it back."""
        last = self.last
        if last.site is None or _radiates(last.site) != _radiates(self.document.site):
            self.refused.emit("The site has changed since the plan was found. Find it again")
            return
        states = dict(plan.states)
        shown = self.maps.scene.state
        try:
            if shown:
                # The plan begins from the state that is shown: that comes with it.
                known = next(s for s in last.site.states if s.name == shown)
                states = dict(known.states) | states
            if not states:
                raise InputError("Nothing has to be turned down", fix="Nothing is to be applied")
            in_state(keep_state(self.document.site, name, states), name)
            self.document.edit(
                f"state {name}: power plan", lambda site: keep_state(site, name, states)
            )
        except InputError as error:
            self.refused.emit(error.within("name of the state").line())
            return
        self.maps.show_state(name)
        self.accepted.emit(f"The plan is the state {name!r} of the site. Undo takes it back")

    def _take(self, found: Found | None) -> None:
        if found is not None:
            self._say(found)

    def _failed(self, text: str) -> None:
        self._say(Found(trouble=text))
        self.refused.emit(text)

    def _follow(self, site: Site) -> None:
        """Forget a plan of a site that is another one now."""
        last = self.last
        if last.site is not None and _radiates(last.site) != _radiates(site):
            self._say(Found(trouble="The site has changed: find the plan again"))

    def _forget(self) -> None:
        self.worker.submit(lambda cancelled, emit: None)
        self._say(Found())

    def _say(self, found: Found) -> None:
        self.last = found
        self.found.emit(found)


def _radiates(site: Site) -> object:
    """Return what of a site a plan depends on, the job aside."""
    return site.antennas, site.surfaces, site.limit_set, site.reflection, site.conservative
