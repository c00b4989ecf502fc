"""Vertical stacks of dipole bays: FM bays, omni sticks, VHF and UHF dipole arrays.

Every arm keeps its exact field; bays are phased for tilt and null fill. A circular bay whose shape nobody has said
is an envelope over shapes: the larger of a ring of slanted dipoles, and of crossed and vertical dipoles whose powers
add, all with the same mean round the horizon. A ring has no field straight down, crossed V dipoles, rings with
stubs and helical turns have.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import ClassVar

import numpy as np
from numpy.typing import NDArray

from core.antennas.base import Kind, parameter
from core.antennas.bay_shapes import BENT, RING_RADIUS, STRAIGHT, UNKNOWN, Sizes, bay_of
from core.antennas.coupling import fed_alike
from core.antennas.stack_notes import bays_note, envelope_note
from core.arrays import Floats, Points
from core.errors import InputError
from core.fields import arms as arm
from core.fields.unit_field import Note, UnitField, raised, single_model
from core.geometry import segment_distance
from core.units import from_db, show_frequency, wavelength

BAYS = (*STRAIGHT, *BENT, UNKNOWN)
CIRCULAR = tuple(b for b in BAYS if b not in ("vertical-dipole", "turnstile"))

COVER_DB = 2.0
"""Feed currents are assumed equal, not measured: near fields were then up to 2.1 dB low against
method-of-moments fields of the same stacks fed with equal voltages; the 0.1 dB left is inside the
0.5 dB the validation allows."""

BENT_COVER_DB = 2.2
"""The same for bays of bent arms."""

COUPLED = ("crossed-v", "turnstile", "helix")
"""Bays with a field along their line. It couples one to the next: with equal voltages their currents may be 1 to 3, and
fields above and below up to 5 dB more than with equal currents (own method-of-moments fields, 212 stacks)."""

CLOSE = 0.7
"""Wavelengths from bay to bay under which the field beside one couples too (own fit, no published source)."""

REACTANCES = (0.0, -0.9)
"""A bay's own reactance over its resistance, where bays that couple are fed with like voltages: matched, and short of
resonance. The largest of these two and of equal currents counts: with the decibels beside it 0.7 dB above the same
fields at the lowest (own fit, no published source)."""

COUPLED_DB = 1.9
"""Decibels on the largest of those."""

ENVELOPE_DB = ((("slant-ring", 5.3),), (("turnstile", -2.2), ("vertical-dipole", 3.2)))
"""Decibels on each stack of an envelope over circular shapes; powers in one group add, the largest group counts.
Own fit: 1.5 dB high at the lowest on method-of-moments stacks of four shapes given by ERP, at the median 0.5 dB above
crossed V dipoles in their worst bearing + 2 dB; 0.2 dB high at the lowest on 160 invented stacks of 1 to 10 bays."""

LIKELY = (("slant-ring", 0.5), ("turnstile", 0.25), ("vertical-dipole", 0.25))
"""Shares of power in the best estimate of an unknown circular bay: between shapes with and without a field below."""

HIDDEN = 0.25
"""Wavelengths round the line of bays within which arms of an unknown shape may lie."""

LONGEST_ARM = 0.9
"""Wavelengths over which thick dipoles have other currents than a sine: 2 dB low at 1.1 (own method-of-moments)."""

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
    ring_radius: float | None = parameter(
        "wavelengths",
        "radius of a ring or of a pair's circle; usual for the shape if not given",
        low=0.02,
        high=1.0,
        optional=True,
    )
    ring_dipoles: int = parameter("count", "dipoles in a slant ring", default=4, low=3, high=16)
    slant: float = parameter(
        "angle",
        "slant of ring dipoles from the vertical, degrees",
        default=45.0,
        low=0.0,
        high=90.0,
    )
    bend: float = parameter(
        "angle",
        "sweep of crossed V arms back from the boresight, degrees",
        default=45.0,
        low=0.0,
        high=75.0,
    )
    stub: float = parameter(
        "wavelengths", "length of the stubs of a ring with stubs", default=0.09, low=0.01, high=0.3
    )
    pitch: float = parameter(
        "wavelengths", "height of a helical turn, end to end", default=0.118, low=0.01, high=0.4
    )
    beam_tilt: float | None = parameter(
        "angle",
        "electrical beam tilt, degrees down; left out, every usual tilt of broadcast antennas counts",
        optional=True,
        low=-30.0,
        high=30.0,
    )
    null_fill: float = parameter(
        "number",
        "power split: extra field share of the lower half, 0 to 0.5",
        default=0.0,
        low=0.0,
        high=0.5,
    )

    @property
    def tilt(self) -> float:
        """Beam tilt in degrees down; level where none is said."""
        return self.beam_tilt or 0.0

    def arms(self, frequency: float) -> arm.Arms:
        """Return the arms at a frequency, radiating 1 W (of an unknown shape those of a ring)."""
        return _arms(self, frequency)

    def feeds(self, frequency: float, *, conservative: bool) -> tuple[arm.Arms, ...]:
        """Return the arms, radiating 1 W, with each of the currents that count; the largest field does."""
        if not (conservative and self.is_coupled):
            return (self.arms(frequency),)
        return (self.arms(frequency), *(_arms(self, frequency, x) for x in REACTANCES))

    @property
    def is_coupled(self) -> bool:
        """True where currents are not alike when voltages are: close to each other, bays of every circular shape."""
        close = self.is_circular and not self.is_unknown and self.spacing < CLOSE
        return self.bays > 1 and (self.bay in COUPLED or close)

    @property
    def cover_db(self) -> float:
        """Decibels of the kind itself; an envelope has them in each of its parts."""
        if self.is_coupled:
            return COUPLED_DB
        return BENT_COVER_DB if self.bay in BENT else COVER_DB

    @property
    def is_unknown(self) -> bool:
        """True for a circular bay whose shape is not known."""
        return self.bay == UNKNOWN

    def over_groups(
        self, frequency: float, of: Callable[[Stack], Floats], *, conservative: bool
    ) -> Floats:
        """Return squares of the envelope from ``of``, which gives those of one of its stacks.

        Powers in one group add; the largest group counts.
        """
        groups = _groups(self, frequency, conservative=conservative)
        sums = [np.sum([factor * of(stack) for stack, factor in group], axis=0) for group in groups]
        largest: Floats = np.maximum.reduce(sums)
        return largest

    def unit_field(self, points: Points, frequency: float, *, conservative: bool) -> UnitField:
        metal = self.metal_distance(points, frequency)
        e2, h2 = self._squares(points, frequency, conservative=conservative)
        return single_model(e2, h2, metal < self.trust(frequency))

    def _squares(self, points: Points, frequency: float, *, conservative: bool) -> Floats:
        """Return E² and H² (2, n)."""
        if self.is_unknown:
            return self.over_groups(
                frequency,
                lambda stack: stack._squares(points, frequency, conservative=conservative),
                conservative=conservative,
            )
        found = []
        for fed in self.feeds(frequency, conservative=conservative):
            total = arm.arm_sum(fed, points, common_direction=conservative)
            found.append(np.stack([total.e2, total.h2]))
            if conservative:
                found.append(np.stack([total.e2_each, total.h2_each]))
        return raised(np.maximum.reduce(found), self.cover_db) if conservative else found[0]

    def metal_distance(self, points: Points, frequency: float) -> Floats:
        """Distance (n,) in m from the metal: the arms and the mast, or where arms of an unknown shape may be."""
        mast = self.mast_distance(points)
        if self.is_unknown:
            hidden = points.dtype.type(HIDDEN * wavelength(self.design_frequency))
            return np.maximum(mast - hidden, points.dtype.type(0.0))
        return np.minimum(arm.metal_distance(self.arms(frequency), points), mast)

    def mast_distance(self, points: Points) -> Floats:
        """Distance (n,) in m from the line through the bays: radome, pole and feed count as metal."""
        half = (self.bays - 1) / 2.0 * self.spacing * wavelength(self.design_frequency)
        end = np.array([0.0, 0.0, half])
        return segment_distance(points, -end, end)

    @property
    def has_boresight(self) -> bool:
        return self.bay in BENT

    @property
    def is_level(self) -> bool:
        return self.bay == "turnstile"

    @property
    def is_circular(self) -> bool:
        return self.bay in CIRCULAR

    @property
    def sizes(self) -> Sizes:
        """Sizes of one bay."""
        radius = self.ring_radius
        return Sizes(
            self.arm_length,
            RING_RADIUS.get(self.bay, 0.23) if radius is None else radius,
            self.ring_dipoles,
            self.slant,
            self.bend,
            self.stub,
            self.pitch,
        )

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
        if self.arm_length > LONGEST_ARM and self.bay not in ("ring-stub", "helix"):
            words.append(
                f"dipoles {self.arm_length:g} wavelength long: the currents of dipoles over {LONGEST_ARM:g} wavelength "
                "are not what is assumed, and figures can be some decibels low. Give a pattern for it"
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

    def to_find_out(self, frequency: float) -> str:
        return "the shape of its bays" if self.is_unknown else ""

    def outline(self, frequency: float) -> Floats:
        a = self.arms(frequency)
        ends = a.half_length[:, None] * a.axis
        return np.stack([a.centre - ends, a.centre + ends], axis=1)

    def notes(self, frequency: float, *, conservative: bool) -> tuple[Note, ...]:
        trust = self.trust(frequency)
        if self.is_unknown:
            most = max(db for _, db in ENVELOPE_DB[0])
            return (envelope_note(trust, most if conservative else None),)
        return (bays_note(trust, self.cover_db if conservative else None, coupled=self.is_coupled),)

    def assumptions(self) -> tuple[str, ...]:
        steel = "feed lines do not re-radiate in the model; towers and masts of the site are counted apart"
        spaced = f"{self.spacing:g} wavelength apart"
        if self.is_circular and self.bays > 1 and not self.null_fill:
            steel = f"no null fill: a power split between the halves would add up to 4 dB in the nulls; {steel}"
        if self.is_unknown:
            return (
                f"{self.bays} equal circular bays of UNKNOWN shape, {spaced}: figures cover rings and pairs of "
                "slanted dipoles, crossed V dipoles, rings with stubs and helical turns; straight below, naming the "
                "shape can bring them down by 2 to 30 dB, beside by about 2 dB",
                steel,
            )
        return (
            f"{self.bays} equal bays ({self.bay.replace('-', ' ')}), {spaced}, "
            f"arms {self.arm_length:g} wavelength, "
            + (
                "currents equal, or as equal voltages make them"
                if self.is_coupled
                else "equal currents"
            ),
            steel,
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
def _arms(stack: Stack, frequency: float, reactance: float | None = None) -> arm.Arms:
    """Return the arms with equal currents; with like voltages where a reactance is given."""
    k = 2.0 * np.pi / wavelength(frequency)
    unit = wavelength(stack.design_frequency)
    heights = stack_heights(stack.bays, stack.spacing * unit)
    weights = bay_weights(heights, k, stack.tilt, stack.null_fill)
    bay = bay_of("slant-ring" if stack.is_unknown else stack.bay, stack.sizes, unit, k)
    centres = (heights[:, None, None] * np.array([0.0, 0.0, 1.0]) + bay.centre).reshape(-1, 3)
    axes = np.broadcast_to(bay.axis, (stack.bays, *bay.axis.shape)).reshape(-1, 3)
    half = np.tile(bay.half_length, stack.bays)
    if reactance is None:
        currents = np.outer(weights, bay.current).ravel()
    else:
        currents = fed_alike(bay, heights, weights, k, reactance).ravel()
    return arm.normalised(arm.make_arms(centres, axes, half, currents, k))


@lru_cache(maxsize=256)
def _groups(
    stack: Stack, frequency: float, *, conservative: bool
) -> tuple[tuple[tuple[Stack, float], ...], ...]:
    def level(bay: str) -> tuple[Stack, float]:
        own = replace(stack, bay=bay, ring_radius=None)
        mean = arm.mean_cone_intensity(own.arms(frequency), -stack.tilt)
        return own, _licence_gain(stack, frequency) / (4.0 * np.pi * mean)

    if not conservative:
        return (tuple((s, g * share) for bay, share in LIKELY for s, g in [level(bay)]),)
    return tuple(
        tuple((s, g * from_db(db - s.cover_db)) for bay, db in group for s, g in [level(bay)])
        for group in ENVELOPE_DB
    )


@lru_cache(maxsize=256)
def _directivity(stack: Stack, frequency: float) -> float:
    feeds = stack.feeds(frequency, conservative=True)
    return 4.0 * np.pi * min(arm.peak_intensity(fed) for fed in feeds)


@lru_cache(maxsize=256)
def _licence_gain(stack: Stack, frequency: float) -> float:
    """The strongest azimuth of the horizon beam; of bays that favour a side the mean round it, which errs high.

    Whether a licence of such antennas means one or the other is not known (no source). The least of all currents
    counts: it takes the most power.
    """
    even = stack.bay in ("vertical-dipole", "turnstile", "slant-ring")
    of = arm.cone_intensity if even else arm.mean_cone_intensity
    feeds = stack.feeds(frequency, conservative=True)
    return 4.0 * np.pi * min(of(fed, -stack.tilt) for fed in feeds)
