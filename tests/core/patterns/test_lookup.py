"""Ready tables: gains between nodes, and the largest over a box."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.patterns.formulas.cellular import tr38901_element
from core.patterns.model import Pattern
from support.effort import many
from support.spheres import SEED, db, directions


def uneven_pattern(seed=1, rows=40, columns=60):
    rng = np.random.default_rng(seed)
    azimuth = np.unique(np.round(np.append(-180.0, rng.uniform(-180.0, 179.0, columns)), 2))
    elevation = np.unique(np.round(np.append([-90.0, 90.0], rng.uniform(-89.0, 89.0, rows)), 2))
    return Pattern(azimuth, elevation, rng.uniform(-40.0, 20.0, (elevation.size, azimuth.size)))


def slow_gain(pattern, azimuth, elevation):
    closed = np.append(pattern.azimuth, 180.0)
    table = np.hstack((pattern.table, pattern.table[:, :1]))
    azimuth = (azimuth + 180.0) % 360.0 - 180.0
    i = min(np.searchsorted(closed, azimuth, side="right") - 1, closed.size - 2)
    j = (
        min(np.searchsorted(pattern.elevation, elevation, side="right"), pattern.elevation.size - 1)
        - 1
    )
    u = (azimuth - closed[i]) / (closed[i + 1] - closed[i])
    v = (elevation - pattern.elevation[j]) / (pattern.elevation[j + 1] - pattern.elevation[j])
    low = table[j, i] * (1 - u) + table[j, i + 1] * u
    high = table[j + 1, i] * (1 - u) + table[j + 1, i + 1] * u
    return 10 ** ((low * (1 - v) + high * v) / 10)


def test_gain_is_bilinear_in_db_and_wraps():
    pattern = uneven_pattern()
    rng = np.random.default_rng(SEED)
    azimuth, elevation = rng.uniform(-900.0, 900.0, 300), rng.uniform(-90.0, 90.0, 300)
    expected = [slow_gain(pattern, a, e) for a, e in zip(azimuth, elevation, strict=True)]
    assert pattern.gain(azimuth, elevation) == pytest.approx(np.array(expected), rel=1e-9)
    nodes = pattern.gain(pattern.azimuth[None, :], pattern.elevation[:, None])
    assert db(nodes) == pytest.approx(pattern.table, abs=1e-9)
    assert pattern.gain(180.0, 0.0) == pytest.approx(pattern.gain(-180.0, 0.0))
    assert pattern.gain(10.0, 95.0) == pattern.gain(10.0, 90.0)
    assert pattern.gain(10.0, 20.0).shape == ()
    assert pattern.peak == pattern.table.max()


def test_gain_in_single_precision_agrees_and_stays_single():
    pattern = uneven_pattern(2)
    azimuth, elevation = (part.astype(np.float32) for part in directions(20_000))
    single = pattern.gain(azimuth, elevation)
    assert single.dtype == np.float32
    # A node every 0.01 degrees at worst: 60 dB across it times a rounding of 1e-5 degrees.
    double = pattern.gain(azimuth.astype(float), elevation.astype(float))
    assert np.abs(db(single / double)).max() < 0.1
    assert np.median(np.abs(db(single / double))) < 1e-4


def test_tables_that_are_no_sphere_are_refused():
    good = np.arange(-180.0, 180.0, 90.0), np.array([-90.0, 0.0, 90.0])
    Pattern(*good, np.zeros((3, 4)))
    for azimuth, elevation, table in (
        (good[0] + 1.0, good[1], np.zeros((3, 4))),
        (good[0], good[1] * 0.9, np.zeros((3, 4))),
        (good[0], good[1], np.zeros((4, 3))),
        (good[0], good[1], np.full((3, 4), np.nan)),
        (np.append(good[0], 180.0), good[1], np.zeros((3, 5))),
    ):
        with pytest.raises(ValueError, match=r"azimuth|elevation|table|gain"):
            Pattern(azimuth, elevation, table)


@settings(max_examples=many(40), deadline=None)
@given(seed=st.integers(0, 10_000), rows=st.integers(0, 60), columns=st.integers(1, 120))
def test_box_bound_is_never_below_the_gain(seed, rows, columns):
    pattern = uneven_pattern(seed, rows, columns)
    rng = np.random.default_rng(seed)
    count = 400
    az_lo, el_lo = rng.uniform(-500.0, 500.0, count), rng.uniform(-90.0, 90.0, count)
    az_hi = az_lo + 10.0 ** rng.uniform(-4.0, 2.6, count)
    el_hi = np.minimum(el_lo + 10.0 ** rng.uniform(-4.0, 2.3, count), 90.0)
    on_node = rng.random(count) < 0.2
    az_lo[on_node] = rng.choice(pattern.azimuth, on_node.sum())
    el_hi[on_node] = np.maximum(rng.choice(pattern.elevation, on_node.sum()), el_lo[on_node])
    bound = pattern.gain_max_over(az_lo, az_hi, el_lo, el_hi)
    for kind in (np.float64, np.float32):
        for u, v in rng.choice([0.0, 0.3, 0.5, 1.0], (12, 2)):
            azimuth = (az_lo + u * (az_hi - az_lo)).astype(kind)
            elevation = (el_lo + v * (el_hi - el_lo)).astype(kind)
            inside = (azimuth >= az_lo) & (azimuth <= az_hi)
            inside &= (elevation >= el_lo) & (elevation <= el_hi)
            assert np.all(pattern.gain(azimuth, elevation)[inside] <= bound[inside])


def test_box_bound_is_close_for_small_boxes_and_whole_for_the_circle():
    pattern = uneven_pattern(5)
    assert pattern.gain_max_over(-180.0, 180.0, -90.0, 90.0) == pytest.approx(
        10 ** (pattern.peak / 10), rel=1e-5
    )
    assert pattern.gain_max_over(-400.0, 400.0, -90.0, 90.0) == pytest.approx(
        10 ** (pattern.peak / 10), rel=1e-5
    )
    i, j = 20, 30
    inside = pattern.azimuth[j] + 0.3 * np.diff(pattern.azimuth)[j] + np.array([0.0, 0.001])
    up = pattern.elevation[i] + 0.3 * np.diff(pattern.elevation)[i]
    got = pattern.gain_max_over(*inside, up, up)
    assert db(got) == pytest.approx(pattern.table[i : i + 2, j : j + 2].max(), abs=1e-4)
    # Across the seam, given backwards: 170 to -170.
    seam = pattern.gain_max_over(170.0, -170.0, -5.0, 5.0)
    assert seam == pattern.gain_max_over(170.0, 190.0, -5.0, 5.0)
    assert seam < pattern.gain_max_over(-170.0, 170.0, -90.0, 90.0)


def test_box_bound_of_a_smooth_pattern_is_tight():
    az, el = np.arange(-180.0, 180.0), np.arange(-90.0, 91.0)
    pattern = Pattern(az, el, tr38901_element(az[None, :], el[:, None]))
    azimuth, elevation = directions(500)
    azimuth, elevation = azimuth * 0.3, elevation * 0.5
    bound = pattern.gain_max_over(azimuth, azimuth + 8.0, elevation, elevation + 8.0)
    inside = [
        pattern.gain(azimuth + u, elevation + v) for u in (0.0, 4.0, 8.0) for v in (0.0, 4.0, 8.0)
    ]
    # At most a quarter of a window and a cell more on each side than the box.
    assert np.max(db(bound / np.maximum.reduce(inside))) < 1.5
