"""The power cut that one emitter needs at a place."""

from __future__ import annotations

import math


def power_cut(share: float, others: float, target: float) -> float | None:
    """Return by how many dB an emitter has to come down so that a place meets a target; None where no cut can.

    With the others at Q percent and a target of T percent the emitter may make T − Q: it has to come down by
    10 log10(P / (T − Q)) dB from its own P percent. If the others alone reach the target, no cut of this one is enough
    (arithmetic; practice of power reduction at shared sites).

    Parameters
    ----------
    share : float
        Its part of the limit there, P.
    others : float
        What all others make together, Q.
    target : float
        What may not be exceeded, T, in the same measure.

    Examples
    --------
    >>> round(power_cut(400.0, 0.0, 100.0), 2), power_cut(400.0, 100.0, 100.0), power_cut(50.0, 40.0, 100.0)
    (6.02, None, 0.0)
    """
    allowed = target - others
    if allowed <= 0.0:
        return None
    return max(0.0, 10.0 * math.log10(share / allowed)) if share > 0.0 else 0.0
