"""Poles that carry a wave: said wherever figures are, no go beside them, silenced by the plan, nothing at lattices."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from core.antennas.dish import Dish
from core.antennas.stack import Stack
from core.entry.areas import at_place, in_box
from core.entry.briefing import briefing, text_of
from core.entry.criteria import Criterion
from core.entry.entry import plan_entry
from core.entry.job_plan import job_plan
from core.entry.power_plan import power_plan
from core.exposure.batch import read_many
from core.exposure.garment_use import Verdict
from core.reading.doubts import doubts
from core.reading.provisos import provisos, uncounted
from core.reading.reading import read
from core.site.allowance import Allowance
from core.site.job import Route, Stop, Work
from core.site.places import Structure
from core.site.poles import carrying_poles
from core.site.site import Site
from core.site.state import Condition, State
from core.views.body import CLIMBING, STANDING
from support.briefed import emitter, job, mast

POLE = Structure(
    name="Pole", kind="mast", base=0.0, top=30.0,
    outline=((-0.05, -0.05), (0.05, -0.05), (0.05, 0.05), (-0.05, 0.05)),
)  # fmt: skip
CLIMB = Route(stops=(Stop(name="Low", ladder="ladder", height=4.0, dwell=60.0),))
PASS = Route(stops=(
    Stop(name="A", position=(-20.0, 3.0, 0.0)), Stop(name="B", position=(20.0, 3.0, 0.0)),
))  # fmt: skip


def site(route: Route, pole: Structure | None = POLE, **more: Any) -> Site:
    """A weak upright emitter at the top of a pole with a ladder."""
    at = more.pop("position", (0.8, 0.0, 29.5))
    one = emitter("Stick", 10.0, position=at, **more)
    return mast(one, plan=job(route=route, work=None), structures=() if pole is None else (pole,))


def test_a_climb_beside_a_pole_that_carries_a_wave_is_no_go() -> None:
    free = plan_entry(site(CLIMB, None), site(CLIMB).jobs[0])
    assert free.verdict is Verdict.NOT_NEEDED
    entry = plan_entry(site(CLIMB), site(CLIMB).jobs[0])
    assert entry.verdict is Verdict.NO_CREDIT
    assert "Pole, a pole that carries the wave of Stick" in entry.reasons[0]
    assert any(
        "Pole: a pole beside Stick carries the wave" in line for line in provisos(site(CLIMB))
    )
    # Whoever walks by three metres off is not near it, though the box about a diagonal walk would be.
    assert plan_entry(site(PASS), site(PASS).jobs[0]).verdict is Verdict.NOT_NEEDED


def test_a_reading_beside_the_pole_is_no_verdict_and_says_why() -> None:
    one = site(CLIMB)
    for place, beside in (((0.5, 0.0, 2.0), True), ((2.5, 0.0, 2.0), False)):
        found = read(one, place, CLIMBING)
        assert (found.category is None) is beside
        assert ("carries the wave" in found.warning) is beside
        assert any("10 to 25 dB low" in c for c in found.cautions) is beside
        assert found.verdict.startswith("No verdict beside Pole: treat as over") is beside
    assert any("Pole: a pole beside Stick" in line for line in doubts(one))
    table = read_many(one, np.array([(0.5, 0.0, 2.0), (2.5, 0.0, 2.0)]), CLIMBING)
    assert table.category.tolist() == [0, 1]
    silent = replace(one, structures=())
    assert read(silent, (0.5, 0.0, 2.0), CLIMBING).category is not None


@pytest.mark.parametrize(("x", "silent"), [(0.9, True), (5.0, False)])
def test_a_plan_for_any_place_near_the_pole_silences_it_and_no_other(
    x: float, *, silent: bool
) -> None:
    one = site(CLIMB)
    for area in (at_place((x, 0.0, 2.0), CLIMBING), in_box((x, -1.0, 0.0), (x + 90.0, 90.0, 3.0))):
        plan = power_plan(one, area, (Criterion("occupational"),))
        assert plan.best is not None
        assert (dict(plan.best.states).get("Stick", State()).factor == 0.0) is silent


def test_a_large_work_volume_about_the_pole_misses_it_nowhere() -> None:
    for y in (-49.3, -1.2, -0.6):
        work = Work(low=(-51.7, y, 0.0), high=(48.1, y + 50.4, 3.0))
        one = site(CLIMB)
        assert plan_entry(one, job(route=None, work=work)).verdict is Verdict.NO_CREDIT
    away = Work(low=(1.2, 1.2, 0.0), high=(90.0, 90.0, 3.0))
    assert plan_entry(site(CLIMB), job(route=None, work=away)).verdict is Verdict.NOT_NEEDED


def test_the_plan_silences_what_the_pole_carries() -> None:
    one = site(CLIMB)
    plan = job_plan(one, one.jobs[0])
    assert plan.best is not None
    states = dict(plan.best.states)
    assert states["Stick"].factor == 0.0
    locked = replace(one, antennas=(replace(one.antennas[0], state=State(Condition.LOCKED_OUT)),))
    assert plan_entry(locked, locked.jobs[0]).verdict is Verdict.NOT_NEEDED
    assert carrying_poles(locked) == ()


@pytest.mark.parametrize(
    ("pole", "more", "carries"),
    [
        (POLE, {}, True),
        (replace(POLE, kind="tower"), {}, True),
        # Lattices share the current among their legs.
        (replace(POLE, kind="tower", outline=((-0.5, -0.5), (0.5, -0.5), (0.0, 0.5))), {}, False),
        (replace(POLE, kind="wall", outline=((-0.05, 0.0), (0.05, 0.0))), {}, False),
        (POLE, {"position": (1.4, 0.0, 29.5)}, True),
        (POLE, {"position": (1.4, 0.0, 29.5), "frequency": 450e6}, False),
        (POLE, {"position": (0.5, 0.0, 32.0), "frequency": 450e6}, False),
        (POLE, {"kind": Dish(diameter=0.6), "frequency": 18e9}, False),
        (POLE, {"state": State(Condition.OFF)}, False),
        (POLE, {"state": State(Condition.UNKNOWN)}, True),
    ],
)
def test_which_poles_carry_a_wave(pole: Structure, more: dict[str, Any], *, carries: bool) -> None:
    kind = more.pop("kind", None) if "kind" in (more := dict(more)) else None
    one = site(CLIMB, pole, **more)
    if kind is not None:
        one = replace(one, antennas=(replace(one.antennas[0], kind=kind),))
    assert bool(carrying_poles(one)) is carries


def test_an_antenna_that_is_off_is_not_turned_on_beside_a_pole_in_the_area() -> None:
    """The main stays on air or its auxiliary does: that one would carry its wave down the pole."""
    body = STANDING
    main = emitter("Main", 4e4, position=(60.0, 0.0, 20.0))
    aux = emitter("Auxiliary", 1.0, position=(0.8, 0.0, 29.5), state=State(Condition.OFF))
    main = replace(main, allows=Allowance(touch=True))
    aux = replace(aux, allows=Allowance(touch=True, auxiliary_of="Main"))
    one = mast(main, aux, plan=job(route=PASS, work=None), structures=(POLE,))
    assert carrying_poles(one) == ()
    area = in_box((-1.0, -1.0, 0.0), (1.0, 1.0, 0.0), body)
    found = power_plan(one, area, (Criterion("public"),), others=0)
    if found.best is not None:
        after = found.best.applied(one)
        assert carrying_poles(after) == ()
        assert after.antenna("Auxiliary").state.factor == 0.0


@pytest.mark.parametrize(
    ("bays", "height", "carries"), [(1, 41.0, False), (8, 41.0, True), (8, 60.0, False)]
)
def test_the_metal_nearest_to_the_pole_counts_not_the_middle(
    bays: int, height: float, carries: bool
) -> None:
    """Eight bays at 98 MHz reach 11 m below their middle, to the top of a pole of 30 m."""
    kind = Stack(bay="vertical-dipole", bays=bays, design_frequency=98e6)
    one = emitter("FM", 10.0, position=(0.4, 0.0, height), kind=kind, frequency=98e6)
    assert bool(carrying_poles(mast(one, structures=(POLE,)))) is carries


def test_where_an_antenna_that_is_off_would_light_a_pole_there_is_no_figure_if_it_came_back() -> (
    None
):
    aux = emitter("Auxiliary", 1.0, position=(0.8, 0.0, 29.5), state=State(Condition.OFF))
    one = mast(aux, structures=(POLE,))
    beside, away = (read(one, (x, 0.0, 2.0)).if_back for x in (0.5, 20.0))
    assert beside is not None
    assert away is not None
    assert beside.reactive
    assert "no figure for this place" in beside.words("FCC")
    assert not away.reactive


def test_the_sheet_and_the_comparison_name_the_pole() -> None:
    for one, named in ((site(PASS), True), (site(PASS, None), False)):
        said = " ".join(text_of(briefing(plan_entry(one, one.jobs[0]))))
        assert ("a pole beside Stick carries the wave" in said) is named
        assert any("a pole beside Stick" in line for line in uncounted(one)) is named


def test_how_near_a_pole_is_to_places_and_to_bodies_between_heights() -> None:
    """A pole from 10 to 30 m, 0.1 m wide: a metre is too near, beside it, under it and over it."""
    (pole,) = carrying_poles(site(PASS, replace(POLE, base=10.0)))
    beside = np.array([[x, 0.0, 20.0] for x in (0.8, 1.0, 1.1, 1.3)])
    assert pole.near(beside).tolist() == [True, True, False, False]
    here = np.array([[0.35, 0.0, 0.0]])
    for low, high, reached in (
        (0.0, 9.5, True),
        (0.0, 8.5, False),
        (30.5, 32.0, True),
        (31.5, 33.0, False),
    ):
        assert pole.reaches(here, low, high) is reached, (low, high)
