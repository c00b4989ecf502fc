"""Closed forms, and superposition with the very currents of the reference, against exact fields.

The files in ``em/`` were computed for this project: closed forms checked by quadrature, and a
general-purpose thin-wire method-of-moments solver; see the README there.
"""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from em_data import POWER, STACKS, Z, decibels, load, reference, sets, strong

from core.antennas import arms as arm
from core.antennas import half_arms as half
from core.units import SPEED_OF_LIGHT

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
        assert relative_error(in_cylinder(*arm.near_arm(points, Z, length, 1.0, k)), exact) < 1e-9
        pair = half.make_half_arms(np.zeros(3), [Z, -Z], length, [1.0, -1.0], 1e-6, k)
        assert relative_error(in_cylinder(*half.direct(pair, points)), exact) < 1e-9


def test_a_very_short_arm_is_a_point_current_element() -> None:
    (case,) = filaments("point current element")
    k = 2.0 * np.pi * case["frequency_hz"] / SPEED_OF_LIGHT
    places, exact = complex_columns(case)
    points = np.stack([places[:, 0], 0 * places[:, 0], places[:, 1]], axis=1)
    length = 2e-4 * 2.0 * np.pi / k
    loop = case["moment_a_m"] * k / (2.0 * (1.0 - np.cos(k * length)))
    found = in_cylinder(*arm.near_arm(points, Z, length, loop, k))
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


# --- superposition with the very currents of the reference --------------------------------------------


def replayed(name: str, *, images: str = "") -> arm.Arms:
    """The reference's own elements and current ratios, radiating 1 kW."""
    data = load(name)
    elements = data["antenna"]["elements"]
    centre = np.array([e["centre_m"] for e in elements])
    axis = np.array([e["axis"] for e in elements])
    current = np.array([complex(*e["current_ratio"]) for e in elements])
    length = np.array([e["length_m"] for e in elements])
    k = 2.0 * np.pi * data["frequency_hz"] / SPEED_OF_LIGHT
    share = 1.0
    if images == "ground":
        centre = np.concatenate([centre, centre * [1.0, 1.0, -1.0]])
        current, share = np.concatenate([current, current]), 2.0
    if images == "reflector":
        step = 2.0 * data["antenna"]["parameters"]["stand_off_wl"] * data["wavelength_m"]
        centre = np.concatenate([centre, centre - [step, 0.0, 0.0]])
        current, share = np.concatenate([current, -current]), 2.0
    copies = len(centre) // len(axis)
    whole = arm.make_arms(
        centre, np.tile(axis, (copies, 1)), np.tile(length, copies) / 2.0, current, k
    )
    scale = np.sqrt(share * POWER / arm.radiated_power(whole))
    return arm.make_arms(
        centre, whole.axis, whole.half_length, whole.current * scale, k
    )  # fmt: skip


def replay_errors(name: str, rows: np.ndarray, *, images: str = "") -> np.ndarray:
    total = arm.arm_sum(replayed(name, images=images), rows[:, :3].copy())
    s = np.maximum(total.e2 / half.ETA0, total.h2 * half.ETA0)
    return decibels(s / reference(rows))


@pytest.mark.parametrize(
    ("name", "images", "low", "high"),
    [
        *[(f"{s}-freespace", "", -0.3, 0.35) for s in STACKS],
        *[(f"{s}-ground", "ground", -0.3, 0.35) for s in STACKS],
        ("slant-ring-4bay-98mhz", "", -0.3, 0.3),
        ("turnstile-1bay-98mhz", "", -0.5, 0.5),
        ("panel-450mhz-image", "reflector", -0.1, 0.2),
    ],
)
def test_near_superposition_with_the_same_currents(
    name: str, images: str, low: float, high: float
) -> None:
    for rows in sets(name).values():
        errors = replay_errors(name, rows, images=images)[strong(rows)]
        assert low < errors.min()
        assert errors.max() < high


def test_near_superposition_of_one_dipole() -> None:
    name = "dipole-100mhz"
    wl = load(name)["wavelength_m"]
    arms = replayed(name)
    for rows in sets(name).values():
        errors = np.abs(replay_errors(name, rows))
        distance = arm.metal_distance(arms, rows[:, :3])
        far = distance > 0.2 * wl
        assert errors[far & strong(rows)].max(initial=0.0) < 0.3
        assert errors[strong(rows)].max() < 1.0


@pytest.mark.parametrize("ground", [False, True])
def test_near_superposition_of_the_closely_spaced_stack(ground: bool) -> None:
    name = f"stack-8x-0.5wl-{'ground' if ground else 'freespace'}"
    for key, rows in sets(name).items():
        errors = replay_errors(name, rows, images="ground" if ground else "")[strong(rows)]
        beside = key.startswith("vertical line")
        low, high = (-0.5, 0.5) if beside and not ground else (-1.5, 3.0)
        assert low < errors.min()
        assert errors.max() < high


def test_near_superposition_in_front_of_a_finite_reflector() -> None:
    # Images stand for a reflector without end: beyond its upper and lower edge they are high.
    name = "panel-450mhz-grid"
    counted = 0
    for key, rows in sets(name).items():
        off = np.degrees(np.arctan2(np.abs(rows[:, 1]), rows[:, 0]))
        pick = (off < 60.0) & (rows[:, 0] > 0.0) & strong(rows)
        if key.startswith("below") or not pick.any():
            continue
        errors = replay_errors(name, rows, images="reflector")[pick]
        counted += int(pick.sum())
        assert errors.min() > -0.5
        assert errors.max() < 3.1
        level = np.abs(rows[pick, 2]) < 2.0
        assert errors[level].max(initial=0.0) < 1.2
    assert counted > 300
