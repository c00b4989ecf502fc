"""How the line of sight from many centres turns over a patch, against that from a reference."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from core.arrays import Floats
from core.bounds.base import Patches


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
    patches: Patches, centres: Floats, reference: Floats, size: Floats, nearest: Floats, k: float
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

    Notes
    -----
    ψ' = û₀ - û_n. Its in-plane part is computed at the patch's centre and for the source's centre.
    Over the patch it changes at most by radius · G, because
    d(û_n)/ds = P_n d/r_n with the projector P_n, so that

        |û_n' - û₀'| ≤ |1/r_n - 1/r₀| + |P_n - P₀|/r₀ ≤ D/(r_n r₀) + q/r₀ =: G,

    with D = |c_n - c₀| + size and q = |û_n - û₀| ≤ 2 D/(r_n + r₀) (Dunkl and Williams). Along the
    source it changes by at most size/r_n. ψ'' = s₀²/r₀ - s_n²/r_n with s the sine between d and the
    line of sight, and |s₀² - s_n²| ≤ 2 |ψ_j'|. Where that is worse, as near the reference, no
    reference is taken out for the patch: rate 1, bend d/r_n. ``k`` only weighs that choice.
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
    r0 = np.maximum(r0_centre - patches.radius, tiny)[:, None]
    r = np.maximum(nearest, tiny)
    apart = np.sqrt(np.sum((centres - reference) ** 2, axis=1)) + size
    growth = apart / (r * r0) + 2.0 * apart / ((r + r0) * r0)
    rate = rate_here + size / r + patches.radius[:, None] * growth
    bend = nd * (apart + 0.2 * size) / (r * np.minimum(r0, r)) + 2.0 * np.sqrt(nd) * rate / r0
    # One reference must serve all centres of a patch, so the choice is the patch's.
    plain = nd / r
    alone = np.mean(k * rate * rate + bend, axis=1) > np.mean(k + plain, axis=1)
    return Sight(
        offset,
        distance,
        np.where(alone[:, None], 1.0, rate),
        np.where(alone[:, None], plain, bend),
    )
