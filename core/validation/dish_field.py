"""Dishes against the field of a round aperture, integrated here: across the beam, near and far."""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache

import numpy as np

from core.antennas.dish import Dish
from core.arrays import Floats
from core.units import SPEED_OF_LIGHT, to_db
from core.validation.data import RANGE_DB, decibels
from core.validation.kinds import LOWEST_DB
from core.validation.spread import DistanceTable, Row, row

EDGES = (0.0, 0.05, 0.15, 0.25, 0.4, 0.6, 1.0, 2.0, np.inf)
"""Ranges of the distance ahead in D²/λ: 0.25 ends the near field, 0.6 starts the far field."""
CLOSE = (0.55, 1.0, 2.0)
"""Distances ahead in diameters; nearer there is no figure."""
AHEAD = (0.07, 0.1, 0.15, 0.2, 0.25, 0.3, 0.4, 0.5, 0.59, 0.61, 0.7, 0.85, 1.01, 1.5, 2.01, 4.0)
"""Distances ahead in D²/λ."""
ACROSS = 61
"""Places across the beam at each distance."""

Light = Callable[[Floats], Floats]
"""Field on the aperture against the part of the radius."""


def even(radius: Floats) -> Floats:
    """Return 1 all over the aperture: 100 % efficient, which no dish is.

    Parameters
    ----------
    radius : array
        m.

    Returns
    -------
    array
        Same shape as the arrays given.
    """
    return np.ones_like(radius)


def tapered(radius: Floats) -> Floats:
    """Return a parabola that falls to 10 dB down at the rim (common practice).

    Parameters
    ----------
    radius : array
        m.
    """
    edge = 10.0 ** (-10.0 / 20.0)
    falling: Floats = edge + (1.0 - edge) * (1.0 - radius**2)
    return falling


@lru_cache(maxsize=8)
def _gauss(count: int) -> tuple[Floats, Floats]:
    # Hundreds of nodes are the roots of a large matrix; every distance of a dish has the same ones.
    nodes, weights = np.polynomial.legendre.leggauss(count)
    return nodes, weights


def aperture(ratio: float, light: Light, ahead: float, across: Floats) -> tuple[Floats, float]:
    """Return the power density (n,) for 1 W and the gain of an aperture of 1 m, ``ratio`` wavelengths.

    Huygens sources all over the aperture, summed by their distances: Gauss rings by even azimuths.

    Parameters
    ----------
    light : Light
        How the aperture is lit.
    ahead : float
        Distance ahead of the aperture, in its sizes.
    across : array
        Place across the direction.
    """
    lam, radius = 1.0 / ratio, 0.5
    k = 2.0 * np.pi / lam
    nodes, weights = _gauss(int(3.0 * ratio) + 40)
    r = radius * (nodes + 1.0) / 2.0
    ring = weights * radius / 2.0 * r
    tilt = float(across.max() + radius) / np.hypot(ahead, across.max() + radius)
    turns = int(2.5 * k * radius * tilt) + 32
    phi = (np.arange(turns) + 0.5) * np.pi / turns
    y, z = np.outer(r, np.cos(phi)).ravel(), np.outer(r, np.sin(phi)).ravel()
    share = np.repeat(ring * light(r / radius) * 2.0 * np.pi / turns, turns)
    power = float(ring @ light(r / radius) ** 2) * 2.0 * np.pi
    gain = 4.0 * np.pi / lam**2 * share.sum() ** 2 / power
    field = np.empty(len(across), np.complex128)
    for i, aside in enumerate(across):
        d = np.sqrt(ahead**2 + (y - aside) ** 2 + z**2)
        field[i] = np.sum(share * np.exp(-1j * k * (d - ahead)) / d * (1.0 + ahead / d)) / (
            2.0 * lam
        )
    return np.abs(field) ** 2 / power, float(gain)


@lru_cache
def references(ratio: float, light: Light) -> tuple[tuple[float, Floats, Floats, float], ...]:
    """Return distance ahead, places across, power density and gain of every set of points.

    Parameters
    ----------
    ratio : float
        Size in wavelengths.
    light : Light
        How the aperture is lit.

    Returns
    -------
    tuple of arrays
        Each of the same shape as the arrays given.
    """
    sets = []
    for ahead in (*CLOSE, *(part * ratio for part in AHEAD)):
        widest = max(1.6, ahead * np.tan(np.radians(300.0 / ratio)))
        across = np.linspace(0.0, widest, ACROSS)
        sets.append((ahead, across, *aperture(ratio, light, ahead, across)))
    return tuple(sets)


def errors(ratio: float, light: Light, words: str, *, conservative: bool, low: float) -> Row:
    """Return the row of a dish of 1 m: points within 20 dB of the strongest at their distance.

    Parameters
    ----------
    ratio : float
        Size in wavelengths.
    light : Light
        How the aperture is lit.
    words : str
        Title.
    conservative : bool
        With the printed floors and decibels; else the best estimate.
    low : float
        Least value.
    """
    parts = []
    for ahead, across, exact, gain in references(ratio, light):
        kind = Dish(diameter=1.0, gain=to_db(gain))
        points = np.stack([np.full_like(across, ahead), across, 0.0 * across], axis=1)
        unit = kind.unit_field(points, SPEED_OF_LIGHT * ratio, conservative=conservative)
        pick = (exact > exact.max() * 10.0 ** (-RANGE_DB / 10.0)) & ~unit.reactive
        error = decibels(unit.power_density / exact)[pick]
        parts.append((error, np.full(error.size, ahead / ratio)))
    return row(Dish.KEY, words, parts, EDGES, low=low)


@lru_cache
def beams(*, conservative: bool) -> DistanceTable:
    """Return dishes on and beside their axis.

    Parameters
    ----------
    conservative : bool
        With the printed floors and decibels; else the best estimate.
    """
    check = LOWEST_DB if conservative else np.inf
    return DistanceTable(
        title=f"Dishes across the beam, {'conservative figures' if conservative else 'best estimates'}",
        about="Scalar field of a round aperture, integrated when the report is made. Distance ahead in D²/λ. An "
        "evenly lit dish would be 100 % efficient, which none is; its side lobes pass the envelope of ITU-R F.699 "
        "where the far field starts, so that row is shown and not checked.",
        edges=EDGES,
        unit="D²/λ",
        rows=(
            errors(20.0, tapered, "20 λ, rim 10 dB down", conservative=conservative, low=check),
            errors(60.0, tapered, "60 λ, rim 10 dB down", conservative=conservative, low=check),
            errors(60.0, even, "60 λ, evenly lit", conservative=conservative, low=np.inf),
        ),
    )  # fmt: skip
