"""How path differences vary over patches well outside an array, from a few moments of the array.

With δ_n the place of source n from the array's weighted centre, û the direction to the patch and r the
distance, the line of sight from n differs by

    û_n - û = -(I - ûûᵀ) δ_n/r + ε_n,   |ε_n| ≤ ½ (2/√3) |δ_n|²/(r - |δ_n|)²

(second derivatives of a unit vector are at most (2/√3)/r²). So the weighted root mean square of its in-plane
part needs only the second moments Σ w δδᵀ and the fourth Σ w |δ|⁴, whatever the number of sources. Over the
patch it changes as in core.bounds.sight; by Minkowski's inequality root mean squares add up.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from core.arrays import Floats
from core.bounds.base import Patches

REACHES = 4.0
"""Distance from the centre, in reaches of the array, from which the moments are used."""


@dataclass(frozen=True, eq=False)
class Cluster:
    """Moments of sources with weights: total ``weight``, ``second`` (3, 3) and ``fourth`` per unit weight.

    ``apart`` and ``apart_rms`` are the mean and the root mean square of |δ| + size, ``reach`` the largest;
    ``size`` is the largest half-length of a source.
    """

    centre: Floats
    weight: float
    second: Floats
    fourth: float
    apart: float
    apart_rms: float
    reach: float
    size: float


def cluster(centres: Floats, weights: Floats, sizes: Floats, centre: Floats) -> Cluster:
    """Return the moments of sources at ``centres`` (m, 3) about ``centre``."""
    total = max(float(weights.sum()), 1e-300)
    share = weights / total
    delta = centres - centre
    away = np.sqrt(np.einsum("mi,mi->m", delta, delta))
    return Cluster(
        np.asarray(centre, dtype=np.float64),
        float(weights.sum()),
        np.einsum("m,mi,mj->ij", share, delta, delta),
        float(share @ away**4),
        float(share @ (away + sizes)),
        float(np.sqrt(share @ (away + sizes) ** 2)),
        float((away + sizes).max()),
        float(sizes.max()),
    )


@dataclass(frozen=True, slots=True)
class Seen:
    """Root mean square rate and mean bend (n,) of path differences; see core.bounds.sight.

    ``near`` is the least distance to any source.
    """

    rate: Floats
    bend: Floats
    near: Floats


def seen_from(patches: Patches, of: Cluster) -> Seen:
    """Return how path differences vary over patches that are outside the reach of a cluster."""
    nd = patches.dimension
    offset = patches.centre - of.centre
    away = np.sqrt(np.einsum("ni,ni->n", offset, offset))
    unit = offset / away[:, None]
    r = away - patches.radius
    near = r - of.reach
    along = np.einsum("ndi,ni->nd", patches.directions, unit)
    across = patches.directions - along[:, :, None] * unit[:, None, :]
    linear = np.einsum("ndi,ij,ndj->n", across, of.second, across)
    rest = np.sqrt(of.fourth) / np.sqrt(3.0) / (away - of.reach) ** 2
    rate = np.sqrt(np.maximum(linear, 0.0)) / away + np.sqrt(nd) * rest + of.size / near
    rate = rate + patches.radius * 2.0 * of.apart_rms / (near * r)
    bend = nd * (of.apart + 0.2 * of.size) / near**2 + 2.0 * np.sqrt(nd) * rate / r
    return Seen(rate, bend, near)


def outside(patches: Patches, of: Cluster) -> Floats:
    """Return how far beyond REACHES the nearest point of each patch lies, m; negative inside."""
    offset = patches.centre - of.centre
    away = np.sqrt(np.einsum("ni,ni->n", offset, offset))
    beyond: Floats = away - patches.radius - REACHES * of.reach
    return beyond
