"""Whether fences hold: places on the same floors outside all of them, read densely."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely

from core.exposure.totals import exposure
from core.limits.tier import Tier
from core.site.places import Fence
from core.site.site import Site
from core.views.body import POINT
from core.zones.zone import Zone


def over_outside(
    site: Site,
    zone: Zone,
    fences: Sequence[Fence],
    tier: Tier,
    threshold: float,
    count: int,
    seed: int,
) -> list[tuple[float, float, float]]:
    """Return places over a threshold on a floor, outside of all fences: within and just beyond the zone's box.

    Where the zone has a part, places lie in its box grown by three metres; edges that nobody steps over are no help to
    somebody who stands on the floor itself.
    """
    rng = np.random.default_rng(seed)
    inside = shapely.union_all(
        [shapely.make_valid(shapely.Polygon(f.outline)) for f in fences if f.outline]
    )
    shapely.prepare(inside)
    found: list[tuple[float, float, float]] = []
    for part in zone.parts:
        if part.region.is_empty:
            continue
        x0, y0, x1, y1 = part.region.bounds
        xy = rng.uniform((x0 - 3, y0 - 3), (x1 + 3, y1 + 3), (count, 2))
        shapely.prepare(part.floor.shape)
        keep = shapely.intersects_xy(part.floor.shape, *xy.T) & ~shapely.intersects_xy(
            inside, *xy.T
        )
        xy = xy[keep]
        if not len(xy):
            continue
        points = np.column_stack([xy, part.floor.height + rng.uniform(0.0, 2.0, len(xy))])
        one = exposure(site, points, POINT)
        over = one.reactive | (one.of(tier).total > threshold)
        found += [tuple(float(c) for c in p) for p in points[over]]
    return found[:3]
