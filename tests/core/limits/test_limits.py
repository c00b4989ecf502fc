"""Limit sets and their tables: structure, coverage, absent quantities, and sense."""

from __future__ import annotations

import dataclasses
import itertools
import math

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from core.errors import InputError
from core.limits.model import MU0, STATUSES, Limit, LimitSet, LimitTable
from core.limits.sets import DEFAULT_SET, SETS, TABLES, get_set, limit
from core.limits.tier import TIERS

QUANTITIES = ("e", "h", "s", "b_ut", "averaging_minutes")
ALL_TABLES = list(TABLES.values())
FREQUENCIES = st.floats(math.log(1e3), math.log(1e12)).map(math.exp)


def values(found: Limit) -> dict[str, float | None]:
    return {name: getattr(found, name) for name in QUANTITIES}


def table_name(table: object) -> str:
    return table.key if isinstance(table, LimitTable) else str(table)


# Structure ---------------------------------------------------------------------------------------


def test_the_six_sets_are_there_and_fcc_is_the_default() -> None:
    assert list(SETS) == ["FCC", "ICNIRP2020", "ICNIRP1998", "EU", "IEEE-C95.1-2019", "SC6-2015"]
    assert DEFAULT_SET == next(iter(SETS)) == "FCC"
    assert all(get_set(key).key == key for key in SETS)


def test_unknown_set_is_one_clear_line_that_lists_the_known_ones() -> None:
    with pytest.raises(InputError) as caught:
        get_set("fcc")
    line = caught.value.line()
    assert "'fcc' is not a limit set" in line
    assert "\n" not in line
    assert all(key in line for key in SETS)


def test_unknown_table_and_unknown_tier_are_input_errors() -> None:
    with pytest.raises(InputError, match="'FCC everyone' is not a limit table"):
        limit("FCC", "everyone", 100.0)
    with pytest.raises(InputError, match="'gp' is not a tier"):
        get_set("FCC").of("gp")


def test_table_keys_are_unique_over_all_sets() -> None:
    keys = [table.key for limit_set in SETS.values() for table in limit_set.tables]
    assert len(keys) == len(set(keys)) == len(TABLES)


def span_of(limit_set: LimitSet) -> tuple[float, float]:
    """Return the frequencies in Hz between which both tiers have a limit."""
    low = max(min(table.low_hz for table in limit_set.of(tier)) for tier in TIERS)
    high = min(max(table.high_hz for table in limit_set.of(tier)) for tier in TIERS)
    return low, high


@pytest.mark.parametrize("table", ALL_TABLES, ids=table_name)
def test_rows_follow_each_other_without_gap_or_overlap(table: LimitTable) -> None:
    for below, above in itertools.pairwise(table.rows):
        assert below.high_hz == above.low_hz
    assert all(row.low_hz <= row.high_hz for row in table.rows)
    assert table.low_hz < table.high_hz


@pytest.mark.parametrize("table", ALL_TABLES, ids=table_name)
def test_every_row_says_where_it_comes_from_and_how_it_was_checked(table: LimitTable) -> None:
    for row in table.rows:
        assert row.source
        assert row.status in STATUSES
        assert row.e or row.h or row.b or row.s


@pytest.mark.parametrize(
    ("key", "tier", "f_mhz", "status"),
    [
        ("FCC", "gp", 98.1, "confirmed"),
        ("ICNIRP2020-WB", "gp", 98.1, "from memory"),
        ("ICNIRP2020-LOCAL", "occ", 28000, "confirmed via another text"),
        ("ICNIRP2010-STIM", "gp", 1, "confirmed via another text"),
        ("EU1999/519", "gp", 0.9, "confirmed via another text"),
        ("EU1999/519", "gp", 100, "from memory"),
        ("EU2013/35", "occ", 100, "from memory"),
        ("IEEE-C95.1-2019", "restricted", 150, "from memory"),
        ("IEEE-C95.1-2019-STIM", "restricted", 1, "low confidence"),
        ("SC6-2015", "controlled", 100, "from memory"),
    ],
)
def test_status_of_a_row_is_that_of_its_weakest_number(
    key: str, tier: str, f_mhz: float, status: str
) -> None:
    found = limit(key, tier, f_mhz)
    assert found is not None
    assert found.status == status


def test_stimulation_tables_are_linear_peak_and_instantaneous() -> None:
    stimulation = [table for table in ALL_TABLES if "STIM" in table.key]
    assert len(stimulation) == 10
    assert [table for table in ALL_TABLES if table.exponent == 1] == stimulation
    for table in stimulation:
        assert table.spatial == "peak"
        assert all(row.averaging is None for row in table.rows)


def test_only_local_stimulation_and_directive_tables_use_the_peak_over_the_body() -> None:
    """2013/35/EU: action levels are maxima at the worker's place (Norwegian regulation Annex 5)."""
    peak = {table.key for table in ALL_TABLES if table.spatial == "peak"}
    assert peak == {
        key for key in TABLES if "STIM" in key or "LOCAL" in key or key == "EU2013/35 occ"
    }


def test_only_icnirp_2020_adds_e_and_h() -> None:
    added = {key: limit_set.add_e_and_h_below for key, limit_set in SETS.items()}
    assert added == {key: 30e6 if key == "ICNIRP2020" else None for key in SETS}


def test_each_set_names_both_tiers_in_its_own_words() -> None:
    fcc = get_set("FCC")
    assert fcc.name_of("public") == "general population/uncontrolled"
    assert fcc.name_of("occupational") == "occupational/controlled"
    for limit_set in SETS.values():
        assert limit_set.public_name != limit_set.occupational_name
        for text in ("title", "document", "averaging", "rule", "status"):
            assert getattr(limit_set, text)


def test_limits_cannot_be_changed_by_accident() -> None:
    found = limit("FCC", "gp", 98.1)
    assert found is not None
    with pytest.raises(dataclasses.FrozenInstanceError):
        found.e = 1e9  # type: ignore[misc]


# Coverage ----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("key", "low_hz", "high_hz"),
    [
        ("FCC", 0.3e6, 100e9),
        ("ICNIRP2020", 0.1e6, 300e9),
        ("ICNIRP1998", 65e3, 300e9),
        ("EU", 3e3, 300e9),
        ("IEEE-C95.1-2019", 0.1e6, 300e9),
        ("SC6-2015", 3e3, 300e9),
    ],
)
def test_set_covers_its_published_range_and_nothing_else(
    key: str, low_hz: float, high_hz: float
) -> None:
    limit_set = get_set(key)
    assert span_of(limit_set) == (low_hz, high_hz)
    assert limit_set.covers(low_hz)
    assert limit_set.covers(high_hz)
    assert not limit_set.covers(low_hz * (1.0 - 1e-6))
    assert not limit_set.covers(high_hz * (1.0 + 1e-6))


# Ranges in Hz as the documents print them.
SPANS = {
    "FCC gp": (0.3e6, 100e9),
    "FCC occ": (0.3e6, 100e9),
    "ICNIRP2020-WB gp": (0.1e6, 300e9),
    "ICNIRP2020-LOCAL gp": (0.1e6, 300e9),
    "ICNIRP2010-STIM gp": (0.1e6, 10e6),
    "ICNIRP2020-WB occ": (0.1e6, 300e9),
    "ICNIRP2020-LOCAL occ": (0.1e6, 300e9),
    "ICNIRP2010-STIM occ": (0.1e6, 10e6),
    "ICNIRP1998 gp": (3e3, 300e9),
    "ICNIRP1998-STIM gp": (3e3, 10e6),
    "ICNIRP1998 occ": (65e3, 300e9),
    "ICNIRP1998-STIM occ": (65e3, 10e6),
    "EU1999/519 gp": (3e3, 300e9),
    "EU1999/519-STIM gp": (3e3, 10e6),
    "EU2013/35 occ": (0.1e6, 300e9),
    "EU2013/35-STIM occ": (3e3, 10e6),
    "IEEE-C95.1-2019 unrestricted": (0.1e6, 300e9),
    "IEEE-C95.1-2019-LOCAL unrestricted": (400e6, 300e9),
    "IEEE-C95.1-2019-STIM unrestricted": (0.1e6, 5e6),
    "IEEE-C95.1-2019 restricted": (0.1e6, 300e9),
    "IEEE-C95.1-2019-LOCAL restricted": (400e6, 300e9),
    "IEEE-C95.1-2019-STIM restricted": (0.1e6, 5e6),
    "SC6-2015 uncontrolled": (0.1e6, 300e9),
    "SC6-2015-STIM uncontrolled": (3e3, 10e6),
    "SC6-2015 controlled": (0.1e6, 300e9),
    "SC6-2015-STIM controlled": (3e3, 10e6),
}


@pytest.mark.parametrize("table", ALL_TABLES, ids=table_name)
def test_table_begins_and_ends_where_the_document_says(table: LimitTable) -> None:
    assert (table.low_hz, table.high_hz) == SPANS[table.key]


@pytest.mark.parametrize("table", ALL_TABLES, ids=table_name)
@pytest.mark.parametrize("frequency_hz", [0.0, -1e6, 1.0, 1e15, math.inf, -math.inf, math.nan])
def test_outside_every_table_there_is_no_limit(table: LimitTable, frequency_hz: float) -> None:
    assert table.at(frequency_hz) is None


@given(frequency_hz=FREQUENCIES)
def test_no_table_has_a_hole_and_covering_agrees_with_the_span(frequency_hz: float) -> None:
    for table in ALL_TABLES:
        inside = table.low_hz <= frequency_hz <= table.high_hz
        near = table.low_hz * (1 - 2e-9) <= frequency_hz <= table.high_hz * (1 + 2e-9)
        found = table.at(frequency_hz) is not None
        assert found or not inside
        assert near or not found
    for limit_set in SETS.values():
        low, high = span_of(limit_set)
        assert limit_set.covers(frequency_hz) or not low <= frequency_hz <= high


# None means no limit -----------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("key", "tier", "f_mhz", "absent"),
    [
        ("FCC", "gp", 617, {"e", "h", "b_ut"}),
        ("FCC", "occ", 0.85, {"b_ut"}),
        ("ICNIRP2020-WB", "gp", 1, {"s", "b_ut"}),
        ("ICNIRP2020-WB", "occ", 3500, {"e", "h", "b_ut"}),
        ("EU1999/519", "gp", 0.9, {"s"}),
        ("EU2013/35", "occ", 935, {"s"}),
        ("IEEE-C95.1-2019", "unrestricted", 50, {"s", "b_ut"}),
        ("SC6-2015", "uncontrolled", 0.5, {"e", "s", "b_ut"}),
        ("ICNIRP2010-STIM", "gp", 1, {"s", "averaging_minutes"}),
    ],
)
def test_quantity_that_a_row_does_not_limit_is_none(
    key: str, tier: str, f_mhz: float, absent: set[str]
) -> None:
    found = limit(key, tier, f_mhz)
    assert found is not None
    assert {name for name, value in values(found).items() if value is None} == absent


def test_fcc_power_density_is_a_plane_wave_equivalent_below_30_mhz_only() -> None:
    """47 CFR 1.1310 Table 1: the starred rows."""
    for tier in ("gp", "occ"):
        starred = [f for f in (0.3, 0.85, 1.34, 3.0, 29.9, 30.0, 98.1, 869.0) if _starred(tier, f)]
        assert starred == [0.3, 0.85, 1.34, 3.0, 29.9]
    others = [table for table in ALL_TABLES if not table.key.startswith("FCC")]
    assert not any(row.plane_wave_s for table in others for row in table.rows)


def _starred(tier: str, f_mhz: float) -> bool:
    found = limit("FCC", tier, f_mhz)
    assert found is not None
    return found.plane_wave_s


def test_flux_density_becomes_a_field_strength_where_only_it_is_printed() -> None:
    """1 A/m in air is 1.2566 uT."""
    found = limit("EU2013/35", "occ", 94)
    assert found is not None
    assert (found.b_ut, found.h) == (0.2, pytest.approx(0.2 / 1.2566, rel=1e-4))
    assert math.isclose(MU0, 4e-7 * math.pi, rel_tol=1e-9)


def test_printed_field_strength_is_kept_where_both_are_printed() -> None:
    found = limit("EU1999/519", "gp", 100)
    assert found is not None
    assert (found.h, found.b_ut) == (0.073, 0.092)


def test_formula_reads_like_the_printed_row() -> None:
    plain, law = limit("FCC", "occ", 98.1), limit("FCC", "gp", 14.2)
    directive = limit("EU2013/35", "occ", 5)
    assert plain is not None
    assert law is not None
    assert directive is not None
    assert plain.formula == "E 61.4 V/m; H 0.163 A/m; S 10 W/m²"
    assert law.formula == (
        "E 824/f V/m; H 2.19/f A/m; S 1800/f^2 W/m² (plane-wave equivalent, not checked); f in MHz"
    )
    assert directive.formula == "E 6.1e8/fHz V/m; B 2.0e6/fHz µT; fHz in Hz"


# Sense -------------------------------------------------------------------------------------------


@given(frequency_hz=FREQUENCIES)
def test_every_limit_is_positive_and_finite(frequency_hz: float) -> None:
    for table in ALL_TABLES:
        found = table.at(frequency_hz)
        for value in [] if found is None else values(found).values():
            assert value is None or 0.0 < value < math.inf


def tier_pairs(limit_set: LimitSet) -> list[tuple[LimitTable, LimitTable]]:
    """Return public and occupational tables of a set that belong together."""
    public, occupational = (limit_set.of(tier) for tier in TIERS)
    return list(zip(public, occupational, strict=True))


# Where printed digits let the public limit pass the occupational one: band in Hz and largest ratio.
ROUNDING = {
    "FCC": (1.34e6, 2.19 / 1.63 * 1e6, 1.0028),
    "IEEE-C95.1-2019": (30e6, 30.06e6, 1.0014),
}


@given(frequency_hz=FREQUENCIES)
@example(frequency_hz=1.3401e6)
@example(frequency_hz=1.3435e6)
@example(frequency_hz=1.344e6)
@example(frequency_hz=30.001e6)
@example(frequency_hz=30.07e6)
def test_the_public_limit_is_above_the_occupational_one_only_by_rounding(
    frequency_hz: float,
) -> None:
    """47 CFR 1.1310: 824/f and 2.19/f pass 614 and 1.63 up to 1.344 MHz; IEEE: H just over 30 MHz."""
    for limit_set in SETS.values():
        for public, occupational in tier_pairs(limit_set):
            assert public.exponent == occupational.exponent
            low, high = public.at(frequency_hz), occupational.at(frequency_hz)
            if low is None or high is None:
                continue
            start, end, ratio = ROUNDING.get(limit_set.key, (0.0, 0.0, 1.0))
            allowed = ratio if start <= frequency_hz <= end else 1.0
            for name in ("e", "h", "s", "b_ut"):
                a, b = getattr(low, name), getattr(high, name)
                assert a is None or b is None or a <= b * allowed


def test_the_two_fcc_tiers_are_equal_up_to_1_34_mhz() -> None:
    """47 CFR 1.1310 Table 1: both tiers print 614 V/m and 1.63 A/m from 0.3 to 1.34 MHz."""
    for f_mhz in (0.3, 0.64, 1.0, 1.33):
        public, occupational = limit("FCC", "gp", f_mhz), limit("FCC", "occ", f_mhz)
        assert public is not None
        assert occupational is not None
        assert (public.e, public.h) == (occupational.e, occupational.h) == (614.0, 1.63)


def test_averaging_times_of_the_sets() -> None:
    """FCC 6 and 30; ICNIRP 2020 30 and 6; 1998, EU and Canada 6; IEEE 30."""
    assert [
        found.averaging_minutes
        for key, tier in (
            ("FCC", "occ"),
            ("FCC", "gp"),
            ("ICNIRP2020-WB", "occ"),
            ("ICNIRP2020-WB", "gp"),
            ("ICNIRP2020-LOCAL", "occ"),
            ("ICNIRP2020-LOCAL", "gp"),
            ("ICNIRP1998", "occ"),
            ("EU1999/519", "gp"),
            ("EU2013/35", "occ"),
            ("IEEE-C95.1-2019", "restricted"),
            ("IEEE-C95.1-2019", "unrestricted"),
            ("SC6-2015", "controlled"),
            ("SC6-2015", "uncontrolled"),
        )
        if (found := limit(key, tier, 100)) is not None
    ] == [6, 30, 30, 30, 6, 6, 6, 6, 6, 30, 30, 6, 6]


@pytest.mark.parametrize(
    ("key", "e", "h"),
    [
        ("ICNIRP2010-STIM gp", 83, 21),
        ("ICNIRP2010-STIM occ", 170, 80),
        ("ICNIRP1998-STIM gp", 87, 5),
        ("ICNIRP1998-STIM occ", 610, 24.4),
        ("EU1999/519-STIM gp", 87, 5),
        ("EU2013/35-STIM occ", 170, 100e-6 / (4e-7 * math.pi)),
        ("IEEE-C95.1-2019-STIM unrestricted", 614, 163),
        ("IEEE-C95.1-2019-STIM restricted", 1842, 490),
        ("SC6-2015-STIM uncontrolled", 83, 90),
        ("SC6-2015-STIM controlled", 170, 180),
    ],
)
def test_stimulation_levels_at_medium_wave(key: str, e: float, h: float) -> None:
    """ICNIRP 2010 Tables 3 and 4; ICNIRP 1998; 2013/35/EU Annex II; the rest from memory."""
    found = TABLES[key].at(1e6)
    assert found is not None
    assert (found.e, found.h) == (e, pytest.approx(h, rel=1e-6))


@pytest.mark.parametrize(
    ("key", "frequency_hz", "s"),
    [
        ("IEEE-C95.1-2019-LOCAL unrestricted", 900e6, 20.141),
        ("IEEE-C95.1-2019-LOCAL restricted", 3.5e9, 200.0),
        ("IEEE-C95.1-2019-LOCAL unrestricted", 28e9, 30.494),
        ("ICNIRP2020-LOCAL occ", 300e9, 100.0),
        ("ICNIRP2020-LOCAL gp", 300e9, 20.0),
    ],
)
def test_local_levels_of_power_density(key: str, frequency_hz: float, s: float) -> None:
    """ICNIRP 2020 Table 6; IEEE C95.1-2019 prints the same laws (from memory)."""
    found = TABLES[key].at(frequency_hz)
    assert found is not None
    assert found.s == pytest.approx(s, rel=1e-4)
