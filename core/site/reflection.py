"""How the wave reflected by ground or roof is counted."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, replace
from enum import StrEnum

import numpy as np

from core.arrays import Floats, Points
from core.errors import InputError
from core.fields.ground import complex_permittivity, fresnel


class ReflectionKind(StrEnum):
    """How the reflected wave is counted."""

    NONE = "none"
    GROUND = "ground 1.6"
    FULL = "full 2.0"
    TWO_RAY = "two-ray"


_FACTORS = {
    ReflectionKind.NONE: 1.0,
    ReflectionKind.GROUND: 1.6,
    ReflectionKind.FULL: 2.0,
    ReflectionKind.TWO_RAY: 1.0,
}


@dataclass(frozen=True, slots=True)
class Reflection:
    """Reflection as a factor on the field, or as a second ray from a plane with ground constants.

    Attributes
    ----------
    kind : ReflectionKind
    permittivity, conductivity : float
        Ground constants of the two-ray kind: relative, and S/m. The default is medium dry ground
        (ITU-R P.527-3 style, from memory).
    plane : float or None
        Height of the one reflecting plane, m above the site datum; None for every walking surface below the
        antenna.
    planes : tuple of float
        The heights that count for one antenna, once its site is known (:meth:`below`).
    """

    kind: ReflectionKind = ReflectionKind.GROUND
    permittivity: float = 15.0
    conductivity: float = 0.001
    plane: float | None = None
    planes: tuple[float, ...] = ()

    def __post_init__(self) -> None:
        if not (math.isfinite(self.permittivity) and 1.0 <= self.permittivity <= 100.0):
            raise InputError(f"{self.permittivity:g}", field="permittivity", fix="Use 1 to 100")
        if not (math.isfinite(self.conductivity) and 0.0 <= self.conductivity <= 1e8):
            raise InputError(
                f"{self.conductivity:g} S/m", field="conductivity", fix="Use 0 or more"
            )
        if self.plane is not None and not abs(self.plane) <= 10_000.0:
            raise InputError(
                f"{self.plane:g} m", field="plane", fix="Use a height above the datum in m"
            )

    @property
    def field_factor(self) -> float:
        """Factor on E and H; 1 for the two-ray kind, whose second ray is summed at each point."""
        return _FACTORS[self.kind]

    @property
    def power_factor(self) -> float:
        """Factor on power density, E² and H²."""
        return self.field_factor**2

    @property
    def words(self) -> str:
        """What the reading says."""
        if self.kind is ReflectionKind.NONE:
            return (
                "no reflection counted (free space): the map can be too low near ground and walls"
            )
        if self.kind is ReflectionKind.GROUND:
            return (
                "reflection: field × 1.6, power × 2.56 everywhere "
                "(EPA ground factor, FCC OET Bulletin 65 eq. 6)"
            )
        if self.kind is ReflectionKind.FULL:
            return "full reflection: field × 2, power × 4 everywhere (FCC OET Bulletin 65 eq. 5, from memory)"
        at = " and ".join(f"{plane:g}" for plane in self.planes or (self.plane or 0.0,))
        rays = {0: "two", 1: "two", 2: "three"}.get(len(self.planes), str(len(self.planes) + 1))
        return (
            f"{rays} rays, added as if in phase: reflection at {at} m from ground with relative "
            f"permittivity {self.permittivity:g} and {self.conductivity:g} S/m (Fresnel coefficients, the "
            "larger of both polarisations)"
        )

    def below(self, antenna: float, surfaces: Iterable[float]) -> Reflection:
        """Return the reflection of an antenna at a height over walking surfaces at theirs, m.

        Every surface below it counts, as if it had no end: a ray from the antenna can reach it. Where none is drawn the
        datum counts.
        """
        if self.kind is not ReflectionKind.TWO_RAY:
            return self
        if self.plane is not None:
            return replace(self, planes=(self.plane,))
        heights = sorted({height for height in surfaces if height <= antenna})
        return replace(self, planes=tuple(heights) or (0.0,))

    def rays(self) -> tuple[Ray, ...]:
        """Return the reflected rays, one a plane."""
        return tuple(Ray(self.permittivity, self.conductivity, plane) for plane in self.planes)


@dataclass(frozen=True, slots=True)
class Ray:
    """What one reflecting plane with ground constants sends back."""

    permittivity: float
    conductivity: float
    plane: float

    def mirrored(self, points: Points) -> Points:
        """Return the points (n, 3) mirrored in the reflecting plane."""
        image: Points = points.copy()
        image[:, 2] = points.dtype.type(2.0 * self.plane) - points[:, 2]
        return image

    def coefficient(
        self, points: Points, antenna: tuple[float, float, float], frequency: float
    ) -> Floats:
        """Return the size (n,) of the reflection coefficient for the ray from an antenna's centre.

        The larger of horizontal and vertical polarisation; Fresnel (textbook form, from memory). Nothing is sent
        back to what lies below the plane.
        """
        across = np.hypot(points[:, 0] - antenna[0], points[:, 1] - antenna[1])
        rise = np.abs(points[:, 2] - self.plane) + abs(antenna[2] - self.plane)
        ground = complex_permittivity(self.permittivity, self.conductivity, frequency)
        horizontal, vertical = fresnel(np.arctan2(rise, across), ground)
        size: Floats = np.maximum(np.abs(horizontal), np.abs(vertical)).astype(points.dtype)
        size[points[:, 2] < self.plane - UNDER] = 0.0
        return size


UNDER = 1e-3
"""m below a plane up to which a place still counts as on it."""

GROUND_FACTOR = Reflection()
"""The default: the factor 1.6 everywhere."""
