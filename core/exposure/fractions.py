"""From fields to fractions of a limit by the models alone: per emitter, summed, over the body.

Between carriers fractions add; inside one antenna the fields were already added as phasors. There are
two totals, electric and magnetic; a carrier limited only in power density counts in both, and the
larger total counts (FCC OET Bulletin 65, multiple transmitters, from memory).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from core.arrays import Bools, Codes, Floats, Points
from core.exposure.sources import Fields, Source, fields, sources, whole_column
from core.limits.model import Limit, LimitSet, LimitTable
from core.limits.sets import get_set
from core.limits.tier import TIERS, Tier
from core.site.site import Site
from core.units import ETA0
from core.views.body import POINT, Body, column

REACTIVE_FRACTION = 100.0
"""Inside an antenna's reactive region there is no figure. So that nothing downstream can take the place
for a safe one, each fraction is held at or above this: 10 000 % of the limit."""


@dataclass(frozen=True, slots=True)
class Weight:
    """How one source's fields turn into fractions of one table.

    ``electric`` multiplies E², ``magnetic`` multiplies H²; ``density`` multiplies the larger of E²/η
    and ηH² and counts in both. For a linear table (nerve stimulation) the root of the product counts.
    ``tiny`` is what a source makes in its reactive region where it is too weak for more (core.limits.low_power).
    """

    electric: float = 0.0
    magnetic: float = 0.0
    density: float = 0.0
    linear: bool = False
    added: bool = False
    tiny: float | None = None


def weight(
    limit: Limit | None,
    table: LimitTable,
    limit_set: LimitSet,
    frequency: float,
    tiny: float | None = None,
) -> Weight:
    """Return the weight of a source at a frequency for a table; nothing where there is no limit.

    Parameters
    ----------
    limit_set : LimitSet
        The limits in force.
    tiny : float or None
        What stands for it in its reactive region.
    """
    if limit is None:
        return Weight()
    linear = table.exponent == 1
    electric = magnetic = density = 0.0
    if limit.e is not None:
        electric = 1.0 / limit.e**2
    if limit.h is not None:
        magnetic = 1.0 / limit.h**2
    if limit.s is not None and not limit.plane_wave_s:
        if limit.e is None and limit.h is None:
            density = 1.0 / limit.s
        else:
            electric = max(electric, 1.0 / (ETA0 * limit.s))
            magnetic = max(magnetic, ETA0 / limit.s)
    below = limit_set.add_e_and_h_below
    added = below is not None and frequency < below * (1 + 1e-9) and not linear
    return Weight(electric, magnetic, density, linear, added, tiny)


def split(e2: Floats, h2: Floats, reactive: Bools, w: Weight) -> tuple[Floats, Floats]:
    """Return the electric and the magnetic fraction (n,) of one source for one table.

    Parameters
    ----------
    e2 : array
        E², V²/m².
    h2 : array
        H², A²/m².
    reactive : bool array
        True inside the reactive region.
    w : Weight
        How the fields become fractions of a limit.
    """
    if w.density:
        both = np.maximum(e2 / e2.dtype.type(ETA0), h2 * h2.dtype.type(ETA0))
        electric = magnetic = both * both.dtype.type(w.density)
    else:
        electric = e2 * e2.dtype.type(w.electric)
        magnetic = h2 * h2.dtype.type(w.magnetic)
    if w.linear:
        electric, magnetic = np.sqrt(electric), np.sqrt(magnetic)
    if w.added:
        electric = magnetic = electric + magnetic
    if reactive.any() and (w.electric or w.magnetic or w.density):
        if w.tiny is not None:
            held = electric.dtype.type(w.tiny)
            return np.where(reactive, held, electric), np.where(reactive, held, magnetic)
        held = electric.dtype.type(REACTIVE_FRACTION)
        electric = np.where(reactive, np.maximum(electric, held), electric)
        magnetic = np.where(reactive, np.maximum(magnetic, held), magnetic)
    return electric, magnetic


@dataclass(frozen=True, slots=True)
class TierExposure:
    """Exposure at n points against one tier.

    Attributes
    ----------
    total : array, shape (n,)
        The larger of the two totals of the governing table, as a fraction of the limit.
    shares : array, shape (sources, n)
        Each source's part of that total; with ``raised`` they add up to it.
    electric, magnetic : array, shape (n,)
        The two totals of the governing table.
    table : int8 array, shape (n,)
        Index of the governing table among the set's tables of this tier.
    height : array, shape (n,)
        Index of the body height that governs; -1 where the mean was taken.
    raised : array, shape (n,) or (1,)
        What readings of surveys add to the total; no source has a share in it.
    """

    total: Floats
    shares: Floats
    electric: Floats
    magnetic: Floats
    table: Codes
    height: NDArray[np.intp]
    raised: Floats = field(default_factory=lambda: np.zeros(1))


@dataclass(frozen=True, slots=True)
class Exposure:
    """Exposure of n bodies at a site, for both tiers, with the fields behind it.

    ``fields`` holds every height of every body: shape (sources, n × heights), heights fastest.
    """

    sources: tuple[Source, ...]
    limit_set: LimitSet
    body: Body
    fields: Fields
    public: TierExposure
    occupational: TierExposure
    reactive: Bools

    def of(self, tier: Tier) -> TierExposure:
        """Return the exposure of ``public`` or ``occupational``."""
        return self.public if tier == "public" else self.occupational


def modelled(site: Site, points: Points, body: Body = POINT, *, whole: bool = False) -> Exposure:
    """Return what the models give for bodies that stand (or hang) at points (n, 3), in float64.

    What was measured is not in it; everything that is shown takes :func:`core.exposure.totals.exposure`.

    Parameters
    ----------
    body : Body
        The column of heights that is exposed.
    whole : bool
        Whether it already has all the heights that narrow beams ask for.

    Raises
    ------
    InputError
        If the site's powers or frequencies are inconsistent.
    """
    all_sources = sources(site)
    limit_set = get_set(site.limit_set)
    places = np.asarray(points, dtype=np.float64)
    if len(places) and not whole:
        up = places[:, 2]
        body = whole_column(all_sources, body, float(up.min()), float(up.max()))
    at = fields(all_sources, column(places, body))
    tiers = [tier_exposure(all_sources, at, limit_set, tier, body) for tier in TIERS]
    blocked = np.array([s.is_blocked(limit_set.key) for s in all_sources], bool)
    reactive = np.asarray(at.reactive[blocked].any(axis=0).reshape(len(points), -1).any(axis=1))
    return Exposure(all_sources, limit_set, body, at, tiers[0], tiers[1], reactive)


def tier_exposure(
    all_sources: Sequence[Source], at: Fields, limit_set: LimitSet, tier: Tier, body: Body
) -> TierExposure:
    """Return the exposure against one tier from the fields at all body heights.

    Parameters
    ----------
    all_sources : Sequence[Source]
        Every carrier of the site with its power.
    limit_set : LimitSet
        The limits in force.
    """
    m = len(body.heights)
    n = at.e2.shape[1] // m
    best: TierExposure | None = None
    for index, table in enumerate(limit_set.of(tier)):
        one = _against(all_sources, at, limit_set, table, index, n, body)
        best = one if best is None else _larger(best, one)
    assert best is not None, "every set has a table for each tier"
    return best


def _against(
    all_sources: Sequence[Source],
    at: Fields,
    limit_set: LimitSet,
    table: LimitTable,
    index: int,
    n: int,
    body: Body,
) -> TierExposure:
    m = len(body.heights)
    electric = np.zeros((len(all_sources), n, m), at.e2.dtype)
    magnetic = np.zeros_like(electric)
    for i, source in enumerate(all_sources):
        f = source.carrier.frequency
        tiny = source.absorbed(limit_set.key, table.tier)
        w = weight(table.at(f), table, limit_set, f, tiny)
        e, h = split(at.e2[i], at.h2[i], at.reactive[i], w)
        electric[i], magnetic[i] = e.reshape(n, m), h.reshape(n, m)
    if body.average and table.spatial == "mean":
        # A body partly inside a reactive region has no mean: the held value stands for all of it.
        held = at.reactive.reshape(len(all_sources), n, m).any(axis=2)
        electric_at = np.where(held, electric.max(axis=2), electric.mean(axis=2))
        magnetic_at = np.where(held, magnetic.max(axis=2), magnetic.mean(axis=2))
        height = np.full(n, -1)
    else:
        worst = np.maximum(electric.sum(axis=0), magnetic.sum(axis=0))
        height = np.argmax(worst, axis=1)
        pick = np.broadcast_to(height[None, :, None], (len(all_sources), n, 1))
        electric_at = np.take_along_axis(electric, pick, axis=2)[:, :, 0]
        magnetic_at = np.take_along_axis(magnetic, pick, axis=2)[:, :, 0]
    sums = electric_at.sum(axis=0), magnetic_at.sum(axis=0)
    larger = sums[0] >= sums[1]
    return TierExposure(
        np.where(larger, *sums),
        np.where(larger, electric_at, magnetic_at),
        *sums,
        np.full(n, index, np.int8),
        height,
    )


def _larger(a: TierExposure, b: TierExposure) -> TierExposure:
    take = b.total > a.total
    return TierExposure(
        np.where(take, b.total, a.total),
        np.where(take, b.shares, a.shares),
        np.where(take, b.electric, a.electric),
        np.where(take, b.magnetic, a.magnetic),
        np.where(take, b.table, a.table),
        np.where(take, b.height, a.height),
    )
