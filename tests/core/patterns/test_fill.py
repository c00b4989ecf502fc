"""Three-dimensional data: used as they are, holes filled high."""

import numpy as np
import pytest

from core.patterns.build3d import conservative
from core.patterns.fill import complete_grid
from core.patterns.formulas.cellular import tr38901_element
from core.patterns.model import Grid, PatternData
from core.patterns.readers import read_pattern
from core.validation.data import PATTERNS
from support.spheres import db


def test_grids_are_used_as_they_are():
    data = read_pattern(PATTERNS / "EXANT_EX-AAS-35-64_3500_TrafficEnvelope_3drp.json")
    pattern = conservative(data)
    assert np.array_equal(pattern.table, data.grid.gain)
    assert pattern.envelope
    assert pattern.method == "3-D data as given"


def test_grids_that_do_not_start_at_minus_180_keep_their_values():
    az, el = np.arange(-175.0, 180.0, 10.0), np.arange(-90.0, 91.0, 10.0)
    gain = -np.abs(el)[:, None] / 5.0 - np.abs(az + 60.0)[None, :] / 20.0
    grid = Grid(az, el, gain, np.zeros(gain.shape, dtype=bool))
    pattern = conservative(PatternData(name="invented", gain=float(gain.max()), grid=grid))
    assert pattern.azimuth[0] == -180.0
    assert db(pattern.gain(az[None, :], el[:, None])) == pytest.approx(gain, abs=1e-9)
    seam = 0.5 * (gain[:, 0] + gain[:, -1])
    assert db(pattern.gain(np.full(el.size, 180.0), el)) == pytest.approx(seam, abs=1e-9)


def test_missing_directions_are_filled_high_and_flagged():
    az, el = np.arange(-180.0, 180.0, 10.0), np.arange(-90.0, 91.0, 10.0)
    truth = tr38901_element(az[None, :], el[:, None])
    assert not complete_grid(az, el, truth).filled.any()
    holes = truth.copy()
    holes[np.random.default_rng(20240607).random(truth.shape) < 0.3] = np.nan
    grid = complete_grid(az, el, holes)
    missing = np.isnan(holes)
    assert np.array_equal(grid.filled, missing)
    assert np.array_equal(grid.gain[~missing], truth[~missing])
    # Inside a hole the lobe can rise over its neighbours by one step of its slope at the most.
    assert np.all(grid.gain[missing] >= truth[missing] - 1.0)


def test_front_half_of_a_sphere_is_completed():
    az, el = np.arange(-90.0, 91.0, 10.0), np.arange(-60.0, 61.0, 10.0)
    grid = complete_grid(az, el, tr38901_element(az[None, :], el[:, None]))
    assert (grid.elevation[0], grid.elevation[-1]) == (-90.0, 90.0)
    assert np.diff(np.append(grid.azimuth, grid.azimuth[0] + 360.0)).max() <= 10.0 + 1e-9
    assert grid.filled.any()
    assert np.all(grid.gain[grid.filled] >= 8.0 - 20.0)
    whole = tr38901_element(grid.azimuth[None, :], grid.elevation[:, None])
    assert np.all(grid.gain >= whole - 1e-9)


def test_rows_that_stop_half_a_step_short_of_the_poles_are_whole():
    az, el = np.arange(-180.0, 180.0, 10.0), np.arange(-87.5, 90.0, 5.0)
    grid = complete_grid(az, el, tr38901_element(az[None, :], el[:, None]))
    assert not grid.filled.any()
    assert grid.gain[0].tolist() == [grid.gain[1].max()] * az.size
