"""Bounds of the coefficients of corners (core.site.corner) on patches of the site.

The coefficient of an order is a product of those of its planes, each of the patch mirrored in the planes behind it and
of the antenna mirrored in those before: all are known (core.proof.bounds.mirrors). The larger of several functions has
the largest of their ranges and of their defects: max(u, v) ≤ max(B(u) + e(u), B(v) + e(v)) ≤ B(max(u, v)) + max(e).
"""

from __future__ import annotations

from functools import reduce

import numpy as np
from numpy.typing import NDArray

from core.proof.bounds.angles import spread
from core.proof.bounds.mirrors import Factor, coefficient, weight_past
from core.proof.patchwork import Patchwork, mirrored
from core.site.corner import Corner, Place
from core.site.levels import Levels, directions
from core.site.mirror import Mirror


def corner_factor(corner: Corner, places: Patchwork, antenna: Place, frequency: float) -> Factor:
    """Return the coefficient of planes that a wave meets one after the other.

    Parameters
    ----------
    corner : Corner
        The planes.
    places : Patchwork
        The patches, in the site frame.
    antenna : tuple of three floats
        The antenna's centre, site frame, m.
    frequency : float
        Hz.
    """
    if len(corner.planes) == 1:
        return _of_plane(corner.planes[0], places, antenna, frequency)
    size = reduce(_larger, (
        reduce(Factor.times, (
            _of_plane(leg.mirror, mirrored(leg.later, places), leg.antenna, frequency)
            for leg in legs
        ))
        for legs in corner.legs(antenna)
    ))  # fmt: skip
    for plane in corner.planes:
        if plane.shade is not None:
            size = size.times(weight_past(plane.shade, places.centre, places.radius))
    return size


def glow_factor(
    levels: Levels, local: NDArray[np.float64], places: Patchwork, least: float
) -> Factor:
    """Return the root of the density of an image that is no field of its own: level/d, d the way, not under ``least``.

    The level is the smaller of two that are piecewise linear in the elevation t and in the azimuth a about the mirrored
    antenna. With ρ the way in plan |t''| ≤ (1 + |tan t|)/d² and |a''| ≤ 1/ρ²; where a table bends downward, or it is
    open which of both is the smaller, only the range is known. Along every direction (1/d)'' ≥ -1/d³.

    Parameters
    ----------
    levels : Levels
        How strongly the antenna looks in each direction.
    local : array, shape (n, 3)
        Centres of the mirrored patches in the antenna's frame, m.
    places : Patchwork
        The patches, in the site frame.
    least : float
        Nearest that the image is taken, m.
    """
    flat = np.hypot(local[:, 0], local[:, 1])
    d = np.hypot(flat, local[:, 2])
    elevation, azimuth = directions(local)
    radius = np.full(len(d), places.radius)
    turn, aside = (np.radians(spread(way, radius)) for way in (d, flat))
    up, across = levels.ranges(
        (elevation - turn, elevation + turn),
        (np.maximum(azimuth - aside, 0.0), np.minimum(azimuth + aside, np.pi)),
    )
    bend = 0.5 * places.half**2 * len(places.directions)
    near, nearest = np.maximum(d - places.radius, 1e-9), np.maximum(flat - places.radius, 1e-9)
    steepest = (np.abs(local[:, 2]) + places.radius) / nearest
    by_up = bend * up.slope * (1.0 + steepest) / near**2
    by_across = bend * across.slope / nearest**2
    # Ahead and behind the azimuth off the boresight has a corner itself.
    turns = (azimuth - aside <= 0.0) | (azimuth + aside >= np.pi)
    most, low = np.minimum(up.most, across.most), np.minimum(up.least, across.least)
    defect = np.where(
        (up.most <= across.least) & ~up.bends,
        by_up,
        np.where((across.most <= up.least) & ~across.bends & ~turns, by_across, np.inf),
    )
    level = Factor(most, most - low, np.minimum(defect, most - low))
    nearest_way, farthest = (
        np.maximum(d - places.radius, least),
        np.maximum(d + places.radius, least),
    )
    span = 1.0 / nearest_way - 1.0 / farthest
    smooth = d - places.radius > least
    way = Factor(
        1.0 / nearest_way, span, np.where(smooth, np.minimum(bend / nearest_way**3, span), span)
    )
    return level.times(way)


def _of_plane(plane: Mirror, places: Patchwork, antenna: Place, frequency: float) -> Factor:
    return coefficient(
        plane, places.centre, places.directions, places.half, places.radius, antenna, frequency
    )


def _larger(one: Factor, other: Factor) -> Factor:
    return Factor(
        np.maximum(one.most, other.most),
        np.maximum(one.span, other.span),
        np.maximum(one.defect, other.defect),
    )
