"""Bound of a sector panel: dipoles before a reflector in front, pattern elements beside and behind.

With t the angle off the boresight in which the model changes (``turn``), w(t) the ramp from 52° to 60° and
fade(t) falling from 75° to 90°, the model's power is (1 - w) A + w max(A fade, B) with

    A = |v|² σ²(φ): the arms' sums of both polarisations stacked, σ² the shape against the azimuth φ;
    B = L²(max(t, φ)) · max(phasor sum, floor) of elements on one vertical line, L the azimuth cut.

(The model multiplies the elements' own L²(φ) by min(1, L²(t)/L²(φ)), and L falls.) t is the larger ahead of
the panel, φ behind it; where they change over, L has a corner, which counts as a jump. As an amplitude this
is the norm of (√(1-w) a, √w max(a √fade, b)): smooth vectors times smooth factors. t is an angle in the
space (x, y, past), which moves no faster than the place; where |z| passes the panel's end ``past`` has a
corner, and beyond 75° the shape stays constant: jumps as well.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from core.antennas import panel as pn
from core.antennas.panel import Panel
from core.arrays import Bools, Floats, Points
from core.fields import arms as arm
from core.fields import elements as el
from core.fields import one_arm
from core.fields.array_factor import array_factor
from core.fields.elements import Elements
from core.fields.unit_field import plane_wave, ramp
from core.proof.bounds import elements as elb
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
)
from core.proof.bounds.jet import Jet, larger, placed, stacked
from core.units import ETA0, from_db, wavelength

_RAMP = (pn.FRONT_EDGE - 8.0, pn.FRONT_EDGE)


@dataclass(frozen=True, eq=False)
class _Cuts:
    """Factors of the azimuth φ (shape) and of the turn t, and the slope of the shape at its end."""

    shape: Curve
    lobe: Curve
    front: Curve
    side: Curve
    fade: Curve
    corner: float


@lru_cache(maxsize=256)
def _cuts(kind: Panel, frequency: float) -> _Cuts:
    model = pn.model_of(kind, frequency)
    ends = np.sqrt(model.shape(np.array([pn.SIDE_FULL - 0.01, pn.SIDE_FULL])))
    return _Cuts(
        curve(lambda phi: np.sqrt(model.shape(phi)), 0.0, pn.SIDE_FULL, factor=True),
        curve(el.lobe(model.width, model.back), 0.0, 180.0, factor=True),
        *_blends(),
        abs(float(ends[1] - ends[0])) / np.radians(0.01),
    )


@lru_cache(maxsize=1)
def _blends() -> tuple[Curve, Curve, Curve]:
    """Return the weights of the turn, which all panels share: a curve takes a few megabytes."""
    front, side, fade = (
        curve(weight, 0.0, 180.0, factor=True)
        for weight in (
            lambda t: np.sqrt(1.0 - ramp(t, *_RAMP)),
            lambda t: np.sqrt(ramp(t, *_RAMP)),
            lambda t: np.sqrt(1.0 - ramp(t, pn.SIDE_FULL, 90.0)),
        )
    )
    return front, side, fade


@lru_cache(maxsize=256)
def _column(kind: Panel, frequency: float) -> Elements:
    """Return the side elements without their azimuth cut."""
    return replace(pn.model_of(kind, frequency).side, horizontal=el.uniform)


@dataclass(frozen=True, slots=True)
class _Turn:
    """The angle t on patches: its range in degrees, its jet in rad, and how far its corner reaches."""

    low: Floats
    high: Floats
    jet: Jet
    corner: Floats

    def part(self, rows: NDArray[np.intp]) -> _Turn:
        """Return some of the patches' angles."""
        jet = Jet(self.jet.m0[rows], self.jet.m1[rows], self.jet.m2[rows])
        return _Turn(self.low[rows], self.high[rows], jet, self.corner[rows])


def _turn(kind: Panel, patches: Patches) -> _Turn:
    c = patches.centre
    past = 0.5 * np.maximum(np.abs(c[:, 2]) - kind.length / 2.0, 0.0)
    across = np.hypot(c[:, 1], past)
    away = np.hypot(c[:, 0], across)
    middle = np.degrees(np.arctan2(across, c[:, 0]))
    wide = spread(away, patches.radius)
    low, high = np.maximum(middle - wide, 0.0), np.minimum(middle + wide, 180.0)
    near = np.maximum(away - patches.radius, 1e-9)
    jet = slope_jet(near, low, high, patches.dimension)
    # The corner of ``past`` bends t by at most half of what z changes on the patch.
    tall = patches.half * np.abs(patches.directions[:, :, 2]).sum(axis=1)
    end = np.abs(np.abs(c[:, 2]) - kind.length / 2.0)
    return _Turn(low, high, jet, np.where(end < tall, 0.5 * tall / near, 0.0))


def _factor(cut: Curve, turn: _Turn) -> Jet:
    jet = cut.jet(turn.low, turn.high, turn.jet)
    return replace(jet, jump=2.0 * cut.first.over(turn.low, turn.high) * turn.corner)


def _front(
    kind: Panel, frequency: float, patches: Patches, *, conservative: bool
) -> tuple[Jet, Jet]:
    """Return the jets of a, for E and H."""
    model, cuts = pn.model_of(kind, frequency), _cuts(kind, frequency)
    low, high = azimuth_range(patches)
    held_low, held_high = np.minimum(low, pn.SIDE_FULL), np.minimum(high, pn.SIDE_FULL)
    shape = cuts.shape.jet(held_low, held_high, azimuth_jet(patches))
    astride = (low < pn.SIDE_FULL) & (high > pn.SIDE_FULL)
    shape = replace(shape, jump=np.where(astride, cuts.corner * np.radians(high - low), 0.0))
    cover = np.sqrt(from_db(pn.FRONT_COVER_DB)) if conservative else 1.0
    # Some wavelengths away the lean of the dipoles no longer matters, and one column stands for both.
    clear = kind.box_distance(patches.centre, frequency) - patches.radius
    lean = clear < wavelength(frequency)
    n = len(patches)
    e, h = _columns(model.front, patches.part(lean), conservative=conservative)
    e, h = placed(n, np.flatnonzero(lean), e), placed(n, np.flatnonzero(lean), h)
    one = arm_bounds(
        model.front[0], patches.part(~lean), common_direction=conservative, any_axis=True
    )
    first = np.abs(model.front[0].current).max()
    both = np.sqrt(sum((np.abs(a.current).max() / first) ** 2 for a in model.front))
    rest = np.flatnonzero(~lean)
    e = e + placed(n, rest, replace(one.e, jump=one.e_jump).scaled(both))
    h = h + placed(n, rest, replace(one.h, jump=one.h_jump).scaled(both))
    return (e * shape).scaled(cover), (h * shape).scaled(cover)


def _columns(
    columns: tuple[arm.Arms, ...], patches: Patches, *, conservative: bool
) -> tuple[Jet, Jet]:
    each = [arm_bounds(a, patches, common_direction=conservative) for a in columns]
    e = stacked([replace(b.e, jump=b.e_jump) for b in each])
    return e, stacked([replace(b.h, jump=b.h_jump) for b in each])


def _side(
    kind: Panel, frequency: float, patches: Patches, turn: _Turn, *, conservative: bool
) -> tuple[Jet, Jet]:
    """Return the jets of b's phasor sum and of its floor, for E; H is E/η."""
    found = elb.element_bounds(_column(kind, frequency), patches, common_direction=conservative)
    lobe = _lobe(kind, frequency, patches, turn)
    cover = np.sqrt(from_db(pn.SIDE_COVER_DB)) if conservative else 1.0
    floor = cover if conservative else 0.0
    phased = replace(found.total, jump=found.jump)
    return (phased * lobe).scaled(cover), (found.floor * lobe).scaled(floor)


def _lobe(kind: Panel, frequency: float, patches: Patches, turn: _Turn) -> Jet:
    """Return the jet of L at the larger of turn and azimuth."""
    cut = _cuts(kind, frequency).lobe
    low, high = azimuth_range(patches)
    ahead, behind = _factor(cut, turn), cut.jet(low, high, azimuth_jet(patches))
    x, rho = patches.centre[:, 0], patches.radius
    # At x = 0 both are 90°, so the two differ by what the faster of them has turned since.
    corner = 2.0 * cut.first.over(np.full_like(x, 89.9), np.full_like(x, 90.1))
    corner = corner * np.radians(np.minimum(high - low, 180.0))
    both = larger(ahead, behind)
    both = replace(both, jump=both.jump + corner)

    def chosen(name: str) -> Floats:
        a, b, c = (np.broadcast_to(getattr(j, name), x.shape) for j in (ahead, behind, both))
        picked: Floats = np.where(x > rho, a, np.where(x < -rho, b, c))
        return picked

    return Jet(*(chosen(n) for n in Jet.__slots__))


@bound.register
def bound_of_panel(kind: Panel, frequency: float, patches: Patches, *, conservative: bool) -> Bound:
    turn, cuts = _turn(kind, patches), _cuts(kind, frequency)
    n = len(patches)
    ahead_rows, wide_rows = np.flatnonzero(turn.low < 90.0), np.flatnonzero(turn.high > _RAMP[0])
    parts = _front(kind, frequency, conservative=conservative, patches=patches.part(ahead_rows))
    front = [placed(n, ahead_rows, j) for j in parts]
    sides = _side(
        kind,
        frequency,
        conservative=conservative,
        patches=patches.part(wide_rows),
        turn=turn.part(wide_rows),
    )
    phased, floor = (placed(n, wide_rows, j) for j in sides)
    on_front, on_side, fade = (_factor(c, turn) for c in (cuts.front, cuts.side, cuts.fade))
    jets = []
    for shown, unit in ((front[0], 1.0), (front[1], 1.0 / ETA0)):
        ahead = shown * on_front
        first = larger(shown * fade, phased.scaled(unit)) * on_side
        jets += [stacked([ahead, first]), stacked([ahead, floor.scaled(unit) * on_side])]
    gap = kind.box_distance(patches.centre, frequency)
    lam = wavelength(frequency)
    some, every = (
        lam * (pn.FRONT_TRUST + (pn.SIDE_TRUST - pn.FRONT_TRUST) * ramp(t, *_RAMP))
        for t in (turn.high, turn.low)
    )
    near = gap - patches.radius < some * (1.0 + 1e-9)
    inside = gap + patches.radius < every * (1.0 - 1e-9)
    e, e_floor, h, h_floor = jets
    zero = np.zeros(len(patches))
    return Bound(
        e=np.maximum(e.m0, e_floor.m0),
        h=np.maximum(h.m0, h_floor.m0),
        e_curve=e.m2,
        h_curve=h.m2,
        e_jump=np.maximum(e.jump, e_floor.jump) + zero,
        h_jump=np.maximum(h.jump, h_floor.jump) + zero,
        e_floor=e_floor.m2,
        h_floor=h_floor.m2,
        gap=gap,
        reactive=near.astype(np.int8) + inside.astype(np.int8),
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
    ahead, beside = (
        np.zeros(len(points), bool),
        np.zeros(len(points), bool),
    )
    ahead[corners[sum_code(model.front[0], patches) == SEAM]] = True
    beside[corners[elb.sum_code(model.side, patches) == SEAM]] = True
    first, floor = _branches(kind, frequency, points, ahead, beside)
    return from_branches(first, floor, known, patches, corners)


def _branches(
    kind: Panel, frequency: float, at: Points, ahead: Bools, beside: Bools
) -> tuple[tuple[Floats, Floats], tuple[Floats, Floats]]:
    """Return E² and H² of the conservative model with the phasor sum and with the floor beside.

    ``ahead`` and ``beside`` mark points at which the larger of quick and exact sum is to be taken.
    """
    model = pn.model_of(kind, frequency)
    phi = np.degrees(np.arctan2(np.abs(at[:, 1]), at[:, 0]))
    past = 0.5 * np.maximum(np.abs(at[:, 2]) - kind.length / 2.0, 0.0)
    turn = np.degrees(np.arctan2(np.hypot(at[:, 1], past), at[:, 0]))
    weight, fade = ramp(turn, *_RAMP), 1.0 - ramp(turn, pn.SIDE_FULL, 90.0)
    front: list[Floats] = [np.zeros(len(at)), np.zeros(len(at))]
    shown = (phi < 90.0) & (turn < 90.0)
    if shown.any():
        front[0][shown], front[1][shown] = pn.column_sums(model.front, at[shown], quick=True)
    seam = shown & ahead
    if seam.any():
        sums = (
            pn.column_sums(model.front, at[seam], quick=False),
            _quick_columns(kind, frequency, at[seam]),
        )
        for f, exact, quick in zip(front, *sums, strict=True):
            f[seam] = np.maximum(f[seam], np.maximum(exact, quick))
    shape = model.shape(np.minimum(phi, pn.SIDE_FULL)) * from_db(pn.FRONT_COVER_DB)
    side: list[Floats] = [np.zeros(len(at)), np.zeros(len(at))]
    floor = np.zeros(len(at))
    wide = weight > 0.0
    if wide.any():
        side[0][wide], side[1][wide] = el.phasor_sum(model.side, at[wide], common_direction=True)
        floor[wide] = el.power_sum(model.side, at[wide], keep_azimuth=True)
    seam = wide & beside
    if seam.any():
        for s, exact, quick in zip(side, *elb.both_sums(model.side, at[seam]), strict=True):
            s[seam] = np.maximum(s[seam], np.maximum(exact, quick))
    lower = model.turned(phi, turn) * from_db(pn.SIDE_COVER_DB)
    first, second = [], []
    for f, s, least in zip(front, side, plane_wave(floor), strict=True):
        a = f * shape
        first.append((1.0 - weight) * a + weight * np.maximum(a * fade, s * lower))
        second.append((1.0 - weight) * a + weight * least * lower)
    return (first[0], first[1]), (second[0], second[1])


def _quick_columns(kind: Panel, frequency: float, at: Points) -> tuple[Floats, Floats]:
    """Return E² and H² of the quick sum whatever the distance (core.antennas.panel.column_sums)."""
    columns = pn.model_of(kind, frequency).front
    first = columns[0]
    unit = at / np.sqrt(np.einsum("ij,ij->i", at, at))[:, None]
    factor, _ = array_factor(first.centre, first.current, first.k, at)
    element = np.zeros(len(at))
    for column in columns:
        scale = abs(column.current[0] / first.current[0]) ** 2
        moment, cos_t = one_arm.element_moment(
            unit, column.axis[0], float(column.half_length[0]), first.k
        )
        element += scale * moment**2 * (1.0 - cos_t**2)
    e2: Floats = np.abs(factor) ** 2 * element * (ETA0 / (2.0 * np.pi)) ** 2
    return e2, e2 / ETA0**2
