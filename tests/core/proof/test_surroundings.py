"""Bounds with everything about an antenna, its images and the steel among them, on sites of any shape."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray

from core.errors import InputError
from core.exposure.sources import sources
from core.proof.bounds.mirrors import Factor, coefficient
from core.proof.corners import corner_factor, glow_factor
from support.effort import many
from support.surrounded import patchwork, radiator_of, surrounded, surrounded_ratios


@pytest.mark.parametrize("seed", range(many(40)))
def test_nothing_exceeds_its_bound(seed: int) -> None:
    rng = np.random.default_rng(seed)
    site = surrounded(rng)
    try:
        sources(site)
    except InputError:
        return
    found = surrounded_ratios(site, patchwork(site, rng, 40))
    assert found.held, found


def test_the_sites_have_all_that_bounds_are_asked_to_hold_for() -> None:
    seen = set()
    for seed in range(40):
        site = surrounded(np.random.default_rng(seed))
        try:
            around = sources(site)[0].around
        except InputError:
            continue
        seen |= {"image in a wall" for i in around.images for m in i.planes if m.upright}
        seen |= {"wall that no beam meets" for _ in around.glows}
        seen |= {"shade" for i in around.images for m in i.planes if m.shade is not None}
        seen |= {"metal" if i.conductor else "soil" for i in around.images}
        turns = around.turns
        seen |= {f"{len(c.planes)} planes" for c in turns}
        seen |= {f"{len(c.orders)} orders" for c in turns}
        seen |= {"steel"} if around.steel is not None else set()
        seen |= {"beside steel"} if around.steel is not None and around.steel.beside_db else set()
    assert seen == {
        "image in a wall", "wall that no beam meets", "shade", "metal", "soil", "steel",
        "beside steel", *(f"{n} orders" for n in (1, 2, 3, 6)), *(f"{n} planes" for n in (2, 3)),
    }  # fmt: skip


@pytest.mark.parametrize("seed", range(many(30)))
def test_coefficients_stay_within_their_range_and_their_defect(seed: int) -> None:
    """On the patch itself and not only through a field, so that a slack elsewhere cannot hide a fault."""
    rng = np.random.default_rng(3000 + seed)
    site = surrounded(rng)
    try:
        (source,) = sources(site)
    except InputError:
        return
    at = patchwork(site, rng, 60)
    d = len(at.directions)
    step = np.stack(np.meshgrid(*[np.linspace(-1.0, 1.0, 9)] * d, indexing="ij"), -1).reshape(-1, d)
    points = at.centre[:, None] + at.half * (step @ at.directions)[None]
    place, frequency = source.antenna.position, source.carrier.frequency
    corner = (np.abs(step) == 1.0).all(axis=1)
    weights = np.prod(0.5 * (1.0 + step[:, None] * step[corner][None]), axis=2)
    flat = points.reshape(-1, 3)
    for mirror in source.around.mirrors:
        bound = coefficient(mirror, at.centre, at.directions, at.half, at.radius, place, frequency)
        value = mirror.coefficient(flat, place, frequency)
        within(bound, value.reshape(points.shape[:2]), corner, weights)
    owner = radiator_of(source)
    for image in (*source.around.turns, *source.around.glows):
        bound = corner_factor(image, at, place, frequency)
        value = image.coefficient(flat, place, frequency)
        within(bound, value.reshape(points.shape[:2]), corner, weights)
        assert source.around.levels is not None
        least = source.around.spread.least
        there = owner.local(image.mirrored(flat))
        away = np.maximum(np.linalg.norm(there, axis=1), least)
        value = source.around.levels.towards(there) / away
        bound = glow_factor(source.around.levels, owner.local(image.mirrored(at.centre)), at, least)
        within(bound, value.reshape(points.shape[:2]), corner, weights)


def within(
    bound: Factor,
    value: NDArray[np.float64],
    corner: NDArray[np.bool_],
    weights: NDArray[np.float64],
) -> None:
    assert (value.max(axis=1) <= bound.most + 1e-12).all()
    assert (np.ptp(value, axis=1) <= bound.span + 1e-9).all()
    over = value - value[:, corner] @ weights.T
    assert (over.max(axis=1) <= bound.defect + 1e-9).all()
