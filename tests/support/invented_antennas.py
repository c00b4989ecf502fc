"""Invented antennas for long runs: of every kind, drawn at random within what each kind allows.

No figure belongs to a product. Powers are what such antennas usually have (common practice, no source).
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from core.antennas.base import Kind
from core.antennas.beam_array import BeamArray
from core.antennas.catalogue import CATALOGUE
from core.antennas.dish import Dish
from core.antennas.generic import Generic
from core.antennas.mast import Mast
from core.antennas.mast_array import ArrayMast, MastArray
from core.antennas.measured import Measured
from core.antennas.panel import Panel, PanelBand
from core.antennas.panel_ring import PanelRing
from core.antennas.stack import Stack
from core.antennas.whip import MOUNTINGS, Whip
from core.antennas.wire import GROUNDS, HfDipole
from core.antennas.worst_case import WorstCase
from core.antennas.yagi import Yagi
from core.patterns.readers import read_pattern
from core.site.site import Carrier, Power
from core.units import wavelength
from core.validation.data import PATTERNS


@dataclass(frozen=True, slots=True)
class Offer:
    """An antenna without a place: its frequencies in Hz and the usual transmitter powers in W."""

    kind: Kind
    frequencies: tuple[float, ...]
    watts: tuple[float, float]


def powered(offer: Offer, rng: np.random.Generator) -> tuple[Carrier, ...]:
    """Return the carriers of an offer, each with a transmitter power of its range, even over the logarithm."""
    low, high = offer.watts
    return tuple(
        Carrier(
            name=f"carrier {n + 1}",
            frequency=f,
            power=Power(transmitter=float(np.exp(rng.uniform(np.log(low), np.log(high))))),
        )
        for n, f in enumerate(offer.frequencies)
    )


def _round(value: float, digits: int = 4) -> float:
    return float(f"{value:.{digits}g}")


def _between(rng: np.random.Generator, low: float, high: float) -> float:
    """Return a number spread evenly over the logarithm; now and then one of the ends."""
    spread = float(np.exp(rng.uniform(np.log(0.9 * low), np.log(1.1 * high))))
    return _round(min(max(spread, low), high))


def _channels(
    rng: np.random.Generator, low: float, high: float, most: int = 3
) -> tuple[float, ...]:
    """Return one to ``most`` different frequencies within a hundredth of each other."""
    first = _between(rng, low, high / 1.01)
    steps = np.sort(rng.choice(10, int(rng.integers(1, most + 1)), replace=False))
    return tuple(_round(first * (1.0 + 0.001 * float(step)), 7) for step in steps)


def fm(rng: np.random.Generator) -> Offer:
    """Return circular bays of a known or unknown shape, with tilt and null fill."""
    f = _channels(rng, 88e6, 108e6, 2)
    kind = Stack(
        bay=str(
            rng.choice(["slant-ring", "slant-pair", "crossed-v", "ring-stub", "helix", "circular"])
        ),
        bays=int(rng.integers(1, 9)),
        design_frequency=f[0],
        spacing=float(rng.choice([0.5, 0.9, 1.0])),
        ring_dipoles=int(rng.integers(3, 6)),
        beam_tilt=_round(rng.uniform(-1.0, 4.0), 2),
        null_fill=float(rng.choice([0.0, 0.1, 0.25])),
    )
    return Offer(kind, f, (200.0, 8000.0))


def stick(rng: np.random.Generator) -> Offer:
    """Return vertical dipoles one above another, from the 27 MHz band to 960 MHz."""
    f = _channels(rng, *((27e6, 50e6), (136e6, 174e6), (380e6, 960e6))[rng.integers(0, 3)])
    kind = Stack(
        bay="vertical-dipole",
        bays=int(rng.integers(1, 9)),
        design_frequency=f[0],
        spacing=_round(rng.uniform(0.6, 1.2), 2),
        arm_length=_round(rng.uniform(0.3, 0.6), 2),
        beam_tilt=_round(rng.uniform(-4.0, 6.0), 2),
    )
    return Offer(kind, f, (20.0, 150.0))


def turnstile(rng: np.random.Generator) -> Offer:
    """Return turnstiles of the television bands."""
    f = _channels(rng, 54e6, 700e6, 2)
    kind = Stack(
        bay="turnstile",
        bays=int(rng.integers(1, 7)),
        design_frequency=f[0],
        arm_length=_round(rng.uniform(0.45, 1.2), 2),
    )
    return Offer(kind, f, (100.0, 2000.0))


def sector(rng: np.random.Generator) -> Offer:
    """Return a sector panel with two bands, carriers in both."""
    low = PanelBand(
        low=694e6, high=960e6, elements=int(rng.integers(2, 8)), spacing=0.29,
        azimuth_width=float(rng.integers(60, 91)), electrical_tilt=float(rng.integers(0, 9)),
    )  # fmt: skip
    high = PanelBand(
        low=1.695e9, high=2.69e9, elements=int(rng.integers(4, 14)), spacing=0.115,
        azimuth_width=float(rng.integers(55, 70)), electrical_tilt=float(rng.integers(0, 9)),
    )  # fmt: skip
    kind = Panel(
        length=_round(max(0.29 * low.elements, 0.115 * high.elements) + 0.15, 3),
        width=0.35,
        bands=(low, high),
        polarisation=str(rng.choice(["slant", "vertical"])),
    )
    f = _channels(rng, 700e6, 940e6, 2) + _channels(rng, 1.8e9, 2.65e9, 2)
    return Offer(kind, f, (20.0, 80.0))


def television(rng: np.random.Generator) -> Offer:
    """Return panels around a mast."""
    f = _channels(rng, *((174e6, 230e6), (470e6, 690e6))[rng.integers(0, 2)], 2)
    lam = wavelength(f[0])
    faces = int(rng.integers(1, 6))
    fields = tuple(float(x) for x in np.round(rng.uniform(0.3, 1.0, faces), 2))
    kind = PanelRing(
        levels=int(rng.integers(1, 7)),
        spacing=_round(1.9 * lam, 3),
        faces=faces,
        radius=_round(rng.uniform(0.3, 1.0), 2),
        panel_height=_round(1.7 * lam, 3),
        azimuth_width=float(rng.integers(50, 90)),
        beam_tilt=_round(rng.uniform(0.0, 2.0), 2),
        null_fill=float(rng.choice([0.0, 0.15])),
        polarisation=str(rng.choice(["horizontal", "vertical", "either"])),
        face_fields=fields if rng.random() < 0.5 else (),
    )
    return Offer(kind, f, (200.0, 5000.0))


def beams(rng: np.random.Generator) -> Offer:
    """Return a beam-steering panel, some of them in the millimetre waves."""
    f = _channels(rng, *((2.5e9, 5e9), (24e9, 39.5e9))[rng.integers(0, 2)], 2)
    kind = BeamArray(
        rows=int(rng.integers(2, 13)),
        columns=int(rng.integers(2, 13)),
        steer_azimuth=float(rng.integers(30, 66)),
        steer_down=float(rng.integers(8, 20)),
    )
    return Offer(kind, f, (1.0, 20.0) if f[0] > 2e10 else (20.0, 200.0))


_PATTERNS = (
    ("EXANT_EX-AAS-35-64_3500_TrafficEnvelope_3drp.json", 0.9, 0.4, 3.5e9, 80.0),
    ("demo-dish12-11g.nsm", 1.2, 1.2, 11.2e9, 1.0),
    ("demo-fm4-cp-0098.adf", 10.0, 1.5, 98.1e6, 3000.0),
    ("demo-omni-0155.adf", 6.2, 0.1, 155e6, 100.0),
    ("demo-sector65-0850.adf", 2.0, 0.3, 850e6, 80.0),
)


def measured(rng: np.random.Generator) -> Offer:
    """Return an antenna known by one of the invented pattern files of the tests."""
    name, length, width, frequency, watts = _PATTERNS[rng.integers(0, len(_PATTERNS))]
    kind = Measured(
        file=name,
        length=length,
        width=width,
        tolerance=float(rng.choice([0.0, 1.0])),
        data=read_pattern(PATTERNS / name),
    )
    return Offer(kind, (frequency,), (0.3 * watts, watts))


def dish(rng: np.random.Generator) -> Offer:
    """Return a dish of 1 to 40 GHz."""
    f = _between(rng, 1e9, 40e9)
    diameter = _round(min(3.7, 10.0 ** rng.uniform(0.7, 1.8) * wavelength(f)), 2)
    return Offer(Dish(diameter=max(diameter, 0.2)), (f,), (0.5, 200.0))


def yagi(rng: np.random.Generator) -> Offer:
    """Return a Yagi."""
    f = _channels(rng, 50e6, 1.3e9, 2)
    elements = int(rng.integers(3, 16))
    kind = Yagi(
        gain=_round(5.0 + 7.5 * np.log10(elements), 3),
        boom=_round(0.18 * elements * wavelength(f[0]), 3),
        elements=elements,
    )
    return Offer(kind, f, (20.0, 500.0))


def whip(rng: np.random.Generator) -> Offer:
    """Return a whip on ground or on radials, 1.8 MHz to 900 MHz."""
    mounting = str(rng.choice(list(MOUNTINGS)))
    f = _between(rng, *((1.8e6, 30e6) if mounting == "ground" else (27e6, 900e6)))
    length = _round(min(60.0, rng.uniform(0.12, 0.6) * wavelength(f)), 3)
    kind = Whip(
        length=length,
        mounting=mounting,
        radius=_round(min(0.02, length / 50.0), 2),
        droop=float(rng.choice([0.0, 30.0])),
    )
    return Offer(kind, (f,), (20.0, 400.0))


def wire(rng: np.random.Generator) -> Offer:
    """Return a wire dipole or inverted V over real, perfect or no ground."""
    f = _between(rng, 1.8e6, 29e6)
    kind = HfDipole(
        length=_round(rng.uniform(0.4, 0.6) * wavelength(f), 3),
        height=_round(rng.uniform(0.3, 0.5) * wavelength(f) + 2.0, 3),
        droop=float(rng.choice([0.0, 20.0])),
        ground=str(rng.choice(list(GROUNDS))),
    )
    return Offer(kind, (f,), (100.0, 1500.0))


def mast(rng: np.random.Generator) -> Offer:
    """Return a medium-wave mast, 0.5 to 1.7 MHz."""
    f = _between(rng, 0.5e6, 1.7e6)
    return Offer(Mast(height=_round(rng.uniform(0.15, 0.6) * wavelength(f), 3)), (f,), (1e3, 50e3))


def masts(rng: np.random.Generator) -> Offer:
    """Return a directional array of medium-wave masts."""
    f = _between(rng, 0.5e6, 1.7e6)
    lam = wavelength(f)
    rest = tuple(
        ArrayMast(
            height=_round(rng.uniform(0.2, 0.3) * lam, 3),
            field=_round(rng.uniform(0.4, 1.2), 2),
            phase=float(rng.integers(-170, 171)),
            distance=_round(0.25 * lam * (i + 1), 3),
            bearing=float(rng.integers(0, 360)),
        )
        for i in range(int(rng.integers(1, 4)))
    )
    first = ArrayMast(height=_round(0.25 * lam, 3), field=1.0, phase=0.0)
    return Offer(MastArray(masts=(first, *rest)), (f,), (1e3, 20e3))


def generic(rng: np.random.Generator) -> Offer:
    """Return a class of the catalogue."""
    entry = CATALOGUE[str(rng.choice(list(CATALOGUE)))]
    f = _between(rng, entry.low, min(entry.high, 40e9))
    strong = entry.key.startswith(("fm", "tv"))
    watts = (300.0, 3000.0) if strong else (0.2, 2.0) if "dish" in entry.key else (20.0, 100.0)
    return Offer(Generic(entry=entry.key), (f,), watts)


def unknown(rng: np.random.Generator) -> Offer:
    """Return an antenna of which only the gain is known, 10 MHz to 40 GHz."""
    f = _between(rng, 10e6, 40e9)
    gain = float(rng.integers(0, 5)) if f < 30e6 else float(rng.integers(0, 16))
    return Offer(
        WorstCase(gain=gain, size=_round(rng.uniform(0.1, 2.0), 2)),
        (f, _round(1.02 * f, 7)) if f < 39e9 else (f,),
        (1.0, 100.0),
    )


Family = Callable[[np.random.Generator], Offer]

RAISED: Sequence[Family] = (
    fm, stick, turnstile, sector, television, beams, measured, dish, yagi, whip, wire, generic, unknown,
)  # fmt: skip
"""What may hang at a height; a whip or wire may turn out to stand on its own ground."""

ALL: Sequence[Family] = (*RAISED, mast, masts)
"""One family for every kind, three for stacks of bays."""
