"""A plane that sends a wave back to people, and how strongly.

The field at a place is at most E_direct + Σ ρ E_image, with the image the field of the same antenna at the
place mirrored in each plane, and ρ that of :meth:`Mirror.coefficient`.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from core.arrays import Floats, Points
from core.fields.ground import complex_permittivity, fresnel
from core.units import wavelength

UNDER = 1e-3
"""m below a plane up to which a place still counts as on it."""

LEAST = 0.6
"""Least coefficient of soil and water: far out the published factor 1.6 on the field comes back (EPA ground
factor, FCC OET Bulletin 65 eq. 6)."""

ON_METAL, IN_AIR = 1.25, 1.5
"""Coefficients of metal for people on it and in the air. 1 is that of an endless plate; the rest is for the waves from
its edges. Own fit to fields over square conducting roofs of 3 wavelengths by the method of moments: 0.1 dB low at
worst up to 2 m over the roof, 0.3 dB above it and past its edge."""

WALL = 1.0
"""Coefficient of a wall: that of an endless conducting plate."""

NEAR, AIRY = 2.0, 4.0
"""m over a metal plane up to which the lower coefficient holds, and from which the higher one does."""

NULL_FILL = 0.5
"""Share of the isotropic value under which the image in metal is never taken: waves from the edges fill the nulls."""


@dataclass(frozen=True, slots=True)
class Matter:
    """What a reflecting plane is made of.

    Attributes
    ----------
    permittivity, conductivity : float
        Relative, and S/m; they do not count for a conductor.
    least : float
        Least coefficient.
    conductor : bool
        Whether it reflects as metal does.
    words : str
        What the reading calls it.
    """

    permittivity: float
    conductivity: float
    least: float
    conductor: bool
    words: str


@dataclass(frozen=True, slots=True)
class Shade:
    """A roof that keeps what a lower plane sends back from those who are over it, as a rectangle on the plan.

    Attributes
    ----------
    middle, along : tuple of two floats
        Its middle, m, and the unit vector of one side.
    half : tuple of two floats
        Half its sides, m.
    fall : float
        m past its end over which the wave comes back.
    """

    middle: tuple[float, float]
    along: tuple[float, float]
    half: tuple[float, float]
    fall: float

    def past(self, points: Points) -> Floats:
        """Return how far (n,) points (n, 3) are past its end on the plan, m; negative over it."""
        real = points.dtype.type
        x, y = points[:, 0] - real(self.middle[0]), points[:, 1] - real(self.middle[1])
        c, s = real(self.along[0]), real(self.along[1])
        u = np.abs(x * c + y * s) - real(self.half[0])
        v = np.abs(y * c - x * s) - real(self.half[1])
        outside = np.hypot(np.maximum(u, real(0.0)), np.maximum(v, real(0.0)))
        past: Floats = outside + np.minimum(np.maximum(u, v), real(0.0))
        return past

    def open(self, past: Floats) -> Floats:
        """Return the weight (n,) of places so far past its end, m."""
        weight: Floats = np.clip(past / past.dtype.type(self.fall), 0.0, 1.0)
        return weight


@dataclass(frozen=True, slots=True)
class Mirror:
    """One reflecting plane as one antenna sees it.

    Attributes
    ----------
    name : str
        What the reading calls it.
    matter : Matter
        What it is made of.
    origin, normal, along : tuple of three floats
        The middle of the plane, the unit vector to the side that it reflects to, and one along it; site frame.
    half : tuple of two floats
        Half its length along that and across; infinite where it has no end.
    full, fall : float
        m past its end up to which it counts in full, and over which it then falls to nothing. The wave comes from
        a patch about the point of reflection, not from the point.
    depth : float
        m behind the plane over which it falls to nothing, so that there is no step beside a roof.
    shade : Shade or None
        A roof above it that the antenna stands over.
    edges : bool
        Whether waves from the edges of a metal surface count: not where it is one of several planes on a way.
    """

    name: str
    matter: Matter
    origin: tuple[float, float, float]
    normal: tuple[float, float, float]
    along: tuple[float, float, float]
    half: tuple[float, float] = (np.inf, np.inf)
    full: float = 0.0
    fall: float = 1.0
    depth: float = 0.0
    shade: Shade | None = None
    edges: bool = True

    @property
    def endless(self) -> bool:
        """Whether the plane has no end."""
        return bool(np.isinf(self.half[0]))

    def height(self, points: Points) -> Floats:
        """Return how far (n,) points (n, 3) are in front of the plane, m."""
        up: Floats = (points - np.array(self.origin, points.dtype)) @ np.array(
            self.normal, points.dtype
        )
        return up

    def mirrored(self, points: Points) -> Points:
        """Return the points (n, 3) mirrored in the plane."""
        twice = points.dtype.type(2.0) * self.height(points)
        image: Points = points - twice[:, None] * np.array(self.normal, points.dtype)
        return image

    def turned(self, directions: NDArray[np.float64]) -> NDArray[np.float64]:
        """Return directions (..., 3) mirrored in the plane."""
        n = np.array(self.normal)
        mirrored: NDArray[np.float64] = directions - 2.0 * (directions @ n)[..., None] * n
        return mirrored

    @property
    def upright(self) -> bool:
        """Whether it is the face of a wall."""
        return self.normal[2] == 0.0

    def coefficient(
        self, points: Points, antenna: tuple[float, float, float], frequency: float
    ) -> Floats:
        """Return the coefficient (n,) of the image for points (n, 3) and an antenna's centre.

        The product of what the plane is made of (:meth:`strength`), how much of it the point of reflection sees
        (:meth:`within`) and how far behind it the place is (:meth:`before`).
        """
        up, across = self.height(points), self.across(points, antenna)
        high = self.antenna_height(antenna)
        angle = np.arctan2(np.abs(up) + points.dtype.type(high), across)
        size = self.strength(up, angle, high, frequency) * self.before(up)
        if not self.endless:
            size = size * self.within(self.past(points, up, antenna))
        if self.shade is not None:
            size = size * self.shade.open(self.shade.past(points))
        sized: Floats = size.astype(points.dtype)
        return sized

    def strength(self, up: Floats, angle: Floats, high: float, frequency: float) -> Floats:
        """Return what an endless plane of the kind sends back (n,), at heights (n,) and grazing angles (n,), rad.

        Soil and water: the larger of 0.6 (none for the two-ray kind) and both Fresnel coefficients at the angle of
        the mirrored ray. Metal surfaces: :data:`ON_METAL` to :data:`IN_AIR`, or 1.
        A face of a wall: :data:`WALL`, less where it is narrower than Fresnel's zone: 2a/F, half its width over the
        zone's radius, the field of a small part of a wave; F² = λ h q/(h + q) with the heights h of antenna and q of
        place is the zone's least.
        """
        if self.upright:
            q = np.maximum(up, up.dtype.type(UNDER))
            zone = np.sqrt(
                up.dtype.type(wavelength(frequency) * high) * q / (q + up.dtype.type(high))
            )
            size: Floats = np.full(up.shape, WALL)
            for half in self.half:
                size = size * np.minimum(1.0, 2.0 * half / zone)
            return size
        if self.matter.conductor and not self.edges:
            return np.ones(up.shape)
        if self.matter.conductor:
            airy = np.clip((up - NEAR) / (AIRY - NEAR), 0.0, 1.0)
            metal: Floats = ON_METAL + (IN_AIR - ON_METAL) * airy
            return metal
        ground = complex_permittivity(self.matter.permittivity, self.matter.conductivity, frequency)
        horizontal, vertical = fresnel(angle, ground)
        return np.maximum(np.maximum(np.abs(horizontal), np.abs(vertical)), self.matter.least)

    def within(self, past: Floats) -> Floats:
        """Return the weight (n,) of a point of reflection so far past the end, m: 1, then falling to 0."""
        weight: Floats = np.clip(1.0 - (past - self.full) / self.fall, 0.0, 1.0)
        return weight

    def before(self, up: Floats) -> Floats:
        """Return the weight (n,) of places at heights, m: 1 before the plane, falling to 0 behind it."""
        if self.depth > 0.0:
            weight: Floats = np.clip(1.0 + up / self.depth, 0.0, 1.0)
            return weight
        return np.where(up < -UNDER, 0.0, 1.0)

    def antenna_height(self, antenna: tuple[float, float, float]) -> float:
        """Return how far an antenna is in front of the plane, m."""
        return max(abs(float(self.height(np.array([antenna]))[0])), UNDER)

    def across(self, points: Points, antenna: tuple[float, float, float]) -> Floats:
        """Return the way (n,) along the plane from an antenna to points (n, 3), m."""
        real = points.dtype.type
        away = points - np.array(antenna, real)
        normal = np.array(self.normal, real)
        flat = away - (away @ normal)[:, None] * normal
        way: Floats = np.sqrt(np.einsum("ni,ni->n", flat, flat))
        return way

    def past(self, points: Points, up: Floats, antenna: tuple[float, float, float]) -> Floats:
        """Return how far (n,) the points of reflection are past the end of the plane, m.

        The point is a + t (p - a) along the plane, t = h/(h + q).
        """
        zero = points.dtype.type(0.0)
        (a, b), _ = self.past_sides(points, up, antenna)
        distance: Floats = np.hypot(np.maximum(a, zero), np.maximum(b, zero))
        return distance

    def past_sides(
        self, points: Points, up: Floats, antenna: tuple[float, float, float]
    ) -> tuple[tuple[Floats, Floats], tuple[Floats, Floats]]:
        """Return how far (n,) the points of reflection are past the ends along and across, m, negative within.

        Then how far (n,) the places are from the antenna along and across.
        """
        real = points.dtype.type
        high = real(self.antenna_height(antenna))
        part = high / (high + np.maximum(up, real(0.0)))
        away = points - np.array(antenna, real)
        start = np.array(antenna) - np.array(self.origin)
        sideways = np.cross(self.normal, self.along)
        over, ways = [], []
        for axis, half in zip((np.array(self.along), sideways), self.half, strict=True):
            way = away @ axis.astype(real)
            over.append(np.abs(real(start @ axis) + part * way) - real(half))
            ways.append(np.abs(way))
        return (over[0], over[1]), (ways[0], ways[1])
