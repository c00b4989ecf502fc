"""Small zones are searched more finely inside what was found: tighter, never smaller than what is over."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
import shapely

import core.zones.zone as zone_module
from core.antennas.stack import Stack
from core.exposure.totals import exposure
from core.proof.assess import Assessor
from core.proof.domains import domains_of
from core.proof.enclosure import enclosure
from core.proof.lattice import cover_columns
from core.proof.search import _Run
from core.proof.step import Stepper
from core.proof.tolerance import Ceiling, Fineness
from core.site.places import Surface
from core.site.site import Antenna, Carrier, Power, Site
from core.site.state import State
from core.views.body import POINT, STANDING
from core.views.views import ON_SURFACE, PlanView
from core.zones.sharpening import EXCESS, FINEST, SMALLER, more_work, sharper, within
from core.zones.zone import Zone, layout_of, zone
from support.simple_sites import FREE, ground

LOW = Surface(
    name="roof",
    kind="roof",
    outline=((-6.0, -6.0), (6.0, -6.0), (6.0, 6.0), (-6.0, 6.0)),
    height=4.0,
)
DECK = replace(
    LOW, name="deck", outline=((8.0, -4.0), (12.0, -4.0), (12.0, 4.0), (8.0, 4.0)), height=4.4
)


def two_floors(watts: float) -> Site:
    """A stick whose foot is at head height over a roof and a deck beside it, the ground far below."""
    stick = Stack(bay="vertical-dipole", bays=2, design_frequency=450e6, spacing=0.9, beam_tilt=0.0)
    carrier = Carrier(name="c", frequency=450e6, power=Power(transmitter=watts))
    antenna = Antenna(name="a", kind=stick, position=(5.0, 0.0, 6.4), carriers=(carrier,))
    return Site(name="s", antennas=(antenna,), reflection=FREE, surfaces=(LOW, DECK, ground(30.0)))


VIEW = PlanView((-14.0, -10.0, 14.0, 10.0), ON_SURFACE, STANDING)


def of(site: Site, threshold: float) -> Zone:
    return zone(site, threshold, "occupational", VIEW)


def share_not_over(site: Site, found: Zone, seed: int) -> float:
    """Return the part of a zone's area in which dense samples are below the threshold."""
    rng = np.random.default_rng(seed)
    below = 0.0
    for part in found.parts:
        if part.region.is_empty:
            continue
        low, high = np.split(np.array(part.region.bounds), 2)
        at = rng.uniform(low, high, (6000, 2))
        at = at[shapely.contains_xy(part.region, at[:, 0], at[:, 1])]
        total = totals(site, at, part.floor.height)
        below += part.region.area * float(np.mean(total < found.threshold))
    return below / sum(p.region.area for p in found.parts)


def totals(site: Site, at: np.ndarray, height: float) -> np.ndarray:
    places = np.column_stack([at, np.full(len(at), height)])
    return exposure(site, places, STANDING).occupational.total


def unsharpened(site: Site, threshold: float, monkeypatch: pytest.MonkeyPatch) -> Zone:
    with monkeypatch.context() as patch:
        patch.setattr(zone_module, "sharper", lambda *_: None)
        return of(site, threshold)


@pytest.mark.parametrize("watts", [20.0, 60.0, 150.0])
def test_a_small_zone_is_tighter_and_still_has_all_that_is_over(
    watts: float, monkeypatch: pytest.MonkeyPatch
) -> None:
    site = two_floors(watts)
    coarse, fine = unsharpened(site, 1.0, monkeypatch), of(site, 1.0)
    assert 0.2 < fine.area < coarse.area
    assert fine.complete
    assert fine.region.difference(coarse.region.buffer(1e-6)).area < 1e-9
    assert share_not_over(site, fine, 1) < 0.6 * share_not_over(site, coarse, 1)
    assert share_not_over(site, fine, 2) < 0.02
    assert fine.evaluations > coarse.evaluations
    # Everything over lies inside, on every floor by itself.
    rng = np.random.default_rng(5)
    for part in fine.parts:
        at = rng.uniform((-12.0, -9.0), (13.0, 9.0), (8000, 2))
        at = at[shapely.intersects_xy(part.floor.shape, at[:, 0], at[:, 1])]
        over = totals(site, at, part.floor.height) > fine.threshold
        assert shapely.intersects_xy(part.region, at[over, 0], at[over, 1]).all()


def test_its_message_says_how_exact_it_is(monkeypatch: pytest.MonkeyPatch) -> None:
    site = two_floors(60.0)
    coarse, fine = unsharpened(site, 1.0, monkeypatch), of(site, 1.0)
    assert "or 0.05 m" in coarse.message
    assert "or 0.0125 m" in fine.message or "or 0.00" in fine.message


def test_when_its_work_is_ended_what_the_first_search_left_out_stays_out(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    site = two_floors(60.0)
    coarse = unsharpened(site, 1.0, monkeypatch)
    monkeypatch.setattr(zone_module, "more_work", lambda _: 5)
    found = of(site, 1.0)
    assert found.complete
    assert found.message == coarse.message
    assert found.region.difference(coarse.region.buffer(1e-6)).area < 1e-9
    assert found.area > of_exact(site, monkeypatch) - 1e-6


def of_exact(site: Site, monkeypatch: pytest.MonkeyPatch) -> float:
    monkeypatch.setattr(zone_module, "more_work", more_work)
    return of(site, 1.0).area


def test_how_finely_a_zone_is_asked_for_follows_from_its_size() -> None:
    fineness = Fineness(1.0, 0.01, 0.02)
    large, small, tiny = (shapely.Point(0, 0).buffer(r) for r in (20.0, 1.5, 0.1))
    assert sharper(fineness, (large,)) is None
    found = sharper(fineness, (small, shapely.Polygon()))
    assert found is not None
    assert found.metres == pytest.approx(EXCESS * small.area / small.length)
    assert (found.threshold, found.share) == (1.0, 0.01)
    # No more at once than what is left then can bear, and never finer than a millimetre and a half.
    least = sharper(fineness, (tiny,))
    assert least is not None
    assert least.metres == SMALLER * 0.02
    assert sharper(Fineness(1.0, 0.01, FINEST), (tiny,)) is None
    assert sharper(fineness, (shapely.MultiPolygon(),)) is None


def test_the_search_goes_on_inside_what_was_found() -> None:
    site = two_floors(60.0)
    layout = layout_of(site, VIEW)
    roof = [floor.height for floor in layout.floors].index(LOW.height)

    def only(box: shapely.Geometry) -> tuple[shapely.Geometry, ...]:
        empty = shapely.MultiPolygon()
        return tuple(box if i == roof else empty for i in range(len(layout.domains)))

    # What reaches past its floor is cut to it: specks are grown there.
    past = within(layout, only(shapely.box(5.0, -1.0, 9.0, 1.0)))
    assert past.box[1][0] == pytest.approx(6.0, abs=1e-5)
    inside = within(layout, only(shapely.box(4.0, -1.0, 6.0, 1.0)))
    assert inside.box[0][:2] == pytest.approx([4.0, -1.0], abs=1e-5)
    assert inside.box[1][:2] == pytest.approx([6.0, 1.0], abs=1e-5)
    assert inside.box[0][2:] == pytest.approx(layout.box[0][2:])
    assert [d.layers for d in inside.domains] == [d.layers for d in layout.domains]
    assert inside.floors == layout.floors


def test_it_may_take_some_more_work_and_no_clock_is_asked() -> None:
    assert more_work(1_000_000) == pytest.approx(300_000)
    assert more_work(10) == 30_000
    one, other = (of(two_floors(20.0), 1.0) for _ in range(2))
    assert one.region.equals_exact(other.region, 0.0)
    assert one.evaluations == other.evaluations


def test_cells_in_which_nothing_is_left_to_settle_are_in_some_order_too() -> None:
    """Where every radiator is settled there are no pairs of cell and radiator: that ended a search once."""
    site = two_floors(60.0)
    layout = layout_of(site, VIEW)
    silent = replace(site, antennas=(replace(site.antennas[0], state=State("off")),))
    enclosed = enclosure(silent, "occupational", POINT, None)
    assert not enclosed.radiators
    lattice, index = cover_columns(*layout.box, 4)
    cells = Stepper(Assessor(enclosed, layout.plane, lattice), Fineness(1.0, 0.01, 0.02)).start(
        index, np.zeros(len(index), np.intp)
    )
    where = domains_of(layout.domains, len(layout.plane.layers), layout.plane.column)
    found = _Run(where, np.inf, Ceiling(), None)._by_promise(cells)
    assert sum(len(some) for some in found) == len(cells)
