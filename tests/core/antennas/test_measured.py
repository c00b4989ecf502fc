"""Antennas known by a pattern, close in: held against wires solved here, with feeds nobody tuned the model for."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache

import numpy as np
import pytest

from core.antennas.measured import COVER_DB, SERIES_DB, Measured
from core.errors import InputError
from core.geometry import directions
from core.patterns.model import Cut, Grid, PatternData, wrap
from core.patterns.readers import read_pattern
from core.units import SPEED_OF_LIGHT, from_db, to_db
from core.validation.data import PATTERNS
from support.parallel_wires import Wire, Wires, yagi

F = 100e6
LAM = SPEED_OF_LIGHT / F
TURN = {"collinear": np.eye(3), "side by side": np.array([[0.0, 0, 1], [0, 1, 0], [1, 0, 0]])}
"""Rows are the axes of the solved wires (dipoles along z) in the antenna's frame, whose stack stands along z."""


def feeds(how: str, count: int) -> np.ndarray:
    """Voltages of the bays: invented tapers and errors."""
    at = (np.arange(count) + 0.5) / count
    rng = np.random.default_rng(count)
    return {
        "even": np.ones(count),
        "tapered": 0.3 + np.sin(np.pi * at),
        "null-filled": np.where(at < 0.5, 1.2, 0.8),
        "tilted": np.exp(-2j * np.pi * 0.1 * np.arange(count)),
        "wrong": 10.0 ** (rng.normal(0.0, 1.5, count) / 20.0)
        * np.exp(1j * np.radians(rng.normal(0.0, 20.0, count))),
        "from one end": 10.0 ** (-10.0 * at / 20.0),
    }[how]  # fmt: skip


@lru_cache
def stack(arm: str, how: str, count: int, spacing: float) -> tuple[Wires, PatternData, float]:
    """Solved dipoles, the file that their gain makes, and their outer length."""
    volts = feeds(how, count)
    step = (np.arange(count) - (count - 1) / 2.0) * spacing * LAM
    length = 0.47 * LAM
    if arm == "collinear":
        wires = [
            Wire(0.0, 0.0, float(z), length, 0.01, v) for z, v in zip(step, volts, strict=True)
        ]
        outer = float(np.ptp(step)) + length
    else:
        wires = [
            Wire(float(x), 0.0, 0.0, length, 0.01, v) for x, v in zip(step, volts, strict=True)
        ]
        outer = float(np.ptp(step)) + 0.3 * LAM
    solved = Wires(wires, LAM, 7)
    return solved, table_of(solved, TURN[arm]), outer


def table_of(solved: Wires, turn: np.ndarray, azimuth_step: float = 10.0) -> PatternData:
    """The gain of solved wires as a file of every direction."""
    azimuth, elevation = np.arange(-180.0, 180.0, azimuth_step), np.arange(-90.0, 90.5, 1.0)
    a, e = np.radians(np.meshgrid(azimuth, elevation))
    way = np.stack([np.cos(e) * np.cos(a), -np.cos(e) * np.sin(a), np.sin(e)], axis=-1)
    gain = solved.gain(way.reshape(-1, 3) @ turn.T).reshape(a.shape)
    level = 10.0 * np.log10(np.maximum(gain, 1e-4))
    grid = Grid(azimuth, elevation, level, np.zeros(level.shape, bool))
    return PatternData(
        name="invented", frequency=F, band=(0.98 * F, 1.02 * F), gain=float(level.max()), grid=grid
    )  # fmt: skip


def around(kind: Measured, count: int, seed: int = 1) -> np.ndarray:
    """Places from 0.3 to 60 wavelengths, a quarter of them above and below."""
    rng = np.random.default_rng(seed)
    axis = 2 if kind.runs == "upright" else 0
    on = np.zeros((count, 3))
    on[:, axis] = rng.uniform(-0.5, 0.5, count) * kind.length
    way = rng.normal(size=(count, 3))
    way[: count // 4, :2] *= 0.1
    away = LAM * 10.0 ** rng.uniform(np.log10(0.3), np.log10(60.0), (count, 1)) + kind.width / 2.0
    return on + away * way / np.linalg.norm(way, axis=1, keepdims=True)


def errors(kind: Measured, solved: Wires, turn: np.ndarray, points: np.ndarray) -> np.ndarray:
    """Shown over exact in dB where the exact field counts: within 20 dB of an even spread."""
    exact = solved.density(points @ turn.T)
    unit = kind.unit_field(points, F, conservative=True)
    line = np.linspace(-0.5, 0.5, 33)[:, None, None] * kind.length
    along = np.array([0.0, 0, 1]) if kind.runs == "upright" else np.array([1.0, 0, 0])
    even = (1.0 / np.sum((points - line * along) ** 2, axis=2)).mean(axis=0) / (4.0 * np.pi)
    counted = ~unit.reactive & (exact > 0.01 * even)
    assert counted.sum() > len(points) / 3
    return 10.0 * np.log10(unit.power_density / exact)[counted]


LOWEST = {"even": 0.5, "tilted": 0.5, "tapered": 0.5, "null-filled": 0.7, "wrong": 2.0}
"""How far below exact a figure may lie, dB; "wrong" is feeds with errors of 1.5 dB and 20 degrees, as the notes say."""


@pytest.mark.parametrize("how", LOWEST)
@pytest.mark.parametrize("arm", ["collinear", "side by side"])
@pytest.mark.parametrize(
    ("count", "spacing"), [(1, 1.0), (2, 0.9), (5, 0.75), (8, 0.95), (11, 0.6)]
)
def test_no_stack_is_stronger_than_its_file_and_length_allow(
    arm: str, how: str, count: int, spacing: float
) -> None:
    solved, data, length = stack(arm, how, count, spacing)
    width = 0.02 if arm == "collinear" else 0.3 * LAM
    kind = Measured(file="f", length=length, width=width, feed="branched", tolerance=0.0, data=data)
    kind.fits(F)
    error = errors(kind, solved, TURN[arm], around(kind, 1500))
    assert error.min() > -LOWEST[how]
    assert np.quantile(error, 0.02) > -0.5
    assert np.median(error) < 11.0


@pytest.mark.parametrize(("count", "spacing"), [(4, 0.9), (7, 0.8), (10, 0.95)])
def test_a_stick_that_may_be_fed_from_one_end_is_given_more(count: int, spacing: float) -> None:
    solved, data, length = stack("collinear", "from one end", count, spacing)
    plain = Measured(file="f", length=length, width=0.05, tolerance=0.0, data=data)
    assert (plain.is_series, plain.cover) == (False, COVER_DB)
    series = replace(plain, feed="series")
    assert (series.is_series, series.cover) == (True, SERIES_DB)
    points = around(series, 1500)
    error = errors(series, solved, TURN["collinear"], points)
    assert error.min() > -0.5
    assert errors(plain, solved, TURN["collinear"], points).min() < error.min()
    # Above the broadcast band a slender round stick of an unknown feed may be one.
    shrunk = replace(data, frequency=4.0 * F, band=(3.9 * F, 4.1 * F))
    stick = Measured(file="f", length=length / 4.0, width=0.05, data=shrunk)
    assert stick.is_series
    assert not replace(stick, width=0.5).is_series
    assert not replace(stick, feed="branched").is_series
    assert "fed from one end" in stick.notes(4.0 * F, conservative=True)[1].why


@pytest.mark.parametrize("elements", [3, 5, 9])
def test_a_boom_is_a_line_along_the_boresight(elements: int) -> None:
    places = list(0.2 * np.arange(elements))
    lengths = [0.482, 0.462, *np.linspace(0.436, 0.422, elements - 2)]
    solved = yagi(lengths, places, LAM)
    kind = Measured(
        file="f",
        length=places[-1] * LAM,
        width=0.48 * LAM,
        runs="boresight",
        tolerance=0.0,
        data=table_of(solved, np.eye(3), 5.0),
    )
    assert errors(kind, solved, np.eye(3), around(kind, 1500)).min() > -0.5


def test_far_out_it_is_the_file_and_its_tolerance() -> None:
    _, data, length = stack("side by side", "tilted", 5, 0.75)
    # At the file's nodes: between them the field is linear, which is more than linear decibels.
    rng = np.random.default_rng(3)
    a, e = np.radians(10.0 * rng.integers(0, 36, 200)), np.radians(rng.integers(-89, 90, 200))
    way = np.stack([np.cos(e) * np.cos(a), np.cos(e) * np.sin(a), np.sin(e)], axis=1)
    points = 1e5 * LAM * way
    _, azimuth, elevation = directions(points)
    for tolerance, added in ((None, 0.5), (0.0, 0.0), (2.0, 2.0)):
        kind = Measured(file="f", length=length, data=data, tolerance=tolerance)
        gain = kind.pattern(conservative_build=True).gain(azimuth, elevation)
        unit = kind.unit_field(points, F, conservative=True)
        shown = unit.power_density * 4.0 * np.pi * np.sum(points**2, axis=1)
        strong = gain > 0.01
        assert shown[strong] == pytest.approx(gain[strong] * from_db(added), rel=0.02)
        assert not unit.model.any()
    cuts = read_pattern(PATTERNS / "demo-omni-0155.adf")
    assert Measured(file="f", length=6.2, data=cuts).allowance == 1.0


def test_below_a_stack_of_horizontal_dipoles_the_file_own_lobe_counts() -> None:
    # One wavelength apart such a stack radiates straight down as well as to the horizon.
    solved, data, length = stack("side by side", "even", 6, 1.0)
    kind = Measured(file="f", length=length, width=0.3 * LAM, feed="branched", data=data)
    points = np.array([[0.1, 0.1, -length / 2.0 - d] for d in (2.0, 4.0, 8.0, 20.0)])
    shown = kind.unit_field(points, F, conservative=True).power_density
    exact = solved.density(points @ TURN["side by side"].T)
    assert np.all(shown > exact)
    assert np.all(shown < 6.0 * exact)


def test_a_length_too_short_for_the_beam_is_refused_or_doubted() -> None:
    solved, data, length = stack("collinear", "even", 8, 0.95)
    kind = Measured(file="f", length=length, feed="branched", data=data)
    kind.fits(F)
    assert kind.problems(F) == ()
    assert "give the outer length" in replace(kind, length=0.85 * length).problems(F)[0]
    with pytest.raises(InputError, match="too short for the pattern's beam") as error:
        replace(kind, length=0.6 * length).fits(F)
    assert error.value.field == "length"
    # The same file at twice the frequency needs half the length.
    replace(kind, length=0.6 * length).fits(2.0 * F)
    # What is too long is only higher.
    long = replace(kind, length=1.2 * length, width=0.02, tolerance=0.0)
    assert errors(long, solved, TURN["collinear"], around(long, 1000)).min() > -0.5


def test_a_file_that_names_no_band_says_so_in_words() -> None:
    cut = Cut(wrap(np.arange(0.0, 360.0, 10.0) - 180.0), np.zeros(36))
    data = PatternData(name="csv", gain=2.0, azimuth=cut, elevation=None)
    kind = Measured(file="f.csv", length=2.0, data=data)
    words = " ".join((*kind.problems(F), *kind.assumptions()))
    assert "nan" not in words
    assert "no frequency" in words


def test_best_estimates_are_near_the_middle_and_floats_agree() -> None:
    solved, data, length = stack("side by side", "tapered", 8, 0.95)
    kind = Measured(file="f", length=length, width=0.3 * LAM, feed="branched", data=data)
    points = around(kind, 1500)
    exact = solved.density(points @ TURN["side by side"].T)
    best = kind.unit_field(points, F, conservative=False)
    strong = ~best.reactive & (
        exact > np.quantile(exact * np.sum(points**2, axis=1), 0.3) / np.sum(points**2, axis=1)
    )
    assert abs(to_db(float(np.median((best.power_density / exact)[strong])))) < 2.0
    for conservative in (True, False):
        double = kind.unit_field(points, F, conservative=conservative)
        single = kind.unit_field(points.astype(np.float32), F, conservative=conservative)
        assert single.e2.dtype == single.h2.dtype == np.float32
        strong = double.power_density * np.sum(points**2, axis=1) > 1e-3
        ratio = (single.power_density / double.power_density)[strong]
        assert np.abs(10.0 * np.log10(ratio)).max() < 0.05
    assert np.all(best.e2 <= kind.unit_field(points, F, conservative=True).e2 * 1.001)
