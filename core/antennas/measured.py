"""An antenna with a measured or published pattern: cuts or a full 3-D table."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import ClassVar, Literal

import numpy as np

from core.antennas.base import FM_HIGH, FM_LOW, Kind, parameter
from core.antennas.stack import stack_heights
from core.arrays import Floats, Points
from core.caches import kept
from core.errors import InputError
from core.fields import elements as el
from core.fields.unit_field import Note, UnitField, blend, plane_wave, raised, ramp
from core.geometry import directions, segment_distance
from core.patterns.build3d import best_estimate, conservative
from core.patterns.model import Pattern, PatternData
from core.units import from_db, show_frequency, wavelength

TRUST_WAVELENGTHS = 0.5
NEAR_COVER_DB = 1.5
ELEMENT_WAVELENGTHS = 0.8
BAND_SLACK = 0.05
HORIZON_DEGREES = 30.0
"""A beam within this of the horizon is the one that a licence means."""
ROUND_DB = 4.0
"""A pattern whose horizon varies by less is drawn as one without a forward direction."""


@dataclass(frozen=True)
class Measured(Kind):
    """An antenna known by a pattern file; its aperture is a vertical line of the stated length."""

    KEY: ClassVar[str] = "pattern"
    TITLE: ClassVar[str] = "measured or published pattern"

    file: str = parameter("file", "pattern file beside the site file")
    length: float = parameter("length", "height of the radiating part", low=0.01, high=60.0)
    width: float = parameter("length", "width of the antenna", default=0.1, low=0.0, high=10.0)
    tolerance: float = parameter(
        "loss", "added because a catalogue pattern is only typical", default=1.0, low=0.0, high=6.0
    )
    gain: float | None = parameter(
        "gain", "peak gain, where the file has none", optional=True, low=-30.0, high=70.0
    )
    linear: Literal["field", "power"] | None = parameter(
        "choice",
        "what linear levels in the file are, where its format leaves it open",
        optional=True,
        choices=("field", "power"),
        reader="linear",
    )
    negate: bool = parameter(
        "flag", "turn the sign of the file's levels", default=False, reader="negate"
    )
    flip_elevation: bool = parameter(
        "flag",
        "turn the file's elevation cuts upside down",
        default=False,
        reader="flip_elevation",
    )
    renormalise: bool = parameter(
        "flag", "raise cuts that stay below the peak to 0 dB", default=False, reader="renormalise"
    )
    accept_count: bool = parameter(
        "flag",
        "take the points of a cut as they are, although the stated count differs",
        default=False,
        reader="accept_count",
    )
    frequency_unit: Literal["Hz", "kHz", "MHz", "GHz"] | None = parameter(
        "choice",
        "unit of the file's frequencies, where they do not look like MHz",
        optional=True,
        choices=("Hz", "kHz", "MHz", "GHz"),
        reader="frequency_unit",
    )
    pattern_frequency: float | None = parameter(
        "frequency",
        "which of the file's pattern frequencies to take; without it the larger level counts",
        optional=True,
        low=1e3,
        high=3e11,
        reader="frequency",
    )
    polarisations: Literal["sum", "larger"] | None = parameter(
        "choice",
        "how several polarisations in the file join",
        optional=True,
        choices=("sum", "larger"),
        reader="polarisations",
    )
    circular: bool | None = parameter(
        "flag",
        "circular polarisation: ERP is stated for each of two polarisations",
        optional=True,
    )
    data: PatternData = field(default=None, compare=True, repr=False)  # type: ignore[assignment]

    def __post_init__(self) -> None:
        if self.gain is not None and self.data is not None:
            object.__setattr__(self, "data", self.data.with_gain(self.gain))
        if self.data is not None and not self.data.gain_known:
            raise InputError(
                f"{self.file!r} has no gain",
                field="gain",
                fix='Add the antenna\'s gain, like "gain": "5.2 dBd"',
            )

    def pattern(self, *, conservative_build: bool) -> Pattern:
        """Return the 3-D pattern that is used."""
        return _pattern(self.data, conservative_build=conservative_build)

    def unit_field(self, points: Points, frequency: float, *, conservative: bool) -> UnitField:
        lam = wavelength(frequency)
        pattern = self.pattern(conservative_build=conservative)
        r, phi, theta = directions(points)
        reach = points.dtype.type(0.01 * lam)
        gain = pattern.gain(phi, theta).astype(points.dtype)
        far = gain / (points.dtype.type(4.0 * np.pi) * np.maximum(r, reach) ** 2)
        e2, h2 = plane_wave(far)
        region = self.length**2 / lam
        weight = ramp(r, region, 2.0 * region)
        model = (weight < 0.5).astype(np.int8)
        near = weight < 1.0
        if near.any():
            ne2, nh2 = self._aperture(points[near], frequency, pattern, conservative=conservative)
            e2[near] = blend(ne2, e2[near], weight[near])
            h2[near] = blend(nh2, h2[near], weight[near])
        if conservative:
            e2, h2 = raised(e2, self.tolerance), raised(h2, self.tolerance)
        end = np.array([0.0, 0.0, self.length / 2.0])
        distance = segment_distance(points, -end, end) - self.width / 2.0
        return UnitField(e2, h2, distance < self.trust(frequency), model)

    def _aperture(
        self, points: Points, frequency: float, pattern: Pattern, *, conservative: bool
    ) -> tuple[Floats, Floats]:
        elements = aperture_elements(self, frequency, pattern)
        e2, h2 = el.phasor_sum(elements, points, common_direction=conservative)
        if not conservative:
            return e2, h2
        e2, h2 = el.floored(e2, h2, el.power_sum(elements, points, keep_azimuth=True))
        return raised(e2, NEAR_COVER_DB), raised(h2, NEAR_COVER_DB)

    def directivity(self, frequency: float) -> float:
        return from_db(self.pattern(conservative_build=True).peak)

    def licence_gain(self, frequency: float) -> float:
        near = np.arange(-HORIZON_DEGREES, HORIZON_DEGREES + 0.1, 0.5)
        azimuth = np.arange(-180.0, 180.0, 2.0)
        gain = self.pattern(conservative_build=True).gain(azimuth[None, :], near[:, None])
        return float(min(gain.max(), self.directivity(frequency)))

    @property
    def is_circular(self) -> bool:
        return self.circular is True

    def may_be_circular(self, frequency: float) -> bool:
        return self.circular is None and FM_LOW <= frequency <= FM_HIGH

    @property
    def has_boresight(self) -> bool:
        azimuth = np.arange(0.0, 360.0, 5.0)
        level = self.pattern(conservative_build=False).gain(azimuth, np.zeros_like(azimuth))
        return bool(level.max() > from_db(ROUND_DB) * level.min())

    @property
    def is_envelope(self) -> bool:
        # Gain and pattern come from the same file; its own check is in problems().
        return True

    def trust(self, frequency: float) -> float:
        return TRUST_WAVELENGTHS * wavelength(frequency)

    def outline(self, frequency: float) -> Floats:
        y, z = self.width / 2.0, self.length / 2.0
        return np.array(
            [
                [[0, -y, -z], [0, -y, z]],
                [[0, -y, z], [0, y, z]],
                [[0, y, z], [0, y, -z]],
                [[0, y, -z], [0, -y, -z]],
            ]
        )

    def problems(self, frequency: float) -> tuple[str, ...]:
        low, high = self.data.band
        words = list(self.data.notes)
        named = np.isfinite(low) and np.isfinite(high)
        if named and not low * (1 - BAND_SLACK) <= frequency <= high * (1 + BAND_SLACK):
            words.insert(
                0,
                f"{show_frequency(frequency)} is outside the pattern's band {show_frequency(low)} to "
                f"{show_frequency(high)}",
            )
        return tuple(words)

    def notes(self, frequency: float, *, conservative: bool) -> tuple[Note, ...]:
        lam = wavelength(frequency)
        region = 2.0 * self.length**2 / lam
        pattern = self.pattern(conservative_build=conservative)
        added = self.tolerance if conservative else 0.0
        return (
            Note(
                f"far field of the pattern file, {pattern.method}",
                f"S = P G/(4π R²), FCC OET Bulletin 65 eq. 3; pattern from {self.file}",
                f"Farther than {region:.3g} m (twice the aperture squared over the wavelength) the pattern has "
                "formed; directions the file does not hold are filled so that the result errs high."
                if conservative
                else "The pattern has formed here; directions the file does not hold are a best estimate.",
                "as good as the file",
                added,
            ),
            Note(
                "aperture filled with equivalent elements",
                "phasor sum of elements (ITU-T K.70 synthetic model, from memory) with a floor blind to phase",
                f"Nearer than {region:.3g} m the beam has not formed. The aperture is filled with elements that "
                "together give the file's gain, isotropic in elevation.",
                f"trusted from {self.trust(frequency):.2g} m (0.5 wavelength) from the antenna; up to 1.5 dB low "
                "before the added decibels",
                added + (NEAR_COVER_DB if conservative else 0.0),
            ),
        )

    def assumptions(self) -> tuple[str, ...]:
        return (
            f"pattern file {self.file}: gain {self.data.gain:.4g} dBi, electrical tilt in the file "
            f"{self.data.electrical_tilt:g}° (not added again)",
        )


@kept
def _pattern(data: PatternData, *, conservative_build: bool) -> Pattern:
    return conservative(data) if conservative_build else best_estimate(data)


@kept
def aperture_elements(kind: Measured, frequency: float, pattern: Pattern) -> el.Elements:
    """Return the pattern elements that fill the aperture at a ``frequency`` in Hz.

    Parameters
    ----------
    kind : Measured
        The kind.
    """
    lam = wavelength(frequency)
    k = 2.0 * np.pi / lam
    count = max(1, int(np.ceil(kind.length / (ELEMENT_WAVELENGTHS * lam))))
    heights = stack_heights(count, kind.length / count)
    table = 10.0 ** (pattern.table.max(axis=0) / 20.0)
    peak = from_db(pattern.peak / 2.0)
    azimuths = np.asarray(pattern.azimuth)

    def horizontal(phi: Floats) -> Floats:
        relative: Floats = np.interp(phi, azimuths, table / peak, period=360.0).astype(phi.dtype)
        return relative

    tilt = -float(pattern.elevation[int(np.argmax(pattern.table.max(axis=1)))])
    weights = peak / count * np.exp(1j * k * heights * np.sin(np.radians(tilt)))
    centre = np.zeros((count, 3))
    centre[:, 2] = heights
    return el.Elements(
        centre,
        np.zeros(count),
        weights,
        horizontal,
        el.uniform,
        "either",
        k,
        min(0.25 * lam, kind.length / 2),
    )
