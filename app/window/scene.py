"""What is looked at and how, as one frozen value: everything the panes show follows from it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from enum import Enum
from functools import cached_property
from pathlib import Path

from app.draw import style
from app.modes.camera import Camera
from app.window.tasks import Task
from core.entry.planned import planned_site
from core.errors import InputError
from core.fences.fence import Check
from core.limits.tier import Tier
from core.reading.doubt import Doubt
from core.site.garment import Garment
from core.site.job import Job
from core.site.parts import Group, Part
from core.site.site import Site
from core.site.states import in_state
from core.views.body import CLIMBING, POINT, STANDING, Body
from core.views.views import ON_SURFACE, Height
from core.zones.steps import STEPS, Step, with_garment

_GROUPS: dict[str, Group] = {
    "surface": "surfaces", "structure": "structures", "ladder": "ladders", "way in": "access_points",
}  # fmt: skip
"""Of what a doubt can be about, the parts of the site that are drawn."""


@dataclass(frozen=True)
class Look:
    """How the maps look and what they cut; nothing of it is part of the site."""

    tier: Tier = "public"
    height: Height = ON_SURFACE
    standing: bool = True
    average: bool = False
    azimuth: float = 90.0
    contours: tuple[float, ...] = style.CONTOURS
    feet: bool = False

    @property
    def plan_body(self) -> Body:
        """Body column of the plan."""
        return replace(STANDING, average=self.average) if self.standing else POINT

    @property
    def climb_body(self) -> Body:
        """Body column of the elevation."""
        return replace(CLIMBING, average=self.average) if self.standing else POINT

    def differs_in_ink_only(self, other: Look) -> bool:
        """Return whether another look shows the same fields with other tiers, lines or units."""
        return replace(self, tier=other.tier, contours=other.contours, feet=other.feet) == other


@dataclass(frozen=True)
class Pin:
    """A pinned place in m, and the name of the pane it was made on."""

    place: tuple[float, float, float]
    pane: str


@dataclass(frozen=True)
class Carried:
    """An antenna in the hand: its index, and where it would be, m."""

    index: int
    position: tuple[float, float, float]


class Standing(Enum):
    """What the zones on a pane are worth."""

    PROVEN = "proven for what is shown, as exact as was asked for"
    ROUGH = "proven for what is shown; the edge is being tightened"
    BEFORE = "proven for what was shown before a change"


@dataclass(frozen=True)
class Scene:
    """What is looked at.

    Attributes
    ----------
    site : Site
    folder : Path or None
        Where the site's pictures are.
    pictured : Path or None
        The file of the site's picture, also where it is not copied beside the site yet.
    task : Task
        What the window is used for now; its panels are shown.
    look : Look
    pin : Pin or None
    origin : (x, y)
        Where the elevation cuts, m.
    camera : Camera
        What of the site is seen on each pane.
    fitted : bool
        All of it, whatever the size of the panes; until somebody moves the camera.
    selected : str
        Name of the antenna or fence that is marked.
    also : tuple of str
        Names of the other antennas that are chosen with it.
    part : Part or None
        The part of the site (a surface, a ladder...) that is chosen and marked.
    carried : Carried or None
        An antenna that is being carried about: coarse pictures, no proofs.
    zones : bool
        Proven zones are wanted in place of the shading.
    standing : mapping
        What the zones are worth that are on screen, by the names of the panes; those not named show the shading.
    checks : mapping
        The checks of the site's fences by name; empty until they are made.
    doubts : tuple of Doubt
        What should be looked at; empty until it is known.
    state : str
        The named state of the site that maps, readings and zones show; empty for the site as filed.
    lost : str
        The named state that was shown until an edit took it away; it is shown again if it comes back.
    job : str
        The job that is planned, by name; the first there is where it is none.
    trouble : str
        Why zones or checks could not be made.
    """

    site: Site
    folder: Path | None = None
    pictured: Path | None = None
    task: Task = "field"
    look: Look = field(default_factory=Look)
    pin: Pin | None = None
    origin: tuple[float, float] = (0.0, 0.0)
    camera: Camera = field(default_factory=Camera)
    fitted: bool = True
    selected: str = ""
    also: tuple[str, ...] = ()
    part: Part | None = None
    carried: Carried | None = None
    zones: bool = False
    standing: Mapping[str, Standing] = field(default_factory=dict)
    checks: Mapping[str, Check] = field(default_factory=dict)
    doubts: tuple[Doubt, ...] = ()
    state: str = ""
    lost: str = ""
    job: str = ""
    trouble: str = ""

    @property
    def proven(self) -> frozenset[str]:
        """Names of the panes whose zones are proven for what is shown, and on screen."""
        return frozenset(n for n, how in self.standing.items() if how is not Standing.BEFORE)

    @cached_property
    def shown(self) -> Site:
        """The site as it is shown: in the named state, with the antenna in the hand where it would be."""
        if self.carried is None:
            return self.stated
        antennas = list(self.stated.antennas)
        antennas[self.carried.index] = replace(
            antennas[self.carried.index], position=self.carried.position
        )
        return replace(self.stated, antennas=tuple(antennas))

    @cached_property
    def stated(self) -> Site:
        """The site in the named state that is shown; as filed where none is."""
        return in_state(self.site, self.state) if self.state else self.site

    @property
    def chosen(self) -> Job | None:
        """The job that is planned; None where the site has none."""
        jobs = self.site.jobs
        return next((j for j in jobs if j.name == self.job), jobs[0] if jobs else None)

    @property
    def worn(self) -> Garment | None:
        """The garment of the chosen job, in the task that is about it; None where none is worn."""
        job, there = self.chosen, {a.name for a in self.site.antennas}
        if self.task != "entry" or job is None or any(name not in there for name, _ in job.states):
            return None
        return next((g for g in self.site.garments if g.name == job.garment), None)

    @property
    def steps(self) -> tuple[Step, ...]:
        """The boundaries of proven zones from the outside in, the end of the garment that is worn among them."""
        worn, job = self.worn, self.chosen
        return STEPS if worn is None or job is None else with_garment(worn, job.garment_margin)

    @cached_property
    def zoned(self) -> Site:
        """The site that zones are of: where a garment is worn, with transmitters as the job sets them."""
        job = self.chosen
        return self.stated if self.worn is None or job is None else planned_site(self.stated, job)

    @property
    def warning(self) -> str:
        """What stands before every title while a named state is shown; empty for the site as filed."""
        return f"STATE '{self.state}', NOT AS FILED. " if self.state else ""


def kept_state(scene: Scene, site: Site) -> tuple[str, str, str]:
    """Return the state that a changed site is shown in, one that it has lost, and why it is shown as filed again.

    What an undo takes away a redo brings back.
    """
    name = scene.state or scene.lost
    if not name:
        return "", "", ""
    try:
        in_state(site, name)
    except InputError as error:
        why = f"The site is shown as filed again. {error.line()}" if scene.state else ""
        return "", name, why
    return name, "", ""


def radiating(site: Site) -> Site:
    """Return a site without what changes no field: fences, garments, jobs, its list of named states.

    Parameters
    ----------
    site : Site
        The site.
    """
    return replace(site, fences=(), garments=(), jobs=(), states=())


def part_of(doubt: Doubt) -> Part | None:
    """Return the part of the site that a doubt is about, None where it is about none that is drawn."""
    group = _GROUPS.get(doubt.thing)
    return Part(group, doubt.name) if group is not None else None


def for_paper(scene: Scene, site: Site) -> tuple[Site, Path | None]:
    """Return a site as sheets take it, and the folder of its picture: before the first save that is not beside it yet.

    Parameters
    ----------
    scene : Scene
        Where the picture is.
    site : Site
        The site of the scene, in whatever state.
    """
    if scene.pictured is None or site.picture is None:
        return site, scene.folder
    picture = replace(site.picture, file=scene.pictured.name)
    return replace(site, picture=picture), scene.pictured.parent


def zones_title(scene: Scene, name: str) -> str:
    """Return what stands over a pane that shows zones."""
    zones = f"proven zones, {scene.site.limit_set}"
    if scene.worn is not None:
        zones += ", transmitters as the job sets them"
    match scene.standing[name]:
        case Standing.PROVEN:
            return zones
        case Standing.ROUGH:
            return f"{zones}, edges being tightened"
        case Standing.BEFORE:
            return "zones of before the change, being proven anew"
