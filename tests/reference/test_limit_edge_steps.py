"""Steps of the limits at the band edges of the printed tables.

The figures were computed by a separate script from the laws as printed, to five digits: 47 CFR
1.1310 Table 1; ICNIRP 2020 Tables 5 and 6; ICNIRP 1998 Table 6; 1999/519/EC Annex III; 2013/35/EU
Annex III Table B1; IEEE C95.1-2019; Safety Code 6 (2015). The steps are roundings of the documents
and are not smoothed.
"""

from __future__ import annotations

import pytest

from core.limits.model import Limit, LimitTable
from core.limits.sets import TABLES, limit

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


def test_there_are_as_many_steps_as_were_computed() -> None:
    assert len(STEPS) == 145


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
