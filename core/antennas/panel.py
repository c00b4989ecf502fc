"""Sector panels: a column of dipoles before a reflector, one or more bands in one radome.

Ahead, the dipoles and their images in the reflector keep their exact fields. All round, the same dipoles without
images: their field, and most of their powers added blind to phase, because past the reflector's edges the wave
comes from the dipoles themselves. Their currents are taken to be even, within what coupling makes of them.
Straight above and below there is no credit for the reflector; behind, part of what the data sheet says. The larger
counts.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache
from typing import ClassVar

import numpy as np
from numpy.typing import NDArray

from core.antennas.base import Kind, parameter
from core.antennas.panel_notes import panel_notes
from core.antennas.stack import stack_heights
from core.arrays import Floats, Points
from core.errors import InputError
from core.fields import arms as arm
from core.fields import elements as el
from core.fields.array_factor import runs
from core.fields.columns import column_sums, far_intensity, level_power, misfed, off_boresight
from core.fields.unit_field import Note, UnitField, raised, ramp
from core.units import ETA0, from_db, show_frequency, wavelength

TRUST_WAVELENGTHS = 0.2
FRONT_COVER_DB, SIDE_COVER_DB = 0.5, 1.1
"""Own fit to 74 method-of-moments panels of 2 to 10 elements, equal currents and equal voltages."""
MISFED, FLOOR_DB = (0.13, 0.3), (-2.5, -0.5)
"""Of slant panels, and of those whose dipoles are upright or in columns side by side; the same fit.

How far the dipoles' currents may be from equal ones, as a share of the field of their powers added: dipoles that are
fed alike take unlike currents, because each feels the others and the reflector's edge. And the least of those powers
added.
"""
SEVERAL_COLUMNS = 50.0
"""Degrees: a beam narrower than this in azimuth comes from columns side by side (common practice, no source)."""
BACK_FROM, BACK_FULL = 120.0, 150.0
"""Degrees off the boresight, the way past the ends counted, between which credit for the reflector grows."""
BACK_DB = 7.0
"""Most of that credit: such panels have 14 to 20 dB front to back in all, of which 6 dB are the missing image's."""
BACK_MARGIN_DB = 8.5
"""Credit stays this far below what is stated: for the missing image, and because close in it is not all earned."""
SIDE_FULL = 75.0
PAST_SHARE = 0.5
CROSS_DB = -6.0
"""Of a crossed dipole that stands for what a panel of vertical dipoles sends up and down (no source)."""
ARM_WAVELENGTHS = 0.47

USUAL_LOSS_DB = 3.5
"""Gains on data sheets of sector panels lie 2 to 3.5 dB under the directivity of their full aperture: feed network,
taper, spill-over (common practice, no source)."""
MOST_SPACING = 3.0
"""Wavelengths: elements farther apart are a unit mix-up."""


@dataclass(frozen=True)
class PanelBand:
    """One band of a panel: which elements work there and what its data sheet says."""

    low: float = parameter("frequency", "lower edge of the band", low=1e6, high=3e11)
    high: float = parameter("frequency", "upper edge of the band", low=1e6, high=3e11)
    elements: int = parameter("count", "elements in the column", low=1, high=32)
    spacing: float = parameter("length", "element spacing, centre to centre", low=0.005, high=20.0)
    azimuth_width: float = parameter(
        "angle", "half-power width in azimuth, degrees", default=65.0, low=15.0, high=150.0
    )
    front_to_back: float = parameter(
        "loss", "front-to-back ratio", default=25.0, low=6.0, high=50.0
    )
    electrical_tilt: float | None = parameter(
        "angle",
        "electrical tilt, degrees down; left out, every usual tilt counts",
        optional=True,
        low=-30.0,
        high=30.0,
    )

    @property
    def tilt(self) -> float:
        """Electrical tilt in degrees down; level where none is said."""
        return self.electrical_tilt or 0.0


@dataclass(frozen=True)
class Panel(Kind):
    """A sector panel; its position is the middle of the dipole column."""

    KEY: ClassVar[str] = "panel"
    TITLE: ClassVar[str] = "sector panel with reflector"

    length: float = parameter("length", "height of the radome", low=0.05, high=30.0)
    width: float = parameter("length", "width of the reflector", low=0.02, high=10.0)
    bands: tuple[PanelBand, ...] = parameter("parts", "bands in this radome", parts=PanelBand)
    polarisation: str = parameter(
        "choice", "element polarisation", default="slant", choices=("slant", "vertical")
    )
    stand_off: float = parameter(
        "wavelengths", "dipoles ahead of the reflector", default=0.25, low=0.05, high=0.45
    )

    def band(self, frequency: float) -> PanelBand:
        """Return the band that holds a frequency in Hz.

        Raises
        ------
        InputError
            If no band of this panel covers it.
        """
        for band in self.bands:
            if band.low * 0.999 <= frequency <= band.high * 1.001:
                return band
        known = ", ".join(
            f"{show_frequency(b.low)} to {show_frequency(b.high)}" for b in self.bands
        )
        raise InputError(
            f"{show_frequency(frequency)} is outside the panel's bands ({known})",
            field="bands",
            fix="Correct the frequency or add the band with its elements",
        )

    def fits(self, frequency: float) -> None:
        spacing = self.band(frequency).spacing / wavelength(frequency)
        if not 0.1 <= spacing <= MOST_SPACING:
            raise InputError(
                f"elements {spacing:.3g} wavelengths apart at {show_frequency(frequency)}",
                field="bands",
                fix=f"Check the units of spacing and frequency: 0.1 to {MOST_SPACING:g} wavelengths",
            )

    def unit_field(self, points: Points, frequency: float, *, conservative: bool) -> UnitField:
        model = model_of(self, frequency)
        phi = off_boresight(points[:, 0], points[:, 1], 0.0)
        e2, h2 = self._front(model, points, phi, conservative=conservative)
        fade = (1.0 - ramp(self.turn(points), SIDE_FULL, 90.0)).astype(points.dtype)
        e2, h2 = e2 * fade, h2 * fade
        se2, sh2 = self._side(model, points, conservative=conservative)
        all_round = np.maximum(se2, ETA0**2 * sh2) > np.maximum(e2, ETA0**2 * h2)
        near = self.box_distance(points, frequency) < self.trust(frequency)
        return UnitField(
            np.maximum(e2, se2), np.maximum(h2, sh2), near, all_round.astype(np.int8)
        )  # fmt: skip

    def turn(self, points: Points) -> Floats:
        """Angle (n,) off the boresight in degrees; half of the way past the ends counts as sideways.

        Straight above and below the panel an azimuth means nothing: there the field ahead fades out by this angle.
        """
        past = np.maximum(np.abs(points[:, 2]) - self.length / 2.0, 0.0)
        return off_boresight(points[:, 0], points[:, 1], PAST_SHARE * past)

    def rear_turn(self, points: Points, depth: float) -> Floats:
        """Angle (n,) off the boresight in degrees, seen from the reflector ``depth`` m behind.

        The whole way past the ends counts as sideways.
        """
        past = np.maximum(np.abs(points[:, 2]) - self.length / 2.0, 0.0)
        return off_boresight(points[:, 0] + depth, points[:, 1], past)

    def _front(
        self, model: _PanelModel, points: Points, phi: Floats, *, conservative: bool
    ) -> tuple[Floats, Floats]:
        e2: Floats = np.zeros(len(points), points.dtype)
        h2: Floats = np.zeros(len(points), points.dtype)
        ahead = phi < 90.0
        if ahead.any():
            shape = model.shape(np.minimum(phi[ahead], SIDE_FULL))
            total = column_sums(model.front, points[ahead], quick=conservative)
            if conservative:
                total = misfed(total, MISFED[model.coupled])
            e2[ahead], h2[ahead] = total.e2 * shape, total.h2 * shape
        if conservative:
            return raised(e2, FRONT_COVER_DB), raised(h2, FRONT_COVER_DB)
        best = points.dtype.type(model.best)
        return e2 * best, h2 * best

    def _side(
        self, model: _PanelModel, points: Points, *, conservative: bool
    ) -> tuple[Floats, Floats]:
        total = column_sums(model.alone, points, quick=conservative)
        turn = self.rear_turn(points, model.depth)
        back = model.back_ratio(turn, conservative=conservative).astype(points.dtype)
        if not conservative:
            back = back * points.dtype.type(model.best)
            return total.e2 * back, total.h2 * back
        floor = points.dtype.type(from_db(FLOOR_DB[model.coupled]))
        total = misfed(total, MISFED[model.coupled])
        e2 = np.maximum(raised(total.e2, SIDE_COVER_DB), floor * total.e2_each)
        h2 = np.maximum(raised(total.h2, SIDE_COVER_DB), floor * total.h2_each)
        return e2 * back, h2 * back

    def box_distance(self, points: Points, frequency: float) -> Floats:
        """Distance (n,) from the radome taken as a solid box: reflector, dipoles and all."""
        depth = self.stand_off * wavelength(frequency)
        half = np.array([depth / 2.0, self.width / 2.0, self.length / 2.0], dtype=points.dtype)
        middle = np.array([-depth / 2.0, 0.0, 0.0], dtype=points.dtype)
        outside = np.maximum(np.abs(points - middle) - half, 0.0)
        distance: Floats = np.sqrt(np.einsum("ij,ij->i", outside, outside))
        return distance

    def directivity(self, frequency: float) -> float:
        return model_of(self, frequency).directivity

    def usual_loss(self, frequency: float) -> float:
        return USUAL_LOSS_DB

    def beam_size(self, frequency: float) -> float:
        del frequency
        # The ripples before a coherent column are finer than the column.
        return 0.7 * self.length

    @property
    def is_backed(self) -> bool:
        return True

    def trust(self, frequency: float) -> float:
        return TRUST_WAVELENGTHS * wavelength(frequency)

    def outline(self, frequency: float) -> Floats:
        depth = self.stand_off * wavelength(frequency)
        y, z = self.width / 2.0, self.length / 2.0
        corners = np.array([[-depth, -y], [-depth, y], [0.0, y], [0.0, -y]])
        ring = [[[*corners[i], s], [*corners[(i + 1) % 4], s]] for s in (-z, z) for i in range(4)]
        posts = [[[*c, -z], [*c, z]] for c in corners]
        return np.array(ring + posts)

    def notes(self, frequency: float, *, conservative: bool) -> tuple[Note, ...]:
        return panel_notes(
            self.trust(frequency), (FRONT_COVER_DB, SIDE_COVER_DB) if conservative else None
        )

    def assumptions(self) -> tuple[str, ...]:
        words = []
        for b in self.bands:
            tilt = "not said" if b.electrical_tilt is None else f"{b.tilt:g}° down"
            words.append(
                f"{show_frequency(b.low)} to {show_frequency(b.high)}: {b.elements} dipoles "
                f"{b.spacing:.3g} m apart before a reflector, azimuth width {b.azimuth_width:g}°, "
                f"front-to-back {b.front_to_back:g} dB, electrical tilt {tilt}"
            )
        return tuple(words)


@dataclass(frozen=True, eq=False)
class _PanelModel:
    front: tuple[arm.Arms, ...]
    alone: tuple[arm.Arms, ...]
    width: float
    back: float
    depth: float
    lean: float
    stand_off_k: float
    plain: float
    best: float
    directivity: float
    coupled: int
    """Which of :data:`MISFED` and :data:`FLOOR_DB`."""

    def back_ratio(self, turn: Floats, *, conservative: bool) -> Floats:
        """Power ratio by which the reflector weakens the dipoles' own field at an angle off the boresight."""
        if conservative:
            credit = min(max(self.back - BACK_MARGIN_DB, 0.0), BACK_DB)
            share = ramp(turn, BACK_FROM, BACK_FULL)
        else:
            # The missing image is worth 6 dB.
            credit, share = max(self.back - 6.0, 0.0), ramp(turn, 90.0, BACK_FULL)
        ratio: Floats = np.exp(-np.log(10.0) / 10.0 * credit * share)
        return ratio

    def cut_ratio(self, phi: Floats) -> Floats:
        """Power ratio of the stated azimuth cut to the cut of dipoles before an endless screen."""
        cut = el.lobe(self.width, self.back)(phi) ** 2
        image = (np.sin(self.stand_off_k * np.cos(np.radians(phi))) / np.sin(self.stand_off_k)) ** 2
        image = image * level_power(phi, self.lean, ARM_WAVELENGTHS / 2.0)
        ratio: Floats = (cut / np.maximum(image, 1e-3)).astype(phi.dtype)
        return ratio

    def shape(self, phi: Floats) -> Floats:
        """Factor on the power of dipoles and images: the stated cut, or dipoles and images as they are where more."""
        held: Floats = np.maximum(self.cut_ratio(phi), phi.dtype.type(self.plain))
        return held


@lru_cache(maxsize=256)
def model_of(panel: Panel, frequency: float) -> _PanelModel:
    """Return the parts of a panel's model at a ``frequency`` in Hz; made once."""
    band = panel.band(frequency)
    lam = wavelength(frequency)
    k = 2.0 * np.pi / lam
    heights = stack_heights(band.elements, band.spacing)
    phases = np.exp(1j * k * heights * np.sin(np.radians(band.tilt)))
    leans = (0.0,) if panel.polarisation == "vertical" else (45.0, -45.0)
    columns = [_column(heights, phases, lean, panel.stand_off, lam) for lean in leans]
    depth = panel.stand_off * lam
    coupled = int(panel.polarisation == "vertical" or band.azimuth_width < SEVERAL_COLUMNS)
    raw = _PanelModel(
        tuple(columns), (), band.azimuth_width, band.front_to_back, depth, leans[0],
        panel.stand_off * 2.0 * np.pi, 0.0, 1.0, 1.0, coupled,
    )  # fmt: skip
    unit, solid = arm.sphere(max(a.reach for a in columns) / lam)
    # All columns together are the same to the left as to the right: one half of the sphere says all.
    left = unit[:, 1] > 0.0
    unit, solid = unit[left], 2.0 * solid[left]
    ahead = unit[:, 0] > 0.0
    shaped = float(_intensity(raw, tuple(columns), unit) @ solid)
    plain = float(far_intensity(tuple(columns), unit[ahead]) @ solid[ahead])
    front = tuple(_fed(a, 1.0 / np.sqrt(shaped)) for a in columns)
    # Beside and behind the dipoles count as before an endless screen, whatever width the sheet states.
    alone = [_first(_fed(a, 1.0 / np.sqrt(plain)), band.elements) for a in columns]
    if panel.polarisation == "vertical":
        across = _column(heights, phases, 90.0, panel.stand_off, lam)
        level = abs(alone[0].current[0]) / abs(across.current[0]) * 10.0 ** (CROSS_DB / 20.0)
        alone.append(_fed(_first(across, band.elements), level))
    whole = replace(
        raw,
        front=front,
        alone=tuple(alone),
        plain=shaped / plain,
        directivity=4.0 * np.pi * _peak(raw, front),
    )
    return replace(whole, best=1.0 / float(_estimate(whole, unit) @ solid))


def _estimate(model: _PanelModel, unit: Floats) -> Floats:
    """Radiation intensity of the best estimate towards directions, before it is scaled to 1 W."""
    x, y, up = unit.T
    phi, turn, rear = (off_boresight(x, y, share * up) for share in (0.0, PAST_SHARE, 1.0))
    ahead = far_intensity(model.front, unit) * (phi < 90.0)
    ahead = ahead * model.shape(np.minimum(phi, SIDE_FULL)) * (1.0 - ramp(turn, SIDE_FULL, 90.0))
    alone = far_intensity(model.alone, unit)
    larger: Floats = np.maximum(ahead, alone * model.back_ratio(rear, conservative=False))
    return larger


def _fed(arms: arm.Arms, factor: float) -> arm.Arms:
    return arm.Arms(arms.centre, arms.axis, arms.half_length, arms.current * factor, arms.k)


def _first(arms: arm.Arms, count: int) -> arm.Arms:
    """The dipoles of a column without their images."""
    return arm.Arms(
        arms.centre[:count], arms.axis[:count], arms.half_length[:count], arms.current[:count], arms.k
    )  # fmt: skip


def _column(
    heights: Floats, phases: NDArray[np.complex128], lean: float, stand_off: float, lam: float
) -> arm.Arms:
    """Dipoles at x = 0 and their opposite images at x = -2 stand-offs."""
    n = len(heights)
    centre = np.zeros((n, 3))
    centre[:, 2] = heights
    image = centre.copy()
    image[:, 0] = -2.0 * stand_off * lam
    angle = np.radians(lean)
    axis = np.array([0.0, np.sin(angle), np.cos(angle)])
    return arm.make_arms(
        np.concatenate([centre, image]),
        axis,
        ARM_WAVELENGTHS * lam / 2.0,
        np.concatenate([phases, -phases]),
        2.0 * np.pi / lam,
    )


def _intensity(model: _PanelModel, columns: tuple[arm.Arms, ...], unit: Floats) -> Floats:
    """Radiation intensity of all polarisations: shaped in front, the azimuth cut alone to the side and behind."""
    phi = np.degrees(np.arctan2(np.abs(unit[:, 1]), unit[:, 0]))
    shaped = phi <= SIDE_FULL
    intensity: Floats = np.empty(len(unit))
    intensity[shaped] = far_intensity(columns, unit[shaped]) * model.cut_ratio(phi[shaped])
    # Behind, as straight ahead at the same height: once for directions of one height that follow each other.
    behind = unit[~shaped]
    start, count = runs(behind[:, 2])
    across = np.hypot(behind[start, 0], behind[start, 1])
    turned = np.stack([across, np.zeros_like(across), behind[start, 2]], axis=1)
    cut = el.lobe(model.width, model.back)(phi[~shaped]) ** 2
    intensity[~shaped] = np.repeat(far_intensity(columns, turned), count) * cut
    return intensity


def _peak(model: _PanelModel, columns: tuple[arm.Arms, ...]) -> float:
    e = np.radians(np.linspace(-90.0, 90.0, 7201))
    cut = np.stack([np.cos(e), 0 * e, np.sin(e)], axis=1)
    return float(_intensity(model, columns, cut).max())
