"""How the line of sight from many centres turns over a patch, against that from a reference."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from core.arrays import Floats
from core.proof.bounds.base import Patches
from core.proof.bounds.cluster import BENT, STRAIGHT


@dataclass(frozen=True, slots=True)
class Sight:
    """Geometry of patches (n,) and centres (m,), arrays of shape (n, m).

    Attributes
    ----------
    offset : array, shape (n, m, 3)
        From each centre to each patch's centre.
    distance : array
        Its length.
    rate, bend : array
        Bounds on (Σ_j |ψ_j'|²)^½ and Σ_j |ψ_jj''| over the patch for ψ = r₀ - r_n, the path
        difference to the reference centre.
    """

    offset: Floats
    distance: Floats
    rate: Floats
    bend: Floats


def sight(
    patches: Patches,
    centres: Floats,
    reference: Floats,
    size: Floats,
    nearest: Floats,
    k: float,
    *,
    taken_out: bool | None = None,
) -> Sight:
    """Return how path differences to ``reference`` vary over the patches.

    Parameters
    ----------
    centres : array, shape (m, 3)
    reference : array, shape (3,)
    size : array, shape (m,)
        Half-length of the source about each centre: ψ may belong to any point of it.
    nearest : array, shape (n, m)
        Lower bound of the distance from the patch to any point of each source.
    taken_out : bool or None
        Whether the reference's phase is taken out; None takes what is better for each patch. Jets may only be
        added where all have the same phase taken out.

    Notes
    -----
    ψ' = û₀ - û_n and ψ'' = s₀²/r₀ - s_n²/r_n, with s the sine between d and the line of sight. Their in-plane
    parts are computed at the patch's centre and for the source's centre. With the second derivatives
    P/r of a distance (P the projector across the line of sight), ψ' changes over the patch by at most

        radius · |P_n/r_n - P₀/r₀|,   |..| ≤ D/(r_n r₀) + q/r₀   or   (2/√3) D/m²,

    D = |c_n - c₀| + size, q = |û_n - û₀| ≤ 2 D/(r_n + r₀) (Dunkl and Williams), m = ½ (r_n + r₀ - D) the
    least distance to the line from c₀ to c_n; and ψ'' by radius times (2/√3)(1/r_n² + 1/r₀²) or 3 D/m³ for
    each direction (derivatives of distances: core.proof.bounds.cluster). Along the source ψ' changes by at most
    size/r_n, ψ'' by (2/√3) size/r_n². Where all that is worse, as near the reference, no reference is taken
    out for the patch: rate 1, bend d/r_n. ``k`` only weighs that choice.
    """
    nd = patches.dimension
    offset = patches.centre[:, None, :] - centres[None, :, :]
    distance = np.sqrt(np.einsum("nmi,nmi->nm", offset, offset))
    from_reference = patches.centre - reference
    r0_centre = np.sqrt(np.einsum("ni,ni->n", from_reference, from_reference))
    tiny = 1e-12
    turn = offset / np.maximum(distance, tiny)[:, :, None]
    turn -= (from_reference / np.maximum(r0_centre, tiny)[:, None])[:, None, :]
    in_plane = np.einsum("nmi,ndi->nmd", turn, patches.directions)
    rate_here = np.sqrt(np.einsum("nmd,nmd->nm", in_plane, in_plane))
    rho = patches.radius[:, None]
    r0 = np.maximum(r0_centre[:, None] - rho, tiny)
    r = np.maximum(nearest, tiny)
    apart = np.sqrt(np.sum((centres - reference) ** 2, axis=1)) + size
    between = np.maximum(0.5 * (r + r0 - apart), 1e-6 * r)
    growth = apart / (r * r0) + 2.0 * apart / ((r + r0) * r0)
    growth = np.minimum(growth, STRAIGHT * apart / between**2)
    rate = rate_here + size / r + rho * growth
    growth = np.minimum(STRAIGHT * (1.0 / r**2 + 1.0 / r0**2), BENT * apart / between**3)
    bend = _bend_here(patches, offset, distance, from_reference, r0_centre)
    bend += nd * (STRAIGHT * size / r**2 + rho * growth)
    # One reference must serve all centres of a patch, so the choice is the patch's.
    plain = nd / r
    if taken_out is None:
        alone = np.mean(k * rate * rate + bend, axis=1) > np.mean(k + plain, axis=1)
    else:
        alone = np.full(len(patches), not taken_out)
    return Sight(
        offset,
        distance,
        np.where(alone[:, None], 1.0, rate),
        np.where(alone[:, None], plain, bend),
    )


def _bend_here(
    patches: Patches, offset: Floats, distance: Floats, from_reference: Floats, r0: Floats
) -> Floats:
    """Return Σ_j |s₀²/r₀ - s_n²/r_n| (n, m) at the patches' centres."""
    tiny = 1e-12
    rn, r0 = np.maximum(distance, tiny)[:, :, None], np.maximum(r0, tiny)[:, None]
    along = np.einsum("nmi,ndi->nmd", offset, patches.directions) / rn
    along0 = np.einsum("ni,ndi->nd", from_reference, patches.directions) / r0
    here = (1.0 - along0**2) / r0
    bend: Floats = np.abs(here[:, None, :] - (1.0 - along**2) / rn).sum(axis=2)
    return bend
