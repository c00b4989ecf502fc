"""Bounds of an antenna's field with what stands about it (core.site.surroundings).

A mirror. The amplitude grows from f₁ to f₁ + γ f₂, with f₂ at the mirrored place. With γ ≤ g on a patch f₁ + g f₂ obeys
the contract with the sum of the slacks. Tighter, for every λ > 0 and with equality where γ f₂ = λ f₁:

    (f₁ + γ f₂)² ≤ (1 + λ) f₁² + (1 + 1/λ) γ² f₂²,   γ² f₂² ≤ B(γ² F₂) + e(γ²) max F₂ + δ(γ²) δ(F₂)/4

with F₂ the majorant of f₂² at the corners, B the interpolation, and e, δ of core.proof.bounds.mirrors.

A floor. The isotropic value of a line is c/√(d(d + b)) with d the distance to it (core.fields.spread): positive,
falling and convex in d. Along every direction d is convex too and d'' ≤ 1/d, so that its own second derivative is at
least -|f'|/d = -f (2d + b)/(2d²(d + b)) ≥ -f/d², largest at the nearest place. Nearer than the line's least distance it
is only bounded as a whole. The maximum of two functions has the larger of their slacks.

Steel. A factor on the square, with its own range and defect (:func:`steel_factor`).
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from core.arrays import Bools, Floats, Points, highest
from core.fields.spread import Spread
from core.proof.bounds.base import (
    ENDLESS,
    NOT_REACTIVE,
    ROUNDING,
    Bound,
    Majorant,
    Patches,
    from_values,
)
from core.proof.bounds.mirrors import Factor
from core.site.steel import Steel
from core.units import ETA0

HUGE = 1e200
"""Stands for infinity: infinity times a weight of zero would be no number."""

AMPLITUDES = ("e", "h", "e_curve", "h_curve", "e_jump", "h_jump", "e_floor", "h_floor")


def added(direct: Bound, ray: Bound, size: Floats) -> Bound:
    """Return the bound of f₁ + size · f₂. Where the mirrored place is in the metal there is none.

    Parameters
    ----------
    direct : Bound
        Of the direct ray.
    ray : Bound
        Of the reflected ray.
    """
    lost = ray.reactive != NOT_REACTIVE
    plus = {name: np.where(lost, np.inf, size * getattr(ray, name)) for name in AMPLITUDES}
    # The sum of two that are each the larger of a sum and a floor: no floor of its own is left.
    for side in ("e", "h"):
        plus[f"{side}_curve"] = np.maximum(plus[f"{side}_curve"], plus[f"{side}_floor"])
        plus[f"{side}_floor"] = plus[f"{side}_curve"]
    return Bound(
        **{name: getattr(direct, name) + plus[name] for name in AMPLITUDES},
        gap=direct.gap,
        reactive=direct.reactive,
    )


def floor_bound(spread: Spread, share: float, patches: Patches) -> Bound:
    """Return the bound of the amplitude of a share of the isotropic value.

    Parameters
    ----------
    spread : Spread
        The line it is spread from, in the antenna's frame.
    share : float
        Of the isotropic value.
    patches : Patches
        The patches, in the antenna's frame.
    """
    near = np.maximum(spread.distance(patches.centre) - patches.radius, 0.0)
    top = np.sqrt(share * ETA0 * spread.density(near))
    clear = near > spread.least
    curve = np.where(clear, patches.dimension * top / np.maximum(near, spread.least) ** 2, ENDLESS)
    zero = np.zeros_like(top)
    return Bound(
        e=top,
        h=top / ETA0,
        e_curve=curve,
        h_curve=curve / ETA0,
        e_jump=zero,
        h_jump=zero,
        e_floor=zero,
        h_floor=zero,
        gap=zero,
        reactive=np.zeros(len(top), np.int8),
    )


def larger(one: Bound, floor: Bound) -> Bound:
    """Return the bound of the larger of an amplitude and a floor.

    Parameters
    ----------
    one : Bound
        Of the amplitude.
    floor : Bound
        Of the floor.
    """
    most = {name: np.maximum(getattr(one, name), getattr(floor, name)) for name in AMPLITUDES}
    for side in ("e", "h"):
        most[f"{side}_curve"] = getattr(one, f"{side}_curve")
        own = getattr(one, f"{side}_floor")
        most[f"{side}_floor"] = np.maximum(own, getattr(floor, f"{side}_curve"))
    return Bound(**most, gap=one.gap, reactive=one.reactive)


def raised(one: Bound, rise: Floats) -> Bound:
    """Return a bound with its amplitudes raised.

    Parameters
    ----------
    one : Bound
        Of the field without steel.
    rise : array, shape (n,)
        The largest factor on the square on each patch.
    """
    by = np.sqrt(rise)
    with np.errstate(over="ignore"):
        values = {name: getattr(one, name) * by for name in AMPLITUDES}
    return Bound(**values, gap=one.gap, reactive=one.reactive)


def product(factor: Factor, here: Floats, square_over: Floats) -> Floats:
    """Return the majorant (n, c) of a factor times a square, from corner values (n, c) of both.

    Parameters
    ----------
    factor : Factor
        On the patches.
    here : array
        The factor at the corners.
    square_over : array
        The majorant of the square.
    """
    capped = np.minimum(square_over, HUGE)
    more = factor.defect * highest(capped) + 0.25 * np.ptp(here, axis=1) * np.ptp(capped, axis=1)
    raised_square: Floats = capped * here + more[:, None]
    return raised_square


def added_majorant(
    direct: Majorant, ray: Majorant, size: Factor, here: Floats, lost: Bools
) -> Majorant:
    """Return the majorant of (f₁ + γ f₂)².

    Parameters
    ----------
    direct : Majorant
        Of the direct ray.
    ray : Majorant
        Of the reflected ray.
    size : Factor
        The coefficient on the patches.
    here : array, shape (n, c)
        The coefficient at the corners.
    lost : bool array, shape (n,)
        Where the mirrored place may be in the metal: nothing bounds it there.
    """
    square = size.times(size)

    def over(one: Floats, two: Floats) -> Floats:
        part = product(square, here * here, two)
        mean1, mean2 = np.minimum(one, HUGE).mean(axis=1), part.mean(axis=1)
        ratio = np.sqrt(np.maximum(mean2, 1e-300) / np.maximum(mean1, 1e-300))
        ratio = np.clip(ratio, 1e-6, 1e6)[:, None]
        total: Floats = (1.0 + ratio) * one + (1.0 + 1.0 / ratio) * part
        return np.where(lost[:, None], HUGE, total)

    def value(one: Floats, two: Floats) -> Floats:
        amplitude: Floats = (np.sqrt(one) + here * np.sqrt(two)) ** 2
        return amplitude

    return Majorant(
        value(direct.e2, ray.e2),
        value(direct.h2, ray.h2),
        over(direct.e2_over, ray.e2_over),
        over(direct.h2_over, ray.h2_over),
    )


def even_bound(count: int) -> Bound:
    """Return the bound of a plane wave of 1 W/m² on some patches: what images without a beam are counted in.

    Parameters
    ----------
    count : int
        Of the patches.
    """
    zero = np.zeros(count)
    e = np.full(count, np.sqrt(ETA0))
    names = dict.fromkeys(AMPLITUDES, zero) | {"e": e, "h": e / ETA0}
    return Bound(**names, gap=zero, reactive=np.zeros(count, np.int8))


def even_majorant(shape: tuple[int, ...]) -> Majorant:
    """Return the majorant of a plane wave of 1 W/m².

    Parameters
    ----------
    shape : tuple of int
        Patches and their corners, (n, c).
    """
    e2 = np.full(shape, ETA0)
    return Majorant(e2, 1.0 / e2, e2, 1.0 / e2)


def floor_majorant(
    spread: Spread, share: float, patches: Patches, points: Points, corners: NDArray[np.intp]
) -> Majorant:
    """Return the majorant of a share of the isotropic value.

    Parameters
    ----------
    spread : Spread
        The line it is spread from, in the antenna's frame.
    share : float
        Of the isotropic value.
    patches : Patches
        The patches, in the antenna's frame.
    points : array, shape (m, 3)
        Places in the antenna's frame.
    corners : int array, shape (n, c)
        Which of the points are each patch's corners.
    """
    s = share * spread.density(spread.distance(points))
    known = floor_bound(spread, share, patches)
    return from_values(s * ETA0, s / ETA0, known, patches, corners)


def larger_majorant(one: Majorant, floor: Majorant) -> Majorant:
    """Return the majorant of the larger of a field and a floor.

    Parameters
    ----------
    one : Majorant
        Of the field.
    floor : Majorant
        Of the floor.
    """
    return Majorant(
        np.maximum(one.e2, floor.e2),
        np.maximum(one.h2, floor.h2),
        np.maximum(one.e2_over, floor.e2_over),
        np.maximum(one.h2_over, floor.h2_over),
    )


def raised_majorant(one: Majorant, rise: Factor, here: Floats) -> Majorant:
    """Return a majorant with its squares raised.

    Parameters
    ----------
    one : Majorant
        Of the field without steel.
    rise : Factor
        The factor on each patch.
    here : array, shape (n, c)
        The factor at the corners.
    """
    return Majorant(
        one.e2 * here,
        one.h2 * here,
        product(rise, here, one.e2_over),
        product(rise, here, one.h2_over),
    )


def steel_factor(
    steel: Steel, centre: NDArray[np.float64], half: float, radius: float, dimension: int
) -> Factor:
    """Return the factor of steel on the square on patches of the site.

    c δ^-m along each face, m falling from piece to piece, so that every corner but the first and the one to the flat
    part next to the steel bends upward; δ is the distance to a segment, convex with δ'' ≤ 1/δ, so that the factor's own
    second derivative is at least -m A/δ². The largest over faces has the largest of their defects.

    Parameters
    ----------
    steel : Steel
        Towers and masts.
    centre : array, shape (n, 3)
        Of the patches, site frame, m.
    half : float
        Half the side of a patch, m.
    radius : float
        Every point spoken of is within this of the centre, m.
    dimension : int
        1 for segments, 2 for squares.
    """
    away = steel.distance(centre)
    near = np.maximum(away - radius, 0.0)
    most, least = steel.rise(near) * (1.0 + ROUNDING), steel.rise(away + radius)
    flat = steel.flat_within
    bend = 0.5 * half * half * dimension * steel.steepest * most / np.maximum(near, flat) ** 2
    smooth = (near >= flat) | (away + radius <= flat)
    span = most - least
    return Factor(most, span, np.where(smooth, np.minimum(bend, span), span))
