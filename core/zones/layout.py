"""What is searched for a view: a plane in layers, or cubes over floors, and where each counts."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
import shapely

from core.arrays import Floats
from core.exposure.sources import sources, whole_column
from core.geometry import bearing
from core.proof.assess import Plane
from core.proof.domains import Domain
from core.proof.lattice import OUTWARD
from core.proof.search import ACROSS
from core.site.site import Site
from core.site.terraces import Floor, floors, undrawn
from core.views.views import ElevationView, PlanView, View


@dataclass(frozen=True, slots=True)
class Layout:
    """What is to be searched for a view: a plane in layers, the box, and where each layer counts."""

    plane: Plane
    box: tuple[Floats, Floats]
    domains: tuple[Domain, ...]
    floors: tuple[Floor, ...] = ()


def with_whole_column(site: Site, view: View) -> View:
    """Return the view with heights of a mean fine enough for every beam that can cross it; a peak has them all.

    Parameters
    ----------
    site : Site
        The site.
    """
    if not view.body.average:
        return view
    if isinstance(view, ElevationView):
        low, high = view.up
    elif view.height.above_surface:
        tops = [0.0, *(floor.height for floor in floors(site))]
        low, high = min(tops) + view.height.metres, max(tops) + view.height.metres
    else:
        low = high = view.height.metres
    return replace(view, body=whole_column(sources(site), view.body, low, high))


def layout_of(site: Site, view: View) -> Layout:
    """Return what is to be searched for a view.

    Parameters
    ----------
    site : Site
        The site.
    view : PlanView or ElevationView
        What is looked at.
    """
    heights = np.array(sorted(view.body.heights))
    rises = heights if view.body.average else np.zeros(1)
    if isinstance(view, ElevationView):
        east, north = bearing(view.azimuth)
        directions = np.array([[east, north, 0.0], [0.0, 0.0, 1.0]])
        u0, v0, u1, v1 = view.bounds
        # The zone of a point is lowered to that of a column afterwards, so it is needed a little beyond: a body is
        # over the threshold where a point at one of its heights is.
        spare = np.zeros(1) if view.body.average else heights
        low = np.array([u0, v0 + min(0.0, float(spare.min()))])
        high = np.array([u1, v1 + max(0.0, float(spare.max()))])
        box = _on_ground(site, low, high)
        plane = Plane(np.array([*view.origin, 0.0]), directions, np.zeros(1), rises)
        return Layout(plane, box, (Domain((0,)),))
    column = 0.0 if view.body.average else float(heights.max() - heights.min())
    pieces: list[tuple[float, shapely.Geometry | None]] = [(0.0, None)]
    walked: tuple[Floor, ...] = ()
    if view.height.above_surface:
        walked = _walked(site, view)
        # An edge belongs to both sides; a hair more than that costs nothing.
        pieces = [(f.height, f.shape.buffer(OUTWARD, join_style="mitre")) for f in walked]
    layers: list[float] = []
    domains: list[Domain] = []
    for height, shape in pieces:
        if shape is not None:
            shapely.prepare(shape)
        domains.append(Domain((len(layers),), shape))
        foot = 0.0 if view.body.average else float(heights.min())
        layers.append(height + view.height.metres + foot)
    count = 3 if column else 2
    plane = Plane(np.zeros(3), np.eye(3)[:count], np.array(layers), rises, column)
    west, south, east_end, north_end = view.region
    low, high = np.array([west, south, 0.0]), np.array([east_end, north_end, column])
    box = low[:count], high[:count]
    return Layout(plane, box, tuple(domains), walked)


def _on_ground(site: Site, low: Floats, high: Floats) -> tuple[Floats, Floats]:
    """Return a box in which no cell lies across the ground that is part of an antenna's model.

    Its field has a corner there, which no cell across it gets rid of.
    """
    grounds = [a.position[2] for a in site.antennas if a.kind.has_own_ground]
    level = grounds[0] if grounds else low[1]
    if not low[1] < level < high[1]:
        return low, high
    below = max(1, round(ACROSS * (level - low[1]) / float((high - low).max())))
    side = max(
        float((high - low).max()) / ACROSS,
        (level - low[1]) / below,
        (high[1] - level) / max(ACROSS - below, 1),
    )
    return (
        np.array([low[0], level - below * side]),
        np.array([low[0] + ACROSS * side, high[1]]),
    )


def _walked(site: Site, view: PlanView) -> tuple[Floor, ...]:
    """Return the floors of a plan, what nobody drew last."""
    frame = shapely.box(*view.region)
    all_floors = (*floors(site), undrawn(site, view.region))
    return tuple(f for f in all_floors if f.shape.intersects(frame))
