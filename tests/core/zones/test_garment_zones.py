"""Where a garment is enough is proven: outside the zone every place has a garment's verdict that is a go."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import shapely

from core.antennas.stack import Stack
from core.exposure.garment_use import Verdict, garment_use, ratings, verdict
from core.exposure.sources import sources
from core.exposure.totals import exposure
from core.limits.sets import get_set
from core.proof.tolerance import Tolerance
from core.site.garment import Band, Garment
from core.site.places import Ladder
from core.site.site import Antenna, Carrier, Condition, Power, Site, State
from core.views.body import CLIMBING, POINT
from core.views.views import ElevationView, Height, PlanView
from core.zones.garment import garment_ladder, garment_zone
from core.zones.ladders import ladder_zone
from core.zones.site_zones import ladder_zones, site_zones
from core.zones.steps import with_garment
from support.simple_sites import ground, isotropic

FM = Antenna(
    name="FM",
    kind=Stack(bay="vertical-dipole", bays=3, design_frequency=100e6),
    position=(0.0, 0.0, 20.0),
    carriers=(Carrier(name="100", frequency=100e6, power=Power(transmitter=3e3)),),
)
UHF = isotropic("UHF", 600e6, 2e3, (4.0, 2.0, 20.0))
LADDER = Ladder(name="ladder", points=((3.0, 0.0, 0.0), (3.0, 0.0, 40.0)))
SUIT = Garment(
    name="set",
    source="card",
    bands=(Band(low=80e6, high=300e6, percent=600.0), Band(low=300e6, high=1e9, decibels=5.0)),
    inspected="2026-11-01",
)
FM_ONLY = replace(SUIT, bands=SUIT.bands[:1])
SITE = Site(
    name="test", antennas=(FM, UHF), surfaces=(ground(200.0),), ladders=(LADDER,), garments=(SUIT,)
)
MARGIN = 3.0
COARSE = Tolerance(percent=3.0, metres=0.05)
VIEW = PlanView((-15.0, -15.0, 15.0, 15.0), Height(20.0, False), POINT)


def verdicts(site: Site, garment: Garment, points: np.ndarray, body=POINT) -> list[Verdict]:  # type: ignore[no-untyped-def]
    exposed = exposure(site, points, body)
    rated = ratings(garment, sources(site), get_set(site.limit_set))
    used = garment_use(exposed, rated)
    return [
        verdict(float(o), float(u), float(x), MARGIN, rated.reasons, uncovered=rated.uncovered)[0]
        for o, u, x in zip(exposed.occupational.total, used.use.total, used.unrated, strict=True)
    ]


def check(site: Site, garment: Garment) -> tuple[int, int]:
    """Hold a zone against readings: how many places outside and inside had a go in the garment or without."""
    found = garment_zone(site, garment, MARGIN, VIEW, COARSE)
    rng = np.random.default_rng(3)
    xy = rng.uniform(-15.0, 15.0, (3000, 2))
    inside = shapely.intersects_xy(found.region, xy[:, 0], xy[:, 1])
    at = np.column_stack([xy, np.full(len(xy), 20.0)])
    go = np.array([v.is_go for v in verdicts(site, garment, at)])
    assert found.complete
    assert go[~inside].all()
    # Nor is it far too large: hardly a place of it is one where people could go.
    assert go[inside].mean() < 0.05
    return int((~inside).sum()), int(inside.sum())


def test_outside_of_the_zone_the_garment_is_enough_and_inside_it_is_not() -> None:
    outside, inside = check(SITE, SUIT)
    assert min(outside, inside) > 100


def test_an_emitter_outside_its_bands_makes_the_zone_larger() -> None:
    assert check(SITE, FM_ONLY)[1] > check(SITE, SUIT)[1]


def test_a_garment_without_credit_ends_at_the_limit() -> None:
    unknown = replace(SITE, antennas=(FM, replace(UHF, state=State(Condition.UNKNOWN))))
    found = garment_zone(unknown, SUIT, MARGIN, VIEW, COARSE)
    assert "no credit" in found.message
    limit = {s.key: z for s, z in site_zones(unknown, VIEW, COARSE, within=True).zones}[
        "occupational"
    ]
    assert found.region.equals(limit.region)


def test_it_lies_between_the_limit_and_ten_times_the_limit() -> None:
    steps = with_garment(SUIT, MARGIN)
    zones = {
        s.key: z.region for s, z in site_zones(SITE, VIEW, COARSE, steps=steps, within=True).zones
    }
    assert list(zones) == ["public", "occupational", "garment", "ten times"]
    assert zones["ten times"].difference(zones["garment"]).area < 1e-6
    assert zones["garment"].difference(zones["occupational"]).area < 1e-6
    assert zones["ten times"].area < zones["garment"].area < zones["occupational"].area


def test_a_better_card_never_has_a_larger_zone() -> None:
    better = replace(
        SUIT, bands=tuple(replace(b, percent=800.0, decibels=None) for b in SUIT.bands)
    )
    small, large = (garment_zone(SITE, g, MARGIN, VIEW, COARSE).region for g in (better, SUIT))
    assert small.area < large.area
    assert small.difference(large).area < 0.3


def test_walking_surfaces_and_elevations_have_their_garment_zone_too() -> None:
    upright = ElevationView((0.0, 0.0), 90.0, (-6.0, 6.0), (14.0, 26.0), POINT)
    zone = garment_zone(SITE, SUIT, MARGIN, upright, COARSE)
    assert zone.region.contains(shapely.Point(0.5, 20.0))
    low = replace(SITE, antennas=(replace(FM, position=(0.0, 0.0, 3.0)),))
    plan = PlanView((-3.0, -3.0, 3.0, 3.0), Height(0.0, True))
    on_ground = garment_zone(low, SUIT, MARGIN, plan, Tolerance(percent=5.0, metres=0.1))
    assert on_ground.parts
    assert on_ground.region.area > 1.0


def test_ladder_spans_hold_every_height_where_the_garment_is_not_enough() -> None:
    found = garment_ladder(SITE, LADDER, SUIT, MARGIN)
    heights = np.linspace(1.0, 39.0, 400)
    points = np.column_stack([np.full(400, 3.0), np.zeros(400), heights])
    bad = np.array([not v.is_go for v in verdicts(SITE, SUIT, points, CLIMBING)])
    held = np.zeros(400, bool)
    for one in found.intervals:
        held |= (heights >= one.low) & (heights <= one.high)
    assert bad.any()
    assert held[bad].all()
    assert (held & ~bad).sum() <= 4
    limit = ladder_zone(SITE, LADDER, 1.0, "occupational")
    assert found.intervals[0].low > limit.intervals[0].low
    assert "what set is good for" in found.words
    assert [s.key for s, _ in ladder_zones(SITE, steps=with_garment(SUIT))][2] == "garment"


def test_what_a_garment_may_be_used_to_is_never_said_larger_than_it_is() -> None:
    step = next(one for one in with_garment(SUIT, 3.0) if one.garment is not None)
    assert step.allowed == "50.1 %"
    assert float(step.allowed.removesuffix(" %")) <= 100.0 * 10.0**-0.3
    assert "used over 50.1 % of its rating" in step.label("fcc-2019")
    assert all(one.allowed == "" for one in with_garment(SUIT) if one.garment is None)
