"""Places as people type them (app.modes.typed_place)."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.modes.typed_place import DATUM, parse_height, parse_offset, starts, typed_place
from core.errors import InputError
from core.site.site import Site
from core.units import FOOT


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("", (0.0, 0.0)),
        ("2 m west", (-2.0, 0.0)),
        ("2 m W", (-2.0, 0.0)),
        ("2 east", (2.0, 0.0)),
        ("1,5 m north", (0.0, 1.5)),
        ("1.5 m south", (0.0, -1.5)),
        ("2 m west 3 m north", (-2.0, 3.0)),
        ("2 m W, 3 m N", (-2.0, 3.0)),
        ("2 m west and 30 cm south", (-2.0, -0.3)),
        ("4; -1.5", (4.0, -1.5)),
        ("4, -1.5", (4.0, -1.5)),
        ("4,5 -1,5", (4.5, -1.5)),
        ("6 ft west", (-6.0 * FOOT, 0.0)),
        ("6' 6\" west", (-6.5 * FOOT, 0.0)),
        ("5 ft 6 in E", (5.5 * FOOT, 0.0)),
        ("-5 ft 6 in E 2 ft N", (-5.5 * FOOT, 2.0 * FOOT)),
        ("5 ft E 6 in N", (5.0 * FOOT, 0.5 * FOOT)),
        ("5 ft, 6 in", (5.0 * FOOT, 0.5 * FOOT)),
        ("5 m 6 in E", None),
        ("west", None),
        ("2 m", None),
        ("2 m west 3", None),
        ("1 2 3", None),
        # Neither 1.25 m nor 1250 m, and no east in an exponent.
        ("1,250 m W", None),
        ("0,250 m W", (-0.25, 0.0)),
        ("1e9 m W", None),
        ("2 m e3", None),
        ("2 miles west", None),
        ("two m west", None),
        ("9" * 200, None),
    ],
)
def test_offsets(text: str, wanted: tuple[float, float] | None) -> None:
    if wanted is None:
        with pytest.raises(InputError) as refused:
            parse_offset(text)
        assert "offset" in refused.value.line()
        assert "\n" not in refused.value.line()
    else:
        assert parse_offset(text) == pytest.approx(wanted)


def test_a_number_without_a_unit_is_in_the_unit_shown() -> None:
    assert parse_offset("10 north", feet=True) == pytest.approx((0.0, 10.0 * FOOT))
    assert parse_offset("10 m north", feet=True) == pytest.approx((0.0, 10.0))
    assert parse_height("100", 0.0, feet=True) == pytest.approx(100.0 * FOOT)


def test_a_height_with_a_sign_is_from_the_place_in_the_list() -> None:
    assert parse_height("112 m", 40.0) == 112.0
    assert parse_height("+1.5 m", 40.0) == 41.5
    assert parse_height("-1,5", 40.0) == 38.5
    assert parse_height("-5 ft 6 in", 40.0) == pytest.approx(40.0 - 5.5 * FOOT)
    assert parse_height("5' 6\"", 40.0) == pytest.approx(5.5 * FOOT)
    for text in ("", "high", "2 m up", "1 2"):
        with pytest.raises(InputError):
            parse_height(text, 0.0)


@given(st.floats(-1e4, 1e4), st.floats(-1e4, 1e4))
def test_two_numbers_are_east_and_north(east: float, north: float) -> None:
    assert parse_offset(f"{east:.6f}; {north:.6f}") == pytest.approx((east, north), abs=1e-5)


def test_two_metres_west_of_an_antenna_at_a_height(tower: Site) -> None:
    found = starts(tower, None)
    x, y, _ = tower.antenna("FM main").position
    place, stands = typed_place(tower, found["FM main"], "2 m west", "112 m")
    assert place == pytest.approx((x - 2.0, y, 112.0))
    assert not stands
    assert found[DATUM] == (0.0, 0.0, 0.0)


def test_without_a_height_somebody_stands_on_the_surface(roof: Site) -> None:
    place, stands = typed_place(roof, (6.0, 12.0, 24.0), "2 south", "")
    assert place == (6.0, 10.0, 16.0)
    assert stands
