"""Shapes of one bay of a stack, as dipole arms about the bay's centre.

Straight bays are whole dipoles. Bent ones (V dipoles swept back, open rings with stubs, a short helical turn)
are cut into short arms of the same current moment, their current sin k(l - s) from the feed to the end (Balanis,
Antenna Theory, ch. 4, from memory). With the numbers of pieces used here a bay alone is within 0.3 dB of twice as
many at 0.1 wavelength from the metal. Sizes of bent bays are own examples, in the range of what is
built (common practice, no source).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from core.arrays import Floats

STRAIGHT = ("vertical-dipole", "turnstile", "slant-ring", "slant-pair")
BENT = ("crossed-v", "ring-stub", "helix")
UNKNOWN = "circular"
"""A circular bay of which nobody has said what it is made of."""

RING_RADIUS = {"slant-ring": 0.23, "slant-pair": 0.12, "ring-stub": 0.075}
"""Wavelengths, where no radius is given."""


@dataclass(frozen=True)
class Sizes:
    """Sizes of a bay, in wavelengths of its design frequency and degrees."""

    arm_length: float
    ring_radius: float
    ring_dipoles: int
    slant: float
    bend: float
    stub: float
    pitch: float


@dataclass(frozen=True, eq=False)
class Bay:
    """Arms of one bay about its centre: centres (n, 3), axes (n, 3), half-lengths (n,), loop currents (n,).

    ``port`` (n,) says which arms hang on one feed.
    """

    centre: Floats
    axis: Floats
    half_length: Floats
    current: NDArray[np.complex128]
    port: NDArray[np.intp]


def bay_of(shape: str, sizes: Sizes, unit: float, k: float) -> Bay:
    """Return the arms of one bay.

    Parameters
    ----------
    shape : str
        One of ``STRAIGHT`` or ``BENT``.
    sizes : Sizes
        Its sizes.
    unit : float
        Wavelength the sizes refer to, m.
    k : float
        Wave number at which it is fed, rad/m.
    """
    half = sizes.arm_length * unit / 2.0
    if shape == "vertical-dipole":
        return _whole(np.zeros((1, 3)), np.array([[0.0, 0.0, 1.0]]), half, np.ones(1))
    if shape == "turnstile":
        return _whole(np.zeros((2, 3)), np.eye(3)[:2], half, np.array([1.0, 1j]))
    if shape in ("slant-ring", "slant-pair"):
        count = 2 if shape == "slant-pair" else sizes.ring_dipoles
        return _slanted(count, sizes, unit, half)
    if shape == "crossed-v":
        return _crossed_v(sizes, unit, k)
    if shape == "ring-stub":
        return _ring_with_stubs(sizes, unit, k)
    return _helical_turn(sizes, unit, k)


def _whole(centre: Floats, axis: Floats, half: float, current: NDArray[np.inexact]) -> Bay:
    count = len(centre)
    return Bay(centre, axis, np.full(count, half), current.astype(np.complex128), np.arange(count))


def _slanted(count: int, sizes: Sizes, unit: float, half: float) -> Bay:
    angle = np.arange(count) * 2.0 * np.pi / count
    out = np.stack([np.cos(angle), np.sin(angle), 0 * angle], axis=1)
    around = np.stack([-np.sin(angle), np.cos(angle), 0 * angle], axis=1)
    lean = np.radians(sizes.slant)
    axis = np.cos(lean) * np.array([0.0, 0.0, 1.0]) + np.sin(lean) * around
    return _whole(sizes.ring_radius * unit * out, axis, half, np.ones(count))


def _crossed_v(sizes: Sizes, unit: float, k: float) -> Bay:
    """Two dipoles crossed at ±45° in quadrature, their arms swept back from the boresight by ``bend``."""
    bend, leg = np.radians(sizes.bend), sizes.arm_length * unit / 2.0
    back = np.array([-1.0, 0.0, 0.0])
    parts = []
    for side, current in ((1.0, 1.0), (-1.0, 1j)):
        along = np.array([0.0, side, 1.0]) / np.sqrt(2.0)
        feed = np.array([side * 0.02 * unit, 0.0, 0.0])
        ends = [feed + leg * (s * np.cos(bend) * along + np.sin(bend) * back) for s in (-1.0, 1.0)]
        parts.append(_pieces(np.array([ends[0], feed, ends[1]]), 8, current, k))
    return _joined(parts)


def _ring_with_stubs(sizes: Sizes, unit: float, k: float) -> Bay:
    """A level open ring, its ends 15° either side of the boresight turned up and down as stubs."""
    turn = np.radians(np.linspace(15.0, 345.0, 14))
    ring = sizes.ring_radius * unit * np.stack([np.cos(turn), np.sin(turn), np.zeros(14)], axis=1)
    up = np.array([[0.0, 0.0, sizes.stub * unit]])
    return _pieces(np.concatenate([ring[:1] + up, ring, ring[-1:] - up]), 16, 1.0, k)


def _helical_turn(sizes: Sizes, unit: float, k: float) -> Bay:
    """One turn of a helix half a wavelength long, its gap at the boresight."""
    radius = np.sqrt(0.25 - sizes.pitch**2) / (2.0 * np.pi) * unit
    at = 0.015 + 0.97 * np.linspace(0.0, 1.0, 25)
    turn = 2.0 * np.pi * at
    wire = np.stack(
        [radius * np.cos(turn), radius * np.sin(turn), (at - 0.5) * sizes.pitch * unit], axis=1
    )
    return _pieces(wire, 10, 1.0, k)


def _pieces(corners: Floats, count: int, current: complex, k: float) -> Bay:
    """Cut a wire fed in its middle into short arms of the same moments."""
    run = np.concatenate([[0.0], np.cumsum(np.linalg.norm(np.diff(corners, axis=0), axis=1))])
    edges = np.linspace(0.0, run[-1], count + 1)
    at = np.stack([np.interp(edges, run, corners[:, i]) for i in range(3)], axis=1)
    chord = np.diff(at, axis=0)
    length = np.linalg.norm(chord, axis=1)
    half_wire = run[-1] / 2.0
    # The mean of the current over each piece, in closed form either side of the feed.
    along = np.cos(k * (half_wire - np.abs(edges - half_wire)))
    flow = np.abs(np.diff(along)) / (k * np.diff(edges))
    moment = flow * length
    own = 2.0 * (1.0 - np.cos(k * length / 2.0)) / k
    return Bay(
        (at[:-1] + at[1:]) / 2.0, chord / length[:, None], length / 2.0, current * moment / own,
        np.zeros(count, np.intp),
    )  # fmt: skip


def _joined(parts: list[Bay]) -> Bay:
    return Bay(
        np.concatenate([p.centre for p in parts]),
        np.concatenate([p.axis for p in parts]),
        np.concatenate([p.half_length for p in parts]),
        np.concatenate([p.current for p in parts]),
        np.concatenate([np.full(len(p.port), i) for i, p in enumerate(parts)]),
    )
