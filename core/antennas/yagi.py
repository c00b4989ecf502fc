"""Yagis: maximum gain over the distance to the nearest element, pattern gain only far out.

Close to a Yagi the gain towards the point is up to 49 dB low, so no credit is taken for the pattern
there. Far out an envelope stands for it: a main lobe as wide as in the wider of the two planes and
one level for every side and back lobe.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

import numpy as np

from core.antennas.base import Kind, parameter
from core.arrays import Floats, Points
from core.fields.unit_field import Note, UnitField, blend, plane_wave, ramp
from core.units import from_db, wavelength

TRUST_WAVELENGTHS = 0.1
FRONT_WAVELENGTHS, SIDE_WAVELENGTHS = 5.0, 20.0
"""Distances from the boom's centre for the pattern, for booms up to SHORT_BOOM wavelengths."""
SHORT_BOOM = 0.8
FRONT_EDGE = 60.0
FADE = 1.6
"""The pattern has taken over at this multiple of the distance where it starts to."""
WIDTH_SQUARED = 70_000.0
"""Square of the half-power width in degrees, times the gain, in the wider (magnetic) plane."""
SIDE_DB = 10.0
"""Side and back lobes below the gain."""
PATTERN_COVER_DB = 1.0


@dataclass(frozen=True)
class Yagi(Kind):
    """A Yagi with its boom along the boresight; its position is the middle of the boom.

    Its elements are vertical; with a roll of 90° they are horizontal.
    """

    KEY: ClassVar[str] = "yagi"
    TITLE: ClassVar[str] = "Yagi (elements vertical; roll 90° for horizontal)"

    gain: float = parameter("gain", "gain of the data sheet", low=2.0, high=25.0)
    boom: float = parameter("length", "length of the boom", low=0.02, high=50.0)
    elements: int = parameter("count", "elements on the boom", default=5, low=2, high=60)
    element_length: float = parameter(
        "wavelengths", "length of the longest element", default=0.5, low=0.2, high=1.0
    )

    def unit_field(self, points: Points, frequency: float, *, conservative: bool) -> UnitField:
        real = points.dtype.type
        lam = wavelength(frequency)
        away = np.sqrt(np.einsum("ij,ij->i", points, points))
        angle = np.degrees(np.arctan2(np.hypot(points[:, 1], points[:, 2]), points[:, 0]))
        distance = self.hull_distance(points, lam)
        top = real(from_db(self.gain) / (4.0 * np.pi))
        smallest = real(0.01 * lam)
        close = top / np.maximum(distance, smallest) ** 2
        relative = self.relative_gain(angle)
        cover = real(from_db(PATTERN_COVER_DB if conservative else 0.0))
        shaped = top * relative * cover / np.maximum(away, smallest) ** 2
        start = self.pattern_from(angle, lam)
        weight = ramp(np.log(np.maximum(away, smallest) / start), 0.0, float(np.log(FADE)))
        s = blend(close, shaped, weight).astype(points.dtype)
        e2, h2 = plane_wave(s)
        reactive = distance < real(self.trust(frequency))
        return UnitField(e2, h2, reactive, (weight > 0.5).astype(np.int8))

    def hull_distance(self, points: Points, lam: float) -> Floats:
        """Distance (n,) from the flat rectangle that holds boom and elements."""
        half = np.array([self.boom / 2.0, 0.0, self.element_length * lam / 2.0], points.dtype)
        outside = np.maximum(np.abs(points) - half, 0.0)
        distance: Floats = np.sqrt(np.einsum("ij,ij->i", outside, outside))
        return distance

    def relative_gain(self, angle: Floats) -> Floats:
        """Relative power of the envelope against the angle off the boom, degrees."""
        width2 = WIDTH_SQUARED / from_db(self.gain)
        lobe = np.exp(-np.log(16.0) * angle * angle / width2)
        side = from_db(-SIDE_DB)
        envelope: Floats = side + (1.0 - side) * lobe
        return envelope

    def pattern_from(self, angle: Floats, lam: float) -> Floats:
        """Distance (n,) from the boom's centre beyond which the pattern starts to count, m."""
        sideways = ramp(angle, FRONT_EDGE - 12.0, FRONT_EDGE)
        start = FRONT_WAVELENGTHS * (SIDE_WAVELENGTHS / FRONT_WAVELENGTHS) ** sideways
        scaled: Floats = start * lam * max(1.0, self.boom / lam / SHORT_BOOM)
        return scaled

    def directivity(self, frequency: float) -> float:
        return from_db(self.gain)

    @property
    def is_envelope(self) -> bool:
        return True

    def trust(self, frequency: float) -> float:
        return TRUST_WAVELENGTHS * wavelength(frequency)

    def outline(self, frequency: float) -> Floats:
        half = self.element_length * wavelength(frequency) / 2.0
        along = np.linspace(-self.boom / 2.0, self.boom / 2.0, self.elements)
        rods = [[[x, 0.0, -half], [x, 0.0, half]] for x in along]
        return np.array([[[along[0], 0.0, 0.0], [along[-1], 0.0, 0.0]], *rods])

    def notes(self, frequency: float, *, conservative: bool) -> tuple[Note, ...]:
        lam = wavelength(frequency)
        near, far = (float(x) for x in self.pattern_from(np.array([0.0, 180.0]), lam))
        return (
            Note(
                "maximum gain over the distance to the nearest element",
                "S = P G/(4π d²), FCC OET Bulletin 65 eq. 3 (number from memory), with the distance to the "
                "flat outline of boom and elements",
                "Near a Yagi its pattern has not formed, and the gain towards the point can be 49 dB too "
                "low. The highest gain is taken in every direction.",
                f"trusted from {self.trust(frequency):.2g} m (0.1 wavelength) from the elements; never low, "
                "up to 25 dB high, against a method-of-moments Yagi",
            ),
            Note(
                "envelope of the pattern from the boom's centre",
                "main lobe of the width that the gain implies in the wider plane, side and back lobes "
                "10 dB down; own envelope over computed Yagis, no published source",
                "Far from a Yagi its pattern holds. One smooth envelope, equal all round the boom, stands "
                "for it, so that polarisation and make do not matter.",
                f"used beyond {near:.3g} m in front and {far:.3g} m elsewhere; at worst 1 dB below computed "
                "Yagis of 2 to 15 elements before the added decibels",
                PATTERN_COVER_DB if conservative else 0.0,
            ),
        )

    def problems(self, frequency: float) -> tuple[str, ...]:
        boom = self.boom / wavelength(frequency)
        # Twice the boom's end-fire gain of about 4 (1 + 2 L/λ): more than any Yagi of that length has.
        most = 10.0 * np.log10(8.0 * (1.0 + 2.0 * boom))
        if self.gain > most:
            return (
                f"{self.gain:.4g} dBi is more than a boom of {boom:.2g} wavelengths gives "
                f"(about {most:.3g} dBi)",
            )
        return ()

    def assumptions(self) -> tuple[str, ...]:
        return (
            f"Yagi of {self.gain:.4g} dBi, boom {self.boom:.3g} m, elements anywhere along it; side and back "
            f"lobes {SIDE_DB:g} dB down",
        )
