"""What every antenna kind returns, and what it must say about itself."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from core.arrays import Bools, Codes, Floats
from core.units import ETA0, from_db


@dataclass(frozen=True, slots=True)
class Note:
    """One model of an antenna kind, in words for the reading.

    Attributes
    ----------
    name : str
        Short name of the model.
    source : str
        Document and equation, or how it was derived.
    why : str
        Why this model is used here, for a non-specialist.
    trust : str
        From where on it is trusted, and how far off it was against exact fields.
    added_db : float
        Decibels added to the figure because the model can be low by that much.
    """

    name: str
    source: str
    why: str
    trust: str
    added_db: float = 0.0


@dataclass(frozen=True, slots=True)
class UnitField:
    """Field of an antenna for 1 W of radiated power.

    Attributes
    ----------
    e2, h2 : array, shape (n,)
        Squares of the rms field strengths, V²/m² and A²/m² per watt.
    reactive : bool array, shape (n,)
        True nearer than the model's "trust from" distance: there is no figure there, and the
        point counts as over every limit.
    model : int8 array, shape (n,)
        Index into the kind's notes: which model made the figure.
    """

    e2: Floats
    h2: Floats
    reactive: Bools
    model: Codes

    @property
    def power_density(self) -> Floats:
        """The larger of E²/η and ηH², W/m² per watt."""
        s: Floats = np.maximum(self.e2 / ETA0, self.h2 * ETA0)
        return s


def plane_wave(s: Floats) -> tuple[Floats, Floats]:
    """Return E² and H² of a plane wave of power density s (W/m²).

    Returns
    -------
    tuple of arrays
        Each of the same shape as the arrays given.
    """
    return s * ETA0, s / ETA0


def single_model(e2: Floats, h2: Floats, reactive: Bools, code: int = 0) -> UnitField:
    """Return a field that one model made everywhere.

    Parameters
    ----------
    e2 : array
        E², V²/m².
    h2 : array
        H², A²/m².
    reactive : bool array
        True inside the reactive region.
    code : int
        Index of the model in the kind's notes.
    """
    return UnitField(e2, h2, reactive, np.full(e2.shape, code, dtype=np.int8))


def raised(values: Floats, decibels: float) -> Floats:
    """Return values raised by decibels, in the same dtype.

    Returns
    -------
    array
        Same shape as the arrays given.
    """
    return values * values.dtype.type(from_db(decibels))


def ramp(x: Floats, low: float, high: float) -> Floats:
    """Return a smooth weight: 0 below ``low``, 1 above ``high``, without a corner in between.

    Parameters
    ----------
    x : array
        1/(k r), or a place.

    Returns
    -------
    array
        Same shape as the arrays given.
    """
    t = np.clip((x - low) / (high - low), 0.0, 1.0)
    weight: Floats = t * t * (3.0 - 2.0 * t)
    return weight


def blend(first: Floats, second: Floats, weight: Floats) -> Floats:
    """Return the blend of two power-like arrays: ``first`` at weight 0, ``second`` at 1.

    The blend is of powers: it never steps, lies between the two, and a null of one cannot pull it into
    a hole as a blend of decibels would.

    Returns
    -------
    array
        Same shape as the arrays given.
    """
    mixed: Floats = (1.0 - weight) * first + weight * second
    return mixed
