"""Two states of a site compared: everything that changed, and everything that it does to people."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from core.changes.content import sharing
from core.changes.differences import Difference, differences, renamed
from core.changes.jobs import JobChange, job_changes
from core.changes.people import AccessChange, FenceChange, access_changes, fence_changes
from core.changes.places import Look, Spot, look, spots
from core.changes.shares import Responsible, Rise, largest_rises, newly_responsible
from core.changes.zones import LadderChange, ZoneChange, ladder_changes, zone_changes
from core.fences.fence import Check
from core.fences.site_fences import check_site, fence_view
from core.limits.tier import Tier
from core.progress import Asked, Progress, part_of
from core.proof.tolerance import Ceiling, Tolerance
from core.reading.provisos import provisos, uncounted
from core.site.site import Site
from core.views.views import PlanView
from core.zones.ladders import LadderZone
from core.zones.site_zones import SiteZones, ladder_zones, site_zones
from core.zones.steps import Step
from core.zones.zone import Zone

LadderZones = tuple[tuple[Step, LadderZone], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class State:
    """One state of a site with what was proven of it: zones on its walking surfaces, ladders, fences."""

    site: Site
    zones: SiteZones
    ladders: LadderZones
    checks: dict[str, Check]


@dataclass(frozen=True, slots=True, kw_only=True)
class Comparison:
    """What changed from one state to another, and what it does.

    ``jobs`` are planned entries whose verdict changes. ``notes`` say what the comparison could not decide.
    """

    before: Site
    after: Site
    differences: tuple[Difference, ...]
    zones: tuple[ZoneChange, ...]
    ladders: tuple[LadderChange, ...]
    access: tuple[AccessChange, ...]
    fences: tuple[FenceChange, ...]
    newly_responsible: tuple[Responsible, ...]
    rises: tuple[Rise, ...]
    notes: tuple[str, ...]
    newly_uncounted: tuple[str, ...]
    jobs: tuple[JobChange, ...] = ()

    @property
    def worse(self) -> bool:
        """True where something got worse for people.

        A zone or the closed spans of a ladder grew where the exposure rose, a way in has a higher category, a fence
        stopped holding, a job may go no more, the exposure rises at a place over the limit, an emitter newly shares the
        duty for such a place, or one newly lies outside the limit set, so that nothing counts it. A rise that stays
        under all limits is listed, and is no finding.
        """
        return bool(
            any(z.rose and not z.gained.is_empty for z in self.zones)
            or any(ladder.rose for ladder in self.ladders)
            or any(a.worse for a in self.access)
            or any(f.worse for f in self.fences)
            or any(j.worse for j in self.jobs)
            or any(r.over for r in self.rises)
            or self.newly_responsible
            or self.newly_uncounted
        )


def compare(
    before: Site,
    after: Site,
    tolerance: Tolerance | None = None,
    *,
    ceiling: Ceiling | None = None,
    feet: bool = False,
    progress: Progress | None = None,
    cancelled: Asked | None = None,
) -> Comparison:
    """Return what changed from one state of a site to another, and what it does.

    Parameters
    ----------
    before, after : Site
        The two states, in one frame of coordinates.
    tolerance : Tolerance or None
        How exact the zones are asked to be; the default where None.
    ceiling : Ceiling or None
        Where the search of each zone stops; the default where None.
    feet : bool
        Spans of ladders rounded outward to whole feet.
    progress : callable
        Told the part done, 0 to 1.
    cancelled : callable
        Asked between pieces of work; True stops with :class:`core.progress.Cancelled`.

    Raises
    ------
    InputError
        If one of the sites is inconsistent.
    """
    after = sharing(before, after)
    view = _common_view(before, after)
    was = proven(
        before, view, tolerance, ceiling=ceiling, progress=part_of(progress, 0, 2), cancelled=cancelled
    )  # fmt: skip
    same = was if _exposing(before) == _exposing(after) else None
    now = proven(
        after, view, tolerance, ceiling=ceiling, known=same, progress=part_of(progress, 1, 2),
        cancelled=cancelled,
    )  # fmt: skip
    return of_states(was, now, feet=feet, cancelled=cancelled)


def proven(
    site: Site,
    view: PlanView | None = None,
    tolerance: Tolerance | None = None,
    *,
    ceiling: Ceiling | None = None,
    known: State | None = None,
    progress: Progress | None = None,
    cancelled: Asked | None = None,
) -> State:
    """Return a site with its zones on all walking surfaces, its ladders and the checks of its fences.

    Parameters
    ----------
    site : Site
        One state.
    view : PlanView or None
        The plan of the walking surfaces that is searched first; that of the site where None.
    tolerance, ceiling, progress, cancelled
        As :func:`compare`.
    known : State or None
        Another state with the same fields and surfaces, whose zones are taken over.

    Raises
    ------
    InputError
        If the site is inconsistent.
    """
    if known is None:
        zones = site_zones(
            site, view or fence_view(site), tolerance, ceiling=ceiling, progress=progress,
            cancelled=cancelled,
        )  # fmt: skip
        ladders = ladder_zones(site, tolerance, ceiling=ceiling, cancelled=cancelled)
    else:
        zones, ladders = known.zones, known.ladders

    def found(tier: Tier, threshold: float, _: PlanView) -> Zone | None:
        same = (z for s, z in zones.zones if (s.tier, s.threshold) == (tier, threshold))
        return next(same, None)

    checks = check_site(site, tolerance, cancelled=cancelled, ceiling=ceiling, known=found)
    return State(site=site, zones=zones, ladders=ladders, checks=checks)


def of_states(
    was: State, now: State, *, feet: bool = False, cancelled: Asked | None = None
) -> Comparison:
    """Return the comparison of two states that have been proven already.

    Parameters
    ----------
    was, now : State
        The two states; their zones have the same steps.
    feet : bool
        Spans of ladders rounded outward to whole feet.
    cancelled : callable
        Asked between pieces of work; True stops with :class:`core.progress.Cancelled`.
    """
    before, after = was.site, now.site
    seen: list[tuple[Spot, Look, Look]] = []
    if _exposing(before) != _exposing(after):
        for spot in spots(before, after, now.zones):
            seen.append((spot, look(before, spot, cancelled), look(after, spot, cancelled)))
    lost = set(uncounted(_with_names_of(before, after)))
    fences = {old: new for new, old in renamed(before.fences, after.fences).items()}
    return Comparison(
        before=before,
        after=after,
        differences=differences(before, after),
        zones=zone_changes(before, after, was.zones, now.zones),
        ladders=ladder_changes(before, after, was.ladders, now.ladders, feet=feet),
        access=access_changes(before, after),
        fences=fence_changes({fences.get(n, n): c for n, c in was.checks.items()}, now.checks),
        newly_responsible=newly_responsible(before, after, seen),
        rises=largest_rises(seen),
        notes=tuple(_notes(was, now)),
        newly_uncounted=tuple(line for line in uncounted(after) if line not in lost),
        jobs=job_changes(before, after, cancelled),
    )


def _with_names_of(before: Site, after: Site) -> Site:
    """Return the state before with its antennas under the names they have after."""
    names = {old: new for new, old in renamed(before.antennas, after.antennas).items()}
    antennas = tuple(replace(a, name=names.get(a.name, a.name)) for a in before.antennas)
    return replace(before, antennas=antennas)


def _common_view(before: Site, after: Site) -> PlanView:
    """Return the plan of the walking surfaces that holds both states."""
    one, other = fence_view(before), fence_view(after)
    west, south, east, north = (
        pick(a, b)
        for pick, a, b in zip((min, min, max, max), one.region, other.region, strict=True)
    )
    return replace(one, region=(west, south, east, north))


def _exposing(site: Site) -> Site:
    """Return a site with only what fields, zones and ladders follow from."""
    silent = {"owner": "", "contact": "", "remark": "", "allows": None}
    antennas = tuple(replace(a, **silent) for a in site.antennas)  # type: ignore[arg-type]
    return replace(
        site, antennas=antennas, name="-", story="", revision="", picture=None, fences=(),
        access_points=(), extent=None, garments=(), jobs=(), states=(),
    )  # fmt: skip


def _notes(was: State, now: State) -> Iterator[str]:
    before, after = was.site, now.site
    if before.limit_set != after.limit_set:
        yield f"each state is held against its own limit set: {before.limit_set}, then {after.limit_set}"
    if before.anchor != after.anchor:
        yield "the datum's place on the earth differs; both states are compared in metres from the datum"
    first, second = list(_state_notes(was)), list(_state_notes(now))
    for note in dict.fromkeys((*first, *second)):
        states = [w for w, notes in (("before", first), ("after", second)) if note in notes]
        yield f"{' and '.join(states)}: {note}"


def _state_notes(state: State) -> Iterator[str]:
    site = state.site
    estimate = "conservative estimate" if site.conservative else "BEST ESTIMATE, can be low"
    yield f"{estimate}; {site.reflection.words}"
    if not state.zones.complete:
        yield f"what zones gained or lost is not exact, {state.zones.message}"
    if any(not zone.complete for _, zone in state.ladders):
        yield "a ladder's search met its ceiling; its spans are wider than they need be"
    yield from state.zones.notes
    yield from provisos(site)
