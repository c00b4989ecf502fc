"""Proven zones and ladder spans of two states: what was gained, what was lost, and whether the field rose there."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from shapely import MultiPolygon, Polygon

from core.changes.differences import renamed
from core.changes.places import along
from core.exposure.totals import exposure
from core.limits.tier import Tier
from core.shapes import only_areas
from core.site.site import Site
from core.views.body import CLIMBING, Body
from core.views.views import PlanView
from core.zones.ladders import LadderZone, closed_spans
from core.zones.site_zones import SiteZones
from core.zones.steps import Step
from core.zones.zone import Part, Zone

_PLACES, _APART, _MOST_PIECES = (6, 60), 0.05, 500
"""Least and most places looked at round a piece, m between them, and pieces looked at, before a gain is taken for an
edge within its exactness."""
_HAIR = 1e-6
"""m²: pieces of a square millimetre are of rounding."""
_SAME = 1e-9
_BESIDE = 0.05
"""m beside a surface that count as on it: zones reach a hair past its edge."""
_STEP = 0.25
"""m between the places looked at on a ladder."""

Spans = tuple[tuple[float, float], ...]


@dataclass(frozen=True, slots=True)
class ZoneChange:
    """What a zone gained and lost on one walking surface.

    ``gained`` and ``lost`` are the plain differences of the two proven regions. ``rose`` is False where the exposure
    rose at no place of what was gained, and nobody can stand where nobody could before: then its edge only moved within
    what it is exact to. ``fell`` is the same of what was lost.
    """

    step: Step
    surface: str
    height: float
    gained: MultiPolygon
    lost: MultiPolygon
    rose: bool
    fell: bool


def zone_changes(
    before: Site, after: Site, was: SiteZones, now: SiteZones
) -> tuple[ZoneChange, ...]:
    """Return the changes of all zones, from the outside in, highest surface first.

    Surfaces of one height are one floor; what was gained is named after the state after, what was lost after the state
    before.

    Parameters
    ----------
    before, after : Site
        The two states.
    was, now : SiteZones
        Their zones, of the same steps.
    """
    changes = []
    for (step, old), (_, new) in zip(was.zones, now.zones, strict=True):
        floors = {p.floor.height for z in (old, new) for p in z.parts}
        for height in sorted(floors, reverse=True):
            gained = _by_surface(new, old, height)
            lost = _by_surface(old, new, height)
            for surface in dict.fromkeys((*gained, *lost)):
                more = gained.get(surface, MultiPolygon())
                rose = _is_new(old, height, more) or _rose(
                    before, after, step.tier, new, height, more
                )
                less = lost.get(surface, MultiPolygon())
                fell = _is_new(new, height, less) or _rose(
                    after, before, step.tier, old, height, less
                )
                changes.append(ZoneChange(step, surface, height, more, less, rose, fell))
    return tuple(changes)


def _by_surface(one: Zone, other: Zone, height: float) -> dict[str, MultiPolygon]:
    """Return what one zone has beyond another at a height, by the surfaces it lies on."""
    rest = shapely.union_all([p.region for p in _parts(other, height)])
    own = {p.floor.words: _broad(p.region.difference(rest)) for p in _parts(one, height)}
    return {surface: region for surface, region in own.items() if not region.is_empty}


def _broad(region: shapely.Geometry) -> MultiPolygon:
    """Return the pieces of a region that are more than what rounding leaves between two edges that are the same."""
    return MultiPolygon([p for p in only_areas(region).geoms if p.area > _HAIR])


def _parts(one: Zone, height: float) -> Iterator[Part]:
    return (p for p in one.parts if p.floor.height == height)


def _is_new(old: Zone, height: float, gained: MultiPolygon) -> bool:
    """Return whether part of what was gained lies where no surface of that height was before."""
    if gained.is_empty:
        return False
    walked = shapely.union_all([p.floor.shape for p in _parts(old, height)])
    return not gained.difference(walked.buffer(_BESIDE)).is_empty


def _rose(
    before: Site, after: Site, tier: Tier, zone: Zone, height: float, gained: MultiPolygon
) -> bool:
    """Return whether the exposure rose at a place of what was gained; a piece too many to look at counts as risen."""
    if len(gained.geoms) > _MOST_PIECES:
        return True
    assert isinstance(zone.view, PlanView)
    foot = height + zone.view.height.metres
    if gained.is_empty:
        return False
    places = np.concatenate([_places(piece, foot) for piece in gained.geoms])
    return risen(before, after, tier, places, zone.view.body)


def _places(piece: Polygon, foot: float) -> np.ndarray:
    ring = piece.exterior
    count = int(np.clip(np.ceil(ring.length / _APART), *_PLACES))
    along = [ring.interpolate(t, normalized=True) for t in np.linspace(0.0, 1.0, count)]
    xy = shapely.get_coordinates([piece.representative_point(), *along])
    return np.column_stack([xy, np.full(len(xy), foot)])


def risen(before: Site, after: Site, tier: Tier, places: np.ndarray, body: Body) -> bool:
    """Return whether the exposure is higher after than before at any of some places.

    Parameters
    ----------
    before, after : Site
        The two states.
    tier : {"public", "occupational"}
        Whose limit.
    places : array (n, 3)
        Feet of standing bodies or middles of climbers, m.
    body : Body
        The column of heights that is exposed.
    """
    was, now = (exposure(site, places, body) for site in (before, after))
    higher = now.of(tier).total > was.of(tier).total * (1.0 + _SAME)
    return bool((higher | (now.reactive & ~was.reactive)).any())


@dataclass(frozen=True, slots=True)
class LadderChange:
    """The closed spans (low, high) of heights of a ladder for a step, m, rounded outward; ``rose`` as for a zone.

    The ladder has its name after; ``earlier`` is the one before.
    """

    ladder: str
    step: Step
    was: Spans
    now: Spans
    rose: bool
    earlier: str

    @property
    def gained(self) -> Spans:
        """Stretches that are closed after and were not before."""
        return without(self.now, self.was)


def ladder_changes(
    before: Site,
    after: Site,
    was: Sequence[tuple[Step, LadderZone]],
    now: Sequence[tuple[Step, LadderZone]],
    *,
    feet: bool = False,
) -> tuple[LadderChange, ...]:
    """Return the ladders whose closed spans changed, under their names after.

    Parameters
    ----------
    before, after : Site
        The two states.
    was, now : sequence of (Step, LadderZone)
        Their proven intervals.
    feet : bool
        Rounded outward to whole feet instead of tenths of a metre.
    """
    earlier = renamed(before.ladders, after.ladders)
    later = {first: second for second, first in earlier.items()}
    old = {
        (later.get(z.ladder, z.ladder), s.key): closed_spans(z.intervals, feet=feet) for s, z in was
    }
    new = {(z.ladder, s.key): closed_spans(z.intervals, feet=feet) for s, z in now}
    steps = {s.key: s for s, _ in (*was, *now)}
    changes = []
    for ladder, key in dict.fromkeys((*old, *new)):
        spans = old.get((ladder, key), ()), new.get((ladder, key), ())
        if spans[0] != spans[1]:
            tier = steps[key].tier
            first = earlier.get(ladder, ladder)
            rose = _rose_on(before, after, (first, ladder), tier, without(spans[1], spans[0]))
            changes.append(LadderChange(ladder, steps[key], *spans, rose, first))
    return tuple(changes)


def _rose_on(before: Site, after: Site, names: tuple[str, str], tier: Tier, gained: Spans) -> bool:
    if not gained:
        return False
    places = along(after.ladder(names[1]).points, _STEP)
    inside = np.zeros(len(places), bool)
    for low, high in gained:
        inside |= (places[:, 2] >= low - _STEP) & (places[:, 2] <= high + _STEP)
    if all(names[0] != ladder.name for ladder in before.ladders) or not inside.any():
        return True
    return risen(before, after, tier, places[inside], CLIMBING)


def without(spans: Spans, taken: Spans) -> Spans:
    """Return the parts of spans that other spans do not cover.

    Parameters
    ----------
    spans, taken : tuple of (low, high)
        Heights, m.
    """
    rest = list(spans)
    for low, high in taken:
        pieces = [(a, min(b, low)) for a, b in rest] + [(max(a, high), b) for a, b in rest]
        rest = sorted((a, b) for a, b in pieces if b > a)
    return tuple(rest)
