"""Patches about an antenna, and its bounds held against dense samples of its own field on them."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

import core.proof.bounds.every_kind  # noqa: F401  registers the bounds
from core.antennas.base import Kind
from core.proof.bounds.base import ALL_REACTIVE, NOT_REACTIVE, Patches, bound, majorant
from core.units import wavelength

Points = NDArray[np.float64]


def patches(seed: int, distance: float, dimension: int, count: int = 120) -> Patches:
    """Return patches about a distance in all directions, a third of them close to an axis of the frame."""
    rng = np.random.default_rng(seed)
    way = rng.normal(size=(count, 3))
    axes = np.eye(3)[rng.integers(0, 3, count)] * rng.choice([-1.0, 1.0], count)[:, None]
    near_axis = rng.random(count) < 1.0 / 3.0
    way = np.where(near_axis[:, None], axes + 0.02 * way, way)
    way /= np.linalg.norm(way, axis=1, keepdims=True)
    centre = way * (distance * rng.uniform(0.5, 1.5, count))[:, None]
    return facing(rng, centre, dimension, distance)


def around(kind: Kind, frequency: float, rng: np.random.Generator, count: int) -> Patches:
    """Return patches from close to an antenna's metal to thirty of its sizes, a third of them near an axis."""
    lam = wavelength(frequency)
    metal = kind.outline(frequency).reshape(-1, 3)
    size = float(np.ptp(metal, axis=0).max()) + 0.1 * lam
    away = np.exp(rng.uniform(np.log(0.3 * size), np.log(30.0 * (size + lam)), count))
    way = rng.normal(size=(count, 3))
    axes = np.eye(3)[rng.integers(0, 3, count)] * rng.choice([-1.0, 1.0], count)[:, None]
    close = axes + 10.0 ** rng.uniform(-3.0, -0.7, (count, 1)) * way
    way = np.where(rng.random((count, 1)) < 0.35, close, way)
    way /= np.linalg.norm(way, axis=1, keepdims=True)
    at = metal[rng.integers(0, len(metal), count)]
    start = np.where(rng.random((count, 1)) < 0.5, metal.mean(axis=0), at)
    centre = start + way * away[:, None]
    widest = away
    if kind.has_own_ground:
        centre[:, 2] = np.abs(centre[:, 2])
        widest = np.minimum(away, 0.5 * centre[:, 2])
    return facing(rng, centre, int(rng.integers(1, 4)), widest)


def facing(
    rng: np.random.Generator, centre: Points, dimension: int, size: float | Points
) -> Patches:
    """Return patches at centres, half of them along the axes, half-sides up to a twentieth of ``size``."""
    count = len(centre)
    turn, _ = np.linalg.qr(rng.normal(size=(count, 3, 3)))
    level = rng.random(count) < 0.5
    turn = np.where(level[:, None, None], np.eye(3), np.swapaxes(turn, 1, 2))
    half = size * 10.0 ** rng.uniform(-3.5, -1.3, count)
    return Patches(centre, turn[:, :dimension], half, half * np.sqrt(dimension))


def places(at: Patches, count: int) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return points (n, s, 3) over the patches and their multilinear weights (s, corners)."""
    d = at.dimension
    step = np.stack(np.meshgrid(*[np.linspace(-1.0, 1.0, count)] * d, indexing="ij"), -1)
    step = step.reshape(-1, d)
    corner = np.array([[(c >> axis & 1) * 2 - 1 for axis in range(d)] for c in range(1 << d)])
    weights = np.prod(0.5 * (1.0 + step[:, None] * corner[None]), axis=2)
    points = at.centre[:, None] + at.half[:, None, None] * np.einsum(
        "sd,ndi->nsi", step, at.directions
    )
    return points, weights


@dataclass(frozen=True, slots=True)
class Ratios:
    """How a field fills its bounds on patches: 1 is full, more is a fault.

    Attributes
    ----------
    sup : float
        Largest amplitude over its supremum.
    majorant : float
        Largest square over the majorant interpolated from the corners.
    missed : bool
        A place is reactive on a patch that was said not to be.
    wide : bool
        A place is not reactive on a patch that was said to be: it only makes a zone larger. Above the tip of a
        thick mast the model moves places out to the mast's radius first, the bound does not.
    corner : float
        Least field that the majorant has at a corner over the model's own.
    usual : float
        How often the two are the same.
    """

    sup: float
    majorant: float
    missed: bool
    wide: bool
    corner: float
    usual: float

    @property
    def held(self) -> bool:
        """True where nothing exceeds its bound but for rounding."""
        most = max(self.sup, self.majorant, 2.0 - self.corner)
        return not self.missed and most <= 1.0 + 1e-9


def ratios(kind: Kind, frequency: float, conservative: bool, at: Patches) -> Ratios:
    """Compare bound and majorant of patches with dense samples of the field on them."""
    known = bound(kind, frequency, at, conservative=conservative)
    points, weights = places(at, 9 if at.dimension == 1 else 5)
    n, s = points.shape[:2]
    unit = kind.unit_field(points.reshape(-1, 3), frequency, conservative=conservative)
    reactive = unit.reactive.reshape(n, s)
    free = known.reactive == NOT_REACTIVE
    missed = bool(reactive[free].any())
    wide = not reactive[known.reactive == ALL_REACTIVE].all()
    ends, _ = places(at, 2)
    flat = ends.reshape(-1, 3)
    # places() runs the last direction fastest, corners the first.
    order = np.arange(len(flat)).reshape(n, *[2] * at.dimension)
    corners = np.transpose(order, (0, *range(at.dimension, 0, -1))).reshape(n, -1)
    over = majorant(kind, frequency, at, known, flat, corners, conservative=conservative)
    filled, raised = [0.0], [0.0]
    for square, sup, most in (
        (unit.e2, known.e, over.e2_over),
        (unit.h2, known.h, over.h2_over),
    ):
        field = square.reshape(n, s)
        outside = np.where(reactive, 0.0, np.sqrt(field))
        filled.append(float(np.max(outside / np.maximum(sup, 1e-300)[:, None])))
        part = field[free] / np.maximum(most @ weights.T, 1e-300)[free]
        raised.append(float(part.max(initial=0.0)))
    own = kind.unit_field(flat, frequency, conservative=conservative).e2[corners]
    # What the majorant calls the field at a corner is the model's own, or a larger branch of it.
    least = float((over.e2 / np.maximum(own, 1e-300)).min())
    usual = float(np.isclose(over.e2, own, rtol=1e-9).mean())
    return Ratios(max(filled), max(raised), missed, wide, least, usual)


def hold(kind: Kind, frequency: float, conservative: bool, at: Patches) -> Ratios:
    """Compare as :func:`ratios` and fail where anything exceeds its bound."""
    found = ratios(kind, frequency, conservative, at)
    assert found.held, (kind, frequency, conservative, found)
    assert not found.wide, (kind, frequency, conservative, found)
    return found
