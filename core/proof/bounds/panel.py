"""Bound of a sector panel: dipoles with their images ahead, the dipoles alone all round.

The model's power is the larger of A fade(t) and B b(u), with

    A = (|v| + m|v'|)² σ²(φ): the arms' sums of both polarisations stacked and, blind to phase, their share m for
        unlike currents; σ² the shape against the azimuth φ;
    B = max((|w| + m|w'|)², |w'|²): the dipoles without images, b the credit for the reflector;

t and u are angles off the boresight in the spaces (x, y, past) and (x + depth, y, past), which move no faster than the
place; where |z| passes the panel's end ``past`` has a corner, and beyond 75° the shape stays constant: both count as
jumps. As amplitudes these are norms of smooth vectors times smooth factors. Where σ² is held up from below, its corner
points upward, and cannot lift a product above its chord.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from core.antennas import panel as pn
from core.antennas.panel import Panel
from core.arrays import Floats, Points
from core.fields import arms as arm
from core.fields.columns import ColumnSum, column_sums, misfed, quick_sums
from core.fields.unit_field import ramp
from core.proof.bounds.angles import Curve, azimuth_jet, azimuth_range, curve, slope_jet, spread
from core.proof.bounds.arms import SEAM, arm_bounds, sum_code
from core.proof.bounds.base import (
    Bound,
    Majorant,
    Patches,
    bound,
    from_branches,
    from_values,
    majorant,
    reactive_code,
)
from core.proof.bounds.jet import Jet, larger, placed, stacked
from core.units import from_db, wavelength


@dataclass(frozen=True, eq=False)
class _Cuts:
    """Factors of the azimuth φ (shape), of t (fade) and of u (back), and the slope of the shape at its end."""

    shape: Curve
    fade: Curve
    back: Curve
    corner: float


@lru_cache(maxsize=256)
def _cuts(kind: Panel, frequency: float, *, conservative: bool) -> _Cuts:
    model = pn.model_of(kind, frequency)
    ends = np.sqrt(model.shape(np.array([pn.SIDE_FULL - 0.01, pn.SIDE_FULL])))
    return _Cuts(
        curve(lambda phi: np.sqrt(model.shape(phi)), 0.0, pn.SIDE_FULL, factor=True),
        _fade(),
        _back(
            float(model.back_ratio(np.array([180.0]), conservative=conservative)[0]),
            pn.BACK_FROM if conservative else 90.0,
        ),
        abs(float(ends[1] - ends[0])) / np.radians(0.01),
    )


@lru_cache(maxsize=1)
def _fade() -> Curve:
    """Return the weight of the field ahead, which all panels share: a curve takes a few megabytes."""
    return curve(
        lambda t: np.sqrt(1.0 - ramp(t, pn.SIDE_FULL, 90.0)), 0.0, 180.0, factor=True
    )  # fmt: skip


@lru_cache(maxsize=32)
def _back(least: float, start: float) -> Curve:
    """Return the credit behind, which panels of one front-to-back ratio share."""
    return curve(
        lambda u: np.exp(0.5 * np.log(least) * ramp(u, start, pn.BACK_FULL)), 0.0, 180.0, factor=True
    )  # fmt: skip


@dataclass(frozen=True, slots=True)
class _Turn:
    """An angle off the boresight on patches: its range in degrees, its jet in rad, how far its corner reaches."""

    low: Floats
    high: Floats
    jet: Jet
    corner: Floats


def _turn(kind: Panel, patches: Patches, share: float, depth: float) -> _Turn:
    """Return t (``share`` of the way past the ends counts) or u (all of it, seen from ``depth`` m behind)."""
    c = patches.centre
    x = c[:, 0] + depth
    past = share * np.maximum(np.abs(c[:, 2]) - kind.length / 2.0, 0.0)
    across = np.hypot(c[:, 1], past)
    away = np.hypot(x, across)
    middle = np.degrees(np.arctan2(across, x))
    wide = spread(away, patches.radius)
    low, high = np.maximum(middle - wide, 0.0), np.minimum(middle + wide, 180.0)
    near = np.maximum(away - patches.radius, 1e-9)
    jet = slope_jet(near, low, high, patches.dimension)
    # The corner of ``past`` bends the angle by at most its share of what z changes on the patch.
    tall = patches.half * np.abs(patches.directions[:, :, 2]).sum(axis=1)
    end = np.abs(np.abs(c[:, 2]) - kind.length / 2.0)
    return _Turn(low, high, jet, np.where(end < tall, share * tall / near, 0.0))


def _factor(cut: Curve, turn: _Turn) -> Jet:
    jet = cut.jet(turn.low, turn.high, turn.jet)
    return replace(jet, jump=2.0 * cut.first.over(turn.low, turn.high) * turn.corner)


@dataclass(frozen=True, slots=True)
class _Columns:
    """Jets of columns stacked: of the sums and of the dipoles blind to phase."""

    e: Jet
    h: Jet
    e_each: Jet
    h_each: Jet


_NAMES = ("e", "h", "e_each", "h_each")


def _columns(
    kind: Panel,
    frequency: float,
    columns: tuple[arm.Arms, ...],
    patches: Patches,
    *,
    conservative: bool,
) -> _Columns:
    # Some wavelengths away the lean of the dipoles no longer matters, and one column stands for all.
    clear = kind.box_distance(patches.centre, frequency) - patches.radius
    lean = clear < wavelength(frequency)
    n, first = len(patches), np.abs(columns[0].current).max()
    every = np.sqrt(sum((np.abs(a.current).max() / first) ** 2 for a in columns))
    out = []
    one = arm_bounds(columns[0], patches.part(~lean), common_direction=conservative, any_axis=True)
    close = [arm_bounds(a, patches.part(lean), common_direction=conservative) for a in columns]
    rows, rest = np.flatnonzero(lean), np.flatnonzero(~lean)
    for name in _NAMES:
        # The blind sums of arms take their jumps one by one; together they do not jump more than the sums.
        of = name[0]
        near = stacked([replace(getattr(b, name), jump=getattr(b, f"{of}_jump")) for b in close])
        far = replace(getattr(one, name), jump=getattr(one, f"{of}_jump")).scaled(every)
        out.append(placed(n, rows, near) + placed(n, rest, far))
    return _Columns(*out)


def _front(
    kind: Panel, frequency: float, patches: Patches, *, conservative: bool
) -> tuple[Jet, Jet]:
    """Return the jets of the field ahead, for E and H, without its fading."""
    model, cuts = pn.model_of(kind, frequency), _cuts(kind, frequency, conservative=conservative)
    low, high = azimuth_range(patches)
    held_low, held_high = np.minimum(low, pn.SIDE_FULL), np.minimum(high, pn.SIDE_FULL)
    shape = cuts.shape.jet(held_low, held_high, azimuth_jet(patches))
    astride = (low < pn.SIDE_FULL) & (high > pn.SIDE_FULL)
    shape = replace(shape, jump=np.where(astride, cuts.corner * np.radians(high - low), 0.0))
    cover = np.sqrt(from_db(pn.FRONT_COVER_DB) if conservative else model.best)
    of = _columns(kind, frequency, model.front, patches, conservative=conservative)
    e, h = _misfed(model, of, conservative=conservative)
    return (e * shape).scaled(cover), (h * shape).scaled(cover)


def _misfed(model: pn._PanelModel, of: _Columns, *, conservative: bool) -> tuple[Jet, Jet]:
    """Return the jets of the fields with what unlike currents may add: sums of two norms of smooth vectors."""
    if not conservative:
        return of.e, of.h
    share = pn.MISFED[model.coupled]
    return of.e + of.e_each.scaled(share), of.h + of.h_each.scaled(share)


@bound.register
def bound_of_panel(kind: Panel, frequency: float, patches: Patches, *, conservative: bool) -> Bound:
    model, cuts = pn.model_of(kind, frequency), _cuts(kind, frequency, conservative=conservative)
    turn = _turn(kind, patches, pn.PAST_SHARE, 0.0)
    n = len(patches)
    rows = np.flatnonzero(turn.low < 90.0)
    parts = _front(kind, frequency, patches.part(rows), conservative=conservative)
    fade = _factor(cuts.fade, turn)
    ahead = [placed(n, rows, j) * fade for j in parts]
    alone = _columns(kind, frequency, model.alone, patches, conservative=conservative)
    back = _factor(cuts.back, _turn(kind, patches, 1.0, model.depth))
    cover = np.sqrt(from_db(pn.SIDE_COVER_DB) if conservative else model.best)
    least = np.sqrt(from_db(pn.FLOOR_DB[model.coupled])) if conservative else 0.0
    round_it = _misfed(model, alone, conservative=conservative)
    first = [larger(a, (d * back).scaled(cover)) for a, d in zip(ahead, round_it, strict=True)]
    floor = [(d * back).scaled(least) for d in (alone.e_each, alone.h_each)]
    gap = kind.box_distance(patches.centre, frequency)
    zero = np.zeros(n)
    return Bound(
        e=np.maximum(first[0].m0, floor[0].m0),
        h=np.maximum(first[1].m0, floor[1].m0),
        e_curve=first[0].m2,
        h_curve=first[1].m2,
        e_jump=np.maximum(first[0].jump, floor[0].jump) + zero,
        h_jump=np.maximum(first[1].jump, floor[1].jump) + zero,
        e_floor=floor[0].m2,
        h_floor=floor[1].m2,
        gap=gap,
        reactive=reactive_code(gap, patches.radius, kind.trust(frequency)),
    )


@majorant.register
def majorant_of_panel(
    kind: Panel,
    frequency: float,
    patches: Patches,
    known: Bound,
    points: Points,
    corners: NDArray[np.intp],
    *,
    conservative: bool,
) -> Majorant:
    """Patches that straddle the edge of a quick sum take the larger of both sums at each corner."""
    if not conservative:
        unit = kind.unit_field(points, frequency, conservative=False)
        return from_values(unit.e2, unit.h2, known, patches, corners)
    model = pn.model_of(kind, frequency)
    fade = 1.0 - ramp(kind.turn(points), pn.SIDE_FULL, 90.0)
    phi = np.degrees(np.arctan2(np.abs(points[:, 1]), points[:, 0]))
    ahead = _sums(model.front, patches, points, corners, (fade > 0.0) & (phi < 90.0))
    shape = model.shape(np.minimum(phi, pn.SIDE_FULL)) * from_db(pn.FRONT_COVER_DB) * fade
    ahead = misfed(ahead, pn.MISFED[model.coupled])
    alone = _sums(model.alone, patches, points, corners, np.ones(len(points), bool))
    back = model.back_ratio(kind.rear_turn(points, model.depth), conservative=True)
    cover = from_db(pn.SIDE_COVER_DB) * back
    least = from_db(pn.FLOOR_DB[model.coupled]) * back
    fields = misfed(alone, pn.MISFED[model.coupled])
    first = tuple(
        np.maximum(a * shape, d * cover) for a, d in ((ahead.e2, fields.e2), (ahead.h2, fields.h2))
    )
    floor = (alone.e2_each * least, alone.h2_each * least)
    return from_branches((first[0], first[1]), floor, known, patches, corners)


def _sums(
    columns: tuple[arm.Arms, ...],
    patches: Patches,
    points: Points,
    corners: NDArray[np.intp],
    where: NDArray[np.bool_],
) -> ColumnSum:
    """Return the sums at the points ``where`` they count, zero elsewhere; at seams the larger of both forms."""
    out = ColumnSum(*np.zeros((4, len(points))))

    def put(rows: NDArray[np.intp], found: ColumnSum) -> None:
        for name in ColumnSum.__slots__:
            values = getattr(out, name)
            values[rows] = np.maximum(values[rows], getattr(found, name))

    rows = np.flatnonzero(where)
    put(rows, column_sums(columns, points[rows], quick=True))
    seam = np.zeros(len(points), bool)
    seam[corners[sum_code(columns[0], patches) == SEAM]] = True
    rows = np.flatnonzero(where & seam)
    if rows.size:
        put(rows, column_sums(columns, points[rows], quick=False))
        put(rows, quick_sums(columns, points[rows]))
    return out
