"""Bounds for sums of pattern elements (core.fields.elements).

An element contributes w H(φ) V(θ) p̂ e^{-jkr}/r with a unit vector p̂ that is θ̂ or φ̂. With r⊥ the
distance from the element's vertical axis, along any direction

    |φ'| ≤ 1/r⊥, |φ''| ≤ 1/r⊥²;   |θ'| ≤ 1/r, |θ''| ≤ 1/r² + 1/(r r⊥) ≤ 2/(r r⊥);
    |p̂'|² ≤ θ'² + φ'² ≤ 2/r⊥²,   |p̂''| ≤ θ'² + 2θ'φ' + φ'² + |θ''| + |φ''| ≤ 5/r⊥² (since 2θ'φ' ≤ 1/r⊥²);
    |(1/r)'| ≤ 1/r², |(1/r)''| ≤ 2/r³.

Derivatives of H and V are taken from fine samples over the angles the patch is seen under. The phase's
reference is the elements' weighted centre. In the quick sum angles are taken from the origin: its
distances count as well.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from core.arrays import Floats, Points
from core.caches import kept
from core.fields import elements as el
from core.fields.array_factor import FAR_ELEVATION, FAR_REACHES
from core.fields.elements import Elements
from core.proof.bounds.angles import Curve, curve, spread
from core.proof.bounds.arms import NEAR_SUM, far_code
from core.proof.bounds.base import ENDLESS, Patches
from core.proof.bounds.cluster import Cluster, cluster, outside, seen_from
from core.proof.bounds.jet import Jet, stacked, wave
from core.proof.bounds.sight import sight
from core.units import ETA0

_ENTRIES = 24_000


@dataclass(frozen=True, slots=True)
class ElementBounds:
    """Jets on patches (n,) of √E²: the phasor sum, and the sum of powers with and without azimuth.

    ``jump`` (n,) stands for the corner of an azimuth pattern behind an element; ``gap`` (n,) is the distance
    from the centre to the nearest element's edge. √H² is √E²/η.
    """

    total: Jet
    floor: Jet
    blind: Jet
    jump: Floats
    gap: Floats


def element_bounds(
    elements: Elements, patches: Patches, *, common_direction: bool
) -> ElementBounds:
    """Return the bounds of elements on patches in the antenna frame.

    Parameters
    ----------
    common_direction : bool
        The quick sum is used where it is.
    """
    groups = _groups(elements)
    far = outside(patches, groups.whole) > np.pi / elements.k
    # Above and below, every element sees the patch under an azimuth of its own.
    c = patches.centre - groups.whole.centre
    far &= np.hypot(c[:, 0], c[:, 1]) - patches.radius > 2.0 * groups.width
    zero = np.zeros((11, len(far)))
    out = ElementBounds(
        Jet(zero[0], zero[1], zero[2]),
        Jet(zero[3], zero[4], zero[5]),
        Jet(zero[6], zero[7], zero[8]),
        zero[9],
        zero[10],
    )
    for rows, work in ((np.flatnonzero(far), _from_far), (np.flatnonzero(~far), _in_chunks)):
        if rows.size:
            part = work(elements, patches.part(rows), common_direction=common_direction)
            for name in ("total", "floor", "blind"):
                for m in ("m0", "m1", "m2"):
                    getattr(getattr(out, name), m)[rows] = getattr(getattr(part, name), m)
            out.jump[rows], out.gap[rows] = part.jump, part.gap
    return out


def _in_chunks(elements: Elements, patches: Patches, *, common_direction: bool) -> ElementBounds:
    rows = max(1, _ENTRIES // len(elements.centre))
    parts = [
        _chunk(elements, patches.part(slice(i, i + rows)), common_direction=common_direction)
        for i in range(0, len(patches), rows)
    ]
    if len(parts) == 1:
        return parts[0]

    def jets(name: str) -> Jet:
        found = [getattr(p, name) for p in parts]
        return Jet(*(np.concatenate([getattr(j, m) for j in found]) for m in ("m0", "m1", "m2")))

    jump, gap = (np.concatenate([getattr(p, n) for p in parts]) for n in ("jump", "gap"))
    return ElementBounds(jets("total"), jets("floor"), jets("blind"), jump, gap)


@dataclass(frozen=True, eq=False)
class _Groups:
    """All elements, and those of one boresight (degrees) each, as clusters about one centre.

    ``width`` is the largest horizontal distance of an element from that centre.
    """

    whole: Cluster
    width: float
    boresights: tuple[tuple[float, Cluster, float], ...]


@kept
def _groups(elements: Elements) -> _Groups:
    weight = np.abs(elements.weight)
    centre = np.average(elements.centre, axis=0, weights=np.maximum(weight, 1e-300))
    none = np.zeros(len(weight))
    found = []
    for azimuth in np.unique(elements.azimuth):
        mine = elements.azimuth == azimuth
        w = weight[mine]
        group = cluster(elements.centre[mine], w, none[mine], centre)
        found.append((float(azimuth), group, float(np.sqrt(w @ w))))
    # The element's own size keeps the patch out of its held distance.
    whole = cluster(elements.centre, weight, none + elements.radius, centre)
    width = float(np.hypot(*(elements.centre - centre)[:, :2].T).max())
    return _Groups(whole, width, tuple(found))


def _from_far(elements: Elements, patches: Patches, *, common_direction: bool) -> ElementBounds:
    """Return the bounds from the moments of each boresight: the same terms as in _chunk at their mean.

    Angles from any element differ from those at the centre by at most its reach over the distance.
    """
    k, nd = elements.k, patches.dimension
    groups = _groups(elements)
    whole = groups.whole
    c = patches.centre - whole.centre
    across = np.hypot(c[:, 0], c[:, 1])
    spread_out = patches.radius + groups.width
    # The quick sum sees everything from the origin.
    quick = common_direction & (sum_code(elements, patches) != NEAR_SUM)
    spread_out = spread_out + quick * float(np.hypot(whole.centre[0], whole.centre[1]))
    axis = np.maximum(across - spread_out, 1e-9)
    near = seen_from(patches, whole).near
    horizontal, vertical = _cuts(elements)
    wide = np.where(
        spread_out >= across,
        180.0,
        np.degrees(np.arcsin(np.minimum(spread_out / np.maximum(across, 1e-9), 1.0))) + 1e-7,
    )
    phi = Jet(axis, 1.0 / axis, nd / axis**2)
    theta = Jet(axis, 1.0 / near, nd * 2.0 / (near * np.minimum(near, axis)))
    fall = Jet(1.0 / near, 1.0 / near**2, nd * 2.0 / near**3)
    vector = Jet(np.ones_like(axis), np.sqrt(2.0 * nd) / axis, nd * 5.0 / axis**2)
    away = np.sqrt(np.einsum("ni,ni->n", c, c))
    aside = patches.radius + whole.reach + quick * float(np.linalg.norm(whole.centre))
    up = vertical.jet(*_elevations(c[:, 2], away, aside), theta)
    direct = np.degrees(np.arctan2(-c[:, 1], c[:, 0]))
    sums, floors, blinds = [], [], []
    jump = np.zeros(len(patches))
    for azimuth, group, root in groups.boresights:
        turned = np.abs((direct - azimuth + 180.0) % 360.0 - 180.0)
        low, high = np.maximum(turned - wide, 0.0), np.minimum(turned + wide, 180.0)
        power = fall * horizontal.jet(low, high, phi)
        seen = seen_from(patches, group)
        full = power * up * vector * wave(k * seen.rate, k * seen.bend)
        sums.append(full.scaled(np.sqrt(30.0) * group.weight))
        floors.append(power.scaled(np.sqrt(ETA0 / (4.0 * np.pi)) * root))
        blinds.append(fall.scaled(np.sqrt(ETA0 / (4.0 * np.pi)) * root))
        corner = 2.0 * abs(_end_slope(elements)) * np.radians(wide) * (high >= 180.0)
        jump += corner * np.sqrt(30.0) * group.weight / near * vertical.value.top
    total = sums[0]
    for one in sums[1:]:
        total = total + one
    return ElementBounds(
        Jet(total.m0, total.m1, total.m2),
        stacked(floors),
        stacked(blinds),
        jump,
        away - whole.reach,
    )


def sum_code(elements: Elements, patches: Patches) -> NDArray[np.int8]:
    """Return by which form the elements are summed on patches; see :mod:`core.proof.bounds.arms`.

    Returns
    -------
    array
        Same shape as the arrays given.
    """
    return far_code(patches, FAR_REACHES * elements.reach, FAR_ELEVATION)


def both_sums(elements: Elements, points: Points) -> tuple[tuple[Floats, Floats], ...]:
    """Return E² and H² (n,) of the sum whose faces agree, in the exact and in the quick form.

    Parameters
    ----------
    elements : Elements
        The pattern elements.
    points : array, shape (n, 3)
        Places, m; their precision is kept.
    """
    quick = el.far_sum(elements, points, faces_agree=True)
    return el.phasor_sum(elements, points, faces_agree=True), (quick, quick / ETA0**2)


def _cuts(elements: Elements) -> tuple[Curve, Curve]:
    return _cut(elements.horizontal, 0.0, 180.0), _cut(elements.vertical, -90.0, 90.0)


@kept
def _cut(pattern: Callable[[Floats], Floats], low: float, high: float) -> Curve:
    """Return the curve of a cut; many elements share one, and a curve takes a few megabytes."""
    return curve(pattern, low, high)


def _chunk(elements: Elements, patches: Patches, *, common_direction: bool) -> ElementBounds:
    k, nd = elements.k, patches.dimension
    rho = patches.radius[:, None]
    weight = np.abs(elements.weight)
    reference = np.average(elements.centre, axis=0, weights=np.maximum(weight, 1e-300))
    offset = patches.centre[:, None, :] - elements.centre[None]
    distance = np.sqrt(np.einsum("nmi,nmi->nm", offset, offset))
    across = np.hypot(offset[:, :, 0], offset[:, :, 1])
    near = np.maximum(distance - rho, elements.radius)
    lost = np.where(distance - rho < elements.radius, ENDLESS, 0.0)
    axis = np.maximum(across - rho, 1e-9)
    if common_direction:
        c = patches.centre
        quick = (sum_code(elements, patches) != NEAR_SUM)[:, None]
        from_axis = np.maximum(np.hypot(c[:, 0], c[:, 1])[:, None] - rho, 1e-9)
        axis = np.where(quick, np.minimum(axis, from_axis), axis)
    seen = sight(patches, elements.centre, reference, np.zeros(len(weight)), near, k)
    horizontal, vertical = _cuts(elements)
    azimuth = np.abs(_turned(offset, elements.azimuth))
    wide = np.degrees(np.arcsin(np.clip(rho / np.maximum(across, 1e-9), 0.0, 1.0)))
    wide = np.where(rho >= across, 180.0, wide + 1e-7)
    if common_direction:
        # From the origin an element is seen under an azimuth that is a little different.
        shift = np.hypot(elements.centre[:, 0], elements.centre[:, 1]) / axis
        wide = np.where(quick, wide + np.degrees(np.minimum(shift, np.pi)), wide)
    low, high = np.maximum(azimuth - wide, 0.0), np.minimum(azimuth + wide, 180.0)
    phi = Jet(axis, 1.0 / axis, nd / axis**2)
    theta = Jet(axis, 1.0 / near, nd * 2.0 / (near * np.minimum(near, axis)))
    fall = Jet(1.0 / near, 1.0 / near**2, nd * 2.0 / near**3 + lost)
    vector = Jet(np.ones_like(axis), np.sqrt(2.0 * nd) / axis, nd * 5.0 / axis**2)
    shape = horizontal.jet(low, high, phi)
    power = fall * shape
    aside = np.broadcast_to(rho, distance.shape)
    if common_direction:
        # The direction from the origin is that from the element to a place as far from the patch.
        aside = np.where(quick, aside + np.linalg.norm(elements.centre, axis=1), aside)
    up = vertical.jet(*_elevations(offset[:, :, 2], distance, aside), theta)
    full = power * up * vector * wave(k * seen.rate, k * seen.bend)
    scale = np.sqrt(30.0) * weight
    floor_scale = weight * np.sqrt(ETA0 / (4.0 * np.pi))
    corner = 2.0 * abs(_end_slope(elements)) * np.radians(wide) * (high >= 180.0)
    return ElementBounds(
        full.scaled(scale).total(),
        power.scaled(floor_scale).root_total(),
        fall.scaled(floor_scale).root_total(),
        (corner * scale / near * vertical.value.top).sum(axis=1),
        np.maximum(distance.min(axis=1) - elements.radius, 0.0),
    )


def _elevations(z: Floats, distance: Floats, aside: Floats) -> tuple[Floats, Floats]:
    """Return the range of elevations, degrees, of balls of radius ``aside`` seen from ``distance``."""
    up = np.degrees(np.arcsin(np.clip(z / np.maximum(distance, 1e-9), -1.0, 1.0)))
    wide = spread(distance, aside)
    return np.maximum(up - wide, -90.0), np.minimum(up + wide, 90.0)


def _turned(offset: Floats, azimuth: Floats) -> Floats:
    phi = np.degrees(np.arctan2(-offset[:, :, 1], offset[:, :, 0])) - azimuth
    turned: Floats = (phi + 180.0) % 360.0 - 180.0
    return turned


@kept
def _end_slope(elements: Elements) -> float:
    """Slope per rad of the azimuth pattern straight behind, where it has a corner."""
    ends = elements.horizontal(np.array([179.98, 180.0]))
    return float((ends[1] - ends[0]) / np.radians(0.02))
