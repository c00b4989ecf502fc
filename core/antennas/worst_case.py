"""The worst case: the highest gain in every direction, reactive fields included, full reflection."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

import numpy as np

from core.antennas.base import Kind, parameter
from core.arrays import Floats, Points
from core.fields.unit_field import Note, UnitField, plane_wave, single_model
from core.units import from_db, wavelength

REFLECTION = 4.0
TRUST_WAVELENGTHS = 0.05


@dataclass(frozen=True)
class WorstCase(Kind):
    """An antenna of which only the power and the highest gain are known.

    Which way it is turned is not known either: its metal may be anywhere in a ball about its position.
    """

    KEY: ClassVar[str] = "worst-case"
    TITLE: ClassVar[str] = "worst case (no data): EIRP in every direction, full reflection"

    gain: float = parameter("gain", "highest gain the antenna can have", low=-10.0, high=70.0)
    size: float = parameter("length", "longest dimension", default=1.0, low=0.0, high=100.0)

    def unit_field(self, points: Points, frequency: float, *, conservative: bool) -> UnitField:
        real = points.dtype.type
        lam = wavelength(frequency)
        away = np.sqrt(np.einsum("ij,ij->i", points, points))
        distance = away - real(self.size / 2.0)
        near = np.maximum(distance, real(0.01 * lam))
        gain = real(from_db(self.gain) * REFLECTION / (4.0 * np.pi))
        e2, h2 = plane_wave(gain * reactive_rise(near, lam) / near**2)
        return single_model(e2, h2, distance < real(self.trust(frequency)))

    def to_find_out(self, frequency: float) -> str:
        return "its data sheet: kind, pattern and size"

    @property
    def has_boresight(self) -> bool:
        return False

    def directivity(self, frequency: float) -> float:
        return from_db(self.gain)

    @property
    def is_envelope(self) -> bool:
        return True

    @property
    def is_sphere(self) -> bool:
        return True

    @property
    def has_own_reflection(self) -> bool:
        return True

    def trust(self, frequency: float) -> float:
        return TRUST_WAVELENGTHS * wavelength(frequency)

    def outline(self, frequency: float) -> Floats:
        return np.array([[[0.0, 0.0, -self.size / 2.0], [0.0, 0.0, self.size / 2.0]]])

    def notes(self, frequency: float, *, conservative: bool) -> tuple[Note, ...]:
        return (
            Note(
                "isotropic at EIRP with reactive fields and full reflection",
                "S = EIRP/(π d²) (FCC OET Bulletin 65 eq. 5, number from memory) times the larger of "
                "1 + 1/x² + 1/x⁴ and 4/x² + 4/x⁴, x = 2π d/λ: the near fields of a short dipole and a small "
                "loop beside and along the axis (textbook, from memory; the first raised by 1/x²)",
                "Nothing is known of this antenna's pattern, so its highest gain is taken in every direction, "
                "the distance from the ball that holds its longest dimension, and the reflected wave as strong "
                "as the direct one. Its data sheet (kind, pattern, size) would bring the figure down, often "
                "ten times and more beside and behind.",
                f"trusted outside {self.trust(frequency):.2g} m (0.05 wavelength); at worst 0.2 dB low, before "
                "reflection, against short dipoles, loops, helices and close pairs by the method of moments",
            ),
        )

    def assumptions(self) -> tuple[str, ...]:
        return (
            f"no pattern: {self.gain:.4g} dBi in every direction, full reflection already included",
        )


def reactive_rise(distance: Floats, lam: float) -> Floats:
    """Return how much the stronger of both fields exceeds the far field's law at a distance from the metal.

    The larger of E²/η and ηH² of a short dipole or a small loop of one gain, in the worst direction, over
    G/(4π d²): 1 - 1/x² + 1/x⁴ across the axis and 4/x² + 4/x⁴ along it relative to its peak gain (textbook, from
    memory), x = 2π d/λ. Across, + 1/x² stands for - 1/x², so that bent and loaded antennas are covered too.

    Parameters
    ----------
    distance : array
        m, from the nearest metal.
    lam : float
        Wavelength, m.

    Returns
    -------
    array
        Same shape as the distances: a ratio of power densities.
    """
    u = distance.dtype.type(lam / (2.0 * np.pi)) / distance
    u2 = u * u
    u4 = u2 * u2
    rise: Floats = np.maximum(1.0 + u2 + u4, 4.0 * (u2 + u4))
    return rise
