"""Fences of a site: fitted to its zones surface by surface, and checked all together."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from shapely import MultiPolygon, Polygon

from core.fences.around import CORNERS, MARGIN, SLACK, fit
from core.fences.fence import Check, Leak, as_fences, check, check_stops, leak
from core.fences.walls import Walls, walls_at
from core.limits.tier import Tier
from core.progress import Asked
from core.proof.lattice import OUTWARD
from core.proof.tolerance import Ceiling, Tolerance
from core.reading.ways_in import shut_in
from core.shapes import only_areas
from core.site.places import Fence
from core.site.site import Site
from core.site.terraces import DROP, Floor, terraces
from core.units import FOOT
from core.views.body import CLIMBING
from core.views.defaults import default_plan
from core.views.views import PlanView
from core.zones.ladders import RUNG, closed_spans, ladder_zone
from core.zones.site_zones import site_zone
from core.zones.zone import Zone

UNFENCED = "no fence"
Known = Callable[[Tier, float, PlanView], Zone | None]
"""Gives the zone of a tier and threshold that holds a plan, or None."""
_HAIR = 7.1e-4
"""m by which rounding to millimetres can move a corner."""
_BESIDE = 0.25
"""m: a piece of a zone so near to another belongs to it."""
_FAR = 1000.0
"""m: fences and their shapes end well within."""
_ALONG = 2e-3
"""m from an edge or a wall within which a fence follows it."""
POSTS = 2.5
"""m from post to post, at most (common practice, no source)."""
ROUNDING = 1e-3
"""m added to a margin: corners are written down in whole millimetres."""


@dataclass(frozen=True, slots=True)
class Fit:
    """Settings of a fit: margin and slack in m, most corners of one fence, least drop in m that is an edge.

    ``on_ladders`` is the margin in m below and above the heights of a ladder that nobody stops in.
    """

    margin: float = MARGIN
    slack: float = SLACK
    corners: int = CORNERS
    drop: float = DROP
    on_ladders: float = 0.5


def fit_plan(site: Site, proven: Zone, settings: Fit | None = None) -> tuple[Fence, ...]:
    """Return fences around a plan zone, each on one terrace.

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
    outlines: list[Polygon] = []
    for ledge in _ledges(site, proven, settings.drop):
        outlines += fit(
            ledge.zone,
            margin=settings.margin + ROUNDING,
            slack=settings.slack,
            corners=settings.corners,
            surface=ledge.surface,
            walls=ledge.walls,
        )
    if isinstance(proven.view, PlanView) and proven.view.height.above_surface:
        # Corners are written down in whole millimetres: a hair farther out, no corner loses what it held.
        outlines = [p.buffer(_HAIR, join_style="mitre", mitre_limit=50.0) for p in outlines]
    taken = [f.name for f in site.fences]
    return as_fences(outlines, proven.tier, proven.threshold, f"fence {proven.tier}", taken)


@dataclass(frozen=True, slots=True)
class _Ledge:
    """The part of a zone on one terrace, with its shape and what stands on it; no shape where a plan hangs in air."""

    zone: MultiPolygon
    surface: shapely.Geometry | None = None
    walls: Walls | None = None


def _ledges(site: Site, proven: Zone, drop: float) -> list[_Ledge]:
    """Return the parts of a zone by the terrace they lie on.

    A zone ends where its surface ends, but for the hair it is grown by: that hair is no part of it.
    """
    view = proven.view
    assert isinstance(view, PlanView)
    if not view.height.above_surface:
        return [_Ledge(proven.region)]
    found = []
    west, south, east, north = view.region
    # Ground that nobody drew goes on beyond what was searched.
    wide = (west - _FAR, south - _FAR, east + _FAR, north + _FAR)
    for terrace in terraces(site, wide, drop):
        mine = [_on_floor(proven, f) for f in terrace.floors]
        part = only_areas(shapely.union_all(mine).intersection(terrace.shape))
        part = MultiPolygon([p for p in part.geoms if not p.buffer(-OUTWARD).is_empty])
        if part.is_empty:
            continue
        each = [walls_at(site, f.height, f.shape) for f in terrace.floors]
        solids = only_areas(shapely.union_all([s for w in each for s in w.solids]))
        lines = tuple(dict.fromkeys(line for w in each for line in w.lines))
        found.append(_Ledge(part, terrace.shape, Walls(tuple(solids.geoms), lines)))
    return found


def _on_floor(proven: Zone, floor: Floor) -> shapely.Geometry:
    """Return the part of a zone on a floor; a zone that does not say is taken to be on all of them."""
    if not proven.parts:
        return proven.region.intersection(floor.shape)
    same = [
        p.region
        for p in proven.parts
        if (p.floor.height, p.floor.names) == (floor.height, floor.names)
    ]
    return shapely.union_all(same)


@dataclass(frozen=True, slots=True)
class Chain:
    """What a crew needs for a fence: m of chain, posts, and the ways in for the public that it shuts in."""

    length: float
    posts: int
    shut_in: tuple[str, ...]

    def words(self, *, feet: bool = False) -> str:
        """Return it in one sentence, lengths in m or ft."""
        unit, scale = ("ft", FOOT) if feet else ("m", 1.0)
        said = f"{self.length / scale:.1f} {unit} of chain on {self.posts} posts"
        if self.shut_in:
            said += f"; SHUTS IN {', '.join(self.shut_in)}, open to the public"
        return said


def chain(site: Site, fence: Fence, drop: float = DROP, spacing: float = POSTS) -> Chain:
    """Return what a plan fence takes; edges, walls and railings that it follows take nothing.

    Parameters
    ----------
    site : Site
        The site.
    fence : Fence
        A fence with an outline.
    drop : float
        Least difference of height that counts as an edge, m.
    spacing : float
        Most distance from post to post, m.
    """
    shape = shapely.make_valid(Polygon(fence.outline))
    west, south, east, north = shape.bounds
    wide = (west - _FAR, south - _FAR, east + _FAR, north + _FAR)
    line: shapely.Geometry = shape.boundary
    for terrace in terraces(site, wide, drop):
        if shape.representative_point().within(terrace.shape):
            stops = [terrace.shape.boundary]
            for floor in terrace.floors:
                walls = walls_at(site, floor.height, floor.shape)
                stops += [s.exterior for s in walls.solids] + list(walls.lines)
            line = line.difference(shapely.union_all(stops).buffer(_ALONG))
            break
    runs = shapely.get_parts(shapely.line_merge(line)) if line.length > 0.0 else ()
    posts = 0
    for run in runs:
        bends = shapely.get_coordinates(run)
        steps = np.hypot(*np.diff(bends, axis=0).T)
        posts += int(np.ceil(steps / spacing - 1e-9).sum()) + (0 if run.is_ring else 1)
    return Chain(float(line.length), posts, shut_in(site, fence))


def fit_ladders(
    site: Site,
    tier: Tier,
    threshold: float,
    *,
    margin: float = 0.0,
    feet: bool = False,
    cancelled: Asked | None = None,
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
    cancelled : Asked or None
        Asked between pieces of work; True stops it.
    ceiling : Ceiling or None
        Where the search stops; the default where None.
    """
    fences = []
    for ladder in site.ladders:
        proven = ladder_zone(
            site, ladder, threshold, tier, CLIMBING, cancelled=cancelled, ceiling=ceiling
        )
        foot, top = (pick(p[2] for p in ladder.points) for pick in (min, max))
        stays = [i for i in proven.intervals if i.high - i.low >= RUNG]
        wide = closed_spans(stays, margin=margin, feet=feet)
        spans = tuple((max(low, foot), min(high, top)) for low, high in wide)
        if spans:
            name = f"stops on {ladder.name}, {tier}"
            fences.append(
                Fence(name=name, tier=tier, threshold=threshold, ladder=ladder.name, stops=spans)
            )
    return tuple(fences)


def fence_view(site: Site) -> PlanView:
    """Return the plan fences are checked on: standing people on the walking surfaces.

    Its frame is that of the site; zones reach beyond it.
    """
    return default_plan(site)


def check_plan(
    site: Site, fences: Sequence[Fence], proven: Zone, drop: float = DROP
) -> dict[str, Check]:
    """Return the check of plan fences that hold back one zone, by name.

    A part of the zone outside all fences leaks at the nearest one. Pieces that no fence touches stand
    under :data:`UNFENCED`.

    Parameters
    ----------
    site : Site
        The site.
    proven : Zone
        The proven zone; on its open sides, if it has any, no fence holds.
    drop : float
        Least difference of height that counts as an edge, m.
    """
    shapes = {f.name: shapely.make_valid(Polygon(f.outline)) for f in fences if f.outline}
    around = only_areas(shapely.union_all(list(shapes.values()))) if shapes else MultiPolygon()
    margins = dict.fromkeys(shapes, math.inf)
    leaks: dict[str, list[Leak]] = {name: [] for name in shapes}
    missed: list[Polygon] = []
    holding: set[str] = set()
    for ledge in _ledges(site, proven, drop):
        part = ledge.zone
        for name, shape in shapes.items():
            for polygon in only_areas(shape).geoms:
                held = only_areas(part.intersection(polygon))
                margins[name] = min(margins[name], check(polygon, held, ledge.surface).margin)
                holding.update({name} if not held.is_empty else ())
        beside = MultiPolygon([p for p in part.geoms if p.intersects(around)]).buffer(_BESIDE)
        missed += [p for p in part.geoms if not p.intersects(beside)]
        touched = MultiPolygon([p for p in part.geoms if p.intersects(beside)])
        for piece in only_areas(touched.difference(around.buffer(1e-6))).geoms:
            name = min(shapes, key=lambda n: float(shapes[n].distance(piece)))
            leaks[name].append(leak(piece, around))
    checks = {
        name: Check(
            margins[name],
            tuple(sorted(worst_first, key=lambda k: -k.distance)),
            holding=name in holding,
            open_sides=proven.open_sides,
            loose=not proven.complete,
        )
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


def check_site(
    site: Site,
    tolerance: Tolerance | None = None,
    *,
    cancelled: Asked | None = None,
    ceiling: Ceiling | None = None,
    known: Known | None = None,
    drop: float = DROP,
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
    drop : float
        Least difference of height that counts as an edge, m.

    Raises
    ------
    InputError
        If a fence names a ladder that is not there, or the site is inconsistent.

    Notes
    -----
    A zone that met a ceiling is larger than it has to be: what holds it back holds; what leaks of it may not be over,
    and the check says so.
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
            one = site_zone(
                site, threshold, tier, plan, tolerance, cancelled=cancelled, ceiling=ceiling
            )
        checks |= check_plan(site, fences, one, drop)
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
            heights = [p[2] for p in ladder.points]
            ends = min(heights), max(heights)
            checks[fence.name] = check_stops(fence.stops, proven.intervals, ends)
    return checks
