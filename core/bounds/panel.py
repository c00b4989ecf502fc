"""Bound of a sector panel: dipoles before a reflector in front, pattern elements beside and behind.

With t the angle off the boresight in which the model changes (``turn``), w(t) the ramp from 52° to 60° and
the model's

    A = |v|² σ²(φ)          in front; v the arms' sums of both polarisations stacked, σ² the shape
    B = lower · max(phasor sum, floor)        beside
    C = max(B, A · fade)                      from 60° on, fade falling to 0 at 90°

the field is A below 52°, C above 60° and (1 - w) A + w max(A, B) between. A and B without ``lower`` obey
the contract: they are squared norms of smooth vectors, the shape being a smooth function of the azimuth
with |φ'| ≤ 1/r⊥. ``lower`` and ``fade`` lie between 0 and 1 and enter with their largest value on the
patch; so does w, because max(A, B) ≥ A. What is left is linear in A and B, so their majorants carry over.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from core.antennas import arms as arm
from core.antennas import elements as el
from core.antennas import panel as pn
from core.antennas.array_factor import array_factor
from core.antennas.field import ramp
from core.antennas.panel import Panel
from core.arrays import Bools, Floats, Points
from core.bounds import elements as elb
from core.bounds.angles import Curve, azimuth_jet, azimuth_range, curve, spread
from core.bounds.arms import SEAM, arm_bounds, sum_code
from core.bounds.base import Bound, Majorant, Patches, bound, majorant, over
from core.bounds.jet import Jet
from core.units import ETA0, from_db, wavelength

_RAMP = (pn.FRONT_EDGE - 8.0, pn.FRONT_EDGE)


@dataclass(frozen=True, slots=True)
class _Parts:
    """Bounds of √A and of √(B without lower) on patches: sup, curve and jump of E and H each."""

    e: tuple[Floats, Floats, Floats]
    h: tuple[Floats, Floats, Floats]


def _turn_range(kind: Panel, patches: Patches) -> tuple[Floats, Floats]:
    """Return the range (n,) of the angle in which the model changes.

    It is an angle in (x, hypot(y, past)), which moves no faster than the point.
    """
    c = patches.centre
    past = 0.5 * np.maximum(np.abs(c[:, 2]) - kind.length / 2.0, 0.0)
    across = np.hypot(c[:, 1], past)
    middle = np.degrees(np.arctan2(across, c[:, 0]))
    wide = spread(np.hypot(c[:, 0], across), patches.radius)
    return np.maximum(middle - wide, 0.0), np.minimum(middle + wide, 180.0)


@dataclass(frozen=True, eq=False)
class _Cuts:
    shape: Curve
    lobe: Curve
    corner: float


@lru_cache(maxsize=256)
def _cuts(kind: Panel, frequency: float) -> _Cuts:
    model = pn._model(kind, frequency)
    shape = curve(lambda phi: np.sqrt(model.shape(phi)), 0.0, pn.SIDE_FULL)
    lobe = curve(el.lobe(model.width, model.back), 0.0, 180.0)
    ends = np.sqrt(model.shape(np.array([pn.SIDE_FULL - 0.01, pn.SIDE_FULL])))
    return _Cuts(shape, lobe, abs(float(ends[1] - ends[0])) / np.radians(0.01))


def _front(kind: Panel, frequency: float, conservative: bool, patches: Patches) -> _Parts:
    model = pn._model(kind, frequency)
    cuts = _cuts(kind, frequency)
    low, high = azimuth_range(patches)
    shape = cuts.shape.jet(
        np.minimum(low, pn.SIDE_FULL), np.minimum(high, pn.SIDE_FULL), azimuth_jet(patches)
    )
    astride = (low < pn.SIDE_FULL) & (high > pn.SIDE_FULL)
    corner = np.where(astride, 0.5 * cuts.corner * np.radians(high - low), 0.0)
    each = [arm_bounds(a, patches, common_direction=conservative) for a in model.front]
    cover = np.sqrt(from_db(pn.FRONT_COVER_DB)) if conservative else 1.0

    def part(field: str) -> tuple[Floats, Floats, Floats]:
        jets = [getattr(b, field) for b in each]
        stacked = Jet(
            *(np.stack([getattr(j, m) for j in jets], axis=1) for m in ("m0", "m1", "m2"))
        ).root_total()
        jump = np.sqrt(sum(getattr(b, f"{field}_jump") ** 2 for b in each))
        full = (stacked * shape).scaled(cover)
        return full.m0, full.m2, cover * (jump * shape.m0 + stacked.m0 * corner)

    return _Parts(part("e"), part("h"))


def _side(kind: Panel, frequency: float, conservative: bool, patches: Patches) -> _Parts:
    model = pn._model(kind, frequency)
    found = elb.element_bounds(model.side, patches, common_direction=conservative)
    e, second, jump = found.total.m0, found.total.m2, found.jump
    if conservative:
        cover = np.sqrt(from_db(pn.SIDE_COVER_DB))
        e, second = (
            np.maximum(e, found.floor.m0) * cover,
            np.maximum(second, found.floor.m2) * cover,
        )
        jump = jump * cover
    return _Parts((e, second, jump), (e / ETA0, second / ETA0, jump / ETA0))


def _lower(kind: Panel, frequency: float, patches: Patches) -> Floats:
    """Return the largest factor (n,) by which the side field is lowered, as a power ratio."""
    cut = _cuts(kind, frequency).lobe
    beyond = np.abs(patches.centre[:, 2]) + patches.radius > kind.length / 2.0
    turn, azimuth = _turn_range(kind, patches), azimuth_range(patches)
    # The lobe falls with the angle, so its least value on a range is at the end.
    least = cut.over(azimuth[1], azimuth[1] + 0.0) * (1.0 - 1e-5)
    ratio = np.minimum((cut.over(*turn) / least) ** 2, 1.0)
    return np.where(beyond, ratio, 1.0)


def _mixed(first: Floats, second: Floats, weight: Floats) -> Floats:
    """Return (1 - w) A + w max(A, B) of powers (n, ...) with the weights (n,)."""
    w = weight.reshape(-1, *([1] * (first.ndim - 1)))
    mixed: Floats = (1.0 - w) * first + w * np.maximum(first, second)
    return mixed


@dataclass(frozen=True, slots=True)
class _Zones:
    """Where patches lie: in front alone, beside alone; the largest weight and fade of the others."""

    front: Bools
    side: Bools
    weight: Floats
    fade: Floats


def _zones(kind: Panel, patches: Patches) -> _Zones:
    low, high = _turn_range(kind, patches)
    return _Zones(
        high <= _RAMP[0],
        low >= _RAMP[1],
        ramp(high, *_RAMP) * (1.0 - 1e-12) + 1e-12,
        1.0 - ramp(low, pn.SIDE_FULL, 90.0),
    )


@bound.register
def _(kind: Panel, frequency: float, conservative: bool, patches: Patches) -> Bound:
    front = _front(kind, frequency, conservative, patches)
    side = _side(kind, frequency, conservative, patches)
    where = _zones(kind, patches)
    lower = np.sqrt(_lower(kind, frequency, patches))
    fade = np.sqrt(where.fade)

    def part(a: tuple[Floats, ...], b: tuple[Floats, ...]) -> tuple[Floats, Floats, Floats]:
        beside = np.maximum(a[0] * fade, b[0] * lower)
        mixed = np.sqrt(_mixed(a[0] ** 2, (b[0] * lower) ** 2, where.weight))
        sup = np.where(where.front, a[0], np.where(where.side, beside, mixed))
        curve_ = np.where(where.front, a[1], np.maximum(a[1] * fade, b[1] * lower))
        with np.errstate(invalid="ignore"):
            jump = np.where(where.front, a[2], np.fmax(a[2] * fade, b[2] * lower))
        return sup, curve_, jump

    (e, e_curve, e_jump), (h, h_curve, h_jump) = part(front.e, side.e), part(front.h, side.h)
    gap = kind._box_distance(patches.centre, frequency)
    low, high = _turn_range(kind, patches)
    lam = wavelength(frequency)
    some, every = (
        lam * (pn.FRONT_TRUST + (pn.SIDE_TRUST - pn.FRONT_TRUST) * ramp(t, *_RAMP))
        for t in (high, low)
    )
    near = gap - patches.radius < some * (1.0 + 1e-9)
    inside = gap + patches.radius < every * (1.0 - 1e-9)
    code = near.astype(np.int8) + inside.astype(np.int8)
    return Bound(e, h, e_curve, h_curve, e_jump, h_jump, gap, code)


@majorant.register
def _(
    kind: Panel,
    frequency: float,
    conservative: bool,
    patches: Patches,
    known: Bound,
    points: Points,
    corners: NDArray[np.intp],
) -> Majorant:
    where = _zones(kind, patches)
    unit = kind.unit_field(points, frequency, conservative=conservative)
    e2, h2 = unit.e2[corners], unit.h2[corners]
    e_over, h_over = np.zeros_like(e2), np.zeros_like(h2)
    uses_front = ~(where.side & (where.fade == 0.0))
    a = _front_over(kind, frequency, conservative, patches, points, corners, uses_front)
    b = _side_over(kind, frequency, conservative, patches, points, corners, ~where.front)
    lower = _lower(kind, frequency, patches)[:, None]
    fade = where.fade[:, None]
    for out, sup, first, second in ((e_over, known.e, a[0], b[0]), (h_over, known.h, a[1], b[1])):
        beside = np.maximum(first * fade, second * lower)
        mixed = _mixed(first, second * lower, where.weight)
        out[:] = np.where(where.front[:, None], first, np.where(where.side[:, None], beside, mixed))
        flat = sup * sup
        worse = ~(out.max(axis=1) <= flat)
        out[worse] = flat[worse, None]
    return Majorant(e2, h2, e_over, h_over)


def _front_over(
    kind: Panel, frequency: float, conservative: bool, patches: Patches,
    points: Points, corners: NDArray[np.intp], rows: Bools,
) -> tuple[Floats, Floats]:  # fmt: skip
    """Return the majorants (n, c) of A's E² and H² where ``rows``, zero elsewhere."""
    e_over, h_over = np.zeros(corners.shape), np.zeros(corners.shape)
    if not rows.any():
        return e_over, h_over
    model = pn._model(kind, frequency)
    used, index = np.unique(corners[rows], return_inverse=True)
    at, part = points[used], patches.part(rows)
    index = index.reshape(corners[rows].shape)
    phi = np.degrees(np.arctan2(np.abs(at[:, 1]), at[:, 0]))
    shape = model.shape(np.minimum(phi, pn.SIDE_FULL))
    sums = [pn._columns(model.front, at, quick=conservative)]
    if conservative and (sum_code(model.front[0], part) == SEAM).any():
        sums.append(pn._columns(model.front, at, quick=False))
        sums.append(_quick_columns(kind, frequency, at))
    scale = shape * (from_db(pn.FRONT_COVER_DB) if conservative else 1.0)
    e2, h2 = (np.max([s[i] for s in sums], axis=0) * scale for i in (0, 1))
    bounds = _front(kind, frequency, conservative, part)
    for out, value, (sup, second, jump) in ((e_over, e2, bounds.e), (h_over, h2, bounds.h)):
        out[rows] = over(value[index], sup, 0.5 * part.half**2 * second + jump)
    return e_over, h_over


def _quick_columns(kind: Panel, frequency: float, at: Points) -> tuple[Floats, Floats]:
    """Return E² and H² of the quick sum whatever the distance (core.antennas.panel._columns)."""
    columns = pn._model(kind, frequency).front
    first = columns[0]
    unit = at / np.sqrt(np.einsum("ij,ij->i", at, at))[:, None]
    factor, _ = array_factor(first.centre, first.current, first.k, at)
    element = np.zeros(len(at))
    for column in columns:
        scale = abs(column.current[0] / first.current[0]) ** 2
        moment, cos_t = arm.element_moment(
            unit, column.axis[0], float(column.half_length[0]), first.k
        )
        element += scale * moment**2 * (1.0 - cos_t**2)
    e2: Floats = np.abs(factor) ** 2 * element * (ETA0 / (2.0 * np.pi)) ** 2
    return e2, e2 / ETA0**2


def _side_over(
    kind: Panel, frequency: float, conservative: bool, patches: Patches,
    points: Points, corners: NDArray[np.intp], rows: Bools,
) -> tuple[Floats, Floats]:  # fmt: skip
    """Return the majorants (n, c) of B's E² and H², without ``lower``, where ``rows``."""
    e_over, h_over = np.zeros(corners.shape), np.zeros(corners.shape)
    if not rows.any():
        return e_over, h_over
    model = pn._model(kind, frequency)
    used, index = np.unique(corners[rows], return_inverse=True)
    at, part = points[used], patches.part(rows)
    index = index.reshape(corners[rows].shape)
    e2, h2 = kind._side(model, at, conservative)
    if conservative and (elb.sum_code(model.side, part) == SEAM).any():
        floor = el.power_sum(model.side, at, keep_azimuth=True)
        cover = from_db(pn.SIDE_COVER_DB)
        for sums in elb.both_sums(model.side, at):
            e2_here, h2_here = el.floored(*sums, floor)
            e2, h2 = np.maximum(e2, cover * e2_here), np.maximum(h2, cover * h2_here)
    bounds = _side(kind, frequency, conservative, part)
    for out, value, (sup, second, jump) in ((e_over, e2, bounds.e), (h_over, h2, bounds.h)):
        out[rows] = over(value[index], sup, 0.5 * part.half**2 * second + jump)
    return e_over, h_over
