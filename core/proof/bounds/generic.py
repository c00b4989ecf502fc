"""Bound of a catalogue class: that of the kind it stands for."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from core.antennas.generic import Generic
from core.arrays import Points
from core.proof.bounds.base import Bound, Majorant, Patches, bound, majorant


@bound.register
def bound_of_generic(
    kind: Generic, frequency: float, conservative: bool, patches: Patches
) -> Bound:
    return bound(kind.built(frequency), frequency, conservative, patches)


@majorant.register
def majorant_of_generic(
    kind: Generic,
    frequency: float,
    conservative: bool,
    patches: Patches,
    known: Bound,
    points: Points,
    corners: NDArray[np.intp],
) -> Majorant:
    built = kind.built(frequency)
    return majorant(built, frequency, conservative, patches, known, points, corners)
