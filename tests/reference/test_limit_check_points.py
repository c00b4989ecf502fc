"""Check points of the limit tables.

The figures were computed by a separate script from the laws as printed, to five digits: 47 CFR
1.1310 Table 1; ICNIRP 2020 Tables 5 and 6; ICNIRP 1998 Tables 6 and 7; 1999/519/EC Annex III;
2013/35/EU Annex III Table B1; IEEE C95.1-2019; Safety Code 6 (2015). Laws marked "from memory" in
the tables are from memory here too: these tests guard the code, not the memory.
"""

from __future__ import annotations

import pytest

from core.limits.sets import TABLES, limit

Point = tuple[str, str, float, float | None, float | None, float | None, float]

# table, tier, f in MHz, E in V/m, H in A/m (B in uT for 2013/35/EU), S in W/m2, minutes
POINTS: list[Point] = [
    ("FCC", "occ", 0.85, 614, 1.63, 1000, 6),
    ("FCC", "occ", 5.9, 312.2, 0.82881, 258.55, 6),
    ("FCC", "occ", 98.1, 61.4, 0.163, 10, 6),
    ("FCC", "occ", 617, None, None, 20.567, 6),
    ("FCC", "occ", 1900, None, None, 50, 6),
    ("FCC", "gp", 0.64, 614, 1.63, 1000, 30),
    ("FCC", "gp", 1.62, 508.64, 1.3519, 685.87, 30),
    ("FCC", "gp", 14.2, 58.028, 0.15423, 8.9268, 30),
    ("FCC", "gp", 98.1, 27.5, 0.073, 2, 30),
    ("FCC", "gp", 617, None, None, 4.1133, 30),
    ("FCC", "gp", 869, None, None, 5.7933, 30),
    ("FCC", "gp", 2600, None, None, 10, 30),
    ("FCC", "gp", 39000, None, None, 10, 30),
    ("ICNIRP2020-WB", "occ", 7.2, 165.73, 0.68056, None, 30),
    ("ICNIRP2020-WB", "occ", 98.1, 61, 0.16, 10, 30),
    ("ICNIRP2020-WB", "occ", 869, 88.436, 0.23583, 21.725, 30),
    ("ICNIRP2020-WB", "occ", 3500, None, None, 50, 30),
    ("ICNIRP2020-WB", "gp", 1, 300, 2.2, None, 30),
    ("ICNIRP2020-WB", "gp", 7.2, 75.334, 0.30556, None, 30),
    ("ICNIRP2020-WB", "gp", 470, 29.809, 0.080214, 2.35, 30),
    ("ICNIRP2020-WB", "gp", 1800, 58.336, 0.15698, 9, 30),
    ("ICNIRP2020-WB", "gp", 3500, None, None, 10, 30),
    ("ICNIRP2020-LOCAL", "occ", 900, 197.16, 0.51059, 100.7, 6),
    ("ICNIRP2020-LOCAL", "occ", 28000, None, None, 152.47, 6),
    ("ICNIRP2020-LOCAL", "gp", 98.1, 62, 0.163, 10, 6),
    ("ICNIRP2020-LOCAL", "gp", 900, 87.956, 0.22921, 20.141, 6),
    ("ICNIRP2020-LOCAL", "gp", 3500, None, None, 40, 6),
    ("ICNIRP2020-LOCAL", "gp", 28000, None, None, 30.494, 6),
    ("ICNIRP1998", "occ", 3.9, 156.41, 0.41026, None, 6),
    ("ICNIRP1998", "occ", 900, 90, 0.24, 22.5, 6),
    ("EU1999/519", "gp", 0.9, 87, 0.81111, None, 6),
    ("EU1999/519", "gp", 6.1, 35.225, 0.11967, None, 6),
    ("EU1999/519", "gp", 100, 28, 0.073, 2, 6),
    ("EU1999/519", "gp", 948, 42.336, 0.11392, 4.74, 6),
    ("EU1999/519", "gp", 26000, 61, 0.16, 10, 2.2222),
    ("EU2013/35", "occ", 0.702, 610, 2.849, None, 6),
    ("EU2013/35", "occ", 5, 122, 0.4, None, 6),
    ("EU2013/35", "occ", 94, 61, 0.2, None, 6),
    ("EU2013/35", "occ", 935, 91.733, 0.30578, None, 6),
    ("EU2013/35", "occ", 38000, 140, 0.45, 50, 1.4919),
    ("IEEE-C95.1-2019", "unrestricted", 0.81, 614, 20.123, None, 30),
    ("IEEE-C95.1-2019", "unrestricted", 3.6, 228.83, 4.5278, None, 30),
    ("IEEE-C95.1-2019", "unrestricted", 50, 27.5, 0.23206, None, 30),
    ("IEEE-C95.1-2019", "unrestricted", 150, 27.5, 0.0729, 2, 30),
    ("IEEE-C95.1-2019", "unrestricted", 850, None, None, 4.25, 30),
    ("IEEE-C95.1-2019", "restricted", 1.6, 1151.2, 10.188, None, 30),
    ("IEEE-C95.1-2019", "restricted", 150, 61.4, 0.163, 10, 30),
    ("IEEE-C95.1-2019", "restricted", 751, None, None, 18.775, 30),
    ("IEEE-C95.1-2019", "restricted", 3700, None, None, 50, 30),
    ("SC6-2015", "uncontrolled", 15, 27.46, 0.0728, 2, 6),
    ("SC6-2015", "uncontrolled", 27, 25.475, 0.067558, 1.7213, 6),
    ("SC6-2015", "uncontrolled", 100, 22.06, 0.05852, 1.291, 6),
    ("SC6-2015", "uncontrolled", 869, 31.73, 0.084172, 2.6709, 6),
    ("SC6-2015", "uncontrolled", 3500, 51.076, 0.13549, 6.9207, 6),
    ("SC6-2015", "uncontrolled", 28000, 61.4, 0.163, 10, 2.8379),
    ("SC6-2015", "controlled", 35, 53.365, 0.14159, 7.5591, 6),
    ("SC6-2015", "controlled", 60, 49.33, 0.1309, 6.455, 6),
    ("SC6-2015", "controlled", 450, 71.85, 0.19059, 13.693, 6),
    ("SC6-2015", "controlled", 39000, 137, 0.364, 50, 1.9068),
]

# Rows that none of the points above reaches, worked out from the same laws; B in uT where printed.
# table, f in MHz, E, H, S, B, minutes
MORE_POINTS: list[tuple[str, float, *tuple[float | None, ...]]] = [
    ("EU1999/519 gp", 0.05, 87, 5, None, 6.25, None),
    ("EU1999/519 gp", 0.12, 87, 5, None, 6.25, 6),
    ("EU1999/519 gp", 0.5, 87, 1.46, None, 1.84, 6),
    ("EU1999/519 gp", 4, 43.5, 0.1825, None, 0.23, 6),
    ("ICNIRP1998 gp", 100, 28, 0.073, 2, 0.092, 6),
    ("ICNIRP1998 gp", 900, 41.25, 0.111, 4.5, 0.138, 6),
    ("ICNIRP1998 gp", 5000, 61, 0.16, 10, 0.20, 6),
    ("ICNIRP1998 gp", 38000, 61, 0.16, 10, 0.20, 1.4919),
    ("ICNIRP1998 occ", 0.08, 610, 20, None, 25, None),
    ("ICNIRP1998 occ", 0.5, 610, 3.2, None, 4, 6),
    ("ICNIRP1998 occ", 5, 122, 0.32, None, 0.4, 6),
    ("ICNIRP1998 occ", 100, 61, 0.16, 10, 0.2, 6),
    ("ICNIRP1998 occ", 900, 90, 0.24, 22.5, 0.3, 6),
    ("ICNIRP1998 occ", 5000, 137, 0.36, 50, 0.45, 6),
    ("EU2013/35 occ", 3000, 140, 0.35810, None, 0.45, 6),
    ("EU2013/35 occ", 8000, 140, 0.35810, 50, 0.45, 6),
    ("EU2013/35-STIM occ", 1, 170, 79.577, None, 100, None),
    ("ICNIRP2010-STIM gp", 1, 83, 21, None, 27, None),
    ("ICNIRP2010-STIM occ", 1, 170, 80, None, 100, None),
    ("IEEE-C95.1-2019-LOCAL unrestricted", 900, None, None, 20.141, None, 6),
    ("IEEE-C95.1-2019-LOCAL unrestricted", 3700, None, None, 40, None, 6),
    ("IEEE-C95.1-2019-LOCAL unrestricted", 28000, None, None, 30.494, None, 6),
    ("IEEE-C95.1-2019-LOCAL restricted", 900, None, None, 100.70, None, 6),
    ("IEEE-C95.1-2019-LOCAL restricted", 3700, None, None, 200, None, 6),
    ("IEEE-C95.1-2019-LOCAL restricted", 28000, None, None, 152.36, None, 6),
    ("SC6-2015 uncontrolled", 0.5, None, 1.46, None, None, 6),
    ("SC6-2015 uncontrolled", 4, 43.5, 0.1825, None, None, 6),
    ("SC6-2015 controlled", 0.5, None, 3.2, None, None, 6),
    ("SC6-2015 controlled", 4, 96.5, 0.4, None, None, 6),
]


def about(expected: float | None, rel: float = 1e-4) -> object:
    """Return what a limit of five printed digits has to equal; None only equals None."""
    return None if expected is None else pytest.approx(expected, rel=rel)


def test_there_are_as_many_check_points_as_were_computed() -> None:
    assert len(POINTS) == 59


@pytest.mark.parametrize("point", POINTS, ids=lambda point: f"{point[0]}-{point[1]}-{point[2]}")
def test_check_point_agrees_with_the_printed_law(point: Point) -> None:
    key, tier, f_mhz, e, magnetic, s, minutes = point
    found = limit(key, tier, f_mhz)
    assert found is not None
    assert found.e == about(e)
    assert (found.b_ut if key == "EU2013/35" else found.h) == about(magnetic)
    assert found.s == about(s)
    assert found.averaging_minutes == about(minutes)


@pytest.mark.parametrize("point", MORE_POINTS, ids=lambda point: f"{point[0]}-{point[1]}")
def test_row_outside_the_check_points_agrees_with_its_printed_law(
    point: tuple[str, float, *tuple[float | None, ...]],
) -> None:
    name, f_mhz, *expected = point
    found = TABLES[name].at(f_mhz * 1e6)
    assert found is not None
    values = (found.e, found.h, found.s, found.b_ut, found.averaging_minutes)
    assert list(values) == [about(value) for value in expected]


def test_869_mhz_public_limit_agrees_in_three_units() -> None:
    """47 CFR 1.1310: f/1500 mW/cm2 at 869 MHz is 0.579333 mW/cm2 or 579.333 uW/cm2."""
    found = limit("FCC", "gp", 869)
    assert found is not None
    assert found.s is not None
    assert found.s / 10.0 == pytest.approx(0.579333, rel=1e-6)
    assert found.s / 10.0 * 1000.0 == pytest.approx(579.333, rel=1e-6)


@pytest.mark.parametrize(
    ("f_mhz", "ratio"),
    [(0.5, 1.0), (1.33, 1.0), (1.62, 1.46), (2.0, 2.22), (3.0, 5.0), (14.2, 5.0)],
)
def test_fcc_tiers_differ_by_the_known_ratio_and_not_always_by_five(
    f_mhz: float, ratio: float
) -> None:
    """Ratio of the plane-wave power densities: 1 up to 1.34 MHz, f²/1.8 up to 3 MHz, then 5."""
    public, occupational = limit("FCC", "gp", f_mhz), limit("FCC", "occ", f_mhz)
    assert public is not None
    assert public.s is not None
    assert occupational is not None
    assert occupational.s is not None
    assert occupational.s / public.s == pytest.approx(ratio, abs=0.005)


@pytest.mark.parametrize(("f_mhz", "ratio"), [(15, 5.0), (300, 8.66), (1000, 6.94), (3000, 5.68)])
def test_safety_code_6_tiers_differ_by_more_than_five_in_the_middle(
    f_mhz: float, ratio: float
) -> None:
    public, occupational = (
        limit("SC6-2015", "uncontrolled", f_mhz),
        limit("SC6-2015", "controlled", f_mhz),
    )
    assert public is not None
    assert public.s is not None
    assert occupational is not None
    assert occupational.s is not None
    assert occupational.s / public.s == pytest.approx(ratio, abs=0.005)


@pytest.mark.parametrize(
    ("thermal", "stimulation", "crossing_mhz"),
    [
        ("ICNIRP2020-WB gp", "ICNIRP2010-STIM gp", 6.27),
        ("ICNIRP2020-WB occ", "ICNIRP2010-STIM occ", 6.94),
        ("SC6-2015 uncontrolled", "SC6-2015-STIM uncontrolled", 1.10),
        ("SC6-2015 controlled", "SC6-2015-STIM controlled", 1.29),
        ("EU2013/35 occ", "EU2013/35-STIM occ", 3.588),
    ],
)
def test_stimulation_and_heating_levels_of_e_cross_where_they_should(
    thermal: str, stimulation: str, crossing_mhz: float
) -> None:
    heating, nerve = (
        TABLES[thermal].at(crossing_mhz * 1e6),
        TABLES[stimulation].at(crossing_mhz * 1e6),
    )
    assert heating is not None
    assert nerve is not None
    assert heating.e == about(nerve.e, rel=2e-3)


def test_safety_code_6_at_5_mhz_has_both_families() -> None:
    heating = limit("SC6-2015", "uncontrolled", 5)
    nerve = limit("SC6-2015-STIM", "uncontrolled", 5)
    assert heating is not None
    assert nerve is not None
    assert (heating.e, heating.h, heating.averaging_minutes) == (about(38.91), about(0.146), 6.0)
    assert (nerve.e, nerve.h, nerve.averaging_minutes) == (83.0, 90.0, None)
