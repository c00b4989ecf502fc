"""Dish patterns in columns (NSMA WG16.89.003)."""

import pytest

from support.pattern_files import OLD


def test_a_step_takes_the_higher_level_and_both_ends_are_one_direction(read):
    data = read(OLD)
    assert data.azimuth.angles.size == 5
    assert data.azimuth.at([-10.0, 180.0]) == pytest.approx([20.0, 49.0])
    assert data.elevation.at([5.0, -5.0, 10.0]) == pytest.approx([10.0, 10.0, 20.0])


def test_elevation_blocks_are_used(read):
    data = read(OLD + OLD[OLD.index("HH") :].replace("HH  ", "ELHH").replace("-15.0", "-12.0"))
    assert data.elevation.at(5.0) == pytest.approx(12.0)


@pytest.mark.parametrize(
    ("old", "new", "code"),
    [
        ("NONE\nNONE\nNONE\n", "NONE\n", "E04"),
        ("HH      7", "HH      8", "E11"),
        ("HH      7", "HH      6", "E11"),
        ("HH      7", "HH      999999999999", "E11"),
        ("-25.0", "-25,0", "E06"),
        ("-25.0", "", "E06"),
        ("HH      7", "HV      7", "E04"),
        ("6525.0 - 6875.0", "6525 to 6875", "E06"),
        ("6525.0 - 6875.0", "6.5.25 - 6875.0", "E06"),
        ("\n38.0\n", "\n380\n", "E06"),
        ("\n38.0\n", "\nNONE\n", "E06"),
        ("    0.0     0.0 ", "    0.0     0.5 ", "E17"),
    ],
)
def test_bad_dish_files_are_refused(refused, old, new, code):
    assert old in OLD
    refused(OLD.replace(old, new), code)
