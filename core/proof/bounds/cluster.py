"""How path differences vary over patches well outside an array, from a few moments of the array.

With δ the place of a point of the array from its weighted centre, û the direction to the patch and r the
distance, path differences are ψ = r(0) - r(δ) with r(δ) = |p - δ|. The derivatives of r are

    ∇r = û,   D²r = (I - ûûᵀ)/r,   |D³r| ≤ (2/√3)/r²,   |D⁴r| ≤ 3/r³

(the norms of symmetric forms are taken on equal arguments, where √(s² + ρ²) is derived four times). So by
Taylor's formula in δ, at the patch's centre and with every distance on the way at least r - |δ|,

    ∇ψ   =  D²r δ          + at most ½ (2/√3)|δ|²/(r - |δ|)²,
    ψ_jj =  D³r(d_j, d_j, δ) + at most ½ · 3 |δ|²/(r - |δ|)³,

and over a patch of radius ρ they change by at most ρ (2/√3)|δ|/(r - ρ - |δ|)² and ρ · 3|δ|/(r - ρ - |δ|)³. The
weighted root mean squares of the leading terms need only the second moments Σ w δδᵀ, those of the rest the
fourth Σ w |δ|⁴, whatever the number of points. By Minkowski's inequality root mean squares add up.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from core.arrays import Floats
from core.proof.bounds.base import Patches

REACHES = 4.0
"""Distance from the centre, in reaches of the array, from which the moments are used."""


STRAIGHT = 2.0 / np.sqrt(3.0)
"""Largest third derivative of a distance r, times r²."""

BENT = 3.0
"""Largest fourth derivative of a distance r, times r³."""


@dataclass(frozen=True, eq=False)
class Cluster:
    """Moments of sources with weights: total ``weight``, ``second`` (3, 3) and ``fourth`` per unit weight.

    ``apart`` and ``apart_rms`` are the mean and the root mean square of |δ| + size, ``reach`` the largest;
    ``size`` is the largest half-length of a source. ``second`` has every point of the sources in it, however
    they are turned.
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
    """Return the moments of sources at ``centres`` (m, 3) about ``centre``.

    Parameters
    ----------
    weights : array
        Weights of the sources.
    sizes : array
        Half-lengths of the sources, m.
    """
    total = max(float(weights.sum()), 1e-300)
    share = weights / total
    delta = centres - centre
    away = np.sqrt(np.einsum("mi,mi->m", delta, delta)) + sizes
    return Cluster(
        np.asarray(centre, dtype=np.float64),
        float(weights.sum()),
        np.einsum("m,mi,mj->ij", share, delta, delta) + float(share @ sizes**2) * np.eye(3),
        float(share @ away**4),
        float(share @ away),
        float(np.sqrt(share @ away**2)),
        float(away.max()),
        float(sizes.max()),
    )


@dataclass(frozen=True, slots=True)
class Seen:
    """Root mean square rate and mean bend (n,) of path differences; see core.proof.bounds.sight.

    ``near`` is the least distance to any source.
    """

    rate: Floats
    bend: Floats
    near: Floats


def seen_from(patches: Patches, of: Cluster) -> Seen:
    """Return how path differences vary over patches that are outside the reach of a cluster."""
    nd, rho = patches.dimension, patches.radius
    offset = patches.centre - of.centre
    away = np.sqrt(np.einsum("ni,ni->n", offset, offset))
    unit = offset / away[:, None]
    near = away - rho - of.reach
    along = np.einsum("ndi,ni->nd", patches.directions, unit)
    across = patches.directions - along[:, :, None] * unit[:, None, :]
    turn = np.einsum("ndi,ij,ndj->n", across, of.second, across)
    rate = np.sqrt(np.maximum(turn, 0.0)) / away
    rate = rate + STRAIGHT * (0.5 * np.sqrt(of.fourth) + rho * of.apart_rms) / near**2
    # r² D³r(d, d, δ) = -[2 (û·d)(across·δ) + (1 - (û·d)²)(û·δ)]
    third = 2.0 * along[:, :, None] * across + (1.0 - along**2)[:, :, None] * unit[:, None, :]
    third2 = np.einsum("ndi,ij,ndj->nd", third, of.second, third)
    bend = np.sqrt(np.maximum(third2, 0.0)).sum(axis=1) / away**2
    bend = bend + nd * BENT * (0.5 * of.apart_rms**2 + rho * of.apart) / near**3
    return Seen(rate, bend, near)


def outside(patches: Patches, of: Cluster) -> Floats:
    """Return how far beyond REACHES the nearest point of each patch lies, m; negative inside.

    Parameters
    ----------
    patches : Patches
        The patches, in the antenna's frame.

    Returns
    -------
    array
        Same shape as the arrays given.
    """
    offset = patches.centre - of.centre
    away = np.sqrt(np.einsum("ni,ni->n", offset, offset))
    beyond: Floats = away - patches.radius - REACHES * of.reach
    return beyond
