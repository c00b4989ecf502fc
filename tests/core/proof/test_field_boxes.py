"""Ranges of a table of fields and of its slopes over small boxes, against many samples."""

from __future__ import annotations

import numpy as np
import pytest

from core.patterns.caps import field_tables
from core.patterns.model import Pattern
from core.proof.bounds.field_boxes import Box, largest_over, values_over


def pattern(seed: int) -> Pattern:
    rng = np.random.default_rng(seed)
    azimuth = np.unique(np.r_[-180.0, rng.uniform(-180.0, 180.0, 40)])
    elevation = np.unique(np.r_[-90.0, 90.0, rng.uniform(-90.0, 90.0, 30)])
    return Pattern(azimuth, elevation, rng.uniform(-20.0, 10.0, (elevation.size, azimuth.size)))


def boxes(rng: np.random.Generator, n: int, most: float) -> Box:
    left, down = rng.uniform(-200.0, 190.0, n), rng.uniform(-95.0, 89.0, n)
    wide, tall = (most * 10.0 ** rng.uniform(-3.0, 0.0, n) for _ in range(2))
    return Box(
        left, left + wide, np.maximum(down, -90.0), np.minimum(np.maximum(down, -90.0) + tall, 90.0)
    )


@pytest.mark.parametrize("level", [0, 2, 8])
@pytest.mark.parametrize("most", [3.0, 40.0])
def test_samples_stay_in_the_ranges_and_fill_them(level: int, most: float) -> None:
    table, rng = field_tables(pattern(level), upright=True)[level], np.random.default_rng(level)
    box = boxes(rng, 400, most)
    found = values_over(table, box)
    assert found.small.sum() > 100
    s = np.linspace(0.0, 1.0, 25)
    across = box.left[:, None] + (box.right - box.left)[:, None] * s
    up = box.down[:, None] + (box.up - box.down)[:, None] * s
    a, e = np.broadcast_arrays(across[:, None, :], up[:, :, None])
    turned = (a + 180.0) % 360.0 - 180.0
    f = table.at(turned.ravel(), np.ascontiguousarray(e).ravel()).reshape(a.shape)
    step_up, step_across = (np.radians(v[:, 1] - v[:, 0])[:, None, None] for v in (up, across))
    slopes = np.diff(f, axis=1) / np.maximum(step_up, 1e-12), np.diff(f, axis=2) / step_across
    little = 1e-6 * (1.0 + np.abs(slopes[0]).max() + np.abs(slopes[1]).max())
    rows = found.small & (box.up - box.down > 1e-3)
    for one, values in zip((found.field, found.upward, found.across), (f, *slopes), strict=True):
        assert np.all(values.min(axis=(1, 2))[rows] >= one.low[rows] - little)
        assert np.all(values.max(axis=(1, 2))[rows] <= one.high[rows] + little)
    assert found.field.high[rows] == pytest.approx(f.max(axis=(1, 2))[rows], rel=0.2)
    # No slope in elevation later on a way up (or down) is less than an earlier one by more than the fall.
    top = np.maximum.accumulate(slopes[0].max(axis=2), axis=1)
    fall = (top - slopes[0].min(axis=2)).max(axis=1)
    assert np.all(fall[rows] <= found.upward.fall[rows] + 2.0 * little)
    every = largest_over(table, box)
    assert np.all(f.max(axis=(1, 2)) <= every * (1.0 + 1e-9))


def test_a_box_of_many_cells_is_not_small_and_still_has_its_largest_field() -> None:
    table = field_tables(pattern(5), upright=True)[0]
    box = Box(np.array([-500.0]), np.array([500.0]), np.array([-90.0]), np.array([90.0]))
    assert not values_over(table, box).small.any()
    assert largest_over(table, box)[0] == pytest.approx(table.values.max(), rel=1e-6)
