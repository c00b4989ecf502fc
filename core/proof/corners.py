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
from core.site.levels import directions
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
    corner: Corner, local: NDArray[np.float64], places: Patchwork, least: float
) -> Factor:
    """Return the root of the density of an image without a beam: √(level)/d, d the way from it, not under ``least``.

    Only the range is known: levels are piecewise linear in the directions.

    Parameters
    ----------
    corner : Corner
        The planes.
    local : array, shape (n, 3)
        Centres of the mirrored patches in the antenna's frame, m.
    places : Patchwork
        The patches, in the site frame.
    least : float
        Nearest that the image is taken, m.
    """
    assert corner.glow is not None
    d = np.sqrt(np.einsum("ni,ni->n", local, local))
    elevation, azimuth = directions(local)
    radius = np.full(len(d), places.radius)
    turn = np.radians(spread(d, radius))
    flat = np.hypot(local[:, 0], local[:, 1])
    aside = np.radians(spread(flat, radius))
    low, high = corner.glow.within(
        (elevation - turn, elevation + turn),
        (np.maximum(azimuth - aside, 0.0), np.minimum(azimuth + aside, np.pi)),
    )
    most = np.sqrt(high) / np.maximum(d - places.radius, least)
    span = most - np.sqrt(low) / np.maximum(d + places.radius, least)
    return Factor(most, span, span)


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
