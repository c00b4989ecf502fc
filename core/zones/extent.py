"""How far a zone can go: the piece of a plan or a vertical plane outside of which nothing is over a threshold.

The frame of a picture is no edge of a zone. What is searched follows from what the site can exceed, by the bounds of
all its emitters at any distance.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
import shapely
from shapely import MultiPolygon

from core.arrays import Floats
from core.geometry import bearing
from core.limits.tier import Tier
from core.proof.assess import Plane
from core.proof.enclosure import Enclosure, enclosure
from core.proof.kept import Guard
from core.proof.reach import reach
from core.shapes import only_areas
from core.site.places import FARTHEST
from core.site.site import Site
from core.site.terraces import Floor, floors, undrawn, walking_surfaces
from core.views.body import POINT
from core.views.views import ElevationView, View

Box = tuple[float, float, float, float]

PLAN_SIDES = ("west", "south", "east", "north")
_STEP, _MOST_STEPS = 4.0, 16
"""m between the heights at which ground that nobody drew is looked at, and how many at most."""
_OVER = 2.0
"""m over the highest antenna up to which unknown ground may lie."""


@dataclass(frozen=True, slots=True)
class Extent:
    """What has to be searched: a view that holds the zone, and the sides on which it does not.

    ``open_sides`` are words: the zone may go on there.
    """

    view: View
    open_sides: tuple[str, ...]


def whole_view(
    site: Site, threshold: float, tier: Tier, view: View, guards: list[Guard] | None = None
) -> Extent:
    """Return a view made so large that it holds all of the zone and the view itself.

    Parameters
    ----------
    site : Site
        The site.
    threshold : float
        Fraction of the limit.
    tier : {"public", "occupational"}
        Whose limit.
    view : PlanView or ElevationView
        What is looked at.
    guards : list, optional
        Takes the cells beyond it that were found to be under the threshold.

    Raises
    ------
    InputError
        If powers are inconsistent.
    """
    found = _beyond(site, threshold, tier, view, guards)
    if not len(found):
        return Extent(view, ())
    low, high = found[:, :2].min(axis=0), found[:, 2:].max(axis=0)
    u0, v0, u1, v1 = view.bounds
    far = [-FARTHEST, -FARTHEST, FARTHEST, FARTHEST]
    wide = [min(u0, low[0]), min(v0, low[1]), max(u1, high[0]), max(v1, high[1])]
    box = [float(np.clip(x, -FARTHEST, FARTHEST)) for x in wide]
    reached = [abs(a) >= abs(b) for a, b in zip(wide, far, strict=True)]
    ends = [side for side, there in zip(sides(view), reached, strict=True) if there]
    return Extent(_framed(view, (box[0], box[1], box[2], box[3])), tuple(ends))


def open_sides(site: Site, threshold: float, tier: Tier, view: View) -> tuple[str, ...]:
    """Return the sides of a view, in words, beyond which the threshold may be exceeded.

    Parameters
    ----------
    site : Site
        The site.
    threshold : float
        Fraction of the limit.
    tier : {"public", "occupational"}
        Whose limit.
    view : PlanView or ElevationView
        What is looked at.
    """
    found = _beyond(site, threshold, tier, view)
    bounds = np.array(view.bounds)
    if not len(found):
        return ()
    low, high = found[:, :2] < bounds[:2] - 1e-6, found[:, 2:] > bounds[2:] + 1e-6
    past: list[bool] = np.any(np.concatenate([low, high], axis=1), axis=0).tolist()
    return tuple(side for side, beyond in zip(sides(view), past, strict=True) if beyond)


def unknown_ground(
    site: Site,
    threshold: float,
    tier: Tier,
    guards: list[Guard] | None = None,
    within_reach: list[Guard] | None = None,
) -> MultiPolygon:
    """Return where no surface is drawn and a body could be over the threshold at some height.

    Heights are those from the lowest surface (or the datum) to a little over the highest antenna: nobody knows where
    the ground, or the neighbour's roof, is.

    Parameters
    ----------
    site : Site
        The site.
    threshold : float
        Fraction of the limit.
    tier : {"public", "occupational"}
        Whose limit.
    guards, within_reach : list, optional
        Take the cells under the threshold and those over it.
    """
    if not site.antennas:
        return MultiPolygon()
    low = min([0.0, *(s.height for s in site.surfaces)])
    high = max([low, *(a.position[2] for a in site.antennas)]) + _OVER
    count = int(np.clip(np.ceil((high - low) / _STEP), 1, _MOST_STEPS))
    step = (high - low) / count
    layers = np.asarray(low + (np.arange(count) + 0.5) * step, dtype=np.float64)
    plane = Plane(np.zeros(3), np.eye(3)[:2], layers, np.array([-0.5 * step, 0.5 * step]))
    drawn = walking_surfaces(site)
    boxes = reach(
        _enclosed(site, tier), plane, _everywhere(), threshold, drawn,
        guards=guards, within_reach=within_reach,
    )  # fmt: skip
    if not len(boxes):
        return MultiPolygon()
    # Many layers have the same cells, and a union of a hundred thousand squares takes minutes.
    cells = shapely.union_all(shapely.box(*np.unique(boxes, axis=0).T))
    return only_areas(cells.difference(drawn))


def sides_of(shape: shapely.Geometry, middle: tuple[float, float]) -> tuple[str, ...]:
    """Return on which sides of a place parts of a plan lie, in words.

    Parameters
    ----------
    shape : geometry
        Parts of the plan.
    middle : (x, y)
        Where one stands, m.
    """
    if shape.is_empty:
        return ()
    return tuple(
        side for side, quarter in _quarters(middle) if shape.intersection(quarter).area > 0.0
    )


def sides_of_boxes(boxes: Floats, middle: tuple[float, float]) -> tuple[str, ...]:
    """Return on which sides of a place boxes (n, 4) of a plan lie, in words.

    Parameters
    ----------
    boxes : array
        Least x and y, largest x and y, m.
    middle : (x, y)
        Where one stands, m.
    """
    squares = shapely.box(*np.unique(boxes, axis=0).T)
    return tuple(
        side for side, quarter in _quarters(middle) if shapely.intersects(quarter, squares).any()
    )


def _quarters(middle: tuple[float, float]) -> list[tuple[str, shapely.Polygon]]:
    x, y = middle
    far = 2.0 * FARTHEST
    quarters = {
        "west": [(x, y), (x - far, y - far), (x - far, y + far)],
        "south": [(x, y), (x - far, y - far), (x + far, y - far)],
        "east": [(x, y), (x + far, y - far), (x + far, y + far)],
        "north": [(x, y), (x - far, y + far), (x + far, y + far)],
    }
    return [(side, shapely.Polygon(corners)) for side, corners in quarters.items()]


def sides(view: View) -> tuple[str, str, str, str]:
    """Return what the sides of a view are called: least u and v, largest u and v."""
    if isinstance(view, ElevationView):
        back = (view.azimuth + 180.0) % 360.0
        return f"towards {back:g}°", "below", f"towards {view.azimuth % 360.0:g}°", "above"
    return "west", "south", "east", "north"


def sides_past(shape: MultiPolygon, view: View) -> tuple[str, ...]:
    """Return the sides, in words, on which a shape reaches out of a view's frame.

    Parameters
    ----------
    shape : MultiPolygon
        In view coordinates, m.
    view : PlanView or ElevationView
        What is drawn.
    """
    if shape.is_empty:
        return ()
    frame, bounds = view.bounds, shape.bounds
    past = [a < b - 1e-6 for a, b in zip(bounds[:2], frame[:2], strict=True)]
    past += [a > b + 1e-6 for a, b in zip(bounds[2:], frame[2:], strict=True)]
    return tuple(side for side, beyond in zip(sides(view), past, strict=True) if beyond)


def _beyond(
    site: Site, threshold: float, tier: Tier, view: View, guards: list[Guard] | None = None
) -> Floats:
    """Return boxes (n, 4) that hold all of the zone outside of a view."""
    enclosed = _enclosed(site, tier)
    frame = shapely.box(*view.bounds)
    heights = np.array(view.body.heights)
    rises = np.array([heights.min(), heights.max()])
    if isinstance(view, ElevationView):
        east, north = bearing(view.azimuth)
        directions = np.array([[east, north, 0.0], [0.0, 0.0, 1.0]])
        plane = Plane(np.array([*view.origin, 0.0]), directions, np.zeros(1), rises)
        low, high = _everywhere()
        if any(s.kind == "ground" for s in site.surfaces):
            # Below the ground nobody stands.
            low = np.array([low[0], min(view.up[0], 0.0)])
        return reach(enclosed, plane, (low, high), threshold, frame, box_only=True, guards=guards)
    if not view.height.above_surface:
        plane = Plane(np.zeros(3), np.eye(3)[:2], np.array([view.height.metres]), rises)
        return reach(enclosed, plane, _everywhere(), threshold, frame, box_only=True, guards=guards)
    found: list[Floats] = [np.zeros((0, 4))]
    for floor in (*floors(site), _around(site)):
        if shapely.covers(frame, floor.shape):
            continue
        layer = np.array([floor.height + view.height.metres])
        plane = Plane(np.zeros(3), np.eye(3)[:2], layer, rises)
        one = reach(
            enclosed, plane, _everywhere(), threshold, frame,
            among=floor.shape, box_only=True, guards=guards,
        )  # fmt: skip
        found.append(one)
    return np.concatenate(found)


def _around(site: Site) -> Floor:
    return undrawn(site, (-FARTHEST, -FARTHEST, FARTHEST, FARTHEST))


def _enclosed(site: Site, tier: Tier) -> Enclosure:
    return enclosure(site, tier, POINT)


def _everywhere() -> tuple[Floats, Floats]:
    return np.full(2, -FARTHEST), np.full(2, FARTHEST)


def _framed(view: View, box: Box) -> View:
    if isinstance(view, ElevationView):
        return replace(view, along=(box[0], box[2]), up=(box[1], box[3]))
    return replace(view, region=box)
