"""Percent of both limits along a ladder: a climber at one height after another, exact at each of them.

The fields for 1 W of every emitter are kept, so that states, powers and limit sets only weigh them anew.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from core.arrays import Bools, Floats
from core.exposure.fractions import tier_exposure
from core.exposure.raster import LayerCache
from core.exposure.sources import Fields, sources, whole_column
from core.exposure.surveyed import added, raises
from core.fields.unit_field import UnitField
from core.limits.sets import get_set
from core.limits.tier import TIERS, Tier
from core.progress import Cancelled
from core.site.places import Ladder
from core.site.site import Site
from core.views.body import CLIMBING, Body, column

STEP = 0.25
"""m along a ladder from one place to the next, at most."""
MOST = 2_000
"""Places of a profile at most; a ladder that is longer has wider steps."""


@dataclass(frozen=True, slots=True)
class Profile:
    """Exposure of a climber along a ladder, from its first point to its last.

    Attributes
    ----------
    ladder : str
    places : array, shape (n, 3)
        Where the climber hangs, m.
    public, occupational : array, shape (n,)
        Fractions of each limit.
    reactive : bool array, shape (n,)
        Some antenna gives no figure there.
    """

    ladder: str
    places: Floats
    public: Floats
    occupational: Floats
    reactive: Bools

    def of(self, tier: Tier) -> Floats:
        """Return the fractions of ``public`` or ``occupational``."""
        return self.public if tier == "public" else self.occupational

    def nearest(self, height: float) -> int:
        """Return the index of the place nearest to a height in m."""
        return int(np.argmin(np.abs(self.places[:, 2] - height)))


def profile(
    site: Site,
    ladder: Ladder,
    body: Body = CLIMBING,
    cache: LayerCache | None = None,
    *,
    cancelled: Callable[[], bool] | None = None,
) -> Profile:
    """Return the exposure along a ladder, in float64 as a reading at each place.

    Parameters
    ----------
    site : Site
        The site.
    ladder : Ladder
        One of its ladders.
    body : Body
        The column of heights that is exposed.
    cache : LayerCache or None
        Where the fields for 1 W are kept.
    cancelled : callable
        Asked between emitters; True stops with :class:`Cancelled`.

    Raises
    ------
    InputError
        If the site's powers or frequencies are inconsistent.
    """
    all_sources = sources(site)
    limit_set = get_set(site.limit_set)
    places = _places(ladder)
    heights = places[:, 2]
    body = whole_column(all_sources, body, float(heights.min()), float(heights.max()))
    points = column(places, body)
    shape = (len(all_sources), len(points))
    at = Fields(np.zeros(shape), np.zeros(shape), np.zeros(shape, bool), np.zeros(shape, np.int8))
    blocked = np.zeros(len(points), bool)
    for i, source in enumerate(all_sources):
        if source.power == 0.0:
            continue
        if cancelled is not None and cancelled():
            raise Cancelled
        key = (source.key, ladder.points, body.heights)
        unit: UnitField | None = None if cache is None else cache.get(key)
        if unit is None:
            unit = source.unit_field(points)
            if cache is not None:
                cache.put(key, unit)
        scale = source.power * source.reflection.power_factor
        at.e2[i], at.h2[i] = unit.e2 * scale, unit.h2 * scale
        at.reactive[i], at.model[i] = unit.reactive, unit.model
        if source.is_blocked(limit_set.key):
            blocked |= unit.reactive
    all_raises = raises(site)
    totals: list[Floats] = []
    for tier in TIERS:
        total = tier_exposure(all_sources, at, limit_set, tier, body).total
        totals.append(total + added(all_raises, places, body, total, tier))
    public, occupational = totals
    reactive = np.asarray(blocked.reshape(len(places), -1).any(axis=1))
    return Profile(ladder.name, places, public, occupational, reactive)


def _places(ladder: Ladder) -> Floats:
    """Return places along a ladder, its corners among them."""
    points = np.array(ladder.points, dtype=np.float64)
    lengths = np.linalg.norm(np.diff(points, axis=0), axis=1)
    step = max(STEP, float(lengths.sum()) / (MOST - len(points)))
    pieces = []
    for a, b, length in zip(points, points[1:], lengths, strict=False):
        count = max(1, math.ceil(length / step))
        pieces.append(a + (b - a) * (np.arange(count) / count)[:, None])
    return np.concatenate([*pieces, points[-1:]])
