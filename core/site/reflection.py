"""How the wave reflected by ground or roof is counted."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

from core.errors import InputError


class ReflectionKind(StrEnum):
    """How the reflected wave is counted."""

    SURFACES = "surfaces"
    NONE = "none"
    GROUND = "ground 1.6"
    FULL = "full 2.0"
    TWO_RAY = "two-ray"


_FACTORS = {
    ReflectionKind.SURFACES: 1.0,
    ReflectionKind.NONE: 1.0,
    ReflectionKind.GROUND: 1.6,
    ReflectionKind.FULL: 2.0,
    ReflectionKind.TWO_RAY: 1.0,
}


@dataclass(frozen=True, slots=True)
class Reflection:
    """Reflection by the surfaces of the site, as a factor on the field, or from planes with ground constants.

    Attributes
    ----------
    kind : ReflectionKind
    permittivity, conductivity : float
        Ground constants of the two-ray kind: relative, and S/m. The default is medium dry ground
        (ITU-R P.527-3 style, from memory).
    plane : float or None
        Height of the one reflecting plane of the two-ray kind, m above the site datum; None for every walking
        surface below the antenna.
    """

    kind: ReflectionKind = ReflectionKind.SURFACES
    permittivity: float = 15.0
    conductivity: float = 0.001
    plane: float | None = None

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
        """Factor on E and H; 1 where the reflected wave is summed at each point."""
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
        if self.kind is ReflectionKind.TWO_RAY:
            return (
                f"rays from ground with relative permittivity {self.permittivity:g} and {self.conductivity:g} S/m, "
                "added as if in phase (Fresnel coefficients, the larger of both polarisations)"
            )
        return "reflection by ground, roofs, walls and corners, as if in phase; walls that no beam meets as powers"


GROUND_FACTOR = Reflection(ReflectionKind.GROUND)
"""The factor 1.6 everywhere."""

BY_SURFACES = Reflection()
"""The default."""
