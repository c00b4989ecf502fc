"""What a garment is worth: the arithmetic of its card, and why it may be worth nothing."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.exposure.garment_use import Verdict, garment_use, ratings, verdict
from core.exposure.sources import sources
from core.exposure.totals import exposure
from core.limits.sets import get_set
from core.site.garment import COMPLETE_SET, Band, Garment, Soundness
from core.site.site import Antenna, Condition, Site, State
from support.effort import many
from support.simple_sites import FREE, isotropic

FM = Band(low=80e6, high=300e6, percent=1000.0)
SUIT = Garment(name="set", source="card", bands=(FM,), inspected="2026-11-01")
HERE = (10.0, 0.0, 0.0)
ORDER = list(Verdict)


@pytest.mark.parametrize(
    ("decibels", "percent"),
    # max % = 100 · 10^(A/10) (arithmetic; that a rating is an attenuation is common practice, no source).
    [(3, 200), (6, 400), (10, 1000), (15, 3160), (20, 10_000), (25, 31_600), (30, 100_000)],
)
def test_a_rating_in_percent_is_an_attenuation_in_decibels(decibels: float, percent: float) -> None:
    band = Band(low=80e6, high=300e6, decibels=decibels)
    assert 100.0 * band.rating == pytest.approx(percent, rel=0.005)


def at_percent(frequency: float, percent: float, name: str = "FM") -> Antenna:
    """An emitter that makes so many percent of the FCC occupational limit, alone, 10 m away."""
    one = Site(name="one", antennas=(isotropic(name, frequency, 1.0),), reflection=FREE)
    made = float(exposure(one, np.array([HERE])).occupational.total[0])
    return isotropic(name, frequency, 0.01 * percent / made)


def judged(
    antennas: tuple[Antenna, ...], garment: Garment = SUIT, margin: float = 3.0
) -> tuple[Verdict, tuple[str, ...], float]:
    site = Site(name="test", antennas=antennas, reflection=FREE)
    exposed = exposure(site, np.array([HERE]))
    rated = ratings(garment, sources(site), get_set(site.limit_set))
    used = garment_use(exposed, rated)
    word, why = verdict(
        float(exposed.occupational.total[0]),
        float(used.use.total[0]),
        float(used.unrated[0]),
        margin,
        rated.reasons,
        uncovered=rated.uncovered,
    )
    return word, why, 100.0 * float(used.use.total[0])


def test_the_example_of_the_trade() -> None:
    # 680 % of the limit at 100 MHz against ratings (common practice, no source; use by arithmetic).
    field = (at_percent(100e6, 680.0),)
    assert judged(field)[2] == pytest.approx(68.0)
    assert judged(field)[0] is Verdict.NO_MARGIN
    assert judged(field, margin=1.0)[0] is Verdict.WITHIN
    weaker = replace(SUIT, bands=(replace(FM, percent=600.0),))
    assert judged(field, weaker)[0] is Verdict.NOT_ENOUGH
    assert judged(field, weaker)[2] == pytest.approx(680.0 / 6.0)
    assert judged((at_percent(100e6, 99.0),), weaker)[0] is Verdict.NOT_NEEDED


def test_what_is_left_inside_is_the_sum_over_the_bands() -> None:
    # Σ ambient%_i / 10^(A_i/10) (arithmetic): 300 % at 10 dB and 200 % at 20 dB leave 30 % + 2 %.
    two = replace(SUIT, bands=(FM, Band(low=400e6, high=1e9, decibels=20.0)))
    field = (at_percent(100e6, 300.0, "FM"), at_percent(600e6, 200.0, "UHF"))
    word, _, use = judged(field, two)
    assert use == pytest.approx(32.0)
    assert word is Verdict.WITHIN


NO_CREDIT = [
    ((at_percent(100e6, 300.0), at_percent(600e6, 6.0, "UHF")), SUIT, "outside the garment's bands"),
    ((at_percent(100e6, 1001.0),), replace(SUIT, bands=(replace(FM, percent=5e4),)), "1000 %"),
    ((at_percent(100e6, 300.0),), replace(SUIT, parts=COMPLETE_SET[:3]), "socks missing"),
    ((at_percent(100e6, 300.0),), replace(SUIT, condition=Soundness.DAMAGED), "damaged"),
    ((at_percent(100e6, 300.0),), replace(SUIT, condition=Soundness.REPAIRED), "lasting repair"),
    ((at_percent(100e6, 300.0),), replace(SUIT, inspected=""), "no inspection"),
    (
        (at_percent(100e6, 300.0), replace(at_percent(90e6, 1.0, "X"), state=State(Condition.UNKNOWN))),
        SUIT,
        "X: only: nobody knows",
    ),
    (
        (at_percent(100e6, 300.0), at_percent(1e6, 1.0, "AM")),
        replace(SUIT, bands=(FM, Band(low=5e5, high=2e6, percent=2000.0))),
        "contact current",
    ),
    ((at_percent(100e6, 300.0), isotropic("deep", 1e5, 1.0)), SUIT, "no limit at its frequency"),
]  # fmt: skip


@pytest.mark.parametrize(("field", "garment", "reason"), NO_CREDIT, ids=[c[2] for c in NO_CREDIT])
def test_no_credit_has_its_reason(
    field: tuple[Antenna, ...], garment: Garment, reason: str
) -> None:
    word, why, _ = judged(field, garment)
    assert word is Verdict.NO_CREDIT
    assert reason in "; ".join(why)


def test_a_weak_emitter_out_of_band_counts_in_full() -> None:
    word, _, use = judged((at_percent(100e6, 300.0), at_percent(600e6, 4.9, "UHF")))
    assert word is Verdict.WITHIN
    assert use == pytest.approx(34.9)


def test_where_an_emitter_has_no_limit_no_place_is_free_of_it() -> None:
    assert judged((at_percent(100e6, 5.0), isotropic("deep", 1e5, 1.0)))[0] is Verdict.NO_CREDIT


def test_next_to_an_antenna_nothing_is_within_a_rating() -> None:
    near = replace(at_percent(100e6, 50.0), position=(9.9, 0.0, 0.0))
    high = replace(SUIT, bands=(replace(FM, percent=1e5),))
    assert judged((near,), high)[0] is Verdict.NO_CREDIT


EMITTERS = st.lists(
    st.tuples(st.sampled_from([95e6, 100e6, 250e6, 600e6, 1e6]), st.floats(0.1, 1500.0)),
    min_size=1,
    max_size=3,
)
WORSE = st.sampled_from(
    ["added", "raised", "unknown", "out of band", "less margin", "lower rating"]
)


@settings(max_examples=many(80), deadline=None)
@given(
    EMITTERS,
    WORSE,
    st.floats(101.0, 3000.0),
    st.floats(1.0, 50.0),
    st.sampled_from(list(Condition)),
)
def test_a_verdict_never_improves_when_the_field_gets_worse(
    emitters: list[tuple[float, float]], change: str, rating: float, by: float, state: Condition
) -> None:
    suit = replace(SUIT, bands=(replace(FM, percent=rating),))
    field = [at_percent(f, p, f"E{i}") for i, (f, p) in enumerate(emitters)]
    field[0] = replace(field[0], state=State(state, 40.0))
    before = judged(tuple(field), suit)
    margin = 3.0
    if change == "added":
        field.append(at_percent(110e6, by, "one more"))
    elif change == "raised":
        f, p = emitters[-1]
        raised = at_percent(f, p * by, f"E{len(emitters) - 1}")
        field[-1] = replace(raised, state=field[-1].state)
    elif change == "unknown":
        field[0] = replace(field[0], state=State(Condition.UNKNOWN))
    elif change == "out of band":
        suit = replace(suit, bands=(replace(suit.bands[0], low=240e6),))
    elif change == "less margin":
        margin = 6.0
    else:
        suit = replace(suit, bands=(replace(suit.bands[0], percent=max(101.0, rating / by)),))
    after = judged(tuple(field), suit, margin)
    assert ORDER.index(after[0]) >= ORDER.index(before[0])
    assert after[2] >= before[2] * (1.0 - 1e-9)
