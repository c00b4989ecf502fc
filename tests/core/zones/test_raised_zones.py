"""Zones about readings above their prediction: nothing that reads over the threshold lies outside."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
import shapely

from core.exposure.surveyed import raises
from core.exposure.totals import exposure
from core.proof.tolerance import Tolerance
from core.site.places import Ladder, Surface
from core.site.site import Site
from core.views.body import CLIMBING, STANDING
from core.views.views import ElevationView, Height, PlanView, View
from core.zones.garment import garment_ladder
from core.zones.ladders import ladder_zone
from core.zones.raised import MOST_LEVELS, levels
from core.zones.site_zones import site_zone, site_zones
from core.zones.steps import with_garment
from support.briefed import SUIT
from support.surveyed import measured, open_ground, with_readings

COARSE = Tolerance(percent=5.0, metres=0.2)
SITE = open_ground(400.0)
PLAN = PlanView((-30.0, -30.0, 30.0, 30.0), body=STANDING)
UPRIGHT = ElevationView((0.0, 0.0), 90.0, (-30.0, 40.0), (0.0, 30.0), CLIMBING)


def percent(value: float, at: tuple[float, float, float]) -> object:
    return measured(value, "%", limit_set="FCC", tier="public", position=at)


@pytest.mark.parametrize("view", [PLAN, replace(PLAN, height=Height(9.0)), UPRIGHT])
@pytest.mark.parametrize("value", [70.0, 400.0])
def test_what_reads_over_the_threshold_lies_inside(view: View, value: float) -> None:
    site = with_readings(SITE, percent(value, (14.0, 3.0, 6.0)), percent(30.0, (-12.0, 0.0, 1.0)))
    one = site_zone(site, 1.0, "public", view, COARSE)
    u0, v0, u1, v1 = view.bounds
    u, v = np.random.default_rng(5).uniform((u0, v0), (u1, v1), (4000, 2)).T
    total = exposure(site, view.to_site(site, u, v), view.body).public.total
    inside = shapely.intersects_xy(one.region, u, v)
    assert not ((total > 1.0) & ~inside).any()
    # Nor is it uselessly large: what is inside is over, or near it.
    assert (total[inside] > 0.7).mean() > 0.9
    alone = site_zone(SITE, 1.0, "public", view, COARSE)
    assert alone.region.difference(one.region.buffer(0.25)).area < 0.5


def test_where_the_excess_alone_is_over_the_whole_reach_is_inside() -> None:
    site = with_readings(SITE, percent(400.0, (60.0, 0.0, 1.0)))
    one = site_zone(site, 1.0, "public", PLAN, COARSE)
    around = shapely.Point(60.0, 0.0).buffer(9.99)
    assert one.region.contains(around)
    assert "readings of a survey" in one.message
    assert one.view.bounds[2] >= 70.0
    within = site_zone(site, 1.0, "public", PLAN, COARSE, within=True)
    assert within.region.difference(shapely.box(*PLAN.bounds)).area == 0.0
    assert "east" in within.open_sides


def test_a_raise_belongs_to_the_floors_it_reaches() -> None:
    deck = Surface(
        name="deck", kind="roof", height=25.0, outline=((-9, -9), (9, -9), (9, 9), (-9, 9))
    )
    site = replace(SITE, antennas=(), surfaces=(*SITE.surfaces, deck))
    low = with_readings(site, replace(percent(400.0, (0.0, 0.0, 1.0)), states=()))
    one = site_zone(low, 1.0, "public", PLAN, COARSE)
    areas = {p.floor.words: p.region.area for p in one.parts}
    assert areas["deck"] == 0.0
    assert areas["ground"] == pytest.approx(math.pi * 100.0, rel=0.01)


def test_of_many_raises_few_thresholds_are_searched_and_none_is_higher() -> None:
    many = with_readings(SITE, *(percent(30.0 + i, (14.0, float(i), 1.5)) for i in range(-12, 12)))
    found = raises(many)
    grouped = levels(found, 1.0, "public")
    assert len({r.lowered(1.0, "public") for r in found}) == len(found) > MOST_LEVELS
    assert len(grouped) < 8
    for level in grouped:
        assert all(level.threshold <= r.lowered(1.0, "public") for r in level.raises)
    assert sum(len(level.raises) for level in grouped) == len(found)


def test_a_ladder_is_raised_where_a_climber_comes_near() -> None:
    ladder = Ladder(name="ladder", points=((14.0, 0.0, 0.0), (14.0, 0.0, 60.0)))
    site = with_readings(replace(SITE, ladders=(ladder,)), percent(400.0, (14.0, 2.0, 40.0)))
    alone = ladder_zone(SITE, ladder, 1.0, "public", tolerance=COARSE)
    one = ladder_zone(site, ladder, 1.0, "public", tolerance=COARSE)
    assert "raised" in one.words
    heights = np.linspace(0.0, 60.0, 601)
    points = np.stack([np.full(601, 14.0), np.zeros(601), heights], axis=1)
    over = exposure(site, points, CLIMBING).public.total > 1.0
    inside = np.zeros(601, bool)
    for i in one.intervals:
        inside |= (heights >= i.low) & (heights <= i.high)
    assert not (over & ~inside).any()
    assert over.sum() > 0.9 * inside.sum()
    assert not any(i.low < 40.0 < i.high for i in alone.intervals)


def test_zones_of_a_site_without_surveys_are_as_they_were() -> None:
    below = with_readings(SITE, measured(0.1))
    a, b = (site_zones(s, PLAN, COARSE) for s in (SITE, below))
    for (_, one), (_, other) in zip(a.zones, b.zones, strict=True):
        assert one.region.equals(other.region)
        assert one.message == other.message


def test_a_site_with_no_emitter_is_raised_too() -> None:
    empty: Site = replace(SITE, antennas=())
    site = with_readings(empty, replace(percent(150.0, (0.0, 0.0, 1.0)), states=()))
    assert site_zone(site, 1.0, "public", PLAN, COARSE).region.area > 300.0


def test_no_garment_is_enough_about_a_raised_place_and_no_zone_or_ladder_says_so() -> None:
    ladder = Ladder(name="ladder", points=((14.0, 0.0, 0.0), (14.0, 0.0, 40.0)))
    reading = measured(400.0, "%", limit_set="FCC", tier="occupational", position=(14.0, 0.0, 8.0))
    site = with_readings(replace(SITE, ladders=(ladder,)), reading)
    steps = with_garment(SUIT)
    found = {step.key: one for step, one in site_zones(site, PLAN, COARSE, steps=steps).zones}
    # 8 m up the reach is 10 m round; a body's head at 2 m is 6 m below: 8 m on the ground.
    assert found["garment"].region.contains(shapely.Point(14.0, 0.0).buffer(7.9))
    one = garment_ladder(site, ladder, SUIT, 3.0, COARSE)
    assert any(i.low <= 1.0 and i.high >= 17.0 for i in one.intervals)
    alone = garment_ladder(SITE, ladder, SUIT, 3.0, COARSE)
    assert not any(i.low < 8.0 < i.high for i in alone.intervals)
