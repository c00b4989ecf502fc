"""Tables of a pattern's largest field in cones."""

from __future__ import annotations

import numpy as np
import pytest

from core.patterns.caps import LEVELS, field_tables
from core.patterns.model import Pattern


def rough(seed: int) -> Pattern:
    """A pattern of uneven nodes with lobes and nulls, none of it real."""
    rng = np.random.default_rng(seed)
    azimuth = np.unique(np.r_[-180.0, rng.uniform(-180.0, 180.0, 60)])
    elevation = np.unique(np.r_[-90.0, 90.0, rng.uniform(-90.0, 90.0, 50)])
    return Pattern(azimuth, elevation, rng.uniform(-30.0, 15.0, (elevation.size, azimuth.size)))


def unit(azimuth: np.ndarray, elevation: np.ndarray) -> np.ndarray:
    a, e = np.radians(azimuth), np.radians(elevation)
    return np.stack([np.cos(e) * np.cos(a), np.cos(e) * np.sin(a), np.sin(e)], axis=-1)


@pytest.mark.parametrize("upright", [True, False])
@pytest.mark.parametrize("seed", [1, 2])
def test_no_field_in_a_cone_exceeds_that_of_its_table(seed: int, upright: bool) -> None:
    pattern, rng = rough(seed), np.random.default_rng(seed)
    tables = field_tables(pattern, upright=upright)
    n = 4000
    way = rng.normal(size=(n, 3))
    way[::5, :2] *= 0.05
    way /= np.linalg.norm(way, axis=1, keepdims=True)
    side = np.cross(way, rng.normal(size=(n, 3)))
    side /= np.linalg.norm(side, axis=1, keepdims=True)
    for level, table in list(zip(LEVELS, tables, strict=True))[1:]:
        turn = np.arctan(level * rng.uniform(0.0, 1.0, (n, 1)))
        near = np.cos(turn) * way + np.sin(turn) * side
        here, there = (
            (
                np.degrees(np.arctan2(v[:, 1], v[:, 0])),
                np.degrees(np.arcsin(np.clip(v[:, 2], -1, 1))),
            )
            for v in (way, near)
        )
        raised, inside = table.at(*here), tables[0].at(*there)
        # Boxes stand for cones: close to a pole a corner may be left out.
        assert np.mean(raised < inside * (1.0 - 1e-9)) < 0.005
        assert np.all(raised <= tables[0].values.max())
    assert np.all(tables[0].at(*here) ** 2 >= pattern.gain(*here) * (1.0 - 1e-9))
    assert tables[0].at(pattern.azimuth, np.full(pattern.azimuth.size, 90.0)) ** 2 == pytest.approx(
        10.0 ** (pattern.table[-1] / 10.0)
    )


@pytest.mark.parametrize("side", [1.0, -1.0])
def test_past_the_pole_the_other_side_counts(side: float) -> None:
    azimuth, elevation = np.arange(-180.0, 180.0, 5.0), np.arange(-90.0, 91.0, 1.0)
    level = np.full((181, 72), -40.0)
    level[np.flatnonzero(elevation == 88.0 * side)[0], 54] = 10.0
    pattern = Pattern(azimuth, elevation, level)
    # A lobe at azimuth 90°, 2° from the pole, seen from 6° on the other side: 8° apart.
    for upright in (True, False):
        tables = field_tables(pattern, upright=upright)
        at = (np.array([-90.0]), np.array([84.0 * side]))
        found = [float(t.at(*at)[0]) for t in tables]
        assert found[0] == pytest.approx(0.01)
        # Number 6 has cones of 10°, number 4 of 4.5°.
        assert found[6:] == pytest.approx([10.0**0.5] * 4, rel=0.01)
        assert found[4] == pytest.approx(0.01) or upright


def test_an_upright_line_sees_wider_near_its_axis() -> None:
    azimuth, elevation = np.arange(-180.0, 180.0, 5.0), np.arange(-90.0, 91.0, 1.0)
    level = np.broadcast_to(
        np.where(np.abs(elevation + 70.0) < 1.0, 0.0, -40.0)[:, None], (181, 72)
    )
    pattern = Pattern(azimuth, elevation, np.array(level))
    straight_down = (np.array([0.0]), np.array([-90.0]))
    upright, other = (
        field_tables(pattern, upright=u)[3].at(*straight_down)[0] for u in (True, False)
    )
    # A ring 20° from the axis is 0.06 away in the sine of the elevation, a cone of 3° reaches 0.05.
    assert other == pytest.approx(0.01)
    assert field_tables(pattern, upright=True)[4].at(*straight_down)[0] == pytest.approx(1.0)
    assert upright <= 1.0
    level_of = (np.array([0.0]), np.array([0.0]))
    assert field_tables(pattern, upright=True)[4].at(*level_of)[0] == pytest.approx(0.01)
