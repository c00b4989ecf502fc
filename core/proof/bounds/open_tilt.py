"""Bound of an antenna of an unknown tilt: the largest of the bounds at all its tilts."""

from __future__ import annotations

from functools import reduce

import numpy as np
from numpy.typing import NDArray

from core.antennas.base import Kind
from core.antennas.open_tilt import OpenTilt
from core.arrays import Points
from core.proof.bounds.base import Bound, Majorant, Patches, bound, largest_bound, majorant
from core.proof.bounds.surroundings import larger_majorant


@bound.register
def bound_of_open_tilt(
    kind: OpenTilt, frequency: float, patches: Patches, *, conservative: bool
) -> Bound:
    return largest_bound([
        bound(one, frequency, patches, conservative=conservative)
        for one in _tilts(kind, conservative=conservative)
    ])  # fmt: skip


@majorant.register
def majorant_of_open_tilt(
    kind: OpenTilt,
    frequency: float,
    patches: Patches,
    known: Bound,
    points: Points,
    corners: NDArray[np.intp],
    *,
    conservative: bool,
) -> Majorant:
    # What is known of all tilts together is looser than what each has.
    del known
    found = []
    for one in _tilts(kind, conservative=conservative):
        own = bound(one, frequency, patches, conservative=conservative)
        found.append(
            majorant(one, frequency, patches, own, points, corners, conservative=conservative)
        )
    return reduce(larger_majorant, found)


def _tilts(kind: OpenTilt, *, conservative: bool) -> tuple[Kind, ...]:
    return kind.kinds if conservative else kind.kinds[:1]
