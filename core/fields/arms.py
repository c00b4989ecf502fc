"""Straight dipole arms with sinusoidal current: exact fields, summed as phasors.

The field of one centre-fed arm of half-length h and current I sin k(h - |s|) is three spherical waves,
from its two ends and its centre (Jordan and Balmain ch. 10; Balanis ch. 8, from memory; checked
here against quadrature of the vector potential). Farther than a few wavelengths the Hertzian
dipole's distance terms with the arm's own pattern give the same field for a third of the work.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import ArrayLike, NDArray

from core.arrays import Bools, Floats, Points, cross, frozen
from core.caches import kept
from core.errors import InputError
from core.fields.array_factor import FAR_ELEVATION, FAR_REACHES, array_factor, direction_factor
from core.fields.far_arms import BLOCK, far_arms, moment
from core.fields.one_arm import element_moment, near_arm
from core.geometry import segment_distance
from core.units import ETA0

NEAR_WAVELENGTHS = 3.0
"""Inside this distance (in wavelengths, from the arm's centre) the three-wave form is used."""

LARGEST_REACH = 45.0
"""Wavelengths from the centre to the farthest metal beyond which an antenna is a unit mix-up."""

_CHUNK = 4096


@dataclass(frozen=True, eq=False)
class Arms:
    """A set of dipole arms at one frequency.

    Attributes
    ----------
    centre, axis : array, shape (n, 3)
        Centres in m and unit vectors along the arms, in the antenna frame.
    half_length : array, shape (n,)
        m.
    current : complex array, shape (n,)
        Current at its loop (A, any common scale; the power integral sets the scale).
    k : float
        Wave number, rad/m.
    """

    centre: Floats
    axis: Floats
    half_length: Floats
    current: NDArray[np.complex128]
    k: float

    @property
    def size(self) -> int:
        """Number of arms."""
        return len(self.half_length)

    @property
    def reach(self) -> float:
        """Largest distance of any metal from the origin, m."""
        return float(np.max(np.linalg.norm(self.centre, axis=1) + self.half_length))

    @property
    def across(self) -> float:
        """Largest distance of any metal from the vertical axis, m."""
        leaning = np.hypot(self.axis[:, 0], self.axis[:, 1]) * self.half_length
        return float(np.max(np.hypot(self.centre[:, 0], self.centre[:, 1]) + leaning))

    @cached_property
    def shapes(self) -> tuple[Floats, Floats, list[list[int]]]:
        """Arms of one direction and length: axes (g, 3), half-lengths (g,) in m, and which arms they are."""
        alike: dict[tuple[float, ...], list[int]] = {}
        for i, (u, h) in enumerate(zip(self.axis.tolist(), self.half_length.tolist(), strict=True)):
            alike.setdefault((*u, h), []).append(i)
        rows = np.array(list(alike))
        return rows[:, :3], rows[:, 3], list(alike.values())

    @property
    def sphere(self) -> tuple[Floats, Floats]:
        """Directions and weights that integrate the far field of these arms; see :func:`sphere`."""
        lam = 2.0 * np.pi / self.k
        return sphere(self.reach / lam, self.across / lam)


def make_arms(
    centre: ArrayLike, axis: ArrayLike, half_length: ArrayLike, current: ArrayLike, k: float
) -> Arms:
    """Return arms from array-likes; axes are normalised, lengths and currents broadcast.

    Parameters
    ----------
    centre : array_like
        Centres, m.
    axis : array_like
        Unit vector along the arm.
    half_length : array_like
        Half-lengths, m.
    k : float
        Wave number, rad/m.
    """
    c = np.atleast_2d(np.asarray(centre, dtype=np.float64))
    u = np.broadcast_to(np.atleast_2d(np.asarray(axis, dtype=np.float64)), c.shape)
    u = u / np.linalg.norm(u, axis=1, keepdims=True)
    h = np.broadcast_to(np.asarray(half_length, dtype=np.float64), (len(c),))
    i = np.broadcast_to(np.asarray(current, dtype=np.complex128), (len(c),)).copy()
    i.setflags(write=False)
    return Arms(frozen(c), frozen(u), frozen(h), i, float(k))


def metal_distance(arms: Arms, points: Points) -> Floats:
    """Return the distance (n,) in m from points (n, 3) to the nearest arm."""
    nearest: Floats = np.full(len(points), np.inf, dtype=points.dtype)
    for c, u, h in zip(arms.centre, arms.axis, arms.half_length, strict=True):
        np.minimum(nearest, segment_distance(points, c - h * u, c + h * u), out=nearest)
    return nearest


@dataclass(slots=True)
class ArmSum:
    """Sums over the arms at n points.

    ``e``, ``h`` are the complex vector sums, shape (n, 3). ``e2_each``, ``h2_each`` are the sums of
    the arms' own squares, blind to phase: the floor that holds when the feed currents are only
    assumed.
    """

    e: NDArray[np.complexfloating]
    h: NDArray[np.complexfloating]
    e2_each: Floats
    h2_each: Floats

    @property
    def e2(self) -> Floats:
        """|E|² of the vector sum."""
        return _square(self.e)

    @property
    def h2(self) -> Floats:
        """|H|² of the vector sum."""
        return _square(self.h)


def _square(v: NDArray[np.complexfloating]) -> Floats:
    flat: Floats = np.sum(v.real**2 + v.imag**2, axis=1)
    return flat


def arm_sum(arms: Arms, points: Points, *, common_direction: bool = False) -> ArmSum:
    """Return the summed fields of the arms at points (n, 3), in the points' precision.

    ``common_direction`` allows the quicker sum well outside the array; in deep lobe flanks it can be
    some decibels off, so it suits only results that a floor holds up there.
    """
    n = len(points)
    ctype = np.complex64 if points.dtype == np.float32 else np.complex128
    out = ArmSum(
        np.zeros((n, 3), ctype),
        np.zeros((n, 3), ctype),
        np.zeros(n, points.dtype),
        np.zeros(n, points.dtype),
    )
    r2 = np.einsum("ij,ij->i", points, points)
    far = np.zeros(n, bool)
    if common_direction:
        far = (r2 > far_from(arms) ** 2) & (points[:, 2] ** 2 < FAR_ELEVATION**2 * r2)
    if far.any():
        far_sum(arms, points[far], far, out)
    close = np.flatnonzero(~far)
    for start in range(0, len(close), _CHUNK):
        part = close[start : start + _CHUNK]
        _sum_chunk(arms, points[part], out, part)
    return out


def far_from(arms: Arms) -> float:
    """Return the distance in m from which the arms are summed with one common direction."""
    return max(FAR_REACHES * arms.reach, NEAR_WAVELENGTHS * 2.0 * np.pi / arms.k)


def far_sum(arms: Arms, points: Points, where: Bools, out: ArmSum) -> None:
    """Sum arms of one direction and length by their array factor, then by vector.

    Parameters
    ----------
    points : array, shape (n, 3)
        Places, m; their precision is kept.
    where : bool array
        Which of the points of ``out`` these are.
    out : ArmSum
        The sums that are added to.
    """
    r = np.sqrt(np.einsum("ij,ij->i", points, points))
    unit = points / r[:, None]
    shapes = np.column_stack([arms.axis, arms.half_length])
    kinds, member = np.unique(np.round(shapes, 12), axis=0, return_inverse=True)
    for index, row in enumerate(kinds):
        mine = member.ravel() == index
        factor, each = array_factor(arms.centre[mine], arms.current[mine], arms.k, points)
        axis, h = row[:3].astype(points.dtype), float(row[3])
        moment, cos_t = element_moment(unit, axis, h, arms.k)
        scale = points.dtype.type(ETA0 / (2.0 * np.pi))
        amplitude = np.multiply(factor, 1j * (moment * scale), dtype=factor.dtype)
        across = cos_t[:, None] * unit - axis
        e = amplitude[:, None] * across
        out.e[where] += e
        out.h[where] += cross(unit, e) / points.dtype.type(ETA0)
        sin2 = np.maximum(1.0 - cos_t * cos_t, 0.0)
        own = each * (moment * points.dtype.type(ETA0 / (2.0 * np.pi))) ** 2 * sin2
        out.e2_each[where] += own
        out.h2_each[where] += own / points.dtype.type(ETA0**2)


def _sum_chunk(arms: Arms, points: Points, out: ArmSum, part: NDArray[np.intp]) -> None:
    """Put the sums at points into their rows: far pairs together, near ones an arm at a time."""
    live = arms.current != 0
    centre, axis, half = arms.centre[live], arms.axis[live], arms.half_length[live]
    current = arms.current[live]
    if not len(half):
        return
    limit = NEAR_WAVELENGTHS * 2.0 * np.pi / arms.k + half
    size = max(1, BLOCK // len(half))
    for start in range(0, len(points), size):
        rows, here = part[start : start + size], points[start : start + size]
        far, near = far_arms(centre, axis, half, current, arms.k, here, limit)
        out.e[rows], out.h[rows] = far.e, far.h
        out.e2_each[rows], out.h2_each[rows] = far.e2_each, far.h2_each
        for a in np.flatnonzero(near.any(axis=1)):
            at = np.flatnonzero(near[a])
            offset = (here[at] - centre[a].astype(here.dtype)).astype(np.float64)
            e, h = near_arm(offset, axis[a], half[a], current[a], arms.k)
            out.e[rows[at]] += e
            out.h[rows[at]] += h
            out.e2_each[rows[at]] += _square(e)
            out.h2_each[rows[at]] += _square(h)


def far_pattern(arms: Arms, unit: Floats) -> NDArray[np.complex128]:
    """Return the far field r·E·exp(jkr) as (n, 3) complex vectors for directions (n, 3), in V.

    Parameters
    ----------
    arms : Arms
        The arms.
    unit : array
        Unit vectors of directions.
    """
    axis, half, members = arms.shapes
    cos_t = np.clip(axis @ unit.T, -1.0, 1.0)
    wave = np.empty(cos_t.shape, np.complex128)
    for own, rows in zip(wave, members, strict=True):
        own[:] = direction_factor(arms.centre[rows], arms.current[rows], arms.k, unit)
    wave *= moment(cos_t, arms.k * half[:, None])
    wave *= 1j * ETA0 / (2.0 * np.pi)
    across = axis.T @ wave
    wave *= cos_t
    total: NDArray[np.complex128] = (wave.sum(axis=0) * unit.T - across).T
    return total


def sphere(
    reach_wavelengths: float, across_wavelengths: float | None = None
) -> tuple[Floats, Floats]:
    """Return directions (n, 3) and weights (n,) that integrate over the sphere (sum 4π).

    Gauss-Legendre bands by even azimuths, fine enough for an array whose farthest metal is
    ``reach_wavelengths`` from the origin and ``across_wavelengths``, where given, from its vertical axis: what
    lies on that axis is the same all round, however long it is.

    Raises
    ------
    InputError
        If it cannot be used.
    """
    if reach_wavelengths > LARGEST_REACH:
        raise InputError(
            f"the antenna would be {2.0 * reach_wavelengths:.0f} wavelengths long at this frequency",
            field="frequency",
            fix="Check the units of the frequency and of the antenna's lengths",
        )
    across = reach_wavelengths if across_wavelengths is None else across_wavelengths
    return _sphere(_order(reach_wavelengths), 2 * _order(across))


def _order(wavelengths: float) -> int:
    return int(2.0 * np.pi * wavelengths * 2.0) + 24


@kept
def _bands(order: int) -> tuple[Floats, Floats]:
    nodes, weights = np.polynomial.legendre.leggauss(order)
    return frozen(nodes), frozen(weights)


@kept
def _sphere(order: int, count: int) -> tuple[Floats, Floats]:
    nodes, band = _bands(order)
    phi = (np.arange(count) + 0.5) * (2.0 * np.pi / count)
    s = np.sqrt(1.0 - nodes**2)
    unit = np.stack(
        [
            np.outer(s, np.cos(phi)).ravel(),
            np.outer(s, np.sin(phi)).ravel(),
            np.repeat(nodes, count),
        ],
        axis=1,
    )
    return frozen(unit), frozen(np.repeat(band, count) * (2.0 * np.pi / count))


def radiated_power(arms: Arms, weight: Floats | None = None) -> float:
    """Return the power the arms radiate (W), the integral of |E|²/η over the sphere.

    ``weight`` multiplies the power pattern at the directions of :func:`sphere` for the arms' reach.
    """
    even = weight is not None
    unit, solid = sphere(arms.reach * arms.k / (2.0 * np.pi)) if even else arms.sphere
    u = intensity(arms, unit)
    if weight is not None:
        u = u * weight
    return float(u @ solid)


def intensity(arms: Arms, unit: Floats) -> Floats:
    """Return the radiation intensity (n,) in W/sr towards directions (n, 3).

    Parameters
    ----------
    arms : Arms
        The arms.
    unit : array
        Unit vectors of directions.
    """
    even: Floats = _square(far_pattern(arms, unit)) / ETA0
    return even


def peak_intensity(arms: Arms) -> float:
    """Return the largest radiation intensity, W/sr, refined between the directions tried.

    Parameters
    ----------
    arms : Arms
        The arms.
    """
    unit, _ = arms.sphere
    u = intensity(arms, unit)
    best = unit[int(np.argmax(u))]
    # Bands and azimuths may differ in number: as wide as the wider of their steps.
    step = max(2.0 / np.sqrt(len(unit)), 2.0 * np.pi * len(np.unique(unit[:, 2])) / len(unit))
    value = float(u.max())
    offsets = np.linspace(-1.0, 1.0, 5)
    over, along = (grid.reshape(-1, 1) for grid in np.meshgrid(offsets, offsets))
    for _ in range(12):
        side = cross(best, np.array([0.0, 0.0, 1.0] if abs(best[2]) < 0.9 else [1.0, 0.0, 0.0]))
        side /= np.linalg.norm(side)
        trial = best + step * (along * side + over * cross(best, side))
        trial /= np.linalg.norm(trial, axis=1, keepdims=True)
        levels = intensity(arms, trial)
        best, value = trial[int(np.argmax(levels))], max(value, float(levels.max()))
        step *= 0.5
    return value


def cone_intensity(arms: Arms, elevation: float) -> float:
    """Return the largest radiation intensity of ``arms``, W/sr, over all azimuths at an ``elevation`` in degrees."""
    return float(_cone(arms, elevation).max())


def mean_cone_intensity(arms: Arms, elevation: float) -> float:
    """Return the mean radiation intensity of ``arms``, W/sr, over all azimuths at an ``elevation`` in degrees."""
    return float(_cone(arms, elevation).mean())


def _cone(arms: Arms, elevation: float) -> Floats:
    turn = np.radians(np.arange(0.0, 360.0, 2.0))
    up = np.radians(elevation)
    unit = np.stack(
        [np.cos(up) * np.cos(turn), np.cos(up) * np.sin(turn), np.full_like(turn, np.sin(up))],
        axis=1,
    )
    return intensity(arms, unit)


def normalised(arms: Arms, weight: Floats | None = None) -> Arms:
    """Return the arms with currents scaled so that they radiate 1 W (rms currents).

    Parameters
    ----------
    weight : Floats or None
        Factor on the power pattern by direction.
    """
    scale = 1.0 / np.sqrt(radiated_power(arms, weight))
    return Arms(arms.centre, arms.axis, arms.half_length, arms.current * scale, arms.k)
