"""Trade units: what a schedule writes comes in as SI and goes out unchanged."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.errors import InputError
from core.units import format_quantity, from_db, parse_quantity, show_percent, to_db


@pytest.mark.parametrize(
    ("text", "kind", "value"),
    [
        ("98.1 MHz", "frequency", 98.1e6),
        ("640kHz", "frequency", 640e3),
        ("25 kW", "power", 25e3),
        ("30 dBm", "power", 1.0),
        ("3 dBk", "power", 1995.262315),
        ("17.2 dBi", "gain", 17.2),
        # EIRP = 1.64 ERP, 2.148 dB (FCC practice, from memory)
        ("0 dBd", "gain", 2.1484385),
        ("6 ft", "length", 1.8288),
        (" 2.05 m ", "length", 2.05),
    ],
)
def test_text_with_a_unit_comes_in_as_si(text: str, kind: str, value: float) -> None:
    assert parse_quantity(text, kind) == pytest.approx(value, rel=1e-7)


@pytest.mark.parametrize(
    "text",
    ["98.1", 98.1, None, "98,1 MHz", "MHz", "98.1 mhz", "1e999 MHz", "nan MHz", "4000 dBk", True],
)
def test_a_number_without_a_clear_unit_is_refused_with_a_fix(text: object) -> None:
    kind = "power" if text == "4000 dBk" else "frequency"
    with pytest.raises(InputError) as caught:
        parse_quantity(text, kind)
    assert caught.value.fix


@given(st.floats(1e-6, 1e12), st.sampled_from(["frequency", "power", "length", "gain", "loss"]))
def test_a_quantity_round_trips_exactly(value: float, kind: str) -> None:
    assert parse_quantity(format_quantity(value, kind), kind) == value


@given(st.floats(1e-8, 1e6))
def test_a_shown_percent_is_never_below_the_value(fraction: float) -> None:
    shown = show_percent(fraction)
    if shown.startswith("<"):
        assert 100 * fraction < 0.001
        return
    if shown.startswith("over"):
        assert 100 * fraction > float(shown.removeprefix("over ").removesuffix(" %")) == 10_000.0
        return
    number = float(shown.removesuffix(" %"))
    assert number >= 100 * fraction * (1 - 1e-9)
    assert number <= 100 * fraction * 1.02 + 1e-9


def test_a_value_just_over_the_limit_is_shown_over_it() -> None:
    assert show_percent(1.0) == "100 %"
    assert show_percent(1.0001) == "101 %"
    assert show_percent(0.9999) == "100 %"
    assert not math.isclose(float(show_percent(0.994).removesuffix(" %")), 100.0)


def test_decibels_are_of_power() -> None:
    # Twice the power is 3.0103 dB, a tenth of it -10 dB (definition).
    assert to_db(2.0) == pytest.approx(3.010299957, abs=1e-9)
    assert to_db(0.1) == pytest.approx(-10.0)
    assert from_db(3.0) == pytest.approx(1.995262315, abs=1e-9)
