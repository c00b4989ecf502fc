"""Reference data on contact and limb currents, and the caution that goes with an emitter."""

from __future__ import annotations

import itertools

import pytest

from core.limits.currents import CURRENT_LIMITS, FCC_NOTE, contact_current_caution, current_limits
from core.limits.model import STATUSES
from core.limits.sets import SETS

# set, kind, band in Hz, frequency in Hz, public and occupational mA there, minutes
PRINTED = [
    # ICNIRP 1998 Table 9, then Table 8 (contact, f in kHz between 2.5 and 100 kHz)
    ("ICNIRP1998", "limb", 10e6, 110e6, 27e6, 45.0, None, 6.0),
    ("ICNIRP1998", "limb", 10e6, 110e6, 27e6, None, 100.0, 6.0),
    ("ICNIRP1998", "contact", 0.0, 2.5e3, 1e3, 0.5, 1.0, None),
    ("ICNIRP1998", "contact", 2.5e3, 100e3, 50e3, 10.0, 20.0, None),
    ("ICNIRP1998", "contact", 100e3, 10e6, 1e6, 20.0, 40.0, None),
    ("ICNIRP1998", "contact", 10e6, 110e6, 98e6, 20.0, 40.0, None),
    # ICNIRP 2020, from memory; the contact values are guidance for children and adults
    ("ICNIRP2020", "limb", 100e3, 110e6, 1e6, 45.0, 100.0, 6.0),
    ("ICNIRP2020", "contact", 100e3, 110e6, 1e6, 10.0, 20.0, None),
    # 2013/35/EU Annex III, then German EMFV for touch and grip
    ("EU", "limb", 10e6, 110e6, 98e6, None, 100.0, 6.0),
    ("EU", "contact", 100e3, 110e6, 1e6, None, 40.0, None),
    ("EU", "contact", 100e3, 10e6, 1e6, None, 15.0, None),
    ("EU", "contact", 100e3, 10e6, 1e6, None, 75.0, None),
    # IEEE C95.1-2019, from memory: each foot, both feet, touch, grip
    ("IEEE-C95.1-2019", "limb", 100e3, 110e6, 1e6, 45.0, 100.0, None),
    ("IEEE-C95.1-2019", "limb", 100e3, 110e6, 1e6, 90.0, 200.0, None),
    ("IEEE-C95.1-2019", "contact", 100e3, 110e6, 1e6, 16.7, 50.0, None),
    ("IEEE-C95.1-2019", "contact", 100e3, 110e6, 1e6, None, 100.0, None),
    # Safety Code 6 (2015), low confidence
    ("SC6-2015", "limb", 3e3, 400e3, 200e3, 20.0, 45.0, None),
    ("SC6-2015", "limb", 400e3, 110e6, 1e6, 40.0, 90.0, 6.0),
    ("SC6-2015", "contact", 3e3, 100e3, 50e3, 10.0, 20.0, None),
    ("SC6-2015", "contact", 100e3, 110e6, 1e6, 20.0, 40.0, None),
]


def test_published_current_limits_are_all_there() -> None:
    assert [
        (
            row.set_key,
            row.kind,
            row.low_hz,
            row.high_hz,
            frequency_hz,
            row.at("public", frequency_hz),
            row.at("occupational", frequency_hz),
            row.averaging_minutes,
        )
        for row, (*_, frequency_hz, _public, _occupational, _minutes) in zip(
            CURRENT_LIMITS, PRINTED, strict=True
        )
    ] == PRINTED


def test_current_limits_of_a_tier_leave_out_rows_that_have_none() -> None:
    workers = current_limits("EU", "occupational", 1e6)
    assert [row.at("occupational", 1e6) for row in workers] == [40.0, 15.0, 75.0]
    assert current_limits("EU", "public", 1e6) == ()
    assert [row.kind for row in current_limits("ICNIRP1998", "public", 1e6)] == ["contact"]


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
