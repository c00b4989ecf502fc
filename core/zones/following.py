"""Zones that follow the hand: from bounds kept of a view (core.proof.kept), weighed again, before they are proven anew.

What comes out is proven and larger than it need be. Where no emitter has become stronger than it was when a zone of
the same view was proven in full, the zone lies in that one as well: it is cut to it.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely

from core.arrays import Floats
from core.caches import SHARED
from core.exposure.surveyed import raises
from core.limits.tier import Tier
from core.proof.bounds.base import ROUNDING
from core.proof.domains import domains_of
from core.proof.enclosure import Enclosure, Total, enclosure
from core.proof.keeping import CEILING, Wanted, fitted, guarding, nothing_yet, refined
from core.proof.kept import Guard, Kept, columns_of, keys_of, reweighed
from core.proof.lattice import cover, cover_columns
from core.proof.search import ACROSS, Outcome
from core.proof.tolerance import Ceiling, Tolerance
from core.shapes import only_areas
from core.site.site import Site, State
from core.views.body import POINT, Body
from core.views.defaults import site_extent
from core.views.views import ElevationView, PlanView, View
from core.zones.extent import Box, sides_of_boxes, unknown_ground, whole_view
from core.zones.layout import Layout, layout_of, with_whole_column
from core.zones.site_zones import SiteZones
from core.zones.steps import STEPS, Step
from core.zones.zone import Part, Zone, zone_of

_SPARE = 2.0
"""Times full power: a box holds what that would exceed, so that a power may be raised."""


@dataclass(frozen=True)
class _Proof:
    """A zone that was proven in full, and the weights it was proven for."""

    keys: tuple[Hashable, ...]
    totals: tuple[Total, ...]
    coefficients: Floats
    zone: Zone

    def holds(self, enclosed: Enclosure, threshold: float) -> bool:
        """Return whether nothing can be over a threshold outside of its zone: no weight has grown against it."""
        if enclosed.totals != self.totals:
            return False
        number = {key: i for i, key in enumerate(self.keys)}
        rows = [number.get(key) for key in keys_of(enclosed)]
        if None in rows:
            return False
        before = self.coefficients[np.array(rows, np.intp)] / self.zone.threshold
        now = enclosed.coefficients / threshold
        return bool((now <= before * (1.0 + 0.01 * ROUNDING)).all())


@dataclass(frozen=True)
class Followed:
    """Kept bounds of a view, and what else its zones need.

    ``guards`` are the cells beyond the box by tier; ``ground`` those where no surface is drawn, under and over what
    was asked, with their boxes.
    """

    view: View
    layout: Layout
    kept: Kept
    guards: tuple[tuple[Tier, tuple[Guard, ...]], ...]
    ground: tuple[tuple[Guard, ...], tuple[Guard, ...]]
    proofs: tuple[_Proof, ...] = ()


def follow(
    site: Site,
    view: View,
    steps: Sequence[Step] = STEPS,
    *,
    cancelled: Callable[[], bool] | None = None,
) -> SiteZones | None:
    """Return zones of a view at once, from what was kept of it; None where nothing is, or it does not reach.

    They are proven, and looser than asked for; each says how much of it may not be over.

    Parameters
    ----------
    site : Site
        The site.
    view : PlanView or ElevationView
        What is looked at.
    steps : sequence of Step
        Boundaries from the outside in.
    cancelled : callable, optional
        Asked between pieces of work.

    Raises
    ------
    InputError
        If powers are inconsistent.
    Cancelled
        If asked to stop.
    """
    found: Followed | None = SHARED.get(_key(site, view))
    if found is None or raises(site) or any(s.garment is not None for s in steps):
        return None
    asked = with_whole_column(site, view)
    if asked.body != found.view.body or not _covers(found.view.bounds, asked.bounds):
        return None
    full = _full(site)
    body = _body(asked)
    tiers = _tiers(steps)
    wanted = Wanted(enclosure(full, tiers[0], body), _of(steps, tiers[0]))
    if keys_of(wanted.enclosed) != found.kept.keys:
        found = _refitted(found, wanted, cancelled)
        SHARED.replace(_key(site, view), found)
    now = {tier: enclosure(site, tier, body) for tier in tiers}
    zones = []
    for step in steps:
        one = _zone(found, now[step.tier], step)
        if one is None:
            return None
        zones.append((step, replace(one, view=view)))
    unknown = _unknown(site, found, steps)
    return None if unknown is None else SiteZones(view, tuple(zones), unknown)


def keep(
    site: Site,
    view: View,
    steps: Sequence[Step] = STEPS,
    *,
    ceiling: Ceiling = CEILING,
    cancelled: Callable[[], bool] | None = None,
) -> None:
    """Keep bounds of a view, finer ones where some are kept already, for :func:`follow`.

    Parameters
    ----------
    site : Site
        The site.
    view : PlanView or ElevationView
        What is looked at.
    steps : sequence of Step
        Boundaries from the outside in.
    ceiling : Ceiling
        How long, and how many cells.
    cancelled : callable, optional
        Asked between pieces of work.

    Raises
    ------
    InputError
        If powers are inconsistent, or a kind has no bound.
    Cancelled
        If asked to stop.
    """
    if raises(site) or any(s.garment is not None for s in steps):
        return
    asked = with_whole_column(site, view)
    full, body = _full(site), _body(asked)
    wanted = [Wanted(enclosure(full, tier, body), _of(steps, tier)) for tier in _tiers(steps)]
    now = [Wanted(enclosure(site, tier, body), _of(steps, tier)) for tier in _tiers(steps)]
    if not wanted[0].enclosed.radiators:
        return
    found: Followed | None = SHARED.get(_key(site, view))
    reaches = found is not None and follow(site, view, steps) is not None
    if found is None or not reaches:
        found = _begun(full, asked, steps, wanted[0])
        if found is None:
            return
    elif keys_of(wanted[0].enclosed) != found.kept.keys:
        found = _refitted(found, wanted[0], cancelled)
    finer = refined(found.kept, wanted, now, ceiling, cancelled)
    SHARED.replace(_key(site, view), replace(found, kept=finer))


def remember(site: Site, zones: SiteZones) -> None:
    """Keep zones that were proven in full, to which looser ones are cut where no emitter is stronger.

    Parameters
    ----------
    site : Site
        What they were proven for.
    zones : SiteZones
        As far as the danger.
    """
    key = _key(site, zones.view)
    found: Followed | None = SHARED.get(key)
    if found is None or zones.within:
        return
    body = _body(with_whole_column(site, zones.view))
    proofs = []
    for step, one in zones.zones:
        enclosed = enclosure(site, step.tier, body)
        proofs.append(_Proof(keys_of(enclosed), enclosed.totals, enclosed.coefficients, one))
    SHARED.replace(key, replace(found, proofs=tuple(proofs)))


def _begun(full: Site, asked: View, steps: Sequence[Step], wanted: Wanted) -> Followed | None:
    """Return the box that has to be covered, with nothing known in it; None where it has no end."""
    searched = _grown(asked)
    guards = []
    for tier in _tiers(steps):
        beyond: list[Guard] = []
        least = min(_of(steps, tier)) / _SPARE
        # The box of one tier may be the larger: what was a guard of the other lies in it, and still holds.
        extent = whole_view(full, least, tier, searched, beyond)
        if extent.open_sides:
            return None
        searched = extent.view
        guards.append((tier, tuple(beyond)))
    layout = layout_of(full, searched)
    over_all = cover_columns if len(layout.plane.directions) == 3 else cover
    lattice, index = over_all(*layout.box, ACROSS)
    where = domains_of(layout.domains, len(layout.plane.layers), layout.plane.column)
    under: list[Guard] = []
    over: list[Guard] = []
    if isinstance(asked, PlanView) and asked.height.above_surface:
        lowest = min(steps, key=lambda s: (s.tier != "public", s.threshold))
        unknown_ground(full, lowest.threshold / _SPARE, lowest.tier, under, over)
    kept = nothing_yet(wanted, layout.plane, lattice, index, where)
    return Followed(searched, layout, kept, tuple(guards), (tuple(under), tuple(over)))


def _refitted(found: Followed, wanted: Wanted, cancelled: Callable[[], bool] | None) -> Followed:
    """Return what is kept with the radiators of a site in which some have moved or changed."""
    old, enclosed = found.kept.keys, wanted.enclosed

    def again(guards: Sequence[Guard]) -> tuple[Guard, ...]:
        return tuple(guarding(guard, old, enclosed) for guard in guards)

    under, over = found.ground
    return replace(
        found,
        kept=fitted(found.kept, wanted, cancelled),
        guards=tuple((tier, again(guards)) for tier, guards in found.guards),
        ground=(again(under), again(over)),
    )


def _zone(found: Followed, enclosed: Enclosure, step: Step) -> Zone | None:
    columns = columns_of(found.kept.keys, enclosed)
    for guard in dict(found.guards)[step.tier]:
        if guard.over(enclosed, columns, step.threshold).any():
            return None
    fineness = Tolerance().fineness(step.threshold)
    if found.layout.plane.column:
        fineness = fineness.of_columns
    result = reweighed(found.kept, enclosed, fineness)
    one = zone_of(result, found.layout, found.view, fineness, step.tier)
    exact = False
    for proof in found.proofs:
        if proof.holds(enclosed, step.threshold):
            one = _cut(one, proof.zone)
            exact |= _same(proof, enclosed, step)
    return replace(one, message=_message(one, result, exact=exact))


def _same(proof: _Proof, enclosed: Enclosure, step: Step) -> bool:
    return (
        proof.zone.threshold == step.threshold
        and proof.keys == keys_of(enclosed)
        and bool(np.array_equal(proof.coefficients, enclosed.coefficients))
    )


def _cut(one: Zone, proven: Zone) -> Zone:
    """Return a zone without what lies outside of another that holds it too."""
    shapes = {(p.floor.height, p.floor.names): p.region for p in proven.parts}
    parts = tuple(
        Part(p.floor, only_areas(p.region.intersection(shapes[p.floor.height, p.floor.names])))
        if (p.floor.height, p.floor.names) in shapes
        else p
        for p in one.parts
    )
    region = only_areas(one.region.intersection(proven.region))
    if parts:
        region = only_areas(shapely.union_all([p.region for p in parts]))
    return replace(
        one, region=region, parts=parts, undecided=only_areas(one.undecided.intersection(region))
    )


def _message(one: Zone, result: Outcome, *, exact: bool) -> str:
    """Return in one sentence how loose a zone is."""
    if one.region.is_empty:
        return "proven: nowhere"
    if exact:
        return "proven before, and nothing has changed since"
    side2 = [(result.lattice.side_at(leaf.level) ** 2, leaf) for leaf in result.leaves]
    open_area = min(sum(a * float((f.share > 0.0).sum()) for a, f in side2), one.region.area)
    return (
        f"proven in a first look from kept bounds; up to {open_area:.2g} m² of it may not be over, "
        "and the edge is being tightened"
    )


def _unknown(site: Site, found: Followed, steps: Sequence[Step]) -> tuple[str, ...] | None:
    """Return the sides on which unknown ground lies; None where what is kept does not reach."""
    under, over = found.ground
    if not under and not over:
        return ()
    lowest = min(steps, key=lambda s: (s.tier != "public", s.threshold))
    enclosed = enclosure(site, lowest.tier, POINT)
    columns = columns_of(found.kept.keys, enclosed)
    if any(guard.over(enclosed, columns, lowest.threshold).any() for guard in under):
        return None
    boxes = []
    for guard in over:
        mine = guard.index[guard.over(enclosed, columns, lowest.threshold)]
        low, high = (guard.lattice.corners(mine + step, guard.level) for step in (0, 1))
        boxes.append(np.hstack([low, high]))
    west, south, east, north = site_extent(site)
    middle = (west + east) / 2.0, (south + north) / 2.0
    return sides_of_boxes(np.concatenate(boxes), middle) if boxes else ()


def _full(site: Site) -> Site:
    """Return a site with everything on: a state is a weight."""
    return replace(site, antennas=tuple(replace(a, state=State()) for a in site.antennas))


def _body(view: View) -> Body:
    return view.body if view.body.average else POINT


def _tiers(steps: Sequence[Step]) -> tuple[Tier, ...]:
    return tuple(dict.fromkeys(s.tier for s in steps))


def _of(steps: Sequence[Step], tier: Tier) -> tuple[float, ...]:
    return tuple(s.threshold for s in steps if s.tier == tier)


def _covers(whole: Box, part: Box) -> bool:
    low = all(a <= b for a, b in zip(whole[:2], part[:2], strict=True))
    return low and all(a >= b for a, b in zip(whole[2:], part[2:], strict=True))


def _grown(view: View) -> View:
    """Return a view with room about it, for an antenna that is moved out of its frame."""
    u0, v0, u1, v1 = view.bounds
    spare = 0.1 * max(u1 - u0, v1 - v0)
    if isinstance(view, ElevationView):
        return replace(view, along=(u0 - spare, u1 + spare), up=(v0 - spare, v1 + spare))
    return replace(view, region=(u0 - spare, v0 - spare, u1 + spare, v1 + spare))


def _key(site: Site, view: View) -> Hashable:
    """Return what kept bounds belong to: a plane in what stands on a site, whatever radiates there."""
    plane: tuple[Hashable, ...] = ("plan", view.height) if isinstance(view, PlanView) else ()
    if isinstance(view, ElevationView):
        plane = ("elevation", view.origin, view.azimuth)
    return ("kept bounds", *plane, view.body, site.surfaces, site.structures, site.grid_north)
