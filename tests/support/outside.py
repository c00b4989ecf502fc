"""Places outside of proven zones, on every floor of a site and far past its frame, held against readings."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
import shapely
from numpy.typing import NDArray

from core.exposure.totals import exposure
from core.limits.tier import Tier
from core.site.site import Site
from core.site.terraces import Floor, floors, undrawn
from core.views.body import POINT
from core.views.defaults import site_extent
from core.zones.zone import Zone

Places = NDArray[np.float64]
FARTHEST = 10.0
"""Times the frame: how far away places are thrown."""
_CHUNK = 20_000


@dataclass
class Thrown:
    """How many places were tried, the largest total found outside the zone over its threshold, and where."""

    count: int = 0
    worst: float = 0.0
    place: tuple[float, float, float] = (np.nan, np.nan, np.nan)
    over: int = 0
    named: list[str] = field(default_factory=list)


def places(site: Site, floor: Floor, count: int, rng: np.random.Generator) -> Places:
    """Return places (n, 2) on a floor: half spread over ten frames, half near the antennas."""
    west, south, east, north = site_extent(site)
    middle = np.array([(west + east) / 2, (south + north) / 2])
    half = 0.5 * max(east - west, north - south)
    spread = rng.uniform(-FARTHEST * half, FARTHEST * half, (count, 2)) + middle
    away = half * 10.0 ** rng.uniform(-2.0, 1.0, count)
    turn = rng.uniform(0.0, 2.0 * np.pi, count)
    centres = np.array([a.position[:2] for a in site.antennas])[
        rng.integers(len(site.antennas), size=count)
    ]
    near = centres + away[:, None] * np.stack([np.cos(turn), np.sin(turn)], axis=1)
    x0, y0, x1, y1 = floor.shape.bounds
    own = rng.uniform((x0, y0), (x1, y1), (count, 2)) if floor.is_drawn else spread
    xy = np.concatenate([spread, near, own])
    shapely.prepare(floor.shape)
    xy = xy[shapely.intersects_xy(floor.shape, xy[:, 0], xy[:, 1])]
    return xy[rng.permutation(len(xy))[:count]]


def throw(site: Site, zone: Zone, tier: Tier, threshold: float, count: int, seed: int) -> Thrown:
    """Read bodies at heights to the centimetre at places that are not in the zone of their floor."""
    rng = np.random.default_rng(seed)
    out = Thrown()
    far = 20.0 * max(abs(c) for c in site_extent(site)) + 1000.0
    every = (*floors(site), undrawn(site, (-far, -far, far, far)))
    parts = {(p.floor.height, p.floor.names): p.region for p in zone.parts}
    for floor in every:
        region = parts.get((floor.height, floor.names), shapely.MultiPolygon())
        shapely.prepare(region)
        xy = places(site, floor, count // len(every), rng)
        xy = xy[~shapely.intersects_xy(region, xy[:, 0], xy[:, 1])]
        up = np.round(rng.uniform(0.0, 2.0, len(xy)), 2)
        points = np.column_stack([xy, floor.height + up])
        for start in range(0, len(points), _CHUNK):
            some = points[start : start + _CHUNK]
            one = exposure(site, some, POINT)
            ratio = np.where(one.reactive, np.inf, one.of(tier).total / threshold)
            out.count += len(some)
            out.over += int((ratio > 1.0).sum())
            if len(ratio) and ratio.max() > out.worst:
                i = int(np.argmax(ratio))
                out.worst, out.place = float(ratio[i]), tuple(float(c) for c in some[i])
                out.named = [floor.words]
    return out
