"""Vertical stacks of dipole bays: FM bays, omni sticks, VHF and UHF dipole arrays.

A bay is one vertical dipole, a turnstile of two crossed horizontal dipoles, or a ring of slanted dipoles
(circular). Every arm keeps its exact field; bays are phased for tilt and null fill.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import ClassVar

import numpy as np
from numpy.typing import NDArray

from core.antennas.base import Kind, parameter
from core.arrays import Floats, Points
from core.errors import InputError
from core.fields import arms as arm
from core.fields.unit_field import Note, UnitField, raised, single_model
from core.geometry import segment_distance
from core.units import show_frequency, wavelength

BAYS = ("vertical-dipole", "turnstile", "slant-ring")

COVER_DB = 2.0
"""Feed currents are assumed equal, not measured: near fields were then up to 2.1 dB low against
method-of-moments fields of the same stacks fed with equal voltages; the 0.1 dB left is inside the
0.5 dB the validation allows."""

TRUST_WAVELENGTHS = 0.1


@dataclass(frozen=True)
class Stack(Kind):
    """A vertical stack of equal bays, centred on the antenna's position."""

    KEY: ClassVar[str] = "stack"
    TITLE: ClassVar[str] = "stack of dipole bays (FM bays, omni stick, dipole array)"

    bay: str = parameter("choice", "what one bay is made of", choices=BAYS)
    bays: int = parameter("count", "number of bays", low=1, high=64)
    design_frequency: float = parameter(
        "frequency", "frequency the lengths in wavelengths refer to", low=1e5, high=3e11
    )
    spacing: float = parameter(
        "wavelengths", "bay spacing, centre to centre", default=1.0, low=0.1, high=4.0
    )
    arm_length: float = parameter(
        "wavelengths", "length of a dipole, tip to tip", default=0.47, low=0.02, high=1.3
    )
    ring_radius: float = parameter(
        "wavelengths", "radius of a slant ring", default=0.23, low=0.05, high=1.0
    )
    ring_dipoles: int = parameter("count", "dipoles in a slant ring", default=4, low=3, high=16)
    slant: float = parameter(
        "angle",
        "slant of ring dipoles from the vertical, degrees",
        default=45.0,
        low=0.0,
        high=90.0,
    )
    beam_tilt: float = parameter(
        "angle", "electrical beam tilt, degrees down", default=0.0, low=-30.0, high=30.0
    )
    null_fill: float = parameter(
        "number",
        "power split: extra field share of the lower half, 0 to 0.5",
        default=0.0,
        low=0.0,
        high=0.5,
    )

    def arms(self, frequency: float) -> arm.Arms:
        """Return the arms at a frequency, radiating 1 W."""
        return _arms(self, frequency)

    def unit_field(self, points: Points, frequency: float, *, conservative: bool) -> UnitField:
        arms = self.arms(frequency)
        total = arm.arm_sum(arms, points, common_direction=conservative)
        e2, h2 = total.e2, total.h2
        if conservative:
            e2 = raised(np.maximum(e2, total.e2_each), COVER_DB)
            h2 = raised(np.maximum(h2, total.h2_each), COVER_DB)
        metal = np.minimum(arm.metal_distance(arms, points), self.mast_distance(points))
        return single_model(e2, h2, metal < self.trust(frequency))

    def mast_distance(self, points: Points) -> Floats:
        """Distance (n,) in m from the line through the bays: radome, pole and feed count as metal."""
        half = (self.bays - 1) / 2.0 * self.spacing * wavelength(self.design_frequency)
        end = np.array([0.0, 0.0, half])
        return segment_distance(points, -end, end)

    @property
    def has_boresight(self) -> bool:
        return False

    @property
    def is_circular(self) -> bool:
        return self.bay == "slant-ring"

    def fits(self, frequency: float) -> None:
        ratio = frequency / self.design_frequency
        if not 0.25 <= ratio <= 4.0:
            raise InputError(
                f"{show_frequency(frequency)} on bays made for {show_frequency(self.design_frequency)}",
                field="frequency",
                fix="Check the units of the carrier's frequency and of design_frequency",
            )

    def problems(self, frequency: float) -> tuple[str, ...]:
        words = []
        if not 0.8 <= frequency / self.design_frequency <= 1.25:
            words.append(
                f"{show_frequency(frequency)} is far from the design frequency "
                f"{show_frequency(self.design_frequency)}"
            )
        if self.bays > 1 and self.spacing > 1.2:
            words.append(
                f"bays {self.spacing:g} wavelengths apart are unusual: metres taken for wavelengths?"
            )
        return tuple(words)

    def directivity(self, frequency: float) -> float:
        return _directivity(self, frequency)

    def licence_gain(self, frequency: float) -> float:
        return _licence_gain(self, frequency)

    def trust(self, frequency: float) -> float:
        return TRUST_WAVELENGTHS * wavelength(frequency)

    def outline(self, frequency: float) -> Floats:
        a = self.arms(frequency)
        ends = a.half_length[:, None] * a.axis
        return np.stack([a.centre - ends, a.centre + ends], axis=1)

    def notes(self, frequency: float, *, conservative: bool) -> tuple[Note, ...]:
        trust = self.trust(frequency)
        return (
            Note(
                "exact field of every dipole arm, summed",
                "three-wave field of the sinusoidal dipole (Balanis, Antenna Theory, ch. 8); power from "
                "the integral of the whole pattern",
                "Near a stack the far-field formulas fail. Each arm's exact electric and magnetic field "
                "is added with its phase"
                + (
                    "; never less than the arms' powers added blind to phase, because the feed currents "
                    "are assumed and not measured."
                    if conservative
                    else "."
                ),
                f"trusted from {trust:.2g} m (0.1 wavelength) from the metal; with assumed currents up to "
                "2.1 dB low before the added decibels",
                COVER_DB if conservative else 0.0,
            ),
        )

    def assumptions(self) -> tuple[str, ...]:
        return (
            f"{self.bays} equal bays ({self.bay.replace('-', ' ')}), {self.spacing:g} wavelength apart, "
            f"arms {self.arm_length:g} wavelength, equal currents",
            "mast, ladder and feed lines do not re-radiate in the model",
        )


def bay_weights(heights: Floats, k: float, tilt: float, null_fill: float) -> NDArray[np.complex128]:
    """Return complex feed weights of bays at heights (n,) m.

    Beam tilt by progressive phase +k z sin(tilt), so that upper bays lead and the beam goes down; null
    fill by giving the lower half more field (a 70/30 power split is 0.21), both common practice.
    """
    phase = np.exp(1j * k * heights * np.sin(np.radians(tilt)))
    amplitude = np.where(
        heights < -1e-9, 1.0 + null_fill, np.where(heights > 1e-9, 1.0 - null_fill, 1.0)
    )
    weights: NDArray[np.complex128] = amplitude * phase
    return weights


def stack_heights(count: int, spacing: float) -> Floats:
    """Return heights (count,) in m of equal bays centred on zero.

    Parameters
    ----------
    spacing : float
        Wavelengths or m, as the caller counts.
    """
    return (np.arange(count) - (count - 1) / 2.0) * spacing


@lru_cache(maxsize=256)
def _arms(stack: Stack, frequency: float) -> arm.Arms:
    k = 2.0 * np.pi / wavelength(frequency)
    unit = wavelength(stack.design_frequency)
    heights = stack_heights(stack.bays, stack.spacing * unit)
    weights = bay_weights(heights, k, stack.beam_tilt, stack.null_fill)
    centre, axis, current = _bay(stack, unit)
    centres = (heights[:, None, None] * np.array([0.0, 0.0, 1.0]) + centre).reshape(-1, 3)
    axes = np.broadcast_to(axis, (stack.bays, *axis.shape)).reshape(-1, 3)
    currents = np.outer(weights, current).ravel()
    half = stack.arm_length * unit / 2.0
    return arm.normalised(arm.make_arms(centres, axes, half, currents, k))


def _bay(stack: Stack, unit: float) -> tuple[Floats, Floats, NDArray[np.complex128]]:
    if stack.bay == "vertical-dipole":
        return np.zeros((1, 3)), np.array([[0.0, 0.0, 1.0]]), np.ones(1, np.complex128)
    if stack.bay == "turnstile":
        return np.zeros((2, 3)), np.eye(3)[:2], np.array([1.0, 1j])
    angle = np.arange(stack.ring_dipoles) * 2.0 * np.pi / stack.ring_dipoles
    out = np.stack([np.cos(angle), np.sin(angle), 0 * angle], axis=1)
    around = np.stack([-np.sin(angle), np.cos(angle), 0 * angle], axis=1)
    lean = np.radians(stack.slant)
    axis = np.cos(lean) * np.array([0.0, 0.0, 1.0]) + np.sin(lean) * around
    return stack.ring_radius * unit * out, axis, np.ones(stack.ring_dipoles, np.complex128)


@lru_cache(maxsize=256)
def _directivity(stack: Stack, frequency: float) -> float:
    return 4.0 * np.pi * arm.peak_intensity(stack.arms(frequency))


@lru_cache(maxsize=256)
def _licence_gain(stack: Stack, frequency: float) -> float:
    return 4.0 * np.pi * arm.cone_intensity(stack.arms(frequency), -stack.beam_tilt)
