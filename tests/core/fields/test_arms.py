"""Sums of arms at places of every distance in one call."""

from __future__ import annotations

import warnings

import numpy as np

from core.fields.arms import arm_sum, make_arms


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
