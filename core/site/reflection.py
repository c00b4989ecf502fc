"""How the wave reflected by ground or roof is counted."""

from __future__ import annotations

import math
from dataclasses import dataclass
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
    plane : float
        Height of the reflecting plane, m above the site datum.
    """

    kind: ReflectionKind = ReflectionKind.GROUND
    permittivity: float = 15.0
    conductivity: float = 0.001
    plane: float = 0.0

    def __post_init__(self) -> None:
        if not (math.isfinite(self.permittivity) and 1.0 <= self.permittivity <= 100.0):
            raise InputError(f"{self.permittivity:g}", field="permittivity", fix="Use 1 to 100")
        if not (math.isfinite(self.conductivity) and 0.0 <= self.conductivity <= 1e8):
            raise InputError(
                f"{self.conductivity:g} S/m", field="conductivity", fix="Use 0 or more"
            )
        if not (math.isfinite(self.plane) and abs(self.plane) <= 10_000.0):
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
        return (
            f"two rays, added as if in phase: reflection at {self.plane:g} m from ground with relative "
            f"permittivity {self.permittivity:g} and {self.conductivity:g} S/m (Fresnel coefficients, the "
            "larger of both polarisations)"
        )

    def mirrored(self, points: Points) -> Points:
        """Return the points (n, 3) mirrored in the reflecting plane."""
        image: Points = points.copy()
        image[:, 2] = points.dtype.type(2.0 * self.plane) - points[:, 2]
        return image

    def coefficient(
        self, points: Points, antenna: tuple[float, float, float], frequency: float
    ) -> Floats:
        """Return the size (n,) of the reflection coefficient for the ray from an antenna's centre.

        The larger of horizontal and vertical polarisation; Fresnel (textbook form, from memory).
        """
        across = np.hypot(points[:, 0] - antenna[0], points[:, 1] - antenna[1])
        rise = np.abs(points[:, 2] - self.plane) + abs(antenna[2] - self.plane)
        ground = complex_permittivity(self.permittivity, self.conductivity, frequency)
        horizontal, vertical = fresnel(np.arctan2(rise, across), ground)
        size: Floats = np.maximum(np.abs(horizontal), np.abs(vertical)).astype(points.dtype)
        return size


GROUND_FACTOR = Reflection()
"""The default: the factor 1.6 everywhere."""
