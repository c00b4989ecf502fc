"""Limits written as printed laws, and their evaluation."""

from __future__ import annotations

import pytest

from core.limits.law import evaluate, frequency_unit


@pytest.mark.parametrize(
    ("text", "frequency_hz", "expected"),
    [
        ("614", 1e6, 614.0),
        ("2.0e6/fHz", 0.5e6, 4.0),
        ("3e-3 fHz^0.5", 400e6, 60.0),
        ("1842/f", 3e6, 614.0),
        ("9000/f^2", 30e6, 10.0),
        ("3 f^0.5", 400e6, 60.0),
        ("f/30", 900e6, 30.0),
        ("6.67e-5 f", 150e9, 10.005),
        ("275/fG^0.177", 1e9, 275.0),
        ("0.2 fk", 100e3, 20.0),
        ("f", 7e6, 7.0),
    ],
)
def test_printed_law_is_evaluated_in_the_unit_it_names(
    text: str, frequency_hz: float, expected: float
) -> None:
    assert evaluate(text, frequency_hz) == pytest.approx(expected, rel=1e-12)


@pytest.mark.parametrize(
    "text",
    ["", " ", "-3", "/f", " f", "3f", "3/f/2", "3 f^", "f^-1", "3 g", "nan", "f f", "3 ", "3/"],
)
def test_text_that_is_no_printed_law_is_refused(text: str) -> None:
    with pytest.raises(ValueError, match="not a printed limit"):
        evaluate(text, 1e6)


def test_a_constant_has_no_frequency_unit_and_a_power_has() -> None:
    assert (frequency_unit("614"), frequency_unit("55/fG^0.177")) == ("", "fG")
