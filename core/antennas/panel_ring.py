"""Broadcast panels or slots on the faces of a mast, several levels high (FM, VHF and UHF TV).

Every panel is an element known by its pattern; all are summed as phasors from their own places.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache
from typing import ClassVar

import numpy as np

from core.antennas.base import FM_HIGH, FM_LOW, Kind, parameter
from core.antennas.stack import bay_weights, stack_heights
from core.arrays import Floats, Points
from core.errors import InputError
from core.fields import elements as el
from core.fields.unit_field import Note, UnitField, raised, single_model
from core.units import from_db, show_frequency, wavelength

TRUST_WAVELENGTHS = 0.3
COVER_DB = 1.5
ALL_ROUND_DB = -2.5
"""Of the isotropic value: least that counts in any direction (own fit to method-of-moments panels on a column: over
and under the open end of the column, within two wavelengths)."""

MOST_WAVELENGTHS = 8.0
"""A panel that is higher than this at a frequency was not made for it."""


@dataclass(frozen=True)
class PanelRing(Kind):
    """Levels of panels around a mast; the position is the centre of the whole array."""

    KEY: ClassVar[str] = "panel-ring"
    TITLE: ClassVar[str] = "panels or slots on several faces (TV or FM panel array)"

    levels: int = parameter("count", "levels of panels", low=1, high=64)
    spacing: float = parameter("length", "level spacing, centre to centre", low=0.05, high=20.0)
    faces: int = parameter("count", "panels around the mast", low=1, high=12)
    radius: float = parameter("length", "panel face from the mast's axis", low=0.0, high=10.0)
    panel_height: float = parameter("length", "height of one panel", low=0.02, high=20.0)
    azimuth_width: float = parameter(
        "angle",
        "half-power width of one panel in azimuth, degrees",
        default=65.0,
        low=15.0,
        high=170.0,
    )
    front_to_back: float = parameter(
        "loss", "front-to-back ratio of one panel", default=20.0, low=6.0, high=50.0
    )
    polarisation: str = parameter(
        "choice", "polarisation", default="horizontal", choices=("horizontal", "vertical", "either")
    )
    beam_tilt: float | None = parameter(
        "angle",
        "electrical beam tilt, degrees down; left out, every usual tilt of broadcast antennas counts",
        optional=True,
        low=-30.0,
        high=30.0,
    )
    null_fill: float = parameter(
        "number", "extra field share of the lower half, 0 to 0.5", default=0.0, low=0.0, high=0.5
    )
    circular: bool | None = parameter(
        "flag",
        "circular polarisation: ERP is stated for each of two polarisations",
        optional=True,
    )
    face_fields: tuple[float, ...] = parameter(
        "numbers", "relative field of each face, first face on the boresight", default=()
    )

    @property
    def tilt(self) -> float:
        """Beam tilt in degrees down; level where none is said."""
        return self.beam_tilt or 0.0

    def __post_init__(self) -> None:
        fields = self.face_fields
        if fields and not (all(0.0 <= f <= 100.0 for f in fields) and max(fields) >= 1e-6):
            raise InputError(
                "needs fields of 0 to 100, the largest at least 1e-6",
                field="face_fields",
                fix="Give the relative field of each face, like [1, 1, 0.5]",
            )

    def fits(self, frequency: float) -> None:
        tall = self.panel_height / wavelength(frequency)
        if not 0.05 <= tall <= MOST_WAVELENGTHS:
            raise InputError(
                f"a panel of {self.panel_height:g} m is {tall:.3g} wavelengths high at "
                f"{show_frequency(frequency)}",
                field="frequency",
                fix=f"Check the units: panels are 0.05 to {MOST_WAVELENGTHS:g} wavelengths high",
            )

    def unit_field(self, points: Points, frequency: float, *, conservative: bool) -> UnitField:
        elements = elements_of(self, frequency)
        e2, h2 = el.phasor_sum(
            elements, points, common_direction=conservative, faces_agree=conservative
        )
        if conservative:
            e2, h2 = el.floored(e2, h2, least_power(elements, points))
            e2, h2 = raised(e2, COVER_DB), raised(h2, COVER_DB)
        near = np.minimum(el.metal_distance(elements, points), self.core_distance(points))
        return single_model(e2, h2, near < self.trust(frequency))

    def core_distance(self, points: Points) -> Floats:
        """Distance (n,) from the cylinder the panels stand on: inside it no pattern means anything."""
        half = ((self.levels - 1) * self.spacing + self.panel_height) / 2.0
        across = np.maximum(np.hypot(points[:, 0], points[:, 1]) - self.radius, 0.0)
        along = np.maximum(np.abs(points[:, 2]) - half, 0.0)
        distance: Floats = np.hypot(across, along)
        return distance

    def directivity(self, frequency: float) -> float:
        return _directivity(self, frequency)

    def licence_gain(self, frequency: float) -> float:
        return _licence_gain(self, frequency)

    @property
    def is_circular(self) -> bool:
        return self.circular is True

    def may_be_circular(self, frequency: float) -> bool:
        return self.circular is None and FM_LOW <= frequency <= FM_HIGH

    def beam_size(self, frequency: float) -> float:
        del frequency
        return self.panel_height

    @property
    def is_backed(self) -> bool:
        return True

    def trust(self, frequency: float) -> float:
        return TRUST_WAVELENGTHS * wavelength(frequency)

    def outline(self, frequency: float) -> Floats:
        elements = elements_of(self, frequency)
        half = np.array([0.0, 0.0, self.panel_height / 2.0])
        return np.stack([elements.centre - half, elements.centre + half], axis=1)

    def problems(self, frequency: float) -> tuple[str, ...]:
        if self.face_fields and len(self.face_fields) != self.faces:
            return (f"face_fields has {len(self.face_fields)} values for {self.faces} faces",)
        return ()

    def notes(self, frequency: float, *, conservative: bool) -> tuple[Note, ...]:
        return (
            Note(
                "phasor sum of panels",
                "elements summed with their own patterns and places (ITU-R BS.1195 part 1 and ITU-T K.70 "
                "synthetic model, both from memory); power from the integral of the whole pattern",
                "Each panel radiates from its own place, so the beam forms as it does in the air; the larger "
                "of the electric and the magnetic sum is taken"
                + (
                    ". What different faces send meets in phase, because nobody says how they are fed; never less "
                    "than the panels' powers added blind to phase, isotropic in elevation, nor than "
                    f"{ALL_ROUND_DB:g} dBi."
                    if conservative
                    else "."
                ),
                f"trusted from {self.trust(frequency):.2g} m (0.3 wavelength) from the panels; against computed panels "
                "on columns up to 1 dB low in one place of 500, 4 dB where faces differ and the radius is that of the "
                "dipoles",
                COVER_DB if conservative else 0.0,
            ),
        )

    def assumptions(self) -> tuple[str, ...]:
        return (
            f"{self.levels} levels of {self.faces} panels, {self.spacing:.3g} m apart, {self.azimuth_width:g}° "
            "wide each, "
            + ("no beam tilt said" if self.beam_tilt is None else f"beam tilt {self.tilt:g}° down"),
        )


def share_all_round(elements: el.Elements) -> float:
    """Return the factor by which all elements' squared weights, isotropic, make :data:`ALL_ROUND_DB`."""
    return from_db(ALL_ROUND_DB) / float(np.sum(np.abs(elements.weight) ** 2))


def least_power(elements: el.Elements, points: Points) -> Floats:
    """Return the power density (n,) that a reading is never below, W/m² for 1 W.

    The panels' powers added blind to phase, isotropic in elevation; and a share of the power spread evenly
    all round, because over and under the mast no panel's azimuth pattern means anything.

    Parameters
    ----------
    elements : Elements
        The panels.
    points : array, shape (n, 3)
        Places, m; their precision is kept.
    """
    aimed, even = el.power_sums(elements, points)
    return np.maximum(aimed, even * points.dtype.type(share_all_round(elements)))


@lru_cache(maxsize=128)
def elements_of(ring: PanelRing, frequency: float) -> el.Elements:
    """Return the panels of all bays as pattern elements at a ``frequency`` in Hz.

    Parameters
    ----------
    ring : PanelRing
        The panel ring.
    """
    lam = wavelength(frequency)
    k = 2.0 * np.pi / lam
    heights = stack_heights(ring.levels, ring.spacing)
    level = bay_weights(heights, k, ring.tilt, ring.null_fill)
    azimuth = np.arange(ring.faces) * 360.0 / ring.faces
    turn = np.radians(azimuth)
    out = ring.radius * np.stack([np.cos(turn), -np.sin(turn), 0 * turn], axis=1)
    face = np.array(ring.face_fields if len(ring.face_fields) == ring.faces else [1.0] * ring.faces)
    centres = heights[:, None, None] * np.array([0.0, 0.0, 1.0]) + out
    # One panel is itself a short stack of dipoles: its elevation pattern narrows with its height.
    dipoles = max(1, int(np.ceil(ring.panel_height / (0.75 * lam) - 0.01)))
    step = ring.panel_height / dipoles

    def vertical(theta: Floats) -> Floats:
        half = theta.dtype.type(0.5 * k * step) * np.sin(np.radians(theta))
        value = el.dipole_elevation(theta)
        if dipoles > 1:
            near_zero = np.abs(np.sin(half)) < 1e-6
            array = np.sin(dipoles * half) / np.where(near_zero, 1.0, dipoles * np.sin(half))
            value = value * np.where(near_zero, 1.0, array)
        shaped: Floats = value.astype(theta.dtype)
        return shaped

    return el.normalised(
        el.Elements(
            centres.reshape(-1, 3),
            np.tile(azimuth, ring.levels),
            np.outer(level, face).ravel(),
            el.lobe(ring.azimuth_width, ring.front_to_back),
            vertical,
            ring.polarisation,
            k,
            min(ring.panel_height, lam) / 2.0,
        )
    )


def _either(ring: PanelRing, frequency: float) -> tuple[PanelRing, PanelRing]:
    """Return the ring with its waves from the panels' faces, and from a quarter wave behind them.

    What faces send together depends on where on them the wave begins, and "the face" may be radome or reflector.
    """
    return ring, replace(ring, radius=max(ring.radius - wavelength(frequency) / 4.0, 0.0))


@lru_cache(maxsize=128)
def _directivity(ring: PanelRing, frequency: float) -> float:
    return min(el.directivity(elements_of(one, frequency)) for one in _either(ring, frequency))


@lru_cache(maxsize=128)
def _licence_gain(ring: PanelRing, frequency: float) -> float:
    turn, up = np.radians(np.arange(0.0, 360.0, 1.0)), np.radians(-ring.tilt)
    unit = np.stack(
        [np.cos(up) * np.cos(turn), np.cos(up) * np.sin(turn), np.full_like(turn, np.sin(up))],
        axis=1,
    )
    peaks = (
        el.far_intensity(elements_of(one, frequency), unit).max()
        for one in _either(ring, frequency)
    )
    return 4.0 * np.pi * float(min(peaks))
