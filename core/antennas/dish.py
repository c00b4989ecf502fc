"""Microwave dishes: published surface, near, transition and far values on the axis, envelope beside it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

import numpy as np

from core.antennas.base import Kind, parameter
from core.arrays import Bools, Floats, Points
from core.errors import InputError
from core.fields.unit_field import Note, UnitField, plane_wave, ramp, single_model
from core.patterns.formulas.dishes import (
    HIGHEST,
    LOWEST,
    MAIN_LOBE,
    SMALLEST_SIZE,
    f699_dish,
    f699_edges,
)
from core.units import from_db, show_frequency, to_db, wavelength

SPILL_OVER = 1.0
"""Power gain never less than isotropic beyond 60° off the axis: spill-over past the rim (common
practice, no source)."""
SPILL_FROM, SPILL_FULL = 45.0, 60.0
BESIDE = 0.01
"""One diameter off the axis the near field is at most 1/100 of the axis (OET Bulletin 65, from memory). Further
off it is taken to fall with the square of the distance from the axis; that beam and envelope together are then
no lower than the field of a round aperture is checked in tests/core/antennas/test_dish_beside.py."""


TAPERED = 1.7
"""How many times the published near value counts. That one is exact for an even aperture; one of the same gain that is
lit less towards its rim has more on its axis. Own integrals: 1.24 for a parabola on a pedestal that ends at -15 dB,
1.69 for its square (with 1.5 a dish of 10 wavelengths lit so was 0.8 dB low); between near and far field an even
aperture itself is 1.14 over the published chain."""
JOINED = np.pi**2 / 4.0
"""Where near · D²/(4λ)/R meets PG/(4πR²), in D²/(4λ), for the published near value."""


@dataclass(frozen=True, slots=True)
class AxisChain:
    """The values of a circular aperture on its axis for 1 W, FCC OET Bulletin 65 eqs. 11 to 18.

    ``surface`` 4P/A; ``near`` 16ηP/(πD²) up to ``near_end`` D²/(4λ); then falling as 1/R; from
    ``far_start`` 0.6D²/λ the far field PG/(4πR²). SI units. Raised for apertures that are not lit evenly ``near`` is
    more, and the far field begins where both meet.
    """

    surface: float
    near: float
    near_end: float
    far_start: float
    gain: float

    def at(self, distance: Floats) -> Floats:
        """Return the power density (n,) in W/m² at distances (n,) along the axis."""
        r = np.maximum(distance, 1e-6)
        falling = np.minimum(self.near, self.near * self.near_end / r)
        value: Floats = np.where(r < self.far_start, falling, self.gain / (4.0 * np.pi * r * r))
        return value.astype(distance.dtype)


def axis_chain(diameter: float, gain: float, lam: float, *, times: float = 1.0) -> AxisChain:
    """Return the chain of a dish; ``gain`` is the power ratio over isotropic.

    Parameters
    ----------
    diameter : float
        m.
    lam : float
        Wavelength, m.
    times : float
        How many times the published near value counts, see :data:`TAPERED`.
    """
    area = np.pi * diameter**2 / 4.0
    efficiency = gain * lam**2 / (4.0 * np.pi) / area
    near = times * 16.0 * efficiency / (np.pi * diameter**2)
    near_end = diameter**2 / (4.0 * lam)
    return AxisChain(
        surface=max(4.0 / area, near if times > 1.0 else 0.0),
        near=near,
        near_end=near_end,
        far_start=0.6 * diameter**2 / lam if times == 1.0 else near_end * JOINED / times,
        gain=gain,
    )


DISHES_TO = 3e11
"""Hz: no dishes of radio links are used above it (common practice, no source)."""


@dataclass(frozen=True)
class Dish(Kind):
    """A parabolic dish; its position is the centre of the aperture."""

    KEY: ClassVar[str] = "dish"
    TITLE: ClassVar[str] = "microwave dish"

    diameter: float = parameter("length", "diameter", low=0.1, high=35.0)
    gain: float | None = parameter(
        "gain", "gain; left out, 55 % efficiency", optional=True, low=10.0, high=75.0
    )

    def fits(self, frequency: float) -> None:
        size = self.diameter / wavelength(frequency)
        if not LOWEST <= frequency <= DISHES_TO or size <= SMALLEST_SIZE:
            raise InputError(
                f"{show_frequency(frequency)} on a dish of {self.diameter:g} m",
                field="frequency",
                fix="Check the units: 0.1 to 300 GHz, dishes over 0.63 wavelengths (ITU-R F.699)",
            )

    def gain_at(self, frequency: float) -> float:
        """Return the peak power gain: as stated, or at 55 % efficiency (common practice)."""
        if self.gain is not None:
            return from_db(self.gain)
        return float(0.55 * (np.pi * self.diameter / wavelength(frequency)) ** 2)

    def chain(self, frequency: float, *, conservative: bool) -> AxisChain:
        """Return the values on its axis at a ``frequency`` in Hz."""
        times = TAPERED if conservative else 1.0
        gain = self.gain_at(frequency)
        return axis_chain(self.diameter, gain, wavelength(frequency), times=times)

    def unit_field(self, points: Points, frequency: float, *, conservative: bool) -> UnitField:
        s = np.maximum(*self.parts(points, frequency, conservative=conservative))
        e2, h2 = plane_wave(s.astype(points.dtype))
        inside = self._inside(points[:, 0], np.hypot(points[:, 1], points[:, 2]))
        return single_model(e2, h2, inside)

    def parts(
        self, points: Points, frequency: float, *, conservative: bool
    ) -> tuple[Floats, Floats]:
        """Return the power densities (n,) of beam and envelope for 1 W; the larger is the model's."""
        gain = self.gain_at(frequency)
        chain = self.chain(frequency, conservative=conservative)
        ahead, lateral = points[:, 0], np.hypot(points[:, 1], points[:, 2])
        r = np.maximum(np.hypot(ahead, lateral), points.dtype.type(0.05 * self.diameter))
        on_axis = chain.at(np.maximum(ahead, 0.0))
        # The aperture's own face: 4P/A there, settling to the near-field value within one diameter.
        face = np.clip(2.0 - 2.0 * ahead / self.diameter, 0.0, 1.0)
        on_axis = np.maximum(on_axis, chain.surface * face + chain.near * (1 - face) * (face > 0))
        # Beside the beam down to 1/100 within half a diameter; behind the rim likewise.
        aside = np.clip((lateral / self.diameter - 0.5) / 0.5, 0.0, 1.0)
        behind = np.clip(-2.0 * ahead / self.diameter, 0.0, 4.0)
        # Further out it spreads: the envelope is the larger there soon.
        spread = np.maximum(lateral / self.diameter, 1.0) ** -2
        beam: Floats = on_axis * BESIDE ** (aside + behind) * spread
        off = np.degrees(np.arccos(np.clip(ahead / r, -1.0, 1.0)))
        wide = ramp(off, SPILL_FROM, SPILL_FULL)
        envelope = from_db_array(self.envelope(off, frequency, gain))
        envelope = np.maximum(envelope, SPILL_OVER * from_db_array(-30.0 * (1.0 - wide)))
        cap = np.maximum(chain.at(r), chain.surface * wide)
        beside: Floats = np.minimum(envelope / (4.0 * np.pi * r * r), cap)
        return beam, beside

    def envelope(self, off: Floats, frequency: float, gain: float) -> Floats:
        """F.699 in dBi; above 70 GHz, where it ends, its shape at the same size in wavelengths."""
        held, diameter = self._held(frequency)
        envelope: Floats = f699_dish(off, diameter=diameter, frequency=held, gain=to_db(gain))
        return envelope

    def envelope_edges(self, frequency: float) -> tuple[float, tuple[float, float, float]]:
        """Return the envelope's fall c from its peak, e^{-c t²} for t in rad, and the angles in degrees
        at which main lobe, plateau and slope end."""
        held, diameter = self._held(frequency)
        gain = to_db(self.gain_at(frequency))
        edges = f699_edges(diameter=diameter, frequency=held, gain=gain)
        fall = MAIN_LOBE * (diameter / wavelength(held)) ** 2
        return float(np.log(10.0) / 10.0 * fall * np.degrees(1.0) ** 2), edges

    def _held(self, frequency: float) -> tuple[float, float]:
        held = float(np.clip(frequency, 0.1e9, 70e9))
        return held, self.diameter * frequency / held

    def _inside(self, ahead: Floats, lateral: Floats) -> Bools:
        """Between dish and feed, and in the dish: no figure."""
        deep = 0.25 * self.diameter
        return (lateral < 0.5 * self.diameter) & (ahead > -deep) & (ahead < 2.0 * deep)

    def directivity(self, frequency: float) -> float:
        return self.gain_at(frequency)

    @property
    def is_envelope(self) -> bool:
        return True

    def beam_size(self, frequency: float) -> float:
        del frequency
        return self.diameter

    @property
    def is_backed(self) -> bool:
        return True

    def trust(self, frequency: float) -> float:
        return 0.0

    def outline(self, frequency: float) -> Floats:
        angle = np.linspace(0.0, 2.0 * np.pi, 25)
        rim = self.diameter / 2.0 * np.stack([0 * angle, np.cos(angle), np.sin(angle)], axis=1)
        back = np.array([-0.25 * self.diameter, 0.0, 0.0])
        ribs = [[rim[i], back] for i in (0, 6, 12, 18)]
        return np.concatenate([np.stack([rim[:-1], rim[1:]], axis=1), np.array(ribs)])

    def problems(self, frequency: float) -> tuple[str, ...]:
        ratio = self.diameter / wavelength(frequency)
        words = []
        if frequency > HIGHEST:
            words.append(
                f"{show_frequency(frequency)}: ITU-R F.699 ends at {show_frequency(HIGHEST)}; beside the beam its "
                "shape at the same size in wavelengths is used"
            )
        if ratio < 6.0:
            words.append(f"only {ratio:.2g} wavelengths across: the dish formulas are rough")
        efficiency = self.gain_at(frequency) / (np.pi * ratio) ** 2
        if efficiency > 0.85:
            words.append(
                f"the stated gain means {100 * efficiency:.0f} % efficiency: check diameter and gain"
            )
        return tuple(words)

    def notes(self, frequency: float, *, conservative: bool) -> tuple[Note, ...]:
        chain = self.chain(frequency, conservative=conservative)
        return (
            Note(
                "aperture values on the axis, envelope beside it",
                "FCC OET Bulletin 65 eqs. 11 to 18"
                + (
                    f", up to the far field {TAPERED:g} times as much for apertures not lit evenly"
                    if conservative
                    else ""
                )
                + "; off-axis envelope ITU-R F.699",
                f"Up to {chain.near_end:.3g} m in front the beam stays as wide as the dish and does not fall; from "
                f"{chain.far_start:.3g} m it falls with the square of the distance. Beside it falls to 1/100 one "
                "diameter off the axis, further off with the square of the distance from the axis; beside and "
                "behind, the published peak envelope counts, never less than an isotropic source (spill-over).",
                "trusted from the dish outward; between dish and feed there is no figure"
                + ("; a dish lit evenly has 1.8 dB less on its axis" if conservative else ""),
            ),
        )

    def assumptions(self) -> tuple[str, ...]:
        stated = (
            "gain as stated"
            if self.gain is not None
            else "gain at 55 % efficiency (common practice)"
        )
        return (f"dish {self.diameter:g} m, {stated}",)


def from_db_array(decibels: Floats) -> Floats:
    """Return decibels (n,) as power ratios."""
    ratio: Floats = 10.0 ** (decibels / 10.0)
    return ratio
