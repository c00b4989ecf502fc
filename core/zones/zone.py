"""Zones: where a body's exposure can exceed a threshold, proven for the whole of a view.

Every point of the view whose exposure (core.exposure.totals, float64) exceeds the threshold lies inside the
region; how it is proven is told in ``core.proof``. Reactive regions of radiating antennas always lie inside.
"""

from __future__ import annotations

import math
import time
from dataclasses import dataclass, field, replace

import numpy as np
import shapely
from shapely import MultiPolygon, Polygon

from core.arrays import Floats
from core.exposure.totals import exposure
from core.limits.tier import Tier
from core.progress import Asked, Progress
from core.proof.enclosure import enclosure
from core.proof.search import Outcome, search, shape_of
from core.proof.tolerance import COLUMN_EDGE, Ceiling, Fineness, Tolerance, check_threshold
from core.proof.undecided import undecided
from core.shapes import only_areas
from core.site.site import Site
from core.site.terraces import Floor
from core.views.body import POINT
from core.views.views import ElevationView, PlanView, View
from core.zones.layout import Layout, layout_of, with_whole_column
from core.zones.lowering import lowered
from core.zones.sharpening import more_work, sharper, within

CAUSE_SHARE = 0.01
"""A radiator with a smaller part of every total in a piece is not named as its cause."""
_CAUSE_PLACES = 24

_GROWN = 0.02
"""m: how far specks of a zone are grown, unless less is asked for."""


@dataclass(frozen=True, slots=True)
class Cause:
    """A radiator's largest part of the total (0 to 1) at places in one piece of a zone."""

    source: str
    share: float


@dataclass(frozen=True, slots=True)
class Piece:
    """One connected piece of a zone, with the radiators that cause it, strongest first.

    ``floor`` is what it lies on, on a plan of the walking surfaces.
    """

    shape: Polygon
    causes: tuple[Cause, ...]
    floor: Floor | None = None

    @property
    def area(self) -> float:
        """Area in m²."""
        return float(self.shape.area)

    @property
    def extent(self) -> tuple[float, float, float, float]:
        """Least u and v, greatest u and v, m."""
        u0, v0, u1, v1 = self.shape.bounds
        return float(u0), float(v0), float(u1), float(v1)


@dataclass(frozen=True, slots=True)
class Part:
    """The part of a plan's zone on one walking height."""

    floor: Floor
    region: MultiPolygon


@dataclass(frozen=True, slots=True)
class Zone:
    """Where the exposure can exceed a threshold.

    Attributes
    ----------
    view : PlanView or ElevationView
    tier : str
    threshold : float
        Fraction of the limit.
    region : MultiPolygon
        In view coordinates, m; empty where the threshold is exceeded nowhere. On walking surfaces: of all of them,
        one above another too.
    parts : tuple of Part
        The same by walking height, highest first and what nobody drew last; none in other views.
    metres, share : float
        The largest slack left anywhere on the edge: as a distance along the slope of the field, and as
        a fraction of the threshold.
    evaluations : int
        Field evaluations, one point and one radiator each.
    seconds : float
    message : str
        In one sentence, how exact the region is and whether a ceiling stopped the search.
    complete : bool
        False when a ceiling left cells undecided; they count as inside.
    open_sides : tuple of str
        Sides of the view beyond which it may go on.
    undecided : MultiPolygon
        Parts of the region in which nothing over the threshold was found, but could not be ruled out.
    """

    view: View
    tier: Tier
    threshold: float
    region: MultiPolygon
    metres: float
    share: float
    evaluations: int
    seconds: float
    message: str
    complete: bool
    parts: tuple[Part, ...] = ()
    open_sides: tuple[str, ...] = ()
    undecided: MultiPolygon = field(default_factory=MultiPolygon)

    @property
    def area(self) -> float:
        """Area in m²; one surface above another counts once."""
        return float(self.region.area)

    @property
    def hidden(self) -> MultiPolygon:
        """What lies only on surfaces below others, under a roof or a canopy."""
        above: shapely.Geometry = MultiPolygon()
        shown: list[shapely.Geometry] = []
        for part in self.parts:
            shown.append(part.region.difference(above))
            above = above.union(part.floor.shape)
        return only_areas(self.region.difference(shapely.union_all(shown))) if shown else above

    @property
    def undrawn(self) -> MultiPolygon:
        """The part where no surface is drawn, which counts as ground at the datum."""
        return next((p.region for p in self.parts if not p.floor.is_drawn), MultiPolygon())


def zone(
    site: Site,
    threshold: float,
    tier: Tier,
    view: View,
    tolerance: Tolerance | None = None,
    *,
    progress: Progress | None = None,
    cancelled: Asked | None = None,
    ceiling: Ceiling | None = None,
    divisors: Floats | None = None,
) -> Zone:
    """Return the region of a view in which the exposure can exceed a threshold.

    Parameters
    ----------
    threshold : float
        Fraction of the limit: 1 is 100 %.
    tier : {"public", "occupational"}
    progress : callable, optional
        Told the part done, 0 to 1.
    cancelled : callable, optional
        Asked between pieces of work; True stops with :class:`core.progress.Cancelled`.
    ceiling : Ceiling, optional
        Where to stop; the region is then looser and says so.
    tolerance : Tolerance or None
        How exact the region is asked to be; the default where None.
    divisors : array, shape (sources,), optional
        What each source's power is divided by, as by a garment's rating.

    Raises
    ------
    InputError
        If the threshold is no positive number, the tier is unknown, the site's powers are
        inconsistent, or an antenna kind has no bound.
    Cancelled
        If asked to stop.
    """
    check_threshold(threshold)
    tolerance, ceiling = tolerance or Tolerance(), ceiling or Ceiling()
    started = time.perf_counter()
    fineness = tolerance.fineness(threshold)
    asked, view = view, with_whole_column(site, view)
    enclosed = enclosure(site, tier, view.body if view.body.average else POINT, divisors)
    layout = layout_of(site, view)
    if layout.plane.column:
        fineness = fineness.of_columns

    def found(
        layout: Layout, fineness: Fineness, ceiling: Ceiling, told: Progress | None
    ) -> tuple[Outcome, Zone]:
        result = search(
            enclosed,
            layout.plane,
            layout.box,
            fineness,
            ceiling,
            domains=layout.domains,
            progress=told,
            cancelled=cancelled,
            started=started,
        )
        return result, zone_of(result, layout, view, fineness, tier)

    result, one = found(layout, fineness, ceiling, progress)
    # What an earlier search has left out stays out, whatever stops a later one.
    stopped, evaluations = result.stopped, result.evaluations
    most = evaluations + more_work(evaluations)
    while layout.floors and not stopped:
        parts = tuple(part.region for part in one.parts)
        finer = sharper(fineness, parts)
        if finer is None:
            break
        left = replace(ceiling, evaluations=most - evaluations)
        again, tighter = found(within(layout, parts), finer, left, None)
        stopped, evaluations = again.stopped, evaluations + again.evaluations
        if stopped:
            doubtful = only_areas(one.undecided.intersection(tighter.region))
            one = replace(
                tighter, metres=one.metres, share=one.share, complete=True, undecided=doubtful
            )
        else:
            result, one, fineness = again, tighter, finer
    one = replace(one, evaluations=evaluations)
    if layout.plane.column:
        tolerance = replace(tolerance, metres=COLUMN_EDGE * fineness.metres)
    message = _message(one, tolerance, result)
    if progress is not None:
        progress(1.0)
    seconds = time.perf_counter() - started
    return replace(one, view=asked, threshold=threshold, seconds=seconds, message=message)


def zone_of(result: Outcome, layout: Layout, view: View, fineness: Fineness, tier: Tier) -> Zone:
    """Return the zone of a view from what a search of its layout has found; its message is empty.

    Parameters
    ----------
    result : Outcome
        What was found.
    layout : Layout
        Where it was looked for.
    view : PlanView or ElevationView
        What is looked at.
    fineness : Fineness
        How fine it was asked to be.
    tier : {"public", "occupational"}
        Whose limit.
    """
    shapes = [
        _clipped(shape_of(result, fineness.proof, i), domain.shape)
        for i, domain in enumerate(layout.domains)
    ]
    doubtful = [undecided(result, fineness, shape, i) for i, shape in enumerate(shapes)]
    if isinstance(view, ElevationView) and not view.body.average:
        shapes = [lowered(shape, view.body) for shape in shapes]
        doubtful = [lowered(shape, view.body) for shape in doubtful]
    whole, grown = shapely.box(*view.bounds), min(fineness.metres, _GROWN)
    shapes = [_clipped(_closed(shape, grown), whole) for shape in shapes]
    region = shapes[0] if len(shapes) == 1 else only_areas(shapely.union_all(shapes))
    parts = (
        tuple(Part(floor, shape) for floor, shape in zip(layout.floors, shapes, strict=True))
        if layout.floors
        else ()
    )
    unseen = only_areas(shapely.union_all(doubtful).intersection(whole))
    return Zone(
        view, tier, fineness.threshold, region, result.metres, result.share, result.evaluations,
        0.0, "", not result.stopped, parts, undecided=unseen,
    )  # fmt: skip


def _clipped(region: MultiPolygon, domain: shapely.Geometry | None) -> MultiPolygon:
    return region if domain is None else only_areas(region.intersection(domain))


def _closed(region: MultiPolygon, by: float) -> MultiPolygon:
    """Return a region without specks: those of pieces grown by ``by``, so that they join what is beside them,
    those of holes filled. A speck is smaller than a square of side 5 ``by``: nobody can stand in it."""
    speck = 25.0 * by * by
    pieces: list[shapely.Geometry] = []
    for piece in region.geoms:
        holes = [ring for ring in piece.interiors if Polygon(ring).area >= speck]
        pieces.append(Polygon(piece.exterior, holes))
    grown = [p.buffer(by, join_style="mitre") for p in pieces if p.area < speck]
    return only_areas(shapely.union_all([*pieces, *grown])) if grown else MultiPolygon(pieces)


def _message(one: Zone, tolerance: Tolerance, result: Outcome) -> str:
    """Return in one sentence how exact a zone is."""
    if result.stopped:
        return (
            f"stopped at the ceiling of {result.stopped}: the region is proven but reaches up to "
            f"{result.metres:.3g} m past what was asked for; raise the ceiling or the tolerance"
        )
    if one.region.is_empty:
        return "proven: nowhere"
    asked = [f"{tolerance.percent:g} % of the threshold"] if tolerance.percent else []
    asked += [f"{tolerance.metres:g} m"] if tolerance.metres else []
    message = f"proven; the edge is exact to {' or '.join(asked)}"
    if one.undecided.area:
        message += f", but {one.undecided.area:.2g} m² could not be decided and count as inside"
    return message


def pieces_of(site: Site, zone: Zone) -> tuple[Piece, ...]:
    """Return the connected pieces of a zone, largest first, with the radiators that cause them.

    Parameters
    ----------
    site : Site
        The site.
    """
    shapes: list[tuple[Polygon, Floor | None]] = [
        (shape, part.floor) for part in zone.parts for shape in part.region.geoms
    ]
    if not zone.parts:
        shapes = [(shape, None) for shape in zone.region.geoms]
    shapes.sort(key=lambda s: -s[0].area)
    return tuple(Piece(s, _causes(site, zone, s, floor), floor) for s, floor in shapes)


def _causes(site: Site, zone: Zone, shape: Polygon, floor: Floor | None) -> tuple[Cause, ...]:
    """Return the radiators with a part in the totals at places spread over a piece."""
    ring = shape.exterior
    places = [shape.representative_point()]
    places += [ring.interpolate(t, normalized=True) for t in np.linspace(0.0, 1.0, _CAUSE_PLACES)]
    uv: Floats = shapely.get_coordinates(places)
    points = zone.view.to_site(site, uv[:, 0], uv[:, 1])
    if floor is not None and isinstance(zone.view, PlanView):
        points[:, 2] = floor.height + zone.view.height.metres
    exposed = exposure(site, points, zone.view.body)
    one = exposed.of(zone.tier)
    share = (one.shares / np.maximum(one.total, 1e-300)).max(axis=1, initial=0.0)
    causes = [
        Cause(source.name, float(part))
        for source, part in zip(exposed.sources, share, strict=True)
        if part >= CAUSE_SHARE
    ]
    raised = float((one.raised / np.maximum(one.total, 1e-300)).max(initial=0.0))
    if raised >= CAUSE_SHARE:
        causes.append(Cause("readings of a survey", raised))
    return tuple(sorted(causes, key=lambda c: -c.share))


@dataclass(frozen=True, slots=True)
class Approach:
    """How near a zone comes to an access point or a ladder; ``distance`` is 0 inside it."""

    name: str
    kind: str
    distance: float
    inside: bool


def approaches(site: Site, zone: Zone) -> tuple[Approach, ...]:
    """Return the closest approach of a zone to every access point and ladder, as seen in its view.

    A ladder counts with all of its points. With an empty zone every distance is infinite.

    Parameters
    ----------
    site : Site
        The site.
    """
    marks = [
        (p.name, p.kind, shapely.Point(*_seen(zone, [p.position])[0])) for p in site.access_points
    ]
    for ladder in site.ladders:
        line = _seen(zone, list(ladder.points))
        marks.append((ladder.name, "ladder", shapely.LineString(line)))
    near = []
    for name, kind, shape in marks:
        distance = math.inf if zone.region.is_empty else float(zone.region.distance(shape))
        near.append(Approach(name, kind, distance, distance == 0.0))
    return tuple(near)


def _seen(zone: Zone, points: list[tuple[float, float, float]]) -> list[tuple[float, float]]:
    return [(float(u), float(v)) for u, v in zone.view.to_view(np.array(points, dtype=np.float64))]
