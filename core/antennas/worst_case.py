"""The worst case: an isotropic source at its EIRP with a fully reflecting ground."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

import numpy as np

from core.antennas.base import Kind, parameter
from core.arrays import Floats, Points
from core.fields.unit_field import Note, UnitField, plane_wave, single_model
from core.units import from_db, wavelength

REFLECTION = 4.0
TRUST_WAVELENGTHS = 0.1


@dataclass(frozen=True)
class WorstCase(Kind):
    """An antenna of which only the power and the highest gain are known."""

    KEY: ClassVar[str] = "worst-case"
    TITLE: ClassVar[str] = "worst case (no data): EIRP in every direction, full reflection"

    gain: float = parameter("gain", "highest gain the antenna can have", low=-10.0, high=70.0)
    size: float = parameter("length", "longest dimension", default=1.0, low=0.0, high=100.0)

    def unit_field(self, points: Points, frequency: float, *, conservative: bool) -> UnitField:
        real = points.dtype.type
        half = real(self.size / 2.0)
        z = np.maximum(np.abs(points[:, 2]) - half, 0.0)
        r2 = points[:, 0] ** 2 + points[:, 1] ** 2 + z**2
        smallest = real((0.01 * wavelength(frequency)) ** 2)
        gain = real(from_db(self.gain) * REFLECTION / (4.0 * np.pi))
        e2, h2 = plane_wave(gain / np.maximum(r2, smallest))
        return single_model(e2, h2, r2 < real(self.trust(frequency) ** 2))

    @property
    def has_boresight(self) -> bool:
        return False

    def directivity(self, frequency: float) -> float:
        return from_db(self.gain)

    @property
    def is_envelope(self) -> bool:
        return True

    def trust(self, frequency: float) -> float:
        return TRUST_WAVELENGTHS * wavelength(frequency)

    def outline(self, frequency: float) -> Floats:
        return np.array([[[0.0, 0.0, -self.size / 2.0], [0.0, 0.0, self.size / 2.0]]])

    def notes(self, frequency: float, *, conservative: bool) -> tuple[Note, ...]:
        return (
            Note(
                "isotropic at EIRP with full reflection",
                "S = EIRP/(π R²), FCC OET Bulletin 65 eq. 5 (number from memory)",
                "Nothing is known of this antenna's pattern, so its highest gain is taken in every direction, "
                "the distance from its nearest part, and the reflected wave as strong as the direct one.",
                f"trusted outside {self.trust(frequency):.2g} m (0.1 wavelength)",
            ),
        )

    def assumptions(self) -> tuple[str, ...]:
        return (
            f"no pattern: {self.gain:.4g} dBi in every direction, full reflection already included",
        )
