"""Yagis: never low, no steps, an envelope that says so."""

from __future__ import annotations

import json

import numpy as np
import pytest

from core.antennas.yagi import SIDE, Yagi
from core.fields.arms import sphere
from core.geometry import axes, to_local
from core.units import SPEED_OF_LIGHT, from_db, to_db, wavelength
from support.parallel_wires import Wires, yagi
from support.places import ROOT

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


def computed(seed: int, elements: int) -> tuple[Wires, Yagi]:
    """A Yagi with invented spacings and lengths, by the method of moments, and the kind its sheet gives."""
    rng = np.random.default_rng(seed)
    steps = np.r_[rng.uniform(0.15, 0.25), np.linspace(0.15, 0.32, elements)][: elements - 1]
    places = np.r_[0.0, np.cumsum(steps)]
    directors = np.linspace(rng.uniform(0.43, 0.45), rng.uniform(0.405, 0.425), elements)
    lengths = np.r_[rng.uniform(0.478, 0.492), rng.uniform(0.455, 0.472), directors][:elements]
    wires = yagi(list(lengths), list(places), WL)
    ahead, *back = wires.gain(
        np.array([[1.0, 0.0, 0.0], *((-np.cos(a), np.sin(a), 0.0) for a in np.radians(range(0, 31, 5)))])
    )  # fmt: skip
    kind = Yagi(
        gain=to_db(ahead),
        boom=float(places[-1]) * WL,
        elements=elements,
        element_length=float(lengths[0]),
        front_to_back=min(to_db(ahead / max(back)), 60.0),
    )
    return wires, kind


@pytest.mark.parametrize("elements", [2, 3, 4, 5, 6, 8, 10, 13, 15])
@pytest.mark.parametrize("seed", [1, 2, 3])
def test_no_computed_yagi_is_stronger_from_a_tenth_of_a_wavelength(
    elements: int, seed: int
) -> None:
    wires, kind = computed(seed, elements)
    rng = np.random.default_rng(seed)
    count = 1200
    on = np.zeros((count, 3))
    on[:, 0] = rng.uniform(-0.5, 0.5, count) * kind.boom
    on[:, 2] = rng.uniform(-0.5, 0.5, count) * kind.element_length * WL
    away = 10.0 ** rng.uniform(-1.0, 1.5, (count, 1)) * WL
    way = rng.normal(size=(count, 3))
    points = on + away * way / np.linalg.norm(way, axis=1, keepdims=True)
    exact = wires.density(points)
    unit = kind.unit_field(points, F, conservative=True)
    spread = 0.01 / (4.0 * np.pi * np.sum(points**2, axis=1))
    counted = ~unit.reactive & (exact > spread)
    error = 10.0 * np.log10(unit.power_density / exact)[counted]
    assert counted.sum() > 500
    assert error.min() > -0.5
    assert np.median(error) < 12.0
    best = kind.unit_field(points, F, conservative=False).power_density
    assert np.all(best <= unit.power_density * (1.0 + 1e-12))


def test_the_level_behind_is_that_of_the_ratio_given() -> None:
    far = 500.0 * WL * np.array([[-1.0, 0.0, 0.0]])
    for ratio, gain in ((6.0, from_db(9.95 - 6.0)), (25.0, SIDE), (None, SIDE)):
        kind = Yagi(gain=9.95, boom=0.8 * WL, front_to_back=ratio)
        found = density(kind, far)[0] * 4.0 * np.pi * float(far[0, 0] + 0.4 * WL) ** 2
        assert found == pytest.approx(gain, rel=1e-6)
    high = Yagi(gain=14.0, boom=3.0 * WL)
    assert to_db(high.back) == pytest.approx(3.0)
    assert "front-to-back ratio" in high.notes(F, conservative=True)[1].source


def test_the_near_fields_of_the_elements_end_behind_the_last() -> None:
    d = 0.3 * WL
    behind = np.array([[-FIVE.boom / 2.0 - d, 0.0, 0.0]])
    beside = np.array([[-FIVE.boom / 2.0, d, 0.0], [FIVE.boom / 2.0, d, 0.0]])
    scale = 4.0 * np.pi * d**2
    assert density(FIVE, behind)[0] * scale == pytest.approx(SIDE)
    assert density(FIVE, beside)[0] * scale == pytest.approx(0.6 + 0.78 / 0.3)
    assert np.all(density(FIVE, beside) * scale >= 0.6 + 0.78 / 0.3 - 1e-9)
    # Ahead of the first element and far to the side of it they still count.
    aside = np.array([[FIVE.boom / 2.0 + 0.25 * WL, 0.25 * WL, 0.0]])
    near = 0.25 * np.sqrt(2.0)
    assert density(FIVE, aside)[0] * 4.0 * np.pi * (near * WL) ** 2 >= 0.6 + 0.78 / near - 1e-9


@pytest.mark.parametrize("kind", KINDS)
def test_far_out_the_beam_has_the_stated_gain(kind: Yagi) -> None:
    far = 2000.0 * WL
    ahead = far * np.array([[1.0, 0.0, 0.0]])
    top = from_db(kind.gain) / (4.0 * np.pi * far**2)
    for conservative in (True, False):
        found = density(kind, ahead, conservative=conservative)[0]
        assert found == pytest.approx(top, rel=2e-3)


def test_the_main_lobe_is_equal_all_round_the_boom() -> None:
    far = 500.0 * WL
    turn = np.linspace(0.0, 2.0 * np.pi, 13)
    points = far * np.stack(
        [np.full(13, 0.9), 0.4 * np.cos(turn), 0.4 * np.sin(turn)], axis=1
    )  # fmt: skip
    s = density(FIVE, points)
    assert s == pytest.approx(s[0], rel=1e-3)


def test_a_roll_turns_the_elements() -> None:
    beside = np.array([[0.0, 0.0, 0.7 * WL]])
    up, rolled = (
        to_local(beside, np.zeros(3), axes(0.0, 0.0, roll)) for roll in (0.0, 90.0)
    )  # fmt: skip
    # Above vertical elements the nearest metal is half an element nearer than above horizontal ones, but thin
    # elements hardly radiate past their tips.
    assert outside(FIVE, up)[0] == pytest.approx(0.45 * WL)
    assert outside(FIVE, rolled)[0] == pytest.approx(0.7 * WL)
    level = (density(FIVE, p)[0] * 4.0 * np.pi * outside(FIVE, p)[0] ** 2 for p in (up, rolled))
    assert list(level) == pytest.approx([0.6 + 0.14 / 0.45, 0.6 + 0.78 / 0.7])


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


def test_ahead_the_wave_comes_from_its_setback() -> None:
    """Ahead on the boom S falls as 1/(d + δ)²: d from the outline, δ the printed setback."""
    kind = Yagi(gain=12.0, boom=4.0)
    lam = wavelength(150e6)
    d = np.array([0.5, 2.0, 8.0, 40.0])
    points = np.stack([kind.boom / 2.0 + d, 0.0 * d, 0.0 * d], axis=1)
    s = kind.unit_field(points, 150e6, conservative=False).power_density
    level = s * (d + kind.setback(lam) * lam) ** 2
    assert level == pytest.approx(np.full(4, level[3]), rel=1e-3)
    assert level[3] == pytest.approx(10.0**1.2 / (4.0 * np.pi), rel=1e-3)


AHEAD = json.loads((ROOT / "tests" / "reference" / "yagis-ahead.json").read_text())


@pytest.mark.parametrize("row", AHEAD["yagis"], ids=lambda r: f"{r['elements']}-elements")
def test_straight_ahead_of_yagis_that_guide_the_wave_to_the_tip_the_figure_is_not_low(
    row: dict,
) -> None:
    """Own method-of-moments fields (what the file says); a setback of 0.6 wavelength was up to 2 dB low there."""
    keys = ("gain", "boom", "elements", "element_length")
    kind, points = Yagi(**{key: row[key] for key in keys}), np.array(row["points"])
    shown = kind.unit_field(points[:, :3], row["frequency"], conservative=True)
    over = 10.0 * np.log10(shown.power_density / points[:, 3])
    assert -0.5 < over[~shown.reactive].min() < 1.5
    assert np.median(over) < 3.0
