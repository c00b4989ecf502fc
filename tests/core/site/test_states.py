"""Named states, what emitters allow, and antennas that share one place on the air."""

from __future__ import annotations

from dataclasses import replace

import pytest

from core.errors import InputError
from core.exposure.sources import sources
from core.reading.doubts import doubts
from core.site.allowance import UNSAID, Allowance
from core.site.pairs import contradictions, sharing
from core.site.site import Antenna, Site
from core.site.state import Condition, NamedState, State
from core.site.states import AS_BUILT, in_state, keep_state, put_in_force, with_states
from support.simple_sites import isotropic

ON, OFF, OUT = State(), State(Condition.OFF), State(Condition.LOCKED_OUT)


def antenna(name: str, state: State = ON, **allows: object) -> Antenna:
    one = replace(isotropic(name, 100e6, 100.0), state=state)
    return replace(one, allows=Allowance(**allows)) if allows else one  # type: ignore[arg-type]


def site(*antennas: Antenna, **more: object) -> Site:
    return Site(name="invented", antennas=antennas, **more)  # type: ignore[arg-type]


def lamp(*pairs: tuple[str, State]) -> NamedState:
    return NamedState(name="lamp", states=pairs)


def test_a_named_state_turns_down_what_it_names_and_nothing_else() -> None:
    one = site(antenna("a"), antenna("b"), states=(lamp(("b", State(Condition.REDUCED, 25.0))),))
    then = in_state(one, "lamp")
    assert [s.power for s in sources(one)] == pytest.approx([100.0, 100.0])
    assert [s.power for s in sources(then)] == pytest.approx([100.0, 25.0])
    assert replace(then, antennas=one.antennas) == one


def test_the_state_that_a_site_is_in_stands_beside_its_revision() -> None:
    one = site(antenna("a"), revision="C", states=(lamp(("a", OUT)),))
    assert (one.state_name, one.edition) == ("", "C")
    then = in_state(one, "lamp")
    assert (then.state_name, then.edition) == ("lamp", "C, state 'lamp'")
    # Changed by hand it is in that state no longer.
    assert with_states(then, {"a": State()}).edition == "C"
    assert replace(then, revision="").edition == "none, state 'lamp'"


def test_states_that_say_as_much_are_all_named() -> None:
    states = tuple(NamedState(name=n, states=(("a", OUT),)) for n in ("lamp", "night"))
    one = site(antenna("a"), antenna("b"), states=states)
    assert in_state(one, "night").edition == "none, state 'lamp = night'"
    fuller = replace(one, states=(*states, NamedState(name="all", states=(("a", OUT), ("b", OUT)))))
    assert with_states(fuller, {"a": OUT, "b": OUT}).state_name == "all"


@pytest.mark.parametrize(
    ("states", "asked", "words"),
    [
        ((), "lamp", ["'lamp'", "has none"]),
        ((lamp(("a", OUT)),), "lmap", ["'lmap'", "Use one of lamp"]),
        ((lamp(("gone", OUT)),), "lamp", ['states "lamp"', "'gone'", "not on the site"]),
    ],
)
def test_a_state_that_cannot_be_taken_is_one_error(
    states: tuple[NamedState, ...], asked: str, words: list[str]
) -> None:
    with pytest.raises(InputError) as caught:
        in_state(site(antenna("a"), states=states), asked)
    assert all(word in caught.value.line() for word in words)


def test_a_state_put_in_force_keeps_what_was_before_and_goes_back() -> None:
    one = site(antenna("a"), antenna("b", OFF))
    then = put_in_force(one, "lamp", {"a": OUT})
    assert then.state_name == "lamp"
    assert [a.state for a in then.antennas] == [OUT, OFF]
    assert in_state(then, AS_BUILT).antennas == one.antennas
    # A second plan leaves the first "as built" alone, and one of the same name is exchanged.
    again = put_in_force(then, "lamp", {"b": OUT})
    assert [s.name for s in again.states] == [AS_BUILT, "lamp"]
    assert in_state(again, AS_BUILT).antennas == one.antennas
    with pytest.raises(InputError, match="Use another"):
        put_in_force(one, AS_BUILT, {"a": OUT})
    with pytest.raises(InputError, match="not on the site"):
        put_in_force(one, "lamp", {"gone": OUT})


def test_a_state_without_antennas_or_with_one_twice_is_refused() -> None:
    for pairs in ((), (("a", OUT), ("a", OFF))):
        with pytest.raises(InputError):
            NamedState(name="lamp", states=pairs)
    with pytest.raises(InputError, match="lamp"):
        site(antenna("a"), states=(lamp(("a", OUT)), lamp(("a", OFF))))
    assert keep_state(keep_state(site(antenna("a")), "x", {"a": OUT}), "x", {"a": OFF}).states == (
        NamedState(name="x", states=(("a", OFF),)),
    )


def test_steps_stand_in_order_and_one_that_may_not_be_touched_has_none() -> None:
    assert Allowance(steps=(0.0, 50.0, 10.0)).steps == (50.0, 10.0, 0.0)
    assert Allowance(touch=False).steps == ()
    assert UNSAID.touch
    assert UNSAID.steps == (0.0,)


@pytest.mark.parametrize(
    ("allows", "words"),
    [
        ({"steps": (50.0, 50.0)}, "twice"),
        ({"steps": (100.0,)}, "100 %"),
        ({"steps": (-1.0,)}, "no step"),
        ({"steps": (float("nan"),)}, "no step"),
        ({"steps": ()}, "empty"),
        ({"touch": False, "steps": (50.0, 0.0)}, "may not be touched"),
        ({"steps": tuple(float(n) for n in range(21))}, "at most 20"),
    ],
)
def test_steps_that_make_no_sense_are_refused(allows: dict[str, object], words: str) -> None:
    with pytest.raises(InputError, match=words):
        Allowance(**allows)  # type: ignore[arg-type]


def test_a_main_and_its_auxiliaries_are_one_group() -> None:
    one = site(
        antenna("other"),
        antenna("aux 1", auxiliary_of="main"),
        antenna("main"),
        antenna("aux 2", auxiliary_of="main"),
    )
    assert sharing(one) == (("main", "aux 1", "aux 2"),)


@pytest.mark.parametrize(
    ("antennas", "words"),
    [
        ((antenna("a", auxiliary_of="gone"),), ["'gone'", "not on the site"]),
        ((antenna("a", auxiliary_of="a"),), ["itself"]),
        (
            (antenna("a"), antenna("b", auxiliary_of="a"), antenna("c", auxiliary_of="b")),
            ["'b'", "auxiliary too"],
        ),
        (
            (antenna("a", touch=False), antenna("b", touch=False, auxiliary_of="a")),
            ["'a'", "neither may be turned off"],
        ),
        (
            (antenna("a", steps=(50.0,)), antenna("b", steps=(10.0,), auxiliary_of="a")),
            ["neither may be turned off"],
        ),
        ((antenna("a", OUT, stays_on_air=True),), ["must stay on air", "it is off"]),
        (
            (
                antenna("a", OFF, stays_on_air=True),
                antenna("b", OFF, auxiliary_of="a"),
            ),
            ["must stay on air", "shares its place"],
        ),
    ],
)
def test_rules_that_contradict_each_other_are_one_error_and_a_doubt(
    antennas: tuple[Antenna, ...], words: list[str]
) -> None:
    one = site(*antennas)
    (error,) = contradictions(one)
    assert all(word in error.line() for word in words)
    assert sum(all(w in line for w in words) for line in doubts(one)) == 1


def test_rules_that_can_be_kept_are_no_doubt() -> None:
    one = site(
        antenna("main", stays_on_air=True),
        antenna("aux", OFF, auxiliary_of="main"),
        antenna("both on", touch=False),
        antenna("its aux", auxiliary_of="both on"),
        antenna("dark main", OUT, stays_on_air=True),
        antenna("its stand-in", auxiliary_of="dark main"),
    )
    assert list(contradictions(one)) == []


def test_a_state_that_names_a_lost_antenna_is_a_doubt() -> None:
    lines = doubts(site(antenna("a"), states=(lamp(("gone", OUT)),)))
    assert sum("'gone'" in line for line in lines) == 1
