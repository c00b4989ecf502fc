"""The invented sites of the long run (tests/bench/escapes.py), and what of it is quick enough for here."""

from __future__ import annotations

import numpy as np
import pytest
from bench.escapes import hold

from core.antennas.kinds import KINDS
from core.limits.sets import SETS
from core.site.reflection import ReflectionKind
from core.views.views import ElevationView, PlanView
from support.generated_sites import KEYS, Look, Subject, generated

QUICK = ("one-mast", "one-panel", "two-directional", "shortwave-field", "dishes")


def test_the_sites_are_twelve_and_span_what_zones_are_asked_to_hold_for() -> None:
    sites = [generated(key).site for key in KEYS]
    found = [
        (antenna, carrier, antenna.reflection or site.reflection, site.conservative)
        for site in sites
        for antenna in site.antennas
        for carrier in antenna.carriers
    ]
    looks = [look for key in KEYS for look in generated(key).looks]
    assert len(sites) == 12
    counts = [len(site.antennas) for site in sites]
    assert (min(counts), max(counts)) == (1, 60)
    assert {antenna.kind.KEY for antenna, *_ in found} == set(KINDS)
    frequencies = [carrier.frequency for _, carrier, *_ in found]
    assert (min(frequencies), max(frequencies)) == (0.5e6, 40e9)
    assert {reflection.kind for _, _, reflection, _ in found} >= set(ReflectionKind)
    assert {site.limit_set for site in sites} == set(SETS)
    assert {conservative for *_, conservative in found} == {True, False}
    assert any(antenna.tilt for antenna, *_ in found)
    assert {look.view.body.average for look in looks} == {True, False}
    assert {tier for look in looks for tier, _ in look.asked} == {"public", "occupational"}
    plans = [look.view for look in looks if isinstance(look.view, PlanView)]
    assert {plan.height.above_surface for plan in plans} == {True, False}
    assert any(isinstance(look.view, ElevationView) for look in looks)


def test_a_site_is_the_same_every_time() -> None:
    one, two = (generated("sixty").site.antennas for _ in range(2))
    assert [(a.name, a.position, a.azimuth, a.carriers) for a in one] == [
        (a.name, a.position, a.azimuth, a.carriers) for a in two
    ]


def look_of(key: str, i: int) -> tuple[Subject, Look]:
    subject = generated(key)
    return subject, subject.looks[i]


@pytest.mark.parametrize(
    ("key", "i"), [(key, i) for key in QUICK for i in range(len(generated(key).looks))]
)
def test_no_random_place_outside_the_zones_of_a_site_exceeds(key: str, i: int) -> None:
    subject, look = look_of(key, i)
    for one in hold(subject, look, 6000, np.random.default_rng(i)):
        assert one.zone.complete
        assert one.anywhere.count >= 6000
        assert one.near.count == 600
        assert not one.escaped
        # Something of every zone is needed, so nothing was proven by closing everything.
        assert one.zone.area < 0.5 * np.prod(np.diff(np.reshape(look.view.bounds, (2, 2)), axis=0))
