"""An antenna of which nobody has said the tilt: no lower than at any usual one.

Level is no careful guess: a sector panel that leans 8° has its main beam on a roof or a street where a level one has a
side lobe, 15 dB down. So the shown field is the largest of those at the usual tilts, and what the tilt is would bring
it down. A tilt of 0 that is said is level.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import ClassVar

import numpy as np

from core.antennas.base import FM_HIGH, Kind
from core.antennas.generic import Generic
from core.antennas.panel import Panel, PanelBand
from core.antennas.panel_ring import PanelRing
from core.antennas.stack import Stack
from core.antennas.standing_for import StandingFor
from core.arrays import Bools, Points
from core.fields.unit_field import UnitField
from core.units import wavelength

MOST = 10.0
"""Degrees down that the beams of sector panels usually have at most (common practice, no source)."""
BAY_MOST = 1.5
"""The same of FM and television antennas."""
STICK_MOST = 6.0
"""The same of sticks and dipole arrays of mobile radio."""
STEP = 0.25
"""Steps between tilts in parts of a beam's width at most: places are up to 0.3 dB low between two of them."""


@dataclass(frozen=True)
class OpenTilt(StandingFor):
    """A kind at several tilts of its beam: conservatively the largest of its fields counts, else that of the first."""

    KEY: ClassVar[str] = "open-tilt"
    TITLE: ClassVar[str] = "antenna of an unknown tilt"

    kinds: tuple[Kind, ...]

    def built(self, frequency: float) -> Kind:
        return self.kinds[0].built(frequency)

    @property
    def typical(self) -> Kind:
        return self.kinds[0]

    def unit_field(self, points: Points, frequency: float, *, conservative: bool) -> UnitField:
        if not conservative:
            return self.kinds[0].unit_field(points, frequency, conservative=False)
        found = [kind.unit_field(points, frequency, conservative=True) for kind in self.kinds]
        e2, h2, reactive, model = (
            np.stack([getattr(one, name) for one in found])
            for name in ("e2", "h2", "reactive", "model")
        )
        largest = np.argmax(e2, axis=0)
        near: Bools = np.asarray(reactive.any(axis=0))
        return UnitField(
            e2.max(axis=0), h2.max(axis=0), near, model[largest, np.arange(len(points))]
        )

    def to_find_out(self, frequency: float) -> str:
        return f"{self.typical.to_find_out(frequency)}, and its tilt".removeprefix(", and ")

    def assumptions(self) -> tuple[str, ...]:
        return (
            *self.typical.assumptions(),
            "ASSUMED: level or tilted as is usual, whichever is more",
        )


def _steps(most: float, count: int, spacing: float, frequency: float) -> tuple[float, ...]:
    """Return tilts up to the largest usual one, degrees, as near to each other as the beam of so many elements asks."""
    # Half-power width of even currents (Balanis, Antenna Theory, table 6.2, from memory): 50.8° over wavelengths.
    width = 50.8 * wavelength(frequency) / (count * spacing)
    steps = int(np.ceil(most / (STEP * width)))
    return tuple(most * (i + 1) / steps for i in range(steps))


def open_tilts(kind: Kind, frequency: float) -> tuple[float, ...]:
    """Return the tilts down besides level, degrees, that count for a kind that says none; empty where it does.

    Parameters
    ----------
    kind : Kind
        The kind of an antenna.
    frequency : float
        Hz.
    """
    built = kind.built(frequency)
    if isinstance(built, Panel) and _is_open(built.band(frequency)):
        band = built.band(frequency)
        return _steps(MOST, band.elements, band.spacing, frequency)
    if isinstance(built, PanelRing) and built.beam_tilt is None and built.levels > 1:
        return _steps(BAY_MOST, built.levels, built.spacing, frequency)
    if isinstance(built, Stack) and built.beam_tilt is None and built.bays > 1:
        apart = built.spacing * wavelength(built.design_frequency)
        most = BAY_MOST if built.is_circular or frequency <= FM_HIGH else STICK_MOST
        return _steps(most, built.bays, apart, frequency)
    return ()


def _is_open(band: PanelBand) -> bool:
    return band.electrical_tilt is None and band.elements > 1


def as_unsaid(kind: Kind, frequency: float) -> Kind:
    """Return the kind that counts at a frequency: where no tilt of its beam is said, that of every usual one.

    How the antenna leans says nothing of that.

    Parameters
    ----------
    kind : Kind
        The kind of an antenna.
    frequency : float
        Hz.
    """
    tilts, built = open_tilts(kind, frequency), kind.built(frequency)
    # The kind itself first: what it assumes is said.
    return OpenTilt((kind, *(with_tilt(built, tilt) for tilt in tilts))) if tilts else kind


def with_tilt(kind: Kind, tilt: float) -> Kind:
    """Return a kind with the tilt of its beam said, where it had none.

    Parameters
    ----------
    kind : Kind
        A kind that :func:`open_tilts` has some for.
    tilt : float
        Degrees down.
    """
    if isinstance(kind, Generic):
        return replace(kind, electrical_tilt=tilt)
    if isinstance(kind, Panel):
        return replace(kind, bands=tuple(_said(band, tilt) for band in kind.bands))
    return replace(kind, beam_tilt=tilt) if isinstance(kind, PanelRing | Stack) else kind


def _said(band: PanelBand, tilt: float) -> PanelBand:
    return band if band.electrical_tilt is not None else replace(band, electrical_tilt=tilt)
