"""Fences where they meet edges and walls: nobody stands beyond an edge, no chain goes through a wall.

An outline that is settled on its surface keeps its promise: it holds its zone with its margin. So it may

* end at the edge of the surface;
* go round the far side of a solid structure it would cut, or along the near side where the zone stays a
  margin away from the structure, whichever changes the area less;
* end at a wall where nothing of the zone is behind it and the zone stays a margin away;
* step out to an edge or a wall that is nearer than the snap distance.

What would break the promise is left undone.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import shapely
from shapely import LineString, MultiPolygon, Polygon

from core.shapes import only_areas
from core.site.site import Site

SNAP = 0.5
"""m: a fence nearer than this to an edge or a wall goes to it."""
LOW, CHAIN = 0.4, 1.0
"""m above the surface: what is lower is stepped over; what begins above the chain is walked under."""
_HALF = 2e-4
"""m: half the thickness given to a wall drawn as a line."""
_EDGE = 1e-3
_LOST = 2e-4
"""m of margin that joining and simplifying shapes may cost."""


@dataclass(frozen=True, slots=True)
class Walls:
    """What no chain passes at one walking height: ``solids`` have an inside, ``lines`` have none."""

    solids: tuple[Polygon, ...] = ()
    lines: tuple[LineString, ...] = ()


def walls_at(site: Site, height: float, surface: shapely.Geometry | None = None) -> Walls:
    """Return what stands in a crew's way on a walking surface at ``height`` m above the datum.

    A structure that takes up most of a piece of the surface is a room or a tower people are in: it is
    no wall.

    Parameters
    ----------
    site : Site
        The site.
    """
    pieces = shapely.get_parts(surface) if surface is not None else ()
    solids: list[Polygon] = []
    lines = []
    for structure in site.structures:
        if structure.base > height + CHAIN or structure.top < height + LOW:
            continue
        if structure.kind in structure.LINES:
            line = LineString(structure.outline)
            if line.length > _EDGE:
                lines.append(line)
            continue
        for part in only_areas(shapely.make_valid(Polygon(structure.outline))).geoms:
            if not any(part.intersection(p).area > 0.5 * p.area for p in pieces):
                solids.append(part)
    return Walls(tuple(only_areas(shapely.union_all(solids)).geoms), tuple(lines))


def settle(
    outlines: Sequence[Polygon],
    region: MultiPolygon,
    *,
    margin: float,
    surface: shapely.Geometry | None = None,
    walls: Walls | None = None,
    snap: float = SNAP,
) -> tuple[Polygon, ...]:
    """Return outlines that hold a zone with ``margin`` m, as a crew can put them up on their surface.

    One outline becomes several where edges and walls part it, and several become one where they meet. A
    line steps out by at most twice ``snap`` m, at corners, to follow an edge or a wall.

    Parameters
    ----------
    region : MultiPolygon
        The zone.
    """
    walls = walls or Walls()
    everything = [*outlines, *walls.solids, *walls.lines]
    frame = surface
    if frame is None:
        frame = shapely.envelope(shapely.union_all(everything)).buffer(10.0 + 4.0 * snap)
    shapely.prepare(frame)
    made: list[Polygon] = []
    for outline in outlines:
        own = only_areas(region.intersection(outline).intersection(frame))
        made += _settled(outline, own, margin, frame, walls, snap)
    if any(a.intersects(b) for i, a in enumerate(made) for b in made[i + 1 :]):
        return tuple(Polygon(p.exterior) for p in only_areas(shapely.union_all(made)).geoms)
    return tuple(made)


def margin_of(
    fence: Polygon, zone: shapely.Geometry, surface: shapely.Geometry | None = None
) -> float:
    """Return the least distance in m of a zone to a fence line; infinite where there is none of either.

    The edge of the surface needs no fence.
    """
    line: shapely.Geometry = fence.exterior
    if surface is not None:
        line = line.difference(surface.boundary.buffer(_EDGE)).intersection(surface)
    if zone.is_empty or line.is_empty:
        return float("inf")
    return float(zone.distance(line))


def _settled(
    outline: Polygon,
    own: MultiPolygon,
    margin: float,
    frame: shapely.Geometry,
    walls: Walls,
    snap: float,
) -> list[Polygon]:
    here = only_areas(outline.intersection(frame))
    if here.is_empty or own.is_empty:
        return [outline]
    around, blocked = _round_solids(here, own, margin, frame, walls.solids)
    solid = shapely.union_all(walls.solids)
    for line in walls.lines:
        # A wall that runs into a solid parts nothing inside of it.
        around, wall = _up_to_wall(around, own, margin, frame, line.difference(solid))
        blocked.append(wall)
    for whole, behind in ((around, blocked), (here, [])):
        made = _stepped_out(whole, own, frame, behind, snap)
        held = shapely.union_all(made).buffer(1e-6).contains(own)
        if held and all(margin_of(p, own, frame) >= margin - _LOST for p in made):
            return made
    return [outline]


def _holding(shape: shapely.Geometry, own: MultiPolygon) -> list[Polygon]:
    """Return the pieces of a shape with some of the zone in them."""
    return [p for p in only_areas(shape).geoms if p.intersection(own).area > 0.0]


def _clear(own: MultiPolygon, of: shapely.Geometry, margin: float) -> bool:
    """Return whether a zone is a margin away from a shape and does not overlap it."""
    return bool(own.intersection(of).area == 0.0 and own.distance(of) >= margin - 1e-9)


def _round_solids(
    here: MultiPolygon,
    own: MultiPolygon,
    margin: float,
    frame: shapely.Geometry,
    solids: Sequence[Polygon],
) -> tuple[MultiPolygon, list[shapely.Geometry]]:
    """Return a shape whose line cuts no solid, and the solids that are left outside.

    Going round a solid can make the shape cut another: tried until none is cut.
    """
    around = here
    outside: list[shapely.Geometry] = []
    waiting = [p for s in solids for p in only_areas(s.intersection(frame)).geoms]
    while True:
        cut = next((s for s in waiting if around.intersection(s).area > 1e-9), None)
        if cut is None:
            return around, outside + list(waiting)
        waiting.remove(cut)
        inside = around.intersection(cut)
        near = MultiPolygon(_holding(around.difference(cut), own))
        added = cut.area - inside.area
        lost = around.area - near.area
        if added > 1e-9 and lost <= added and _clear(own, inside, margin):
            around = near
            outside.append(cut)
        else:
            around = only_areas(shapely.union_all([around, cut]))


def _up_to_wall(
    around: MultiPolygon,
    own: MultiPolygon,
    margin: float,
    frame: shapely.Geometry,
    line: shapely.Geometry,
) -> tuple[MultiPolygon, shapely.Geometry]:
    """Return the shape without what lies behind a wall, and the part of the wall outside of it."""
    # A wall on the edge of the surface is that edge.
    wall = line.intersection(frame.buffer(-_EDGE)).buffer(_HALF, cap_style="flat")
    parts = only_areas(around.difference(wall)).geoms
    empty = [p for p in parts if p.intersection(own).area == 0.0]
    if empty and len(empty) < len(parts) and _clear(own, wall.intersection(around), margin):
        # Opened by a millimetre: no hair of the wall stays between two parts that went.
        left = around.difference(shapely.union_all(empty))
        around = only_areas(
            left.buffer(-_EDGE, join_style="mitre").buffer(_EDGE, join_style="mitre")
        )
    return around, wall.difference(around.buffer(1e-6))


def _stepped_out(
    around: MultiPolygon,
    own: MultiPolygon,
    frame: shapely.Geometry,
    blocked: Sequence[shapely.Geometry],
    snap: float,
) -> list[Polygon]:
    """Return the pieces with zone in them; a strip narrower than ``snap`` before an edge joins its piece."""
    walked = frame.difference(shapely.union_all(list(blocked)).buffer(0.0)) if blocked else frame
    rest = walked.difference(around)
    wide = rest.buffer(-snap / 2.0, join_style="mitre").buffer(snap / 2.0, join_style="mitre")
    near = around.buffer(snap, join_style="mitre", mitre_limit=2.0)
    strips = only_areas(rest.difference(wide.buffer(1e-6)).intersection(near))
    beside = [s for s in strips.geoms if s.area > 1e-4 and s.distance(around) < 1e-6]
    joined = shapely.union_all([around, *(s.buffer(2e-6) for s in beside)]).intersection(walked)
    made = []
    for piece in _holding(joined, own):
        filled = Polygon(piece.exterior)
        simple = filled.simplify(1e-4)
        made.append(simple if simple.buffer(1e-4).contains(piece) else filled)
    return made
