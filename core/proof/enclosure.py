"""What a site's exposure cannot exceed on small flat patches, radiator by radiator.

A radiator is everything that shares one unit field: the carriers of one antenna on one frequency. Its
part of a total is linear in E², H² and the larger of E²/η and ηH², or in their roots (nerve
stimulation). So bounds of fields (core.proof.bounds) become bounds of fractions, and the bound of a sum is the
sum of bounds.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

import core.proof.bounds.every_kind  # noqa: F401  registers the bounds
from core import geometry
from core.antennas.base import Kind
from core.arrays import Floats
from core.exposure.sources import Source, sources
from core.exposure.totals import Weight, weight
from core.limits.model import LimitSet
from core.limits.sets import get_set
from core.limits.tier import Tier
from core.proof.bounds import base
from core.proof.bounds.base import Bound, Majorant, Patches
from core.proof.bounds.two_ray import added, added_majorant, largest_coefficient
from core.site.reflection import Ray, Reflection, ReflectionKind
from core.site.site import Site
from core.units import ETA0
from core.views.body import Body

HUGE = 1e200
"""Stands for infinity: infinity times a weight of zero would be no number."""

_TERMS = 6
_MIRROR = np.array([1.0, 1.0, -1.0])


@dataclass(frozen=True, slots=True)
class Total:
    """One sum over the radiators that is compared with 1: the E or the H total of one table."""

    table: int
    magnetic: bool
    mean: bool


@dataclass(frozen=True, slots=True)
class Patchwork:
    """Patches in the site frame: centres (n, 3), directions (d, 3) of all, half-side and radius."""

    centre: NDArray[np.float64]
    directions: NDArray[np.float64]
    half: float
    radius: float

    def part(self, rows: NDArray[np.intp]) -> Patchwork:
        """Return some of the patches."""
        return Patchwork(self.centre[rows], self.directions, self.half, self.radius)


@dataclass(frozen=True, slots=True)
class Radiator:
    """One unit field and where it stands.

    ``members`` are the sources that share it; ``second_ray`` a two-ray reflection, which is part of it.
    """

    kind: Kind
    frequency: float
    conservative: bool
    position: NDArray[np.float64]
    frame: NDArray[np.float64]
    members: tuple[int, ...]
    second_ray: Reflection | None

    @property
    def group(self) -> tuple[object, ...]:
        """Radiators with the same group are worked on together."""
        key: tuple[object, ...] = (self.kind, self.frequency, self.conservative)
        return (*key, self.members) if self.second_ray is not None else key

    def local(self, points: NDArray[np.float64]) -> NDArray[np.float64]:
        """Return site points (n, 3) in the antenna's frame."""
        return np.asarray(geometry.to_local(points, self.position, self.frame))

    def patches(self, places: Patchwork) -> Patches:
        """Return patches in the antenna's frame."""
        turned = places.directions @ self.frame
        n = len(places.centre)
        return Patches(
            self.local(places.centre),
            np.broadcast_to(turned, (n, *turned.shape)),
            np.full(n, places.half),
            np.full(n, places.radius),
        )

    def bound(self, patches: Patches) -> Bound:
        """Return the kind's bound of patches in the antenna's frame."""
        return base.bound(self.kind, self.frequency, patches, conservative=self.conservative)

    def majorant(
        self,
        patches: Patches,
        known: Bound,
        points: NDArray[np.float64],
        corners: NDArray[np.intp],
    ) -> Majorant:
        """Return the kind's majorant; see :func:`core.proof.bounds.base.majorant`."""
        return base.majorant(
            self.kind,
            self.frequency,
            patches,
            known,
            points,
            corners,
            conservative=self.conservative,
        )


def bound_of(owners: Sequence[Radiator], places: Sequence[Patchwork]) -> Bound:
    """Return the bound of the places of each owner, one after another; owners share a group."""
    first = owners[0]
    direct = joined([o.patches(p) for o, p in zip(owners, places, strict=True)])
    bound = first.bound(direct)
    if first.second_ray is None:
        return bound
    for one in first.second_ray.rays():
        ray = first.bound(first.patches(mirrored(one, places[0])))
        size = largest_coefficient(one, places[0], first.position, first.frequency)
        bound = added(bound, ray, size)
    return bound


def majorant_of(
    owners: Sequence[Radiator],
    places: Sequence[Patchwork],
    known: Bound,
    points: NDArray[np.float64],
    owner_of: NDArray[np.intp],
    corners: NDArray[np.intp],
) -> Majorant:
    """Return the majorant on the places of each owner, one after another; owners share a group.

    ``points`` (m, 3) are site points, ``owner_of`` (m,) tells whose; ``corners`` (n, c) index them.

    Parameters
    ----------
    known : Bound
        Bounds that are known of the same patches.
    """
    first = owners[0]
    direct = joined([o.patches(p) for o, p in zip(owners, places, strict=True)])
    position = np.stack([o.position for o in owners])[owner_of]
    frame = np.stack([o.frame for o in owners])[owner_of]
    local = np.einsum("ni,nij->nj", points - position, frame)
    if first.second_ray is None:
        return first.majorant(direct, known, local, corners)
    total = first.majorant(direct, first.bound(direct), local, corners)
    for one in first.second_ray.rays():
        there = first.patches(mirrored(one, places[0]))
        size = largest_coefficient(one, places[0], first.position, first.frequency)
        ray = first.majorant(
            there,
            first.bound(there),
            first.local(np.asarray(one.mirrored(points), dtype=np.float64)),
            corners,
        )
        here = one.coefficient(points, tuple(first.position.tolist()), first.frequency)
        total = added_majorant(total, ray, size, here[corners])
    return total


def mirrored(ray: Ray, places: Patchwork) -> Patchwork:
    """Return patches of the site mirrored in a reflecting plane.

    Parameters
    ----------
    ray : Ray
        The ray that the plane reflects.
    places : Patchwork
        The patches, in the site frame.
    """
    centre = np.asarray(ray.mirrored(places.centre), dtype=np.float64)
    return Patchwork(centre, places.directions * _MIRROR, places.half, places.radius)


def joined(parts: Sequence[Patches]) -> Patches:
    """Return patches one after another.

    Parameters
    ----------
    parts : Sequence[Patches]
        What is put together, one after another.
    """
    if len(parts) == 1:
        return parts[0]
    return Patches(*(np.concatenate([getattr(p, n) for p in parts]) for n in Patches.__slots__))


@dataclass(frozen=True, slots=True)
class Enclosure:
    """The radiators of a site against one tier, ready for bounds.

    ``groups`` are the radiators worked on together. ``coefficients`` (radiators, totals, 6) multiply E²,
    H², the larger of E²/η and ηH², and the roots of these three, for 1 W.
    """

    sources: tuple[Source, ...]
    radiators: tuple[Radiator, ...]
    totals: tuple[Total, ...]
    groups: tuple[NDArray[np.intp], ...]
    coefficients: Floats

    def fractions(
        self, radiator: NDArray[np.intp], e2: Floats, h2: Floats, *, majorant: bool = False
    ) -> Floats:
        """Return the parts (p, totals, ...) of the radiators (p,) from squares (p, ...) for 1 W.

        With ``majorant`` the last axis are corner values that are interpolated: the majorant of a root
        is its tangent at the corners' mean, which is linear again.
        """
        e2, h2 = np.minimum(e2, HUGE), np.minimum(h2, HUGE)
        squares = (e2, h2, np.maximum(e2 / ETA0, h2 * ETA0))
        used = self.coefficients.any(axis=(0, 1))
        out = np.zeros((len(e2), len(self.totals), *e2.shape[1:]))
        for term in np.flatnonzero(used):
            y = squares[term % 3]
            if term >= 3:
                y = _tangent(y) if majorant else np.sqrt(y)
            c = self.coefficients[radiator, :, term]
            out += c.reshape(*c.shape, *([1] * (y.ndim - 1))) * y[:, None]
        return np.minimum(out, HUGE)


def _tangent(y: Floats) -> Floats:
    middle = np.maximum(y.mean(axis=-1, keepdims=True), 1e-300)
    raised: Floats = (y + middle) / (2.0 * np.sqrt(middle))
    return raised


def enclosure(site: Site, tier: Tier, body: Body) -> Enclosure:
    """Return what is needed to bound the exposure of a site against a tier.

    Radiators without a limit in any table stay in it, for their reactive region.

    Parameters
    ----------
    body : Body
        The column of heights that is exposed.

    Raises
    ------
    InputError
        If powers are inconsistent or there is no such tier.
    """
    all_sources = sources(site)
    limit_set = get_set(site.limit_set)
    tables = limit_set.of(tier)
    radiators = _radiators(all_sources)
    weights = [
        [weight(t.at(s.carrier.frequency), t, limit_set, s.carrier.frequency) for t in tables]
        for s in all_sources
    ]
    totals = _totals(weights, limit_set, tier, body)
    groups: dict[tuple[object, ...], list[int]] = {}
    for i, radiator in enumerate(radiators):
        groups.setdefault(radiator.group, []).append(i)
    coefficients = np.zeros((len(radiators), len(totals), _TERMS))
    for i, radiator in enumerate(radiators):
        for m in radiator.members:
            scale = all_sources[m].power * all_sources[m].reflection.power_factor
            for j, total in enumerate(totals):
                coefficients[i, j] += _coefficients(weights[m][total.table], total, scale)
    members = tuple(np.array(g) for g in groups.values())
    return Enclosure(all_sources, radiators, totals, members, coefficients)


def _coefficients(w: Weight, total: Total, scale: float) -> Floats:
    """Return the six coefficients of one source; see :func:`core.exposure.totals.split`."""
    out = np.zeros(_TERMS)
    if w.density:
        out[2] = w.density * (2.0 if w.added else 1.0)
    elif w.added:
        out[0], out[1] = w.electric, w.magnetic
    else:
        out[1 if total.magnetic else 0] = w.magnetic if total.magnetic else w.electric
    out *= scale
    if w.linear:
        out[3:] = np.sqrt(out[:3])
        out[:3] = 0.0
    return out


def _radiators(all_sources: Sequence[Source]) -> tuple[Radiator, ...]:
    by_key: dict[tuple[object, ...], list[int]] = {}
    for i, source in enumerate(all_sources):
        if source.power > 0.0:
            by_key.setdefault(source.key, []).append(i)
    out = []
    for members in by_key.values():
        first = all_sources[members[0]]
        a = first.antenna
        two_ray = first.reflection.kind is ReflectionKind.TWO_RAY
        out.append(
            Radiator(
                a.kind,
                first.carrier.frequency,
                first.conservative,
                np.array(a.position, dtype=np.float64),
                first.frame,
                tuple(members),
                first.reflection if two_ray else None,
            )
        )
    return tuple(out)


def _totals(
    weights: Sequence[Sequence[Weight]], limit_set: LimitSet, tier: Tier, body: Body
) -> tuple[Total, ...]:
    totals = []
    for t, table in enumerate(limit_set.of(tier)):
        used = [w[t] for w in weights]
        mean = body.average and table.spatial == "mean"
        if any(w.electric or w.magnetic or w.density for w in used):
            totals.append(Total(t, False, mean))
        # Where every source counts the same in both totals one of them is enough.
        if any((w.electric or w.magnetic) and not w.added for w in used):
            totals.append(Total(t, True, mean))
    if weights and not totals:
        # Nothing has a limit in the set; what is reactive is inside all the same.
        totals.append(Total(0, False, False))
    return tuple(totals)
