"""Centre-fed wire dipoles, straight or inverted V, over real or perfect ground or in free space."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import ClassVar

import numpy as np

from core.antennas.base import Kind, parameter
from core.antennas.mast import drive_of
from core.arrays import Complexes, Floats, Points
from core.errors import InputError
from core.fields import ground as gr
from core.fields import half_arms as half
from core.fields.mast_base import Drive, base_terms, combined
from core.fields.unit_field import Note, UnitField, raised, single_model
from core.units import ETA0, show_frequency, wavelength

GROUNDS = ("real", "perfect", "none")
TRUST_WAVELENGTHS, THICK_TRUST_WAVELENGTHS = 0.03, 0.1
THIN = 5e-4
"""Wires thinner than this part of a wavelength keep their field close in."""
LOW = 0.1
"""Heights in wavelengths below which the ground model was not checked."""

SHORT_COVER_DB, LONG_COVER_DB = 1.0, 3.0
LONG = 0.65
"""Length in wavelengths above which the current is no longer so close to a sinusoid."""


@dataclass(frozen=True)
class HfDipole(Kind):
    """A wire dipole across the antenna's boresight; its position is the ground below the feed point."""

    KEY: ClassVar[str] = "hf-dipole"
    TITLE: ClassVar[str] = "wire dipole or inverted V (HF) with its ground"

    length: float = parameter("length", "length of the wire, tip to tip", low=0.1, high=500.0)
    height: float = parameter("length", "height of the feed point above z = 0", low=0.0, high=300.0)
    droop: float = parameter(
        "angle", "arms hang down by this angle (inverted V), degrees", default=0.0, low=0.0, high=80.0
    )  # fmt: skip
    radius: float = parameter(
        "length", "radius of the wire", default=0.001, low=0.0001, high=0.1
    )  # fmt: skip
    ground: str = parameter(
        "choice", "ground at z = 0; none is free space, with the site's reflection factor",
        default="real", choices=GROUNDS,
    )  # fmt: skip
    permittivity: float = parameter(
        "number", "relative permittivity of real ground", default=13.0, low=1.0, high=100.0
    )
    conductivity: float = parameter(
        "number", "conductivity of real ground, S/m", default=0.005, low=0.0, high=10.0
    )

    def __post_init__(self) -> None:
        lowest = self.height - 0.5 * self.length * np.sin(np.radians(self.droop))
        if self.ground != "none" and lowest < 0.1:
            raise InputError(
                f"the wire's lowest point is {lowest:.3g} m above the ground",
                field="height",
                fix="Raise it to 0.1 m or more, or correct length and droop",
            )

    def unit_field(self, points: Points, frequency: float, *, conservative: bool) -> UnitField:
        arms = self.arms(frequency, conservative=conservative)
        at = points.astype(np.float64)
        if self.has_own_ground:
            at[:, 2] = np.abs(at[:, 2])
        parts = self._parts(arms, at, frequency)
        e2 = half.square(np.sum([e for e, _ in parts], axis=0))
        h2 = half.square(np.sum([h for _, h in parts], axis=0))
        if conservative:
            e2, h2 = half.blind_floor(e2, h2, [h for _, h in parts])
        distance = half.metal_distance(arms, at)
        from_feed = np.linalg.norm(at - [0.0, 0.0, self.height], axis=1)
        base = base_terms(
            self.drive(arms, frequency), distance, from_feed, conservative=conservative
        )
        e2, h2 = combined(e2, h2, *base, conservative=conservative)
        if conservative:
            e2, h2 = raised(e2, self.cover(frequency)), raised(h2, self.cover(frequency))
        real = points.dtype
        return single_model(e2.astype(real), h2.astype(real), distance < self.trust(frequency))

    def arms(self, frequency: float, *, conservative: bool) -> half.HalfArms:
        """Return the two arms, taking 1 W from the transmitter."""
        return _arms(self, frequency, conservative=conservative)

    def _parts(
        self, arms: half.HalfArms, at: Points, frequency: float
    ) -> list[tuple[Complexes, Complexes]]:
        """Fields direct and reflected, of a long wire arm by arm."""
        long = self.length > LONG * wavelength(frequency)
        groups = [arms.part(slice(0, 1)), arms.part(slice(1, 2))] if long else [arms]
        parts = [half.direct(group, at) for group in groups]
        if self.has_own_ground:
            constant = self.ground_constant(frequency)
            parts += [half.reflected(group, at, constant) for group in groups]
        return parts

    def drive(self, arms: half.HalfArms, frequency: float) -> Drive:
        """Each arm is fed as a mast of its length would be for the same loop current."""
        return drive_of(complex(arms.loop[0]), 0.5 * self.length, self.radius, frequency)

    def ground_constant(self, frequency: float) -> complex | None:
        """Return the relative complex permittivity of the ground at a ``frequency`` in Hz; None where it is perfect."""
        if self.ground == "perfect":
            return None
        return gr.complex_permittivity(self.permittivity, self.conductivity, frequency)

    def cover(self, frequency: float) -> float:
        """Return the decibels that are added at a ``frequency`` in Hz."""
        return SHORT_COVER_DB if self.length <= LONG * wavelength(frequency) else LONG_COVER_DB

    def directivity(self, frequency: float) -> float:
        return _directivity(self, frequency)

    @property
    def is_level(self) -> bool:
        return self.droop <= 45.0

    @property
    def has_own_ground(self) -> bool:
        return self.ground != "none"

    def trust(self, frequency: float) -> float:
        lam = wavelength(frequency)
        thin = self.radius < THIN * lam
        return (TRUST_WAVELENGTHS if thin else THICK_TRUST_WAVELENGTHS) * lam

    def outline(self, frequency: float) -> Floats:
        return self.arms(frequency, conservative=False).segments

    def notes(self, frequency: float, *, conservative: bool) -> tuple[Note, ...]:
        ground = {
            "real": "what the ground sends back is its image, reduced for real ground",
            "perfect": "what the ground sends back is its image in perfect ground",
            "none": "no ground is in it",
        }[self.ground]
        floor = "; never less than its parts added blind to phase" if conservative else ""
        return (
            Note(
                "exact field of the wire's two arms"
                + (" with their reflection in the ground" if self.has_own_ground else ""),
                "sinusoidal current (Jordan and Balmain ch. 10, from memory); Fresnel coefficients for the "
                "travelling part and the quasi-static image for the rest; power by the induced EMF method",
                "Most places near an HF wire are within its near field, where neither the far-field formula "
                f"nor one of E and H alone will do. {ground[0].upper()}{ground[1:]}{floor}.",
                f"trusted from {self.trust(frequency):.2g} m from the wire; half-wave dipoles over average "
                "ground within 0.4 dB (E 1.0 dB close below the feed) of a method-of-moments calculation "
                "with exact ground",
                self.cover(frequency) if conservative else 0.0,
            ),
        )

    def problems(self, frequency: float) -> tuple[str, ...]:
        lam = wavelength(frequency)
        problems = []
        if self.ground == "real" and self.height < LOW * lam:
            problems.append(
                f"the wire hangs {self.height / lam:.2g} wavelength above real ground at "
                f"{show_frequency(frequency)}; the ground model was not checked below {LOW:g}"
            )
        if self.length > 2.0 * lam:
            problems.append(
                f"the wire is {self.length / lam:.3g} wavelengths long at {show_frequency(frequency)}; the "
                "model was checked to 2"
            )
        return tuple(problems)

    def assumptions(self) -> tuple[str, ...]:
        soil = (
            f"ground with permittivity {self.permittivity:g} and {self.conductivity:g} S/m"
            if self.ground == "real"
            else {"perfect": "perfectly conducting ground", "none": "free space"}[self.ground]
        )
        return (
            f"centre-fed wire {self.length:.4g} m long, feed {self.height:.4g} m up, arms {self.droop:g}° "
            f"down, over {soil}; all power fed counts as radiated or lost in the ground",
        )


@lru_cache(maxsize=128)
def _arms(dipole: HfDipole, frequency: float, *, conservative: bool) -> half.HalfArms:
    lam = wavelength(frequency)
    down = np.radians(dipole.droop)
    axes = [[0.0, side * np.cos(down), -np.sin(down)] for side in (1.0, -1.0)]
    arms = half.make_half_arms(
        [0.0, 0.0, dipole.height], axes, dipole.length / 2.0, [1.0, -1.0], dipole.radius,
        2.0 * np.pi / lam,
    )  # fmt: skip
    power = half.accepted_power(
        arms, dipole.ground_constant(frequency), has_ground=dipole.has_own_ground
    )
    if conservative and dipole.ground == "real" and dipole.height < LOW * lam:
        # Losses in the ground close below are uncertain: the current is at least that in free space.
        power = min(power, half.accepted_power(arms, None, has_ground=False))
    return arms.scaled(1.0 / np.sqrt(power))


@lru_cache(maxsize=128)
def _directivity(dipole: HfDipole, frequency: float) -> float:
    # The far field is read off at a great distance, over the half space above the ground.
    arms = dipole.arms(frequency, conservative=False)
    theta, phi = np.meshgrid(
        np.radians(np.arange(0.25, 180.0, 0.5)), np.radians(np.arange(0, 91, 3))
    )
    unit = np.stack(
        [np.sin(theta) * np.cos(phi), np.sin(theta) * np.sin(phi), np.cos(theta)], axis=-1
    ).reshape(-1, 3)
    if dipole.has_own_ground:
        unit = unit[unit[:, 2] > 0.0]
    far = 1e4 * max(wavelength(frequency), dipole.height, dipole.length)
    e, _ = half.direct(arms, far * unit)
    if dipole.has_own_ground:
        e = e + half.reflected(arms, far * unit, dipole.ground_constant(frequency))[0]
    return float(4.0 * np.pi * far**2 * half.square(e).max() / ETA0)
