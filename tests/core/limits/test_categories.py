"""Regions of 47 CFR 1.1307(b)(4), the five percent rule and the exemption table."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.errors import InputError
from core.limits.categories import (
    DANGER,
    POSITIVE_ACCESS_CONTROL,
    SIGN_PARTS,
    TRANSIENT_PERSON,
    Category,
    categories,
    category,
    responsible,
)
from core.limits.exemption import EXEMPTION_TABLE, exempt_erp
from core.limits.model import STATUSES
from core.limits.sets import limit

ONE, TWO, THREE, FOUR = Category
FRACTIONS = st.floats(0.0, 1e6)


def fcc_fractions(f_mhz: float, *, s: float | None = None, e: float | None = None) -> list[float]:
    """Return public and occupational fraction of one emitter."""
    fractions = []
    for tier in ("gp", "occ"):
        found = limit("FCC", tier, f_mhz)
        assert found is not None
        if s is not None:
            assert found.s is not None
            fractions.append(s / found.s)
        else:
            assert found.e is not None
            assert e is not None
            fractions.append((e / found.e) ** 2)
    return fractions


# Categories --------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("s", "percent", "expected"),
    [
        (1.9, (95, 19), ONE),
        (2.0, (100, 20), ONE),
        (7.0, (350, 70), TWO),
        (10.0, (500, 100), TWO),
        (60.0, (3000, 600), THREE),
        (100.0, (5000, 1000), THREE),
        (101.0, (5050, 1010), FOUR),
    ],
)
def test_fm_emitter_climbs_through_the_four_categories(
    s: float, percent: tuple[float, float], expected: Category
) -> None:
    """98.1 MHz, FCC limits 2 and 10 W/m2; thresholds of 47 CFR 1.1307(b)(4), from memory."""
    public, occupational = fcc_fractions(98.1, s=s)
    assert (100 * public, 100 * occupational) == pytest.approx(percent)
    assert category(public, occupational) is expected


def test_medium_wave_goes_from_one_straight_to_three() -> None:
    """1.0 MHz, E = 700 V/m: both limits are 614 V/m, so both are at 129.97 %."""
    public, occupational = fcc_fractions(1.0, e=700.0)
    assert public == occupational == pytest.approx(1.29975, abs=2e-6)
    assert category(public, occupational) is THREE
    assert category(*fcc_fractions(1.0, e=614.0)) is ONE


@given(e=st.floats(0.0, 1e4), f_mhz=st.floats(0.3, 1.339))
def test_category_two_never_occurs_below_1_34_mhz(e: float, f_mhz: float) -> None:
    assert category(*fcc_fractions(f_mhz, e=e)) is not TWO


@pytest.mark.parametrize(
    ("public", "occupational", "expected"),
    [
        (0.0, 0.0, ONE),
        (1.0, 0.2, ONE),
        (math.nextafter(1.0, 2.0), 0.2, TWO),
        (1.0 + 1e-12, 0.2, TWO),
        (5.0, 1.0, TWO),
        (5.0, math.nextafter(1.0, 2.0), THREE),
        (5.0, 1.0 + 1e-12, THREE),
        (50.0, 10.0, THREE),
        (50.0, math.nextafter(10.0, 11.0), FOUR),
        (math.inf, math.inf, FOUR),
        # A worker limit that is passed counts even if the public one is said not to be.
        (0.5, 1.5, THREE),
        (0.5, 11.0, FOUR),
    ],
)
def test_every_step_means_exceeds_to_the_last_bit(
    public: float, occupational: float, expected: Category
) -> None:
    assert category(public, occupational) is expected


@given(public=FRACTIONS, occupational=FRACTIONS, more=st.floats(1.0, 100.0))
def test_more_exposure_never_lowers_the_category(
    public: float, occupational: float, more: float
) -> None:
    assert category(public * more, occupational * more) >= category(public, occupational)


@given(pairs=st.lists(st.tuples(FRACTIONS, FRACTIONS), max_size=20))
def test_array_version_agrees_with_the_single_one(pairs: list[tuple[float, float]]) -> None:
    array = np.array(pairs, dtype=float).reshape(-1, 2)
    found = categories(array[:, 0], array[:, 1])
    assert found.dtype == np.int8
    assert found.tolist() == [category(*pair) for pair in pairs]


def test_array_version_keeps_the_shape_and_broadcasts() -> None:
    found = categories(np.full((3, 4), 2.0), 0.4)
    assert found.shape == (3, 4)
    assert np.all(found == TWO)


@pytest.mark.parametrize("bad", [math.nan, -0.1, -math.inf])
def test_a_fraction_that_cannot_be_is_refused_and_not_called_category_one(bad: float) -> None:
    for fractions in ((bad, 0.1), (0.1, bad)):
        with pytest.raises(ValueError, match="zero or more"):
            category(*fractions)
        with pytest.raises(ValueError, match="zero or more"):
            categories([0.5, fractions[0]], [0.5, fractions[1]])
        with pytest.raises(ValueError, match="zero or more"):
            responsible([fractions[0]], fractions[1])


def test_words_and_colours_of_the_signs() -> None:
    """47 CFR 1.1307(b)(4), from memory; words as in IEEE C95.2-1999 and C95.7."""
    assert [(int(region), region.word, region.colour_name) for region in Category] == [
        (1, "INFORMATION", "green"),
        (2, "NOTICE", "blue"),
        (3, "CAUTION", "yellow"),
        (4, "WARNING", "orange"),
    ]
    assert "DANGER in red" in DANGER.text


def test_what_each_category_requires() -> None:
    assert "optional" in ONE.requires
    assert "positive access control" in TWO.requires
    assert "supervision" in TWO.requires
    assert "not admitted" in THREE.requires
    assert "lockout/tagout is mandatory" in FOUR.requires
    for region in Category:
        assert "47 CFR 1.1307(b)(4)" in region.source
        assert region.status in STATUSES


def test_a_sign_has_five_parts_and_the_rules_name_their_source() -> None:
    """47 CFR 1.1307(b)(4)(vi), from memory."""
    assert len(SIGN_PARTS) == 5
    for rule in (*SIGN_PARTS, POSITIVE_ACCESS_CONTROL, TRANSIENT_PERSON, DANGER):
        assert rule.text
        assert "47 CFR 1.1307(b)" in rule.source
        assert rule.status == "from memory"
    assert "never where the occupational limit is exceeded" in TRANSIENT_PERSON.text


# Five percent ------------------------------------------------------------------------------------


def test_the_two_large_shares_of_109_percent_are_responsible() -> None:
    """47 CFR 1.1307(b)(5), from memory: shares of 4, 30 and 75 % of the limit."""
    assert responsible([0.04, 0.30, 0.75], 1.09).tolist() == [False, True, True]


def test_five_percent_is_of_the_limit_and_has_to_be_exceeded() -> None:
    assert responsible([0.05, 0.0500001, 1.0], 1.1000001).tolist() == [False, True, True]
    # 6 % of the limit is only 0.3 % of this total, and still enough.
    assert responsible([0.06, 20.0], 20.06).tolist() == [True, True]


def test_nobody_is_responsible_where_the_limit_is_kept() -> None:
    assert responsible([0.4, 0.6], 1.0).tolist() == [False, False]
    assert not responsible([0.5], 0.5).any()


def test_responsibility_is_found_at_many_places_at_once() -> None:
    shares = np.array([[0.04, 0.9, 0.5], [1.0, 0.2, 0.4]])
    assert responsible(shares, shares.sum(axis=0)).tolist() == [
        [False, True, False],
        [True, True, False],
    ]


# Exemption ---------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("frequency_hz", "distance_m", "erp"),
    [(100e6, 20.0, 1532.0), (751e6, 6.0, 346.1), (2.1e9, 3.0, 172.8)],
)
def test_exemption_of_single_sources(frequency_hz: float, distance_m: float, erp: float) -> None:
    """47 CFR 1.1307(b)(3)(i)(C) Table 1: 3.83 R², 0.0128 R² f and 19.2 R²."""
    assert exempt_erp(frequency_hz, distance_m) == pytest.approx(erp, abs=0.05)


@pytest.mark.parametrize(
    ("frequency_hz", "exact"),
    [(1e6, 1915.6), (1.34e6 * 1.001, None), (100e6, 3.831), (900e6, 0.01277 * 900), (3e9, 19.156)],
)
def test_thresholds_follow_from_the_limit_with_full_reflection(
    frequency_hz: float, exact: float | None
) -> None:
    """ERP = S pi R² / 1.64 with the FCC general population S; the table prints it rounded."""
    found = limit("FCC", "gp", frequency_hz / 1e6)
    assert found is not None
    assert found.s is not None
    derived = found.s * math.pi * 100.0**2 / 1.64
    if exact is not None:
        assert derived == pytest.approx(exact * 100.0**2, rel=4e-4)
    assert exempt_erp(frequency_hz, 100.0) == pytest.approx(derived, rel=3e-3)


def test_no_exemption_outside_the_table_or_inside_the_reactive_near_field() -> None:
    assert exempt_erp(0.2e6, 1e4) is None
    assert exempt_erp(101e9, 10.0) is None
    # lambda/(2 pi) is 0.477 m at 100 MHz.
    assert exempt_erp(100e6, 0.47) is None
    assert exempt_erp(100e6, 0.48) == pytest.approx(3.83 * 0.48**2)


def test_exemption_on_an_edge_is_the_smaller_value() -> None:
    # 3450/1.34² is 1921.4, 0.0128 x 300 is 3.84, 0.0128 x 1500 is 19.2.
    assert exempt_erp(1.34e6, 100.0) == pytest.approx(1920e4)
    assert exempt_erp(300e6, 10.0) == pytest.approx(383.0)
    assert exempt_erp(0.3 * 1e3 * 1e6, 10.0) == pytest.approx(383.0)


def test_exemption_rows_that_were_confirmed() -> None:
    assert [row.status for row in EXEMPTION_TABLE] == [
        "from memory",
        "from memory",
        "confirmed",
        "confirmed",
        "from memory",
    ]


@pytest.mark.parametrize(
    ("frequency_hz", "distance_m", "field"),
    [
        (0.0, 1.0, "frequency"),
        (math.nan, 1.0, "frequency"),
        (math.inf, 1.0, "frequency"),
        (1e8, 0.0, "distance"),
        (1e8, -3.0, "distance"),
        (1e8, math.nan, "distance"),
    ],
)
def test_impossible_frequency_or_distance_is_one_clear_line(
    frequency_hz: float, distance_m: float, field: str
) -> None:
    with pytest.raises(InputError) as caught:
        exempt_erp(frequency_hz, distance_m)
    assert caught.value.field == field
    assert "\n" not in caught.value.line()
