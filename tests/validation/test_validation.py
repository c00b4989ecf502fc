"""Every case of the validation report, run as a test: the report and the tests are the same numbers."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from core.validation import data, dish_field, suite
from core.validation.case import COMPUTED, PUBLISHED, Case, Topic
from core.validation.fields import mast_errors, mast_of
from core.validation.kinds import subjects
from core.validation.report import as_markdown, summary_table
from core.validation.spread import WAVELENGTHS, Row, spans
from core.validation.suite import GROUPS, TABLES, cases, every_case, misses
from core.validation.twocuts import TRUTHS, built
from support.places import ROOT

pytestmark = pytest.mark.xdist_group("validation")

REPORT = Path(__file__).parent / "report.md"
REGENERATE = "isofence validate -o tests/validation/report.md"

# --- what the report holds the models to --------------------------------------------------------------


@pytest.mark.parametrize("group", GROUPS)
def test_every_case_is_within_what_is_allowed(group: str) -> None:
    found = cases(group)
    wrong = [
        f"{c.title}, {c.inputs}, {c.quantity}: {c.expected:g}, ours {c.ours:g}, {c.difference_db:+.3f} dB"
        for c in found
        if not c.passed
    ]
    assert found
    assert wrong == []


@pytest.mark.parametrize("number", range(len(TABLES)))
def test_every_row_of_reference_fields_is_within_what_is_allowed(number: int) -> None:
    table = TABLES[number]()
    wrong = [
        f"{r.kind}, {r.antenna}: {r.low:+.2f} / {r.high:+.2f}" for r in table.rows if not r.passed
    ]
    assert len(TABLES) == 11
    assert wrong == []


def test_every_conservative_row_may_be_at_most_half_a_decibel_low() -> None:
    free, masts, dishes = (TABLES[i]() for i in (2, 4, 6))
    for make in TABLES[8:10]:
        families = make()
        # From two cuts 1.3 dB: the plane of the elevation cut may not be the strongest.
        for row in families.rows:
            assert row.allowed_low == (1.3 if "two cuts" in row.antenna else 0.5)
            assert row.count > 80, row
    assert {row.allowed_low for row in (*free.rows, *masts.rows)} == {0.5}
    assert [row.allowed_low for row in dishes.rows] == [0.5, 0.5, math.inf]
    for row in (*free.rows, *masts.rows, *dishes.rows):
        assert row.count > 20, row


@pytest.mark.parametrize("name", TRUTHS)
def test_a_built_pattern_is_high_somewhere_and_low_nowhere(name: str) -> None:
    lowest, median, highest = (case.difference_db for case in built(name))
    assert -0.1 <= lowest <= median <= highest
    assert highest > 3.0


# --- the report itself --------------------------------------------------------------------------------


def test_the_committed_report_is_what_the_code_says_now() -> None:
    assert REPORT.read_text("utf-8") == as_markdown(), f"run: {REGENERATE}"


def test_the_readme_links_the_report_and_shows_its_summary() -> None:
    text = (ROOT / "README.md").read_text("utf-8")
    assert "](tests/validation/report.md)" in text
    for row in summary_table().rows:
        assert "| " + " | ".join(row) + " |" in text


def test_every_case_says_what_it_is_and_where_its_truth_comes_from() -> None:
    found = every_case()
    for case in found:
        assert case.title
        assert case.inputs
        assert case.quantity
        assert case.source
        assert case.status in (PUBLISHED, COMPUTED)
        assert case.tolerance_db_low >= 0.0
        assert case.tolerance_db_high >= 0.0
        assert math.isfinite(case.difference_db)
    keys = [(c.group, c.title, c.inputs, c.quantity, c.status) for c in found]
    assert len(set(keys)) == len(keys)


def test_published_sources_are_named_as_published() -> None:
    published = {case.source for case in every_case() if case.status == PUBLISHED}
    assert len(published) > 15
    for words in ("separate program", "method of moments"):
        assert not any(words in source for source in published)


def test_the_data_that_come_with_the_program_are_small() -> None:
    folder = ROOT / "core" / "validation"
    assert sum(p.stat().st_size for p in folder.rglob("*") if p.suffix != ".pyc") < 1_000_000


# --- a case can fail ----------------------------------------------------------------------------------

TOPIC = Topic(group="g", title="t", source="s", status=COMPUTED)


def test_a_power_ratio_a_field_ratio_and_a_level_become_decibels() -> None:
    assert TOPIC.case("", "", 2.0, 4.0).difference_db == pytest.approx(3.0103, abs=1e-4)
    assert TOPIC.case("", "", 2.0, 1.0, law="field").difference_db == pytest.approx(
        -6.0206, abs=1e-4
    )
    assert TOPIC.case("", "", 2.0, 4.0, law="level").difference_db == 2.0


@pytest.mark.parametrize(
    ("ours", "side", "passed"),
    [(0.96, "low", False), (0.995, "low", True), (1.0001, "level", True), (1.02, "high", False)],
)
def test_a_case_fails_on_either_side(ours: float, side: str, passed: bool) -> None:
    case = TOPIC.case("", "", 1.0, ours, within=0.01)
    assert case.side == side
    assert case.passed is passed


def test_a_promise_on_one_side_leaves_the_other_free() -> None:
    high = TOPIC.case("", "", 1.0, 100.0, low=0.5)
    low = TOPIC.case("", "", 1.0, 0.8, low=0.5)
    assert high.passed
    assert not low.passed


@pytest.mark.parametrize("ours", [-1.0, 0.0, math.nan])
def test_a_wrong_sign_nothing_and_no_number_are_misses(ours: float) -> None:
    for low, high in ((1.0, 1.0), (math.inf, 1.0), (1.0, math.inf)):
        assert not TOPIC.case("", "", 1.0, ours, low=low, high=high).passed


def test_a_tolerance_in_the_values_own_unit_is_the_printed_rounding() -> None:
    assert TOPIC.case("", "", 10.0, 10.05, step=0.06).passed
    assert not TOPIC.case("", "", 10.0, 10.07, step=0.06).passed
    assert TOPIC.case("", "", 10.0, 10.05, step=0.06, law="level").tolerance_db_low == 0.06


def test_a_row_fails_when_a_single_point_is_too_low() -> None:
    errors, distance = np.array([0.2, -0.6, 4.0]), np.array([0.15, 0.25, 30.0])
    found = Row(
        kind="k", antenna="a", spans=spans(errors, distance, WAVELENGTHS), count=3, allowed_low=0.5
    )
    assert (found.low, found.high) == (-0.6, 4.0)
    assert not found.passed
    assert replace(found, allowed_low=0.7).passed
    assert found.spans[1] == (0.2, 0.2)
    assert found.spans[-1] == (4.0, 4.0)


def test_a_miss_is_named(monkeypatch: pytest.MonkeyPatch) -> None:
    bad: Case = TOPIC.case("at 3 m", "S", 1.0, 0.5, low=0.5)
    monkeypatch.setattr(suite, "every_case", lambda: (bad,))
    assert misses() == ("g: t, at 3 m, S: -3.01 dB",)


# --- the references -----------------------------------------------------------------------------------


@pytest.mark.parametrize("name", sorted({s.name for s in subjects()}))
def test_our_distance_to_the_metal_is_the_one_in_the_file(name: str) -> None:
    for key, given in data.load(name)["points"].items():
        rows = data.sets(name)[key]
        distance = data.metal_distance(name, rows[:, :3])
        low, high = given["nearest_wire_m"]
        assert distance.min() == pytest.approx(low, abs=2e-3)
        assert distance.max() == pytest.approx(high, abs=2e-3)


@pytest.mark.parametrize("measured", [True, False])
def test_a_mast_is_trusted_from_a_metre_and_a_half(measured: bool) -> None:
    for case in data.masts():
        kind = mast_of(case, measured=measured)
        assert kind.problems(case["frequency_hz"]) == ()
        _, _, distance = mast_errors(kind, case, conservative=True)
        every = np.array(case["rows"])[:, 0]
        assert np.array_equal(distance, every[every >= 1.5])


def test_the_aperture_integral_is_exact_on_the_axis() -> None:
    # 4 sin²(πD²/(8λR)) P/A far enough out that the obliquity does not count.
    ratio, area = 40.0, np.pi / 4.0
    for ahead in (10.0, 24.0, 80.0):
        s, gain = dish_field.aperture(ratio, dish_field.even, ahead, np.array([0.0]))
        exact = 4.0 * np.sin(np.pi * ratio / (8.0 * ahead)) ** 2 / area
        assert s[0] == pytest.approx(exact, rel=0.01, abs=0.01)
        assert gain == pytest.approx((np.pi * ratio) ** 2, rel=1e-9)
