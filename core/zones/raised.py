"""Zones about readings of a survey that are above their prediction, proven with the same search.

Within reach of a raise the total counts as P + max(δ, (k - 1) P) (:mod:`core.exposure.surveyed`), which exceeds a
threshold T exactly where P exceeds T' = min(T - δ, T / k). So the raised zone is the zone over T together with the zone
over T' as far as the raise reaches; where T' is not over 0 all of its reach lies inside. Raises of nearly the same T'
are searched together over the lowest of them, which can only make the zone larger.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely
from shapely import MultiPolygon, affinity

from core.exposure.surveyed import Raise, raises, vertical_gap
from core.geometry import bearing
from core.limits.tier import Tier
from core.progress import Asked, Progress, part_of
from core.proof.tolerance import Ceiling, Tolerance
from core.shapes import only_areas
from core.site.places import Ladder
from core.site.site import Site
from core.views.body import Body
from core.views.views import ElevationView, View
from core.zones.zone import Part, Zone, zone

MOST_LEVELS = 4
"""Lowered thresholds that are searched one by one; more are rounded down to steps of half a factor of two."""
_LEAST = 1e-5
"""Of the threshold: under this part the whole reach counts as inside."""
_CORNERS = 64


@dataclass(frozen=True, slots=True)
class Level:
    """Raises that lower a threshold to the same value; 0 where everything in their reach is inside."""

    threshold: float
    raises: tuple[Raise, ...]


def levels(all_raises: Sequence[Raise], threshold: float, tier: Tier) -> tuple[Level, ...]:
    """Return the thresholds that raises lower one to, with theirs, lowest first.

    Parameters
    ----------
    all_raises : sequence of Raise
        Those of the site.
    threshold : float
        Fraction of the limit.
    tier : {"public", "occupational"}
        Whose limit.
    """
    exact = {id(r): max(r.lowered(threshold, tier), 0.0) for r in all_raises}
    if len({v for v in exact.values() if v > 0.0}) > MOST_LEVELS:
        exact = {key: _down(value, threshold) for key, value in exact.items()}
    groups: dict[float, list[Raise]] = {}
    for one in all_raises:
        value = exact[id(one)]
        groups.setdefault(value if value > _LEAST * threshold else 0.0, []).append(one)
    return tuple(Level(value, tuple(members)) for value, members in sorted(groups.items()))


def _down(value: float, threshold: float) -> float:
    if value <= 0.0:
        return 0.0
    return float(threshold * 2.0 ** (math.floor(2.0 * math.log2(value / threshold)) / 2.0))


def reach_on(view: View, one: Raise, foot: float = 0.0) -> MultiPolygon:
    """Return the places of a view whose bodies a raise applies to; a little more, never less.

    Parameters
    ----------
    one : Raise
        The raise.
    foot : float
        On a plan: where the bodies begin there, m above the site datum.
    """
    x, y, z = one.place
    if isinstance(view, ElevationView):
        u, v = (float(c) for c in view.to_view(np.array([one.place]))[0])
        east, north = bearing(view.azimuth)
        off = abs((x - view.origin[0]) * north - (y - view.origin[1]) * east)
        disc = _disc(u, v, one.radius, off)
        low, high = min(view.body.heights), max(view.body.heights)
        moved = [affinity.translate(disc, yoff=-h) for h in (low, high)]
        return only_areas(shapely.union_all(moved).convex_hull)
    return _disc(x, y, one.radius, float(vertical_gap(z, np.array([foot]), view.body)[0]))


def _disc(u: float, v: float, radius: float, apart: float) -> MultiPolygon:
    """Return what a ball cuts out of a plane so far from its middle, as a polygon around it."""
    if apart >= radius:
        return MultiPolygon()
    r = math.sqrt(radius**2 - apart**2) / math.cos(math.pi / _CORNERS)
    turn = np.arange(_CORNERS) * (2.0 * math.pi / _CORNERS)
    ring = np.stack([u + r * np.cos(turn), v + r * np.sin(turn)], axis=1)
    return MultiPolygon([shapely.Polygon(ring)])


def holding(site: Site, view: View) -> View:
    """Return a view made so large that it holds the reach of every raise.

    Parameters
    ----------
    site : Site
        The site.
    view : PlanView or ElevationView
        What is looked at.
    """
    return _framing(view, raises(site), view.bounds)


def _framing(
    view: View, members: Sequence[Raise], start: tuple[float, float, float, float] | None = None
) -> View:
    """Return the view about the reach of raises, whatever the height, and about the bounds it starts from."""
    boxes = [start] if start is not None else []
    spare = max(abs(h) for h in view.body.heights) + 0.1
    for one in members:
        u, v = (float(c) for c in view.to_view(np.array([one.place]))[0])
        r = one.radius * 1.01 + spare
        boxes.append((u - r, v - r, u + r, v + r))
    table = np.array(boxes)
    u0, v0 = (float(c) for c in table[:, :2].min(axis=0))
    u1, v1 = (float(c) for c in table[:, 2:].max(axis=0))
    if isinstance(view, ElevationView):
        return replace(view, along=(u0, u1), up=(v0, v1))
    return replace(view, region=(u0, v0, u1, v1))


def with_raises(
    site: Site,
    one: Zone,
    tolerance: Tolerance | None = None,
    *,
    whole: bool = False,
    progress: Progress | None = None,
    cancelled: Asked | None = None,
    ceiling: Ceiling | None = None,
) -> tuple[Zone, MultiPolygon]:
    """Return a zone with what raises add to it, and what they add beyond its view.

    Parameters
    ----------
    site : Site
        The site.
    one : Zone
        The zone of the models.
    whole : bool
        All of their reach belongs to it, as to where a garment is not enough: what raised it is in none of its bands.
    tolerance, progress, cancelled, ceiling
        As :func:`core.zones.zone.zone`.

    Raises
    ------
    InputError, core.progress.Cancelled
        As :func:`core.zones.zone.zone`.
    """
    all_raises = raises(site)
    found = levels(all_raises, one.threshold, one.tier)
    if whole:
        found = (Level(0.0, all_raises),)
    frame = shapely.box(*one.view.bounds)
    extra: dict[tuple[object, ...], list[shapely.Geometry]] = {}
    doubtful: list[shapely.Geometry] = [one.undecided]
    for i, level in enumerate(found):
        part = None
        if level.threshold > 0.0:
            part = zone(
                site, level.threshold, one.tier, _framing(one.view, level.raises), tolerance,
                progress=part_of(progress, i, len(found)), cancelled=cancelled, ceiling=ceiling,
            )  # fmt: skip
            one = replace(
                one,
                evaluations=one.evaluations + part.evaluations,
                seconds=one.seconds + part.seconds,
                complete=one.complete and part.complete,
                metres=max(one.metres, part.metres),
                message=one.message if part.complete else part.message,
            )
            doubtful.append(part.undecided)
        for key, foot in _floors_of(one):
            reach = shapely.union_all([reach_on(one.view, r, foot) for r in level.raises])
            extra.setdefault(key, []).append(_of_floor(part, key).intersection(reach))
    added = {key: only_areas(shapely.union_all(shapes)) for key, shapes in extra.items()}
    inside = {key: only_areas(shape.intersection(frame)) for key, shape in added.items()}
    beyond = only_areas(shapely.union_all(list(added.values())).difference(frame))
    parts = tuple(
        Part(p.floor, only_areas(p.region.union(inside[_key(p)].intersection(p.floor.shape))))
        for p in one.parts
    )
    shapes = [p.region for p in parts] or [one.region, *inside.values()]
    region = only_areas(shapely.union_all(shapes))
    more = region.area - one.region.area
    message = one.message
    if more > 0.0 and one.complete:
        message = f"{'proven' if one.region.is_empty else message}; {more:.3g} m² of it about readings of a survey"
    undecided = only_areas(shapely.union_all(doubtful).intersection(region))
    return replace(one, region=region, parts=parts, message=message, undecided=undecided), beyond


def _key(part: Part) -> tuple[object, ...]:
    return part.floor.height, part.floor.names


def _floors_of(one: Zone) -> list[tuple[tuple[object, ...], float]]:
    """Return the walking heights of a zone: a key for each, and where bodies begin there, m."""
    if isinstance(one.view, ElevationView):
        return [((), 0.0)]
    rise = one.view.height.metres
    if one.parts:
        return [(_key(p), p.floor.height + rise) for p in one.parts]
    return [((), rise)]


def _of_floor(part: Zone | None, key: tuple[object, ...]) -> shapely.Geometry:
    """Return the part of a zone on one walking height; everything where nothing had to be searched."""
    if part is None:
        return shapely.box(-1e7, -1e7, 1e7, 1e7)
    if not part.parts:
        return part.region
    return next((p.region for p in part.parts if _key(p) == key), MultiPolygon())


def stretches(one: Raise, ladder: Ladder, body: Body) -> list[tuple[float, float]]:
    """Return the spans of metres along a ladder in which a raise can apply to a climber; a little more, never less.

    Parameters
    ----------
    one : Raise
        The raise.
    ladder : Ladder
        The ladder.
    body : Body
        The column of heights that is exposed.
    """
    points = np.array(ladder.points, dtype=np.float64)
    reach = one.radius + max(abs(h) for h in body.heights)
    passed, out = 0.0, []
    for a, b in itertools.pairwise(points):
        length = float(np.linalg.norm(b - a))
        if length == 0.0:
            continue
        way = (b - a) / length
        middle = float((np.array(one.place) - a) @ way)
        square = reach**2 - float(np.sum((np.array(one.place) - a - middle * way) ** 2))
        if square > 0.0:
            half = math.sqrt(square)
            low, high = max(middle - half, 0.0), min(middle + half, length)
            if low < high:
                out.append((passed + low, passed + high))
        passed += length
    return out
