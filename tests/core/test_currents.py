"""Reference data on contact and limb currents, and the caution that goes with an emitter."""

from __future__ import annotations

import itertools

import pytest

from core.limits.currents import (
    CURRENT_LIMITS,
    FCC_NOTE,
    contact_current_caution,
    current_limits,
)
from core.limits.model import STATUSES
from core.limits.sets import SETS


@pytest.mark.parametrize(
    ("set_key", "tier", "kind", "frequency_hz", "milliamperes"),
    [
        # ICNIRP 1998 Tables 8 and 9
        ("ICNIRP1998", "occupational", "limb", 27e6, [100.0]),
        ("ICNIRP1998", "public", "limb", 27e6, [45.0]),
        ("ICNIRP1998", "public", "limb", 1e6, []),
        ("ICNIRP1998", "occupational", "contact", 1e6, [40.0]),
        ("ICNIRP1998", "public", "contact", 50e3, [10.0]),
        ("ICNIRP1998", "occupational", "contact", 1e3, [1.0]),
        # ICNIRP 2020, from memory
        ("ICNIRP2020", "public", "limb", 1e6, [45.0]),
        # 2013/35/EU Annex III; German EMFV touch and grip
        ("EU", "occupational", "contact", 1e6, [40.0, 15.0, 75.0]),
        ("EU", "occupational", "limb", 98e6, [100.0]),
        # IEEE C95.1-2019, from memory
        ("IEEE-C95.1-2019", "public", "limb", 1e6, [45.0, 90.0]),
        ("IEEE-C95.1-2019", "public", "contact", 1e6, [16.7]),
        ("IEEE-C95.1-2019", "occupational", "contact", 1e6, [50.0, 100.0]),
        # Safety Code 6 (2015), low confidence
        ("SC6-2015", "occupational", "limb", 0.2e6, [45.0]),
        ("SC6-2015", "public", "limb", 1e6, [40.0]),
        ("SC6-2015", "public", "contact", 0.05e6, [10.0]),
    ],
)
def test_published_current_limit(
    set_key: str, tier: str, kind: str, frequency_hz: float, milliamperes: list[float]
) -> None:
    rows = [row for row in current_limits(set_key, tier, frequency_hz) if row.kind == kind]
    assert [row.at(tier, frequency_hz) for row in rows] == pytest.approx(milliamperes)


def test_fcc_has_no_current_limit_and_says_so() -> None:
    for tier, frequency_hz in itertools.product(("public", "occupational"), (1e6, 27e6, 98e6)):
        assert current_limits("FCC", tier, frequency_hz) == ()
    assert "no limit for induced or contact current" in FCC_NOTE


def test_every_current_limit_belongs_to_a_set_and_names_its_source() -> None:
    for row in CURRENT_LIMITS:
        assert row.set_key in SETS
        assert row.source
        assert row.status in STATUSES
        assert row.public or row.occupational
        assert row.low_hz < row.high_hz <= 110e6
    assert {row.status for row in CURRENT_LIMITS if row.set_key == "SC6-2015"} == {"low confidence"}


@pytest.mark.parametrize(
    ("set_key", "kind", "edge_hz"),
    [
        ("ICNIRP1998", "contact", 2.5e3),
        ("ICNIRP1998", "contact", 100e3),
        ("SC6-2015", "limb", 0.4e6),
        ("SC6-2015", "contact", 0.1e6),
    ],
)
def test_neighbouring_rows_agree_at_their_edge(set_key: str, kind: str, edge_hz: float) -> None:
    for tier in ("public", "occupational"):
        rows = [row for row in current_limits(set_key, tier, edge_hz) if row.kind == kind]
        assert len(rows) == 2
        assert rows[0].at(tier, edge_hz) == pytest.approx(rows[1].at(tier, edge_hz))


def test_caution_speaks_of_the_mast_at_medium_wave_only() -> None:
    medium, short = contact_current_caution(1e6), contact_current_caution(14e6)
    assert medium is not None
    assert short is not None
    assert "mast" in medium
    assert "mast" not in short
    assert medium.startswith(short)


def test_caution_ends_above_110_mhz() -> None:
    assert contact_current_caution(98.1e6) is not None
    assert contact_current_caution(110e6) is not None
    assert contact_current_caution(0.110 * 1000 * 1e6) is not None
    assert contact_current_caution(111e6) is None
