"""Yagis: never low, no steps, an envelope that says so."""

from __future__ import annotations

import numpy as np
import pytest

from core.antennas.yagi import PATTERN_COVER_DB, Yagi
from core.fields.arms import sphere
from core.geometry import axes, to_local
from core.units import SPEED_OF_LIGHT, from_db

F = 150e6
WL = SPEED_OF_LIGHT / F
FIVE = Yagi(gain=9.95, boom=0.8 * WL, elements=5)
LONG = Yagi(gain=13.8, boom=4.0 * WL, elements=15)
KINDS = [FIVE, LONG, Yagi(gain=6.6, boom=0.18 * WL, elements=2)]


def density(kind: Yagi, points: np.ndarray, *, conservative: bool = True) -> np.ndarray:
    return kind.unit_field(points, F, conservative=conservative).power_density


def outside(kind: Yagi, points: np.ndarray) -> np.ndarray:
    """Distance to the rectangle of boom and elements."""
    half = np.array([kind.boom / 2.0, 0.0, kind.element_length * WL / 2.0])
    return np.linalg.norm(np.maximum(np.abs(points) - half, 0.0), axis=1)


@pytest.mark.parametrize("kind", KINDS)
def test_no_path_meets_a_step(kind: Yagi) -> None:
    # Steps of 0.5 % of the distance along random straight paths: nothing jumps by 0.5 dB.
    rng = np.random.default_rng(1)
    for _ in range(60):
        start, end = rng.normal(size=(2, 3)) * rng.choice([2.0, 20.0, 150.0]) * WL
        t = np.linspace(0.0, 1.0, 4000)[:, None]
        points = start + (end - start) * t
        keep = outside(kind, points) > 0.1 * WL
        level = 10.0 * np.log10(density(kind, points))
        stride = np.linalg.norm(np.diff(points, axis=0), axis=1)
        small = stride < 0.02 * outside(kind, points)[1:]
        assert np.abs(np.diff(level))[keep[1:] & keep[:-1] & small].max(initial=0.0) < 0.5


@pytest.mark.parametrize("kind", KINDS)
def test_close_in_the_highest_gain_holds_from_the_nearest_metal(kind: Yagi) -> None:
    points = np.random.default_rng(2).uniform(-1, 1, (500, 3)) * [3 * WL, 2 * WL, 2 * WL]
    d = np.maximum(outside(kind, points), 0.01 * WL)
    expected = from_db(kind.gain) / (4.0 * np.pi * d**2)
    near = np.linalg.norm(points, axis=1) < 5.0 * WL
    assert density(kind, points)[near] == pytest.approx(expected[near], rel=1e-9)


@pytest.mark.parametrize("kind", KINDS)
def test_far_out_the_beam_has_the_stated_gain_and_the_pattern_counts(kind: Yagi) -> None:
    far = 2000.0 * WL
    ahead, back = far * np.array([[1.0, 0.0, 0.0]]), far * np.array([[-1.0, 0.0, 0.0]])
    top = from_db(kind.gain) / (4.0 * np.pi * far**2)
    assert density(kind, ahead, conservative=False)[0] == pytest.approx(top, rel=1e-3)
    assert density(kind, ahead)[0] == pytest.approx(top * from_db(PATTERN_COVER_DB), rel=1e-3)
    assert density(kind, back, conservative=False)[0] == pytest.approx(0.1 * top, rel=0.05)


def test_the_pattern_is_equal_all_round_the_boom() -> None:
    far = 500.0 * WL
    turn = np.linspace(0.0, 2.0 * np.pi, 13)
    points = far * np.stack(
        [np.full(13, 0.6), 0.8 * np.cos(turn), 0.8 * np.sin(turn)], axis=1
    )  # fmt: skip
    s = density(FIVE, points)
    assert s == pytest.approx(s[0], rel=1e-9)


def test_a_roll_turns_the_elements() -> None:
    beside = np.array([[0.0, 0.0, 0.7 * WL]])
    up, rolled = (
        to_local(beside, np.zeros(3), axes(0.0, 0.0, roll)) for roll in (0.0, 90.0)
    )  # fmt: skip
    # Above vertical elements the nearest metal is half an element nearer than above horizontal ones.
    assert outside(FIVE, up)[0] == pytest.approx(0.45 * WL)
    assert outside(FIVE, rolled)[0] == pytest.approx(0.7 * WL)
    assert density(FIVE, up)[0] > density(FIVE, rolled)[0]


def test_it_is_an_envelope_and_says_so() -> None:
    unit, solid = sphere(4.0)
    far = 1000.0 * WL
    radiated = float(density(FIVE, far * unit, conservative=False) * far**2 @ solid)
    assert FIVE.is_envelope
    assert radiated > 1.0


@pytest.mark.parametrize("kind", KINDS)
def test_precision_metal_and_trust(kind: Yagi) -> None:
    points = np.random.default_rng(3).normal(size=(500, 3)) * 20.0 * WL
    single = kind.unit_field(points.astype(np.float32), F, conservative=True)
    assert single.e2.dtype == single.h2.dtype == np.float32
    ratio = single.power_density / density(kind, points)
    assert np.abs(10.0 * np.log10(ratio)).max() < 0.05
    metal = kind.outline(F).reshape(-1, 3)
    for dtype in (np.float32, np.float64):
        on = kind.unit_field(metal.astype(dtype), F, conservative=True)
        assert np.isfinite(on.e2).all()
        assert on.reactive.all()
    edge = np.array([[kind.boom / 2.0 + x * WL, 0.0, 0.0] for x in (0.099, 0.101)])
    assert kind.unit_field(edge, F, conservative=True).reactive.tolist() == [True, False]


def test_a_gain_no_such_boom_can_have_is_named() -> None:
    assert "dBi is more than a boom" in Yagi(gain=18.0, boom=0.8 * WL).problems(F)[0]
    for kind in KINDS:
        assert kind.problems(F) == ()
