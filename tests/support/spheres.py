"""Directions over the sphere, and levels in decibels."""

from __future__ import annotations

import numpy as np

SEED = 20240607


def db(power):
    """Return a ratio of powers in decibels."""
    return 10.0 * np.log10(power)


def directions(count, seed=SEED):
    """Return random azimuths and elevations in degrees, even over the sphere; the same ones for the same seed."""
    rng = np.random.default_rng(seed)
    azimuth = rng.uniform(-180.0, 180.0, count)
    return azimuth, np.degrees(np.arcsin(rng.uniform(-1.0, 1.0, count)))
