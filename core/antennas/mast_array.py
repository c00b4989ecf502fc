"""Directional arrays of medium-wave masts: complex fields of all masts summed, base terms for each.

Masts, field ratios and phases are given as a licence gives them (47 CFR 73.150): position by distance
and bearing from a reference point, field ratio in the horizontal plane, phase with a lead positive.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import ClassVar

import numpy as np
from numpy.typing import NDArray

from core.antennas import mast as one
from core.antennas.base import Kind, parameter
from core.arrays import Floats, Points
from core.errors import InputError
from core.fields import arms as arm
from core.fields.half_arms import square
from core.fields.mast_base import Drive, base_drive, base_terms, combined
from core.fields.unit_field import Note, UnitField, ramp
from core.geometry import segment_distance
from core.units import from_db, wavelength

CURRENT_COVER_DB = 1.0
"""On E and H: field ratios and phases drift within the licence, and mutual coupling bends the currents
of tall masts away from a sinusoid."""


@dataclass(frozen=True)
class ArrayMast:
    """One mast of a directional array."""

    height: float = parameter("length", "height of the mast above its base", low=1.0, high=700.0)
    field: float = parameter("number", "field ratio", low=0.0, high=100.0)
    phase: float = parameter("angle", "phase, degrees, lead positive", low=-360.0, high=360.0)
    distance: float = parameter(
        "length", "distance from the array's reference point", default=0.0, low=0.0, high=5000.0
    )
    bearing: float = parameter(
        "angle", "bearing from the reference point, degrees clockwise off the antenna's azimuth",
        default=0.0, low=-360.0, high=360.0,
    )  # fmt: skip
    radius: float = parameter(
        "length", "radius of the mast (half the face of a lattice mast)", default=0.25,
        low=0.005, high=5.0,
    )  # fmt: skip
    base_resistance: float | None = parameter(
        "number", "operating base resistance, ohm", low=-1e5, high=1e5, optional=True
    )
    base_reactance: float | None = parameter(
        "number", "operating base reactance, ohm", low=-1e5, high=1e5, optional=True
    )

    @property
    def place(self) -> Floats:
        """Base (3,) in the antenna frame, m."""
        angle = np.radians(self.bearing)
        return self.distance * np.array([np.cos(angle), -np.sin(angle), 0.0])


@dataclass(frozen=True)
class MastArray(Kind):
    """A directional array; its position is the reference point, with z = 0 the ground.

    With an azimuth of 0 the bearings are from true north.
    """

    KEY: ClassVar[str] = "am-array"
    TITLE: ClassVar[str] = "directional array of AM masts over ground"

    masts: tuple[ArrayMast, ...] = parameter("parts", "masts of the array", parts=ArrayMast)

    def __post_init__(self) -> None:
        if all(m.field == 0.0 for m in self.masts):
            raise InputError(
                "every mast has the field ratio 0", field="masts", fix="Give the reference mast 1"
            )
        for i, a in enumerate(self.masts):
            try:
                one.check_mast(a.height, a.radius, a.base_resistance, a.base_reactance)
            except InputError as error:
                raise error.within(f"masts[{i}]") from None
            for b in self.masts[:i]:
                if np.linalg.norm(a.place - b.place) < a.radius + b.radius:
                    raise InputError(
                        "stands where an earlier mast stands",
                        field=f"masts[{i}]",
                        fix="Give distance and bearing of each mast from the reference point",
                    )

    def unit_field(self, points: Points, frequency: float, *, conservative: bool) -> UnitField:
        drives = drives_of(self, frequency, conservative=conservative)
        n = len(points)
        e, h = np.zeros((n, 3), np.complex128), np.zeros((n, 3), np.complex128)
        e2_each, h2_each = np.zeros(n), np.zeros(n)
        e2_base, h2_base = np.zeros(n), np.zeros(n)
        nearest = np.full(n, np.inf)
        reactive = np.zeros(n, bool)
        for mast, drive in zip(self.masts, drives, strict=True):
            at = one.above_ground(points - mast.place.astype(points.dtype), mast.radius)
            ei, hi = one.sinusoid(at, drive)
            e, h = e + ei, h + hi
            e2_each += square(ei)
            h2_each += square(hi)
            distance = segment_distance(at, np.zeros(3), mast.height * one.UP)
            eb, hb = base_terms(drive, distance, conservative=conservative)
            e2_base += eb
            h2_base += hb
            nearest = np.minimum(nearest, distance)
            reactive |= distance < trust_of(mast)
        e2, h2 = square(e), square(h)
        if conservative:
            e2, h2 = np.maximum(e2, e2_each), np.maximum(h2, h2_each)
        e2, h2 = combined(e2, h2, e2_base, h2_base, conservative=conservative)
        up = ramp(np.abs(points[:, 2].astype(np.float64)), one.UP_FROM, one.UP_FULL)
        if conservative:
            e2, h2 = one.covered(e2, h2, up)
            e2, h2 = e2 * from_db(CURRENT_COVER_DB), h2 * from_db(CURRENT_COVER_DB)
        real = points.dtype
        return UnitField(e2.astype(real), h2.astype(real), reactive, (up > 0.5).astype(np.int8))

    def directivity(self, frequency: float) -> float:
        return _directivity(self, frequency)

    @property
    def has_own_ground(self) -> bool:
        return True

    def trust(self, frequency: float) -> float:
        return max(trust_of(m) for m in self.masts)

    def outline(self, frequency: float) -> Floats:
        return np.array([[m.place, m.place + m.height * one.UP] for m in self.masts])

    def notes(self, frequency: float, *, conservative: bool) -> tuple[Note, ...]:
        floor = (
            " Never less than the masts' own fields added blind to phase: no credit is taken for a null, "
            "and that floor lies above the quadrature term of 47 CFR 73.150."
            if conservative
            else ""
        )
        return tuple(
            Note(
                f"masts summed with their phases; {note.name}",
                f"{note.source}; arrays by 47 CFR 73.150; power from the integral of the whole pattern "
                "above the ground",
                f"{note.why} Every mast adds its complex field, so close in the nearest mast dominates and "
                f"far out the licensed pattern forms.{floor}",
                note.trust,
                note.added_db + (CURRENT_COVER_DB if conservative else 0.0),
            )
            for note in one.mast_notes(self.trust(frequency), conservative=conservative)
        )

    def problems(self, frequency: float) -> tuple[str, ...]:
        problems: dict[str, None] = {}
        for mast in self.masts:
            problems.update(dict.fromkeys(one.mast_problems(mast.height, mast.radius, frequency)))
        return tuple(problems)

    def assumptions(self) -> tuple[str, ...]:
        words = "; ".join(
            f"mast {i}: {m.height:.4g} m high, {m.distance:.4g} m at {m.bearing:g}°, field {m.field:g}, "
            f"phase {m.phase:g}°"
            for i, m in enumerate(self.masts, 1)
        )
        return (f"{len(self.masts)} base-fed masts over perfectly conducting ground; {words}",)


def trust_of(mast: ArrayMast) -> float:
    """Return the distance in m from one mast nearer than which there is no figure."""
    return max(one.TRUST_METRES, one.TRUST_RADII * mast.radius)


@lru_cache(maxsize=128)
def _arms(array: MastArray, frequency: float) -> arm.Arms:
    k = 2.0 * np.pi / wavelength(frequency)
    heights = np.array([m.height for m in array.masts])
    # A field ratio is the field in the horizontal plane, which goes with I (1 - cos kh).
    # Near a full wave that vanishes; such a mast is reported as outside the checked heights.
    loops = _phasors(array) / np.maximum(1.0 - np.cos(k * heights), 0.05)
    centres = np.stack([m.place for m in array.masts])
    whole = arm.normalised(arm.make_arms(centres, one.UP, heights, loops, k))
    return arm.make_arms(centres, one.UP, heights, whole.current * np.sqrt(2.0), k)


def _phasors(array: MastArray) -> NDArray[np.complex128]:
    ratio = np.array([m.field for m in array.masts])
    return ratio * np.exp(1j * np.radians([m.phase for m in array.masts]))


@lru_cache(maxsize=128)
def drives_of(array: MastArray, frequency: float, *, conservative: bool) -> tuple[Drive, ...]:
    """Return the current of each mast for 1 W into all of them, at a ``frequency`` in Hz.

    Parameters
    ----------
    array : MastArray
        The array.
    conservative : bool
        With the printed floors and decibels; else the best estimate.
    """
    lam = wavelength(frequency)
    loops = _arms(array, frequency).current
    alone = [base_drive(m.height, m.radius, lam) for m in array.masts]
    scale = [
        abs(i) / one.loop_current(m.height, frequency)
        for i, m in zip(loops, array.masts, strict=True)
    ]
    k = 2.0 * np.pi / lam
    amps = [a[1] * s for a, s in zip(alone, scale, strict=True)]
    if conservative:
        # Coupling adds Y_ij V_j, and |Y_ij| is held to be at most the root of G_i G_j. What it drives has another
        # shape along the mast; the field ratio already holds it but for what that shape has more at the base.
        amps = [
            own + _induced(k * mast.height) * sum(s for j, s in enumerate(scale) if j != i) / a[0]
            for i, (own, mast, a) in enumerate(zip(amps, array.masts, alone, strict=True))
        ]
    problems = []
    for i, mast in enumerate(array.masts):
        volts = alone[i][0] * scale[i]
        if mast.base_resistance is not None and mast.base_reactance is not None:
            volts = float(np.hypot(mast.base_resistance, mast.base_reactance)) * amps[i]
        elif conservative:
            # Coupling adds Z_ij I_j, and |Z_ij| is held to be at most the root of R_i R_j.
            volts += sum(s / alone[i][1] for j, s in enumerate(scale) if j != i)
        problems.append(Drive(complex(loops[i]), volts, amps[i], mast.height, mast.radius, k))
    return tuple(problems)


def _induced(kh: float) -> float:
    """Return how much of an induced base current a field ratio leaves out, for a mast of k times its height.

    A driven current goes with sin k(h - z), an induced one with cos kz - cos kh (R. W. P. King, The Theory of Linear
    Antennas, from memory). Compared are the base currents of both for the same field along the ground: none is left
    out of a quarter wave, all of a half wave, whose driven current is 0 at the base.
    """
    driven = np.sin(kh) / max(1.0 - np.cos(kh), 0.05)
    induced = (1.0 - np.cos(kh)) / max(np.sin(kh) - kh * np.cos(kh), 0.05)
    return float(min(abs(1.0 - driven / max(induced, 0.05)), 1.5))


@lru_cache(maxsize=128)
def _directivity(array: MastArray, frequency: float) -> float:
    return 4.0 * np.pi * arm.peak_intensity(_arms(array, frequency))
