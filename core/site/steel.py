"""What the steel of towers and masts adds to the field beside it.

A leg beside a person carries a current that raises the field there; a tower beside an antenna sends part of the wave
to one side. Both are counted as decibels on the field without steel, which is not taken below a share of the
isotropic value, because steel fills nulls.

Own fit, held against single bays and pairs of five shapes beside lattice towers by the method of moments (triangular
towers of 0.15 to 0.6 wavelength face, bays 0.6 to 1 m from the leg): never low from 0.2 m outward, nearer by 0.5 to
3 dB in one place of 1,000. Basis near a leg: the field along a long wire of radius a rises to 1 + |H1(kd)/H0(ka)| times
(Hankel functions, textbook, from memory). Members from a quarter wavelength on resonate, and the field next to them
rises more; before antennas whose field is level, a lattice of such members works as a reflector, and the field rises
in front and behind. Of 42 towers of other makes (three and four legs, K, X and Z bracing, own fields by another hand)
five were 1 to 9 dB low in hot spots within half a metre of members and up to 5 within two metres (K bracing), one
place of 100: no allowance that is of use covers those, and the reading says so. Monopoles and towers wider than 1.2
wavelengths were not held against anything.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from core.arrays import Floats, Points
from core.site.places import Structure
from core.units import wavelength

NEAR_DB = ((0.1, 7.3), (0.2, 6.0), (1.0, 3.1), (5.0, 1.5), (25.0, 0.0))
"""(m from the steel, dB) for every antenna; between them linear in the logarithm of the distance, ever less steep."""

RESONANT_DB = ((0.1, 9.0), (0.2, 7.0), (1.0, 3.1), (5.0, 1.5), (25.0, 0.0))
"""The same beside towers whose members may be half a wavelength long."""

LEVEL_DB, LEVEL_NEAR_DB = 4.0, (2.5, 2.5, 2.0, 1.0, 0.0)
"""More beside such a tower, anywhere and at those distances, for antennas whose field is level all round."""

SHORT, RESONANT = 0.2, 0.27
"""Wavelengths across a tower: up to the first no member resonates, from the second on some may."""

LONG, LARGE = 0.8, 1.2
"""Wavelengths: between these that ends again; the field that resonance makes reaches as far as the wave is long, and
beside members of many wavelengths 0.2 m is far."""

IN_PATTERN_DB = ((0.1, 8.6), (0.2, 6.0), (1.0, 0.0))
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
    resonant : float
        How far its members may resonate at the antenna's frequency, 0 to 1.
    level : bool
        Whether the antenna's field is horizontal all round.
    """

    outlines: tuple[tuple[tuple[tuple[float, float], ...], float, float], ...]
    beside_db: float
    in_pattern: bool = False
    resonant: float = 0.0
    level: bool = False

    @property
    def near_db(self) -> tuple[tuple[float, float], ...]:
        """The allowance near the steel, as :data:`NEAR_DB`."""
        if self.in_pattern:
            return IN_PATTERN_DB
        rows = zip(NEAR_DB, RESONANT_DB, LEVEL_NEAR_DB, strict=True)
        return tuple(
            (at, db + self.resonant * (more + self.level * extra - db))
            for (at, db), (_, more), extra in rows
        )

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
        at, db = np.array(self.near_db).T
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
        return self.near_db[0][0]

    @property
    def steepest(self) -> float:
        """The largest exponent m with which the allowance, as a ratio, falls as distance^-m."""
        at, db = np.array(self.near_db).T
        return float(np.max(-np.diff(db) / np.diff(np.log(at))) * np.log(10.0) / 10.0)

    @property
    def words(self) -> str:
        """What the reading says."""
        if self.in_pattern:
            return (
                "steel: counted only within a metre of towers and masts (6 dB at 0.2 m, nearer more), "
                "because the pattern has the tower in it"
            )
        anywhere = (
            f"{self.beside_db:.1f} dB anywhere, because this antenna stands beside steel; "
            if self.beside_db > 0.0
            else ""
        )
        near = ", ".join(f"{db:.1f} dB at {at:g} m" for at, db in self.near_db[:4])
        if self.resonant > 0.0:
            near += (
                "; where members resonate hot spots can be up to 9 dB more within half a metre and 5 within two: "
                "measure there"
            )
        return f"steel: {anywhere}near towers and masts {near} (own fit; monopoles and wide towers are not tested)"


def steel(
    structures: Iterable[Structure],
    antenna: tuple[float, float, float],
    frequency: float,
    *,
    backed: bool,
    in_pattern: bool,
    own: bool,
    level: bool = False,
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
    level : bool
        Whether the antenna's field is horizontal all round.
    """
    lam = wavelength(frequency)
    kept, beside, resonant = [], 0.0, 0.0
    for structure in structures:
        if structure.kind not in _STEEL:
            continue
        one = Steel(((structure.outline, structure.base, structure.top),), 0.0)
        width = float(np.ptp(np.array(structure.outline), axis=0).max())
        away = float(one.distance(np.array([antenna]))[0])
        if own and away <= max(width, 0.1):
            continue
        kept.append((structure.outline, structure.base, structure.top))
        across = width / lam
        may = float(np.clip((across - SHORT) / (RESONANT - SHORT), 0.0, 1.0))
        resonant = max(resonant, min(may, max((LARGE - across) / (LARGE - LONG), 0.0)))
        if not backed and not in_pattern:
            wide = BESIDE_DB + (WIDE_DB - BESIDE_DB) * float(
                np.clip((across - 0.5) / 1.5, 0.0, 1.0)
            )
            if level:
                wide = max(wide, BESIDE_DB + LEVEL_DB * may)
            reach = max(width, lam)
            beside = max(beside, wide * min(1.0, reach / max(away, 1e-9)))
    return Steel(tuple(kept), beside, in_pattern, resonant, level) if kept else None
