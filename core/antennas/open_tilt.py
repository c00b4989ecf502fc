"""An antenna of which nobody has said the tilt: no lower than at any usual one.

Level is no careful guess: a sector panel that leans 8° has its main beam on a roof or a street where a level one has a
side lobe, 15 dB down. So the shown field is the largest of those at the usual tilts, and what the tilt is would bring
it down. A tilt of 0 that is said is level.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache
from typing import ClassVar

import numpy as np
from numpy.typing import NDArray

from core.antennas.base import Kind
from core.antennas.panel import Panel, PanelBand
from core.antennas.panel_ring import PanelRing
from core.antennas.stack import Stack
from core.antennas.standing_for import StandingFor
from core.arrays import Bools, Points
from core.fields.unit_field import UnitField
from core.geometry import axes
from core.units import wavelength

TILTS = (2.0, 4.0, 6.0, 8.0, 10.0)
"""Degrees down that sector panels usually have, electrical and mechanical together (common practice, no source)."""
STEP = 0.25
"""Steps between tilts in parts of a beam's width at most: places are up to 0.3 dB low between two of them."""
BAY_TILTS = (0.5, 1.0, 1.5)
"""Degrees down that the beams of FM and television antennas usually have (common practice, no source)."""


@dataclass(frozen=True)
class OpenTilt(StandingFor):
    """A kind at several tilts: conservatively the largest of its fields counts, else that of the first.

    Every one of ``kinds``, which differ in the tilt of their beams, leans forward by each of the ``leans``, degrees;
    the first of both are what the schedule has.
    """

    KEY: ClassVar[str] = "open-tilt"
    TITLE: ClassVar[str] = "antenna of an unknown tilt"

    kinds: tuple[Kind, ...]
    leans: tuple[float, ...]

    def built(self, frequency: float) -> Kind:
        return self.kinds[0].built(frequency)

    @property
    def typical(self) -> Kind:
        return self.kinds[0]

    def unit_field(self, points: Points, frequency: float, *, conservative: bool) -> UnitField:
        if not conservative:
            return self.kinds[0].unit_field(points, frequency, conservative=False)
        places = np.concatenate([leaned(points, lean) for lean in self.leans])
        found = [kind.unit_field(places, frequency, conservative=True) for kind in self.kinds]
        shape = (len(self.kinds) * len(self.leans), len(points))
        e2, h2, reactive, model = (
            np.concatenate([getattr(one, name) for one in found]).reshape(shape)
            for name in ("e2", "h2", "reactive", "model")
        )
        largest = np.argmax(e2, axis=0)
        near: Bools = np.asarray(reactive.any(axis=0))
        return UnitField(e2.max(axis=0), h2.max(axis=0), near, model[largest, np.arange(shape[1])])

    def to_find_out(self, frequency: float) -> str:
        return f"{self.typical.to_find_out(frequency)}, and its tilt".removeprefix(", and ")

    def assumptions(self) -> tuple[str, ...]:
        return (
            *self.typical.assumptions(),
            "ASSUMED: level or tilted as is usual, whichever is more",
        )


@lru_cache(maxsize=64)
def turn(lean: float) -> NDArray[np.float64]:
    """Return the axes (3, 3) of an antenna that leans forward, in the frame of a level one: forward, left, up.

    Parameters
    ----------
    lean : float
        Degrees.
    """
    # An antenna that looks along x is one at 90° of azimuth.
    return axes(90.0, lean)


def leaned(points: Points, lean: float) -> Points:
    """Return points (n, 3) of a level antenna's frame in that of one that leans forward by some degrees.

    Parameters
    ----------
    points : array
        m.
    lean : float
        Degrees.
    """
    return points if lean == 0.0 else points @ turn(lean).astype(points.dtype)


def _steps(panel: Panel, frequency: float) -> tuple[float, ...]:
    """Return the usual tilts of a panel, degrees, as near to each other as its beam is narrow."""
    band = panel.band(frequency)
    # Half-power width of even currents (Balanis, Antenna Theory, table 6.2, from memory): 50.8° over wavelengths.
    width = 50.8 * wavelength(frequency) / (band.elements * band.spacing)
    count = max(len(TILTS), int(np.ceil(TILTS[-1] / (STEP * width))))
    return tuple(TILTS[-1] * (i + 1) / count for i in range(count))


def usual_tilts(kind: Kind, frequency: float) -> tuple[tuple[Kind, ...], tuple[float, ...]] | None:
    """Return a kind with the tilts of its beam, and its leans, that are usual; level ones come first.

    None where the kind says its tilt, or has none to say.

    Parameters
    ----------
    kind : Kind
        The kind of an antenna that does not lean.
    frequency : float
        Hz.
    """
    built = kind.built(frequency)
    if isinstance(built, Panel) and _is_open(built.band(frequency)):
        return (kind,), (0.0, *_steps(built, frequency))
    if isinstance(built, PanelRing | Stack) and built.beam_tilt is None and _is_broadcast(built):
        return (kind, *(replace(built, beam_tilt=tilt) for tilt in BAY_TILTS)), (0.0,)
    return None


def _is_open(band: PanelBand) -> bool:
    return band.electrical_tilt is None and band.elements > 1


def _is_broadcast(built: PanelRing | Stack) -> bool:
    """Return whether its beam may be tilted: those of one bay, and sticks of two-way radio, look level."""
    if isinstance(built, PanelRing):
        return built.levels > 1
    return built.is_circular and built.bays > 1


def as_unsaid(kind: Kind, tilt: float, frequency: float) -> Kind:
    """Return the kind that counts at a frequency: where no tilt is said, that of every usual one.

    Parameters
    ----------
    kind : Kind
        The kind of an antenna.
    tilt : float
        Its tilt, degrees.
    frequency : float
        Hz.
    """
    usual = None if tilt else usual_tilts(kind, frequency)
    return kind if usual is None else OpenTilt(*usual)
