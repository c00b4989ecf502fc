"""Beam-steering panels: the envelope over every beam the panel can form.

Which beam is lit is not known, so the largest field of all beams counts. Far out it is the array of
ITU-R M.2101 with its beam at the nearest place it may be steered to; close in a panel can focus on the
place itself, so the elements' contributions are added with their phases aligned.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

import numpy as np

from core.antennas.base import Kind, parameter
from core.antennas.stack import stack_heights
from core.arrays import Floats, Points
from core.fields.unit_field import Note, UnitField, blend, plane_wave, ramp
from core.units import from_db, to_db, wavelength

TRUST_WAVELENGTHS = 0.5
DEPTH_WAVELENGTHS = 0.25
NEAR_COVER_DB, FAR_COVER_DB = 1.5, 0.7
USUAL_GAIN = 8.0
"""dBi of an element that nobody has said: the most of the published ones (3GPP TR 38.901, table 7.3-1, from memory);
another is 6.4 (ITU-R M.2101, from memory)."""
POLE = (65.0, 85.0)
"""Elevations between which an element's azimuth loses its meaning."""
CLOSE = 3.0
"""Within this many panel sizes every element is taken from its own place."""
_CHUNK = 16384


@dataclass(frozen=True)
class BeamArray(Kind):
    """A panel of rows and columns that steers its beam; its position is the middle of its face."""

    KEY: ClassVar[str] = "beam-array"
    TITLE: ClassVar[str] = "beam-steering panel (massive MIMO), envelope of all beams"

    rows: int = parameter("count", "elements (or sub-arrays) one above another", low=1, high=64)
    columns: int = parameter("count", "elements side by side", low=1, high=64)
    row_spacing: float = parameter(
        "wavelengths", "spacing of the rows", default=0.7, low=0.3, high=4.0
    )
    column_spacing: float = parameter(
        "wavelengths", "spacing of the columns", default=0.5, low=0.3, high=2.0
    )
    element_gain: float | None = parameter(
        "gain",
        "gain of one element (or sub-array); left out, what its share of the face gives, at least 8 dBi",
        optional=True,
        low=0.0,
        high=20.0,
    )
    azimuth_width: float = parameter(
        "angle", "half-power width of one element in azimuth, degrees", default=90.0,
        low=20.0, high=150.0,
    )  # fmt: skip
    elevation_width: float = parameter(
        "angle", "half-power width of one element in elevation, degrees", default=65.0,
        low=10.0, high=150.0,
    )  # fmt: skip
    front_to_back: float = parameter(
        "loss", "front-to-back ratio of one element", default=25.0, low=6.0, high=50.0
    )
    steer_azimuth: float = parameter(
        "angle", "beams reach this far to either side, degrees", default=60.0, low=0.0, high=90.0
    )
    steer_up: float = parameter(
        "angle", "highest beam, degrees up", default=2.0, low=-60.0, high=60.0
    )
    steer_down: float = parameter(
        "angle", "lowest beam, degrees down", default=14.0, low=-60.0, high=90.0
    )

    @property
    def element(self) -> float:
        """Gain of one element (or sub-array), dBi: as said, or 4π times its share of the face in square wavelengths."""
        if self.element_gain is not None:
            return self.element_gain
        return max(USUAL_GAIN, to_db(4.0 * np.pi * self.row_spacing * self.column_spacing))

    def unit_field(self, points: Points, frequency: float, *, conservative: bool) -> UnitField:
        s: Floats = np.empty(len(points), points.dtype)
        near: Floats = np.empty(len(points), points.dtype)
        for start in range(0, len(points), _CHUNK):
            part = slice(start, start + _CHUNK)
            s[part], near[part] = self._chunk(points[part], frequency, conservative=conservative)
        e2, h2 = plane_wave(s)
        distance = self.box_distance(points, wavelength(frequency))
        model = (near <= 0.5).astype(np.int8)
        return UnitField(e2, h2, distance < points.dtype.type(self.trust(frequency)), model)

    def _chunk(
        self, points: Points, frequency: float, *, conservative: bool
    ) -> tuple[Floats, Floats]:
        """Return power density and how near (1) or far (0) each point is."""
        lam = wavelength(frequency)
        real = points.dtype.type
        width, height = self.face_size(lam)
        away = np.sqrt(np.einsum("ij,ij->i", points, points))
        near = 1.0 - ramp(away / real(self.far_from_distance(lam)), 1.0, 2.0)
        aligned, blind = self._element_sums(points, away, lam, conservative=conservative)
        s = aligned * self._steered(points, width, height, lam)
        if conservative:
            # Close in nulls and side lobes have not formed: the elements' powers blind to phase.
            floor = blend(aligned / real(self.rows * self.columns), blind, near)
            s = np.maximum(s, floor)
            s = s * np.exp(
                np.log(10.0) / 10.0 * (FAR_COVER_DB + (NEAR_COVER_DB - FAR_COVER_DB) * near)
            )
        return s.astype(points.dtype), near

    def _element_sums(
        self, points: Points, away: Floats, lam: float, *, conservative: bool
    ) -> tuple[Floats, Floats]:
        """Return power densities (n,) with all phases aligned, and blind to phase in every elevation."""
        real = points.dtype.type
        smallest = real((0.1 * lam) ** 2)
        share = real(from_db(self.element) / (4.0 * np.pi))
        count = self.rows * self.columns
        r2 = np.maximum(away * away, smallest)
        pattern, cut = self._element(points, conservative=conservative)
        aligned, blind = share * count * pattern / r2, share * cut / r2
        reach = CLOSE * max(self.face_size(lam))
        close = away < real(4.0 / 3.0 * reach)
        if close.any():
            p = points[close]
            sums = np.zeros((2, len(p)), points.dtype)
            for y in stack_heights(self.columns, self.column_spacing * lam):
                for z in stack_heights(self.rows, self.row_spacing * lam):
                    offset = p - np.array([0.0, y, z], points.dtype)
                    r2 = np.maximum(np.einsum("ij,ij->i", offset, offset), smallest)
                    pattern, cut = self._element(offset, conservative=conservative)
                    sums[0] += share * pattern / r2
                    sums[1] += share * cut / r2 / real(count)
            weight = ramp(away[close], reach, 4.0 / 3.0 * reach)
            aligned[close] = blend(sums[0], aligned[close], weight)
            blind[close] = blend(sums[1], blind[close], weight)
        return aligned, blind

    def _element(self, offset: Points, *, conservative: bool) -> tuple[Floats, Floats]:
        """Return the element's relative power (n,) with its elevation cut, and of its azimuth cut alone.

        Conservatively it is never less than the share of the face that is seen: steered aside, a face loses the
        cosine of the angle and no more (Balanis, Antenna Theory, section 12.4, from memory). The published cuts alone
        were up to 2.6 dB low in beams steered by 60 degrees, and 5 in side lobes above and below.
        """
        across = np.hypot(offset[:, 0], offset[:, 1])
        elevation = np.degrees(np.arctan2(np.abs(offset[:, 2]), across))
        azimuth = np.degrees(np.arctan2(np.abs(offset[:, 1]), offset[:, 0]))
        # Straight above and below, where all azimuths meet, none of them lowers the figure.
        azimuth = azimuth * (1.0 - ramp(elevation, *POLE))
        deepest = offset.dtype.type(self.front_to_back)
        side = np.minimum(12.0 * (azimuth / self.azimuth_width) ** 2, deepest)
        rise = np.minimum(12.0 * (elevation / self.elevation_width) ** 2, deepest)
        scale = -np.log(10.0) / 10.0
        both: Floats = np.exp(scale * np.minimum(side + rise, deepest)).astype(offset.dtype)
        cut: Floats = np.exp(scale * side).astype(offset.dtype)
        if conservative:
            seen = offset[:, 0] / np.maximum(
                np.hypot(across, offset[:, 2]), offset.dtype.type(1e-9)
            )
            both = np.maximum(both, seen)
        return both, cut

    def _steered(self, points: Points, width: float, height: float, lam: float) -> Floats:
        """Return the relative power (n,) of the array factor of the most unfavourable beam.

        A place is seen from the panel under a range of directions; the beam's offset from it is the
        gap between that range and the range of the beams.
        """
        up, down = np.sin(np.radians([self.steer_up, -self.steer_down]))
        turn = np.sin(np.radians(self.steer_azimuth))
        real = points.dtype.type
        y, z = points[:, 1], points[:, 2]
        half_y, half_z = real(width / 2.0), real(height / 2.0)
        rows_seen: list[Floats] = []
        columns_seen: list[Floats] = []
        for from_y in (-half_y, np.clip(y, -half_y, half_y), half_y):
            for from_z in (-half_z, np.clip(z, -half_z, half_z), half_z):
                r = np.sqrt(points[:, 0] ** 2 + (y - from_y) ** 2 + (z - from_z) ** 2)
                r = np.maximum(r, real(0.1 * lam))
                rows_seen.append((z - from_z) / r)
                columns_seen.append((y - from_y) / r)
        return element_factor(
            np.min(rows_seen, axis=0) - max(up, down), np.max(rows_seen, axis=0) - min(up, down),
            self.rows, self.row_spacing,
        ) * element_factor(
            np.min(columns_seen, axis=0) - turn, np.max(columns_seen, axis=0) + turn,
            self.columns, self.column_spacing,
        )  # fmt: skip

    def beam_size(self, frequency: float) -> float:
        return self.face_size(wavelength(frequency))[1]

    def face_size(self, lam: float) -> tuple[float, float]:
        """Return width and height in m of the face at a wavelength ``lam`` in m."""
        return self.columns * self.column_spacing * lam, self.rows * self.row_spacing * lam

    def far_from_distance(self, lam: float) -> float:
        """Return the distance in m from which the face is far, at a wavelength ``lam`` in m."""
        return max(2.0 * max(self.face_size(lam)) ** 2 / lam, 2.0 * lam)

    def box_distance(self, points: Points, lam: float) -> Floats:
        """Distance (n,) from the panel taken as a solid box behind its face."""
        width, height = self.face_size(lam)
        half = np.array([DEPTH_WAVELENGTHS * lam / 2.0, width / 2.0, height / 2.0], points.dtype)
        middle = np.array([-DEPTH_WAVELENGTHS * lam / 2.0, 0.0, 0.0], points.dtype)
        outside = np.maximum(np.abs(points - middle) - half, 0.0)
        distance: Floats = np.sqrt(np.einsum("ij,ij->i", outside, outside))
        return distance

    def directivity(self, frequency: float) -> float:
        return from_db(self.element) * self.rows * self.columns

    @property
    def is_envelope(self) -> bool:
        return True

    @property
    def is_backed(self) -> bool:
        return True

    def trust(self, frequency: float) -> float:
        return TRUST_WAVELENGTHS * wavelength(frequency)

    def outline(self, frequency: float) -> Floats:
        width, height = self.face_size(wavelength(frequency))
        y, z = width / 2.0, height / 2.0
        ring = [[0.0, -y, -z], [0.0, y, -z], [0.0, y, z], [0.0, -y, z]]
        return np.array([[ring[i], ring[(i + 1) % 4]] for i in range(4)])

    def notes(self, frequency: float, *, conservative: bool) -> tuple[Note, ...]:
        lam = wavelength(frequency)
        floor = (
            " Never less than the elements' powers added blind to phase." if conservative else ""
        )
        return (
            Note(
                "elements with their phases aligned on the place",
                "sum of the elements' gains over 4π r², the most an array can focus (Cauchy-Schwarz); "
                "element pattern of ITU-R M.2101",
                "Close to a beam-steering panel no beam has formed yet and the panel can focus on the place "
                f"itself. The largest field that any phasing gives counts.{floor}",
                f"trusted from {self.trust(frequency):.2g} m (0.5 wavelength) from the panel; much over, "
                "where no beam points",
                NEAR_COVER_DB if conservative else 0.0,
            ),
            Note(
                "envelope of all beams",
                "array of elements of ITU-R M.2101, the beam at the nearest direction it may be steered to, "
                "side lobes on their own envelope",
                "Which beam is lit is not known: the strongest beam that the panel can point there counts, "
                f"with the whole power in it.{floor}",
                f"takes over beyond {self.far_from_distance(lam):.3g} m (2 L²/λ)",
                FAR_COVER_DB if conservative else 0.0,
            ),
        )

    def problems(self, frequency: float) -> tuple[str, ...]:
        if self.steer_up < -self.steer_down:
            return ("the highest beam is below the lowest; the range between them is used",)
        return ()

    def assumptions(self) -> tuple[str, ...]:
        gain = to_db(self.directivity(1.0))
        return (
            f"{self.rows} × {self.columns} elements of {self.element:.3g} dBi"
            f"{'' if self.element_gain is not None else ' (not said: that of their share of the face)'}, beam gain "
            f"{gain:.2f} dBi, beams ±{self.steer_azimuth:g}° wide and {self.steer_up:g}° up to "
            f"{self.steer_down:g}° down; all power in one beam: duty and actual-power factors belong to "
            "the carrier",
        )


def element_factor(low: Floats, high: Floats, count: int, spacing: float) -> Floats:
    """Return the largest relative power of a uniform row over a range of beam offsets.

    Parameters
    ----------
    low, high : array, shape (n,)
        Range of sin(direction) - sin(beam).
    count : int
        Elements in the row.
    spacing : float
        Wavelengths.

    Notes
    -----
    |sin(Nπx)/(N sin πx)|² for x = spacing times the offset, up to the half lobe; from there its side-lobe
    envelope 1/(N sin πx)², which it touches at every side lobe. Grating lobes count in full.
    """
    if count == 1:
        return np.ones_like(low)
    a, b = spacing * low, spacing * high
    x = np.minimum(np.abs(a - np.round(a)), np.abs(b - np.round(b)))
    x = np.where(np.floor(b) >= np.ceil(a), 0.0, x)
    inside = x < 0.5 / count
    sine = np.where(x > 0.0, np.sin(np.pi * x), 1.0) * count
    lobe = np.where(x > 0.0, np.sin(np.pi * count * x) / sine, 1.0)
    power: Floats = (np.where(inside, lobe, 1.0 / sine) ** 2).astype(low.dtype)
    return power
