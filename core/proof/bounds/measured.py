"""Bound of an antenna known by a pattern: parts of a line, each with a field F over its distance.

As an amplitude the field is c(R) times the norm of v_i = max(F_i, √K_i)/r_i over the parts (or over stretches of
them: the largest of such norms), R being the distance from the middle. How far a norm lies above its chord
follows from what each of the amplitudes does.

F is linear in the tangent κ = C/r of a cone's half-angle between two tables, each bilinear in elevation θ and azimuth
φ. On a segment of half-length a a function whose slope falls by no more than w (from any place to any later one)
lies at most w a/2 above its chord; one with a second derivative of at least -b at most b a²/2; one with a slope in a
range of width w has a fall of at most w. The slope of F/r is taken apart:

* F_θ θ'/r = F_θ g with g = θ'/r. If θ goes one way along the segment, with g₀ from its middle: F_θ g₀ falls by the
  fall of F_θ times |g|, and F_θ (g - g₀) by 2 a |F_θ| |g'|. If it turns, g is 0 there, and F_θ g falls by
  4 a |F_θ| |g'|. The same for φ, and for κ with g = κ'/r;
* F (1/r)' = F₀ (1/r)' + (F - F₀)(1/r)': (1/r)'' ≥ -1/r³, and the rest falls by 2 a |F'|/r².

|θ'| ≤ 1/D, |θ''| ≤ 2/(D D⊥), |φ'| ≤ 1/D⊥, |φ''| ≤ 1/D⊥² with the distance D from the part and D⊥ from its vertical
axis; r is the distance to a convex set: |r'| ≤ 1, r'' ≤ 1/r, so |κ'| ≤ κ/r and |(κ'/r)'| ≤ 4 C/r⁴. What comes from
falls counts as a jump. √K/r is a constant over r^1.5, falling and convex.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from core.antennas import measured as ms
from core.antennas.measured import Measured
from core.arrays import Floats
from core.fields.aperture import NEAREST_WAVELENGTHS, Line, apart, shortened, stretches
from core.fields.unit_field import ramp
from core.patterns.caps import LEVELS, FieldTable, field_tables
from core.proof.bounds.angles import spread
from core.proof.bounds.base import (
    ENDLESS,
    Bound,
    Patches,
    bound,
    reactive_code,
)
from core.proof.bounds.field_boxes import Box, Range, Values, blank, largest_over, values_over
from core.proof.bounds.jet import Jet, larger
from core.units import ETA0, from_db, wavelength

_ENTRIES = 20_000


@bound.register
def bound_of_measured(
    kind: Measured, frequency: float, patches: Patches, *, conservative: bool
) -> Bound:
    lam = wavelength(frequency)
    line = kind.line(frequency, conservative=conservative)
    tables = field_tables(
        kind.pattern(conservative_build=conservative), upright=kind.runs == "upright"
    )
    rows = max(1, _ENTRIES // len(line.places))
    found = [
        _spread(line, tables, patches.part(slice(i, i + rows)), NEAREST_WAVELENGTHS * lam)
        for i in range(0, len(patches), rows)
    ]
    jet = Jet(*(np.concatenate([getattr(j, n) for j in found]) for n in Jet.__slots__))
    gap = np.maximum(kind.gap(patches.centre), 0.0)
    if conservative:
        least = _past_ends if kind.runs == "upright" else _end_fire
        jet = larger(jet * _cover(kind, lam, patches), least(kind, lam, patches))
    jet = jet.scaled(np.sqrt(ETA0 / (4.0 * np.pi)))
    zero = np.zeros(len(patches))
    return Bound(
        e=jet.m0,
        h=jet.m0 / ETA0,
        e_curve=jet.m2,
        h_curve=jet.m2 / ETA0,
        e_jump=np.asarray(jet.jump),
        h_jump=np.asarray(jet.jump) / ETA0,
        e_floor=zero,
        h_floor=zero,
        gap=gap,
        reactive=reactive_code(gap, patches.radius, kind.trust(frequency)),
    )


def _spread(line: Line, tables: tuple[FieldTable, ...], patches: Patches, least: float) -> Jet:
    """Return the jet of the norm of the parts' amplitudes."""
    nd, rho, half = patches.dimension, patches.radius[:, None], patches.half[:, None]
    x, y, z = apart(line, patches.centre)
    away = np.sqrt(x * x + y * y + z * z)
    shape = away.shape
    across = np.hypot(x, y)
    r = np.sqrt(shortened(line, x, y, z))
    near, far = np.maximum(r - rho, least), np.maximum(r + rho, least)
    off, axis = np.maximum(away - rho, 1e-9), np.maximum(across - rho, 1e-9)
    turn, up = np.degrees(np.arctan2(-y, x)), np.degrees(np.arctan2(z, across))
    wide, tall = (
        spread(across, np.broadcast_to(rho, across.shape)),
        spread(away, rho * np.ones(shape)),
    )
    box = Box(
        *(
            np.broadcast_to(v, shape).ravel()
            for v in (
                turn - wide,
                turn + wide,
                np.maximum(up - tall, -90.0),
                np.minimum(up + tall, 90.0),
            )
        )
    )
    cone = line.cone
    seen = _seen(tables, box, cone / far.ravel(), cone / near.ravel())
    field, upward, round_, opening = (
        Range(*(getattr(v, n).reshape(shape) for n in Range.__slots__))
        for v in (seen.field, seen.upward, seen.across, seen.opening)
    )
    h, low = 1.0 / near, np.minimum(off, axis)
    kappa = cone * h
    slope = upward.size / off + round_.size / axis + opening.size * kappa * h
    curve = nd * (
        field.high * h**3
        + 2.0 * h**2 * slope
        + 4.0 * upward.size * (2.0 * h / (off * low) + h**2 / off)
        + 4.0 * round_.size * (h / axis**2 + h**2 / axis)
        + 16.0 * opening.size * cone * h**4
    )
    jump = 0.5 * half * nd * h * (
        upward.fall / off + round_.fall / axis + opening.fall * kappa * h
    )  # fmt: skip
    lost = np.where(seen.small.reshape(shape), 0.0, ENDLESS)
    jet = Jet(field.high * h, h * slope + field.high * h**2 + lost, curve + lost, jump)
    under = field.low / far
    if line.floor > 0.0:
        top = np.sqrt(line.floor * cone)
        floor = Jet(top * h**1.5, 1.5 * top * h**2.5, nd * 1.5 * top * h**3.5, np.zeros(shape))
        jet, under = larger(jet, floor), np.maximum(under, top / far**1.5)
    return _norm(line, jet, under)


def _norm(line: Line, parts: Jet, under: Floats) -> Jet:
    """Return the jet of the largest norm over stretches from parts (n, p) that are nowhere less than ``under``.

    With w = v/|v| at a place, |v| = Σ w_i v_i is no more above its chord than Σ w_i times what each v_i is, and
    w_i is at most sup v_i over the least norm.
    """
    least = np.sqrt(np.mean(under**2, axis=1))
    least = np.maximum(least, 1e-12 * np.sqrt(np.mean(parts.m0**2, axis=1)))
    lifts = [
        np.minimum(np.sqrt(stretches(line, v**2)), stretches(line, parts.m0 * v) / least)
        for v in (parts.m2, np.asarray(parts.jump))
    ]
    tops = [np.sqrt(stretches(line, v**2)) for v in (parts.m0, parts.m1)]
    return Jet(*tops, *lifts)


class _Seen:
    """Ranges (n,) of F, of its slopes per rad and of its slope in the tangent of the cone; see :class:`Values`."""

    __slots__ = ("across", "field", "opening", "small", "upward")

    def __init__(self, one: Values, opening: Range) -> None:
        self.field, self.upward, self.across = one.field, one.upward, one.across
        self.small, self.opening = one.small, opening


def _seen(tables: tuple[FieldTable, ...], box: Box, low: Floats, high: Floats) -> _Seen:
    """Return what F does over boxes and over cones whose tangents lie between low and high."""
    n = len(low)
    if not high.any():
        seen = _Seen(values_over(tables[0], box), blank(n))
        _widen(seen, tables, box, np.zeros(n, np.intp), np.zeros(n, np.intp))
        return seen
    last = len(LEVELS) - 2
    first, end = (
        np.clip(np.searchsorted(LEVELS, v, side="right") - 1, 0, last) for v in (low, high)
    )
    seen = _Seen(Values(blank(n), blank(n), blank(n), end - first <= 1), blank(n))
    for step in (0, 1):
        for k in range(last + 1):
            rows = np.flatnonzero((first + step == k) & (end >= k) & seen.small)
            if rows.size:
                _between(seen, tables[k], tables[k + 1], k, box, rows, low, high, later=step == 1)
    # Past the last table the field stays as it is.
    held, o = high > LEVELS[-1], seen.opening
    o.fall[held] = np.maximum(o.fall, o.high)[held]
    o.low[held] = np.minimum(o.low, 0.0)[held]
    _widen(seen, tables, box, first, end + 1)
    return seen


def _between(
    seen: _Seen,
    inner: FieldTable,
    outer: FieldTable,
    k: int,
    box: Box,
    rows: NDArray[np.intp],
    low: Floats,
    high: Floats,
    *,
    later: bool,
) -> None:
    """Put in what F does between two tables, after what it does below them (``later``)."""
    part = box.part(rows)
    one, two = values_over(inner, part), values_over(outer, part)
    gap = LEVELS[k + 1] - LEVELS[k]
    shares = [np.clip((v[rows] - LEVELS[k]) / gap, 0.0, 1.0) for v in (low, high)]
    opened = Range(
        (two.field.low - one.field.high) / gap,
        (two.field.high - one.field.low) / gap,
        (two.field.fall + one.field.fall) / gap,
    )
    found = [
        _mixed(getattr(one, n), getattr(two, n), shares) for n in ("field", "upward", "across")
    ]
    for i, (mine, new) in enumerate(
        zip((seen.field, seen.upward, seen.across, seen.opening), (*found, opened), strict=True)
    ):
        if later:
            old = mine.part(rows)
            fall = old.fall + new.fall
            if i == 3:
                fall = np.maximum(np.maximum(old.fall, new.fall), old.high - new.low)
            new = Range(np.minimum(old.low, new.low), np.maximum(old.high, new.high), fall)
        mine.put(rows, new)
    seen.small[rows] &= one.small & two.small


def _widen(
    seen: _Seen,
    tables: tuple[FieldTable, ...],
    box: Box,
    first: NDArray[np.intp],
    last: NDArray[np.intp],
) -> None:
    """Set the largest field of boxes that are too large for slopes."""
    big = np.flatnonzero(~seen.small)
    if big.size == 0:
        return
    most = np.zeros(big.size)
    for k in range(int(first[big].min()), int(last[big].max()) + 1):
        mine = np.flatnonzero((first[big] <= k) & (last[big] >= k))
        if mine.size:
            most[mine] = np.maximum(most[mine], largest_over(tables[k], box.part(big[mine])))
    seen.field.high[big] = most
    for one in (seen.upward, seen.across, seen.opening):
        one.low[big] = one.high[big] = one.fall[big] = 0.0


def _mixed(one: Range, two: Range, shares: list[Floats]) -> Range:
    """Return the range of (1 - t) one + t two for t between two shares, where it is extreme.

    What it falls by is the mixed falls and what the change of t makes of the difference of both.
    """
    lows = [one.low + t * (two.low - one.low) for t in shares]
    highs = [one.high + t * (two.high - one.high) for t in shares]
    falls = [one.fall + t * (two.fall - one.fall) for t in shares]
    apart = np.maximum(one.high - two.low, two.high - one.low)
    fall = np.maximum(*falls) + (shares[1] - shares[0]) * apart
    return Range(np.minimum(*lows), np.maximum(*highs), fall)


def _cover(kind: Measured, lam: float, patches: Patches) -> Jet:
    """Return the jet of the factor that stands for the added decibels, which go with ln R."""
    near, far = _middle(patches, lam)
    nearness = kind.nearness(near, lam)
    moving = (nearness > 0.0) & (kind.nearness(far, lam) < 1.0)
    span = float(np.log(ms.FORMED[1] / ms.FORMED[0]))
    scale = np.log(10.0) / 20.0 * max(kind.cover - kind.allowance, 0.0)
    factor = np.exp(np.log(10.0) / 20.0 * kind.added_db(nearness))
    # A ramp's slope is at most 3/2 and its second derivative 6; |(ln R)'|² and |(ln R)''| are at most 1/R².
    first = scale * 1.5 / span / near * moving
    second = scale * (6.0 / span**2 + patches.dimension * 1.5 / span) / near**2 * moving
    return Jet(factor, factor * first, factor * (first**2 + second))


def _past_ends(kind: Measured, lam: float, patches: Patches) -> Jet:
    """Return the jet of the least field above and below an upright antenna.

    The sine s of the steepness changes by |s'| ≤ cos/d and |s''| ≤ (2 + 2 cos)/d² (core.proof.bounds.yagi has that of
    the angle), √w of a ramp w by at most √3 and, downward, 3; 1/(d(d + L)) is falling and convex.
    """
    nd, rho = patches.dimension, patches.radius
    beyond, apart = kind.past(patches.centre)
    away = np.hypot(beyond, apart)
    d = np.maximum(away - rho, 0.05 * lam)
    wide = spread(away, rho)
    middle = np.degrees(np.arctan2(beyond, apart + 1e-12))
    low, high = ms.PAST_STEEP
    ends = [np.sin(np.radians(np.clip(middle + s * wide, 0.0, 90.0))) for s in (-1.0, 1.0)]
    moving = (ends[0] < high) & (ends[1] > low)
    flat = np.sqrt(1.0 - low**2)
    first, second = flat / d, nd * (2.0 + 2.0 * flat) / d**2
    span = high - low
    weight = Jet(
        np.sqrt(ramp(ends[1], low, high)),
        np.sqrt(3.0) / span * first * moving,
        (3.0 / span**2 * first**2 + np.sqrt(3.0) / span * second) * moving,
    )
    both = d * (d + kind.length)
    slope = (2.0 * d + kind.length) / both**2
    top = ms.PAST_ENDS * min(lam / kind.length, 1.0) * from_db(max(kind.cover, kind.allowance))
    return (Jet(1.0 / both, slope, nd * slope / d) * weight).scaled(kind.length * np.sqrt(top))


def _end_fire(kind: Measured, lam: float, patches: Patches) -> Jet:
    """Return the jet of the least field close to an antenna that radiates along its line.

    √w of a ramp w has a derivative of at most √3 and, downward, 3.
    """
    nd = patches.dimension
    near, far = _middle(patches, lam)
    nearness = kind.nearness(near, lam)
    moving = (nearness > 0.0) & (kind.nearness(far, lam) < 1.0)
    span = float(np.log(ms.FORMED[1] / ms.FORMED[0]))
    first = np.sqrt(3.0) / span / near * moving
    second = (3.0 / span**2 + nd * np.sqrt(3.0) / span) / near**2 * moving
    d = np.maximum(kind.gap(patches.centre) - patches.radius, 0.05 * lam)
    fall = Jet(1.0 / d, 1.0 / d**2, nd / d**3)
    return (fall * Jet(np.sqrt(nearness), first, second)).scaled(np.sqrt(ms.END_FIRE_LEAST))


def _middle(patches: Patches, lam: float) -> tuple[Floats, Floats]:
    away = np.sqrt(np.einsum("ni,ni->n", patches.centre, patches.centre))
    return np.maximum(away - patches.radius, 1e-3 * lam), away + patches.radius
