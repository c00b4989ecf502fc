"""Bounds of an antenna's field with the rays that planes reflect (core.site.reflection, two-ray).

For each plane the amplitude grows from f₁ to f₁ + γ f₂, with f₂ at the mirrored place and γ the larger Fresnel
coefficient. That is the one for horizontal polarisation at every angle, and it falls with the grazing angle, so that on
a patch γ ≤ γ at its lowest grazing angle =: g, zero where all of the patch lies under the plane. Then f₁ + g f₂ obeys
the contract with the sum of the slacks, and its square is at most (1 + gλ) f₁² + (g² + g/λ) f₂² for every λ > 0, with
equality where f₂ = λ f₁.
"""

from __future__ import annotations

from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from core.arrays import Floats
from core.proof.bounds.base import NOT_REACTIVE, Bound, Majorant
from core.site.reflection import UNDER, Ray


class _Places(Protocol):
    @property
    def centre(self) -> NDArray[np.float64]: ...
    @property
    def radius(self) -> float: ...


def largest_coefficient(ray: Ray, places: _Places, antenna: Floats, frequency: float) -> Floats:
    """Return the largest reflection coefficient (n,) on patches in the site frame.

    Parameters
    ----------
    ray : Ray
        The reflected ray.
    places : _Places
        The patches, in the site frame.
    antenna : array
        Position of the antenna, m.
    frequency : float
        Hz.
    """
    c, rho = places.centre, places.radius
    across = np.hypot(c[:, 0] - antenna[0], c[:, 1] - antenna[1]) + rho
    up = np.maximum(np.abs(c[:, 2] - ray.plane) - rho, 0.0)
    lowest = np.stack([antenna[0] + across, 0.0 * across + antenna[1], ray.plane + up], axis=1)
    at = (float(antenna[0]), float(antenna[1]), float(antenna[2]))
    size: Floats = ray.coefficient(lowest, at, frequency) * (1.0 + 1e-9)
    size[c[:, 2] + rho < ray.plane - UNDER] = 0.0
    return size


def added(direct: Bound, ray: Bound, size: Floats) -> Bound:
    """Return the bound of f₁ + size · f₂. Where the mirrored place is in the metal there is none.

    Parameters
    ----------
    direct : Bound
        Of the direct ray.
    ray : Bound
        Of the reflected ray.
    """
    sent = size > 0.0
    lost = sent & (ray.reactive != NOT_REACTIVE)

    def total(name: str) -> Floats:
        plus = size * np.where(sent, getattr(ray, name), 0.0)
        both: Floats = getattr(direct, name) + np.where(lost, np.inf, plus)
        return both

    with np.errstate(invalid="ignore"):
        return Bound(
            e=total("e"),
            h=total("h"),
            e_curve=total("e_curve"),
            h_curve=total("h_curve"),
            e_jump=total("e_jump"),
            h_jump=total("h_jump"),
            e_floor=total("e_floor"),
            h_floor=total("h_floor"),
            gap=direct.gap,
            reactive=direct.reactive,
        )


def added_majorant(direct: Majorant, ray: Majorant, size: Floats, here: Floats) -> Majorant:
    """Return the majorant of (f₁ + size f₂)²; ``here`` (n, c) are the coefficients at the corners.

    Parameters
    ----------
    direct : Majorant
        Of the direct ray.
    ray : Majorant
        Of the reflected ray.
    """

    def over(one: Floats, two: Floats) -> Floats:
        mean1, mean2 = one.mean(axis=1), two.mean(axis=1)
        ratio = np.sqrt(np.maximum(mean2, 1e-300) / np.maximum(mean1, 1e-300))
        ratio = np.clip(ratio, 1e-6, 1e6)
        total: Floats = (1.0 + size * ratio)[:, None] * one + (size**2 + size / ratio)[
            :, None
        ] * np.where(size[:, None] > 0.0, two, 0.0)
        return total

    def value(one: Floats, two: Floats) -> Floats:
        amplitude: Floats = (np.sqrt(one) + here * np.sqrt(two)) ** 2
        return amplitude

    return Majorant(
        value(direct.e2, ray.e2),
        value(direct.h2, ray.h2),
        over(direct.e2_over, ray.e2_over),
        over(direct.h2_over, ray.h2_over),
    )
