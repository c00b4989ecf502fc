"""What the drawings of a crew's sheet show: the plane through the work, the plan of the way, their proven zones."""

from __future__ import annotations

import math

import numpy as np

from app.draw.paper import Box, best_scale
from core.entry.entry import Entry, StopLine, work_box
from core.exposure.surveyed import raises
from core.geometry import bearing
from core.proof.tolerance import Ceiling, Tolerance
from core.views.body import CLIMBING, STANDING
from core.views.defaults import default_origin
from core.views.views import ON_SURFACE, ElevationView, PlanView, View
from core.zones.site_zones import SiteZones, site_zones
from core.zones.steps import STEPS, with_garment

_EDGE = 4.0
"""m shown about what has to be seen."""
_LEAST = 16.0
_LINE = 0.5e-3
"""m on paper: edges of zones are looked for no finer; outside of them is proven all the same."""
CEILING = Ceiling(seconds=120.0)


def zones_of(entry: Entry, view: View, scale: int) -> SiteZones:
    """Return the proven zones in a drawing at 1:``scale``, where the garment is not enough among them."""
    tolerance = Tolerance(percent=5.0, metres=max(0.05, _LINE * scale))
    worn, margin = entry.garment, entry.job.garment_margin
    steps = STEPS if worn is None else with_garment(worn, margin)
    return site_zones(entry.site, view, tolerance, steps=steps, within=True, ceiling=CEILING)


def worst_stop(entry: Entry) -> StopLine | None:
    """Return the stop with the highest percent of the occupational limit."""
    return max(entry.stops, key=lambda s: s.occupational, default=None)


def elevation_of(entry: Entry, box: Box) -> tuple[ElevationView, int]:
    """Return the vertical plane through the worst stop and what makes most of it, and N of its scale.

    Parameters
    ----------
    entry : Entry
        The planned entry.
    box : Box
        Where it is drawn, mm.
    """
    site = entry.site
    worst = worst_stop(entry)
    x, y = worst.place.position[:2] if worst is not None else default_origin(site)
    azimuth = _towards(entry, worst)
    places = [line.place.position for line in entry.stops] + [a.position for a in site.antennas]
    east, north = bearing(azimuth)
    heights = [p[2] for p in places]
    low = min([0.0, *heights]) - 1.0
    near = [
        (p[0] - x) * east + (p[1] - y) * north
        for p in places
        if math.hypot(p[0] - x, p[1] - y) <= _LEAST
    ]
    tops = [s.top for s in site.structures]
    high = max([low + _LEAST, *heights, *tops]) + _EDGE
    left, right = min([-_EDGE, *near]) - _EDGE, max([_EDGE, *near]) + _EDGE
    n = best_scale(right - left, high - low, box)
    width, height = box.width * n / 1000.0, box.height * n / 1000.0
    middle = (left + right) / 2.0
    along = middle - width / 2.0, middle + width / 2.0
    return ElevationView((x, y), azimuth, along, (low, low + height), CLIMBING), n


def _towards(entry: Entry, worst: StopLine | None) -> float:
    """Return the azimuth from a stop to the antenna that makes most of it, to whole degrees; else east."""
    if worst is None:
        return 90.0
    for antenna in entry.site.antennas:
        if worst.governed_by.startswith(f"{antenna.name}: "):
            dx = antenna.position[0] - worst.place.position[0]
            dy = antenna.position[1] - worst.place.position[1]
            if math.hypot(dx, dy) > 0.1:
                return float(round(math.degrees(math.atan2(dx, dy))) % 360)
    return 90.0


def plan_of(entry: Entry, box: Box) -> tuple[PlanView, int]:
    """Return the plan that holds the way, the work, the ways in, fences and raised places, and N of its scale.

    Parameters
    ----------
    entry : Entry
        The planned entry.
    box : Box
        Where it is drawn, mm.
    """
    site, job = entry.site, entry.job
    places = [line.place.position[:2] for line in entry.stops]
    places += [p.end[:2] for leg in (entry.way.legs if entry.way else ()) for p in leg.pieces]
    if job.work is not None:
        places += [tuple(corner[:2].tolist()) for corner in work_box(site, job.work)]
    places += [a.position[:2] for a in site.access_points]
    # A chain or a raised place that is cut off says less than none.
    places += [corner for fence in site.fences for corner in fence.outline]
    for one in raises(site):
        x, y, _ = one.comparison.reading.position
        places += [(x - one.radius, y - one.radius), (x + one.radius, y + one.radius)]
    table = np.array(places or [default_origin(site)], dtype=np.float64)
    low, high = table.min(axis=0) - _EDGE, table.max(axis=0) + _EDGE
    size = np.maximum(high - low, _LEAST)
    n = best_scale(float(size[0]), float(size[1]), box)
    middle = (low + high) / 2.0
    half = np.array([box.width, box.height]) * n / 2000.0
    west, south = (float(v) for v in middle - half)
    east, north = (float(v) for v in middle + half)
    return PlanView((west, south, east, north), ON_SURFACE, STANDING), n
