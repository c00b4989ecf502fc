"""Jobs, garments and stops exchanged by name."""

from __future__ import annotations

from dataclasses import replace

import pytest

from core.errors import InputError
from core.site.jobs import (
    fresh_name,
    with_garment,
    with_job,
    without_garment,
    without_job,
)
from core.site.routes import climbed, climbing_stop, standing_stop, stops_of, with_stops
from support.briefed import LADDER, STOPS, SUIT, in_suit, job, mast


def test_a_job_is_added_exchanged_renamed_and_removed() -> None:
    site = mast()
    other = job(name="Paint")
    both = with_job(site, other)
    assert [j.name for j in both.jobs] == ["Lamp change", "Paint"]
    renamed = with_job(both, job(name="Lamp"), "Lamp change")
    assert [j.name for j in renamed.jobs] == ["Lamp", "Paint"]
    assert [j.name for j in without_job(renamed, "Lamp").jobs] == ["Paint"]
    with pytest.raises(InputError, match="Paint"):
        with_job(both, other, "Lamp change")


def test_a_garment_that_is_renamed_stays_with_its_jobs() -> None:
    site = mast(plan=in_suit())
    renamed = with_garment(site, replace(SUIT, name="suit"), "set")
    assert renamed.jobs[0].garment == "suit"
    gone = without_garment(renamed, "suit")
    assert gone.garments == ()
    assert gone.jobs[0].garment == ""
    assert len(with_garment(site, replace(SUIT, name="second")).garments) == 2


def test_people_stand_on_surfaces_and_climbers_stay_on_ladders() -> None:
    site = mast()
    assert standing_stop(site, "a", (3.0, 4.0, 25.0)).position == (3.0, 4.0, 0.0)
    assert climbing_stop(LADDER, "b", 99.0).height == 40.0
    assert climbing_stop(LADDER, "b", -5.0).height == 0.0


def test_a_climb_begins_at_the_foot_unless_one_is_on_the_ladder() -> None:
    first = climbed(LADDER, None, 20.0, [])
    assert [s.height for s in first] == [1.0, 20.0]
    assert [s.height for s in climbed(LADDER, first[-1], None, [])] == [40.0]
    names = [s.name for s in climbed(LADDER, None, None, ["Foot of ladder"])]
    assert names[0] == "Foot of ladder 2"


def test_stops_go_into_the_route_and_none_is_no_route() -> None:
    plan = job()
    assert stops_of(with_stops(plan, STOPS[:1])) == STOPS[:1]
    assert with_stops(plan, ()).route is None
    assert stops_of(with_stops(with_stops(plan, ()), STOPS)) == STOPS
    assert fresh_name([], "a") == "a"
