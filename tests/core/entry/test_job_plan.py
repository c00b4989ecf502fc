"""The power plan of a job: with it the entry goes; its garment counts where it gets credit."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from core.entry.entry import plan_entry
from core.entry.job_plan import job_plan, with_plan
from core.entry.power_plan import PowerPlan
from core.errors import InputError
from core.exposure.garment_use import Verdict
from core.files.site_file import load_site
from core.site.allowance import Allowance
from core.site.garment import Band, Garment
from core.site.job import HIGHER_CONTROLS, Job, Route, Stop, Work
from core.site.places import Ladder
from core.site.site import Antenna, Site
from core.site.state import Condition, State
from support.places import DEMOS
from support.simple_sites import FREE, ground, isotropic

TOWER = DEMOS / "cold-ridge-tower" / "cold-ridge-tower.json"
LADDER = Ladder(name="ladder", points=((0.0, 0.0, 0.0), (0.0, 0.0, 40.0)))
SUIT = Garment(
    name="set",
    source="card",
    bands=(Band(low=80e6, high=1e9, percent=1000.0),),
    inspected="2026-11-01",
)
ROUTE = Route(
    stops=(
        Stop(name="gate", position=(8.0, 0.0, 0.0)),
        Stop(name="foot", ladder="ladder", height=1.0),
        Stop(name="lamp", ladder="ladder", height=30.0, dwell=1200.0),
    )
)
JOB = Job(name="job", route=ROUTE)
WORN = replace(
    JOB,
    garment="set",
    garment_training="2026-11-02",
    higher_controls=tuple((control, "because") for control in HIGHER_CONTROLS),
)
STEPS = (50.0, 25.0, 10.0, 5.0, 0.0)


def emitter(
    name: str, watts: float, height: float, frequency: float = 100e6, **more: Any
) -> Antenna:
    one = isotropic(name, frequency, watts, (3.0, 0.0, height))
    return replace(one, allows=Allowance(steps=STEPS), **more)


def site(*antennas: Antenna, **more: Any) -> Site:
    return Site(
        name="mast", antennas=antennas, reflection=FREE, surfaces=(ground(100.0),),
        ladders=(LADDER,), garments=(SUIT,), **more,
    )  # fmt: skip


def steps(found: PowerPlan) -> dict[str, str]:
    assert found.best is not None
    return {s.antenna: s.after.words for s in found.best.steps}


def goes(of: Site, job: Job, found: PowerPlan) -> Verdict:
    return plan_entry(of, with_plan(job, found)).verdict


@pytest.mark.parametrize("tier", ["public", "occupational"])
def test_without_a_garment_the_plan_brings_the_way_under_the_limit(tier: Any) -> None:
    of, job = (
        site(emitter("FM", 3000.0, 20.0), emitter("UHF", 2000.0, 28.0, 500e6)),
        replace(JOB, tier=tier),
    )
    assert not plan_entry(of, job).verdict.is_go
    found = job_plan(of, job)
    assert steps(found)
    assert goes(of, job, found) is Verdict.NOT_NEEDED


def test_a_garment_with_credit_needs_less_and_one_without_needs_as_much() -> None:
    of = site(emitter("FM", 3000.0, 20.0), emitter("UHF", 2000.0, 28.0, 500e6))
    bare, worn = job_plan(of, JOB), job_plan(of, WORN)
    assert bare.best is not None
    assert worn.best is not None
    assert worn.best.lost < bare.best.lost
    assert goes(of, WORN, worn) is Verdict.WITHIN
    untrained = replace(WORN, garment_training="")
    assert steps(job_plan(of, untrained)) == steps(bare)


def test_what_takes_the_garment_its_credit_is_locked_out_however_weak() -> None:
    strong = emitter("FM", 3000.0, 20.0)
    for odd in (
        emitter("unknown", 0.01, 39.0, state=State(Condition.UNKNOWN)),
        emitter("short wave", 0.01, 39.0, 20e6),
    ):
        of = site(strong, odd)
        found = job_plan(of, WORN)
        assert goes(of, WORN, found).is_go
    # Outside the bands little may be left, whatever the rating.
    of = site(strong, emitter("link", 2000.0, 30.0, 6e9))
    found = job_plan(of, WORN)
    assert "link" in steps(found)
    assert goes(of, WORN, found).is_go


def test_the_states_that_a_job_plans_are_where_its_plan_begins() -> None:
    of = site(emitter("FM", 3000.0, 20.0), emitter("UHF", 2000.0, 28.0, 500e6))
    job = replace(JOB, states=(("FM", State(Condition.LOCKED_OUT)),))
    found = job_plan(of, job)
    assert set(steps(found)) == {"UHF"}
    assert goes(of, job, found).is_go


def test_the_work_volume_counts_beside_the_way() -> None:
    of = site(emitter("FM", 500.0, 35.0))
    low = replace(JOB, route=replace(ROUTE, stops=ROUTE.stops[:2]))
    assert steps(job_plan(of, low)) == {}
    worked = replace(low, work=Work(low=(-1.0, -1.0, 34.0), high=(1.0, 1.0, 36.0)))
    found = job_plan(of, worked)
    assert set(steps(found)) == {"FM"}
    assert goes(of, worked, found).is_go


def test_a_job_that_names_what_is_gone_or_goes_nowhere_is_one_error() -> None:
    of = site(emitter("FM", 500.0, 35.0))
    with pytest.raises(InputError, match="names the antenna 'gone', which is not on the site"):
        job_plan(of, replace(JOB, states=(("gone", State(Condition.OFF)),)))
    with pytest.raises(InputError, match="neither a route nor a work volume"):
        job_plan(of, Job(name="nowhere"))


def test_an_emitter_that_no_limit_counts_and_that_may_not_be_touched_is_the_reason() -> None:
    odd = replace(emitter("odd", 0.01, 39.0, 200e9), allows=Allowance(touch=False))
    found = job_plan(site(odd), JOB)
    assert found.best is None
    assert found.reason == "odd must be silent, and may not be"
    assert found.change is not None
    assert found.change.broken == ("odd may not be touched",)


def test_the_lamp_change_of_the_demo_goes_with_its_plan() -> None:
    tower = load_site(TOWER)
    (job,) = (j for j in tower.jobs if j.name == "Lamp change")
    found = job_plan(tower, job, others=0)
    assert found.before > 1.0
    assert steps(found) == {"UHF television": "reduced to 25 %", "FM main": "reduced to 10 %"}
    assert found.least is not None
    assert found.least.exact
    assert goes(tower, job, found) is Verdict.WITHIN
