"""Majorants of kinds that are a gain over a distance: no phases, so ranges of angles are enough."""

from __future__ import annotations

import numpy as np

from core.arrays import Floats
from core.proof.bounds.base import Patches, over


def nearest(patches: Patches, least: float) -> Floats:
    """Return the least distance (n,) of patches from the antenna's origin, at least ``least``."""
    c = patches.centre
    away = np.sqrt(np.einsum("ni,ni->n", c, c))
    near: Floats = np.maximum(away - patches.radius, least)
    return near


def spread_curve(amplitude: Floats, distance: Floats, dimension: int) -> Floats:
    """Return the curve of amplitude/d for a distance d to a convex set, from its least value.

    d is convex with |d'| ≤ 1 and d'' ≤ 1/d, so (1/d)'' = 2d'²/d³ - d''/d² ≥ -1/d³ along every direction.

    Parameters
    ----------
    dimension : int
        Directions along which the patch extends.

    Returns
    -------
    array
        Same shape as the arrays given.
    """
    curve: Floats = dimension * amplitude / distance**3
    return curve


def fallen(square: Floats, corner: Floats, distance: Floats, patches: Patches) -> Floats:
    """Return the majorant (n, c) of square/d² over patches.

    Parameters
    ----------
    square : array, shape (n,)
        Largest value of the numerator on each patch.
    corner : array, shape (n, c)
        d at the corners.
    distance : array, shape (n,)
        Least d on the patch.
    """
    amplitude = np.sqrt(square)
    slack = 0.5 * patches.half**2 * spread_curve(amplitude, distance, patches.dimension)
    return over(square[:, None] / corner**2, amplitude / distance, slack)


def between(first: Floats, second: Floats, low: Floats, high: Floats) -> Floats:
    """Return the majorant of (1 - w) first + w second for weights (n,) between low and high.

    It is linear in w, so the larger of both ends counts; first and second are (n, ...).
    """
    shape = (-1, *([1] * (first.ndim - 1)))
    a, b = low.reshape(shape), high.reshape(shape)
    larger: Floats = np.maximum((1.0 - a) * first + a * second, (1.0 - b) * first + b * second)
    return larger
