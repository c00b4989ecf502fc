"""Cuts, ready tables, and 3-D patterns from two cuts against antennas computed in full."""

import numpy as np
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from core.errors import InputError
from core.patterns.build3d import best_estimate, conservative, hpi_loss, sum_loss
from core.patterns.envelope import monotone, nodes_for, under
from core.patterns.fill import complete_grid
from core.patterns.formulas.cellular import PlanarArray, m2101_array, tr38901_element
from core.patterns.model import Cut, Grid, Pattern, PatternData, wrap
from core.patterns.readers import read_pattern
from core.validation.data import PATTERNS
from core.validation.twocuts import TRUTHS, cuts_of

RNG = np.random.default_rng(20240607)


def db(power):
    return 10.0 * np.log10(power)


def directions(count):
    """Return random directions, even over the sphere."""
    azimuth = RNG.uniform(-180.0, 180.0, count)
    return azimuth, np.degrees(np.arcsin(RNG.uniform(-1.0, 1.0, count)))


# --- cuts ---------------------------------------------------------------------------------------


def test_a_cut_is_read_round_the_circle():
    cut = Cut(np.array([-170.0, 0.0, 170.0]), np.array([20.0, 0.0, 10.0]))
    assert cut.full_circle
    assert cut.at([0.0, 85.0, 180.0, -180.0, 190.0, 530.0]) == pytest.approx([0, 5, 15, 15, 20, 10])


def test_a_front_only_cut_says_nothing_behind():
    cut = Cut(np.arange(-90.0, 91.0, 10.0), np.abs(np.arange(-90.0, 91.0, 10.0)) / 3.0)
    assert not cut.full_circle
    assert np.isnan(cut.at([-95.0, 91.0, 180.0])).all()
    assert cut.at([-90.0, 45.0]) == pytest.approx([30.0, 15.0])


@pytest.mark.parametrize(
    ("angles", "full"),
    [
        (np.arange(-180.0, 180.0, 5.0), True),
        (np.arange(-170.0, 171.0, 10.0), True),  # the end point left out
        (np.arange(-150.0, 151.0, 10.0), False),
        ([-120.0, 0.0, 120.0], True),
        ([-90.0, 0.0, 90.0], False),
        ([-90.0, -20.0, -4.0, 0.0, 90.0], False),
        ([-100.0, -10.0, 0.0, 10.0, 100.0, 179.0], True),
        ([0.0], False),
    ],
)
def test_full_circles_are_told_from_parts(angles, full):
    assert Cut(np.array(angles), np.zeros(len(angles))).full_circle is full


def test_widths_of_cuts():
    angle = np.arange(-180.0, 180.0, 0.5)
    parabola = Cut(angle, np.minimum(12 * (wrap(angle - 170.0) / 20.0) ** 2, 25.0))
    assert parabola.width() == pytest.approx(20.0, abs=0.01)
    assert Cut(angle, np.zeros(angle.size)).width() == 360.0
    half = np.arange(-90.0, 91.0)
    assert Cut(half, np.zeros(181)).width() == 180.0
    assert Cut(half, np.minimum(12 * ((half - 85.0) / 20.0) ** 2, 25.0)).width() == pytest.approx(
        15.0, abs=0.1
    )


@pytest.mark.parametrize(
    ("angles", "loss"),
    [
        ([0.0, 0.0], [0.0, 1.0]),
        ([10.0, 0.0], [0.0, 1.0]),
        ([0.0, 180.0], [0.0, 1.0]),
        ([0.0, 1.0], [0.0]),
        ([0.0, 1.0], [0.0, -0.06]),
        ([0.0, 1.0], [0.0, np.nan]),
        ([], []),
    ],
)
def test_impossible_cuts_are_refused(angles, loss):
    with pytest.raises(ValueError, match=r"cut|angles|level"):
        Cut(np.array(angles), np.array(loss))


def test_rounding_above_the_peak_is_clipped():
    assert Cut(np.array([0.0, 1.0]), np.array([-0.05, 999.0])).loss.tolist() == [0.0, 200.0]


# --- ready tables -------------------------------------------------------------------------------


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
    azimuth, elevation = RNG.uniform(-900.0, 900.0, 300), RNG.uniform(-90.0, 90.0, 300)
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


@settings(max_examples=40, deadline=None)
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


# --- one-dimensional pieces ---------------------------------------------------------------------


def test_monotone_envelope_fills_nulls_and_keeps_outer_lobes():
    angle = np.arange(-4.0, 5.0)
    loss = np.array([9.0, 30.0, 12.0, 20.0, 0.0, 15.0, 10.0, 40.0, 25.0])
    assert monotone(angle, loss).tolist() == [9.0, 9.0, 9.0, 9.0, 0.0, 10.0, 10.0, 25.0, 25.0]


@settings(max_examples=100, deadline=None)
@given(st.integers(0, 10_000))
def test_resampled_lines_stay_under_the_curve(seed):
    rng = np.random.default_rng(seed)
    angle = np.unique(np.round(rng.uniform(-90.0, 90.0, 60), 2))
    loss = rng.choice([0.0, 5.0, 60.0], angle.size) * rng.random(angle.size)
    nodes = np.unique(np.concatenate(([-90.0, 90.0], rng.uniform(-90.0, 90.0, 15))))
    fine = np.unique(np.concatenate((angle, np.linspace(angle[0], angle[-1], 500))))
    line = np.interp(fine, nodes, under(nodes, angle, loss))
    assert np.all(line <= np.interp(fine, angle, loss) + 1e-9)


def test_table_angles_are_fine_in_the_main_lobe_and_few():
    nodes = nodes_for(np.arange(-180.0, 180.0, 0.01), [-180.0, -90.0, 90.0, 180.0], 3.0, 2.0)
    near = nodes[(nodes > 1.0) & (nodes < 5.0)]
    assert np.diff(near).max() <= 0.2 + 1e-9
    assert nodes.size < 1000
    assert np.diff(nodes).min() > 0.01
    assert np.diff(nodes).max() <= 5.0 + 1e-9
    assert {-180.0, -90.0, 3.0, 90.0, 180.0} <= set(nodes.tolist())


def test_joining_methods_against_worked_values():
    # LH 10, LVf 8, LVb 25, LVb at the plane 27, azimuth 60: sum 18.000, projection 14.667, max 10.
    assert sum_loss(np.array(10.0), np.array(8.0)) == 18.0
    got = hpi_loss(np.array(60.0), np.array(10.0), np.array(8.0), np.array(25.0), 0.0, 27.0)
    assert got == pytest.approx(14.667, abs=5e-4)


# --- antennas computed in full ------------------------------------------------------------------

# The antennas are those of the validation report, which shows how far off their built patterns are.


@pytest.mark.parametrize("name", TRUTHS)
def test_conservative_pattern_is_not_below_the_truth(name):
    """Within 30 dB of the peak never more than 0.1 dB below the antenna computed in full."""
    truth, step, az_step = TRUTHS[name]
    top, (az0, el0), data = cuts_of(truth, step, az_step)
    pattern = conservative(data)
    azimuth, elevation = directions(60_000)
    spread = min(data.azimuth.width(), 60.0), min(data.elevation.width(), 60.0)
    azimuth = np.concatenate((azimuth, az0 + spread[0] * RNG.normal(size=30_000)))
    elevation = np.concatenate((elevation, el0 + spread[1] * RNG.normal(size=30_000)))
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


# --- rules of the conservative pattern ----------------------------------------------------------


def data_of(azimuth=None, elevation=None, **more):
    return PatternData(name="invented", gain=10.0, azimuth=azimuth, elevation=elevation, **more)


def random_cut(seed, step=5.0, reach=180.0):
    rng = np.random.default_rng(seed)
    angle = np.arange(-reach, reach if reach == 180.0 else reach + 1.0, step)
    loss = rng.gamma(1.5, 6.0, angle.size)
    return Cut(angle, loss - loss.min())


@settings(max_examples=60, deadline=None)
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


# --- 3-D data -----------------------------------------------------------------------------------


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
    holes[RNG.random(truth.shape) < 0.3] = np.nan
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
