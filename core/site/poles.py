"""Poles that carry the wave of an antenna beside them: what no figure of the site counts.

An upright wire beside a pole that ends near it, or stands on metal, drives a current along the whole pole, as on the
mast of a medium-wave station. Beside the pole its magnetic field falls with the distance, and far from the antenna it
is all there is. Own fields (moments on a thin pole, a half-wave dipole or four bays at 0.75 m, 98 and 170 MHz): figures
were 13 dB low at 0.3 m from a pole of 10 m and 22 dB from one of 20 m, 6 and 14 dB at 1 m; level antennas held, and so
did lattice towers from 0.2 m outward to 3 dB. How much current there is hangs on lengths that nobody measures: no
figure is given.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import shapely

from core.arrays import Bools, Points
from core.site.places import Structure
from core.site.site import Antenna, Site
from core.site.steel import Steel
from core.units import wavelength

WIDEST = 0.5
"""m: wider masts and towers are taken to be lattices, whose many legs share the current (own choice)."""
BESIDE = 1.0
"""m from a pole, or half a wavelength if that is more, within which an antenna drives a current on it (own choice)."""
NEAR = 1.0
"""m from a pole within which nobody is while it carries a wave."""


@dataclass(frozen=True, slots=True)
class Pole:
    """A pole and the names of the antennas whose wave it carries."""

    structure: Structure
    antennas: tuple[str, ...]

    @property
    def words(self) -> str:
        """What is said of it wherever figures are."""
        return (
            f"{self.structure.name}: a pole beside {', '.join(self.antennas)} carries the wave along all of its "
            f"length. Within {NEAR:g} m of it figures can be 10 to 25 dB low: keep away or lock out, and measure the "
            "magnetic field"
        )

    def near(self, points: Points) -> Bools:
        """Return which of some places (n,) are as near as nobody may be.

        Parameters
        ----------
        points : array, shape (n, 3)
            m.
        """
        near: Bools = _steel(self.structure).distance(points) <= NEAR
        return near

    def reaches(self, points: Points, low: float, high: float) -> bool:
        """Return whether somebody within the hull of some places on the plan comes as near as nobody may be.

        Parameters
        ----------
        points : array, shape (n, 3)
            m; their heights do not count.
        low, high : float
            Between which heights bodies are there, m.
        """
        one = self.structure
        hull = shapely.MultiPoint(one.outline).convex_hull
        beside = hull.distance(shapely.MultiPoint(points[:, :2]).convex_hull)
        over = max(one.base - high, low - one.top, 0.0)
        return math.hypot(beside, over) <= NEAR


def _steel(structure: Structure) -> Steel:
    return Steel(((structure.outline, structure.base, structure.top),), 0.0)


def carrying_poles(site: Site) -> tuple[Pole, ...]:
    """Return the poles that carry a wave while the antennas are as they are.

    Parameters
    ----------
    site : Site
        The site.
    """
    found = []
    for one in site.structures:
        if one.kind in ("mast", "tower") and _width(one) <= WIDEST:
            names = tuple(a.name for a in _beside(one, site))
            if names:
                found.append(Pole(one, names))
    return tuple(found)


def _width(structure: Structure) -> float:
    return float(np.ptp(np.array(structure.outline), axis=0).max())


def _beside(pole: Structure, site: Site) -> Iterator[Antenna]:
    for antenna in site.antennas:
        kind = antenna.kind
        if kind.is_backed or kind.has_own_ground or antenna.state.factor <= 0.0:
            continue
        for carrier in antenna.carriers:
            # From its metal: the lowest bay of many may hang beside the top of a pole.
            local = kind.outline(carrier.frequency).reshape(-1, 3)
            metal = local @ antenna.frame(site.grid_north).T + np.array(antenna.position)
            away = float(_steel(pole).distance(metal).min())
            if away <= max(BESIDE, 0.5 * wavelength(carrier.frequency)):
                yield antenna
                break
