"""Antennas arranged: names, copies, other sectors, beside a structure, under another name."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from core.errors import InputError
from core.site.allowance import Allowance
from core.site.arranging import added, free_name, from_structure, renamed, turned, without
from core.site.job import Job
from core.site.places import Anchor, Structure
from core.site.site import Antenna, Condition, Site
from core.site.state import NamedState, State
from support.every_kind import antenna_of
from support.simple_sites import isotropic

OUT = State(Condition.LOCKED_OUT)
SECTOR = replace(antenna_of("panel"), name="Sector 1", position=(2.0, 5.0, 18.0), azimuth=300.0)


def site(*antennas: Antenna, **more: object) -> Site:
    return Site(name="s", antennas=antennas, **more)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("like", "taken", "name"),
    [
        ("new", (), "new"),
        ("Sector 1", ("Sector 1",), "Sector 2"),
        ("Sector 1", ("Sector 1", "Sector 2"), "Sector 3"),
        ("P07", ("P07", "P08"), "P09"),
        ("Panel A", ("Panel A",), "Panel B"),
        ("Panel Z", ("Panel Z",), "Panel Z 2"),
        ("FM main", ("FM main",), "FM main 2"),
        ("9", ("9",), "10"),
    ],
)
def test_a_name_that_is_taken_is_counted_on(like: str, taken: tuple[str, ...], name: str) -> None:
    assert free_name(like, taken) == name


def test_other_sectors_turn_places_and_bearings_together_clockwise() -> None:
    after = turned(site(SECTOR), [0], (90.0, 180.0), (2.0, 0.0))
    assert [a.name for a in after.antennas] == ["Sector 1", "Sector 2", "Sector 3"]
    # Five metres north of the centre; a quarter turn clockwise is east.
    assert after.antennas[1].position == pytest.approx((7.0, 0.0, 18.0))
    assert after.antennas[2].position == pytest.approx((2.0, -5.0, 18.0))
    assert [a.azimuth for a in after.antennas] == [300.0, 30.0, 120.0]
    assert after.antennas[1].carriers == SECTOR.carriers


@pytest.mark.parametrize("angle", [0.0, 360.0, float("nan")])
def test_what_is_no_turn_is_refused(angle: float) -> None:
    with pytest.raises(InputError, match="angles"):
        turned(site(SECTOR), [0], (angle,), (0.0, 0.0))


def test_a_place_at_a_structure_is_by_true_bearing_above_its_base() -> None:
    square = ((9.0, -1.0), (11.0, -1.0), (11.0, 1.0), (9.0, 1.0))
    mast = Structure(name="mast", kind="mast", outline=square, base=16.0, top=30.0)
    bare = site(SECTOR, structures=(mast,))
    assert from_structure(bare, mast, 8.0, 90.0, 2.0) == pytest.approx((12.0, 0.0, 24.0))
    assert from_structure(bare, mast, 8.0, 0.0, 2.0) == pytest.approx((10.0, 2.0, 24.0))
    anchored = replace(bare, anchor=Anchor(latitude=50.0, longitude=8.0, grid_north=90.0))
    # There the y axis points east: what is north of the mast is on its left.
    assert from_structure(anchored, mast, 8.0, 0.0, 2.0) == pytest.approx((8.0, 0.0, 24.0))


def test_a_new_name_is_known_wherever_the_old_one_was() -> None:
    main, spare = isotropic("main", 98e6, 1.0), isotropic("spare", 98e6, 1.0)
    spare = replace(spare, allows=Allowance(auxiliary_of="main"))
    job = Job(name="j", states=(("main", OUT),))
    before = site(
        main,
        spare,
        states=(NamedState(name="night", states=(("main", OUT), ("spare", State()))),),
        jobs=(job,),
    )
    after = renamed(before, "main", "FM")
    assert [a.name for a in after.antennas] == ["FM", "spare"]
    assert after.antennas[1].allows == Allowance(auxiliary_of="FM")
    assert after.states[0].states == (("FM", OUT), ("spare", State()))
    assert after.jobs[0].states == (("FM", OUT),)
    assert renamed(after, "FM", "main") == before
    with pytest.raises(InputError, match="another antenna is called 'spare'"):
        renamed(before, "main", "spare")


def test_several_are_added_with_free_names_and_taken_away() -> None:
    one = isotropic("a", 98e6, 1.0)
    both = added(site(one), [one, one])
    assert [a.name for a in both.antennas] == ["a", "a 2", "a 3"]
    assert [a.name for a in without(both, {0, 2}).antennas] == ["a 2"]
    assert np.allclose(both.antennas[2].position, one.position)
