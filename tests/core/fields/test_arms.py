"""Sums of arms at places of every distance in one call."""

from __future__ import annotations

import warnings

import numpy as np
import pytest

from core.fields.arms import arm_sum, make_arms
from core.fields.one_arm import far_arm, near_arm


def test_places_near_and_far_in_one_call_divide_by_nothing() -> None:
    """The centre of an arm beside a far place: the far form, replaced there, must not be worked out at zero."""
    arms = make_arms([[0.0, 0.0, 0.0]], [[0.0, 0.0, 1.0]], 0.5, 1.0, 2.0 * np.pi / 2.0)
    places = np.array([[0.0, 0.0, 0.0], [1e-12, 0.0, 0.0], [3.0, 0.0, 0.0], [90.0, 0.0, 4.0]])
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        whole = arm_sum(arms, places)
    assert np.isfinite(whole.e2).all()
    alone = np.array([arm_sum(arms, place[None]).e2[0] for place in places])
    np.testing.assert_allclose(whole.e2, alone, rtol=1e-9)


@pytest.mark.parametrize("wavelengths", [0.3, 1.0, 3.0])
def test_the_far_form_of_a_short_arm_is_its_closed_form_with_every_power_of_the_distance(
    wavelengths: float,
) -> None:
    """Of an arm much shorter than a wavelength only the powers of 1/(kr) could differ (Balanis, eqs. 4-8, 4-10)."""
    k, h = 2.0 * np.pi, 1.0 / 400.0
    up = np.array([0.3, -0.5, 0.8]) / np.linalg.norm([0.3, -0.5, 0.8])
    # Close to its own line, where what is divided by sin² is worked out in another way, only a part along it is left.
    close = up + 1e-3 * np.array([[0.0, 0.8, 0.5], [0.8, 0.0, -0.3]])
    directions = np.vstack([np.random.default_rng(3).normal(size=(200, 3)), close, -close])
    offset = wavelengths * directions / np.linalg.norm(directions, axis=1)[:, None]
    near = near_arm(offset, up, h, 1.5, k)
    far = far_arm(offset, np.sum(offset**2, axis=1), up, h, 1.5, k)
    for exact, quick in zip(near, far, strict=True):
        largest = np.linalg.norm(exact, axis=1).max()
        assert np.linalg.norm(quick - exact, axis=1).max() < 2e-4 * largest
