"""Fences: they hold what they were fitted to, leaks are measured, corners are few."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import MultiPolygon, Polygon, affinity

from core.errors import InputError
from core.fences.around import fit
from core.fences.fence import as_fences, check, check_stops
from core.fences.site_fences import UNFENCED, check_plan, check_site, fence_view, fit_plan
from core.files.site_file import load_site
from core.files.site_writer import save_site
from core.proof.tolerance import Tolerance
from core.site.places import Fence, Surface
from core.site.site import Site
from core.views.defaults import default_plan
from core.views.views import PlanView
from core.zones.ladders import Interval, closed_spans, in_words
from core.zones.zone import Zone, zone
from support.effort import many

coordinate = st.floats(-40.0, 40.0)


def blob(seed: int, pieces: int) -> MultiPolygon:
    """A zone such as a search gives: rough pieces, some with holes."""
    rng = np.random.default_rng(seed)
    shapes = []
    for _ in range(pieces):
        angle = np.sort(rng.uniform(0, 2 * np.pi, 40))
        radius = rng.uniform(1.0, 8.0) * (1.0 + 0.4 * rng.standard_normal(40).clip(-1.5, 1.5))
        centre = rng.uniform(-30, 30, 2)
        ring = np.stack([np.cos(angle), np.sin(angle)], axis=1) * radius[:, None] + centre
        shapes.append(shapely.make_valid(Polygon(ring)))
    union = shapely.union_all(shapes)
    return MultiPolygon([p for p in shapely.get_parts(union) if isinstance(p, Polygon)])


@settings(max_examples=many(60), deadline=None)
@given(
    seed=st.integers(0, 10_000),
    pieces=st.integers(1, 4),
    margin=st.floats(0.0, 2.0),
    slack=st.floats(0.0, 5.0),
    corners=st.integers(4, 12),
)
def test_a_fitted_fence_holds_its_zone_with_its_margin(
    seed: int, pieces: int, margin: float, slack: float, corners: int
) -> None:
    zone = blob(seed, pieces)
    fences = fit(zone, margin=margin, slack=slack, corners=corners)
    around = shapely.union_all(fences)
    assert around.buffer(1e-6).contains(zone)
    for fence in fences:
        assert len(fence.exterior.coords) - 1 <= corners
        inside = zone.intersection(fence)
        found = check(fence, inside)
        assert found.holds
        assert found.margin >= margin - 1e-6


@settings(max_examples=many(40), deadline=None)
@given(seed=st.integers(0, 10_000), move=st.floats(0.05, 3.0), turn=st.floats(0.0, 360.0))
def test_moving_a_fence_inwards_is_a_leak_of_the_right_size(
    seed: int, move: float, turn: float
) -> None:
    zone = blob(seed, 1)
    fence = shapely.convex_hull(zone)
    dx, dy = move * math.cos(math.radians(turn)), move * math.sin(math.radians(turn))
    found = check(affinity.translate(fence, dx, dy), zone)
    # A convex fence that touches the zone all round: pushed in by `move`, the side it left leaks by it.
    hull = shapely.convex_hull(zone)
    moved = affinity.translate(fence, dx, dy)
    expected = max(shapely.distance(shapely.points(shapely.get_coordinates(hull)), moved))
    assert not found.holds
    assert found.leaks[0].distance == pytest.approx(expected, abs=1e-6)
    assert found.leaks[0].distance <= move + 1e-6
    place = shapely.Point(found.leaks[0].place)
    assert moved.distance(place) == pytest.approx(found.leaks[0].distance, abs=1e-9)
    assert "LEAKS" in found.words()


def test_pushing_one_side_of_a_rectangle_in_leaks_by_exactly_that() -> None:
    zone = MultiPolygon([shapely.box(0, 0, 10, 4)])
    found = check(shapely.box(-1, -1, 9.25, 5), zone)
    assert [round(leak.distance, 9) for leak in found.leaks] == [0.75]
    assert found.leaks[0].place[0] == 10.0


@pytest.mark.parametrize("turn", [0.0, 17.0, 45.0])
def test_a_rectangle_needs_four_corners(turn: float) -> None:
    zone = affinity.rotate(shapely.box(0, 0, 12, 5), turn)
    (fence,) = fit(MultiPolygon([zone]), margin=0.5, slack=0.5)
    assert len(fence.exterior.coords) - 1 == 4
    assert check(fence, zone).margin == pytest.approx(0.5, abs=1e-5)


@pytest.mark.parametrize("sides", [3, 5, 6, 8])
def test_a_convex_outline_needs_no_more_corners_than_it_has(sides: int) -> None:
    angle = np.arange(sides) * 2 * np.pi / sides
    zone = Polygon(10.0 * np.stack([np.cos(angle), np.sin(angle)], axis=1))
    (fence,) = fit(MultiPolygon([zone]), margin=0.2, slack=0.05, corners=12)
    assert len(fence.exterior.coords) - 1 == sides


def test_a_round_zone_gets_fewer_corners_the_more_slack_it_has() -> None:
    zone = MultiPolygon([shapely.Point(0, 0).buffer(10.0)])
    counts = [
        len(fit(zone, margin=0.0, slack=s, corners=60)[0].exterior.coords) - 1
        for s in (0.05, 0.5, 4.5, 11.0)
    ]
    assert counts == sorted(counts, reverse=True)
    # A circle of 10 m: 4 sides reach 4.14 m past it, 3 sides 10 m.
    assert counts[2] == 4
    assert counts[3] == 3


def test_pieces_near_each_other_share_a_fence() -> None:
    zone = MultiPolygon(
        [shapely.box(0, 0, 2, 2), shapely.box(3, 0, 5, 2), shapely.box(40, 0, 42, 2)]
    )
    assert len(fit(zone, margin=0.5, slack=1.0)) == 2


def test_a_fence_stays_on_the_roof_and_uses_its_edge() -> None:
    roof = shapely.box(0, 0, 20, 10)
    zone = MultiPolygon([shapely.box(16, 7, 20, 10)])
    (fence,) = fit(zone, margin=0.5, slack=0.5, surface=roof)
    assert roof.buffer(1e-6).contains(fence)
    found = check(fence, zone, roof)
    assert found.holds
    assert found.margin == pytest.approx(0.5, abs=1e-3)
    assert len(fence.exterior.coords) - 1 == 4


def test_an_empty_zone_needs_no_fence() -> None:
    assert fit(MultiPolygon()) == ()
    assert (
        check(shapely.box(0, 0, 1, 1), MultiPolygon()).words()
        == "holds: no part of its zone is inside"
    )


@pytest.mark.parametrize("bad", [{"margin": -1.0}, {"corners": 3}, {"slack": math.inf}])
def test_senseless_settings_are_one_clear_error(bad: dict[str, float]) -> None:
    with pytest.raises(InputError) as caught:
        fit(MultiPolygon([shapely.box(0, 0, 1, 1)]), **bad)  # type: ignore[arg-type]
    assert caught.value.fix


def test_stops_are_rounded_outward_in_the_unit_in_use() -> None:
    one = Interval(start=0.0, end=1.0, low=86.53, high=120.94)
    assert closed_spans([one]) == ((pytest.approx(86.5), pytest.approx(121.0)),)
    ((low, high),) = closed_spans([one], feet=True)
    assert low / 0.3048 == pytest.approx(283.0)
    assert high / 0.3048 == pytest.approx(397.0)


def test_a_gap_too_short_to_stay_in_is_closed() -> None:
    spans = [(80.0, 90.0), (91.5, 95.0), (99.0, 100.0)]
    ones = [Interval(start=a, end=b, low=a, high=b) for a, b in spans]
    assert closed_spans(ones) == ((80.0, 95.0), (99.0, 100.0))
    assert (
        in_words(tuple(ones), "the limit")
        == "over the limit from 80 m to 95 m and from 99 m to 100 m"
    )


def test_stops_that_are_too_short_leak_by_the_missing_piece() -> None:
    one = Interval(start=0.0, end=1.0, low=80.0, high=100.0)
    assert check_stops([(79.0, 101.5)], [one]).margin == pytest.approx(1.0)
    found = check_stops([(79.0, 97.5)], [one])
    assert found.leaks[0].distance == pytest.approx(2.5)
    assert check_stops([], [one]).leaks[0].distance == pytest.approx(20.0)
    assert check_stops([(79.0, 90.0), (92.0, 101.0)], [one]).leaks[0].distance == pytest.approx(2.0)


def test_fences_are_saved_in_the_site(roof: Site, tmp_path: Path) -> None:
    made = as_fences([shapely.box(0, 0, 5, 5), shapely.box(8, 8, 9, 9)], "public", 1.0, "fence")
    ladder = Fence(
        name="stops",
        tier="occupational",
        threshold=1.0,
        ladder="Penthouse ladder",
        stops=((17.0, 18.5),),
    )
    site = replace(roof, fences=(*made, ladder))
    save_site(site, tmp_path / "s.json")
    assert load_site(tmp_path / "s.json").fences == site.fences
    with pytest.raises(InputError, match="outline or a ladder"):
        Fence(name="x", tier="public", threshold=1.0)


def test_a_piece_of_the_zone_no_fence_touches_is_not_a_leak_of_a_fence_far_away() -> None:
    square = ((-20.0, -20.0), (60.0, -20.0), (60.0, 20.0), (-20.0, 20.0))
    site = Site(
        name="s",
        antennas=(),
        surfaces=(Surface(name="yard", kind="ground", height=0.0, outline=square),),
        extent=(-20.0, -20.0, 60.0, 20.0),
    )
    region = MultiPolygon([shapely.box(0, 0, 5, 5), shapely.box(40, 0, 44, 3)])
    found = Zone(default_plan(site), "public", 1.0, region, 0.02, 0.01, 0, 0.0, "", True)
    (near,) = as_fences([shapely.box(-1, -1, 6, 4.5)], "public", 1.0, "fence")
    checks = check_plan(site, (near,), found)
    assert [leak.distance for leak in checks[near.name].leaks] == [pytest.approx(0.5)]
    assert checks[UNFENCED].unfenced == pytest.approx(12.0)
    assert checks[UNFENCED].leaks[0].place[0] > 40.0
    assert "12 m²" in checks[UNFENCED].words()
    assert "129 ft²" in checks[UNFENCED].words(feet=True)
    both = (near, *as_fences([shapely.box(39, -1, 45, 4)], "public", 1.0, "second"))
    assert UNFENCED not in check_plan(site, both, found)


def test_a_zone_that_is_known_is_not_proven_again(roof: Site) -> None:
    (fence,) = as_fences([shapely.box(-9, 9, 9, 13)], "public", 1.0, "fence")
    asked: list[tuple[str, float]] = []

    def known(tier: str, threshold: float, view: PlanView) -> Zone:
        asked.append((tier, threshold))
        region = MultiPolygon([shapely.box(-8, 10, 8, 12)])
        return Zone(view, tier, threshold, region, 0.02, 0.01, 0, 0.0, "", True)

    checks = check_site(replace(roof, fences=(fence,)), known=known)
    assert asked == [("public", 1.0)]
    assert checks["fence 1"].margin == pytest.approx(1.0)


def test_the_surface_below_an_edge_gets_no_fence(roof: Site) -> None:
    """The zone of a sector ends at the roof's edge; on the street below there is nothing to fence."""
    view = replace(fence_view(roof), region=(-6.0, 9.0, 10.0, 20.0))
    found = zone(roof, 3.0, "public", view, Tolerance(percent=3.0, metres=0.2))
    fences = fit_plan(roof, found)
    for fence in fences:
        assert found.region.intersection(Polygon(fence.outline)).area > 0.1
    checks = check_plan(roof, fences, found)
    assert set(checks) == {f.name for f in fences}
    assert all(c.holds for c in checks.values())
