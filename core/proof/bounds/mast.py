"""Bounds of base-fed masts and of arrays of them: exact fields, base terms, cover that grows with height.

E is the vector of the masts' summed field (or of their fields stacked, whichever is larger) stacked with the
base terms, H the larger of field and base terms. The cover is a smooth function of z; its jet multiplies.
What best estimates take off the base terms is a difference, so there the base enters with its largest
value on the patch. Everything is even in z, hence folding at the ground is smooth.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from core.antennas import mast as ms
from core.antennas import mast_array as ma
from core.antennas.mast import Mast
from core.antennas.mast_array import MastArray
from core.arrays import Floats, Points
from core.fields.mast_base import Drive
from core.fields.unit_field import ramp
from core.proof.bounds.base import Bound, Majorant, Patches, bound, majorant, over, reactive_code
from core.proof.bounds.jet import Jet, larger, stacked
from core.proof.bounds.wires import Wires, base_jets, base_top, folded, total

_PLACES = np.zeros((1, 3))


def _parts(
    kind: Mast | MastArray, frequency: float, *, conservative: bool
) -> tuple[Floats, tuple[Drive, ...]]:
    if isinstance(kind, MastArray):
        return np.stack([m.place for m in kind.masts]), ma.drives_of(
            kind, frequency, conservative=conservative
        )
    return _PLACES, (kind.drive(frequency),)


def _trusts(kind: Mast | MastArray, frequency: float) -> Floats:
    if isinstance(kind, MastArray):
        return np.array([ma.trust_of(m) for m in kind.masts])
    return np.array([kind.trust(frequency)])


def _wires(places: Floats, drives: tuple[Drive, ...]) -> Wires:
    n = len(places)
    return Wires(
        places,
        np.tile(ms.UP, (n, 1)),
        np.array([d.height for d in drives]),
        np.array([abs(d.loop) for d in drives]),
        max(d.radius for d in drives),
        drives[0].k,
        whole=True,
    )


def _cover(kind: Mast | MastArray, low_db: float, up_db: float, patches: Patches) -> Jet:
    """Return the jet of the amplitude's cover: low_db at the ground, up_db from UP_FULL on.

    With κ per unit of the ramp, whose derivatives are at most 1.5/h and 6/h² over its height h.
    """
    extra = ma.CURRENT_COVER_DB if isinstance(kind, MastArray) else 0.0
    z, rho = np.abs(patches.centre[:, 2]), patches.radius
    rate = (up_db - low_db) * np.log(10.0) / 20.0
    top = 10.0 ** (
        (low_db + extra + (up_db - low_db) * ramp(z + rho, ms.UP_FROM, ms.UP_FULL)) / 20.0
    )
    height = ms.UP_FULL - ms.UP_FROM
    moving = (z + rho > ms.UP_FROM) & (z - rho < ms.UP_FULL)
    steep = np.einsum("nd,nd->n", patches.directions[:, :, 2], patches.directions[:, :, 2]) * moving
    first, second = rate * 1.5 / height, rate * 6.0 / height**2
    return Jet(top, top * first * np.sqrt(steep), top * (first**2 + second) * steep)


def _jets(
    kind: Mast | MastArray, frequency: float, patches: Patches, *, conservative: bool
) -> tuple[Jet, Jet, Floats, Floats]:
    """Return the jets of √E² and √H², and the flat additions to E² and H² (best estimates only)."""
    places, drives = _parts(kind, frequency, conservative=conservative)
    wires = _wires(places, drives)
    field = total(wires, patches)
    e, h = field.e, field.h
    gaps = wires.gaps(patches.centre)
    zero = np.zeros(len(patches))
    if not conservative:
        tops = [
            base_top(d, (np.maximum(g - patches.radius, 0.0), g + patches.radius),
                     (np.maximum(g - patches.radius, d.radius), g + patches.radius))
            for d, g in zip(drives, gaps.T, strict=True)
        ]  # fmt: skip
        return e, h, zero + sum(t[0] for t in tops), zero + sum(t[1] for t in tops)
    if len(drives) > 1:
        each = [total(wires.part(slice(i, i + 1)), patches) for i in range(len(drives))]
        e, h = larger(e, stacked([f.e for f in each])), larger(h, stacked([f.h for f in each]))
    near = np.maximum(gaps - patches.radius[:, None], 0.0)
    bases = [
        base_jets(d, g, np.maximum(g, d.radius), patches.dimension)
        for d, g in zip(drives, near.T, strict=True)
    ]
    e = stacked([e, *(b[0] for b in bases)])
    h = larger(h, stacked([b[1] for b in bases]))
    e = e * _cover(kind, ms.GROUND_COVER_DB, ms.UP_COVER_DB, patches)
    h = h * _cover(kind, ms.H_GROUND_COVER_DB, ms.UP_COVER_DB, patches)
    return e, h, zero, zero


def _bound(
    kind: Mast | MastArray, frequency: float, patches: Patches, *, conservative: bool
) -> Bound:
    up = folded(patches)
    e, h, e2_flat, h2_flat = _jets(kind, frequency, conservative=conservative, patches=up)
    places, drives = _parts(kind, frequency, conservative=conservative)
    gaps = _wires(places, drives).gaps(up.centre)
    codes = [
        reactive_code(g, up.radius, t)
        for g, t in zip(gaps.T, _trusts(kind, frequency), strict=True)
    ]
    zero = np.zeros(len(patches))
    return Bound(
        e=np.sqrt(e.m0**2 + e2_flat),
        h=np.sqrt(h.m0**2 + h2_flat),
        e_curve=e.m2,
        h_curve=h.m2,
        e_jump=e.jump + zero,
        h_jump=h.jump + zero,
        e_floor=zero,
        h_floor=zero,
        gap=gaps.min(axis=1),
        reactive=np.max(codes, axis=0),
    )


def _majorant(
    kind: Mast | MastArray, frequency: float, patches: Patches, known: Bound, points: Points,
    corners: NDArray[np.intp], *, conservative: bool,
) -> Majorant:  # fmt: skip
    unit = kind.unit_field(points, frequency, conservative=conservative)
    e2, h2 = unit.e2[corners], unit.h2[corners]
    e_slack, h_slack = known.slacks(patches.half)
    if conservative:
        return Majorant(e2, h2, over(e2, known.e, e_slack), over(h2, known.h, h_slack))
    # The base counts once in the corners' values and once more as a flat addition's excess over them.
    e, h, e2_flat, h2_flat = _jets(
        kind, frequency, conservative=conservative, patches=folded(patches)
    )
    e2_least, h2_least = _least_base(kind, frequency, patches)
    reach2 = 0.5 * patches.half**2
    return Majorant(
        e2,
        h2,
        over(e2, known.e, reach2 * e.m2 + e.jump) + (e2_flat - e2_least)[:, None],
        over(h2, known.h, reach2 * h.m2 + h.jump) + (h2_flat - h2_least)[:, None],
    )


def _least_base(
    kind: Mast | MastArray, frequency: float, patches: Patches
) -> tuple[Floats, Floats]:
    """Return the least E² and H² that the sharpened base can have on patches: the ends swapped."""
    places, drives = _parts(kind, frequency, conservative=False)
    gaps = _wires(places, drives).gaps(folded(patches).centre)
    zero = np.zeros(len(patches))
    least = []
    for d, g in zip(drives, gaps.T, strict=True):
        low, high = np.maximum(g - patches.radius, d.radius), g + patches.radius
        least.append(base_top(d, (high, low), (high, low)))
    return zero + sum(b[0] for b in least), zero + sum(b[1] for b in least)


@bound.register(Mast)
@bound.register(MastArray)
def bound_of_mast(
    kind: Mast | MastArray, frequency: float, patches: Patches, *, conservative: bool
) -> Bound:
    """Bound of one mast or of an array of them: the model follows from the masts\' drives."""
    return _bound(kind, frequency, conservative=conservative, patches=patches)


@majorant.register(Mast)
@majorant.register(MastArray)
def majorant_of_mast(
    kind: Mast | MastArray,
    frequency: float,
    patches: Patches,
    known: Bound,
    points: Points,
    corners: NDArray[np.intp],
    *,
    conservative: bool,
) -> Majorant:
    """Majorant of one mast or of an array of them, with the field itself at the corners."""
    return _majorant(
        kind,
        frequency,
        conservative=conservative,
        patches=patches,
        known=known,
        points=points,
        corners=corners,
    )
