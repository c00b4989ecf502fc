"""Base-fed medium-wave masts over perfect ground.

The current is a sinusoid with its image, whose field is exact; the base terms add what a sinusoid leaves
out close to the feed. E and H stay apart, because below 3 MHz they have separate limits.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import ClassVar

import numpy as np

from core.antennas.base import Kind, parameter
from core.arrays import Complexes, Floats, Points
from core.errors import InputError
from core.fields import arms as arm
from core.fields import one_arm
from core.fields.half_arms import square
from core.fields.mast_base import Drive, base_drive, base_terms, combined
from core.fields.unit_field import Note, UnitField, ramp
from core.geometry import segment_distance
from core.units import from_db, show_frequency, wavelength

TRUST_METRES, TRUST_RADII = 1.5, 4.0
GROUND_COVER_DB = 1.0
"""On E near the ground: 1.0 dB low at worst against method-of-moments masts 1 to 2 m up."""
H_GROUND_COVER_DB = 0.5
"""On H near the ground: 0.1 dB low at worst against the same; the rest for feeds and faces that differ from theirs."""
UP_COVER_DB = 2.5
"""On E and H up the mast: 2.3 dB low at worst, at the top of a quarter wave, against the same."""
UP_FROM, UP_FULL = 3.0, 6.0
UP = np.array([0.0, 0.0, 1.0])

SOURCE = (
    "field of the sinusoidal current with its image (Jordan and Balmain ch. 10, Balanis ch. 8, from "
    "memory); base terms E = V/(d ln(2d/a)) and H = I/(2π d), derived for this project, no published source"
)


@dataclass(frozen=True)
class Mast(Kind):
    """A base-fed mast; its position is the mast's base, and z = 0 is the ground."""

    KEY: ClassVar[str] = "am-mast"
    TITLE: ClassVar[str] = "AM mast, base-fed, over ground"

    height: float = parameter("length", "height of the mast above its base", low=1.0, high=700.0)
    radius: float = parameter(
        "length", "radius of the mast (half the face of a lattice mast)", default=0.25,
        low=0.005, high=5.0,
    )  # fmt: skip
    base_resistance: float | None = parameter(
        "number", "measured base resistance, ohm", low=0.01, high=1e5, optional=True
    )
    base_reactance: float | None = parameter(
        "number", "measured base reactance, ohm", low=-1e5, high=1e5, optional=True
    )

    def __post_init__(self) -> None:
        check_mast(self.height, self.radius, self.base_resistance, self.base_reactance)

    def unit_field(self, points: Points, frequency: float, *, conservative: bool) -> UnitField:
        at = above_ground(points, self.radius)
        drive = self.drive(frequency)
        e, h = sinusoid(at, drive)
        distance = segment_distance(at, np.zeros(3), self.height * UP)
        base = base_terms(drive, distance, conservative=conservative)
        e2, h2 = combined(square(e), square(h), *base, conservative=conservative)
        up = ramp(at[:, 2], UP_FROM, UP_FULL)
        if conservative:
            e2, h2 = covered(e2, h2, up)
        real = points.dtype
        model = (up > 0.5).astype(np.int8)
        return UnitField(
            e2.astype(real), h2.astype(real), distance < self.trust(frequency), model
        )  # fmt: skip

    def drive(self, frequency: float) -> Drive:
        """Return the current for 1 W at a ``frequency`` in Hz."""
        loop = complex(loop_current(self.height, frequency))
        k = 2.0 * np.pi / wavelength(frequency)
        return Drive(loop, *self.base(frequency), self.height, self.radius, k)

    def base(self, frequency: float) -> tuple[float, float]:
        """Return base voltage (V) and base current (A) for 1 W, measured or estimated."""
        if self.base_resistance is None or self.base_reactance is None:
            return base_drive(self.height, self.radius, wavelength(frequency))
        amps = 1.0 / np.sqrt(self.base_resistance)
        return float(np.hypot(self.base_resistance, self.base_reactance) * amps), float(amps)

    @property
    def has_boresight(self) -> bool:
        return False

    def directivity(self, frequency: float) -> float:
        return 4.0 * np.pi * _peak(self.height, frequency)

    @property
    def has_own_ground(self) -> bool:
        return True

    def trust(self, frequency: float) -> float:
        return max(TRUST_METRES, TRUST_RADII * self.radius)

    def outline(self, frequency: float) -> Floats:
        return np.array([[[0.0, 0.0, 0.0], [0.0, 0.0, self.height]]])

    def notes(self, frequency: float, *, conservative: bool) -> tuple[Note, ...]:
        return mast_notes(self.trust(frequency), conservative=conservative)

    def problems(self, frequency: float) -> tuple[str, ...]:
        problems = list(mast_problems(self.height, self.radius, frequency))
        volts, amps = base_drive(self.height, self.radius, wavelength(frequency))
        ratio = np.array(self.base(frequency)) / (volts, amps)
        if np.any(np.abs(np.log10(ratio)) > np.log10(2.0)):
            problems.append(
                f"the base impedance given means {self.base(frequency)[0]:.3g} V and "
                f"{self.base(frequency)[1]:.3g} A at the base for 1 W, but a mast of this size has about "
                f"{volts:.3g} V and {amps:.3g} A: was it measured at the base itself?"
            )
        return tuple(problems)

    def assumptions(self) -> tuple[str, ...]:
        base = (
            "base impedance estimated from the mast's height and radius"
            if self.base_resistance is None
            else f"base impedance {self.base_resistance:g} {self.base_reactance:+g}j ohm as given"
        )
        return (
            f"one base-fed mast {self.height:.4g} m high, radius {self.radius:.3g} m, no top loading, over "
            f"perfectly conducting ground; {base}",
        )


def check_mast(
    height: float, radius: float, resistance: float | None, reactance: float | None
) -> None:
    """Raise InputError where a mast's parameters contradict each other.

    Parameters
    ----------
    height : float
        m.
    radius : float
        m.
    resistance : float or None
        Ohm, or None.
    reactance : float or None
        Ohm, or None.
    """
    if radius > height / 10.0:
        raise InputError(
            f"{radius:g} m is too thick for a mast {height:g} m high",
            field="radius",
            fix="Give the radius, at most a tenth of the height",
        )
    if (resistance is None) != (reactance is None):
        missing = "base_reactance" if reactance is None else "base_resistance"
        raise InputError(
            "is missing: resistance and reactance only mean something together",
            field=missing,
            fix="Give both, or leave both out to have them estimated",
        )


def above_ground(points: Points, radius: float) -> Floats:
    """Return points in float64, mirrored to above the ground and pushed out of the mast's metal.

    Parameters
    ----------
    radius : float
        m.

    Returns
    -------
    array
        Same shape as the arrays given.
    """
    at: Floats = points.astype(np.float64)
    at[:, 2] = np.abs(at[:, 2])
    rho = np.hypot(at[:, 0], at[:, 1])
    inside = rho < radius
    if inside.any():
        turn = np.where(rho[inside] > 0.0, np.arctan2(at[inside, 1], at[inside, 0]), 0.0)
        at[inside, 0], at[inside, 1] = radius * np.cos(turn), radius * np.sin(turn)
    return at


def sinusoid(at: Points, drive: Drive) -> tuple[Complexes, Complexes]:
    """Return E and H (n, 3) of a mast at the origin with its image, for its loop current.

    Parameters
    ----------
    drive : Drive
        The current on the mast.
    """
    return one_arm.near_arm(at, UP, drive.height, drive.loop, drive.k)


def loop_current(height: float, frequency: float) -> float:
    """Return the current at the loop (A, rms) of a mast that radiates 1 W above the ground.

    Parameters
    ----------
    height : float
        m.
    frequency : float
        Hz.
    """
    return float(abs(_with_image(height, frequency).current[0]))


def drive_of(loop: complex, height: float, radius: float, frequency: float) -> Drive:
    """Return the drive of a mast with a given loop current (A), its base estimated.

    Parameters
    ----------
    height : float
        m.
    radius : float
        m.
    frequency : float
        Hz.
    """
    volts, amps = base_drive(height, radius, wavelength(frequency))
    scale = abs(loop) / loop_current(height, frequency)
    k = 2.0 * np.pi / wavelength(frequency)
    return Drive(loop, volts * scale, amps * scale, height, radius, k)


def covered(e2: Floats, h2: Floats, up: Floats) -> tuple[Floats, Floats]:
    """Return E² and H² raised by what the model can be low; ``up`` is 0 at the ground, 1 up the mast.

    Parameters
    ----------
    e2 : array
        E², V²/m².
    h2 : array
        H², A²/m².

    Returns
    -------
    tuple of arrays
        Each of the same shape as the arrays given.
    """
    e_low, h_low, high = (from_db(x) for x in (GROUND_COVER_DB, H_GROUND_COVER_DB, UP_COVER_DB))
    return e2 * e_low * (high / e_low) ** up, h2 * h_low * (high / h_low) ** up


def mast_notes(trust: float, *, conservative: bool) -> tuple[Note, ...]:
    """Return the two notes of a mast: near the ground, and up the mast.

    Parameters
    ----------
    trust : float
        m: nearer than this there is no figure.
    conservative : bool
        With the printed floors and decibels; else the best estimate.
    """
    why = (
        "Close to a mast neither the far-field formula nor E and H alone will do. Both are computed apart, "
        "each for its own limit, with the base voltage and current, which matter most near the base."
    )
    return (
        Note(
            "sinusoidal mast over perfect ground with base terms, near the ground",
            SOURCE,
            why,
            f"trusted from {trust:.3g} m from the mast's axis; E up to 1.0 dB and H up to 0.1 dB low against "
            f"method-of-moments masts before the added decibels (for H {H_GROUND_COVER_DB:g} dB)",
            GROUND_COVER_DB if conservative else 0.0,
        ),
        Note(
            "sinusoidal mast over perfect ground with base terms, up the mast",
            SOURCE,
            why,
            f"trusted from {trust:.3g} m from the mast's axis; E and H up to 2.5 dB low near the mast's top "
            "against method-of-moments masts before the added decibels",
            UP_COVER_DB if conservative else 0.0,
        ),
    )


def mast_problems(height: float, radius: float, frequency: float) -> tuple[str, ...]:
    """Return what is doubtful about a mast at a frequency.

    Parameters
    ----------
    height : float
        m.
    radius : float
        m.
    """
    tall = height / wavelength(frequency)
    problems = []
    if not 0.05 <= tall <= 0.7:
        problems.append(
            f"the mast is {tall:.3g} wavelengths high at {show_frequency(frequency)}; the model was checked "
            "from 0.05 to 0.7"
        )
    if not 1e5 <= frequency <= 4e6:
        problems.append(
            f"{show_frequency(frequency)} is not medium wave; for a whip or a vertical use the kind whip"
        )
    if height / radius < 25.0:
        problems.append("the mast is thicker than the model was checked for (a 25th of its height)")
    return tuple(problems)


@lru_cache(maxsize=256)
def _with_image(height: float, frequency: float) -> arm.Arms:
    k = 2.0 * np.pi / wavelength(frequency)
    whole = arm.normalised(arm.make_arms(np.zeros(3), UP, height, 1.0, k))
    # 1 W above the ground alone is 2 W of mast and image over the whole sphere.
    return arm.make_arms(whole.centre, whole.axis, height, whole.current * np.sqrt(2.0), k)


@lru_cache(maxsize=256)
def _peak(height: float, frequency: float) -> float:
    return arm.peak_intensity(_with_image(height, frequency))
