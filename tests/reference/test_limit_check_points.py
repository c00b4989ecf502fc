"""Check points of the limit tables and the steps at their band edges.

The figures were computed by a separate script from the laws as printed, to five digits: 47 CFR
1.1310 Table 1; ICNIRP 2020 Tables 5 and 6; ICNIRP 1998 Tables 6 and 7; 1999/519/EC Annex III;
2013/35/EU Annex III Table B1; IEEE C95.1-2019; Safety Code 6 (2015). Laws marked "from memory" in
the tables are from memory here too: these tests guard the code, not the memory.
"""

from __future__ import annotations

import pytest

from core.limits.model import Limit, LimitTable
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

Step = tuple[str, str, float, str, float | None, float | None, float | None]

# table, tier, edge in MHz, quantity, row below at the edge, row above at the edge, step in percent
STEPS: list[Step] = [
    ("FCC", "occ", 3, "e", 614, 614, 0.0),
    ("FCC", "occ", 3, "h", 1.63, 1.63, 0.0),
    ("FCC", "occ", 3, "s", 1000, 1000, 0.0),
    ("FCC", "occ", 30, "e", 61.4, 61.4, 0.0),
    ("FCC", "occ", 30, "h", 0.163, 0.163, 0.0),
    ("FCC", "occ", 30, "s", 10, 10, 0.0),
    ("FCC", "occ", 300, "e", 61.4, None, None),
    ("FCC", "occ", 300, "h", 0.163, None, None),
    ("FCC", "occ", 300, "s", 10, 10, 0.0),
    ("FCC", "occ", 1500, "s", 50, 50, 0.0),
    ("FCC", "gp", 1.34, "e", 614, 614.93, 0.15),
    ("FCC", "gp", 1.34, "h", 1.63, 1.6343, 0.27),
    ("FCC", "gp", 1.34, "s", 1000, 1002.5, 0.25),
    ("FCC", "gp", 30, "e", 27.467, 27.5, 0.12),
    ("FCC", "gp", 30, "h", 0.073, 0.073, 0.0),
    ("FCC", "gp", 30, "s", 2, 2, 0.0),
    ("FCC", "gp", 300, "e", 27.5, None, None),
    ("FCC", "gp", 300, "h", 0.073, None, None),
    ("FCC", "gp", 300, "s", 2, 2, 0.0),
    ("FCC", "gp", 1500, "s", 10, 10, 0.0),
    ("ICNIRP2020-WB", "occ", 30, "e", 61.032, 61, -0.05),
    ("ICNIRP2020-WB", "occ", 30, "h", 0.16333, 0.16, -2.04),
    ("ICNIRP2020-WB", "occ", 30, "s", None, 10, None),
    ("ICNIRP2020-WB", "occ", 400, "e", 61, 60, -1.64),
    ("ICNIRP2020-WB", "occ", 400, "h", 0.16, 0.16, 0.0),
    ("ICNIRP2020-WB", "occ", 400, "s", 10, 10, 0.0),
    ("ICNIRP2020-WB", "occ", 2000, "e", 134.16, None, None),
    ("ICNIRP2020-WB", "occ", 2000, "h", 0.35777, None, None),
    ("ICNIRP2020-WB", "occ", 2000, "s", 50, 50, 0.0),
    ("ICNIRP2020-WB", "gp", 30, "e", 27.742, 27.7, -0.15),
    ("ICNIRP2020-WB", "gp", 30, "h", 0.073333, 0.073, -0.45),
    ("ICNIRP2020-WB", "gp", 30, "s", None, 2, None),
    ("ICNIRP2020-WB", "gp", 400, "e", 27.7, 27.5, -0.72),
    ("ICNIRP2020-WB", "gp", 400, "h", 0.073, 0.074, 1.37),
    ("ICNIRP2020-WB", "gp", 400, "s", 2, 2, 0.0),
    ("ICNIRP2020-WB", "gp", 2000, "e", 61.492, None, None),
    ("ICNIRP2020-WB", "gp", 2000, "h", 0.16547, None, None),
    ("ICNIRP2020-WB", "gp", 2000, "s", 10, 10, 0.0),
    ("ICNIRP2020-LOCAL", "occ", 30, "e", 139.08, 139, -0.06),
    ("ICNIRP2020-LOCAL", "occ", 30, "h", 0.36, 0.36, 0.0),
    ("ICNIRP2020-LOCAL", "occ", 30, "s", None, 50, None),
    ("ICNIRP2020-LOCAL", "occ", 400, "e", 139, 139.11, 0.08),
    ("ICNIRP2020-LOCAL", "occ", 400, "h", 0.36, 0.36028, 0.08),
    ("ICNIRP2020-LOCAL", "occ", 400, "s", 50, 50.138, 0.28),
    ("ICNIRP2020-LOCAL", "occ", 2000, "e", 277.93, None, None),
    ("ICNIRP2020-LOCAL", "occ", 2000, "h", 0.71977, None, None),
    ("ICNIRP2020-LOCAL", "occ", 2000, "s", 200.12, 200, -0.06),
    ("ICNIRP2020-LOCAL", "occ", 6000, "s", 200, 200.26, 0.13),
    ("ICNIRP2020-LOCAL", "gp", 30, "e", 62.049, 62, -0.08),
    ("ICNIRP2020-LOCAL", "gp", 30, "h", 0.16333, 0.163, -0.2),
    ("ICNIRP2020-LOCAL", "gp", 30, "s", None, 10, None),
    ("ICNIRP2020-LOCAL", "gp", 400, "e", 62, 62.062, 0.1),
    ("ICNIRP2020-LOCAL", "gp", 400, "h", 0.163, 0.16173, -0.78),
    ("ICNIRP2020-LOCAL", "gp", 400, "s", 10, 10.028, 0.28),
    ("ICNIRP2020-LOCAL", "gp", 2000, "e", 123.99, None, None),
    ("ICNIRP2020-LOCAL", "gp", 2000, "h", 0.32311, None, None),
    ("ICNIRP2020-LOCAL", "gp", 2000, "s", 40.023, 40, -0.06),
    ("ICNIRP2020-LOCAL", "gp", 6000, "s", 40, 40.053, 0.13),
    ("ICNIRP1998", "occ", 1, "e", 610, 610, 0.0),
    ("ICNIRP1998", "occ", 1, "h", 1.6, 1.6, 0.0),
    ("ICNIRP1998", "occ", 10, "e", 61, 61, 0.0),
    ("ICNIRP1998", "occ", 10, "h", 0.16, 0.16, 0.0),
    ("ICNIRP1998", "occ", 10, "s", None, 10, None),
    ("ICNIRP1998", "occ", 400, "e", 61, 60, -1.64),
    ("ICNIRP1998", "occ", 400, "h", 0.16, 0.16, 0.0),
    ("ICNIRP1998", "occ", 400, "s", 10, 10, 0.0),
    ("ICNIRP1998", "occ", 2000, "e", 134.16, 137, 2.11),
    ("ICNIRP1998", "occ", 2000, "h", 0.35777, 0.36, 0.62),
    ("ICNIRP1998", "occ", 2000, "s", 50, 50, 0.0),
    ("EU1999/519", "gp", 0.15, "e", 87, 87, 0.0),
    ("EU1999/519", "gp", 0.15, "h", 5, 4.8667, -2.67),
    ("EU1999/519", "gp", 1, "e", 87, 87, 0.0),
    ("EU1999/519", "gp", 1, "h", 0.73, 0.73, 0.0),
    ("EU1999/519", "gp", 10, "e", 27.512, 28, 1.77),
    ("EU1999/519", "gp", 10, "h", 0.073, 0.073, 0.0),
    ("EU1999/519", "gp", 10, "s", None, 2, None),
    ("EU1999/519", "gp", 400, "e", 28, 27.5, -1.79),
    ("EU1999/519", "gp", 400, "h", 0.073, 0.074, 1.37),
    ("EU1999/519", "gp", 400, "s", 2, 2, 0.0),
    ("EU1999/519", "gp", 2000, "e", 61.492, 61, -0.8),
    ("EU1999/519", "gp", 2000, "h", 0.16547, 0.16, -3.31),
    ("EU1999/519", "gp", 2000, "s", 10, 10, 0.0),
    ("EU2013/35", "occ", 1, "e", 610, 610, 0.0),
    ("EU2013/35", "occ", 1, "b_ut", 2, 2, 0.0),
    ("EU2013/35", "occ", 10, "e", 61, 61, 0.0),
    ("EU2013/35", "occ", 10, "b_ut", 0.2, 0.2, 0.0),
    ("EU2013/35", "occ", 400, "e", 61, 60, -1.64),
    ("EU2013/35", "occ", 400, "b_ut", 0.2, 0.2, 0.0),
    ("EU2013/35", "occ", 2000, "e", 134.16, 140, 4.35),
    ("EU2013/35", "occ", 2000, "b_ut", 0.44721, 0.45, 0.62),
    ("EU2013/35", "occ", 6000, "e", 140, 140, 0.0),
    ("EU2013/35", "occ", 6000, "b_ut", 0.45, 0.45, 0.0),
    ("EU2013/35", "occ", 6000, "s", None, 50, None),
    ("IEEE-C95.1-2019", "restricted", 1, "e", 1842, 1842, 0.0),
    ("IEEE-C95.1-2019", "restricted", 1, "h", 16.3, 16.3, 0.0),
    ("IEEE-C95.1-2019", "restricted", 30, "e", 61.4, 61.4, 0.0),
    ("IEEE-C95.1-2019", "restricted", 30, "h", 0.54333, 0.54333, 0.0),
    ("IEEE-C95.1-2019", "restricted", 100, "e", 61.4, 61.4, 0.0),
    ("IEEE-C95.1-2019", "restricted", 100, "h", 0.163, 0.163, 0.0),
    ("IEEE-C95.1-2019", "restricted", 100, "s", None, 10, None),
    ("IEEE-C95.1-2019", "restricted", 400, "e", 61.4, None, None),
    ("IEEE-C95.1-2019", "restricted", 400, "h", 0.163, None, None),
    ("IEEE-C95.1-2019", "restricted", 400, "s", 10, 10, 0.0),
    ("IEEE-C95.1-2019", "restricted", 2000, "s", 50, 50, 0.0),
    ("IEEE-C95.1-2019", "unrestricted", 1.34, "e", 614, 614.78, 0.13),
    ("IEEE-C95.1-2019", "unrestricted", 1.34, "h", 12.164, 12.164, 0.0),
    ("IEEE-C95.1-2019", "unrestricted", 30, "e", 27.46, 27.5, 0.15),
    ("IEEE-C95.1-2019", "unrestricted", 30, "h", 0.54333, 0.54405, 0.13),
    ("IEEE-C95.1-2019", "unrestricted", 100, "e", 27.5, 27.5, 0.0),
    ("IEEE-C95.1-2019", "unrestricted", 100, "h", 0.073027, 0.0729, -0.17),
    ("IEEE-C95.1-2019", "unrestricted", 100, "s", None, 2, None),
    ("IEEE-C95.1-2019", "unrestricted", 400, "e", 27.5, None, None),
    ("IEEE-C95.1-2019", "unrestricted", 400, "h", 0.0729, None, None),
    ("IEEE-C95.1-2019", "unrestricted", 400, "s", 2, 2, 0.0),
    ("IEEE-C95.1-2019", "unrestricted", 2000, "s", 10, 10, 0.0),
    ("SC6-2015", "uncontrolled", 20, "e", 27.46, 27.46, -0.0),
    ("SC6-2015", "uncontrolled", 20, "h", 0.0728, 0.072822, 0.03),
    ("SC6-2015", "uncontrolled", 20, "s", 2, 1.9999, -0.0),
    ("SC6-2015", "uncontrolled", 48, "e", 22.062, 22.06, -0.01),
    ("SC6-2015", "uncontrolled", 48, "h", 0.058507, 0.05852, 0.02),
    ("SC6-2015", "uncontrolled", 48, "s", 1.291, 1.291, 0.0),
    ("SC6-2015", "uncontrolled", 300, "e", 22.06, 22.062, 0.01),
    ("SC6-2015", "uncontrolled", 300, "h", 0.05852, 0.058525, 0.01),
    ("SC6-2015", "uncontrolled", 300, "s", 1.291, 1.2912, 0.02),
    ("SC6-2015", "uncontrolled", 6000, "e", 61.405, 61.4, -0.01),
    ("SC6-2015", "uncontrolled", 6000, "h", 0.16289, 0.163, 0.07),
    ("SC6-2015", "uncontrolled", 6000, "s", 10.003, 10, -0.03),
    ("SC6-2015", "uncontrolled", 150000, "e", 61.4, 61.193, -0.34),
    ("SC6-2015", "uncontrolled", 150000, "h", 0.163, 0.16305, 0.03),
    ("SC6-2015", "uncontrolled", 150000, "s", 10, 10.005, 0.05),
    ("SC6-2015", "controlled", 20, "e", 61.4, 61.379, -0.03),
    ("SC6-2015", "controlled", 20, "h", 0.163, 0.16286, -0.09),
    ("SC6-2015", "controlled", 20, "s", 10, 9.9997, -0.0),
    ("SC6-2015", "controlled", 48, "e", 49.313, 49.33, 0.03),
    ("SC6-2015", "controlled", 48, "h", 0.13084, 0.1309, 0.04),
    ("SC6-2015", "controlled", 48, "s", 6.4548, 6.455, 0.0),
    ("SC6-2015", "controlled", 100, "e", 49.33, 49.332, 0.0),
    ("SC6-2015", "controlled", 100, "h", 0.1309, 0.13086, -0.03),
    ("SC6-2015", "controlled", 100, "s", 6.455, 6.455, 0.0),
    ("SC6-2015", "controlled", 6000, "e", 137.3, 137, -0.22),
    ("SC6-2015", "controlled", 6000, "h", 0.36419, 0.364, -0.05),
    ("SC6-2015", "controlled", 6000, "s", 50, 50, -0.0),
    ("SC6-2015", "controlled", 150000, "e", 137, 137.1, 0.08),
    ("SC6-2015", "controlled", 150000, "h", 0.364, 0.36406, 0.02),
    ("SC6-2015", "controlled", 150000, "s", 50, 49.95, -0.1),
]

# The European tables and Safety Code 6 shorten the averaging time above an edge; the limits stay.
TIME_STEPS = [
    ("SC6-2015 uncontrolled", 15e9, 6.0, 6.0017),
    ("SC6-2015 controlled", 15e9, 6.0, 6.0017),
    ("ICNIRP1998 occ", 10e9, 6.0, 6.0605),
    ("ICNIRP1998 gp", 10e9, 6.0, 6.0605),
    ("EU1999/519 gp", 10e9, 6.0, 6.0605),
    ("EU2013/35 occ", 10e9, 6.0, 6.0605),
]


def rows_at_edge(table: LimitTable, edge_hz: float) -> tuple[Limit, Limit]:
    """Return what the row below and the row above say at their common edge."""
    below, above = (row for row in table.rows if row.holds(edge_hz))
    assert below.high_hz == above.low_hz == pytest.approx(edge_hz, rel=1e-9)
    return below.at(edge_hz), above.at(edge_hz)


def about(expected: float | None, rel: float = 1e-4) -> object:
    """Return what a limit of five printed digits has to equal; None only equals None."""
    return None if expected is None else pytest.approx(expected, rel=rel)


def test_there_are_as_many_check_points_and_edge_steps_as_were_computed() -> None:
    assert (len(POINTS), len(STEPS)) == (59, 145)


@pytest.mark.parametrize("point", POINTS, ids=lambda point: f"{point[0]}-{point[1]}-{point[2]}")
def test_check_point_agrees_with_the_printed_law(point: Point) -> None:
    key, tier, f_mhz, e, magnetic, s, minutes = point
    found = limit(key, tier, f_mhz)
    assert found is not None
    assert found.e == about(e)
    assert (found.b_ut if key == "EU2013/35" else found.h) == about(magnetic)
    assert found.s == about(s)
    assert found.averaging_minutes == about(minutes)


@pytest.mark.parametrize("step", STEPS, ids=lambda step: f"{step[0]}-{step[1]}-{step[2]}-{step[3]}")
def test_band_edge_has_the_printed_step_and_the_smaller_limit_counts(step: Step) -> None:
    key, tier, edge_mhz, quantity, low, high, percent = step
    table = TABLES[f"{key} {tier}"]
    edge_hz = edge_mhz * 1e6
    below, above = (getattr(side, quantity) for side in rows_at_edge(table, edge_hz))
    assert below == about(low)
    assert above == about(high)
    if percent is not None:
        assert 100.0 * (above / below - 1.0) == pytest.approx(percent, abs=0.0051)

    at_edge = table.at(edge_hz)
    assert at_edge is not None
    assert getattr(at_edge, quantity) == min(v for v in (below, above) if v is not None)


@pytest.mark.parametrize("step", STEPS, ids=lambda step: f"{step[0]}-{step[1]}-{step[2]}-{step[3]}")
def test_each_row_rules_alone_a_millionth_away_from_the_edge(step: Step) -> None:
    key, tier, edge_mhz, quantity, low, high, _ = step
    just_below = limit(key, tier, edge_mhz * (1.0 - 1e-6))
    just_above = limit(key, tier, edge_mhz * (1.0 + 1e-6))
    assert just_below is not None
    assert just_above is not None
    assert getattr(just_below, quantity) == about(low)
    assert getattr(just_above, quantity) == about(high)


@pytest.mark.parametrize(("name", "edge_hz", "low", "high"), TIME_STEPS)
def test_averaging_time_changes_at_its_edge_and_the_limits_do_not(
    name: str, edge_hz: float, low: float, high: float
) -> None:
    table = TABLES[name]
    below, above = rows_at_edge(table, edge_hz)
    assert (below.averaging_minutes, above.averaging_minutes) == (low, about(high, rel=1e-5))
    assert (below.e, below.h, below.b_ut, below.s) == (above.e, above.h, above.b_ut, above.s)
    at_edge = table.at(edge_hz)
    assert at_edge is not None
    assert at_edge.averaging_minutes == low


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
