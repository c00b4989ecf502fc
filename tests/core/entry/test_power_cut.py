"""The power-cut arithmetic, against the decibel scale of ISO 80000-3 and by its own meaning."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.entry.power_cut import power_cut


@pytest.mark.parametrize(
    ("share", "others", "target", "decibels"),
    [
        # Arithmetic of 10 log10(P / (T - Q)); 3 dB is a factor of two and 10 dB of ten in power (the level of a power
        # quantity, ISO 80000-3:2006, annex C, from memory). That others must leave room for it is common practice.
        (200.0, 0.0, 100.0, 10.0 * math.log10(2.0)),
        (1000.0, 0.0, 100.0, 10.0),
        (1000.0, 50.0, 100.0, 10.0 + 10.0 * math.log10(2.0)),
        (680.0, 0.0, 100.0, 8.325),
        (90.0, 0.0, 100.0, 0.0),
        (0.0, 90.0, 100.0, 0.0),
    ],
)
def test_the_cut_of_one_emitter(
    share: float, others: float, target: float, decibels: float
) -> None:
    assert power_cut(share, others, target) == pytest.approx(decibels, abs=5e-4)


def test_no_single_cut_is_enough_where_the_others_alone_reach_the_target() -> None:
    assert power_cut(500.0, 100.0, 100.0) is None
    assert power_cut(500.0, 140.0, 100.0) is None


@given(st.floats(1e-3, 1e6), st.floats(0.0, 1e3), st.floats(1.0, 1e3))
def test_the_place_meets_its_target_after_the_cut_and_not_before(
    share: float, others: float, target: float
) -> None:
    cut = power_cut(share, others, target)
    if others >= target:
        assert cut is None
        return
    assert cut is not None
    left = share * 10.0 ** (-cut / 10.0)
    assert left + others <= target * (1.0 + 1e-9)
    if cut > 0.0:
        assert left + others == pytest.approx(target, rel=1e-6)
