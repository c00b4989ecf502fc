"""A survey beside its prediction: bias, scatter and lowest have one direction, and doubts are told."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from core.entry.survey import PRACTICE, as_data, as_text, doubts_of, kept, survey_report
from core.errors import InputError
from core.exposure.fractions import modelled
from core.exposure.surveyed import comparisons
from core.site.state import Condition, State
from support.surveyed import PLACE, measured, open_ground, with_readings

SITE = open_ground()
E = math.sqrt(float(modelled(SITE, np.array([PLACE])).fields.e2[0, 0]))
FULL = {"instrument": "probe 7", "calibrated": "2026-03-01", "time": "2026-11-20T10:00"}


def factors(*ratios: float) -> list[object]:
    """Readings of so many times the predicted field."""
    return [measured(r * E, name=f"r{i}") for i, r in enumerate(ratios)]


def test_bias_scatter_and_lowest_are_those_of_the_predictions_errors() -> None:
    # 20 log10 of 2 is 6.02 dB: one reading of half the field, one of twice it (arithmetic).
    report = survey_report(with_readings(SITE, *factors(0.5, 2.0)))
    step = 20.0 * math.log10(2.0)
    assert report.bias_db == pytest.approx(0.0, abs=1e-9)
    assert report.scatter_db == pytest.approx(math.sqrt(2.0) * step)
    assert report.worst_low_db == pytest.approx(-step)
    assert len(report.raises) == 1
    high = survey_report(with_readings(SITE, *factors(0.5, 0.25)))
    assert high.bias_db == pytest.approx(1.5 * step)
    assert high.worst_low_db == pytest.approx(step)
    assert high.raises == ()


def test_what_cannot_be_compared_is_in_no_mean() -> None:
    report = survey_report(with_readings(SITE, *factors(0.0)))
    assert (report.bias_db, report.scatter_db, report.worst_low_db) == (None, None, None)
    one = survey_report(with_readings(SITE, *factors(0.0, 0.5)))
    assert one.scatter_db is None
    assert one.bias_db == pytest.approx(20.0 * math.log10(2.0))


def test_the_text_has_every_reading_and_the_words_of_practice() -> None:
    report = survey_report(with_readings(SITE, *factors(0.5, 3.0)))
    text = as_text(report)
    for words in ("bias", "scatter", "ABOVE, raised", "RAISED within 10 m", *PRACTICE):
        assert words in text
    data = as_data(report)
    assert [row["above"] for row in data["rows"]] == [False, True]
    assert data["raised"][0]["at"] == {"x": 20.0, "y": 0.0, "z": 1.5}
    assert data["raised"][0]["factor"] == pytest.approx(9.0)


@pytest.mark.parametrize(
    ("more", "said"),
    [
        ({**FULL}, ""),
        ({**FULL, "states": (("source", State(Condition.UNKNOWN)),)}, "state of source not known"),
        ({**FULL, "states": (("source", State(Condition.REDUCED, 10.0)),)}, "not at full power"),
        ({**FULL, "instrument": ""}, "not recorded"),
        ({**FULL, "calibrated": ""}, "not recorded"),
        ({**FULL, "time": ""}, "time of the reading not recorded"),
        ({**FULL, "calibrated": "2025-01-01"}, "more than a year"),
    ],
)
def test_what_keeps_a_reading_from_standing_for_the_calculation(
    more: dict[str, object], said: str
) -> None:
    one = comparisons(with_readings(SITE, measured(1.0, **more)))[0]
    doubts = "; ".join(doubts_of(one))
    assert (said in doubts) if said else not doubts


def test_a_survey_is_kept_once() -> None:
    site = with_readings(SITE, *factors(0.5))
    other = replace(site.surveys[0], name="again")
    assert [s.name for s in kept(site, other).surveys] == ["survey", "again"]
    with pytest.raises(InputError, match="two entries are called 'survey'"):
        kept(site, site.surveys[0])
