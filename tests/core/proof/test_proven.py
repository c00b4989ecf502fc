"""Proven zones: of a great many random places outside a region none exceeds the threshold."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
import shapely

from core.antennas.beam_array import BeamArray
from core.antennas.dish import Dish
from core.antennas.generic import Generic
from core.antennas.mast import Mast
from core.antennas.measured import Measured
from core.antennas.panel import Panel, PanelBand
from core.antennas.panel_ring import PanelRing
from core.antennas.stack import Stack
from core.antennas.whip import Whip
from core.antennas.wire import HfDipole
from core.antennas.worst_case import WorstCase
from core.antennas.yagi import Yagi
from core.errors import InputError
from core.exposure.totals import exposure
from core.limits.tier import Tier
from core.patterns.readers import read_pattern
from core.progress import Cancelled
from core.proof.tolerance import Ceiling, Tolerance
from core.site.places import Surface
from core.site.site import Antenna, Carrier, Power, Site
from core.validation.data import PATTERNS
from core.views.body import CLIMBING, POINT, STANDING
from core.views.views import ElevationView, Height, PlanView, View
from core.zones.ladders import ladder_zone
from core.zones.zone import zone

COARSE = Tolerance(percent=8.0, metres=0.25)
STRIDE = 0.05
"""m between the places of a ladder that are held against its spans."""

KINDS = {
    "stack": (Stack(bay="slant-ring", bays=2, design_frequency=98e6, beam_tilt=0.0), 98e6, 3000.0),
    "unknown bays": (
        Stack(bay="circular", bays=2, design_frequency=98e6, beam_tilt=0.0),
        98e6,
        3000.0,
    ),
    "helix": (Stack(bay="helix", bays=2, design_frequency=98e6, beam_tilt=0.0), 98e6, 3000.0),
    "stick": (
        Stack(bay="vertical-dipole", bays=4, design_frequency=450e6, spacing=0.85),
        450e6,
        200.0,
    ),
    "panel": (
        Panel(
            length=1.3,
            width=0.3,
            bands=(PanelBand(low=7e8, high=9e8, elements=4, spacing=0.32, electrical_tilt=0.0),),
        ),
        751e6,
        120.0,
    ),
    "panel-ring": (
        PanelRing(levels=2, spacing=1.1, faces=3, radius=0.4, panel_height=1.0, beam_tilt=0.0),
        557e6,
        800.0,
    ),
    "pattern": (
        Measured(
            file="s.adf",
            length=2.0,
            width=0.3,
            data=read_pattern(PATTERNS / "demo-sector65-0850.adf"),
        ),
        850e6,
        100.0,
    ),
    "dish": (Dish(diameter=1.2), 11e9, 5.0),
    "yagi": (Yagi(gain=9.0, boom=1.6, elements=5), 150e6, 300.0),
    "beam-array": (BeamArray(rows=4, columns=4), 3.5e9, 100.0),
    "am-mast": (Mast(height=60.0), 1.0e6, 20e3),
    "hf-dipole": (HfDipole(length=10.1, height=8.0), 14.2e6, 1500.0),
    "whip": (Whip(length=0.5), 150e6, 200.0),
    "worst-case": (WorstCase(gain=6.0), 900e6, 300.0),
    "generic": (Generic(entry="stick-vhf"), 155e6, 200.0),
}


def antenna(name: str, place: tuple[float, float, float], azimuth: float) -> Antenna:
    kind, frequency, watts = KINDS[name]
    if kind.has_own_ground:
        place = (place[0], place[1], 0.0)
    carrier = Carrier(name="c", frequency=frequency, power=Power(transmitter=watts))
    return Antenna(
        name=f"{name} {place}", kind=kind, position=place, azimuth=azimuth, carriers=(carrier,)
    )


def escaped(site: Site, view: View, tier: str, threshold: float, seed: int) -> float:
    """Prove a zone; return the largest total found outside it over the threshold, at random places and
    within 5 cm of its edge."""
    found = zone(site, threshold, tier, view, COARSE, ceiling=Ceiling(seconds=20.0))
    rng = np.random.default_rng(seed)
    u0, v0, u1, v1 = view.bounds
    u, v = rng.uniform(u0, u1, 40_000), rng.uniform(v0, v1, 40_000)
    edge = shapely.get_coordinates(found.region)
    if len(edge):
        pick = edge[rng.integers(0, len(edge), 10_000)] + rng.uniform(-0.05, 0.05, (10_000, 2))
        inside = (pick[:, 0] > u0) & (pick[:, 0] < u1) & (pick[:, 1] > v0) & (pick[:, 1] < v1)
        u, v = np.concatenate([u, pick[inside, 0]]), np.concatenate([v, pick[inside, 1]])
    outside = ~shapely.intersects_xy(found.region, u, v)
    if not outside.any():
        return 0.0
    worst = 0.0
    points = view.to_site(site, u[outside], v[outside])
    for start in range(0, len(points), 8192):
        total = exposure(site, points[start : start + 8192], view.body).of(tier).total
        worst = max(worst, float(total.max()) / threshold)
    return worst


@pytest.mark.parametrize("name", KINDS)
def test_no_random_place_outside_the_zone_of_one_antenna_exceeds(name: str) -> None:
    site = Site(name="s", antennas=(antenna(name, (0.6, -0.4, 6.0), 35.0),))
    height = 2.0 if KINDS[name][0].has_own_ground else 5.5
    plan = PlanView((-8.0, -8.0, 8.0, 8.0), Height(height), POINT)
    assert escaped(site, plan, "public", 1.0, 1) <= 1.0
    upright = ElevationView((0.0, 0.0), 60.0, (-7.0, 7.0), (0.5, 12.0), POINT)
    assert escaped(site, upright, "occupational", 0.6, 2) <= 1.0


@pytest.mark.parametrize("seed", [0, 1, 4, 5])
def test_no_random_place_outside_the_zone_of_many_antennas_exceeds(seed: int) -> None:
    rng = np.random.default_rng(seed)
    names = [n for n in rng.permutation(list(KINDS)) if not KINDS[n][0].has_own_ground][:4]
    antennas = tuple(
        antenna(
            n,
            tuple(np.round(rng.uniform([-6, -6, 4], [6, 6, 9]), 2).tolist()),
            float(rng.uniform(0, 360)),
        )
        for n in names
    )
    yard = Surface(
        name="yard", kind="ground", height=0.0, outline=((-50, -50), (50, -50), (50, 50), (-50, 50))
    )
    site = Site(name="s", antennas=antennas, surfaces=(yard,))
    plan = PlanView((-10.0, -10.0, 10.0, 10.0), Height(0.0, True), STANDING)
    assert escaped(site, plan, "public", 0.3, seed) <= 1.0
    mean = replace(plan, body=replace(STANDING, average=True))
    assert escaped(site, mean, "public", 0.3, seed) <= 1.0
    upright = ElevationView((0.0, 0.0), 20.0, (-8.0, 8.0), (1.0, 12.0), CLIMBING)
    assert escaped(site, upright, "occupational", 1.0, seed) <= 1.0


def test_a_zone_is_not_much_larger_than_the_truth() -> None:
    site = Site(name="s", antennas=(antenna("stick", (0.0, 0.0, 4.0), 0.0),))
    view = PlanView((-6.0, -6.0, 6.0, 6.0), Height(4.0), POINT)
    found = zone(site, 1.0, "public", view)
    shape = (400, 400)
    over = exposure(site, view.points(site, shape), POINT).public.total > 1.0
    true_area = over.mean() * 144.0
    assert found.complete
    assert true_area <= found.area <= 1.03 * true_area + 0.05


def quick() -> tuple[Site, PlanView]:
    site = Site(name="s", antennas=(antenna("worst-case", (0.0, 0.0, 4.0), 0.0),))
    return site, PlanView((-30.0, -30.0, 30.0, 30.0), Height(1.0), POINT)


def test_degenerate_requests_get_a_sensible_answer_or_one_clear_error() -> None:
    site, view = quick()
    silent = Site(name="s", antennas=())
    assert zone(silent, 1.0, "public", view).region.is_empty
    assert zone(site, 1e7, "public", view).region.area < 1.0
    everything = zone(site, 1e-6, "public", view)
    assert everything.region.area == pytest.approx(3600.0, rel=1e-6)
    far = replace(site, antennas=(replace(site.antennas[0], position=(5000.0, 0.0, 4.0)),))
    assert zone(far, 1.0, "public", view).region.is_empty
    for threshold in (0.0, -1.0, float("nan")):
        with pytest.raises(InputError) as caught:
            zone(site, threshold, "public", view)
        assert caught.value.fix
    with pytest.raises(InputError):
        Tolerance(percent=None, metres=None)


def test_a_ceiling_leaves_a_looser_region_that_is_still_proven() -> None:
    site, view = quick()
    exact = zone(site, 1.0, "public", view)
    loose = zone(site, 1.0, "public", view, ceiling=Ceiling(cells=8))
    assert exact.complete
    assert not loose.complete
    assert "ceiling" in loose.message
    assert loose.region.buffer(0.05).contains(exact.region)


def test_progress_is_told_and_a_cancel_stops() -> None:
    site, view = quick()
    told: list[float] = []
    zone(site, 1.0, "public", view, progress=told.append)
    assert told == sorted(told)
    assert told[-1] == 1.0
    with pytest.raises(Cancelled):
        zone(site, 1.0, "public", view, cancelled=lambda: True)


@pytest.mark.parametrize("tier", ["public", "occupational"])
def test_a_ladder_beside_a_stack_is_tight_and_proven(tower: Site, tier: Tier) -> None:
    ladder = tower.ladders[0]
    found = ladder_zone(tower, ladder, 1.0, tier)
    z = np.arange(0.0, 149.0, STRIDE)
    x, y, _ = ladder.points[0]
    total = exposure(tower, np.stack([0 * z + x, 0 * z + y, z], axis=1), CLIMBING).of(tier).total
    inside = np.zeros(len(z), bool)
    for one in found.intervals:
        inside |= (z >= one.low - 1e-9) & (z <= one.high + 1e-9)
    assert not (total > 1.0)[~inside].any()
    # No more than a metre of ladder is closed without need.
    assert STRIDE * inside.sum() <= STRIDE * (total > 1.0).sum() + 1.0
    assert found.complete


def test_a_ladder_read_downwards_is_the_same(tower: Site) -> None:
    up = ladder_zone(tower, tower.ladders[0], 1.0, "occupational")
    turned = replace(tower.ladders[0], points=tower.ladders[0].points[::-1])
    down = ladder_zone(tower, turned, 1.0, "occupational")
    for a, b in zip(up.intervals, reversed(down.intervals), strict=True):
        assert (a.low, a.high) == pytest.approx((b.low, b.high), abs=0.03)
