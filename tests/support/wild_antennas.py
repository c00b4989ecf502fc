"""Antennas of any size: every kind, its parameters drawn over what the site file takes, sizes in wavelengths.

Nothing here is a real antenna, and many could not be built: bounds have to hold for them all the same.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache
from typing import Any

import numpy as np

from core.antennas.base import Kind
from core.antennas.beam_array import BeamArray
from core.antennas.dish import Dish
from core.antennas.mast import Mast
from core.antennas.mast_array import ArrayMast, MastArray
from core.antennas.measured import FEEDS, RUNS, Measured
from core.antennas.panel import Panel, PanelBand
from core.antennas.panel_ring import PanelRing
from core.antennas.stack import BAYS, Stack
from core.antennas.whip import MOUNTINGS, Whip
from core.antennas.wire import GROUNDS, HfDipole
from core.antennas.worst_case import WorstCase
from core.antennas.yagi import Yagi
from core.patterns.readers import read_pattern
from core.units import wavelength
from core.validation.data import PATTERNS

_PATTERNS = (
    "demo-sector65-0850.adf",
    "demo-omni-0155.adf",
    "demo-dish12-11g.nsm",
    "demo-fm4-cp-0098.adf",
)

Wild = Callable[["Draw"], tuple[Kind, float]]


class Draw:
    """Random numbers: even, even in the logarithm, whole, and one of several."""

    def __init__(self, rng: np.random.Generator) -> None:
        self._rng = rng

    def even(self, low: float, high: float) -> float:
        """Return a number between two."""
        return float(self._rng.uniform(low, high))

    def scale(self, low: float, high: float) -> float:
        """Return a number between two, every octave as likely."""
        return float(np.exp(self._rng.uniform(np.log(low), np.log(high))))

    def count(self, low: int, high: int) -> int:
        """Return a whole number, both ends included."""
        return int(self._rng.integers(low, high + 1))

    def one(self, of: tuple[Any, ...]) -> Any:
        """Return one of several."""
        return of[self.count(0, len(of) - 1)]


def stack(draw: Draw) -> tuple[Kind, float]:
    """Return a stack of bays and a frequency near its own."""
    design = draw.scale(1e6, 3e10)
    kind = Stack(
        bay=draw.one(BAYS),
        bays=draw.count(1, 20),
        design_frequency=design,
        spacing=draw.scale(0.1, 4.0),
        arm_length=draw.scale(0.02, 1.3),
        ring_radius=draw.scale(0.05, 1.0),
        ring_dipoles=draw.count(3, 12),
        slant=draw.even(0.0, 90.0),
        beam_tilt=draw.even(-30.0, 30.0),
        null_fill=draw.even(0.0, 0.5),
    )
    return kind, design * draw.even(0.9, 1.1)


def panel(draw: Draw) -> tuple[Kind, float]:
    """Return a sector panel of one band."""
    f = draw.scale(5e7, 3e10)
    lam, elements = wavelength(f), draw.count(1, 16)
    spacing = draw.scale(0.2, 3.0) * lam
    band = PanelBand(
        low=0.9 * f,
        high=1.1 * f,
        elements=elements,
        spacing=spacing,
        azimuth_width=draw.even(15.0, 150.0),
        front_to_back=draw.even(6.0, 50.0),
        electrical_tilt=draw.even(-30.0, 30.0),
    )
    kind = Panel(
        length=elements * spacing * draw.even(1.0, 1.3),
        width=lam * draw.scale(0.2, 5.0),
        bands=(band,),
        polarisation=draw.one(("slant", "vertical")),
        stand_off=draw.even(0.05, 0.45),
    )
    return kind, f * draw.even(0.92, 1.08)


def panel_ring(draw: Draw) -> tuple[Kind, float]:
    """Return panels around a mast."""
    f = draw.scale(5e7, 3e9)
    lam, faces = wavelength(f), draw.count(1, 8)
    height = lam * draw.scale(0.3, 6.0)
    fields = tuple(draw.even(0.01, 1.0) for _ in range(faces))
    kind = PanelRing(
        levels=draw.count(1, 12),
        spacing=height * draw.even(1.0, 2.0),
        faces=faces,
        radius=lam * draw.one((0.0, draw.scale(0.01, 5.0))),
        panel_height=height,
        azimuth_width=draw.even(15.0, 150.0),
        front_to_back=draw.even(6.0, 50.0),
        polarisation=draw.one(("horizontal", "vertical", "either")),
        beam_tilt=draw.even(-30.0, 30.0),
        null_fill=draw.even(0.0, 0.5),
        face_fields=draw.one(((), fields)),
    )
    return kind, f


def mast(draw: Draw) -> tuple[Kind, float]:
    """Return a base-fed mast."""
    f = draw.scale(3e5, 1e7)
    height = float(np.clip(wavelength(f) * draw.scale(0.01, 0.7), 1.0, 700.0))
    return Mast(height=height, radius=height * draw.scale(0.005, 0.1)), f


def masts(draw: Draw) -> tuple[Kind, float]:
    """Return an array of masts, up to three wavelengths from its middle."""
    f = draw.scale(3e5, 1e7)
    lam = wavelength(f)
    found = []
    for i in range(draw.count(1, 5)):
        height = float(np.clip(lam * draw.scale(0.01, 0.7), 1.0, 700.0))
        found.append(
            ArrayMast(
                height=height,
                field=draw.even(0.01, 2.0),
                phase=draw.even(-360.0, 360.0),
                distance=lam * draw.even(0.05, 3.0) if i else 0.0,
                bearing=draw.even(-180.0, 180.0),
                radius=max(0.005, height * draw.scale(0.005, 0.05)),
            )
        )
    return MastArray(masts=tuple(found)), f


def wire(draw: Draw) -> tuple[Kind, float]:
    """Return a wire dipole, up to twelve wavelengths high."""
    f = draw.scale(5e5, 3e8)
    lam = wavelength(f)
    length = float(np.clip(lam * draw.scale(0.02, 3.0), 0.1, 500.0))
    droop = draw.one((0.0, draw.even(0.0, 80.0)))
    lowest = 0.11 + 0.5 * length * float(np.sin(np.radians(droop)))
    kind = HfDipole(
        length=length,
        height=float(np.clip(lam * draw.scale(0.02, 12.0), lowest, 300.0)),
        droop=droop,
        radius=draw.scale(1e-4, 1e-2),
        ground=draw.one(GROUNDS),
        permittivity=draw.scale(1.0, 100.0),
        conductivity=draw.scale(1e-4, 10.0),
    )
    return kind, f


def whip(draw: Draw) -> tuple[Kind, float]:
    """Return a whip, up to one and a half wavelengths long."""
    f = draw.scale(1e6, 3e9)
    length = float(np.clip(wavelength(f) * draw.scale(0.02, 1.5), 0.01, 60.0))
    kind = Whip(
        length=length,
        mounting=draw.one(MOUNTINGS),
        radius=max(1e-4, length * draw.scale(1e-3, 0.03)),
        radials=draw.count(3, 10),
        radial_length=draw.even(0.1, 0.35),
        droop=draw.even(0.0, 70.0),
    )
    return kind, f


def yagi(draw: Draw) -> tuple[Kind, float]:
    """Return a Yagi."""
    f = draw.scale(3e7, 3e9)
    kind = Yagi(
        gain=draw.even(3.0, 20.0),
        boom=wavelength(f) * draw.scale(0.1, 8.0),
        element_length=draw.even(0.2, 1.0),
        front_to_back=draw.one((None, draw.even(0.0, 30.0))),
    )
    return kind, f


def dish(draw: Draw) -> tuple[Kind, float]:
    """Return a dish, from less than a wavelength to hundreds."""
    f = draw.scale(3e8, 9e10)
    lam = wavelength(f)
    diameter = float(np.clip(lam * draw.scale(0.7, 400.0), 0.1, 35.0))
    return Dish(diameter=diameter, gain=draw.one((None, draw.even(10.0, 55.0)))), f


def beams(draw: Draw) -> tuple[Kind, float]:
    """Return a beam-steering panel."""
    kind = BeamArray(
        rows=draw.count(1, 20),
        columns=draw.count(1, 20),
        row_spacing=draw.scale(0.3, 4.0),
        column_spacing=draw.scale(0.3, 2.0),
        element_gain=draw.even(0.0, 20.0),
        azimuth_width=draw.even(20.0, 150.0),
        elevation_width=draw.even(10.0, 150.0),
        front_to_back=draw.even(6.0, 50.0),
        steer_azimuth=draw.even(0.0, 90.0),
        steer_up=draw.even(-20.0, 60.0),
        steer_down=draw.even(-20.0, 60.0),
    )
    return kind, draw.scale(6e8, 4e10)


@lru_cache
def _pattern(name: str) -> Any:
    return read_pattern(PATTERNS / name)


def measured(draw: Draw) -> tuple[Kind, float]:
    """Return an antenna known by a pattern, from a tenth to forty wavelengths tall."""
    f, name = draw.scale(3e7, 3e10), draw.one(_PATTERNS)
    length = float(np.clip(wavelength(f) * draw.scale(0.1, 40.0), 0.01, 60.0))
    kind = Measured(
        file=name,
        length=length,
        width=min(draw.one((0.0, 0.1, length, 0.3 * wavelength(f))), 10.0),
        runs=draw.one(RUNS),
        feed=draw.one((None, *FEEDS)),
        tolerance=draw.one((None, 0.0, draw.even(0.0, 6.0))),
        data=_pattern(name),
    )
    return kind, f


def unknown(draw: Draw) -> tuple[Kind, float]:
    """Return a worst case."""
    return WorstCase(gain=draw.even(0.0, 50.0), size=draw.scale(0.01, 30.0)), draw.scale(1e5, 1e11)


WILD: tuple[Wild, ...] = (
    stack, panel, panel_ring, mast, masts, wire, whip, yagi, dish, beams, measured, unknown,
)  # fmt: skip
"""One for every kind but the generic one, which is built of the others."""
