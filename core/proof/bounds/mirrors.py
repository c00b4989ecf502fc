"""Bounds of the coefficient of a mirror (core.site.mirror) on patches of the site.

The coefficient γ is a product of factors. On a patch each has a largest value M, a range δ, and a defect e: how far it
can exceed the interpolation of its corners. What is needed of a product follows from Grüss's inequality, by which
the interpolation of a product is at least the product of the interpolations less a quarter of both ranges:

    e(uv) ≤ e(u) M(v) + e(v) M(u) + δ(u) δ(v)/4.

A convex function of a coordinate has no defect. With a downward corner on the patch its range is its defect;
smooth bends count with a²/2 times the second derivative along both sides.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from core.arrays import Floats
from core.site.mirror import AIRY, UNDER, Mirror, Shade

GRAZING_BEND = 2.0
"""|d²|Γ|/dp²| R² of the Fresnel coefficients of soil and water (relative permittivity 25 and more): at most
2|Γ'| + |Γ''| in s = sin ψ, whose own derivatives along a path are at most 1/R and 2/R². Held by a test."""


@dataclass(frozen=True, slots=True)
class Factor:
    """A factor on patches (n,): its largest value, its range, and its defect."""

    most: Floats
    span: Floats
    defect: Floats

    @property
    def least(self) -> Floats:
        """A value that it is not below, nor below zero."""
        least: Floats = np.maximum(self.most - self.span, 0.0)
        return least

    def part(self, rows: NDArray[np.intp]) -> Factor:
        """Return some of the patches."""
        return Factor(self.most[rows], self.span[rows], self.defect[rows])

    def plus(self, other: Factor) -> Factor:
        """Return the sum of both."""
        return Factor(self.most + other.most, self.span + other.span, self.defect + other.defect)

    def times(self, other: Factor) -> Factor:
        """Return the product of both."""
        return Factor(
            self.most * other.most,
            self.span * other.most + other.span * self.most,
            self.defect * other.most + other.defect * self.most + 0.25 * self.span * other.span,
        )


def coefficient(
    mirror: Mirror,
    centre: NDArray[np.float64],
    directions: NDArray[np.float64],
    half: float,
    radius: float,
    antenna: tuple[float, float, float],
    frequency: float,
) -> Factor:
    """Return the coefficient of a mirror on patches.

    Parameters
    ----------
    mirror : Mirror
        The plane.
    centre : array, shape (n, 3)
        Of the patches, site frame, m.
    directions : array, shape (d, 3)
        Unit vectors that span them.
    half : float
        Half the side of a patch, m.
    radius : float
        Every point spoken of is within this of the centre, m: more than half · √d for a body's column.
    antenna : tuple of three floats
        The antenna's centre, site frame, m.
    frequency : float
        Hz.
    """
    d = len(directions)
    tilt = np.abs(directions @ np.array(mirror.normal))
    # Patches along the plane keep their height.
    rise = half * float(tilt.sum()) + max(radius - half * float(np.sqrt(d)), 0.0)
    up, across = mirror.height(centre), mirror.across(centre, antenna)
    low, top = up - rise, up + rise
    high = mirror.antenna_height(antenna)
    bend = 0.5 * half * half * d
    found = _strength(mirror, low, top, across, radius, high, frequency, bend)
    found = found.times(_before(mirror, low, top))
    if not mirror.endless:
        sides, ways = mirror.past_sides(centre, up, antenna)
        weight = _within(mirror, sides, ways, low, top, radius, high, bend, float(tilt.max()))
        found = found.times(weight)
    if mirror.shade is not None:
        found = found.times(weight_past(mirror.shade, centre, radius))
    return Factor(found.most * (1.0 + 1e-9), found.span, found.defect)


def weight_past(shade: Shade, centre: NDArray[np.float64], radius: float) -> Factor:
    """Return the weight of places past a shade: it grows with a distance, convex but for the corner where it is full.

    Parameters
    ----------
    shade : Shade
        The roof.
    centre : array, shape (n, 3)
        Of the patches, site frame, m.
    radius : float
        Every point spoken of is within this of the centre, m.
    """
    past = shade.past(centre)
    near, far = past - radius, past + radius
    most, least = shade.open(far), shade.open(near)
    corner = (near < shade.fall) & (far > shade.fall)
    return Factor(most, most - least, np.where(corner, most - least, 0.0))


def _strength(
    mirror: Mirror,
    low: Floats,
    top: Floats,
    across: Floats,
    radius: float,
    high: float,
    frequency: float,
    bend: float,
) -> Factor:
    nearest = np.maximum(np.maximum(low, -top), 0.0)
    least_angle = np.arctan2(nearest + high, across + radius)
    if mirror.upright:
        # Falling and convex in the height, but for its corner where the strip is as wide as the zone.
        most = mirror.strength(low, least_angle, high, frequency)
        least = mirror.strength(top, least_angle, high, frequency)
        corner = _faces_saturate(mirror, low, top, high, frequency)
        return Factor(most, most - least, np.where(corner, most - least, 0.0))
    if mirror.matter.conductor:
        most = mirror.strength(top, least_angle, high, frequency)
        least = mirror.strength(low, least_angle, high, frequency)
        corner = mirror.edges & (low < AIRY) & (top > AIRY)
        return Factor(most, most - least, np.where(corner, most - least, 0.0))
    farthest = np.maximum(np.abs(low), np.abs(top))
    most_angle = np.arctan2(farthest + high, np.maximum(across - radius, 0.0))
    most = mirror.strength(top, least_angle, high, frequency)
    if mirror.matter.least == 0.0:
        # Any ground constants: the range is all that is known. Fresnel's coefficients may fall and rise again.
        return Factor(most, most, most)
    # Horizontal polarisation is the larger at every angle and falls with it.
    least = mirror.strength(top, most_angle, high, frequency)
    way2 = (nearest + high) ** 2 + np.maximum(across - radius, 0.0) ** 2
    span = most - least
    # |q| has a corner on the plane itself.
    corner = (low < 0.0) & (top > 0.0)
    defect = np.where(corner, span, np.minimum(bend * GRAZING_BEND / way2, span))
    return Factor(most, span, defect)


def _faces_saturate(
    mirror: Mirror, low: Floats, top: Floats, high: float, frequency: float
) -> NDArray[np.bool_]:
    """Return where a face is as wide as Fresnel's zone somewhere on a patch."""
    angle = np.zeros_like(low)
    corner = np.zeros(low.shape, bool)
    for half in mirror.half:
        one = Mirror(
            mirror.name, mirror.matter, mirror.origin, mirror.normal, mirror.along, (half, np.inf)
        )
        at = [one.strength(q, angle, high, frequency) for q in (low, top)]
        corner |= (at[0] > at[1]) & (at[0] >= one.strength(0.0 * low, angle, high, frequency))
    # The height is held from below next to the plane.
    return corner | ((low < UNDER) & (top > UNDER))


def _before(mirror: Mirror, low: Floats, top: Floats) -> Factor:
    most, least = mirror.before(top), mirror.before(low)
    corner = (low < 0.0) & (top > 0.0) if mirror.depth > 0.0 else most > least
    return Factor(most, most - least, np.where(corner, most - least, 0.0))


def _within(
    mirror: Mirror,
    sides: tuple[Floats, Floats],
    ways: tuple[Floats, Floats],
    low: Floats,
    top: Floats,
    radius: float,
    high: float,
    bend: float,
    tilt: float,
) -> Factor:
    """Bound the weight of the point of reflection s = a + t w, t = h/(h + q), w the way to the place along the plane.

    For each of both axes |s'| ≤ t + w |t'| and |s''| ≤ 2|t'| + w |t''| along a side whose height changes by ``tilt`` a
    metre. How far s is past the end is a distance d to a rectangle, with a second derivative of at most that of s
    across the ends it may be past, and |s'|²/d more about a corner; the weight falls with it at 1/fall.
    """
    least_q = np.maximum(low, 0.0)
    part = high / (high + least_q)
    fall1 = part / (high + least_q)
    fall2 = 2.0 * fall1 / (high + least_q)
    near, far, first, second = [], [], [], []
    for side, way in zip(sides, ways, strict=True):
        most_way = way + radius
        moved = part * radius + most_way * fall1 * 0.5 * (top - low)
        near.append(np.maximum(side - moved, 0.0))
        far.append(np.maximum(side + moved, 0.0))
        first.append(part + most_way * fall1 * tilt)
        second.append((2.0 * fall1 + most_way * fall2 * tilt) * tilt * (far[-1] > 0.0))
    nearest = np.hypot(*near)
    most, least = mirror.within(nearest), mirror.within(np.hypot(*far))
    span = most - least
    about_corner = (far[0] > 0.0) & (far[1] > 0.0)
    turn = (first[0] ** 2 + first[1] ** 2) / np.maximum(nearest, mirror.full)
    curve = np.hypot(*second) + np.where(about_corner, turn, 0.0)
    # The weight has a corner where it starts to fall, t where the height turns negative.
    smooth = (nearest > mirror.full) & ((low >= 0.0) | (top <= 0.0))
    defect = np.where(smooth, np.minimum(bend * curve / mirror.fall, span), span)
    return Factor(most, span, defect)
