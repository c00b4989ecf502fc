"""Bound of a whip: the exact field of whip and image or radials, its floor, and the base terms."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from core.antennas import whip as wp
from core.antennas.mast import drive_of
from core.antennas.whip import Whip
from core.arrays import Floats, Points
from core.fields import half_arms as half
from core.fields.mast_base import Drive
from core.geometry import segment_distance
from core.proof.bounds.base import (
    Bound,
    Majorant,
    Patches,
    bound,
    from_values,
    majorant,
    over,
    reactive_code,
)
from core.proof.bounds.jet import Jet, larger, stacked
from core.proof.bounds.wires import Wires, base_jets, base_top, folded, magnetic, total
from core.units import ETA0, from_db


def half_wires(arms: half.HalfArms) -> Wires:
    """Return half arms as wires."""
    return Wires(
        arms.feed, arms.axis, arms.length, np.abs(arms.loop), arms.radius, arms.k, whole=False
    )


def with_base(
    e: Jet, h: Jet, drives: list[tuple[Drive, Floats, Floats]], patches: Patches
) -> tuple[Jet, Jet]:
    """Return the jets with the conservative base terms of drives at distances from wire and feed.

    Several distances stand for the nearest of several wires: the larger term counts.

    Parameters
    ----------
    e : Jet
        Of E.
    h : Jet
        Half-length, m.
    patches : Patches
        The patches, in the antenna's frame.
    """
    base: tuple[Jet, Jet] | None = None
    for drive, from_wire, from_feed in drives:
        near = (
            np.maximum(from_wire - patches.radius, 0.0),
            np.maximum(from_feed - patches.radius, 0.0),
        )
        one = base_jets(drive, *near, patches.dimension)
        base = one if base is None else (larger(base[0], one[0]), larger(base[1], one[1]))
    assert base is not None
    return stacked([e, base[0]]), larger(h, base[1])


def base_range(
    drive: Drive, from_wire: Floats, from_feed: Floats, patches: Patches
) -> tuple[tuple[Floats, Floats], tuple[Floats, Floats]]:
    """Return the largest and the least E² and H² of the sharpened base on patches.

    Parameters
    ----------
    drive : Drive
        The current on the mast.
    from_wire : array
        Distance range to the wire, m.
    from_feed : array
        Distance range to the feed, m.

    Returns
    -------
    tuple of arrays
        Each of the same shape as the arrays given.
    """
    rho = patches.radius
    d = np.maximum(from_wire - rho, 0.0), from_wire + rho
    x = np.maximum(from_feed - rho, 0.0), from_feed + rho
    return base_top(drive, d, x), base_top(drive, d[::-1], x[::-1])


def _distances(kind: Whip, patches: Patches) -> tuple[Floats, Floats]:
    c = patches.centre
    tip = np.array([0.0, 0.0, kind.length])
    return segment_distance(c, np.zeros(3), tip), np.sqrt(np.einsum("ni,ni->n", c, c))


def _drive(kind: Whip, frequency: float) -> Drive:
    loop = complex(wp.arms_of(kind, frequency).loop[0])
    return drive_of(loop, kind.length, kind.radius, frequency)


def _jets(kind: Whip, frequency: float, patches: Patches, *, conservative: bool) -> tuple[Jet, Jet]:
    """Return the jets of √E² and √H²; of best estimates without the base terms."""
    arms = wp.arms_of(kind, frequency)
    field = total(half_wires(arms), patches)
    e, h = field.e, field.h
    if not conservative:
        return e, h
    parts = [half_wires(arms.part(s)) for s in (slice(0, 1), slice(1, None))]
    floor = stacked([magnetic(p, patches) for p in parts])
    e, h = larger(e, floor.scaled(ETA0)), larger(h, floor)
    e, h = with_base(e, h, [(_drive(kind, frequency), *_distances(kind, patches))], patches)
    cover = np.sqrt(from_db(kind.cover(frequency)))
    return e.scaled(cover), h.scaled(cover)


@bound.register
def bound_of_whip(kind: Whip, frequency: float, patches: Patches, *, conservative: bool) -> Bound:
    up = folded(patches) if kind.has_own_ground else patches
    e, h = _jets(kind, frequency, conservative=conservative, patches=up)
    e2, h2 = e.m0**2, h.m0**2
    if not conservative:
        top, _ = base_range(_drive(kind, frequency), *_distances(kind, up), up)
        e2, h2 = e2 + top[0], h2 + top[1]
    gap = half.metal_distance(wp.arms_of(kind, frequency), up.centre)
    zero = np.zeros(len(patches))
    return Bound(
        e=np.sqrt(e2),
        h=np.sqrt(h2),
        e_curve=e.m2,
        h_curve=h.m2,
        e_jump=e.jump + zero,
        h_jump=h.jump + zero,
        e_floor=zero,
        h_floor=zero,
        gap=gap,
        reactive=reactive_code(gap, up.radius, kind.trust(frequency)),
    )


@majorant.register
def majorant_of_whip(
    kind: Whip,
    frequency: float,
    patches: Patches,
    known: Bound,
    points: Points,
    corners: NDArray[np.intp],
    *,
    conservative: bool,
) -> Majorant:
    unit = kind.unit_field(points, frequency, conservative=conservative)
    if conservative:
        return from_values(unit.e2, unit.h2, known, patches, corners)
    up = folded(patches) if kind.has_own_ground else patches
    top, least = base_range(_drive(kind, frequency), *_distances(kind, up), up)
    return raised_by(unit.e2[corners], unit.h2[corners], known, patches, top, least)


def raised_by(
    e2: Floats, h2: Floats, known: Bound, patches: Patches,
    top: tuple[Floats, Floats], least: tuple[Floats, Floats],
) -> Majorant:  # fmt: skip
    """Return the majorant of |v|² + s from corner values that hold s, with s between least and top.

    Parameters
    ----------
    e2 : array
        E², V²/m².
    h2 : array
        H², A²/m².
    known : Bound
        Bounds that are known of the same patches.
    patches : Patches
        The patches, in the antenna's frame.
    """
    e_slack, h_slack = known.slacks(patches.half)
    return Majorant(
        e2,
        h2,
        over(e2, known.e, e_slack) + (top[0] - least[0])[:, None],
        over(h2, known.h, h_slack) + (top[1] - least[1])[:, None],
    )
