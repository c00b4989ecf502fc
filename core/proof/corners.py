"""Bounds of the coefficients of corners (core.site.corner) on patches of the site.

The coefficient of an order is a product of those of its planes, each of the patch mirrored in the planes behind it and
of the antenna mirrored in those before: all are known (core.proof.bounds.mirrors). The larger of several functions has
the largest of their ranges and of their defects: max(u, v) ≤ max(B(u) + e(u), B(v) + e(v)) ≤ B(max(u, v)) + max(e).
"""

from __future__ import annotations

from functools import reduce

import numpy as np

from core.proof.bounds.mirrors import Factor, coefficient, two_ways, way_ratio, weight_past
from core.proof.patchwork import Patchwork, mirrored
from core.site.corner import Corner, Place
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


def ratio_factor(corner: Corner, places: Patchwork, antenna: Place) -> Factor:
    """Return the direct way over the reflected one.

    Parameters
    ----------
    corner : Corner
        The planes.
    places : Patchwork
        The patches, in the site frame.
    antenna : tuple of three floats
        The antenna's centre, site frame, m.
    """
    d = len(places.directions)
    if len(corner.planes) == 1:
        (wall,) = corner.planes
        return way_ratio(wall, places.centre, places.half, places.radius, d, antenna)
    near, far = corner.ways(places.centre, antenna)
    return two_ways(near, far, places.half, places.radius, d)


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
