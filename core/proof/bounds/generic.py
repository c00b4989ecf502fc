"""Bound of a catalogue class: that of the kind it stands for."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from core.antennas.generic import Generic
from core.arrays import Points
from core.proof.bounds.base import Bound, Majorant, Patches, bound, majorant


@bound.register
def bound_of_generic(
    kind: Generic, frequency: float, patches: Patches, *, conservative: bool
) -> Bound:
    return bound(kind.built(frequency), frequency, patches, conservative=conservative)


@majorant.register
def majorant_of_generic(
    kind: Generic,
    frequency: float,
    patches: Patches,
    known: Bound,
    points: Points,
    corners: NDArray[np.intp],
    *,
    conservative: bool,
) -> Majorant:
    built = kind.built(frequency)
    return majorant(built, frequency, patches, known, points, corners, conservative=conservative)
