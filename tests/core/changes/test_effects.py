"""The list of what a change does: worse ones first, and each with the place it is about."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
import shapely

from core.changes.comparison import Comparison, compare
from core.changes.effects import Effect, effects
from core.changes.place import read_both
from core.changes.report import sections
from core.site.job import Job, Route, Stop, Work
from core.views.body import STANDING
from support.changed import raised, yard

JOBS = (
    Job(
        name="paint",
        route=Route(stops=(Stop(name="eave", position=(3.0, 0.0, 0.0), dwell=3600.0),)),
    ),
    Job(name="lamp", work=Work(ladder="mast ladder", heights=(1.0, 2.0))),
    Job(name="cut grass", work=Work(low=(6.0, -1.0, 0.0), high=(8.0, 1.0, 0.0))),
)


@pytest.fixture(scope="module")
def found() -> Comparison:
    before = yard(jobs=JOBS)
    return compare(before, raised(before, "north", 8.0))


def test_everything_of_the_report_is_there_and_worse_comes_first(found: Comparison) -> None:
    listed = effects(found)
    said = [line.removeprefix("WORSE: ") for _, lines in sections(found) for line in lines]
    assert sorted(e.words for e in listed) == sorted(said)
    worse = [e.worse for e in listed]
    assert worse == sorted(worse, reverse=True)
    assert any(worse)
    assert not all(worse)


def of(section: str, listed: tuple[Effect, ...]) -> list[Effect]:
    return [e for e in listed if e.section == section]


def test_each_is_where_it_is(found: Comparison) -> None:
    listed = effects(found)
    assert of("What changed", listed)[0].place == (0.0, 0.0, 4.0)
    for zone in of("Zones", listed):
        assert zone.worse
        assert zone.place is not None
        regions = [z.gained for z in found.zones]
        assert any(r.contains(shapely.Point(zone.place[:2])) for r in regions)
    gate = of("Ways in", listed)[0]
    assert gate.worse
    assert gate.place == (7.0, 0.0, 0.0)
    fence = next(e for e in of("Fences", listed) if e.words.startswith("chain"))
    assert fence.worse
    assert fence.place is not None
    assert np.hypot(*fence.place[:2]) > 9.0  # outside of it, where it leaks
    for ladder in of("Ladders", listed):
        assert not ladder.stands
        assert ladder.place is not None
        assert ladder.place[:2] == pytest.approx((0.0, 0.4))
    for rise in of("Largest rises", listed):
        assert rise.stands != (found.after.ladders[0].name in rise.words)
        assert rise.place is not None


def test_a_job_is_where_its_work_is(found: Comparison) -> None:
    places = {e.words.split(":")[0]: e.place for e in of("Jobs", effects(found))}
    assert places, "the verdict of a job changes"
    wanted = {"paint": (3.0, 0.0, 0.0), "lamp": (0.0, 0.4, 1.5), "cut grass": (7.0, 0.0, 0.0)}
    for name, place in places.items():
        assert place == pytest.approx(wanted[name])


def test_turned_round_nothing_is_worse(found: Comparison) -> None:
    back = effects(compare(found.after, found.before))
    assert not any(e.worse for e in back)
    assert all(e.place is not None for e in of("Zones", back))


def test_a_place_is_read_in_both_states() -> None:
    before = yard()
    place = (3.0, 0.0, 0.0)
    double = raised(before, "north", 2.0)
    said = read_both(before, double, (place, place), STANDING).words("public")
    assert said[2].startswith("+3.01 dB, +")
    back = read_both(double, before, (place, place), STANDING).words("public")
    assert back[:2] == said[1::-1]
    assert back[2].startswith("-3.01 dB, -")
    same = read_both(before, before, (place, place), STANDING)
    assert same.words("occupational")[2] == "none"
    off = replace(before, antennas=())
    assert "out of nothing" in read_both(off, before, (place, place), STANDING).words("public")[2]
    near = read_both(before, raised(before, "north", 30.0), ((0.0, 0.0, 0.0),) * 2, STANDING)
    assert "e+" not in near.words("public")[2]
