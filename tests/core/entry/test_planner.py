"""How plans become proven: what the samples miss the search finds, what it cannot decide is passed over and said."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from core.entry import planner
from core.entry.areas import on_ladder
from core.entry.criteria import Criterion
from core.entry.lock_list import as_text
from core.entry.power_plan import power_plan
from core.entry.proving import Proof
from core.entry.steps import blocks
from core.exposure.sources import sources
from core.exposure.totals import exposure
from core.site.allowance import Allowance
from core.site.places import Ladder
from core.site.site import Antenna, Site
from core.site.state import Condition, State
from core.views.body import POINT
from support.simple_sites import FREE, isotropic

LADDER = Ladder(name="Ladder", points=((0.0, 0.0, 0.0), (0.0, 0.0, 40.0)))
TARGET = (Criterion("occupational"),)


def emitter(name: str, watts: float, height: float, *steps: float, **more: Any) -> Antenna:
    one = isotropic(name, 450e6, watts, (1.5, 0.0, height))
    return replace(one, allows=Allowance(steps=steps), **more)


def site(*antennas: Antenna) -> Site:
    return Site(name="invented", antennas=antennas, reflection=FREE, ladders=(LADDER,))


MAST = site(
    emitter("low", 2000.0, 9.3, 60.0, 20.0, 5.0, 0.0),
    emitter("middle", 900.0, 17.7, 50.0, 25.0, 0.0),
    emitter("high", 1500.0, 31.1, 30.0, 10.0, 0.0),
)


def test_a_plan_on_two_samples_ends_where_one_on_all_of_them_does(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    area = on_ladder(LADDER)
    usual = power_plan(MAST, area, TARGET, others=0)
    monkeypatch.setattr(planner, "_FINEST", 500.0)
    assert len(area.samples(3000, 500.0)) == 2
    blind = power_plan(MAST, area, TARGET, others=0)
    assert usual.best is not None
    assert blind.best is not None
    assert blind.least is not None
    assert blind.before < 1.0 < usual.before
    assert blind.least.rounds > 1
    assert blind.best.states == usual.best.states
    assert blind.best.lost == usual.best.lost
    heights = np.linspace(-1.0, 41.0, 10_000)
    points = np.column_stack([np.zeros((10_000, 2)), heights])
    assert exposure(blind.best.applied(MAST), points, POINT).occupational.total.max() <= 1.0


def test_what_can_be_neither_proven_nor_refuted_is_passed_over_and_said(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    area = on_ladder(LADDER)
    first = power_plan(MAST, area, TARGET, others=0)
    real = planner.prove
    calls: list[Site] = []

    def prove(one: Site, *args: Any, **more: Any) -> Proof:
        calls.append(one)
        return Proof(False, np.zeros((0, 3)), True) if len(calls) == 1 else real(one, *args, **more)

    monkeypatch.setattr(planner, "prove", prove)
    second = power_plan(MAST, area, TARGET, others=0)
    assert first.best is not None
    assert first.least is not None
    assert second.best is not None
    assert second.least is not None
    assert first.least.exact
    assert not second.least.exact
    assert second.least.passed == 1
    # Something is lower than in the plan that was passed over, and what is lost is more.
    before, after = (
        [a.state.factor for a in plan.applied(MAST).antennas] for plan in (first.best, second.best)
    )
    assert any(b < a for a, b in zip(before, after, strict=True))
    assert second.best.lost > first.best.lost
    assert "NOT PROVEN to be the least" in as_text(MAST, second)
    assert "1 plan was passed over" in as_text(MAST, second)


def test_an_emitter_is_never_turned_up_and_what_is_off_stays_off() -> None:
    reduced = State(Condition.REDUCED, 40.0)
    one = site(
        emitter("reduced", 10.0, 5.0, 75.0, 40.0, 20.0, 0.0, state=reduced),
        emitter("off", 10.0, 9.0, 50.0, 0.0, state=State(Condition.OFF)),
    )
    first, second = blocks(one, sources(one))
    assert [o.states[0][1].words for o in first] == [
        "reduced to 40 %",
        "reduced to 20 %",
        "locked out",
    ]
    assert [o.states[0][1].words for o in second] == ["off"]
    assert [o.lost for o in first] == pytest.approx([0.0, 2.0, 4.0])


BLIND = 0.9
"""Part of the target from which on the search below decides nothing."""


def half_blind(calls: list[int]) -> Any:
    """Return a search that can prove nothing where an emitter among many is nearly over."""
    real = planner.prove

    def prove(one: Site, used: Any, area: Any, *args: Any, **more: Any) -> Proof:
        calls.append(1)
        points = area.samples(3000, 0.1)
        totals = exposure(one, points, POINT).occupational.total
        if totals.max() > BLIND:
            return Proof(False, points[[int(totals.argmax())]])
        return real(one, used, area, *args, **more)

    return prove


MANY = site(
    *(
        emitter(f"e{i}", 300.0 + 11.0 * i, 20.0 + 0.1 * i, *np.linspace(95.0, 5.0, 10), 0.0)
        for i in range(4)
    )
)


def test_a_place_that_no_search_can_decide_costs_few_rounds(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    calls: list[int] = []
    exact = power_plan(MANY, on_ladder(LADDER), TARGET, others=0)
    monkeypatch.setattr(planner, "prove", half_blind(calls))
    found = power_plan(MANY, on_ladder(LADDER), TARGET, others=0)
    assert exact.best is not None
    assert exact.least is not None
    assert exact.least.exact
    assert found.best is not None
    assert found.least is not None
    # Each plan that is refused may make a fiftieth less: from 1 to 0.9 that is six of them, each tried three times.
    assert 0 < found.least.passed <= 8
    assert len(calls) <= 30
    assert found.best.highest <= BLIND
    assert not found.least.exact
    assert found.best.lost >= exact.best.lost
    # What was passed over may be less than what was found: the bound is of all plans.
    bound = found.least.touched, found.least.owners, found.least.lost
    true = exact.least.touched, exact.least.owners, exact.least.lost
    assert bound <= true
    assert "NOT PROVEN to be the least" in as_text(MANY, found)


def test_a_next_best_plan_that_cannot_be_decided_takes_nothing_away(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    real = planner.prove
    calls: list[int] = []

    def prove(*args: Any, **more: Any) -> Proof:
        calls.append(1)
        return real(*args, **more) if len(calls) == 1 else Proof(False, np.zeros((0, 3)))

    monkeypatch.setattr(planner, "prove", prove)
    monkeypatch.setattr(planner, "_ROUNDS", 5)
    found = power_plan(MANY, on_ladder(LADDER), [Criterion("occupational", 900.0)], others=2)
    assert found.meets
    assert found.least is not None
    assert found.least.exact
    assert found.others == ()
    assert len(calls) > 1
