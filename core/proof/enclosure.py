"""What a site's exposure cannot exceed on small flat patches, radiator by radiator.

A radiator (core.proof.radiators) is everything that shares one unit field. Its part of a total is linear in E², H² and
the larger of E²/η and ηH², or in their roots (nerve stimulation). So bounds of fields become bounds of fractions, and
the bound of a sum is the sum of bounds.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from core.arrays import Floats
from core.exposure.fractions import Weight, weight
from core.exposure.sources import Source, sources
from core.limits.model import LimitSet
from core.limits.sets import get_set
from core.limits.tier import Tier
from core.proof.bounds.surroundings import HUGE
from core.proof.radiators import Radiator
from core.site.site import Site
from core.units import ETA0
from core.views.body import Body

_TERMS = 6


@dataclass(frozen=True, slots=True)
class Total:
    """One sum over the radiators that is compared with 1: the E or the H total of one table."""

    table: int
    magnetic: bool
    mean: bool


@dataclass(frozen=True, slots=True)
class Enclosure:
    """The radiators of a site against one tier, ready for bounds.

    ``groups`` are the radiators worked on together. ``coefficients`` (radiators, totals, 6) multiply E²,
    H², the larger of E²/η and ηH², and the roots of these three, for 1 W.
    """

    sources: tuple[Source, ...]
    radiators: tuple[Radiator, ...]
    totals: tuple[Total, ...]
    groups: tuple[NDArray[np.intp], ...]
    coefficients: Floats

    def fractions(
        self, radiator: NDArray[np.intp], e2: Floats, h2: Floats, *, majorant: bool = False
    ) -> Floats:
        """Return the parts (p, totals, ...) of the radiators (p,) from squares (p, ...) for 1 W.

        With ``majorant`` the last axis are corner values that are interpolated: the majorant of a root
        is its tangent at the corners' mean, which is linear again.
        """
        e2, h2 = np.minimum(e2, HUGE), np.minimum(h2, HUGE)
        squares = (e2, h2, np.maximum(e2 / ETA0, h2 * ETA0))
        used = self.coefficients.any(axis=(0, 1))
        out = np.zeros((len(e2), len(self.totals), *e2.shape[1:]))
        for term in np.flatnonzero(used):
            y = squares[term % 3]
            if term >= 3:
                y = _tangent(y) if majorant else np.sqrt(y)
            c = self.coefficients[radiator, :, term]
            out += c.reshape(*c.shape, *([1] * (y.ndim - 1))) * y[:, None]
        return np.minimum(out, HUGE)


def _tangent(y: Floats) -> Floats:
    middle = np.maximum(y.mean(axis=-1, keepdims=True), 1e-300)
    raised: Floats = (y + middle) / (2.0 * np.sqrt(middle))
    return raised


def enclosure(site: Site, tier: Tier, body: Body, divisors: Floats | None = None) -> Enclosure:
    """Return what is needed to bound the exposure of a site against a tier.

    Radiators without a limit in any table stay in it, for their reactive region.

    Parameters
    ----------
    body : Body
        The column of heights that is exposed.
    divisors : array, shape (sources,), optional
        What each source's power is divided by, as by a garment's rating.

    Raises
    ------
    InputError
        If powers are inconsistent or there is no such tier.
    """
    all_sources = sources(site)
    limit_set = get_set(site.limit_set)
    tables = limit_set.of(tier)
    radiators = _radiators(all_sources)
    weights = [
        [weight(t.at(s.carrier.frequency), t, limit_set, s.carrier.frequency) for t in tables]
        for s in all_sources
    ]
    totals = _totals(weights, limit_set, tier, body)
    groups: dict[tuple[object, ...], list[int]] = {}
    for i, radiator in enumerate(radiators):
        groups.setdefault(radiator.group, []).append(i)
    coefficients = np.zeros((len(radiators), len(totals), _TERMS))
    for i, radiator in enumerate(radiators):
        for m in radiator.members:
            scale = all_sources[m].power * all_sources[m].reflection.power_factor
            if divisors is not None:
                scale /= float(divisors[m])
            for j, total in enumerate(totals):
                coefficients[i, j] += _coefficients(weights[m][total.table], total, scale)
    members = tuple(np.array(g) for g in groups.values())
    return Enclosure(all_sources, radiators, totals, members, coefficients)


def _coefficients(w: Weight, total: Total, scale: float) -> Floats:
    """Return the six coefficients of one source; see :func:`core.exposure.fractions.split`."""
    out = np.zeros(_TERMS)
    if w.density:
        out[2] = w.density * (2.0 if w.added else 1.0)
    elif w.added:
        out[0], out[1] = w.electric, w.magnetic
    else:
        out[1 if total.magnetic else 0] = w.magnetic if total.magnetic else w.electric
    out *= scale
    if w.linear:
        out[3:] = np.sqrt(out[:3])
        out[:3] = 0.0
    return out


def _radiators(all_sources: Sequence[Source]) -> tuple[Radiator, ...]:
    by_key: dict[tuple[object, ...], list[int]] = {}
    for i, source in enumerate(all_sources):
        if source.power > 0.0:
            by_key.setdefault(source.key, []).append(i)
    out = []
    for members in by_key.values():
        first = all_sources[members[0]]
        a = first.antenna
        out.append(
            Radiator(
                a.kind,
                first.carrier.frequency,
                first.conservative,
                np.array(a.position, dtype=np.float64),
                first.frame,
                tuple(members),
                first.around,
            )
        )
    return tuple(out)


def _totals(
    weights: Sequence[Sequence[Weight]], limit_set: LimitSet, tier: Tier, body: Body
) -> tuple[Total, ...]:
    totals = []
    for t, table in enumerate(limit_set.of(tier)):
        used = [w[t] for w in weights]
        mean = body.average and table.spatial == "mean"
        if any(w.electric or w.magnetic or w.density for w in used):
            totals.append(Total(t, False, mean))
        # Where every source counts the same in both totals one of them is enough.
        if any((w.electric or w.magnetic) and not w.added for w in used):
            totals.append(Total(t, True, mean))
    if weights and not totals:
        # Nothing has a limit in the set; what is reactive is inside all the same.
        totals.append(Total(0, False, False))
    return tuple(totals)
