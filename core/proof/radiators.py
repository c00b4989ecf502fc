"""Radiators with what stands about them: bounds of their unit fields on small flat patches of the site.

A radiator is everything that shares one unit field: the carriers of one antenna on one frequency. Those of one
kind are worked on together, and so are all their images.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import reduce

import numpy as np
from numpy.typing import NDArray

import core.proof.bounds.every_kind  # noqa: F401  registers the bounds
from core import geometry
from core.antennas.base import Kind
from core.arrays import Floats
from core.proof.bounds import base
from core.proof.bounds.base import NOT_REACTIVE, Bound, Majorant, Patches
from core.proof.bounds.mirrors import Factor
from core.proof.bounds.surroundings import (
    added,
    added_majorant,
    even_bound,
    even_majorant,
    floor_bound,
    floor_majorant,
    larger,
    larger_majorant,
    raised,
    raised_majorant,
    steel_factor,
)
from core.proof.corners import corner_factor, glow_factor
from core.proof.parts import Share, bound_again
from core.proof.patchwork import Patchwork, mirrored
from core.site.corner import Corner
from core.site.steel import Steel
from core.site.surroundings import Surroundings


@dataclass(frozen=True, slots=True)
class Radiator:
    """One unit field and where it stands.

    ``members`` are the sources that share it; ``around`` what stands about it and is part of the field.
    """

    kind: Kind
    frequency: float
    conservative: bool
    position: NDArray[np.float64]
    frame: NDArray[np.float64]
    members: tuple[int, ...]
    around: Surroundings

    @property
    def group(self) -> tuple[object, ...]:
        """Radiators with the same group are worked on together."""
        return (self.kind, self.frequency, self.conservative)

    @property
    def place(self) -> tuple[float, float, float]:
        """Where it stands, site frame, m."""
        x, y, z = (float(v) for v in self.position)
        return x, y, z

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


def bound_of(
    owners: Sequence[Radiator], places: Sequence[Patchwork], share: Share | None = None
) -> Bound:
    """Return the bound of the places of each owner, one after another; owners share a group.

    Parameters
    ----------
    owners : sequence of Radiator
        Of one group.
    places : sequence of Patchwork
        The places of each.
    share : Share or None
        Takes the bounds of the rays.
    """
    first = owners[0]
    direct = joined([o.patches(p) for o, p in zip(owners, places, strict=True)])
    bound = first.bound(direct)
    if all(o.around.none for o in owners):
        return bound
    bound = bound.copied()
    if share is not None:
        share.put(0, np.arange(len(direct)), bound)
    for image, ray in _image_bounds(_images(owners, places), share):
        bound.put(image.rows, added(bound.part(image.rows), ray, image.size.most))
    for owner, rows, part in _rows(owners, places):
        if owner.around.sends_more:
            glow = _glow(owner, part).most
            bound.put(rows, added(bound.part(rows), even_bound(len(rows)), glow))
    for owner, rows, part in _rows(owners, places):
        steel = owner.around.steel
        if steel is None:
            continue
        with_floor = bound.part(rows)
        if steel.fill > 0.0:
            floor = floor_bound(owner.around.spread, steel.fill, direct.part(rows))
            with_floor = larger(with_floor, floor)
        bound.put(rows, raised(with_floor, _rise(steel, part).most))
    return bound


def majorant_of(
    owners: Sequence[Radiator],
    places: Sequence[Patchwork],
    known: Bound,
    points: NDArray[np.float64],
    owner_of: NDArray[np.intp],
    corners: NDArray[np.intp],
    share: Share | None = None,
) -> Majorant:
    """Return the majorant on the places of each owner, one after another; owners share a group.

    ``points`` (m, 3) are site points, ``owner_of`` (m,) tells whose; ``corners`` (n, c) index them.

    Parameters
    ----------
    known : Bound
        Bounds that are known of the same patches.
    share : Share or None
        Bounds of the rays, where they are known.
    """
    first = owners[0]
    direct = joined([o.patches(p) for o, p in zip(owners, places, strict=True)])
    position = np.stack([o.position for o in owners])[owner_of]
    frame = np.stack([o.frame for o in owners])[owner_of]
    local = np.einsum("ni,nij->nj", points - position, frame)
    if all(o.around.none for o in owners):
        return first.majorant(direct, known, local, corners)
    own = bound_again(first.bound, direct, share, [(0, np.arange(len(direct)))])
    total = first.majorant(direct, own, local, corners).copied()
    images = _images(owners, places)
    if images:
        total = _with_images(total, images, points, corners, share)
    for owner, rows, part in _rows(owners, places):
        if owner.around.sends_more:
            used, who = np.unique(corners[rows], return_inverse=True)
            here = owner.around.glow(points[used], owner.place, owner.frame, owner.frequency)
            here = here[who.reshape(corners[rows].shape)]
            lost = np.zeros(len(rows), bool)
            even = even_majorant(here.shape)
            one = total.part(rows)
            total.put(rows, added_majorant(one, even, _glow(owner, part), here, lost))
    for owner, rows, part in _rows(owners, places):
        steel = owner.around.steel
        if steel is None:
            continue
        used, who = np.unique(corners[rows], return_inverse=True)
        who = who.reshape(corners[rows].shape)
        one = total.part(rows)
        if steel.fill > 0.0:
            spread = owner.around.spread
            floor = floor_majorant(spread, steel.fill, direct.part(rows), local[used], who)
            one = larger_majorant(one, floor)
        here = steel.rise(steel.distance(points[used]))[who]
        total.put(rows, raised_majorant(one, _rise(steel, part), here))
    return total


def _glow(owner: Radiator, places: Patchwork) -> Factor:
    """Return the root of the density of what is no field of its own.

    What several planes send is added; of walls that no beam meets the powers are, a norm, convex, of what each sends:
    it exceeds the interpolation of its corners by no more than the norm of what each exceeds its own by.
    """
    zero = np.zeros(len(places.centre))
    turns = (_glow_of(owner, corner, places) for corner in owner.around.turns)
    total = reduce(Factor.plus, turns, Factor(zero, zero, zero))
    parts = [_glow_of(owner, corner, places) for corner in owner.around.glows]
    if not parts:
        return total
    most, least, defect = (
        np.sqrt(np.sum([np.square(getattr(p, name)) for p in parts], axis=0))
        for name in ("most", "least", "defect")
    )
    return total.plus(Factor(most, most - least, np.minimum(defect, most - least)))


def _glow_of(owner: Radiator, corner: Corner, places: Patchwork) -> Factor:
    around = owner.around
    assert around.levels is not None
    there = np.asarray(owner.patches(mirrored(corner.planes, places)).centre, dtype=np.float64)
    return corner_factor(corner, places, owner.place, owner.frequency).times(
        glow_factor(around.levels, there, places, around.spread.least)
    )


def _rise(steel: Steel, places: Patchwork) -> Factor:
    return steel_factor(steel, places.centre, places.half, places.radius, len(places.directions))


@dataclass(frozen=True, slots=True)
class _Image:
    """The places of one owner that one of its images sends a wave to.

    ``rows`` count among the places of all owners; ``patches`` are the mirrored places in the owner's frame.
    """

    owner: Radiator
    image: Corner
    number: int
    rows: NDArray[np.intp]
    patches: Patches
    size: Factor

    @property
    def fill(self) -> float:
        """Share of the isotropic value under which the image is not taken."""
        return self.owner.around.image_fill(self.image)


def _rows(
    owners: Sequence[Radiator], places: Sequence[Patchwork]
) -> Iterator[tuple[Radiator, NDArray[np.intp], Patchwork]]:
    """Yield each owner with the rows of its places and those."""
    start = 0
    for owner, part in zip(owners, places, strict=True):
        yield owner, np.arange(start, start + len(part.centre)), part
        start += len(part.centre)


def _images(owners: Sequence[Radiator], places: Sequence[Patchwork]) -> list[_Image]:
    out = []
    for owner, rows, part in _rows(owners, places):
        for number, image in enumerate(owner.around.images, start=1):
            size = corner_factor(image, part, owner.place, owner.frequency)
            sent = np.flatnonzero(size.most > 0.0)
            if sent.size:
                there = mirrored(image.planes, part.part(sent))
                patches = owner.patches(there)
                out.append(_Image(owner, image, number, rows[sent], patches, size.part(sent)))
    return out


def _image_bounds(images: Sequence[_Image], share: Share | None) -> Iterator[tuple[_Image, Bound]]:
    """Yield each image with the bound of its field, floors included."""
    if not images:
        return
    together = images[0].owner.bound(joined([i.patches for i in images]))
    start = 0
    for image in images:
        rays = together.part(slice(start, start + len(image.rows)))
        start += len(image.rows)
        if share is not None:
            share.put(image.number, image.rows, rays)
        if image.fill > 0.0:
            rays = larger(rays, floor_bound(image.owner.around.spread, image.fill, image.patches))
        yield image, rays


@dataclass(frozen=True, slots=True)
class _Corners:
    """The corners of an image's patches: mirrored places in the owner's frame, who uses which, coefficients."""

    local: NDArray[np.float64]
    who: NDArray[np.intp]
    here: Floats


def _corners_of(image: _Image, points: NDArray[np.float64], corners: NDArray[np.intp]) -> _Corners:
    used, who = np.unique(corners[image.rows], return_inverse=True)
    who = who.reshape(corners[image.rows].shape)
    owner = image.owner
    there = np.asarray(image.image.mirrored(points[used]), dtype=np.float64)
    size = image.image.coefficient(points[used], owner.place, owner.frequency)
    return _Corners(owner.local(there), who, size[who])


def _with_images(
    direct: Majorant,
    images: Sequence[_Image],
    points: NDArray[np.float64],
    corners: NDArray[np.intp],
    share: Share | None,
) -> Majorant:
    """Return the majorant of a direct field with images."""
    at = [_corners_of(image, points, corners) for image in images]
    offsets = np.cumsum([0, *(len(c.local) for c in at)])[:-1]
    patches = joined([i.patches for i in images])
    owner = images[0].owner
    known = bound_again(owner.bound, patches, share, [(i.number, i.rows) for i in images])
    together = owner.majorant(
        patches,
        known,
        np.concatenate([c.local for c in at]),
        np.concatenate([c.who + o for c, o in zip(at, offsets, strict=True)]),
    )
    total = direct.copied()
    start = 0
    for image, here in zip(images, at, strict=True):
        rows = np.arange(start, start + len(image.rows))
        start += len(image.rows)
        ray = together.part(rows)
        if image.fill > 0.0:
            spread = image.owner.around.spread
            floor = floor_majorant(spread, image.fill, image.patches, here.local, here.who)
            ray = larger_majorant(ray, floor)
        lost = np.asarray(known.reactive[rows] != NOT_REACTIVE)
        whole = added_majorant(total.part(image.rows), ray, image.size, here.here, lost)
        total.put(image.rows, whole)
    return total


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
