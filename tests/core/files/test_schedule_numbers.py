"""Numbers and units as people write them: read as they are meant, or asked about; never guessed."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.errors import InputError
from core.files.schedule.numbers import (
    COMMA,
    POINT,
    Decimals,
    decimals_of,
    degrees_of,
    number_of,
    quantity_of,
    share_of,
)

OPEN, MIXED = Decimals(frozenset()), Decimals(frozenset(".,"))


@pytest.mark.parametrize(
    ("text", "form", "unit", "value"),
    [
        ("100 kW", "power", "", 100e3),
        ("100", "power", "kW", 100e3),
        ("100 W", "power", "kW", 100.0),  # the cell's own unit counts
        ("100 KW", "power", "", 100e3),
        ("50dBm", "power", "", 100.0),
        ("12.5 dBd", "gain", "dBi", 12.5 + 2.148_438_5),  # FCC: 1.64 over isotropic, from memory
        ("98.1 mhz", "frequency", "", 98.1e6),
        ("100'", "length", "", 30.48),  # 1 ft = 0.3048 m, exact (NIST SP 811, appendix B.8)
        ("30'-6\"", "length", "", 30.5 * 0.3048),
        ("-6' 3\"", "length", "", -6.25 * 0.3048),
        ("12 feet", "length", "", 12 * 0.3048),
        ("1 wl", "wavelengths", "", 1.0),
        ("1,250.5 W", "power", "", 1250.5),
        ("1.250,5 W", "power", "", 1250.5),
        ("1 250,5 W", "power", "", 1250.5),
        ("1'250.5 W", "power", "", 1250.5),
        ("1,250,000 W", "power", "", 1.25e6),
        ("0,125 W", "power", "", 0.125),  # no thousands begin with 0
        ("2.5e3 W", "power", "", 2500.0),
        (".5 W", "power", "", 0.5),
    ],
)
def test_a_quantity_is_what_it_says(text: str, form: str, unit: str, value: float) -> None:
    assert quantity_of(text, form, unit, MIXED) == pytest.approx(value, rel=1e-6)


@pytest.mark.parametrize(
    ("text", "decimals", "value"),
    [
        ("1,250 W", POINT, 1250.0),
        ("1,250 W", COMMA, 1.25),
        ("1.250 W", POINT, 1.25),
        ("1.250 W", COMMA, 1250.0),
        ("1.250 W", OPEN, 1.25),
        ("1,250 W", OPEN, None),
        ("1,250 W", MIXED, None),
        ("1.250 W", MIXED, None),
    ],
)
def test_a_lone_sign_before_three_digits_is_what_the_table_shows_or_is_asked_about(
    text: str, decimals: Decimals, value: float | None
) -> None:
    if value is None:
        with pytest.raises(InputError, match=r"could be 1250 or 1\.250"):
            quantity_of(text, "power", "", decimals)
    else:
        assert quantity_of(text, "power", "", decimals) == value


def test_the_cells_show_which_decimal_sign_a_table_has() -> None:
    assert decimals_of(["12", "1,250", "1.250", "x", "", "1.0 0.5 1.0"]) == OPEN
    assert decimals_of(["12.5 kW"]) == POINT
    assert decimals_of(["12,5 kW"]) == COMMA
    assert decimals_of(["1.250.000", "3"]) == COMMA
    assert decimals_of(["1,250.5", "0,5"]) == MIXED


@pytest.mark.parametrize(
    ("text", "form", "unit", "words"),
    [
        ("100", "power", "", "has no unit"),
        ("12o", "power", "kW", "'o' is not a unit"),
        ("100 hp", "power", "", "'hp' is not a unit"),
        ("3 x 20 W", "power", "", "is not a unit"),
        ("100 mw", "power", "", "could be mW or MW"),
        ("12.5 dB", "gain", "", "'dB' is not a unit of gain"),
        ("1.2.3 W", "power", "", "is not a number"),
        ("1,23,456 W", "power", "", "is not a number"),
        ("1 23 W", "power", "", "is not one number"),
        ("kW", "power", "", "is not a number"),
        ("1e999 W", "power", "", "too large"),
        ("9" * 200 + " W", "power", "", "is not a number"),
    ],
)
def test_what_could_mean_anything_is_asked_about(
    text: str, form: str, unit: str, words: str
) -> None:
    with pytest.raises(InputError, match=words) as caught:
        quantity_of(text, form, unit, POINT)
    assert caught.value.fix


def test_angles_count_from_true_north_and_shares_may_be_percents() -> None:
    assert degrees_of("120 °", "", POINT) == 120.0
    assert degrees_of("120", "°t", POINT) == 120.0
    assert degrees_of("-2,5", "", MIXED) == -2.5
    for text, unit in (("120 mag", ""), ("120", "mag")):
        with pytest.raises(InputError, match="magnetic north"):
            degrees_of(text, unit, POINT)
    assert share_of("75 %", "", POINT) == share_of("0.75", "", POINT) == share_of("75", "%", POINT)


@given(st.floats(-1e12, 1e12, allow_nan=False), st.sampled_from([POINT, OPEN]))
def test_a_written_number_is_read_back_exactly(value: float, decimals: Decimals) -> None:
    assert number_of(repr(value), decimals) == (value, "")
    if value and "e" not in repr(value):
        with_comma = repr(value).replace(".", ",")
        assert number_of(with_comma, COMMA) == (value, "")
