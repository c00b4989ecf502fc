"""Elements known only by a pattern, summed as phasors.

Each element radiates from its own centre with its own pattern and polarisation; the electric and the
magnetic sums are both formed, because where directions differ across the array they do not agree and
the larger is the safe one. The floor is the sum of the elements' powers, blind to phase and with the
peak gain in every elevation: nulls of an ideal array are not safe to use.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from core.arrays import Complexes, Floats, Points
from core.fields.arms import sphere
from core.fields.array_factor import (
    FAR_ELEVATION,
    FAR_REACHES,
    array_factor,
    direction_factor,
    runs,
)
from core.fields.unit_field import plane_wave
from core.units import ETA0

_CHUNK = 8192


@dataclass(frozen=True, eq=False)
class Elements:
    """Pattern elements at one frequency, in the antenna frame.

    Attributes
    ----------
    centre : array, shape (n, 3)
        Phase centres, m.
    azimuth : array, shape (n,)
        Boresight of each element, degrees clockwise off the antenna's boresight.
    weight : complex array, shape (n,)
        Field weights; the power integral sets the scale.
    horizontal, vertical : callables
        Relative field (0 to 1) against the angle off the element's boresight and against elevation,
        degrees, in the dtype of the argument.
    polarisation : str
        ``vertical``, ``horizontal``, or ``either`` (the larger of the two is taken).
    k : float
        Wave number, rad/m.
    radius : float
        Half the size of an element, m: metal is assumed this far from its centre.
    """

    centre: Floats
    azimuth: Floats
    weight: NDArray[np.complex128]
    horizontal: Callable[[Floats], Floats]
    vertical: Callable[[Floats], Floats]
    polarisation: str
    k: float
    radius: float

    @property
    def reach(self) -> float:
        """Largest distance of an element from the origin, m."""
        return float(np.max(np.linalg.norm(self.centre, axis=1))) + self.radius


def metal_distance(elements: Elements, points: Points) -> Floats:
    """Return the distance (n,) in m from points to the nearest element's edge, zero inside it."""
    nearest: Floats = np.full(len(points), np.inf, points.dtype)
    for c in elements.centre:
        offset = points - c.astype(points.dtype)
        np.minimum(nearest, np.sqrt(np.einsum("ij,ij->i", offset, offset)), out=nearest)
    return np.maximum(nearest - points.dtype.type(elements.radius), 0.0)


def _azimuth_off(offset: Points, azimuth: float) -> Floats:
    phi = np.degrees(np.arctan2(-offset[:, 1], offset[:, 0])) - offset.dtype.type(azimuth)
    turned: Floats = (phi + 180.0) % 360.0 - 180.0
    return turned


def _angles(offset: Points, r: Floats, azimuth: float) -> tuple[Floats, Floats]:
    phi = _azimuth_off(offset, azimuth)
    theta = np.degrees(np.arcsin(np.clip(offset[:, 2] / r, -1.0, 1.0)))
    return phi, theta


def phasor_sum(
    elements: Elements,
    points: Points,
    *,
    common_direction: bool = False,
    faces_agree: bool = False,
) -> tuple[Floats, Floats]:
    """Return E² and H² (n,) of the phasor sum, for the elements' own weights (W per unit weight²).

    A weight of 1 stands for an element radiating with gain 1 in its peak: E = sqrt(30) at 1 m.

    Parameters
    ----------
    points : array, shape (n, 3)
        Places, m; their precision is kept.
    common_direction : bool
        The quicker sum may be taken well outside the array, for results that a floor holds up in the nulls.
    faces_agree : bool
        Elements that look one way are added with their phases, but what different faces send as if it met in
        phase: nobody says how faces are fed, nor where on them the wave begins. Never less than without.
    """
    e2, h2 = np.empty(len(points), points.dtype), np.empty(len(points), points.dtype)
    far = np.zeros(len(points), bool)
    if common_direction:
        r2 = np.einsum("ij,ij->i", points, points)
        far = r2 > (FAR_REACHES * elements.reach) ** 2
        far &= points[:, 2] ** 2 < FAR_ELEVATION**2 * r2
    if far.any():
        e2[far] = far_sum(elements, points[far], faces_agree=faces_agree)
        h2[far] = e2[far] / points.dtype.type(ETA0**2)
    close = np.flatnonzero(~far)
    for start in range(0, len(close), _CHUNK):
        part = close[start : start + _CHUNK]
        e2[part], h2[part] = _phasor_chunk(elements, points[part], faces_agree=faces_agree)
    return e2, h2


def far_sum(elements: Elements, points: Points, *, faces_agree: bool = False) -> Floats:
    """Return E² (n,) well outside the array: one direction, one array factor a boresight.

    Parameters
    ----------
    elements : Elements
        The pattern elements.
    points : array, shape (n, 3)
        Places, m; their precision is kept.
    faces_agree : bool
        As in :func:`phasor_sum`.
    """
    r = np.sqrt(np.einsum("ij,ij->i", points, points))
    phi, theta = _angles(points, r, 0.0)
    ctype = np.complex64 if points.dtype == np.float32 else np.complex128
    total: Complexes = np.zeros(len(points), dtype=ctype)
    for azimuth in np.unique(elements.azimuth):
        mine = elements.azimuth == azimuth
        factor, _ = array_factor(elements.centre[mine], elements.weight[mine], elements.k, points)
        turned = (phi - points.dtype.type(azimuth) + 180.0) % 360.0 - 180.0
        total = total + (np.abs(factor) if faces_agree else factor) * elements.horizontal(turned)
    square: Floats = (total.real**2 + total.imag**2) * elements.vertical(theta) ** 2
    return square * points.dtype.type(30.0)


def _phasor_chunk(
    elements: Elements, points: Points, *, faces_agree: bool
) -> tuple[Floats, Floats]:
    n, real = len(points), points.dtype.type
    ctype = np.complex64 if points.dtype == np.float32 else np.complex128
    if faces_agree:
        up, level = np.zeros(n, points.dtype), np.zeros(n, points.dtype)
        for azimuth in np.unique(elements.azimuth):
            face = _vectors(elements, points, elements.azimuth == azimuth, ctype)
            up += np.sqrt(_square(face[0]))
            level += np.sqrt(_square(face[1]))
        power = [up**2, level**2]
    else:
        every = np.ones(len(elements.azimuth), bool)
        power = [_square(v) for v in _vectors(elements, points, every, ctype)]
    # E runs along the polarisation vector and eta H along the other one, so one pair of sums serves.
    if elements.polarisation == "horizontal":
        power.reverse()
    e2, h2 = power
    if elements.polarisation == "either":
        e2 = h2 = np.maximum(e2, h2)
    return e2 * real(30.0), h2 * real(30.0 / ETA0**2)


def _vectors(
    elements: Elements, points: Points, chosen: NDArray[np.bool_], ctype: type[np.complexfloating]
) -> tuple[Complexes, Complexes]:
    """Return the sums (n, 3) of the chosen elements' waves, along the meridian and along the horizon."""
    n, real = len(points), points.dtype.type
    vertical = np.zeros((n, 3), ctype)
    horizontal = np.zeros((n, 3), ctype)
    rows = zip(
        elements.centre[chosen], elements.azimuth[chosen], elements.weight[chosen], strict=True
    )
    for c, az, w in rows:
        offset = points - c.astype(points.dtype)
        r = np.maximum(np.sqrt(np.einsum("ij,ij->i", offset, offset)), real(elements.radius))
        phi, theta = _angles(offset, r, float(az))
        field = elements.horizontal(phi) * elements.vertical(theta) / r
        wave = np.empty(n, ctype)
        wave.real, wave.imag = np.cos(real(elements.k) * r), -np.sin(real(elements.k) * r)
        wave = wave * (field * ctype(w))
        unit = offset / r[:, None]
        across = np.sqrt(unit[:, 0] ** 2 + unit[:, 1] ** 2)
        # Straight above and below an element any horizontal direction will do; east is taken.
        level = across > real(1e-6)
        safe = np.where(level, across, real(1.0))
        cos_a = np.where(level, unit[:, 0] / safe, real(1.0))
        sin_a = np.where(level, unit[:, 1] / safe, real(0.0))
        phi_hat = np.stack([-sin_a, cos_a, np.zeros_like(cos_a)], axis=1)
        theta_hat = np.stack([-unit[:, 2] * cos_a, -unit[:, 2] * sin_a, across], axis=1)
        vertical += wave[:, None] * theta_hat
        horizontal += wave[:, None] * phi_hat
    return vertical, horizontal


def _square(v: NDArray[np.complexfloating]) -> Floats:
    flat: Floats = np.sum(v.real**2 + v.imag**2, axis=1)
    return flat


def power_sums(elements: Elements, points: Points) -> tuple[Floats, Floats]:
    """Return power densities (n,) of the elements' powers added, isotropic in elevation.

    The first with their azimuth patterns, the second as if every element had its peak gain in every direction.

    Parameters
    ----------
    points : array, shape (n, 3)
        Places, m; their precision is kept.
    """
    aimed, even = np.zeros((2, len(points)), points.dtype)
    real = points.dtype.type
    for start in range(0, len(points), _CHUNK):
        part = slice(start, start + _CHUNK)
        for c, az, w in zip(elements.centre, elements.azimuth, elements.weight, strict=True):
            offset = points[part] - c.astype(points.dtype)
            r2 = np.einsum("ij,ij->i", offset, offset)
            gain = real(abs(w) ** 2 / (4.0 * np.pi)) / np.maximum(r2, real(elements.radius**2))
            aimed[part] += gain * elements.horizontal(_azimuth_off(offset, float(az))) ** 2
            even[part] += gain
    return aimed, even


def far_intensity(elements: Elements, unit: Floats) -> Floats:
    """Return the radiation intensity (n,) in W/sr towards directions (n, 3).

    Parameters
    ----------
    elements : Elements
        The pattern elements.
    unit : array
        Unit vectors of directions.
    """
    far = np.zeros(len(unit), np.complex128)
    # Far away the angles do not depend on an element's place: panels that face one way share them.
    phi = _azimuth_off(unit, 0.0)
    for az in dict.fromkeys(elements.azimuth.tolist()):
        alike = elements.azimuth == az
        one = direction_factor(elements.centre[alike], elements.weight[alike], elements.k, unit)
        one *= elements.horizontal((phi - az + 180.0) % 360.0 - 180.0)
        far += one
    start, count = runs(unit[:, 2])
    level = unit[start]
    far *= np.repeat(elements.vertical(_angles(level, np.ones(len(level)), 0.0)[1]), count)
    intensity: Floats = (far.real**2 + far.imag**2) / (4.0 * np.pi)
    return intensity


def normalised(elements: Elements) -> Elements:
    """Return the elements with weights scaled so that the whole pattern radiates 1 W."""
    unit, solid = sphere(elements.reach * elements.k / (2.0 * np.pi))
    power = float(far_intensity(elements, unit) @ solid)
    return Elements(
        elements.centre,
        elements.azimuth,
        elements.weight / np.sqrt(power),
        elements.horizontal,
        elements.vertical,
        elements.polarisation,
        elements.k,
        elements.radius,
    )


def directivity(elements: Elements) -> float:
    """Return the peak gain over isotropic of elements normalised to 1 W."""
    unit, _ = sphere(elements.reach * elements.k / (2.0 * np.pi))
    # Half a band finer in elevation at the best azimuth, so that the peak is not missed.
    coarse = far_intensity(elements, unit)
    best = unit[int(np.argmax(coarse))]
    azimuth = np.arctan2(best[1], best[0])
    e = np.radians(np.linspace(-90.0, 90.0, 7201))
    cut = np.stack([np.cos(e) * np.cos(azimuth), np.cos(e) * np.sin(azimuth), np.sin(e)], axis=1)
    peak = max(float(coarse.max()), float(far_intensity(elements, cut).max()))
    return 4.0 * np.pi * peak


def floored(e2: Floats, h2: Floats, floor: Floats) -> tuple[Floats, Floats]:
    """Return E² and H² raised where needed so that their larger power density reaches ``floor``.

    Parameters
    ----------
    e2 : array
        E², V²/m².
    h2 : array
        H², A²/m².

    Returns
    -------
    tuple of arrays
        Each of the same shape as the arrays given.
    """
    floor_e2, floor_h2 = plane_wave(floor)
    return np.maximum(e2, floor_e2), np.maximum(h2, floor_h2)


def lobe(width: float, back_db: float) -> Callable[[Floats], Floats]:
    """Return a smooth azimuth field pattern: half power at ±width/2, level to ``back_db`` behind.

    A Gaussian main lobe (common practice, IEC 62232 uses the same form) joined to its back level by
    adding powers, so that it has no corner and never falls below the back level.
    """
    back = 10.0 ** (-back_db / 10.0)
    # So that the sum is exactly half at width/2 in spite of the back level.
    rate = -np.log((0.5 - back) / (1.0 - back)) / (width / 2.0) ** 2

    def relative(phi: Floats) -> Floats:
        value: Floats = np.sqrt(
            phi.dtype.type(back)
            + phi.dtype.type(1.0 - back) * np.exp(-phi.dtype.type(rate) * phi * phi)
        )
        return value

    return relative


def dipole_elevation(theta: Floats) -> Floats:
    """Return the half-wave dipole's relative field against elevation: cos(90° sin θ)/cos θ.

    ITU-R BS.1195 (textbook form, from memory).

    Parameters
    ----------
    theta : array
        Elevation, degrees.
    """
    s = np.sin(np.radians(theta))
    c2 = np.maximum(1.0 - s * s, 1e-9)
    value: Floats = (np.cos(0.5 * np.pi * s) / np.sqrt(c2)).astype(theta.dtype)
    return value


def cosine_elevation(theta: Floats) -> Floats:
    """Return the short dipole's or small ring's relative field against elevation, cos θ.

    Parameters
    ----------
    theta : array
        Elevation, degrees.

    Returns
    -------
    array
        Same shape as the arrays given.
    """
    value: Floats = np.cos(np.radians(theta))
    return value


def uniform(angle: Floats) -> Floats:
    """Return 1 in every direction.

    Parameters
    ----------
    angle : array
        Degrees.

    Returns
    -------
    array
        Same shape as the arrays given.
    """
    return np.ones_like(angle)
