"""Power plans: against all plans of small cases, against readings at many places, and the rules they keep."""

from __future__ import annotations

import itertools
from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from core.entry.areas import along, at_place, in_box, on_ladder, on_surface
from core.entry.criteria import Criterion
from core.entry.pieces import Area
from core.entry.plans import Plan
from core.entry.power_plan import PowerPlan, power_plan
from core.entry.steps import blocks, owner_of
from core.errors import InputError
from core.exposure.batch import read_many
from core.exposure.sources import sources
from core.exposure.totals import exposure
from core.files.site_file import load_site
from core.limits.tier import Tier
from core.site.allowance import Allowance
from core.site.places import Ladder
from core.site.site import Antenna, Site
from core.site.state import Condition, State
from core.site.states import with_states
from core.views.body import CLIMBING, POINT, STANDING
from support.invented_antennas import sector, stick, yagi
from support.places import DEMOS
from support.simple_sites import FREE, ground, isotropic

TOWER = DEMOS / "cold-ridge-tower" / "cold-ridge-tower.json"
OUT, OFF = State(Condition.LOCKED_OUT), State(Condition.OFF)
LADDER = Ladder(name="Ladder", points=((0.0, 0.0, 0.0), (0.0, 0.0, 20.0)))
OCCUPATIONAL = Criterion("occupational")


def emitter(
    name: str,
    watts: float,
    at: tuple[float, float, float],
    *,
    owner: str = "",
    state: State | None = None,
    megahertz: float = 100.0,
    **allows: Any,
) -> Antenna:
    one = isotropic(name, megahertz * 1e6, watts, at)
    allowed = Allowance(**allows) if allows else None
    return replace(one, owner=owner, allows=allowed, state=state or one.state, contact="555-0100")


def site(*antennas: Antenna, **more: Any) -> Site:
    settings: dict[str, Any] = {"reflection": FREE, "ladders": (LADDER,)} | more
    return Site(name="invented", antennas=antennas, **settings)


def names(plan: Plan) -> dict[str, str]:
    return {s.antenna: s.after.words for s in plan.steps}


def total(one: Site, points: Any, tier: Tier = "occupational") -> Any:
    found = exposure(one, np.asarray(points, dtype=np.float64), POINT)
    return np.where(found.reactive, np.inf, found.of(tier).total)


def invented(seed: int, count: int) -> Site:
    """A mast with a few sticks, panels and Yagis beside its ladder, in groups of owners and with odd rules."""
    rng = np.random.default_rng(seed)
    antennas = []
    for i in range(count):
        offer = (stick, sector, yagi)[i % 3](rng)
        made = emitter(
            f"e{i}",
            1.0,
            (float(rng.uniform(1.0, 3.0)), float(rng.uniform(-2.0, 2.0)), float(rng.uniform(3.0, 17.0))),
            owner=f"owner {rng.integers(0, 3)}",
            steps=tuple(sorted(rng.choice([60.0, 40.0, 20.0, 10.0, 0.0], 2, replace=False).tolist())),
        )  # fmt: skip
        carrier = replace(
            made.carriers[0],
            frequency=offer.frequencies[0],
            power=replace(
                made.carriers[0].power, eirp=None, transmitter=float(rng.uniform(20, 400))
            ),
        )
        antennas.append(replace(made, kind=offer.kind, carriers=(carrier,), azimuth=180.0))
    return site(*antennas)


@pytest.mark.parametrize("seed", range(10))
def test_no_plan_of_a_small_site_is_less_than_the_one_found(seed: int) -> None:
    one = invented(seed, 5)
    area = on_ladder(LADDER, (2.0, 18.0))
    found = power_plan(one, area, (OCCUPATIONAL,), others=0)
    points = area.samples(1200, 0.01)
    choices = blocks(one, sources(one))
    # Totals of every emitter at each of its states, once: what a plan makes is their sum.
    alone = [[total(with_states(one, {a.name: OUT for a in one.antennas} | dict(o.states)), points)
              for o in block] for block in choices]  # fmt: skip
    best = None
    for picks in itertools.product(*(range(len(b)) for b in choices)):
        if sum(alone[b][o] for b, o in enumerate(picks)).max() <= 1.0:
            chosen = [choices[b][o] for b, o in enumerate(picks)]
            touched = sum(len(o.steps) for o in chosen)
            owners = len({n for o in chosen for n in o.owners})
            cost = (touched, owners, round(sum(o.lost for o in chosen), 6))
            best = cost if best is None else min(best, cost)
    if best is None:
        assert found.best is None
        return
    assert found.best is not None
    assert found.least is not None
    assert found.least.exact
    cost = len(found.best.steps), len(found.best.owners), found.best.lost
    assert cost == pytest.approx(best, rel=1e-6)
    assert (found.least.touched, found.least.owners, found.least.lost) == pytest.approx(cost)


def all_places_meet(one: Site, found: PowerPlan, points: Any, body: Any, target: float) -> None:
    assert found.best is not None
    batch = read_many(found.best.applied(one), np.asarray(points, dtype=np.float64), body)
    assert not batch.reactive.any()
    assert batch.occupational.max() <= target


@pytest.mark.parametrize("seed", [1, 4])
def test_a_reading_meets_the_target_at_ten_thousand_places_of_a_ladder(seed: int) -> None:
    one = invented(seed, 4)
    found = power_plan(one, on_ladder(LADDER, (2.0, 18.0)), (Criterion("occupational", 80.0, 1.0),))
    heights = np.random.default_rng(seed).uniform(1.0, 19.0, 10_000)
    points = np.column_stack([np.zeros_like(heights), np.zeros_like(heights), heights])
    assert found.before > 1.0
    all_places_meet(one, found, points, POINT, 0.8 * 10.0**-0.1)
    if found.others:
        assert found.best is not None
        for other in found.others:
            assert len(other.steps) >= len(found.best.steps)
            assert set(names(other)) != set(names(found.best))
            worst = total(other.applied(one), points).max()
            assert worst <= 0.8 * 10.0**-0.1


def test_a_reading_meets_the_target_at_ten_thousand_places_of_a_roof_and_of_a_box() -> None:
    one = site(
        emitter("near", 300.0, (2.0, 2.0, 1.5), steps=(50.0, 20.0, 5.0, 1.0, 0.0)),
        emitter("far", 900.0, (14.0, 2.0, 3.0), steps=(10.0, 0.0)),
        surfaces=(ground(30.0),),
    )
    target = Criterion("occupational", 60.0)
    rng = np.random.default_rng(3)
    region = (2.5, 0.0, 9.0, 6.0)
    found = power_plan(one, on_surface(one, "ground", region), (target,))
    assert found.best is not None
    assert found.best.steps
    xy = rng.uniform(region[:2], region[2:], (10_000, 2))
    all_places_meet(one, found, np.column_stack([xy, np.zeros(len(xy))]), STANDING, 0.6)
    low, high = (3.0, 1.0, 0.5), (6.0, 3.0, 4.0)
    found = power_plan(one, in_box(low, high), (target,))
    all_places_meet(one, found, rng.uniform(low, high, (10_000, 3)), POINT, 0.6)
    way = ((3.0, 0.0, 0.0), (5.0, 4.0, 1.0), (8.0, 4.0, 1.0))
    found = power_plan(one, along(way, STANDING, "a walk"), (target,))
    leg, part = rng.integers(0, 2, 10_000), rng.random((10_000, 1))
    corners = np.array(way)
    points = corners[leg] + part * (corners[leg + 1] - corners[leg])
    points[:, 2] += rng.uniform(0.0, 2.0, len(points))
    all_places_meet(one, found, points, POINT, 0.6)


def test_a_place_that_needs_nothing_has_an_empty_plan() -> None:
    one = site(
        emitter("far", 1.0, (50.0, 0.0, 5.0)), emitter("dark", 1e4, (1.0, 0.0, 5.0), state=OFF)
    )
    found = power_plan(one, at_place((0.0, 0.0, 5.0), CLIMBING), (OCCUPATIONAL,))
    assert found.meets
    assert found.best is not None
    assert found.best.steps == ()
    assert found.others == ()
    # What is merely off is counted as silent, and so has to be locked out.
    assert [(s.antenna, s.after) for s in found.best.locks] == [("dark", OUT)]


def test_fewest_emitters_then_fewest_owners_then_least_power() -> None:
    strong = {"steps": (0.0,)}
    # One strong emitter of its own owner, or two weaker ones: one is touched, whatever is lost.
    one = site(
        emitter("strong", 4000.0, (6.0, 0.0, 5.0), owner="a", **strong),
        emitter("weak 1", 2200.0, (0.0, 6.0, 5.0), owner="b", **strong),
        emitter("weak 2", 2200.0, (0.0, -6.0, 5.0), owner="b", **strong),
    )
    area = at_place((0.0, 0.0, 5.0), POINT)
    whole = float(total(one, [[0.0, 0.0, 5.0]])[0])
    found = power_plan(one, area, (Criterion("occupational", 55.0 * whole),), others=2)
    assert found.best is not None
    assert names(found.best) == {"strong": "locked out"}
    assert [set(names(p)) for p in found.others] == [{"weak 1", "weak 2"}]
    # Two have to go: both of one owner, although a third would lose less.
    two = site(
        emitter("a", 1000.0, (6.0, 0.0, 5.0), owner="x", **strong),
        emitter("b", 1000.0, (0.0, 6.0, 5.0), owner="y", **strong),
        emitter("c", 1000.0, (0.0, -6.0, 5.0), owner="x", **strong),
        emitter("d", 900.0, (-6.0, 0.0, 5.0), owner="z", **strong),
    )
    whole = float(total(two, [[0.0, 0.0, 5.0]])[0])
    found = power_plan(two, area, (Criterion("occupational", 52.0 * whole),), others=0)
    assert found.best is not None
    assert names(found.best) == {"a": "locked out", "c": "locked out"}
    # One of two alike has to go: the one that loses less, to the highest step that does.
    steps = {"steps": (75.0, 50.0, 25.0, 0.0)}
    three = site(
        emitter("more", 1000.0, (6.0, 0.0, 5.0), **steps),
        emitter("less", 1000.0, (0.0, 6.0, 5.0), **steps),
    )
    whole = float(total(three, [[0.0, 0.0, 5.0]])[0])
    found = power_plan(three, area, (Criterion("occupational", 80.0 * whole),), others=0)
    assert found.best is not None
    assert list(names(found.best).values()) == ["reduced to 50 %"]


def test_an_auxiliary_takes_over_where_the_main_must_stay_on_air() -> None:
    main = emitter("main", 3000.0, (2.0, 0.0, 5.0), steps=(50.0, 0.0), stays_on_air=True)
    aux = emitter("aux", 500.0, (2.0, 0.0, 18.0), state=OFF, steps=(20.0, 0.0), auxiliary_of="main")
    area = at_place((0.0, 0.0, 5.0), CLIMBING)
    found = power_plan(site(main, aux), area, (OCCUPATIONAL,))
    assert found.best is not None
    assert names(found.best) == {"main": "locked out", "aux": "on"}
    assert found.best.locks == ()
    # Where both would radiate, one is locked out, although the place would meet its target.
    far = at_place((0.0, 40.0, 5.0), CLIMBING)
    found = power_plan(
        site(main, replace(aux, state=State(Condition.STANDBY))), far, (OCCUPATIONAL,)
    )
    assert found.best is not None
    assert names(found.best) == {"aux": "locked out"}
    # One that somebody has locked out is not turned on.
    found = power_plan(site(main, replace(aux, state=OUT)), area, (OCCUPATIONAL,))
    assert found.best is None
    assert "main must stay on air" in (found.change.broken if found.change else ())


def test_why_there_is_no_plan_names_the_rules_in_the_way() -> None:
    one = site(
        emitter("fixed", 3000.0, (2.0, 0.0, 5.0), touch=False),
        emitter("steps only", 3000.0, (2.0, 0.0, 15.0), steps=(50.0,)),
        emitter("free", 3000.0, (-2.0, 0.0, 10.0)),
    )
    found = power_plan(one, on_ladder(LADDER), (OCCUPATIONAL,))
    assert found.best is None
    assert not found.meets
    assert "fixed" in found.reason or "steps only" in found.reason
    assert found.change is not None
    assert set(found.change.broken) == {
        "fixed may not be touched",
        "steps only cannot be locked out",
    }
    assert set(names(found.change)) == {"fixed", "steps only", "free"}
    points = np.column_stack([np.zeros((2000, 2)), np.linspace(-1.0, 21.0, 2000)])
    assert total(found.change.applied(one), points).max() <= 1.0


def test_ratings_divide_what_counts_and_a_reactive_place_is_never_within_one() -> None:
    one = site(emitter("fm", 3000.0, (2.0, 0.0, 5.0), steps=(50.0, 10.0, 0.0)))
    area = at_place((0.0, 0.0, 5.0), CLIMBING)
    bare = power_plan(one, area, (OCCUPATIONAL,))
    rated = Criterion("occupational", ratings={"fm: only": 10.0})
    worn = power_plan(one, area, (rated,))
    assert worn.before == pytest.approx(bare.before / 10.0, rel=1e-9)
    assert worn.best is not None
    assert bare.best is not None
    assert len(worn.best.steps) <= len(bare.best.steps)
    # Both criteria together: the stricter decides.
    both = power_plan(one, area, (rated, OCCUPATIONAL))
    assert both.best is not None
    assert names(both.best) == names(bare.best)
    beside = at_place((2.0, 0.0, 5.0), CLIMBING)
    endless = Criterion("occupational", ratings={"fm: only": 1e9})
    touching = power_plan(one, beside, (endless,))
    assert touching.best is not None
    assert names(touching.best) == {"fm": "locked out"}


def test_an_emitter_that_must_be_silent_is_locked_out_even_if_it_is_weak() -> None:
    one = site(emitter("weak", 1.0, (50.0, 0.0, 5.0)), emitter("other", 1.0, (50.0, 5.0, 5.0)))
    area = at_place((0.0, 0.0, 5.0), CLIMBING)
    found = power_plan(one, area, (OCCUPATIONAL,), silent=frozenset({"weak"}))
    assert found.best is not None
    assert names(found.best) == {"weak": "locked out"}
    with pytest.raises(InputError, match="gone"):
        power_plan(one, area, (OCCUPATIONAL,), silent=frozenset({"gone"}))


def test_rules_that_contradict_each_other_are_one_error() -> None:
    both = (
        emitter("a", 10.0, (2.0, 0.0, 5.0), touch=False),
        emitter("b", 10.0, (2.0, 0.0, 9.0), touch=False, auxiliary_of="a"),
    )
    with pytest.raises(InputError, match="neither may be turned off"):
        power_plan(site(*both), on_ladder(LADDER), (OCCUPATIONAL,))
    lost = emitter("b", 10.0, (2.0, 0.0, 9.0), auxiliary_of="gone")
    with pytest.raises(InputError, match="'gone', which is not on the site"):
        power_plan(site(lost), on_ladder(LADDER), (OCCUPATIONAL,))


@pytest.mark.parametrize(
    ("make", "words"),
    [
        (lambda: on_ladder(LADDER, (5.0, 30.0)), "is not on Ladder"),
        (lambda: on_ladder(LADDER, (9.0, 5.0)), "is not on Ladder"),
        (lambda: on_surface(site(), "roof"), "no surface is called"),
        (
            lambda: on_surface(site(surfaces=(ground(5.0),)), "ground", (9, 9, 12, 12)),
            "has nothing",
        ),
        (lambda: on_surface(site(surfaces=(ground(5.0),)), "ground", (3, 3, 1, 4)), "is empty"),
        (lambda: in_box((0.0, 0.0, 5.0), (1.0, 1.0, 4.0)), "wrong way round"),
        (lambda: along((), STANDING, "nowhere"), "no point"),
        (lambda: at_place((0, 0, 0), replace(STANDING, average=True)), "is not planned for"),
        (lambda: Criterion("occupational", 0.0), "no target"),
        (lambda: Criterion("occupational", 100.0, -1.0), "margin"),
        (lambda: Criterion("occupational", ratings={"a: b": 0.5}), "no rating"),
    ],
)
def test_what_cannot_be_planned_for_is_one_error(make: Any, words: str) -> None:
    with pytest.raises(InputError, match=words):
        make()


def thin(kind: str) -> Area:
    """Areas that are thin in one way or another, all about the same place."""
    surface = site(surfaces=(ground(5.0),))
    return {
        "place": lambda: at_place((0.0, 0.0, 4.0), CLIMBING),
        "point": lambda: at_place((0.0, 0.0, 5.0), POINT),
        "pole": lambda: in_box((0.0, 0.0, 3.0), (0.0, 0.0, 5.0)),
        "wall": lambda: in_box((0.0, -1.0, 3.0), (0.0, 1.0, 5.0)),
        "plate": lambda: in_box((-1.0, -1.0, 5.0), (1.0, 1.0, 5.0)),
        "chimney": lambda: in_box((-0.1, -0.1, 3.0), (0.1, 0.1, 9.0)),
        "lean": lambda: on_ladder(Ladder(name="lean", points=((0.0, 0.0, 0.0), (1.0, 0.0, 9.0)))),
        "strip": lambda: on_surface(surface, "ground", (-0.5, -0.01, 0.5, 0.01)),
    }[kind]()


@pytest.mark.parametrize(
    "kind", ["place", "point", "pole", "wall", "plate", "chimney", "lean", "strip"]
)
def test_areas_of_every_shape_are_proven_and_met(kind: str) -> None:
    one = site(
        emitter("e", 2000.0, (3.0, 0.0, 5.0), steps=tuple(float(n) for n in range(0, 95, 5)))
    )
    area = thin(kind)
    found = power_plan(one, area, (OCCUPATIONAL,))
    assert found.best is not None
    points = area.samples(3000, 0.005)
    assert total(found.best.applied(one), points).max() <= 1.0
    # One step more would have been too much.
    (step,) = found.best.steps
    higher = min(100.0, 100.0 * step.factor + 5.0)
    more = with_states(one, {"e": State(Condition.REDUCED, higher)})
    assert total(more, points).max() > 0.999


def test_the_demo_tower_has_a_plan_for_its_lamp_in_a_garment() -> None:
    tower = load_site(TOWER)
    area = on_ladder(tower.ladders[0], (100.0, 149.0))
    found = power_plan(tower, area, (Criterion("occupational", 800.0),), others=1)
    assert found.before > 1e5
    assert found.best is not None
    assert names(found.best) == {"UHF television": "locked out", "FM main": "reduced to 25 %"}
    assert found.least is not None
    assert found.least.exact
    assert {owner_of(tower.antenna(s.antenna)) for s in found.best.steps} == set(found.best.owners)
