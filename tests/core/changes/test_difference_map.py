"""The difference map: exactly the share of what changed, the same cells for both states, layers computed once."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from core.antennas.dish import Dish
from core.changes.difference_map import LEAST, change_map
from core.exposure.raster import LayerCache, raster
from core.files.site_file import load_site
from core.limits.tier import TIERS
from core.site.site import Antenna, Carrier, Condition, Power, Site, State
from core.units import from_db
from core.views.body import POINT
from core.views.defaults import default_elevation, default_plan
from core.views.views import Height, PlanView
from support.changed import raised, with_antenna, yard
from support.places import DEMOS
from support.simple_sites import isotropic

SHAPE = (24, 24)
VIEW = PlanView((-20.0, -20.0, 20.0, 20.0), Height(1.0), POINT)


def pair() -> Site:
    """Two sources, neither of them reactive on the plan."""
    others = (
        isotropic("east", 900e6, 150.0, (8.0, 3.0, 6.0)),
        isotropic("south", 2.1e9, 60.0, (0.0, -9.0, 5.0)),
    )
    return replace(yard(300.0), antennas=(yard(300.0).antennas[0], *others))  # fmt: skip


@pytest.mark.parametrize("tier", TIERS)
@pytest.mark.parametrize("name", ["north", "east", "south"])
def test_three_decibels_on_one_antenna_add_its_layer_s_share_exactly(name: str, tier: str) -> None:
    before = pair()
    factor = from_db(3.0)
    found = change_map(before, raised(before, name, factor), VIEW, SHAPE)
    alone = replace(before, antennas=(before.antenna(name),))
    share = raster(alone, VIEW, SHAPE).of(tier).astype(np.float64)
    whole = found.before.of(tier).astype(np.float64)
    added = (factor - 1.0) * share
    # Layers are float32: of a total, a few units of its last place are lost.
    assert np.abs(found.points(tier) - 100.0 * added).max() < 4e-7 * 100.0 * whole.max()
    assert np.allclose(found.decibels(tier), 10.0 * np.log10(1.0 + added / whole), atol=5e-6)
    assert found.points(tier).min() > 0.0


def test_where_one_antenna_is_all_there_is_three_decibels_are_three() -> None:
    site = yard(300.0)
    found = change_map(site, raised(site, "north", from_db(3.0)), VIEW, SHAPE)
    assert np.allclose(found.decibels("public"), 3.0, atol=5e-6)


def test_turned_round_the_difference_is_turned_round() -> None:
    before = pair()
    after = with_antenna(before, "east", lambda a: replace(a, position=(3.0, 3.0, 5.0), tilt=4.0))
    one, other = change_map(before, after, VIEW, SHAPE), change_map(after, before, VIEW, SHAPE)
    for tier in TIERS:
        assert np.array_equal(one.points(tier), -other.points(tier))
        assert np.allclose(one.decibels(tier), -other.decibels(tier), atol=1e-12)


def test_a_state_against_itself_differs_nowhere(demo: Site) -> None:
    found = change_map(demo, demo, default_plan(demo), (12, 12))
    for tier in TIERS:
        assert not found.points(tier).any()
        assert not found.decibels(tier).any()


def test_from_nothing_and_to_nothing_is_infinite_and_nothing_at_all_is_none() -> None:
    silent = with_antenna(yard(), "north", lambda a: replace(a, state=State(Condition.LOCKED_OUT)))
    up = change_map(silent, yard(), VIEW, (5, 5)).decibels("public")
    assert np.isposinf(up).all()
    assert np.isneginf(change_map(yard(), silent, VIEW, (5, 5)).decibels("public")).all()
    assert not change_map(silent, silent, VIEW, (5, 5)).decibels("public").any()


def test_slight_is_under_a_hundredth_of_the_limit_in_both_states() -> None:
    weak, strong = yard(0.1), yard(400.0)
    found = change_map(weak, strong, VIEW, SHAPE)
    was, now = found.before.public, found.after.public
    assert (was < LEAST).any()
    assert np.array_equal(found.slight("public"), (was < LEAST) & (now < LEAST))


def dish_site(diameter: float) -> Site:
    dish = Antenna(
        name="link", kind=Dish(diameter=diameter), position=(0.0, 0.0, 1.2), tilt=0.0,
        carriers=(Carrier(name="c", frequency=60e9, power=Power(transmitter=0.5)),),
    )  # fmt: skip
    return replace(yard(50.0), antennas=(*yard(50.0).antennas, dish))


@pytest.mark.parametrize("upright", [False, True])
def test_a_narrow_beam_in_one_state_gives_both_the_same_cells(upright: bool) -> None:
    plain, narrow = yard(50.0), dish_site(0.12)
    view = default_elevation(plain) if upright else default_plan(plain)
    view = replace(view, up=(0.0, 6.0)) if upright else view  # type: ignore[call-arg]
    found = change_map(plain, narrow, view, (10, 10))
    assert found.before.public.shape == found.after.public.shape
    assert found.before.bounds == found.after.bounds
    back = change_map(narrow, plain, view, (10, 10))
    assert np.array_equal(back.points("public"), -found.points("public"))


def test_layers_of_what_did_not_change_are_computed_once() -> None:
    path = DEMOS / "cold-ridge-tower" / "cold-ridge-tower.json"
    before, again = load_site(path), load_site(path)
    after = with_antenna(again, "FM main", lambda a: replace(a, tilt=2.0))
    cache = LayerCache(100_000_000)
    change_map(before, after, default_elevation(before), (8, 8), cache)
    radiating = sum(a.state.factor > 0 for a in before.antennas)
    assert cache.computed == radiating + 1


def test_inside_a_reactive_region_there_is_no_difference() -> None:
    tower = load_site(DEMOS / "cold-ridge-tower" / "cold-ridge-tower.json")
    off = with_antenna(tower, "FM main", lambda a: replace(a, state=State(Condition.LOCKED_OUT)))
    view = replace(default_elevation(tower), along=(-4.0, 4.0), up=(104.0, 120.0))
    found = change_map(off, tower, view, (60, 40))
    assert found.after.reactive.sum() > found.before.reactive.sum()
    assert np.array_equal(found.no_figure, found.before.reactive | found.after.reactive)
