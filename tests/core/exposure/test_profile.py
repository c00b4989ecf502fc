"""A ladder's profile: exact at its places, weighed anew without a new field."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from core.exposure.profile import MOST, STEP, profile
from core.exposure.raster import LayerCache
from core.exposure.totals import exposure
from core.progress import Cancelled
from core.site.places import Ladder
from core.site.site import Condition, Site, State
from core.views.body import CLIMBING, POINT
from support.simple_sites import FREE, isotropic

BENT = Ladder(
    name="bent", points=((2.0, 0.0, 1.0), (2.0, 0.0, 7.1), (3.0, 1.0, 7.1), (3.5, 1.0, 12.0))
)


def small(**changes: object) -> Site:
    site = Site(
        name="s",
        antennas=(
            isotropic("low", 98e6, 300.0, (6.0, 0.0, 4.0)),
            isotropic("high", 900e6, 80.0, (0.0, 2.0, 11.0)),
        ),
        reflection=FREE,
        ladders=(BENT,),
    )
    return replace(site, **changes)  # type: ignore[arg-type]


@pytest.mark.parametrize("body", [CLIMBING, POINT, replace(CLIMBING, average=True)])
@pytest.mark.parametrize("limit_set", ["FCC", "ICNIRP2020"])
def test_every_place_reads_as_a_reading_there(body, limit_set: str) -> None:  # type: ignore[no-untyped-def]
    site = small(limit_set=limit_set)
    shown = profile(site, BENT, body)
    exact = exposure(site, shown.places, body)
    for tier in ("public", "occupational"):
        assert shown.of(tier) == pytest.approx(exact.of(tier).total, rel=1e-12)
    assert (shown.reactive == exact.reactive).all()


def test_places_follow_the_ladder_with_its_corners() -> None:
    shown = profile(small(), BENT)
    for corner in BENT.points:
        assert float(np.linalg.norm(shown.places - corner, axis=1).min()) == 0.0
    assert np.linalg.norm(np.diff(shown.places, axis=0), axis=1).max() <= STEP * (1.0 + 1e-9)
    tall = Ladder(name="tall", points=((1.0, 0.0, 0.0), (1.0, 0.0, 5000.0)))
    assert len(profile(small(), tall, POINT).places) <= MOST + 1
    assert shown.places[shown.nearest(9.9), 2] == pytest.approx(9.9, abs=STEP)


def test_states_powers_and_limits_weigh_what_is_kept() -> None:
    cache = LayerCache(10**8)
    full = profile(small(), BENT, cache=cache)
    computed = cache.computed
    half = replace(small().antennas[0], state=State(Condition.REDUCED, 50.0))
    gone = replace(small().antennas[1], state=State(Condition.LOCKED_OUT))
    for changed in (
        small(antennas=(half, small().antennas[1])),
        small(antennas=(small().antennas[0], gone)),
        small(limit_set="SC6-2015"),
    ):
        shown = profile(changed, BENT, cache=cache)
        assert (shown.public == profile(changed, BENT).public).all()
        assert (shown.public != full.public).any()
    assert cache.computed == computed
    # Down is down, and a half of a power is a half of its share.
    alone = small(antennas=(half,))
    whole = profile(small(antennas=(small().antennas[0],)), BENT)
    assert profile(alone, BENT).public == pytest.approx(0.5 * whole.public, rel=1e-12)


def test_it_stops_when_asked() -> None:
    with pytest.raises(Cancelled):
        profile(small(), BENT, cancelled=lambda: True)
