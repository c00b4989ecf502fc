"""Envelopes of one-dimensional pieces, and where tables are fine."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.patterns.build3d import hpi_loss, sum_loss
from core.patterns.envelope import monotone, nodes_for, under
from support.effort import many


def test_monotone_envelope_fills_nulls_and_keeps_outer_lobes():
    angle = np.arange(-4.0, 5.0)
    loss = np.array([9.0, 30.0, 12.0, 20.0, 0.0, 15.0, 10.0, 40.0, 25.0])
    assert monotone(angle, loss).tolist() == [9.0, 9.0, 9.0, 9.0, 0.0, 10.0, 10.0, 25.0, 25.0]


@settings(max_examples=many(100), deadline=None)
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
