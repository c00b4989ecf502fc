"""Constants of the proofs against numeric suprema: none is smaller than what it bounds, none much larger."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest

from core.proof.bounds.arms import electric_kernel, magnetic_kernel
from core.proof.bounds.cluster import BENT, STRAIGHT, cluster, seen_from
from core.proof.bounds.jet import wave
from support.bound_checks import patches

ANGLES = np.linspace(0.0, np.pi, 2001)
STEP = 2e-3


def derivatives(f: Callable[[float], np.ndarray]) -> list[np.ndarray]:
    """Return value and derivatives 1 to 4 at 0, by central differences of high order."""
    at = {i: f(i * STEP) for i in range(-4, 5)}
    odd = {i: at[i] - at[-i] for i in range(1, 5)}
    even = {i: at[i] + at[-i] for i in range(1, 5)}
    first = (672 * odd[1] - 168 * odd[2] + 32 * odd[3] - 3 * odd[4]) / 840 / STEP
    second = (
        (8064 * even[1] - 1008 * even[2] + 128 * even[3] - 9 * even[4] - 14350 * at[0])
        / 5040
        / STEP**2
    )
    third = (-488 * odd[1] + 338 * odd[2] - 72 * odd[3] + 7 * odd[4]) / 240 / STEP**3
    fourth = (
        (-1952 * even[1] + 676 * even[2] - 96 * even[3] + 7 * even[4] + 2730 * at[0])
        / 240
        / STEP**4
    )
    return [at[0], first, second, third, fourth]


def distance_along(angle: float) -> Callable[[float], np.ndarray]:
    """The distance to a place one metre away, along a line that leaves it at an angle."""
    return lambda t: np.hypot(np.cos(angle) + t, np.sin(angle))


def largest(order: int) -> float:
    return max(abs(float(derivatives(distance_along(a))[order])) for a in ANGLES)


def test_straight_is_the_largest_third_derivative_of_a_distance() -> None:
    assert pytest.approx(largest(3), rel=1e-4) == STRAIGHT
    assert largest(3) * (1.0 - 1e-5) <= STRAIGHT


def test_bent_is_the_largest_fourth_derivative_of_a_distance() -> None:
    assert pytest.approx(largest(4), rel=1e-3) == BENT
    assert largest(4) * (1.0 - 1e-4) <= BENT


def g_along(angle: float, x: float) -> Callable[[float], np.ndarray]:
    """The dipole kernel g of core.proof.bounds.arms one metre away, with 1/k = x, along a line at an angle."""

    def g(t: float) -> np.ndarray:
        v = np.array([np.cos(angle) + t, np.sin(angle)])
        r = np.hypot(*v)
        tt = np.outer(v, v) / r**2
        y = x / r
        near = np.eye(2) - 3.0 * tt
        return np.asarray(((np.eye(2) - tt) - 1j * y * near - y * y * near) / r)

    return g


def h_along(angle: float, x: float) -> Callable[[float], np.ndarray]:
    def h(t: float) -> np.ndarray:
        v = np.array([np.cos(angle) + t, np.sin(angle)])
        r = np.hypot(*v)
        return np.asarray((1.0 - 1j * x / r) * v / r**2)

    return h


def norms(along: Callable[[float, float], Callable[[float], np.ndarray]], x: float) -> list[float]:
    """Return the largest norms of value, slope and bend over all angles."""
    most = [0.0, 0.0, 0.0]
    for angle in ANGLES[::5]:
        for order, value in enumerate(derivatives(along(angle, x))[:3]):
            # Out of the plane of the line the kernel (1 - T)/r - ... adds its own row; it is no larger there.
            most[order] = max(most[order], float(np.linalg.norm(value, 2)))
    return most


@pytest.mark.parametrize("x", [0.0, 0.05, 0.3, 1.0, 4.0])
def test_the_electric_kernel_bounds_the_dipole_and_its_derivatives(x: float) -> None:
    jet = electric_kernel(np.ones(1), np.full(1, x), 1)
    for bound, sup in zip((jet.m0, jet.m1, jet.m2), norms(g_along, x), strict=True):
        assert sup * (1.0 - 1e-6) <= float(bound[0]) <= 2.2 * max(sup, 1.0)


@pytest.mark.parametrize("x", [0.0, 0.05, 0.3, 1.0, 4.0])
def test_the_magnetic_kernel_bounds_the_dipole_and_its_derivatives(x: float) -> None:
    jet = magnetic_kernel(np.ones(1), np.full(1, x), 1)
    for bound, sup in zip((jet.m0, jet.m1, jet.m2), norms(h_along, x), strict=True):
        assert sup * (1.0 - 1e-6) <= float(bound[0]) <= 2.2 * max(sup, 1.0)


@pytest.mark.parametrize(
    ("x", "rows"), [(0.0, (1.0, 2.0 / np.sqrt(3.0), 3.0)), (1e4, (2.0, 6.0, 24.0))]
)
def test_the_table_of_kernel_norms_holds_row_by_row(x: float, rows: tuple[float, ...]) -> None:
    """Far out the first row of the table alone, close in the last (times x²)."""
    scale = max(x * x, 1.0)
    for sup, row in zip(norms(g_along, x), rows, strict=True):
        assert sup / scale == pytest.approx(row, rel=2e-3)


def test_a_wave_turns_as_fast_as_its_phase() -> None:
    """The jet of e^{jψ} with |ψ'| ≤ a and |ψ''| ≤ b has |e'| ≤ a and |e''| ≤ a² + b: numerically the supremum."""
    a, b = 3.0, 7.0
    phase = lambda t: a * t + 0.5 * b * t * t  # noqa: E731
    _, first, second, _, _ = derivatives(lambda t: np.exp(1j * phase(t)))
    jet = wave(np.full(1, a), np.full(1, b))
    assert abs(first) <= float(jet.m1[0]) * (1.0 + 1e-9)
    assert abs(second) <= float(jet.m2[0]) * (1.0 + 1e-9)
    assert float(jet.m2[0]) <= 1.6 * abs(second)


@pytest.mark.parametrize("seed", range(6))
def test_path_differences_of_a_cluster_stay_under_their_bounds(seed: int) -> None:
    """Rate and bend of ψ = r(0) - r(δ), weighted root mean squares, at random places of random patches."""
    rng = np.random.default_rng(seed)
    centres = rng.normal(size=(9, 3)) * [0.2, 0.2, 1.0]
    weights = rng.uniform(0.2, 1.0, 9)
    of = cluster(centres, weights, np.zeros(9), np.average(centres, axis=0, weights=weights))
    at = patches(seed, 14.0, 2, 40)
    seen = seen_from(at, of)
    share = weights / weights.sum()
    h = 1e-4
    for i in range(40):
        for _ in range(6):
            u = rng.uniform(-1.0, 1.0, 2) * at.half[i]
            place = at.centre[i] + u @ at.directions[i]
            for direction in at.directions[i]:
                psi = [
                    np.linalg.norm(place + s * h * direction - of.centre)
                    - np.linalg.norm(place + s * h * direction - centres, axis=1)
                    for s in (-1.0, 0.0, 1.0)
                ]
                rate = np.sqrt(share @ ((psi[2] - psi[0]) / (2 * h)) ** 2)
                bend = np.sqrt(share @ ((psi[2] - 2 * psi[1] + psi[0]) / h**2) ** 2)
                assert rate <= seen.rate[i] * (1.0 + 1e-6)
                assert bend <= seen.bend[i] * (1.0 + 1e-3) + 1e-6
