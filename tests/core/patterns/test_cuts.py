"""Cuts: a circle or a part of one, widths, what is refused."""

import numpy as np
import pytest

from core.patterns.model import Cut, wrap


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
