"""Fences of a site: fitted to its zones surface by surface, and checked all together."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import shapely
from shapely import MultiPolygon, Polygon

from core.errors import InputError
from core.fences.fence import (
    CORNERS,
    MARGIN,
    SLACK,
    Check,
    Leak,
    as_fences,
    check,
    check_stops,
    fit,
)
from core.fences.walls import walls_at
from core.limits.tier import Tier
from core.progress import Asked
from core.proof.lattice import OUTWARD
from core.proof.tolerance import Ceiling, Tolerance
from core.shapes import only_areas
from core.site import terraces as grounds
from core.site.places import Fence
from core.site.site import Site
from core.views.body import CLIMBING
from core.views.defaults import default_plan
from core.views.views import PlanView
from core.zones.ladders import closed_spans, ladder_zone
from core.zones.zone import Zone, zone

UNFENCED = "no fence"
Known = Callable[[Tier, float, PlanView], Zone | None]
"""Gives the zone of a tier and threshold that holds a plan, or None."""
_BEYOND = 5.0
"""m looked at around fences that reach out of the site's extent."""
ROUNDING = 1e-3
"""m added to a margin: corners are written down in whole millimetres."""


@dataclass(frozen=True, slots=True)
class Fit:
    """Settings of a fit: margin and slack in m, most corners of one fence."""

    margin: float = MARGIN
    slack: float = SLACK
    corners: int = CORNERS


def fit_plan(site: Site, proven: Zone, settings: Fit | None = None) -> tuple[Fence, ...]:
    """Return fences around a plan zone, each on one walking surface.

    Parameters
    ----------
    site : Site
        The site.
    proven : Zone
        The proven zone.

    Raises
    ------
    InputError
        If the settings make no sense.
    """
    settings = settings or Fit()
    view = proven.view
    assert isinstance(view, PlanView)
    outlines: list[Polygon] = []
    for level, surface, part in _by_surface(site, view, proven.region):
        outlines += fit(
            part,
            margin=settings.margin + ROUNDING,
            slack=settings.slack,
            corners=settings.corners,
            surface=surface,
            walls=None if level is None else walls_at(site, level, surface),
        )
    taken = [f.name for f in site.fences]
    return as_fences(outlines, proven.tier, proven.threshold, f"fence {proven.tier}", taken)


def _by_surface(
    site: Site, view: PlanView, region: MultiPolygon
) -> list[tuple[float | None, shapely.Geometry | None, MultiPolygon]]:
    """Return the height in m of each level of walking surfaces, its shape, the part of a region on it.

    There is no height on a plan that hangs in the air, and no shape where no surface is drawn. A zone ends where
    its surface ends, but for the hair it is grown by: that hair on the surface below is no part of it.
    """
    if not view.height.above_surface:
        return [(None, None, region)]
    if not site.surfaces:
        return [(0.0, None, region)]
    parts: list[tuple[float | None, shapely.Geometry | None, MultiPolygon]] = []
    walked = grounds.walking_surfaces(site)
    for level, piece in grounds.pieces(site, view.region):
        surface = only_areas(piece.intersection(walked))
        part = only_areas(region.intersection(surface))
        part = MultiPolygon([p for p in part.geoms if not p.buffer(-OUTWARD).is_empty])
        if not part.is_empty:
            parts.append((level, surface, part))
    return parts


def fit_ladders(
    site: Site,
    tier: Tier,
    threshold: float,
    *,
    margin: float = 0.0,
    feet: bool = False,
    ceiling: Ceiling | None = None,
) -> tuple[Fence, ...]:
    """Return stop heights for every ladder that reaches into a zone.

    Parameters
    ----------
    site : Site
        The site.
    tier : Tier
        Whose limit.
    threshold : float
        Fraction of the limit.
    margin : float
        m below and above each span.
    feet : bool
        Lengths in feet instead of metres.
    ceiling : Ceiling or None
        Where the search stops; the default where None.
    """
    fences = []
    for ladder in site.ladders:
        proven = ladder_zone(site, ladder, threshold, tier, CLIMBING, ceiling=ceiling)
        spans = closed_spans(proven.intervals, margin=margin, feet=feet)
        if spans:
            name = f"stops on {ladder.name}, {tier}"
            fences.append(
                Fence(name=name, tier=tier, threshold=threshold, ladder=ladder.name, stops=spans)
            )
    return tuple(fences)


def fence_view(site: Site) -> PlanView:
    """Return the plan fences are checked on: standing people, the site's extent and every fence."""
    plan = default_plan(site)
    west, south, east, north = plan.region
    corners = [corner for f in site.fences for corner in f.outline]
    if corners:
        xs, ys = zip(*corners, strict=True)
        if min(xs) < west or min(ys) < south or max(xs) > east or max(ys) > north:
            west, south = min(west, min(xs) - _BEYOND), min(south, min(ys) - _BEYOND)
            east, north = max(east, max(xs) + _BEYOND), max(north, max(ys) + _BEYOND)
    return replace(plan, region=(west, south, east, north))


def check_plan(site: Site, fences: Sequence[Fence], proven: Zone) -> dict[str, Check]:
    """Return the check of plan fences that hold back one zone, by name.

    A part of the zone outside all fences leaks at the nearest one. Pieces that no fence touches stand
    under :data:`UNFENCED`.

    Parameters
    ----------
    site : Site
        The site.
    proven : Zone
        The proven zone.
    """
    view = proven.view
    assert isinstance(view, PlanView)
    shapes = {f.name: shapely.make_valid(Polygon(f.outline)) for f in fences if f.outline}
    around = only_areas(shapely.union_all(list(shapes.values()))) if shapes else MultiPolygon()
    margins = dict.fromkeys(shapes, math.inf)
    leaks: dict[str, list[Leak]] = {name: [] for name in shapes}
    missed: list[Polygon] = []
    for _, surface, part in _by_surface(site, view, proven.region):
        for name, shape in shapes.items():
            for polygon in only_areas(shape).geoms:
                held = only_areas(part.intersection(polygon))
                margins[name] = min(margins[name], check(polygon, held, surface).margin)
        missed += [p for p in part.geoms if not p.intersects(around)]
        touched = MultiPolygon([p for p in part.geoms if p.intersects(around)])
        for piece in only_areas(touched.difference(around.buffer(1e-6))).geoms:
            name = min(shapes, key=lambda n: float(shapes[n].distance(piece)))
            leaks[name].append(_leak(piece, shapes[name]))
    checks = {
        name: Check(margins[name], tuple(sorted(worst_first, key=lambda k: -k.distance)))
        for name, worst_first in leaks.items()
    }
    if missed:
        missed.sort(key=lambda p: -p.area)
        places = [p.representative_point().coords[0] for p in missed]
        sizes = tuple(
            Leak((float(x), float(y)), math.sqrt(p.area))
            for p, (x, y) in zip(missed, places, strict=True)
        )
        checks[UNFENCED] = Check(math.inf, sizes, sum(p.area for p in missed))
    return checks


def _leak(piece: Polygon, fence: shapely.Geometry) -> Leak:
    xy = shapely.get_coordinates(piece.exterior)
    distance = shapely.distance(shapely.points(xy), fence)
    worst = int(distance.argmax())
    return Leak((float(xy[worst, 0]), float(xy[worst, 1])), float(distance[worst]))


def check_site(
    site: Site,
    tolerance: Tolerance | None = None,
    *,
    cancelled: Asked | None = None,
    ceiling: Ceiling | None = None,
    known: Known | None = None,
) -> dict[str, Check]:
    """Return the check of every fence of a site against proven zones, by name.

    ``known`` may give a zone that has been proven for the site already; the others are proven anew.

    Parameters
    ----------
    tolerance : Tolerance or None
        How exact the region is asked to be; the default where None.
    cancelled : Asked or None
        Asked between pieces of work; True stops it.
    ceiling : Ceiling or None
        Where the search stops; the default where None.

    Raises
    ------
    InputError
        If a fence names a ladder that is not there, or the site is inconsistent.
    """
    checks: dict[str, Check] = {}
    plan = fence_view(site)
    unfenced: list[Check] = []
    kinds = dict.fromkeys((f.tier, f.threshold) for f in site.fences if f.outline)
    for tier, threshold in kinds:
        fences = [
            f for f in site.fences if f.outline and (f.tier, f.threshold) == (tier, threshold)
        ]
        one = known(tier, threshold, plan) if known is not None else None
        if one is None:
            one = zone(site, threshold, tier, plan, tolerance, cancelled=cancelled, ceiling=ceiling)
        if not one.complete:
            raise InputError(
                one.message, source=site.name, field="fences", fix="A check needs the whole zone"
            )
        checks |= check_plan(site, fences, one.on_surfaces(site))
        if UNFENCED in checks:
            unfenced.append(checks.pop(UNFENCED))
    if unfenced:
        checks[UNFENCED] = max(unfenced, key=lambda c: c.unfenced)
    for fence in site.fences:
        if fence.ladder:
            ladder = site.ladder(fence.ladder)
            proven = ladder_zone(
                site, ladder, fence.threshold, fence.tier, cancelled=cancelled, ceiling=ceiling
            )
            checks[fence.name] = check_stops(fence.stops, proven.intervals)
    return checks
