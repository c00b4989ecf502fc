"""Half arms: straight wires fed at one end, alone or with their reflection in real ground.

Bent dipoles, whips and ground planes are made of half arms whose currents meet in one feed point. The
field of one half arm with current I sin k(l - s) is exact as for a whole dipole (Jordan and Balmain
ch. 10, from memory); the charge its feed end would carry alone is left out, because the arms of one feed
point cancel it. Checked against quadrature of the vector and scalar potentials.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from core.arrays import Complexes, Floats, Points, cross, frozen
from core.fields.ground import fresnel
from core.geometry import segment_distance
from core.units import ETA0

_QUADRATURE = 64
_MIRROR = np.array([1.0, 1.0, -1.0])


@dataclass(frozen=True, eq=False)
class HalfArms:
    """Half arms at one frequency, in the antenna frame.

    Attributes
    ----------
    feed, axis : array, shape (n, 3)
        Feed ends in m and unit vectors from there along the wires.
    length : array, shape (n,)
        m.
    loop : complex array, shape (n,)
        Current at the loop, A, positive away from the feed end.
    radius : float
        Wire radius, m.
    k : float
        Wave number, rad/m.
    """

    feed: Floats
    axis: Floats
    length: Floats
    loop: NDArray[np.complex128]
    radius: float
    k: float

    @property
    def segments(self) -> Floats:
        """Ends (n, 2, 3) of the wires."""
        return np.stack([self.feed, self.feed + self.length[:, None] * self.axis], axis=1)

    def scaled(self, factor: float) -> HalfArms:
        """Return the same arms with all currents multiplied."""
        return HalfArms(
            self.feed, self.axis, self.length, self.loop * factor, self.radius, self.k
        )  # fmt: skip

    def part(self, which: slice) -> HalfArms:
        """Return some of the arms."""
        return HalfArms(
            self.feed[which], self.axis[which], self.length[which], self.loop[which], self.radius, self.k
        )  # fmt: skip

    def mirrored(self) -> HalfArms:
        """Return the images in a perfectly conducting plane z = 0."""
        return HalfArms(
            self.feed * _MIRROR, self.axis * _MIRROR, self.length, -self.loop, self.radius, self.k
        )


def make_half_arms(
    feed: ArrayLike, axis: ArrayLike, length: ArrayLike, loop: ArrayLike, radius: float, k: float
) -> HalfArms:
    """Return half arms from array-likes; feed, length and loop current broadcast against the axes.

    Parameters
    ----------
    axis : array_like
        Unit vector along the arm.
    radius : float
        m.
    k : float
        Wave number, rad/m.
    """
    u = np.atleast_2d(np.asarray(axis, dtype=np.float64))
    current = np.broadcast_to(np.asarray(loop, dtype=np.complex128), (len(u),)).copy()
    current.setflags(write=False)
    return HalfArms(
        frozen(np.broadcast_to(np.asarray(feed, dtype=np.float64), u.shape)),
        frozen(u / np.linalg.norm(u, axis=1, keepdims=True)),
        frozen(np.broadcast_to(np.asarray(length, dtype=np.float64), (len(u),))),
        current,
        radius,
        k,
    )


def metal_distance(arms: HalfArms, points: Points) -> Floats:
    """Return the distance (n,) in m from points (n, 3) to the nearest wire.

    Parameters
    ----------
    arms : HalfArms
        The arms.
    """
    nearest: Floats = np.full(len(points), np.inf)
    for start, end in arms.segments:
        np.minimum(nearest, segment_distance(points, start, end), out=nearest)
    return nearest


def half_arm(
    offset: Points, u: Floats, length: float, loop: complex, radius: float, k: float
) -> tuple[Complexes, Complexes]:
    """Return E and H (n, 3) of one half arm at offsets (n, 3) in m from its feed end.

    Distances are held above the wire's radius, so that the field on the metal is finite.

    Parameters
    ----------
    u : array
        Unit vector along the arm.
    length : float
        m.
    loop : complex
        Loop current, A.
    k : float
        Wave number, rad/m.
    """
    z = offset @ u
    across = offset - z[:, None] * u
    rho = np.sqrt(np.einsum("ij,ij->i", across, across))
    inside = rho < radius
    if inside.any():
        across[inside] = radius * _perpendicular(u)
        rho = np.where(inside, radius, rho)
    r, r1 = np.hypot(rho, z), np.hypot(rho, z - length)
    w, w1 = np.exp(-1j * k * r), np.exp(-1j * k * r1)
    c, s = np.cos(k * length), np.sin(k * length)
    q = loop / (4.0 * np.pi)
    e_z = -1j * ETA0 * q * (w1 / r1 - c * w / r)
    e_rho = 1j * ETA0 * q / rho * ((z - length) * w1 / r1 - z * c * w / r - 1j * s * w)
    h_phi = 1j * q / rho * (w1 - c * w - 1j * s * (z / r) * w)
    radial = across / rho[:, None]
    return e_rho[:, None] * radial + e_z[:, None] * u, h_phi[:, None] * cross(u, radial)


def _perpendicular(u: Floats) -> Floats:
    other = np.array([1.0, 0.0, 0.0]) if abs(u[0]) < 0.9 else np.array([0.0, 1.0, 0.0])
    side = cross(u, other)
    unit: Floats = side / np.linalg.norm(side)
    return unit


def direct(arms: HalfArms, points: Points) -> tuple[Complexes, Complexes]:
    """Return E and H (n, 3) of the arms in free space at points (n, 3), float64."""
    e, h = np.zeros((2, len(points), 3), np.complex128)
    for p, u, length, loop in zip(arms.feed, arms.axis, arms.length, arms.loop, strict=True):
        ei, hi = half_arm(points - p, u, float(length), complex(loop), arms.radius, arms.k)
        e, h = e + ei, h + hi
    return e, h


def intensity(arms: HalfArms, unit: Floats) -> Floats:
    """Return the radiation intensity (n,) in W/sr of the arms in free space towards directions (n, 3).

    Parameters
    ----------
    unit : array
        Unit vectors of directions.
    """
    total = np.zeros((len(unit), 3), np.complex128)
    for p, u, length, loop in zip(arms.feed, arms.axis, arms.length, arms.loop, strict=True):
        kl = arms.k * length
        c = np.clip(unit @ u, -1.0, 1.0)
        end = np.exp(1j * kl * c) - np.cos(kl) - 1j * c * np.sin(kl)
        moment = end / (arms.k * np.maximum(1.0 - c * c, 1e-12))
        wave = loop * moment * np.exp(1j * arms.k * (unit @ p))
        total += wave[:, None] * (u - c[:, None] * unit)
    scale = arms.k**2 * ETA0 / (16.0 * np.pi**2)
    flat: Floats = scale * square(total)
    return flat


def reflected(
    arms: HalfArms, points: Points, ground: complex | None
) -> tuple[Complexes, Complexes]:
    """Return E and H (n, 3) that the ground z = 0 sends back to points (n, 3) above it.

    The image's field is split into the part that travels, which the Fresnel coefficients reduce at its
    own grazing angle, and the reactive rest of E, which the quasi-static image coefficient
    (ε - 1)/(ε + 1) reduces. ``ground`` is the relative complex permittivity, or None for perfect ground.

    Parameters
    ----------
    arms : HalfArms
        The arms.
    """
    images = arms.mirrored()
    if ground is None:
        return direct(images, points)
    static = (ground - 1.0) / (ground + 1.0)
    e, h = np.zeros((2, len(points), 3), np.complex128)
    for p, u, length, loop in zip(
        images.feed, images.axis, images.length, images.loop, strict=True
    ):
        ei, hi = half_arm(points - p, u, float(length), complex(loop), arms.radius, arms.k)
        ray = points - (p + 0.5 * length * u)
        across = np.hypot(ray[:, 0], ray[:, 1])
        g_h, g_v = fresnel(np.arctan2(ray[:, 2], across), ground)
        # Unit vector across the plane of incidence; straight up any will do, the two then agree.
        side = np.zeros_like(ray)
        safe = np.maximum(across, 1e-9)
        side[:, 0], side[:, 1] = -ray[:, 1] / safe, ray[:, 0] / safe
        unit = ray / np.linalg.norm(ray, axis=1, keepdims=True)
        travelling = cross(ETA0 * hi, unit).astype(np.complex128)
        e += _by_polarisation(travelling, side, -g_h, g_v) + static * (ei - travelling)
        h += _by_polarisation(hi, side, g_v, -g_h)
    return e, h


def _by_polarisation(
    field: Complexes | Floats, side: Floats, across: Complexes, along: Complexes
) -> Complexes:
    """Scale the part of a field along ``side`` by ``across``, the rest by ``along``."""
    part = np.einsum("ij,ij->i", field, side)[:, None] * side
    scaled: Complexes = across[:, None] * part + along[:, None] * (field - part)
    return scaled


def accepted_power(arms: HalfArms, ground: complex | None, *, has_ground: bool) -> float:
    """Return the power (W) the arms take from the transmitter: radiated and lost in the ground.

    The work of the field along the wires, -Re ∫ E·I* ds (induced EMF method, textbook).

    Parameters
    ----------
    has_ground : bool
        There is a ground that takes power.
    """
    nodes, weights = np.polynomial.legendre.leggauss(_QUADRATURE)
    total = 0.0
    for p, u, length, loop in zip(arms.feed, arms.axis, arms.length, arms.loop, strict=True):
        s = 0.5 * (nodes + 1.0) * length
        at = p + s[:, None] * u + arms.radius * _perpendicular(u)
        e, _ = direct(arms, at)
        if has_ground:
            e = e + reflected(arms, at, ground)[0]
        current = loop * np.sin(arms.k * (length - s))
        total -= float(np.real((e @ u) * np.conj(current)) @ weights) * length / 2.0
    return total


def blind_floor(e2: Floats, h2: Floats, parts: list[Complexes]) -> tuple[Floats, Floats]:
    """Return E² and H² raised to the magnetic fields (n, 3) of the parts added blind to phase.

    Only H stands for a part here: E of one half arm alone lacks the charge at its feed end.

    Parameters
    ----------
    e2 : array
        E², V²/m².
    h2 : array
        H², A²/m².
    """
    floor = np.sum([square(h) for h in parts], axis=0)
    return np.maximum(e2, ETA0**2 * floor), np.maximum(h2, floor)


def square(v: Complexes) -> Floats:
    """Return |v|² (n,) of complex vectors (n, 3)."""
    total: Floats = np.sum(v.real**2 + v.imag**2, axis=1)
    return total
