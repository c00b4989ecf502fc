"""Rules of jets and of majorants against functions whose derivatives are known exactly."""

from __future__ import annotations

import numpy as np
import pytest

import core.proof.bounds.every_kind  # noqa: F401  registers the bounds
from core.antennas.worst_case import WorstCase
from core.proof.bounds.base import Bound, Patches, bound, over
from core.proof.bounds.jet import Jet, compose


def test_a_product_has_the_second_derivative_of_leibniz() -> None:
    """f = e^{2t}, g = e^{3t} at 0: values 1, slopes 2 and 3, bends 4 and 9; (fg)'' = 25 = 4 + 2·2·3 + 9."""
    product = Jet(np.ones(1), np.full(1, 2.0), np.full(1, 4.0)) * Jet(
        np.ones(1), np.full(1, 3.0), np.full(1, 9.0)
    )
    assert (product.m0[0], product.m1[0], product.m2[0]) == (1.0, 5.0, 25.0)


def test_a_function_of_a_function_has_both_terms() -> None:
    """φ = x² at x = e^{t}, t = 0: φ∘f = e^{2t} has slope 2 and bend 4 = φ''·f'² + φ'·f'' = 2·1 + 2·1."""
    inner = Jet(np.ones(1), np.ones(1), np.ones(1))
    out = compose(1.0, 2.0, 2.0, inner)
    assert (out.m1[0], out.m2[0]) == (2.0, 4.0)


def test_the_slack_of_a_patch_is_half_the_square_of_its_half_side_times_the_bend() -> None:
    """v = 1 - t² on [-h, h]: corners 1 - h², bend 2; the middle lies h² over the chord, which is ½ h² · 2."""
    zero = np.zeros(1)
    free = np.zeros(1, np.int8)
    known = Bound(np.full(1, 9.0), zero, np.full(1, 2.0), zero, zero, zero, zero, zero, zero, free)
    h = 0.3
    slack, _ = known.slacks(np.full(1, h))
    assert slack[0] == pytest.approx(h * h)
    corner = 1.0 - h * h
    raised = over(np.array([[corner**2, corner**2]]), known.e, slack)
    # The majorant of the square: (corner + slack)² exactly.
    assert raised[0, 0] == pytest.approx((corner + h * h) ** 2)


def test_the_flat_bound_counts_where_it_is_lower() -> None:
    raised = over(np.array([[4.0, 4.0]]), np.full(1, 2.1), np.full(1, 5.0))
    assert raised[0] == pytest.approx([2.1**2, 2.1**2])


def test_the_worst_case_bends_as_one_over_the_cube_of_the_distance() -> None:
    """C/d with d the distance to a point: along the radius the second derivative of C/d is 2C/d³, across it -C/d³. What
    lifts the field over a chord is the part that bends down: C/d³ for each direction."""
    kind = WorstCase(gain=0.0, size=0.0)
    d, half = 10.0, 0.2
    at = Patches(
        np.array([[0.0, d, 0.0]]), np.array([[[1.0, 0.0, 0.0]]]), np.full(1, half), np.full(1, half)
    )
    known = bound(kind, 98e6, at, conservative=True)
    line = np.array([[x, d, 0.0] for x in (-half, 0.0, half)])
    left, middle, right = np.sqrt(kind.unit_field(line, 98e6, conservative=True).e2)
    rise = middle - 0.5 * (left + right)
    slack, _ = known.slacks(np.full(1, half))
    assert rise <= slack[0] <= 1.2 * rise
