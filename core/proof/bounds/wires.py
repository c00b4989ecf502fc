"""Bounds for wires close by: exact fields of sinusoidal currents, in two forms of which the better counts.

Closed form. With r_i the distances to the ends (and the middle) of a wire, ρ that to its axis, w = e^{-jkr},

    E = η I/(4π) [ û Σ a_i w_i/r_i + (ρ̂/ρ) Σ a_i cosθ_i w_i (+ s w₀) ],   H = I/(4π) (φ̂/ρ) Σ b_i w_i ...

with coefficients of at most 1, 2|cos kh| or |cos kl|, |sin kl| (core.fields.arms and half_arms). Every factor
has simple bounds along a direction: 1/r: 1/r, 1/r², 2/r³; 1/ρ likewise; cosθ: 1, 1/r, (2/√3)/r²; ρ̂ and φ̂: 1,
1/ρ, 2/ρ². Good beside a long wire, bad on its axis.

Line form. The same field as an integral of Hertzian dipoles over the wires (core.proof.bounds.arms): good from
the distance of the wire's length on, and on the axis. It needs the wires of one feed point together,
because a half wire alone has no charge at its feed end.

The part that the base adds is a function of the distance d to the wire and x to the feed,
V/(d ln(2d/a)) · h²/(h² + x²) and I/(2πd) · h/√(h² + x²). With d, x convex, d'' ≤ 1/d and
φ = 1/(d ln(2d/a)) falling and convex, φ'' ≥ -|φ'|/d; the fades' second derivatives are at least
-4f/(h² + x²) and -2f/(h² + x²), their first at most 2f/√(h² + x²) and f/√(h² + x²).
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from core.arrays import Floats
from core.fields.mast_base import Drive
from core.proof.bounds.arms import electric_kernel, magnetic_kernel
from core.proof.bounds.base import Patches
from core.proof.bounds.jet import Jet, wave
from core.proof.bounds.sight import Sight, sight
from core.units import ETA0


@dataclass(frozen=True, slots=True)
class Wires:
    """Straight wires (w,) with sinusoidal currents.

    ``start`` (w, 3) is the feed end and ``axis`` the direction of a half wire of ``length``; of a whole
    wire (``whole``) it is the middle, and ``length`` the half-length. ``loop`` is |current| at the loop, A.
    """

    start: Floats
    axis: Floats
    length: Floats
    loop: Floats
    radius: float
    k: float
    whole: bool

    def part(self, rows: slice) -> Wires:
        """Return some of the wires."""
        return Wires(
            self.start[rows], self.axis[rows], self.length[rows], self.loop[rows],
            self.radius, self.k, self.whole,
        )  # fmt: skip

    def gaps(self, points: Floats) -> Floats:
        """Return the distances (n, w) from points to the wires."""
        offset = points[:, None, :] - self.start
        along = np.einsum("nwi,wi->nw", offset, self.axis)
        low = -self.length if self.whole else 0.0 * self.length
        past = along - np.clip(along, low, self.length)
        across2 = np.einsum("nwi,nwi->nw", offset, offset) - along**2
        gap: Floats = np.sqrt(np.maximum(across2, 0.0) + past**2)
        return gap


_ROUNDED = 4e-16
"""What rounding can move a sum by, as a part of its terms, for each radian of their phases."""


@dataclass(frozen=True, slots=True)
class Phase:
    """Which common phase is taken out of jets that are to be added: that of a place (3,), or none."""

    reference: Floats
    taken_out: bool


@dataclass(frozen=True, slots=True)
class Field:
    """Jets of E and H on patches (n,)."""

    e: Jet
    h: Jet


def total(wires: Wires, patches: Patches, phase: Phase | None = None) -> Field:
    """Return the jets of the summed field of wires that share a feed, or of whole wires.

    Jets that are to be added to others need the same ``phase``; without it each has its own.

    Parameters
    ----------
    patches : Patches
        The patches, in the antenna's frame.
    """
    closed, line = _closed(wires, patches, phase), _line(wires, patches, phase)
    both = (closed.e.total(), line.e), (closed.h.total(), line.h)
    jumps = _jumps(wires, patches, both[0][0].m0, both[1][0].m0)
    e, h = (replace(better(*forms), jump=j) for forms, j in zip(both, jumps, strict=True))
    return Field(e, h)


def magnetic(wires: Wires, patches: Patches, phase: Phase | None = None) -> Jet:
    """Return the jet of H of some wires, which may be a part of those of one feed.

    Parameters
    ----------
    patches : Patches
        The patches, in the antenna's frame.
    phase : Phase or None
        The phase that is taken out.
    """
    closed = _closed(wires, patches, phase).h.total()
    jump = _jumps(wires, patches, closed.m0, closed.m0)[1]
    return replace(better(closed, _line(wires, patches, phase).h), jump=jump)


def better(one: Jet, other: Jet) -> Jet:
    """Return the jet with the smaller second derivative, of two of the same amplitude.

    Parameters
    ----------
    one : Jet
        The one.
    other : Jet
        The other.
    """
    take = one.m2 <= other.m2
    return Jet(
        np.minimum(one.m0, other.m0),
        np.where(take, one.m1, other.m1),
        np.where(take, one.m2, other.m2),
        np.where(take, one.jump, other.jump),
    )


def _jumps(wires: Wires, patches: Patches, e: Floats, h: Floats) -> tuple[Floats, Floats]:
    """Return what is to be added to slacks of E and H (n,) for rounding and close to an axis.

    The closed form's terms add up to at most ``e`` and ``h`` (n,); far from a short wire they all but cancel,
    and their phases are rounded in proportion to the way. Points within a wire's radius of its axis are
    evaluated at the radius, on one side of it: that moves the wire's own field by at most twice the radius times
    m1, in any direction and with its whole phase, once at the place and once at a corner.
    """
    offset = patches.centre - wires.start.mean(axis=0)
    away = np.sqrt(np.einsum("ni,ni->n", offset, offset)) + patches.radius
    grain = _ROUNDED * (1.0 + wires.k * away)
    e_jump, h_jump = grain * e, grain * h
    gaps = _axis_gaps(wires, patches.centre) - patches.radius[:, None]
    rows = np.flatnonzero(gaps.min(axis=1) < wires.radius)
    if rows.size:
        part = patches.part(rows)
        every = np.tile(np.eye(3), (len(rows), 1, 1))
        ball = Patches(part.centre, every, part.half, part.radius + 2.0 * wires.radius)
        whole = Phase(wires.start.mean(axis=0), taken_out=False)
        closed, line = _closed(wires, ball, whole), _line(wires, ball, whole)
        e_jump[rows] += 4.0 * wires.radius * np.minimum(closed.e.total().m1, line.e.m1)
        h_jump[rows] += 4.0 * wires.radius * np.minimum(closed.h.total().m1, line.h.m1)
    return e_jump, h_jump


def _axis_gaps(wires: Wires, points: Floats) -> Floats:
    offset = points[:, None, :] - wires.start
    along = np.einsum("nwi,wi->nw", offset, wires.axis)
    across2 = np.einsum("nwi,nwi->nw", offset, offset) - along**2
    gap: Floats = np.sqrt(np.maximum(across2, 0.0))
    return gap


def _sight(
    wires: Wires, places: Floats, size: Floats, near: Floats, patches: Patches, phase: Phase | None
) -> Sight:
    reference = wires.start.mean(axis=0) if phase is None else phase.reference
    taken_out = None if phase is None else phase.taken_out
    return sight(patches, places, reference, size, near, wires.k, taken_out=taken_out)


def _closed(wires: Wires, patches: Patches, common: Phase | None) -> Field:
    """Return the jets (n, w) of each wire from its closed form."""
    nd, rho = patches.dimension, patches.radius[:, None]
    count = len(wires.length)
    tip = wires.length[:, None] * wires.axis
    ends = [wires.start + tip, wires.start]
    c, s = np.abs(np.cos(wires.k * wires.length)), np.abs(np.sin(wires.k * wires.length))
    weights = [np.ones(count), c]
    if wires.whole:
        ends, weights = [wires.start + tip, wires.start - tip, wires.start], [
            np.ones(count), np.ones(count), 2.0 * c
        ]  # fmt: skip
    places = np.concatenate(ends)
    weight = np.concatenate(weights)
    offset = patches.centre[:, None, :] - places
    near = np.maximum(np.sqrt(np.einsum("npi,npi->np", offset, offset)) - rho, 1e-9)
    axis = np.maximum(_axis_gaps(wires, patches.centre) - rho, 1e-9)
    seen = _sight(wires, places, np.zeros(len(places)), near, patches, common)
    phase = wave(wires.k * seen.rate, wires.k * seen.bend)
    fall = Jet(1.0 / near, 1.0 / near**2, nd * 2.0 / near**3)
    cosine = Jet(np.ones_like(near), 1.0 / near, nd * 2.0 / np.sqrt(3.0) / near**2)
    outward = Jet(1.0 / axis, 1.0 / axis**2, nd * 2.0 / axis**3) * Jet(
        np.ones_like(axis), 1.0 / axis, nd * 2.0 / axis**2
    )

    def gathered(jet: Jet, factor: Floats) -> Jet:
        """Sum over the points of each wire."""
        return Jet(
            *(
                (m * factor).reshape(len(patches), -1, count).sum(axis=1)
                for m in (jet.m0, jet.m1, jet.m2)
            )
        )

    along = gathered(fall * phase, weight)
    e_rho, waves = gathered(cosine * phase, weight), gathered(phase, weight)
    if not wires.whole:
        at_feed = np.concatenate([np.zeros(count), s])
        e_rho = e_rho + gathered(phase, at_feed)
        waves = waves + gathered(cosine * phase, at_feed)
    q = wires.loop / (4.0 * np.pi)
    e = (along + outward * e_rho).scaled(ETA0 * q)
    return Field(e, (outward * waves).scaled(q))


def _line(wires: Wires, patches: Patches, common: Phase | None) -> Field:
    """Return the jets (n,) of all wires together from the integral of Hertzian dipoles."""
    k, nd = wires.k, patches.dimension
    near = np.maximum(wires.gaps(patches.centre) - patches.radius[:, None], 1e-4 / k)
    middle = wires.start if wires.whole else wires.start + 0.5 * wires.length[:, None] * wires.axis
    size = wires.length if wires.whole else 0.5 * wires.length
    seen = _sight(wires, middle, size, near, patches, common)
    phase = wave(k * seen.rate, k * seen.bend)
    kl = k * wires.length
    mu = (2.0 * np.floor(kl / np.pi) + 1.0 - np.cos(np.mod(kl, np.pi))) / k
    moment = wires.loop * mu * (2.0 if wires.whole else 1.0)
    x = 1.0 / (k * near)
    return Field(
        (electric_kernel(near, x, nd) * phase).scaled(moment * k * ETA0 / (4.0 * np.pi)).total(),
        (magnetic_kernel(near, x, nd) * phase).scaled(moment * k / (4.0 * np.pi)).total(),
    )


def base_jets(drive: Drive, d: Floats, x: Floats, nd: int) -> tuple[Jet, Jet]:
    """Return the jets of √E² and √H² that the base adds, from the least distances d and x (n,).

    Parameters
    ----------
    drive : Drive
        The current on the mast.
    nd : int
        Directions along which the patch extends.
    """
    d = np.maximum(d, drive.radius)
    log = np.log(2.0 * d / drive.radius)
    phi = 1.0 / (d * log)
    slope = phi / d * (1.0 + 1.0 / log)
    reach2 = drive.height**2 + x * x
    fade = drive.height**2 / reach2
    root = np.sqrt(fade)
    e = Jet(phi, slope, nd * slope / d) * Jet(
        fade, 2.0 * fade / np.sqrt(reach2), nd * 4.0 * fade / reach2
    )
    h = Jet(1.0 / d, 1.0 / d**2, nd / d**3) * Jet(
        root, root / np.sqrt(reach2), nd * 2.0 * root / reach2
    )
    return e.scaled(drive.volts), h.scaled(drive.amps / (2.0 * np.pi))


def base_top(
    drive: Drive, d: tuple[Floats, Floats], x: tuple[Floats, Floats]
) -> tuple[Floats, Floats]:
    """Return the largest E² and H² of the sharpened (not conservative) base over ranges of d and x.

    Parameters
    ----------
    drive : Drive
        The current on the mast.
    """
    low, high = (np.maximum(v, drive.radius) for v in d)
    fade_high, fade_low = (drive.height**2 / (drive.height**2 + v * v) for v in x)
    kh = drive.k * drive.height
    charge = ETA0 / (2.0 * np.pi) * abs(drive.loop) * np.cos(kh)
    own = abs(drive.loop) * np.sin(kh) / (2.0 * np.pi)
    e2 = (drive.volts / (low * np.log(2.0 * low / drive.radius)) * fade_high) ** 2
    e2 = np.maximum(e2 - (charge / high * fade_low) ** 2, 0.0)
    if kh <= 0.5 * np.pi:
        return e2, np.zeros_like(e2)
    h2 = (drive.amps / (2.0 * np.pi * low)) ** 2 * fade_high
    return e2, np.maximum(h2 - (own / high) ** 2 * fade_low, 0.0)


def folded(patches: Patches) -> Patches:
    """Return patches mirrored to above z = 0: no point of a folded ball leaves the ball about its centre."""
    below = patches.centre[:, 2] < 0.0
    mirror = np.where(below[:, None], [1.0, 1.0, -1.0], 1.0)
    return Patches(
        patches.centre * mirror,
        patches.directions * mirror[:, None, :],
        patches.half,
        patches.radius,
    )
