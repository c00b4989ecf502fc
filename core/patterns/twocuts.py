"""The envelopes behind the conservative pattern, at the nodes of its table."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from core.arrays import Floats
from core.errors import InputError
from core.patterns.envelope import (
    UNKNOWN_LOSS,
    around,
    back_half,
    cautious,
    front_half,
    monotone,
    nodes_for,
    under,
)
from core.patterns.model import Cut, PatternData, wrap

DEEPEST_LOSS = 40.0
"""dB. Nothing radiates less than this below the peak once it is mounted (reasoned choice)."""
WIDEST_PENCIL = 100.0
"""Degrees. Wider beams are never taken for a beam of revolution."""
STEERED = 10.0
"""Degrees. A narrow beam this far to the side of the antenna's axis is taken for a steered one."""
ALL_ROUND = 6.0
"""dB. A level this close to the peak behind the antenna makes it an all-round one."""

Array = NDArray[np.float64]
Levels = Callable[[Array, Array], Floats]


def is_pencil(data: PatternData) -> bool:
    """True if the two widths are narrow and alike, as for a dish, a Yagi or a square array.

    Parameters
    ----------
    data : PatternData
        The pattern as it was read.

    Returns
    -------
    bool
    """
    if data.azimuth is None or data.elevation is None:
        return False
    widths = sorted((data.azimuth.width(), data.elevation.width()))
    return widths[1] <= WIDEST_PENCIL and widths[1] <= 2.0 * widths[0]


def is_steered(data: PatternData) -> bool:
    """True if a narrow beam points to the side: the lobes off its two cuts are then unknown.

    Parameters
    ----------
    data : PatternData
        The pattern as it was read.

    Returns
    -------
    bool
    """
    cut = data.azimuth
    if cut is None or cut.width() > WIDEST_PENCIL or _radiates_all_round(cut, cut.peak_angle):
        return False
    return abs(cut.peak_angle) > STEERED


def axes(data: PatternData) -> tuple[Array, Array, float, float]:
    """Return table azimuths and elevations, and the peak's azimuth and elevation.

    Parameters
    ----------
    data : PatternData
        The pattern as it was read.

    Raises
    ------
    InputError
        If it cannot be used.
    """
    if data.azimuth is None and data.elevation is None:
        raise InputError(
            "the pattern holds no cut and no 3-D data",
            source=data.source,
            field="pattern",
            fix="Give an azimuth cut, an elevation cut or a 3-D table",
        )
    az, el = data.azimuth, data.elevation
    az_peak = 0.0 if az is None else az.peak_angle
    el_peak, el_samples, el_width = 0.0, np.zeros(1), 180.0
    if el is not None:
        behind = np.abs(el.angles) > 90.0
        el_samples = np.where(behind, wrap(180.0 - el.angles), el.angles)
        best = int(np.argmin(np.where(behind, np.inf, el.loss)))
        el_peak = float(el.angles[best]) if not behind[best] else 0.0
        el_width = el.width()
    sides = wrap([az_peak - 90.0, az_peak + 90.0, az_peak + 180.0, -90.0, 0.0, 90.0])
    azimuth = nodes_for(
        np.zeros(1) if az is None else az.angles,
        np.concatenate(([-180.0, 180.0], sides)),
        az_peak,
        360.0 if az is None else az.width(),
    )
    elevation = nodes_for(el_samples, [-90.0, 0.0, 90.0], el_peak, el_width)
    return azimuth, elevation, az_peak, el_peak


def two_envelopes(data: PatternData) -> tuple[Array, Array, Array, Array]:
    """Return table azimuths and elevations, and both envelopes (ne, na) at every node.

    Parameters
    ----------
    data : PatternData
        The pattern as it was read.
    """
    closed, elevation, az_peak, el_peak = axes(data)
    azimuth = closed[:-1]
    across = np.zeros((elevation.size, azimuth.size))
    up = np.zeros_like(across)
    if data.azimuth is not None:
        offset, loss = around(cautious(data.azimuth, envelope=data.envelope), az_peak)
        loss = monotone(offset, loss, 0.0)
        nodes = np.unique(np.concatenate((np.round(wrap(closed - az_peak), 9), [180.0])))
        loss = monotone(nodes, under(nodes, offset, loss), 0.0)
        across = np.interp(_folded(azimuth[None, :] - az_peak, elevation[:, None]), nodes, loss)
    if data.elevation is not None:
        periodic = cautious(data.elevation, envelope=data.envelope, upright=True)
        halves = (front_half(periodic), back_half(periodic))
        front, back = (under(elevation, a, monotone(a, loss)) for a, loss in halves)
        # Without effect unless the cut is stronger behind: the azimuth cut's peak must be reached where
        # the elevation cut has its own in front.
        front = np.maximum(front - np.interp(el_peak, elevation, front), 0.0)
        both = np.minimum(front, back)
        if np.abs(data.elevation.peak_angle) > 90.0 or _radiates_all_round(data.azimuth, az_peak):
            front = both
        behind = _behind(azimuth, az_peak)
        up = np.where(behind[None, :], both[:, None], front[:, None])
    return azimuth, elevation, across, up


def _behind(azimuth: Array, az_peak: float) -> NDArray[np.bool_]:
    """Return which azimuths lie behind the antenna or behind its peak, the sides included."""
    return (np.abs(wrap(azimuth)) >= 90.0 - 1e-6) | (np.abs(wrap(azimuth - az_peak)) >= 90.0 - 1e-6)


def limited(data: PatternData, azimuth: Array, loss: Array) -> Array:
    """Return the loss capped at 40 dB, at 20 dB behind a front-only cut, and even at the poles.

    Parameters
    ----------
    data : PatternData
        The pattern as it was read.
    azimuth : Array
        Degrees clockwise.
    """
    loss = np.clip(loss, 0.0, DEEPEST_LOSS)
    if data.elevation is not None and not data.elevation.full_circle:
        az_peak = 0.0 if data.azimuth is None else data.azimuth.peak_angle
        behind = _behind(azimuth, az_peak)
        loss = np.where(behind[None, :], np.minimum(loss, UNKNOWN_LOSS), loss)
    loss[[0, -1], :] = loss[[0, -1], :].min(axis=1, keepdims=True)
    return loss


def _radiates_all_round(cut: Cut | None, peak: float) -> bool:
    """True if no side is clearly the front, so that neither half of the elevation cut may win."""
    if cut is None:
        return True
    behind = np.abs(wrap(cut.angles - peak)) >= 90.0
    return bool(np.any(cut.loss[behind] - cut.loss.min() < ALL_ROUND))


def _folded(offset: Array, elevation: Array) -> Array:
    """Return the azimuth at which the azimuth cut is read for a direction off the horizon.

    In front it is the direction's angle from the antenna's vertical plane, asin(cos el sin az),
    which is what a row of elements responds to; behind, the angle off the axis less the elevation.
    Both equal the azimuth on the horizon, meet at the sides and become 0 at the poles.
    """
    offset = wrap(offset)
    cos_el = np.cos(np.radians(elevation))
    side = np.degrees(np.arcsin(np.clip(cos_el * np.abs(np.sin(np.radians(offset))), 0.0, 1.0)))
    off_axis = np.degrees(np.arccos(np.clip(cos_el * np.cos(np.radians(offset)), -1.0, 1.0)))
    fold = np.where(np.abs(offset) <= 90.0, side, np.maximum(off_axis - np.abs(elevation), 0.0))
    return np.asarray(np.sign(offset) * np.minimum(fold, np.abs(offset)))


def kink(difference: Array) -> Array:
    """Return how far straight lines through the larger of two functions can rise above it.

    With p the largest and n the most negative difference at a cell's corners the excess is at most
    p n / (p + n) for any weights that sum to 1. Each node gets the largest of its cells.
    """
    closed = np.hstack((difference, difference[:, :1]))
    corners = (closed[:-1, :-1], closed[:-1, 1:], closed[1:, :-1], closed[1:, 1:])
    above = np.maximum.reduce(corners).clip(0.0)
    below = -np.minimum.reduce(corners).clip(max=0.0)
    total = above + below
    return _cells_to_nodes(above * below / np.where(total > 0.0, total, 1.0))


def _cells_to_nodes(cells: Array) -> Array:
    """Return for each node the largest value of the up to four cells around it (azimuth cyclic)."""
    wide = np.maximum(cells, np.roll(cells, 1, axis=1))
    return np.asarray(np.maximum(np.vstack((wide, wide[-1:])), np.vstack((wide[:1], wide))))


def revolution(data: PatternData, azimuth: Array, elevation: Array) -> Array:
    """Return the loss of the envelope of revolution about the peak at the nodes.

    Parameters
    ----------
    data : PatternData
        The pattern as it was read.
    azimuth : Array
        Degrees clockwise.
    elevation : Array
        Degrees up.
    """
    _, _, az_peak, el_peak = axes(data)
    halves: list[tuple[Array, Array]] = []
    for cut, peak in ((data.azimuth, az_peak), (data.elevation, el_peak)):
        assert cut is not None
        periodic = cautious(cut, envelope=data.envelope, upright=cut is data.elevation)
        offset, loss = around(periodic, peak)
        halves.append((offset[offset >= 0.0], loss[offset >= 0.0]))
        halves.append((-offset[offset <= 0.0][::-1], loss[offset <= 0.0][::-1]))
    angle = np.unique(np.concatenate([half[0] for half in halves]))
    least = np.minimum.reduce([np.interp(angle, *half) for half in halves])
    least = monotone(angle, least, 0.0)

    def level(a: Array, e: Array) -> Array:
        ce, se = np.cos(np.radians(e)), np.sin(np.radians(e))
        cp, sp = np.cos(np.radians(el_peak)), np.sin(np.radians(el_peak))
        turn = np.radians(a - az_peak)
        # atan2 of the cross and dot product: acos loses the small angles that matter most here.
        x, y, z = ce * np.cos(turn), ce * np.sin(turn), se + 0.0 * turn
        along, rise = x * cp + z * sp, z * cp - x * sp
        return np.asarray(np.interp(np.degrees(np.arctan2(np.hypot(y, rise), along)), angle, least))

    return lowered(level, azimuth, elevation)


def lowered(level: Levels, azimuth: Floats, elevation: Floats, parts: int = 4) -> Array:
    """Return a loss table whose bilinear cells stay below ``level`` at 4 by 4 points in each.

    Parameters
    ----------
    azimuth : array
        Degrees clockwise.
    elevation : array
        Degrees up.
    parts : int
        How finely each cell is looked at.
    """
    closed = np.append(np.asarray(azimuth, dtype=np.float64), 180.0)
    heights = np.asarray(elevation, dtype=np.float64)
    table = np.asarray(level(closed[None, :-1], heights[:, None]), dtype=np.float64)
    around_seam = np.hstack((table, table[:, :1]))
    worst = np.zeros((heights.size - 1, closed.size - 1))
    for i in range(parts + 1):
        v = i / parts
        row = heights[:-1] + v * np.diff(heights)
        line = around_seam[:-1] + v * np.diff(around_seam, axis=0)
        for j in range(parts + 1):
            u = j / parts
            column = closed[:-1] + u * np.diff(closed)
            straight = line[:, :-1] + u * np.diff(line, axis=1)
            np.maximum(worst, straight - level(column[None, :], row[:, None]), out=worst)
    return table - _cells_to_nodes(worst)
