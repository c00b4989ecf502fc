"""Bound of an antenna of an unknown tilt: the largest of the bounds at all its tilts, each in its own frame."""

from __future__ import annotations

from functools import reduce

import numpy as np
from numpy.typing import NDArray

from core.antennas.base import Kind
from core.antennas.open_tilt import OpenTilt, leaned, turn
from core.arrays import Points
from core.proof.bounds.base import Bound, Majorant, Patches, bound, majorant
from core.proof.bounds.surroundings import larger_majorant


@bound.register
def bound_of_open_tilt(
    kind: OpenTilt, frequency: float, patches: Patches, *, conservative: bool
) -> Bound:
    kinds, leans = _tilts(kind, conservative=conservative)
    places = _leaned(patches, leans)
    found = [bound(one, frequency, places, conservative=conservative) for one in kinds]

    def all_tilts(name: str) -> NDArray[np.float64]:
        return np.stack([getattr(one, name).reshape(len(leans), -1) for one in found])

    return Bound(**{
        name: all_tilts(name).min(axis=(0, 1)) if name == "gap" else all_tilts(name).max(axis=(0, 1))
        for name in Bound.__slots__
    })  # fmt: skip


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
    kinds, leans = _tilts(kind, conservative=conservative)
    places = _leaned(patches, leans)
    seen = np.concatenate([leaned(points, lean) for lean in leans])
    at = np.concatenate([corners + i * len(points) for i in range(len(leans))])
    found = []
    for one in kinds:
        own = bound(one, frequency, places, conservative=conservative)
        whole = majorant(one, frequency, places, own, seen, at, conservative=conservative)
        n = len(patches)
        found += [whole.part(slice(i * n, (i + 1) * n)) for i in range(len(leans))]
    return reduce(larger_majorant, found)


def _tilts(kind: OpenTilt, *, conservative: bool) -> tuple[tuple[Kind, ...], tuple[float, ...]]:
    return (kind.kinds, kind.leans) if conservative else (kind.kinds[:1], (0.0,))


def _leaned(patches: Patches, leans: tuple[float, ...]) -> Patches:
    """Return patches in the frames of all leans, one lean after the other."""
    return Patches(
        np.concatenate([leaned(patches.centre, lean) for lean in leans]),
        np.concatenate([patches.directions @ turn(lean) for lean in leans]),
        np.tile(patches.half, len(leans)),
        np.tile(patches.radius, len(leans)),
    )
