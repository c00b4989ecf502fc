"""Sector panels: a column of dipoles before a reflector, one or more bands in one radome.

In front (60° either side) the dipoles and their images in the reflector keep their exact fields. Beside,
behind and below, a product of two cuts would lose 15 to 19 dB, so the azimuth cut is used with the
dipoles' powers added, isotropic in elevation.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import ClassVar

import numpy as np
from numpy.typing import NDArray

from core.antennas.base import Kind, parameter
from core.antennas.stack import stack_heights
from core.arrays import Floats, Points
from core.errors import InputError
from core.fields import arms as arm
from core.fields import elements as el
from core.fields import one_arm
from core.fields.array_factor import FAR_ELEVATION, array_factor
from core.fields.unit_field import Note, UnitField, blend, raised, ramp
from core.units import ETA0, show_frequency, wavelength

FRONT_TRUST, SIDE_TRUST = 0.2, 0.5
FRONT_COVER_DB, SIDE_COVER_DB = 1.0, 1.5
FRONT_EDGE = 60.0
SIDE_FULL = 75.0
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
    electrical_tilt: float = parameter(
        "angle", "electrical tilt, degrees down", default=0.0, low=-30.0, high=30.0
    )


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
        phi = np.degrees(np.arctan2(np.abs(points[:, 1]), points[:, 0]))
        # Straight above and below the panel an azimuth means nothing: there the way past the end
        # counts as sideways too, so that the two models meet without a step.
        past = 0.5 * np.maximum(np.abs(points[:, 2]) - self.length / 2.0, 0.0)
        turn = np.degrees(np.arctan2(np.hypot(points[:, 1], past), points[:, 0]))
        side = ramp(turn, FRONT_EDGE - 8.0, FRONT_EDGE)
        e2, h2 = self._front(model, points, phi, conservative=conservative)
        if side.any():
            wide = side > 0
            se2, sh2 = self._side(model, points[wide], conservative=conservative)
            lower = model.turned(phi[wide], turn[wide])
            se2, sh2 = se2 * lower, sh2 * lower
            # The front field fades out past 60°, where the image stands for a screen of no end.
            fade = (1.0 - ramp(turn[wide], SIDE_FULL, 90.0)).astype(points.dtype)
            se2 = np.maximum(se2, e2[wide] * fade)
            sh2 = np.maximum(sh2, h2[wide] * fade)
            e2[wide] = blend(e2[wide], np.maximum(se2, e2[wide] * fade), side[wide])
            h2[wide] = blend(h2[wide], np.maximum(sh2, h2[wide] * fade), side[wide])
        distance = self.box_distance(points, frequency)
        lam = wavelength(frequency)
        trust = lam * (FRONT_TRUST + (SIDE_TRUST - FRONT_TRUST) * side)
        return UnitField(e2, h2, distance < trust, (side > 0.5).astype(np.int8))

    def _front(
        self, model: _PanelModel, points: Points, phi: Floats, *, conservative: bool
    ) -> tuple[Floats, Floats]:
        e2: Floats = np.zeros(len(points), points.dtype)
        h2: Floats = np.zeros(len(points), points.dtype)
        ahead = phi < 90.0
        if ahead.any():
            shape = model.shape(np.minimum(phi[ahead], SIDE_FULL))
            de2, dh2 = column_sums(model.front, points[ahead], quick=conservative)
            e2[ahead], h2[ahead] = de2 * shape, dh2 * shape
        if conservative:
            e2, h2 = raised(e2, FRONT_COVER_DB), raised(h2, FRONT_COVER_DB)
        return e2, h2

    def _side(
        self, model: _PanelModel, points: Points, *, conservative: bool
    ) -> tuple[Floats, Floats]:
        e2, h2 = el.phasor_sum(model.side, points, common_direction=conservative)
        if not conservative:
            return e2, h2
        floor = el.power_sum(model.side, points, keep_azimuth=True)
        e2, h2 = el.floored(e2, h2, floor)
        return raised(e2, SIDE_COVER_DB), raised(h2, SIDE_COVER_DB)

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

    def trust(self, frequency: float) -> float:
        return SIDE_TRUST * wavelength(frequency)

    def outline(self, frequency: float) -> Floats:
        depth = self.stand_off * wavelength(frequency)
        y, z = self.width / 2.0, self.length / 2.0
        corners = np.array([[-depth, -y], [-depth, y], [0.0, y], [0.0, -y]])
        ring = [[[*corners[i], s], [*corners[(i + 1) % 4], s]] for s in (-z, z) for i in range(4)]
        posts = [[[*c, -z], [*c, z]] for c in corners]
        return np.array(ring + posts)

    def notes(self, frequency: float, *, conservative: bool) -> tuple[Note, ...]:
        lam = wavelength(frequency)
        return (
            Note(
                "dipoles with their images in the reflector, exact fields summed",
                "three-wave field of the sinusoidal dipole (Balanis, Antenna Theory, ch. 8) with image "
                "theory; power from the integral of the whole pattern",
                "In front of a panel, within 60° of its boresight, the near field of every dipole and its "
                "mirror image is added with its phase and shaped to the stated azimuth width.",
                f"trusted from {FRONT_TRUST * lam:.2g} m (0.2 wavelength) from the radome; up to 1.2 dB low "
                "against method-of-moments panels before the added decibels",
                FRONT_COVER_DB if conservative else 0.0,
            ),
            Note(
                "azimuth cut with the dipoles' powers added, isotropic in elevation"
                if conservative
                else "phasor sum of dipoles with the azimuth cut",
                "phasor sum of elements (ITU-T K.70 synthetic model, from memory) with a floor that is blind "
                "to phase",
                "Beside, behind, above and below a panel its elevation pattern is not the front's; the "
                "product of two cuts can be 15 to 19 dB too low there, so no credit is taken for elevation.",
                f"trusted from {SIDE_TRUST * lam:.2g} m (0.5 wavelength) from the radome; can be far too high "
                "and up to 1.5 dB low before the added decibels",
                SIDE_COVER_DB if conservative else 0.0,
            ),
        )

    def assumptions(self) -> tuple[str, ...]:
        words = []
        for b in self.bands:
            words.append(
                f"{show_frequency(b.low)} to {show_frequency(b.high)}: {b.elements} dipoles "
                f"{b.spacing:.3g} m apart before a reflector, azimuth width {b.azimuth_width:g}°, "
                f"front-to-back {b.front_to_back:g} dB, electrical tilt {b.electrical_tilt:g}° down"
            )
        return tuple(words)


@dataclass(frozen=True, eq=False)
class _PanelModel:
    front: tuple[arm.Arms, ...]
    side: el.Elements
    width: float
    back: float
    stand_off_k: float
    directivity: float

    def turned(self, phi: Floats, turn: Floats) -> Floats:
        """Power ratio of the azimuth cut at ``turn`` to that at ``phi``, never above 1.

        Below and above a panel the azimuth of a place runs through all values within a step; the angle
        off the boresight that counts the way past the end does not.
        """
        cut = el.lobe(self.width, self.back)
        ratio: Floats = np.minimum((cut(turn) / cut(phi)) ** 2, phi.dtype.type(1.0))
        return ratio

    def shape(self, phi: Floats) -> Floats:
        """Power ratio of the stated azimuth cut to the cut of dipoles before an endless screen."""
        cut = el.lobe(self.width, self.back)(phi) ** 2
        image = (np.sin(self.stand_off_k * np.cos(np.radians(phi))) / np.sin(self.stand_off_k)) ** 2
        ratio: Floats = (cut / np.maximum(image, 1e-3)).astype(phi.dtype)
        return ratio


@lru_cache(maxsize=256)
def model_of(panel: Panel, frequency: float) -> _PanelModel:
    """Return the parts of a panel's model at a ``frequency`` in Hz; made once."""
    band = panel.band(frequency)
    lam = wavelength(frequency)
    k = 2.0 * np.pi / lam
    heights = stack_heights(band.elements, band.spacing)
    phases = np.exp(1j * k * heights * np.sin(np.radians(band.electrical_tilt)))
    leans = (0.0,) if panel.polarisation == "vertical" else (45.0, -45.0)
    columns = [_column(heights, phases, lean, panel.stand_off, lam) for lean in leans]
    raw = _PanelModel(
        tuple(columns),
        _side_elements(heights, phases, band, lam),
        band.azimuth_width,
        band.front_to_back,
        panel.stand_off * 2.0 * np.pi,
        1.0,
    )
    unit, solid = arm.sphere(max(a.reach for a in columns) / lam)
    front = tuple(
        arm.Arms(
            a.centre,
            a.axis,
            a.half_length,
            a.current / np.sqrt(float(_intensity(raw, a, unit) @ solid) * len(columns)),
            a.k,
        )
        for a in columns
    )
    return _PanelModel(
        front,
        el.normalised(raw.side),
        raw.width,
        raw.back,
        raw.stand_off_k,
        4.0 * np.pi * _peak(raw, front),
    )


def column_sums(
    columns: tuple[arm.Arms, ...], points: Points, *, quick: bool
) -> tuple[Floats, Floats]:
    """Return E² and H² (n,) of the polarisations added in power.

    With ``quick``, far out both polarisations share one array factor: same places, same phases,
    another lean.

    Parameters
    ----------
    columns : tuple[arm.Arms, ...]
        The columns of dipoles.
    points : array, shape (n, 3)
        Places, m; their precision is kept.
    """
    first = columns[0]
    e2: Floats = np.zeros(len(points), points.dtype)
    h2: Floats = np.zeros(len(points), points.dtype)
    r = np.sqrt(np.einsum("ij,ij->i", points, points))
    far = quick & (r > arm.far_from(first)) & (np.abs(points[:, 2]) < FAR_ELEVATION * r)
    if far.any():
        unit = points[far] / r[far, None]
        factor, _ = array_factor(first.centre, first.current, first.k, points[far])
        power = factor.real**2 + factor.imag**2
        element: Floats = np.zeros(len(unit), points.dtype)
        for column in columns:
            scale = abs(column.current[0] / first.current[0]) ** 2
            axis = column.axis[0].astype(points.dtype)
            moment, cos_t = one_arm.element_moment(
                unit, axis, float(column.half_length[0]), first.k
            )
            element += points.dtype.type(scale) * moment**2 * (1.0 - cos_t**2)
        e2[far] = power * element * points.dtype.type((ETA0 / (2.0 * np.pi)) ** 2)
        h2[far] = e2[far] / points.dtype.type(ETA0**2)
    close = ~far
    if close.any():
        for column in columns:
            total = arm.arm_sum(column, points[close])
            e2[close] += total.e2
            h2[close] += total.h2
    return e2, h2


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


def _side_elements(
    heights: Floats, phases: NDArray[np.complex128], band: PanelBand, lam: float
) -> el.Elements:
    centre = np.zeros((len(heights), 3))
    centre[:, 2] = heights
    return el.Elements(
        centre,
        np.zeros(len(heights)),
        phases,
        el.lobe(band.azimuth_width, band.front_to_back),
        el.dipole_elevation,
        "vertical",
        2.0 * np.pi / lam,
        0.25 * lam,
    )


def _intensity(model: _PanelModel, arms: arm.Arms, unit: Floats) -> Floats:
    """Radiation intensity of one polarisation: shaped in front, the azimuth cut alone behind 90°."""
    far = arm.far_pattern(arms, unit)
    phi = np.degrees(np.arctan2(np.abs(unit[:, 1]), unit[:, 0]))
    u = np.sum(np.abs(far) ** 2, axis=1) / ETA0
    shaped = u * model.shape(np.minimum(phi, SIDE_FULL))
    turned = unit.copy()
    across = np.hypot(unit[:, 0], unit[:, 1])
    turned[:, 0], turned[:, 1] = across, 0.0
    ahead = np.sum(np.abs(arm.far_pattern(arms, turned)) ** 2, axis=1) / ETA0
    cut = ahead * el.lobe(model.width, model.back)(phi) ** 2
    intensity: Floats = np.where(phi <= SIDE_FULL, shaped, cut)
    return intensity


def _peak(model: _PanelModel, columns: tuple[arm.Arms, ...]) -> float:
    e = np.radians(np.linspace(-90.0, 90.0, 7201))
    cut = np.stack([np.cos(e), 0 * e, np.sin(e)], axis=1)
    return float(np.sum([_intensity(model, a, cut) for a in columns], axis=0).max())
