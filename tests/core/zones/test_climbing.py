"""Spans of a ladder that may be used: what is left of the proven zone, never more."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.exposure.totals import exposure
from core.reading.provisos import provisos
from core.site.places import Ladder
from core.site.site import Condition, Site, State
from core.units import FOOT
from core.views.body import CLIMBING, POINT
from core.zones.climbing import climb_words, free_spans
from core.zones.ladders import Interval, LadderZone, ladder_zone
from support.simple_sites import FREE, isotropic

LADDER = Ladder(name="l", points=((0.0, 0.0, 3.0), (0.0, 0.0, 60.0)))


def zone_of(*spans: tuple[float, float]) -> LadderZone:
    intervals = tuple(Interval(a, b, a, b) for a, b in spans)
    return LadderZone("l", "occupational", 1.0, intervals, 0, 0.0, True, "")


def test_what_is_free_is_the_rest() -> None:
    assert free_spans(LADDER, zone_of()) == ((3.0, 60.0),)
    assert free_spans(LADDER, zone_of((3.0, 60.0))) == ()
    assert free_spans(LADDER, zone_of((10.04, 20.01))) == ((3.0, 10.0), (20.1, 60.0))
    # A gap shorter than a climber is none.
    assert free_spans(LADDER, zone_of((10.0, 20.0), (21.9, 30.0))) == ((3.0, 10.0), (30.0, 60.0))
    feet = free_spans(LADDER, zone_of((10.04, 20.01)), feet=True)
    assert feet[0][1] == pytest.approx(32 * FOOT)
    assert feet[1][0] == pytest.approx(66 * FOOT)


@given(
    st.lists(st.tuples(st.floats(0.0, 70.0), st.floats(0.0, 20.0)), max_size=5),
    st.booleans(),
)
def test_no_free_span_touches_the_zone(raw: list[tuple[float, float]], feet: bool) -> None:
    spans = [(a, a + long) for a, long in raw]
    for low, high in free_spans(LADDER, zone_of(*spans), feet=feet):
        assert 3.0 <= low < high <= 60.0
        assert all(b <= low + 1e-9 or a >= high - 1e-9 for a, b in spans)


def test_the_words_name_the_spans_and_what_is_not_counted() -> None:
    loud = isotropic("loud", 98e6, 3000.0, (4.0, 0.0, 30.0))
    idle = replace(isotropic("idle", 98e6, 10.0), name="idle", state=State(Condition.OFF))
    site = Site(name="s", antennas=(loud, idle), reflection=FREE, ladders=(LADDER,))
    zones = {tier: ladder_zone(site, LADDER, 1.0, tier) for tier in ("public", "occupational")}
    lines = climb_words(site, LADDER, zones)
    assert lines[0].startswith("Under FCC public: 3 m to ")
    assert lines[1].startswith("Under FCC occupational: 3 m to ")
    assert lines[2:] == provisos(site)
    assert lines[2].startswith("NOT COUNTED: idle: off but not locked out")
    for tier, zone in zones.items():
        for low, high in free_spans(LADDER, zone):
            heights = np.linspace(low, high, 200)
            places = np.stack([0 * heights, 0 * heights, heights], axis=1)
            assert exposure(site, places, CLIMBING).of(tier).total.max() <= 1.0
    assert "For a single height only" in climb_words(site, LADDER, zones, POINT)
    bold = climb_words(replace(site, conservative=False), LADDER, zones)
    assert "BEST ESTIMATE: it can be low" in bold
    assert "BEST ESTIMATE: it can be low" not in lines
    outside = replace(site, antennas=(isotropic("light", 200e9, 1.0),))
    assert any(line.startswith("NOT COUNTED: light") for line in climb_words(outside, LADDER, {}))
