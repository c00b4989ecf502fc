"""Cautious one-dimensional readings of a cut: filled nulls, filled gaps, nothing lost in sampling.

A pattern's nulls and side lobes move from one plane to the next, so a cut says less about the rest
of the sphere than about itself. The monotone envelope (the smallest loss found at an angle or
farther out) keeps what is safe to carry over. Common practice, no published source.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from core.patterns.model import Cut, wrap

UNKNOWN_LOSS = 20.0
"""dB assumed at most where nothing was measured, such as behind a front-only elevation cut.

A reasoned choice (mounting and back lobes), no published source.
"""

Array = NDArray[np.float64]


def cautious(cut: Cut, *, envelope: bool, upright: bool = False) -> tuple[Array, Array]:
    """Return angles and losses of a cut read as a periodic function, never above the cut.

    The cut is brought to 0 dB at its own maximum. Between two samples ``step`` apart the true lobe
    can rise above the straight line by ``step^2 / 8`` times its curvature: ``24 / width^2`` in the
    main lobe (parabola ``12 (angle / width)^2`` through the half-power points), up to four times
    that in the side lobes of a uniform aperture, and on a flank what the samples themselves show.
    Both samples lose that much, unless the file is an ``envelope`` whose straight lines are meant.
    Where the cut ends, the loss is at most 20 dB from there on, except at the poles (give
    ``upright`` for an elevation cut), where a front half is complete.
    """
    angles = np.asarray(cut.angles, dtype=np.float64)
    loss = np.asarray(cut.loss - cut.loss.min(), dtype=np.float64)
    full = cut.full_circle
    if not envelope:
        steps = np.diff(angles, append=angles[0] + 360.0)
        slopes = np.diff(loss, append=loss[0]) / steps
        bend = 2.0 * (slopes - np.roll(slopes, 1)) / (steps + np.roll(steps, 1))
        if not full:
            steps[-1] = 0.0
            bend[[0, -1]] = 0.0
        lobe = np.where(loss < 6.0, 24.0, 96.0) / max(cut.width(), 1e-6) ** 2
        curve = np.maximum(bend, lobe)
        rise = steps**2 / 8.0 * np.maximum(curve, np.roll(curve, -1))
        # Half as much again, because a peak at 0 dB cannot be raised to meet its own curve.
        middle = 0.5 * (loss + np.roll(loss, -1)) - 1.5 * rise
        loss = loss - np.maximum(rise, np.roll(rise, 1))
        angles = np.ravel(np.column_stack((angles, angles + 0.5 * steps)))
        loss = np.maximum(np.ravel(np.column_stack((loss, middle))), 0.0)
        if not full:
            angles, loss = angles[:-1], loss[:-1]
    if not full:
        near = 2.0 * float(np.max(np.diff(cut.angles), initial=0.0))
        for end in (0, -1):
            if not upright or abs(abs(angles[end]) - 90.0) > near:
                loss[end] = min(loss[end], UNKNOWN_LOSS)
    return angles, loss


def around(periodic: tuple[Array, Array], centre: float) -> tuple[Array, Array]:
    """Return offsets from ``centre`` ascending from -180 to 180, and the losses there.

    Parameters
    ----------
    periodic : tuple[Array, Array]
        The cut goes round a whole circle.
    """
    offset = np.round(wrap(periodic[0] - centre), 9)
    offset = np.unique(np.concatenate((offset, [-180.0, 0.0, 180.0])))
    return offset, np.interp(centre + offset, *periodic, period=360.0)


def front_half(periodic: tuple[Array, Array]) -> tuple[Array, Array]:
    """Return elevations from -90 to 90 and the losses of an elevation cut in front.

    Parameters
    ----------
    periodic : tuple[Array, Array]
        The cut goes round a whole circle.
    """
    inside = np.round(periodic[0], 9)
    angle = np.unique(np.concatenate(([-90.0], inside[np.abs(inside) < 90.0], [90.0])))
    return angle, np.interp(angle, *periodic, period=360.0)


def back_half(periodic: tuple[Array, Array]) -> tuple[Array, Array]:
    """Return elevations from -90 to 90 and the losses of an elevation cut behind the antenna.

    Parameters
    ----------
    periodic : tuple[Array, Array]
        The cut goes round a whole circle.
    """
    return front_half((wrap(180.0 - periodic[0]), periodic[1]))


def monotone(angle: Array, loss: Array, peak: float | None = None) -> Array:
    """Return the smallest loss at each angle or farther out from the peak, on each side.

    ``peak`` is the angle to go out from; the smallest loss (nearest to 0) if not given.
    """
    if peak is None:
        least = np.flatnonzero(loss <= loss.min())
        top = int(least[np.argmin(np.abs(angle[least]))])
    else:
        top = int(np.argmin(np.abs(angle - peak)))
    out = np.empty_like(loss)
    out[: top + 1] = np.minimum.accumulate(loss[: top + 1])
    out[top:] = np.minimum.accumulate(loss[top:][::-1])[::-1]
    # The peak itself belongs to both sides.
    out[top] = min(loss[: top + 1].min(), loss[top:].min())
    return out


def under(nodes: Array, angle: Array, loss: Array) -> Array:
    """Return losses at ``nodes`` whose straight lines stay at or below the line ``angle, loss``."""
    value = np.interp(nodes, angle, loss)
    excess = np.interp(angle, nodes, value) - loss
    cell = np.clip(np.searchsorted(nodes, angle, side="right") - 1, 0, nodes.size - 2)
    drop = np.zeros(nodes.size)
    np.maximum.at(drop, cell, excess)
    np.maximum.at(drop, cell + 1, excess)
    value = np.maximum(value - drop, 0.0)
    # A node held at 0 leaves its share of the drop to the other end of the cell.
    above = np.interp(angle, nodes, value) > loss
    lowest = np.full(nodes.size, np.inf)
    np.minimum.at(lowest, cell[above], loss[above])
    np.minimum.at(lowest, cell[above] + 1, loss[above])
    return np.asarray(np.minimum(value, lowest))


def nodes_for(samples: ArrayLike, keep: ArrayLike, peak: float, width: float) -> Array:
    """Return table angles: the samples, thinned where they crowd and split where they are far apart.

    Steps are at most a tenth of the half-power width around the peak and grow to 5 degrees far from
    it, where envelopes change slowly. Angles in ``keep`` (with both ends of the axis) always stay.
    """
    fixed = np.unique(np.round(np.asarray(keep, dtype=np.float64), 9))
    peak = round(peak, 9)
    found = np.round(np.asarray(samples, dtype=np.float64), 9)
    every = np.unique(np.concatenate((fixed, found, [peak])))
    every = every[(every >= fixed[0]) & (every <= fixed[-1])]
    away = np.abs(every - peak)
    away = np.minimum(away, 360.0 - away)
    nearest = np.minimum(np.maximum(width / 20.0, away / 40.0), 0.5)
    to_fixed = np.min(np.abs(every[:, None] - np.append(fixed, peak)[None, :]), axis=1)
    kept = [float(fixed[0])]
    for angle, room, clear in zip(every[1:], nearest[1:], to_fixed[1:], strict=True):
        if clear < 1e-9:
            if angle - kept[-1] > 1e-6:
                kept.append(float(angle))
        elif angle - kept[-1] >= room - 1e-9 and clear >= min(room, 0.05):
            kept.append(float(angle))
    base = np.array(kept)
    middle = np.abs(0.5 * (base[1:] + base[:-1]) - peak)
    close = np.maximum(np.minimum(middle, 360.0 - middle) - 0.5 * np.diff(base), 0.0)
    target = np.minimum(np.maximum(width / 10.0, close / 8.0), 5.0)
    parts = np.maximum(np.ceil(np.diff(base) / target - 1e-6), 1).astype(int)
    pieces = [
        np.linspace(a, b, n, endpoint=False)
        for a, b, n in zip(base[:-1], base[1:], parts, strict=True)
    ]
    return np.concatenate([*pieces, base[-1:]])
