"""The rules of the conservative pattern."""

import numpy as np
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from core.errors import InputError
from core.patterns.build3d import best_estimate, conservative
from core.patterns.model import Cut, PatternData
from core.patterns.readers import read_pattern
from core.validation.data import PATTERNS
from core.validation.twocuts import TRUTHS, cuts_of
from support.effort import many
from support.spheres import db, directions


def data_of(azimuth=None, elevation=None, **more):
    return PatternData(name="invented", gain=10.0, azimuth=azimuth, elevation=elevation, **more)


def random_cut(seed, step=5.0, reach=180.0):
    rng = np.random.default_rng(seed)
    angle = np.arange(-reach, reach if reach == 180.0 else reach + 1.0, step)
    loss = rng.gamma(1.5, 6.0, angle.size)
    return Cut(angle, loss - loss.min())


@settings(max_examples=many(60), deadline=None)
@given(st.integers(0, 5000), st.sampled_from([1.0, 3.0, 5.0]), st.booleans())
@example(2111, 5.0, False)  # elevation cut strongest behind
def test_table_never_lies_below_either_cut(seed, step, envelope):
    data = data_of(random_cut(seed), random_cut(seed + 1, step), envelope=envelope)
    pattern = conservative(data)
    angle = np.linspace(-180.0, 180.0, 1441)
    el0 = data.elevation.angles[np.abs(data.elevation.angles) <= 90.0]
    el0 = float(el0[np.argmin(data.elevation.at(el0))])
    across = db(pattern.gain(angle, np.full(angle.size, el0)))
    assert np.all(across >= 10.0 - data.azimuth.at(angle) - 1e-9)
    front = np.linspace(-90.0, 90.0, 721)
    up = db(pattern.gain(np.full(front.size, data.azimuth.peak_angle), front))
    assert np.all(up >= 10.0 - data.elevation.at(front) - 1e-9)
    assert pattern.table.min() >= 10.0 - 40.0


def test_all_directions_at_a_pole_have_one_gain():
    pattern = conservative(read_pattern(PATTERNS / "demo-sector65-0850.adf"))
    for row in (0, -1):
        assert np.ptp(pattern.table[row]) == 0.0


def test_horizon_cut_of_a_tilted_antenna_is_raised():
    # A 6.7 degree beam tilted 6 degrees has lost 11.55 dB at the horizon... of its own lobe.
    truth, _, _ = TRUTHS["panel, 6 degrees down"]
    top, _, data = cuts_of(truth, 1.0)
    az = data.azimuth.angles
    horizon = Cut(az, top - truth(az, np.zeros(az.size)))
    assert horizon.loss.min() > 5.0
    low = data_of(horizon, data.elevation, electrical_tilt=6.0, horizon_azimuth_cut=True)
    pattern = conservative(low)
    assert pattern.peak == pytest.approx(10.0)
    assert "horizon azimuth cut raised" in pattern.method
    azimuth, elevation = directions(40_000)
    real = truth(azimuth, elevation) - top
    short = real - (db(pattern.gain(azimuth, elevation)) - 10.0)
    assert short[real > -30.0].max() < 0.1


def test_unknown_back_has_20_db_at_most():
    front = Cut(np.arange(-90.0, 91.0), np.minimum(12 * (np.arange(-90.0, 91.0) / 8.0) ** 2, 45.0))
    azimuth = np.arange(-180.0, 180.0)
    sector = Cut(azimuth, np.minimum(12 * (azimuth / 65.0) ** 2, 35.0))
    pattern = conservative(data_of(sector, front))
    behind = np.abs(pattern.azimuth) >= 90.0
    assert np.all(pattern.table[:, behind] >= 10.0 - 20.0 - 1e-9)
    assert pattern.table[:, ~behind].min() < 10.0 - 25.0
    assert np.all(pattern.table >= 10.0 - 40.0)


def test_a_missing_cut_means_no_loss():
    azimuth = random_cut(3)
    pattern = conservative(data_of(azimuth))
    angle = np.linspace(-180.0, 180.0, 721)
    for elevation in (-60.0, 0.0, 45.0):
        got = db(pattern.gain(angle, np.full(angle.size, elevation)))
        assert np.all(got >= 10.0 - azimuth.at(angle) - 1e-9)
    assert "no elevation cut" in pattern.method
    stack_only = conservative(data_of(None, random_cut(4)))
    assert np.ptp(stack_only.table, axis=1).max() == pytest.approx(0.0, abs=1e-9)
    assert "no azimuth cut" in stack_only.method
    with pytest.raises(InputError, match="no cut"):
        conservative(data_of())
    with pytest.raises(InputError, match="no cut"):
        best_estimate(data_of())


def test_coarse_samples_are_raised_by_the_curve_between_them():
    """A parabolic lobe sampled at a fifth of its width: chords lie up to 0.12 dB too low."""
    fine = np.linspace(-90.0, 90.0, 3601)
    width, step = 20.0, 4.0

    def lobe(angle):
        return np.minimum(12 * (angle / width) ** 2, 30.0)

    angle = np.arange(-180.0, 180.0, step)
    cut = Cut(angle, lobe(angle))
    chord = np.max(cut.at(fine) - lobe(fine))
    assert chord == pytest.approx(3 * (step / width) ** 2, abs=1e-3)
    omni = Cut(np.arange(-180.0, 180.0, 10.0), np.zeros(36))
    pattern = conservative(data_of(omni, cut))
    got = 10.0 - db(pattern.gain(np.zeros(fine.size), fine))
    assert np.max(got - lobe(fine)) < 0.01
    # Straight lines are the definition of an envelope: nothing is added there.
    exact = conservative(data_of(omni, cut, envelope=True))
    got = 10.0 - db(exact.gain(np.zeros(fine.size), fine))
    assert np.max(np.abs(got - cut.at(fine))[np.abs(fine) < 30.0]) < 1e-9


def test_tolerance_widens_the_pattern_and_keeps_its_peak():
    data = read_pattern(PATTERNS / "demo-sector65-0850.adf")
    plain, wide = conservative(data), conservative(data, tolerance_db=2.0)
    assert wide.peak == plain.peak == pytest.approx(17.4)
    assert np.all(wide.table >= plain.table)
    down = plain.table < plain.peak - 2.0
    assert wide.table[down] == pytest.approx(plain.table[down] + 2.0)
    assert "2 dB tolerance" in wide.method


def test_samples_build_both_ways():
    for path in sorted(PATTERNS.iterdir()):
        data = read_pattern(path)
        data = data if data.gain_known else data.with_gain(6.0)
        for pattern in (conservative(data), best_estimate(data)):
            assert pattern.peak == pytest.approx(data.gain, abs=1e-6)
            assert pattern.source == path.name
            assert pattern.method


def test_conservative_is_never_below_the_best_estimate_on_the_samples():
    azimuth, elevation = directions(20_000)
    for name in ("demo-sector65-0850.adf", "demo-omni-0155.adf", "demo-fm4-cp-0098.adf"):
        data = read_pattern(PATTERNS / name)
        safe, best = conservative(data), best_estimate(data)
        strong = db(best.gain(azimuth, elevation)) > best.peak - 20.0
        ratio = db(safe.gain(azimuth, elevation) / best.gain(azimuth, elevation))
        assert ratio[strong].min() > -0.05
