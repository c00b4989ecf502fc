"""Patterns from two cuts against antennas computed in full."""

import numpy as np
import pytest

from core.patterns.build3d import best_estimate, conservative
from core.patterns.formulas.cellular import PlanarArray, m2101_array
from core.validation.twocuts import TRUTHS, cuts_of
from support.spheres import SEED, db, directions

# The antennas are those of the validation report, which shows how far off their built patterns are.


@pytest.mark.parametrize("name", TRUTHS)
def test_conservative_pattern_is_not_below_the_truth(name):
    """Within 30 dB of the peak never more than 0.1 dB below the antenna computed in full."""
    truth, step, az_step = TRUTHS[name]
    top, (az0, el0), data = cuts_of(truth, step, az_step)
    pattern = conservative(data)
    azimuth, elevation = directions(60_000)
    rng = np.random.default_rng(SEED)
    spread = min(data.azimuth.width(), 60.0), min(data.elevation.width(), 60.0)
    azimuth = np.concatenate((azimuth, az0 + spread[0] * rng.normal(size=30_000)))
    elevation = np.concatenate((elevation, el0 + spread[1] * rng.normal(size=30_000)))
    elevation = np.clip(elevation, -90.0, 90.0)
    real = truth(azimuth, elevation) - top
    short = real - db(pattern.gain(azimuth, elevation))
    strong = real > -30.0
    assert strong.sum() > 1000
    assert short[strong].max() < 0.1
    assert pattern.peak == pytest.approx(0.0, abs=1e-9)
    pencil = "revolution" in pattern.method
    assert pencil == name.startswith(("8 x 8", "dish", "end-fire"))


def test_best_estimate_is_closer_but_not_safe():
    truth, step, az_step = TRUTHS["panel, 6 degrees down"]
    top, _, data = cuts_of(truth, step, az_step)
    azimuth, elevation = directions(40_000)
    real = truth(azimuth, elevation) - top
    strong = real > -30.0
    best, safe = best_estimate(data), conservative(data)
    error = {p.method[:4]: (real - db(p.gain(azimuth, elevation)))[strong] for p in (best, safe)}
    assert np.sqrt(np.mean(error["best"] ** 2)) < np.sqrt(np.mean(error["cons"] ** 2))
    assert error["best"].max() > 1.0
    assert "can be too low" in best.method
    assert "projection" in best.method


def test_a_steered_beam_says_that_its_cuts_do_not_bound_it():
    def truth(a, e):
        return m2101_array(a, e, PlanarArray(), beam_azimuth=60.0, beam_elevation=-14.0)

    top, _, data = cuts_of(truth, 1.0)
    pattern = conservative(data)
    azimuth, elevation = directions(60_000)
    real = truth(azimuth, elevation) - top
    assert np.max((real - db(pattern.gain(azimuth, elevation)))[real > -30.0]) > 1.0
    assert "two cuts do not bound it" in pattern.method
    for name in ("panel", "8 x 8 array", "ring", "ring, thick mast"):
        assert "bound" not in conservative(cuts_of(TRUTHS[name][0], 1.0)[2]).method


def test_raw_maximum_of_the_cuts_would_not_be_safe():
    """Shows that the comparison can fail: without the envelopes the panel is over 1 dB short."""
    truth, step, az_step = TRUTHS["panel"]
    top, _, data = cuts_of(truth, step, az_step)
    azimuth, elevation = directions(60_000)
    real = truth(azimuth, elevation) - top
    raw = np.maximum(data.azimuth.at(azimuth), data.elevation.at(elevation))
    assert np.max((real + raw)[real > -30.0]) > 1.0
