"""The worst moving average of a way with stays: known answers, brute force, and what must never happen."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.entry.stays import timeline
from core.entry.window import Moves, Stay, longest_stay, worst_window
from support.effort import many

SIX_MINUTES = 360.0
STILL = Moves(np.zeros(0), 0.1)


@pytest.mark.parametrize(
    ("percent", "seconds"),
    # Longest stay in any 6 minutes at a constant level, nothing else in the window: window · 100 / level
    # (arithmetic from the 6 minutes of FCC 47 CFR 1.1310; the stays are those of OET Bulletin 65's rule).
    [
        (100, math.inf), (150, 240.0), (200, 180.0), (300, 120.0), (400, 90.0), (500, 72.0), (700, 51.4),
        (1000, 36.0),
    ],
)  # fmt: skip
def test_the_dwell_table(percent: int, seconds: float) -> None:
    stay = Stay(0, percent / 100.0, 0.0)
    found = longest_stay([STILL], [[stay]], [SIX_MINUTES], 0)
    assert found == pytest.approx(seconds, abs=0.05)
    assert found <= SIX_MINUTES * 100.0 / percent or percent == 100


def test_twice_the_limit_for_three_of_six_minutes() -> None:
    # FCC OET Bulletin 65, time averaging: at 100 MHz twice the limit for 3 minutes of any 6, then none.
    at_limit = worst_window(STILL, [Stay(0, 2.0, 180.0)], SIX_MINUTES)
    assert at_limit == pytest.approx(1.0)
    assert worst_window(STILL, [Stay(0, 2.0, 181.0)], SIX_MINUTES) > 1.0
    assert worst_window(STILL, [Stay(0, 2.0, 3600.0)], SIX_MINUTES) == pytest.approx(2.0)
    twice = [Stay(0, 2.0, 180.0), Stay(1800, 2.0, 180.0)]
    apart = Moves(np.zeros(1800), 0.1)
    assert worst_window(apart, twice, SIX_MINUTES) == pytest.approx(1.0)
    near = Moves(np.zeros(1000), 0.1)
    stays = [twice[0], replace(twice[1], step=1000)]
    assert worst_window(near, stays, SIX_MINUTES) == pytest.approx(2.0 * 260.0 / 360.0)


def test_what_is_met_on_the_move_counts_with_the_stay() -> None:
    # 60 s at 3 on the way up and on the way down leave nothing for a stay at 1 that is not 0 s: 2 · 180 = 360.
    moves = Moves(np.full(1200, 3.0), 0.1)
    stay = [Stay(600, 1.0, 0.0)]
    assert worst_window(moves, stay, SIX_MINUTES) == pytest.approx(1.0)
    assert longest_stay([moves], [stay], [SIX_MINUTES], 0) == pytest.approx(0.0, abs=0.01)
    half = Moves(np.full(1200, 1.5), 0.1)
    found = longest_stay([half], [[Stay(600, 1.5, 0.0)]], [SIX_MINUTES], 0)
    assert found == pytest.approx(120.0, abs=0.1)


def test_a_rest_far_from_the_hot_place_is_not_blamed_for_it() -> None:
    moves = Moves(np.zeros(8000), 0.1)
    stays = [Stay(0, 0.05, 300.0), Stay(8000, 4.0, 600.0)]
    assert worst_window(moves, stays, SIX_MINUTES) == pytest.approx(4.0)
    assert longest_stay([moves], [stays], [SIX_MINUTES], 0) == math.inf
    assert longest_stay([moves], [stays], [SIX_MINUTES], 1) == pytest.approx(90.0, abs=0.05)


LEVELS = st.floats(0.0, 5.0) | st.just(0.0)
WINDOWS = st.integers(4, 40).map(float)


@st.composite
def ways(draw: st.DrawFn) -> tuple[Moves, list[Stay], float]:
    window = draw(WINDOWS)
    steps = np.array(draw(st.lists(LEVELS, max_size=12)))
    # Steps as fine as the program's: some thousand in a window.
    fine = np.repeat(steps, 100)
    stays = draw(
        st.lists(
            st.builds(
                Stay,
                st.integers(0, len(steps)).map(lambda k: 100 * k),
                LEVELS,
                st.floats(0.0, 30.0),
            ),
            max_size=4,
        )
    )
    return Moves(fine, 0.01), sorted(stays, key=lambda s: s.step), window


def sampled(moves: Moves, stays: list[Stay], window: float, count: int) -> float:
    clock, gathered = timeline(moves, stays)
    ends = np.linspace(0.0, clock[-1] + window, count)
    average = np.interp(ends, clock, gathered) - np.interp(ends - window, clock, gathered)
    return float(average.max()) / window


@settings(max_examples=many(60), deadline=None)
@given(ways(), st.lists(st.floats(0.0, 1.0), min_size=4, max_size=4))
def test_no_sampling_finds_a_higher_window_whenever_people_leave(
    way: tuple[Moves, list[Stay], float], parts: list[float]
) -> None:
    moves, stays, window = way
    most = worst_window(moves, stays, window)
    for left in (
        stays,
        [replace(s, seconds=p * s.seconds) for s, p in zip(stays, parts, strict=False)],
        [
            replace(s, seconds=s.seconds if p > 0.5 else 0.0)
            for s, p in zip(stays, parts, strict=False)
        ],
    ):
        assert sampled(moves, left, window, 3001) <= most + 1e-9


@settings(max_examples=many(60), deadline=None)
@given(ways(), st.integers(0, 3), st.floats(0.0, 40.0))
def test_more_dwell_never_lowers_the_worst_window(
    way: tuple[Moves, list[Stay], float], which: int, more: float
) -> None:
    moves, stays, window = way
    before = worst_window(moves, stays, window)
    longer = [
        replace(s, seconds=s.seconds + more) if i == which else s for i, s in enumerate(stays)
    ]
    assert worst_window(moves, longer, window) >= before - 1e-9


@settings(max_examples=many(40), deadline=None)
@given(ways())
def test_the_worst_window_is_not_far_above_what_can_be(
    way: tuple[Moves, list[Stay], float],
) -> None:
    moves, _, window = way
    # Without stays, which may be left at any time, the planned way is the worst one.
    found = worst_window(moves, [], window)
    assert found <= sampled(moves, [], window, 20001) * 1.01 + 0.01


@settings(max_examples=many(25), deadline=None)
@given(ways(), st.integers(0, 3))
def test_a_longest_stay_keeps_its_windows_under_the_limit_and_no_longer_one_does(
    way: tuple[Moves, list[Stay], float], which: int
) -> None:
    moves, stays, window = way
    if which >= len(stays):
        return
    found = longest_stay([moves], [stays], [window], which)

    def at(seconds: float) -> float:
        changed = [replace(s, seconds=seconds) if i == which else s for i, s in enumerate(stays)]
        return worst_window(moves, changed, window, which)

    if 0.0 < found < math.inf:
        assert at(found) <= 1.0 + 1e-9
        assert at(found + 0.01 * window) > 1.0
    elif found == math.inf:
        assert at(10.0 * window) <= 1.0 + 1e-9
    else:
        assert at(1e-3 * window) > 1.0 - 1e-2
