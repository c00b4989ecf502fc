"""Closed forms against exact fields: every way the program has of writing the same field.

The exact fields come with the validation report (core/validation/em/filaments.json): closed forms checked
by quadrature, computed for this project. Superposition with the currents of method-of-moments antennas is
held against them by the report itself (tests/validation).
"""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from core.fields import arms as arm
from core.fields import ground as gr
from core.fields import half_arms as half
from core.fields import one_arm
from core.units import SPEED_OF_LIGHT
from core.validation.data import load

Z = np.array([0.0, 0.0, 1.0])

# --- closed forms -------------------------------------------------------------------------------------


def filaments(kind: str) -> list[dict[str, Any]]:
    return [case for case in load("filaments")["cases"] if case["kind"] == kind]


def complex_columns(case: dict[str, Any]) -> tuple[np.ndarray, np.ndarray]:
    rows = np.array(case["rows"])
    return rows[:, :2], rows[:, 2::2] + 1j * rows[:, 3::2]


def in_cylinder(e: np.ndarray, h: np.ndarray) -> np.ndarray:
    """E_rho, E_z and H_phi of points on the x axis' side."""
    return np.stack([e[:, 0], e[:, 2], h[:, 1]], axis=1)


def relative_error(found: np.ndarray, exact: np.ndarray) -> float:
    """Of each field against its own size: E as a vector, H alone."""
    e = np.linalg.norm(found[:, :2] - exact[:, :2], axis=1) / np.linalg.norm(exact[:, :2], axis=1)
    h = np.abs(found[:, 2] - exact[:, 2]) / np.abs(exact[:, 2])
    return float(max(e.max(), h.max()))


@pytest.mark.parametrize("kind", ["dipole", "monopole"])
def test_the_three_wave_field_is_the_exact_field_of_a_sinusoid(kind: str) -> None:
    for case in filaments(kind):
        k = 2.0 * np.pi * case["frequency_hz"] / SPEED_OF_LIGHT
        places, exact = complex_columns(case)
        points = np.stack([places[:, 0], 0 * places[:, 0], places[:, 1]], axis=1)
        length = case["half_length_or_height_m"]
        assert (
            relative_error(in_cylinder(*one_arm.near_arm(points, Z, length, 1.0, k)), exact) < 1e-9
        )
        pair = half.make_half_arms(np.zeros(3), [Z, -Z], length, [1.0, -1.0], 1e-6, k)
        assert relative_error(in_cylinder(*half.direct(pair, points)), exact) < 1e-9


def test_a_very_short_arm_is_a_point_current_element() -> None:
    (case,) = filaments("point current element")
    k = 2.0 * np.pi * case["frequency_hz"] / SPEED_OF_LIGHT
    places, exact = complex_columns(case)
    points = np.stack([places[:, 0], 0 * places[:, 0], places[:, 1]], axis=1)
    length = 2e-4 * 2.0 * np.pi / k
    loop = case["moment_a_m"] * k / (2.0 * (1.0 - np.cos(k * length)))
    found = in_cylinder(*one_arm.near_arm(points, Z, length, loop, k))
    assert relative_error(found, exact) < 1e-4


@pytest.mark.parametrize("kind", ["dipole", "monopole"])
def test_the_pattern_integral_gives_the_radiation_resistance(kind: str) -> None:
    for case in filaments(kind):
        k = 2.0 * np.pi * case["frequency_hz"] / SPEED_OF_LIGHT
        arms = arm.make_arms(np.zeros(3), Z, case["half_length_or_height_m"], 1.0, k)
        share = 1.0 if kind == "dipole" else 0.5
        resistance = case["radiation_resistance_at_maximum_ohm"]
        assert share * arm.radiated_power(arms) == pytest.approx(resistance, rel=1e-7)


def test_a_bent_pair_of_half_arms_agrees_with_quadrature_of_the_potentials() -> None:
    # Independent of the closed form: retarded potentials of current and charge, summed along the wire.
    k, length = 2.0 * np.pi, 0.3
    axes = np.array([[0.0, 0.8, -0.6], [0.0, -0.8, -0.6]])
    pair = half.make_half_arms(np.zeros(3), axes, length, [1.0, -1.0], 1e-6, k)
    points = np.array([[0.2, 0.1, 0.3], [-0.3, 0.2, -0.4], [1.0, 2.0, 3.0]])
    nodes, weights = np.polynomial.legendre.leggauss(300)
    s, w = 0.5 * (nodes + 1.0) * length, 0.5 * weights * length
    expected = np.zeros((3, 3), complex)
    for u, sign in zip(axes, (1.0, -1.0), strict=True):
        away = points[:, None, :] - s[None, :, None] * u
        r = np.linalg.norm(away, axis=2)
        wave = np.exp(-1j * k * r) / r
        current = sign * np.sin(k * (length - s)) * w
        slope = -sign * k * np.cos(k * (length - s)) * w
        expected += -1j * k * (wave @ current)[:, None] * u
        pull = (1j * k + 1.0 / r) * wave / r * slope
        expected += 1j / k * np.einsum("ps,psi->pi", pull, away)
    found, _ = half.direct(pair, points)
    assert np.abs(found - half.ETA0 / (4.0 * np.pi) * expected).max() < 1e-9 * np.abs(found).max()


# --- ground -------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("permittivity", "conductivity", "frequency"), [(15.0, 0.001, 100e6), (30.0, 0.01, 900e6)]
)
def test_horizontal_waves_come_back_turned_over(
    permittivity: float, conductivity: float, frequency: float
) -> None:
    # The sizes are in the report; here the phase (textbook Fresnel coefficients, from memory).
    ground = gr.complex_permittivity(permittivity, conductivity, frequency)
    found = gr.fresnel(np.radians([5.0, 10.0, 30.0, 60.0, 90.0]), ground)
    assert np.degrees(np.abs(np.angle(found[0]))) == pytest.approx(180.0, abs=1.0)


def test_fresnel_coefficients_of_perfect_ground() -> None:
    found = gr.fresnel(np.radians([5.0, 45.0, 90.0]), 1.0 - 1e12j)
    assert found[0] == pytest.approx(-np.ones(3), abs=1e-4)
    assert found[1] == pytest.approx(np.ones(3), abs=1e-4)
