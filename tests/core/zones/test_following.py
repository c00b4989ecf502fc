"""Zones from kept bounds are as sound as fresh ones, whatever was changed, and say how loose they are."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest
import shapely
from bench.escapes import hold_followed

from core import caches
from core.proof.assess import Assessor
from core.proof.tolerance import Ceiling
from core.site.reflection import BY_SURFACES
from core.site.site import Condition, Site, State
from core.views.body import POINT, STANDING, Body
from core.views.views import ON_SURFACE, Height, PlanView, View
from core.zones.following import follow, keep, remember
from core.zones.site_zones import SiteZones, site_zones
from core.zones.steps import Step, step_asked
from support.generated_sites import MEAN, Look, Subject, generated
from support.simple_sites import FREE, ground, isotropic
from support.surveyed import measured, with_readings

QUICK = Ceiling(seconds=5.0, cells=3000)
STEPS = (step_asked("public", 1.0), step_asked("occupational", 1.0))
VIEW = PlanView((-30.0, -30.0, 30.0, 30.0), Height(1.5), POINT)


@pytest.fixture(autouse=True)
def _nothing_kept() -> None:
    caches.SHARED.clear()


def pair() -> Site:
    """Two sources over level ground, nothing reflected."""
    return Site(
        name="s",
        antennas=(
            isotropic("one", 900e6, 4000.0, (-6.0, 0.0, 6.0)),
            isotropic("two", 400e6, 2000.0, (8.0, 3.0, 5.0)),
        ),
        surfaces=(ground(),),
        reflection=FREE,
        limit_set="FCC",
    )


def first_look(site: Site, view: View = VIEW, steps: tuple[Step, ...] = STEPS) -> SiteZones:
    found = follow(site, view, steps)
    assert found is not None
    return found


def with_state(site: Site, state: State) -> Site:
    return replace(site, antennas=(replace(site.antennas[0], state=state), *site.antennas[1:]))


@pytest.mark.parametrize(("key", "i"), [("one-mast", 0), ("dishes", 1)])
def test_no_place_outside_is_over_after_random_changes(
    key: str, i: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    hold_all(generated(key), i, monkeypatch)


@pytest.mark.parametrize("body", [STANDING, MEAN])
def test_nor_is_one_for_whole_columns_on_walking_surfaces(
    body: Body, monkeypatch: pytest.MonkeyPatch
) -> None:
    view = PlanView((-30.0, -30.0, 30.0, 30.0), ON_SURFACE, body)
    look = Look(view, (("public", 1.0), ("occupational", 1.0)))
    site = replace(pair(), reflection=BY_SURFACES, limit_set="ICNIRP2020")
    hold_all(Subject(site, (look,)), 0, monkeypatch)


def hold_all(subject: Subject, i: int, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("bench.escapes._KEPT", Ceiling(seconds=5.0, cells=1500))
    tried = list(hold_followed(subject, subject.looks[i], 2000, np.random.default_rng(8), 3))
    assert tried
    for _, _, held in tried:
        for one in held:
            assert not one.escaped, (one.anywhere, one.near)


def test_nothing_is_followed_before_bounds_are_kept_nor_where_readings_raise_the_figures() -> None:
    assert follow(pair(), VIEW, STEPS) is None
    keep(pair(), VIEW, STEPS, ceiling=QUICK)
    assert follow(pair(), VIEW, STEPS) is not None
    raised = with_readings(
        pair(), measured(100.0, states=tuple((a.name, State()) for a in pair().antennas))
    )
    assert follow(raised, VIEW, STEPS) is None


def test_a_first_look_holds_the_fresh_zone_and_says_how_much_larger_it_may_be() -> None:
    site = pair()
    keep(site, VIEW, STEPS, ceiling=QUICK)
    quieter = with_state(site, State(Condition.REDUCED, 40.0))
    fresh = site_zones(quieter, VIEW, steps=STEPS)
    for (_, rough), (_, tight) in zip(first_look(quieter).zones, fresh.zones, strict=True):
        assert tight.region.difference(rough.region).area < 0.01 * tight.area
        assert tight.area < rough.area < 1.25 * tight.area
        assert not rough.complete
        told = float(rough.message.split("up to ")[1].split(" m²")[0])
        assert told >= 0.99 * (rough.area - tight.area)


def test_an_emitter_that_is_off_leaves_no_zone_and_one_far_stronger_is_not_followed() -> None:
    site = pair()
    keep(site, VIEW, STEPS, ceiling=QUICK)
    off = replace(
        site, antennas=tuple(replace(a, state=State(Condition.OFF)) for a in site.antennas)
    )
    assert all(zone.region.is_empty for _, zone in first_look(off).zones)
    carrier = site.antennas[0].carriers[0]
    loud = replace(carrier, power=replace(carrier.power, eirp=4e7))
    louder = replace(site, antennas=(replace(site.antennas[0], carriers=(loud,)), site.antennas[1]))
    assert follow(louder, VIEW, STEPS) is None


def test_a_moved_emitter_is_renewed_alone(monkeypatch: pytest.MonkeyPatch) -> None:
    site = pair()
    keep(site, VIEW, STEPS, ceiling=QUICK)
    moved = replace(site.antennas[1], position=(8.0, -9.0, 4.0))
    after = replace(site, antennas=(site.antennas[0], moved))
    seen: list[int] = []
    whole = Assessor.majorants

    def noted(self: Assessor, *args: Any) -> Any:
        seen.extend(np.unique(args[2].radiator).tolist())
        return whole(self, *args)

    monkeypatch.setattr(Assessor, "majorants", noted)
    rough = first_look(after)
    assert set(seen) == {1}
    monkeypatch.undo()
    for (_, one), (_, tight) in zip(
        rough.zones, site_zones(after, VIEW, steps=STEPS).zones, strict=True
    ):
        assert tight.region.difference(one.region).area < 0.01 * tight.area


def test_what_was_proven_in_full_cuts_it_only_where_nothing_is_stronger() -> None:
    site = pair()
    keep(site, VIEW, STEPS, ceiling=Ceiling(seconds=5.0, cells=1200))
    loose = first_look(site).zones[0][1].area
    proven = site_zones(site, VIEW, steps=STEPS)
    remember(site, proven)
    tight = proven.zones[0][1]
    again = first_look(site).zones[0][1]
    assert again.area == pytest.approx(tight.area, rel=2e-3)
    assert "nothing has changed" in again.message
    quieter = first_look(with_state(site, State(Condition.REDUCED, 99.0))).zones[0][1]
    assert quieter.area <= tight.area < loose
    assert "may not be over" in quieter.message
    carrier = site.antennas[0].carriers[0]
    loud = replace(carrier, power=replace(carrier.power, eirp=4400.0))
    louder = replace(site, antennas=(replace(site.antennas[0], carriers=(loud,)), site.antennas[1]))
    assert first_look(louder).zones[0][1].area > 1.05 * tight.area


def test_bounds_that_are_kept_again_are_finer() -> None:
    site = pair()
    keep(site, VIEW, STEPS, ceiling=Ceiling(seconds=5.0, cells=1200))
    before = first_look(site).zones[0][1].region
    keep(site, VIEW, STEPS, ceiling=Ceiling(seconds=5.0, cells=5000))
    after = first_look(site).zones[0][1].region
    assert after.area < before.area
    assert shapely.difference(after, before.buffer(1e-3)).area < 1e-6
