"""An antenna with a measured or published pattern: cuts or a full 3-D table."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import ClassVar, Literal

import numpy as np

from core.antennas.base import FM_HIGH, FM_LOW, Kind, parameter
from core.arrays import Floats, Points
from core.caches import kept
from core.errors import InputError
from core.fields.aperture import NEAREST_WAVELENGTHS, Line, line, spread_gain
from core.fields.unit_field import Note, UnitField, plane_wave, ramp
from core.geometry import segment_distance
from core.patterns.beam import uniform_length
from core.patterns.build3d import best_estimate, conservative
from core.patterns.caps import field_tables
from core.patterns.horizon import has_reflector, is_round
from core.patterns.model import Pattern, PatternData
from core.units import from_db, show_frequency, show_length, wavelength

TRUST_WAVELENGTHS = 0.3
FORMED = (4.0, 16.0)
"""Distance over (length² + width²)/λ between which the close-in decibels go."""
COVER_DB, SERIES_DB = 3.3, 5.3
"""Close in: unequal illumination of the line, and of a line fed from one end."""
END_FIRE_LEAST = 1.3
"""Least gain (a ratio) close to an antenna that radiates along its line."""
WIDE_BEAM = 1.7
PAST_ENDS, PAST_STEEP = 4.2, (0.94, 0.99)
"""Gain (a ratio) of the last wavelength of a line past its ends, and the sine of the way from where it counts."""
BAND_SLACK = 0.05
HORIZON_DEGREES = 30.0
"""A beam within this of the horizon is the one that a licence means."""
SLENDER_WAVELENGTHS, STACKS_BELOW = 0.25, 120e6
"""An unknown feed is taken for a series feed where a round antenna is so slender, above this frequency."""
USUAL_TOLERANCE, TABLE_TOLERANCE = 1.0, 0.5
RUNS, FEEDS = ("upright", "boresight"), ("branched", "series")


@dataclass(frozen=True)
class Measured(Kind):
    """An antenna known by a pattern file; its aperture is a vertical line of the stated length."""

    KEY: ClassVar[str] = "pattern"
    TITLE: ClassVar[str] = "measured or published pattern"

    file: str = parameter("file", "pattern file beside the site file")
    length: float = parameter(
        "length", "outer length of the radiating part, housing and all", low=0.01, high=60.0
    )
    width: float = parameter("length", "width of the antenna", default=0.1, low=0.0, high=10.0)
    runs: Literal["upright", "boresight"] = parameter(
        "choice",
        "which way the length runs: upright, or along the boresight (a boom)",
        default="upright",
        choices=RUNS,
    )
    feed: Literal["branched", "series"] | None = parameter(
        "choice",
        "how its parts are fed: branched (equal power) or series (one after another from an end)",
        choices=FEEDS,
        optional=True,
    )
    tolerance: float | None = parameter(
        "loss",
        "added because a catalogue pattern is only typical (default 1 dB for cuts, 0.5 dB for a full table)",
        optional=True,
        low=0.0,
        high=6.0,
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
        real = points.dtype.type
        lam = wavelength(frequency)
        pattern = self.pattern(conservative_build=conservative)
        tables = field_tables(pattern, upright=self.runs == "upright")
        spread = spread_gain(
            self.line(frequency, conservative=conservative),
            tables,
            points,
            NEAREST_WAVELENGTHS * lam,
        )
        away = np.sqrt(np.einsum("ij,ij->i", points, points))
        near = self.nearness(away, lam)
        distance = self.gap(points)
        s = spread / real(4.0 * np.pi)
        if conservative:
            s = s * np.exp(real(np.log(10.0) / 10.0) * self.added_db(near))
            if self.runs == "upright":
                s = np.maximum(s, self.past_ends(points, lam))
            else:
                least = real(END_FIRE_LEAST / (4.0 * np.pi)) * near
                s = np.maximum(s, least / np.maximum(distance, real(0.05 * lam)) ** 2)
        e2, h2 = plane_wave(s.astype(points.dtype))
        reactive = distance < real(self.trust(frequency))
        return UnitField(e2, h2, reactive, (near > 0.0).astype(np.int8))

    def past_ends(self, points: Points, lam: float) -> Floats:
        """Return the least S (n,) above and below an upright antenna, W/m² for 1 W.

        On the way out along its axis the last bays are not cancelled yet by those farther off: half of the last
        bay's field over the sine of half the phase step is left, until the other end is as far.
        """
        real = points.dtype.type
        beyond, apart = self.past(points)
        d = np.maximum(np.hypot(beyond, apart), real(0.05 * lam))
        steep = ramp(beyond / d, *PAST_STEEP)
        share = PAST_ENDS * min(lam / self.length, 1.0) * self.length**2
        added = from_db(max(self.cover, self.allowance)) / (4.0 * np.pi)
        least: Floats = steep * real(share * added) / (d * (d + real(self.length))) ** 2
        return least

    def past(self, points: Points) -> tuple[Floats, Floats]:
        """Return how far points (n,) are past the ends of the line, and how far beside the antenna."""
        real = points.dtype.type
        beyond = np.maximum(np.abs(points[:, 2]) - real(self.length / 2.0), real(0.0))
        apart = np.hypot(points[:, 0], points[:, 1]) - real(self.width / 2.0)
        return beyond, np.maximum(apart, real(0.0))

    def line(self, frequency: float, *, conservative: bool) -> Line:
        """Return the line of parts that stands for the antenna."""
        return _line(self, wavelength(frequency), conservative=conservative)

    def nearness(self, away: Floats, lam: float) -> Floats:
        """Return how much (0 to 1) places at distances from the middle are in the region where no beam has formed."""
        size = (self.length**2 + self.width**2) / lam
        low, high = (float(np.log(x)) for x in FORMED)
        near: Floats = 1.0 - ramp(np.log(np.maximum(away, 1e-9) / size), low, high)
        return near

    def added_db(self, near: Floats) -> Floats:
        """Return the decibels that a conservative figure has on it."""
        most = max(self.cover, self.allowance)
        added: Floats = self.allowance + (most - self.allowance) * near
        return added

    @property
    def allowance(self) -> float:
        """Decibels for a pattern that is only typical."""
        if self.tolerance is not None:
            return self.tolerance
        return USUAL_TOLERANCE if self.data.grid is None else TABLE_TOLERANCE

    @property
    def cover(self) -> float:
        """Decibels close in, for an illumination that is not known."""
        return SERIES_DB if self.is_series else COVER_DB

    @property
    def is_series(self) -> bool:
        """Whether it is, or may be, fed from one end: said so, or a slender stick of an unknown feed."""
        if self.feed is not None or self.runs == "boresight":
            return self.feed == "series"
        frequency = self.data.frequency if np.isfinite(self.data.frequency) else self.data.band[0]
        if not frequency > STACKS_BELOW:
            # Bays of broadcast stacks get equal power: common practice, no source.
            return False
        slender = self.width <= SLENDER_WAVELENGTHS * wavelength(frequency)
        return slender and self.length > wavelength(frequency) and not self.has_boresight

    def gap(self, points: Points) -> Floats:
        """Return the distance (n,) from the antenna's outside; negative inside it."""
        end = np.zeros(3)
        end[2 if self.runs == "upright" else 0] = self.length / 2.0
        return segment_distance(points, -end, end) - self.width / 2.0

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
    def is_backed(self) -> bool:
        return has_reflector(self.pattern(conservative_build=True))

    @property
    def has_boresight(self) -> bool:
        return not is_round(self.pattern(conservative_build=False))

    @property
    def is_envelope(self) -> bool:
        # Gain and pattern come from the same file; its own check is in problems().
        return True

    def beam_size(self, frequency: float) -> float:
        del frequency
        return self.length

    def trust(self, frequency: float) -> float:
        lam = wavelength(frequency)
        part = self.length / len(self.line(frequency, conservative=True).places)
        return max(TRUST_WAVELENGTHS * lam, 0.5 * part)

    def outline(self, frequency: float) -> Floats:
        y, z = self.width / 2.0, self.length / 2.0
        corners = np.array([[0, -y, -z], [0, -y, z], [0, y, z], [0, y, -z]], float)
        if self.runs == "boresight":
            corners = corners[:, [2, 1, 0]]
        return np.stack([corners, np.roll(corners, -1, axis=0)], axis=1)

    def fits(self, frequency: float) -> None:
        need = _beam_length(self.data, wavelength(frequency))
        if self.runs == "upright" and self.length + 0.6 * wavelength(frequency) < 0.8 * need:
            raise InputError(
                f"{show_length(self.length)} is too short for the pattern's beam, which takes about "
                f"{show_length(need)}",
                field="length",
                fix="Give the outer length of the radiating part; too long only makes the figures higher",
            )

    def problems(self, frequency: float) -> tuple[str, ...]:
        low, high = self.data.band
        words = list(self.data.notes)
        if np.isfinite(low + high) and not low * (1 - BAND_SLACK) <= frequency <= high * (
            1 + BAND_SLACK
        ):
            words.insert(
                0,
                f"{show_frequency(frequency)} is outside the pattern's band {show_frequency(low)} to "
                f"{show_frequency(high)}",
            )
        lam = wavelength(frequency)
        need = _beam_length(self.data, lam)
        if self.runs == "upright" and self.length + 0.55 * lam < 0.95 * need:
            words.insert(
                0,
                f"a length of {show_length(self.length)} is short for the pattern's beam (about "
                f"{show_length(need)} evenly fed): close in the figures would be low by up to 5 dB if it is "
                "longer, so give the outer length",
            )
        return tuple(words)

    def notes(self, frequency: float, *, conservative: bool) -> tuple[Note, ...]:
        lam = wavelength(frequency)
        size = (self.length**2 + self.width**2) / lam
        pattern = self.pattern(conservative_build=conservative)
        cuts = self.data.grid is None
        filled = (
            "directions the file does not hold are filled so that the result errs high; a full 3-D table would "
            "bring the figure down off the two cuts"
            if cuts
            else "the file holds every direction"
        )
        share = (
            "fed from one end, or maybe so (say branched if its parts get equal power: 2 dB less)"
            if self.is_series
            else "equal, tapered or null-filled feeds with usual errors"
        )
        caveat = "; 1.3 dB low where the elevation cut is not the strongest" if cuts else ""
        return (
            Note(
                f"far field of the pattern file, {pattern.method}",
                f"S = P G/(4π R²), FCC OET Bulletin 65 eq. 3; pattern from {self.file}",
                f"Farther than {show_length(FORMED[1] * size)} (16 times the squared size over the wavelength) the "
                f"pattern has formed; {filled}."
                if conservative
                else "The pattern has formed here; directions the file does not hold are a best estimate.",
                "as good as the file",
                self.allowance if conservative else 0.0,
            ),
            Note(
                "every part of the aperture sends its share into the pattern's directions",
                "mean over the line of the file's gain over 4π r², largest in a cone of 0.2 wavelength; own "
                f"construction over computed antennas, no published source; pattern from {self.file}",
                f"Nearer than {show_length(FORMED[1] * size)} the beam has not formed. How the line is fed is not "
                f"known: the decibels are for {share}. Describing the antenna by its kind (bays, panel, "
                f"Yagi) usually brings the figure down 3 to 10 dB close in; {filled}.",
                f"trusted from {self.trust(frequency):.2g} m from the antenna; against computed stacks, panels and "
                f"Yagis with a full table at most 1.3 dB low, 3 dB past the ends of stacks with filled nulls, 2 dB "
                f"if feeds err by 1.5 dB and 20°{caveat}; a length too short by a tenth costs up to 5 dB",
                max(self.cover, self.allowance) if conservative else 0.0,
            ),
        )

    def assumptions(self) -> tuple[str, ...]:
        band = (
            ""
            if np.isfinite(self.data.band[0])
            else "; it names no frequency: make sure it is of this band"
        )
        return (
            f"pattern file {self.file}: gain {self.data.gain:.4g} dBi, electrical tilt in the file "
            f"{self.data.electrical_tilt:g}° (not added again){band}",
        )


@kept
def _pattern(data: PatternData, *, conservative_build: bool) -> Pattern:
    return conservative(data) if conservative_build else best_estimate(data)


@kept
def _line(kind: Measured, lam: float, *, conservative: bool) -> Line:
    upright = kind.runs == "upright"
    part = 1.0
    if upright:
        part = min(
            1.0, uniform_length(_pattern(kind.data, conservative_build=False), lam) / kind.length
        )
    return line(
        kind.length,
        kind.width / 2.0,
        lam,
        upright=upright,
        part=part,
        conservative=conservative,
    )


def _beam_length(data: PatternData, lam: float) -> float:
    """Return the length that the main lobe asks for; 0 where it says nothing of the length.

    Beams so wide that less than WIDE_BEAM wavelengths would do are as wide as an element alone.
    """
    length = uniform_length(_pattern(data, conservative_build=False), lam)
    return length if length >= WIDE_BEAM * lam else 0.0
