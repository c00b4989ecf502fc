"""What the steel of towers and masts adds to the field beside it.

A leg beside a person carries a current that raises the field there; a tower beside an antenna sends part of the wave
to one side. Both are counted as decibels on the field without steel, which is not taken below a share of the
isotropic value, because steel fills nulls.

Own fit, held against bays beside lattice towers by the method of moments (triangular towers of 0.6 to 0.9 m face at
98 MHz, bays 0.5 to 1 m from the leg; never low); basis near a leg: the field along a long wire of radius a rises to
1 + |H1(kd)/H0(ka)| times (Hankel functions, textbook, from memory). Monopoles, wide towers and meshes
larger than 0.3 wavelength were not held against anything; horizontal dipoles before a lattice whose members are 0.35 to
0.5 wavelength long are 3 to 5 dB low (own fields): it works as their reflector.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from core.arrays import Floats, Points
from core.site.places import Structure
from core.units import wavelength

NEAR_DB = ((0.2, 6.0), (1.0, 3.1), (5.0, 1.5), (25.0, 0.0))
"""(m from the steel, dB) for every antenna; between them linear in the logarithm of the distance, ever less steep."""

IN_PATTERN_DB = ((0.2, 6.0), (1.0, 0.0))
"""The same where the pattern has the tower in it."""

BESIDE_DB, WIDE_DB = 3.1, 6.0
"""dB anywhere for an antenna beside a tower up to half a wavelength wide, and two wavelengths or more."""

NEAREST = 1e-3
"""m: nearer than this to the steel is on it."""

FILL = 0.3
"""Share of the isotropic value under which the field beside steel is never taken."""

_STEEL = ("tower", "mast")


@dataclass(frozen=True, slots=True)
class Steel:
    """The steel of a site as one antenna sees it.

    Attributes
    ----------
    outlines : tuple
        (outline on the plan, base, top) of each tower and mast, m; its members stand in its faces.
    beside_db : float
        dB anywhere, because the antenna itself stands beside steel.
    in_pattern : bool
        Whether the antenna's pattern was measured with the tower in it: then only the nearest metre counts.
    """

    outlines: tuple[tuple[tuple[tuple[float, float], ...], float, float], ...]
    beside_db: float
    in_pattern: bool = False

    @property
    def fill(self) -> float:
        """Share of the isotropic value that the field is never taken below."""
        return FILL * min(1.0, self.beside_db / BESIDE_DB)

    def distance(self, points: Points) -> Floats:
        """Return the distance (n,) of points (n, 3) from the nearest face, m."""
        x, y, z = (np.asarray(points[:, i], dtype=np.float64) for i in range(3))
        nearest = np.full(len(points), np.inf)
        for outline, base, top in self.outlines:
            off = np.maximum(np.maximum(base - z, z - top), 0.0)
            for (x0, y0), (x1, y1) in zip(outline, (*outline[1:], outline[0]), strict=True):
                dx, dy = x1 - x0, y1 - y0
                long2 = dx * dx + dy * dy
                t = np.clip(((x - x0) * dx + (y - y0) * dy) / long2, 0.0, 1.0) if long2 else 0.0
                away = np.hypot(np.hypot(x - x0 - t * dx, y - y0 - t * dy), off)
                np.minimum(nearest, away, out=nearest)
        return nearest

    def decibels(self, distance: Floats) -> NDArray[np.float64]:
        """Return the allowance (n,) in dB at distances (n,) from the steel, m; it falls with the distance."""
        at, db = np.array(NEAR_DB).T
        if self.in_pattern:
            at, db = np.array(IN_PATTERN_DB).T
        near = np.interp(np.log(np.maximum(distance, NEAREST)), np.log(at), db)
        allowance: NDArray[np.float64] = np.maximum(near, self.beside_db)
        return allowance

    def rise(self, distance: Floats) -> NDArray[np.float64]:
        """Return the allowance (n,) as a ratio of power densities at distances (n,) from the steel, m."""
        ratio: NDArray[np.float64] = 10.0 ** (self.decibels(distance) / 10.0)
        return ratio

    @property
    def flat_within(self) -> float:
        """How near the steel the allowance no longer rises, m."""
        return NEAR_DB[0][0]

    @property
    def steepest(self) -> float:
        """The largest exponent m with which the allowance, as a ratio, falls as distance^-m."""
        at, db = np.array(IN_PATTERN_DB if self.in_pattern else NEAR_DB).T
        return float(np.max(-np.diff(db) / np.diff(np.log(at))) * np.log(10.0) / 10.0)

    @property
    def words(self) -> str:
        """What the reading says."""
        if self.in_pattern:
            return (
                "steel: counted only within a metre of towers and masts (6 dB at 0.2 m), "
                "because the pattern has the tower in it"
            )
        anywhere = (
            f"{self.beside_db:.1f} dB anywhere, because this antenna stands beside steel; "
            if self.beside_db > 0.0
            else ""
        )
        return (
            f"steel: {anywhere}near towers and masts 6 dB to 0.2 m, 3.1 dB at 1 m, 1.5 dB at 5 m "
            "(own fit; monopoles and wide towers are not tested)"
        )


def steel(
    structures: Iterable[Structure],
    antenna: tuple[float, float, float],
    frequency: float,
    *,
    backed: bool,
    in_pattern: bool,
    own: bool,
) -> Steel | None:
    """Return the steel about an antenna, or None where there is none.

    Parameters
    ----------
    structures : iterable of Structure
        Towers and masts count.
    antenna : tuple of three floats
        The antenna's centre, site frame, m.
    frequency : float
        Hz.
    backed : bool
        Whether a reflector keeps its wave off what stands behind it.
    in_pattern : bool
        Whether its pattern was measured with the tower in it.
    own : bool
        Whether the antenna is itself a mast on the ground: one drawn about it is that mast.
    """
    lam = wavelength(frequency)
    kept, beside = [], 0.0
    for structure in structures:
        if structure.kind not in _STEEL:
            continue
        one = Steel(((structure.outline, structure.base, structure.top),), 0.0)
        width = float(np.ptp(np.array(structure.outline), axis=0).max())
        away = float(one.distance(np.array([antenna]))[0])
        if own and away <= max(width, 0.1):
            continue
        kept.append((structure.outline, structure.base, structure.top))
        if not backed and not in_pattern:
            wide = BESIDE_DB + (WIDE_DB - BESIDE_DB) * float(
                np.clip((width / lam - 0.5) / 1.5, 0.0, 1.0)
            )
            reach = max(width, lam)
            beside = max(beside, wide * min(1.0, reach / max(away, 1e-9)))
    return Steel(tuple(kept), beside, in_pattern) if kept else None
