"""Vertical whips: on the ground (a quarter wave to five eighths), or on a small ground plane of radials."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import ClassVar

import numpy as np

from core.antennas.base import Kind, parameter
from core.antennas.mast import drive_of
from core.arrays import Floats, Points
from core.errors import InputError
from core.fields import arms as arm
from core.fields import half_arms as half
from core.fields.mast_base import base_terms, combined
from core.fields.unit_field import Note, UnitField, raised, single_model
from core.geometry import segment_distance
from core.units import show_frequency, wavelength

MOUNTINGS = ("ground", "ground-plane")
GROUND_TRUST_WAVELENGTHS, PLANE_TRUST_WAVELENGTHS = 0.03, 0.1
SHORT_COVER_DB, LONG_COVER_DB = 1.0, 2.5
LONG = 0.3
"""Length in wavelengths above which the current is no longer so close to a sinusoid."""


@dataclass(frozen=True)
class Whip(Kind):
    """A vertical whip fed at its foot, which is its position."""

    KEY: ClassVar[str] = "whip"
    TITLE: ClassVar[str] = "vertical whip on ground or on a small ground plane"

    length: float = parameter("length", "length of the whip", low=0.01, high=60.0)
    mounting: str = parameter(
        "choice", "what the whip stands on", default="ground-plane", choices=MOUNTINGS
    )
    radius: float = parameter("length", "radius of the whip", default=0.002, low=0.0001, high=0.2)
    radials: int = parameter("count", "radials of the ground plane", default=4, low=3, high=16)
    radial_length: float = parameter(
        "wavelengths", "length of a radial", default=0.25, low=0.1, high=0.35
    )
    droop: float = parameter(
        "angle", "radials hang down by this angle, degrees", default=0.0, low=0.0, high=70.0
    )

    def __post_init__(self) -> None:
        if self.radius > self.length / 10.0:
            raise InputError(
                f"{self.radius:g} m is too thick for a whip {self.length:g} m long",
                field="radius",
                fix="Give the radius, at most a tenth of the length",
            )

    def unit_field(self, points: Points, frequency: float, *, conservative: bool) -> UnitField:
        arms = arms_of(self, frequency)
        at = points.astype(np.float64)
        if self.has_own_ground:
            at[:, 2] = np.abs(at[:, 2])
        # The whip, and its image or its radials.
        parts = [half.direct(arms.part(s), at) for s in (slice(0, 1), slice(1, None))]
        e2 = half.square(parts[0][0] + parts[1][0])
        h2 = half.square(parts[0][1] + parts[1][1])
        if conservative:
            e2, h2 = half.blind_floor(e2, h2, [h for _, h in parts])
        from_whip = segment_distance(at, np.zeros(3), np.array([0.0, 0.0, self.length]))
        drive = drive_of(complex(arms.loop[0]), self.length, self.radius, frequency)
        from_feed = np.linalg.norm(at, axis=1)
        base = base_terms(drive, from_whip, from_feed, conservative=conservative)
        e2, h2 = combined(e2, h2, *base, conservative=conservative)
        if conservative:
            e2, h2 = raised(e2, self.cover(frequency)), raised(h2, self.cover(frequency))
        reactive = half.metal_distance(arms, at) < self.trust(frequency)
        real = points.dtype
        return single_model(e2.astype(real), h2.astype(real), reactive)

    def cover(self, frequency: float) -> float:
        """Return the decibels that are added at a ``frequency`` in Hz."""
        return SHORT_COVER_DB if self.length <= LONG * wavelength(frequency) else LONG_COVER_DB

    @property
    def has_boresight(self) -> bool:
        return False

    def directivity(self, frequency: float) -> float:
        return _directivity(self, frequency)

    @property
    def has_own_ground(self) -> bool:
        return self.mounting == "ground"

    def trust(self, frequency: float) -> float:
        share = GROUND_TRUST_WAVELENGTHS if self.has_own_ground else PLANE_TRUST_WAVELENGTHS
        return max(share * wavelength(frequency), 10.0 * self.radius)

    def outline(self, frequency: float) -> Floats:
        wires = arms_of(self, frequency).segments
        return wires[:1] if self.has_own_ground else wires

    def notes(self, frequency: float, *, conservative: bool) -> tuple[Note, ...]:
        below = "its image in perfect ground" if self.has_own_ground else "its radials"
        floor = "; never less than both added blind to phase" if conservative else ""
        return (
            Note(
                f"exact field of the whip and {below}",
                "sinusoidal currents (Jordan and Balmain ch. 10, from memory) with the base voltage and "
                "current, derived for this project; power from the integral of the whole pattern",
                "Within a wavelength of a whip the far-field formula fails and E and H do not agree; both "
                f"are computed from the currents{floor}.",
                f"trusted from {self.trust(frequency):.2g} m from the metal; up to 1.0 dB low (2 dB for "
                "whips over 0.3 wavelength) against method-of-moments whips before the added decibels",
                self.cover(frequency) if conservative else 0.0,
            ),
        )

    def problems(self, frequency: float) -> tuple[str, ...]:
        tall = self.length / wavelength(frequency)
        if not 0.1 <= tall <= 0.7:
            return (
                f"the whip is {tall:.3g} wavelengths long at {show_frequency(frequency)}; the model was "
                "checked from 0.1 to 0.7",
            )
        return ()

    def assumptions(self) -> tuple[str, ...]:
        stand = (
            "perfectly conducting ground"
            if self.has_own_ground
            else f"{self.radials} radials of {self.radial_length:g} wavelength, {self.droop:g}° down"
        )
        return (f"whip {self.length:.4g} m long, radius {1000.0 * self.radius:.3g} mm, on {stand}",)


@lru_cache(maxsize=128)
def arms_of(whip: Whip, frequency: float) -> half.HalfArms:
    """Return the whip and its image or radials, radiating 1 W above the ground or all round.

    Parameters
    ----------
    frequency : float
        Hz.
    """
    lam = wavelength(frequency)
    k = 2.0 * np.pi / lam
    foot = float(np.sin(k * whip.length))
    if whip.has_own_ground:
        arms = half.make_half_arms(
            [0.0, 0.0, 0.0], [[0.0, 0.0, 1.0], [0.0, 0.0, -1.0]], whip.length, [1.0, -1.0],
            whip.radius, k,
        )  # fmt: skip
    else:
        turn = np.arange(whip.radials) * 2.0 * np.pi / whip.radials
        down = np.radians(whip.droop)
        spokes = np.stack(
            [np.cos(turn) * np.cos(down), np.sin(turn) * np.cos(down), 0 * turn - np.sin(down)], axis=1
        )  # fmt: skip
        # The foot's current comes out of the radials in equal parts.
        share = -foot / whip.radials / np.sin(k * whip.radial_length * lam)
        arms = half.make_half_arms(
            [0.0, 0.0, 0.0],
            np.concatenate([[[0.0, 0.0, 1.0]], spokes]),
            np.array([whip.length] + [whip.radial_length * lam] * whip.radials),
            np.array([1.0] + [share] * whip.radials),
            whip.radius,
            k,
        )
    unit, solid = arm.sphere(max(whip.length / lam, 0.5))
    power = float(half.intensity(arms, unit) @ solid)
    return arms.scaled(np.sqrt((2.0 if whip.has_own_ground else 1.0) / power))


@lru_cache(maxsize=128)
def _directivity(whip: Whip, frequency: float) -> float:
    theta, phi = np.meshgrid(np.radians(np.arange(0.25, 180.0, 0.5)), np.radians([0.0, 22.5, 45.0]))
    unit = np.stack(
        [np.sin(theta) * np.cos(phi), np.sin(theta) * np.sin(phi), np.cos(theta)], axis=-1
    ).reshape(-1, 3)
    return 4.0 * np.pi * float(half.intensity(arms_of(whip, frequency), unit).max())
