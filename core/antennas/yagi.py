"""Yagis: a beam ahead that starts a little behind the foremost element, and a level all round.

Near a Yagi its pattern has not formed: ahead the gain grows as if the wave came from a point up to 0.6 wavelength
inside the boom; beside, every element radiates by its own current. One envelope holds from a tenth of a wavelength
outward, in every direction.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

import numpy as np

from core.antennas.base import Kind, parameter
from core.arrays import Floats, Points
from core.fields.unit_field import Note, UnitField, blend, plane_wave, ramp
from core.units import from_db, to_db, wavelength

TRUST_WAVELENGTHS = 0.1
WIDTH_SQUARED = 99_000.0
"""Square of the half-power width in degrees, times the gain, in the wider (magnetic) plane."""
SIDE = 1.5
"""Gain (a ratio) beside, and the least behind."""
SIDE_FAR, SIDE_NEAR = 0.6, 0.78
"""Near the elements: the first plus the second over d, the wavelengths from the outline, where that is more."""
BACK_OVER = 0.25
"""Wavelengths behind the last element over which their near fields go."""
TIP_FAR, TIP_NEAR = 0.6, 0.14
"""The same past the elements' tips, where thin elements hardly radiate."""
STEEP = (10.0, 40.0)
"""Degrees of the way past the tips over which that takes over."""
BACK_RATIO_DB = 11.0
"""Front-to-back ratio of a Yagi whose sheet gives none."""
TURN = (60.0, 90.0)
"""Degrees off the boom over which the level behind takes over from that beside."""
BEST_DB = 6.0
"""How far the level all round lies above the middle of computed Yagis."""


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
    front_to_back: float | None = parameter(
        "loss", "front-to-back ratio of the data sheet", optional=True, low=0.0, high=60.0
    )

    def unit_field(self, points: Points, frequency: float, *, conservative: bool) -> UnitField:
        real = points.dtype.type
        lam = wavelength(frequency)
        outside = self.outside_of(points, lam)
        distance = np.sqrt(np.einsum("ij,ij->i", outside, outside))
        near = np.maximum(distance, real(0.01 * lam))
        steep = np.degrees(
            np.arctan2(outside[:, 2], np.hypot(outside[:, 0], points[:, 1]) + real(1e-9 * lam))
        )
        behind = ramp(-points[:, 0] - real(self.boom / 2.0), 0.0, BACK_OVER * lam)
        angle = np.degrees(np.arctan2(np.hypot(points[:, 1], points[:, 2]), points[:, 0]))
        d = near / real(lam)
        beside = np.maximum(self.base_gain(angle), (1.0 - behind) * (SIDE_FAR + SIDE_NEAR / d))
        level = blend(beside, TIP_FAR + TIP_NEAR / d, ramp(steep, *STEEP))
        if not conservative:
            level = level * real(from_db(-BEST_DB))
        ahead = (
            real(from_db(self.gain))
            * self.relative_gain(angle)
            * (d / (d + self.setback(lam))) ** 2
        )
        s = np.maximum(level, ahead) / (real(4.0 * np.pi) * near**2)
        e2, h2 = plane_wave(s.astype(points.dtype))
        model = (level > ahead).astype(np.int8)
        return UnitField(e2, h2, distance < real(self.trust(frequency)), model)

    def outside_of(self, points: Points, lam: float) -> Floats:
        """Vectors (n, 3), of sizes only, from the flat rectangle that holds boom and elements."""
        half = np.array([self.boom / 2.0, 0.0, self.element_length * lam / 2.0], points.dtype)
        outside: Floats = np.maximum(np.abs(points) - half, 0.0)
        return outside

    def base_gain(self, angle: Floats) -> Floats:
        """Gain beside and behind, beyond the near fields of the elements, against the angle off the boom."""
        base: Floats = SIDE + (self.back - SIDE) * ramp(angle, *TURN)
        return base

    def relative_gain(self, angle: Floats) -> Floats:
        """Relative power of the main lobe against the angle off the boom, degrees."""
        width2 = WIDTH_SQUARED / from_db(self.gain)
        lobe: Floats = np.exp(-np.log(16.0) * angle * angle / width2)
        return lobe

    @property
    def back(self) -> float:
        """Gain (a ratio) that is taken behind the last element."""
        ratio = BACK_RATIO_DB if self.front_to_back is None else self.front_to_back
        return max(SIDE, from_db(self.gain - ratio))

    def setback(self, lam: float) -> float:
        """Wavelengths behind the outline from which the wave ahead seems to come."""
        boom = self.boom / lam
        usual = min(max(0.44 * boom - 0.05, 0.0), 0.4)
        # A boom with less gain than it could have guides the wave badly: it leaves nearer to the front.
        return usual * min(1.0, from_db(self.gain) / (1.2 * (3.5 + 5.5 * boom)))

    def directivity(self, frequency: float) -> float:
        return from_db(self.gain)

    @property
    def is_envelope(self) -> bool:
        return True

    def trust(self, frequency: float) -> float:
        return TRUST_WAVELENGTHS * wavelength(frequency)

    def outline(self, frequency: float) -> Floats:
        x, z = self.boom / 2.0, self.element_length * wavelength(frequency) / 2.0
        places = np.linspace(-x, x, self.elements)
        upright = [[[p, 0.0, -z], [p, 0.0, z]] for p in places]
        return np.array([[[-x, 0.0, 0.0], [x, 0.0, 0.0]], *upright])

    def notes(self, frequency: float, *, conservative: bool) -> tuple[Note, ...]:
        setback = self.setback(wavelength(frequency))
        given = (
            f"{BACK_RATIO_DB:g} dB front-to-back ratio assumed; a badly tuned Yagi can be worse, a good one "
            "better: give the sheet's figure"
            if self.front_to_back is None
            else f"front-to-back ratio {self.front_to_back:g} dB as given"
        )
        return (
            Note(
                "main lobe of a Yagi, nearer than its far field too",
                "S = P G/(4π (d + δ)²), d to the flat outline of boom and elements, times a lobe of the width "
                "that the gain implies in the wider plane; own envelope over computed Yagis, no published source",
                f"Ahead the wave seems to come from {setback:.2g} wavelength inside the boom. The lobe is the same "
                "all round the boom, so that polarisation and make do not matter.",
                f"trusted from {self.trust(frequency):.2g} m (0.1 wavelength) from the elements; against computed "
                "Yagis of 2 to 15 elements at most 0.5 dB low ahead, 0.8 in a few places of a side lobe far out",
            ),
            Note(
                "level all round a Yagi",
                f"gain {SIDE:g} (ratio) beside, more within 1.5 wavelengths; {TIP_FAR:g} past the elements' "
                f"tips; {self.back:.3g} behind ({given}); own envelope over computed Yagis, no published source",
                "Beside and behind a Yagi no pattern is relied on: side lobes fall anywhere, and near the boom "
                "each element radiates by its own current. A full pattern file of this Yagi would bring the figure "
                "down a few times beside and behind.",
                "never low where the ratio holds; about 8 dB high beside and 12 dB behind",
                BEST_DB if conservative else 0.0,
            ),
        )

    def problems(self, frequency: float) -> tuple[str, ...]:
        boom = self.boom / wavelength(frequency)
        # Twice the boom's end-fire gain of about 4 (1 + 2 L/λ): more than any Yagi of that length has.
        most = to_db(8.0 * (1.0 + 2.0 * boom))
        if self.gain > most:
            return (
                f"{self.gain:.4g} dBi is more than a boom of {boom:.2g} wavelengths gives "
                f"(about {most:.3g} dBi)",
            )
        return ()

    def assumptions(self) -> tuple[str, ...]:
        return (
            f"Yagi of {self.gain:.4g} dBi, boom {self.boom:.3g} m, elements anywhere along it; "
            f"{to_db(self.back):.3g} dBi behind",
        )
