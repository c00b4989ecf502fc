"""Parts of a site taken out, changed and put back; shapes moved, turned, their corners changed."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.antennas.worst_case import WorstCase
from core.errors import InputError
from core.files.site_file import load_site
from core.site.moving import (
    middle,
    moved,
    places,
    turned,
    width_of,
    with_corner,
    with_place,
    with_width,
    without_corner,
    wrapped,
)
from core.site.parts import (
    THE_SITE,
    Part,
    free_name,
    parts,
    value_of,
    with_added,
    with_value,
    without,
)
from core.site.places import AccessPoint, Ladder, Structure, Surface
from core.site.roofs import left_behind, with_changed, with_copy, without_part
from core.site.site import Antenna, Carrier, Power, Site
from support.effort import many
from support.places import ROOT

ROOF = load_site(ROOT / "demo_sites" / "harrow-lane-roof" / "harrow-lane-roof.json")
TOWER = load_site(Path(ROOT) / "demo_sites" / "cold-ridge-tower" / "cold-ridge-tower.json")
SHAPES: list[Any] = [value_of(ROOF, part) for part in parts(ROOF) if part.group != "site"]


def test_every_part_is_found_and_put_back_as_it_is() -> None:
    for site in (ROOF, TOWER):
        assert parts(site)[0] == THE_SITE
        for part in parts(site):
            value = value_of(site, part)
            assert value is not None
            assert with_value(site, part, value) == site
            if part != THE_SITE:
                assert value_of(without(site, part), part) is None
    assert value_of(ROOF, Part("ladders", "gone")) is None
    with pytest.raises(InputError, match="no 'gone' any more"):
        with_value(ROOF, Part("ladders", "gone"), ROOF.ladders[0])
    with pytest.raises(InputError, match="two entries are called"):
        with_added(ROOF, ROOF.surfaces[0])
    assert free_name(ROOF, "structures", "Penthouse") == "Penthouse 2"


def test_what_names_a_ladder_follows_its_name() -> None:
    (old, *_) = TOWER.ladders
    new = Ladder(name="Cage", points=old.points)
    site = with_value(TOWER, Part("ladders", old.name), new)
    before, after = (str((s.jobs, s.fences)) for s in (TOWER, site))
    assert f"ladder='{old.name}'" in before
    assert f"ladder='{old.name}'" not in after
    assert after == before.replace(f"ladder='{old.name}'", "ladder='Cage'")


@settings(max_examples=many(40), deadline=None)
@given(st.sampled_from(SHAPES), st.floats(-360, 360), st.floats(-50, 50), st.floats(-50, 50))
def test_moves_and_turns_are_taken_back(shape: Any, degrees: float, x: float, y: float) -> None:
    there = moved(shape, (x, y, x))
    back = moved(there, (-x, -y, -x))
    for a, b in zip(places(back), places(shape), strict=True):
        assert a == pytest.approx(b, abs=5e-6)
    around = turned(turned(shape, degrees, (x, y)), -degrees, (x, y))
    for a, b in zip(places(around), places(shape), strict=True):
        assert a == pytest.approx(b, abs=5e-6)


def test_a_roof_and_its_hole_go_where_the_structure_goes() -> None:
    part = Part("structures", "Penthouse")
    old: Any = value_of(ROOF, part)
    aside = with_changed(ROOF, part, moved(old, (2.0, 1.0, 0.0)))
    assert aside.surfaces[1].holes == (aside.structures[1].outline,)
    assert (aside.surfaces[2].outline, aside.surfaces[2].height) == (
        aside.structures[1].outline,
        19.5,
    )
    named = with_changed(ROOF, part, replace(old, name="Lift house", top=20.0))
    assert (named.surfaces[2].name, named.surfaces[2].height) == ("Lift house roof", 20.0)
    gone = without_part(ROOF, part)
    assert [s.name for s in gone.surfaces] == ["Street and yard", "Main roof"]
    assert gone.surfaces[1].holes == ()
    copy = replace(moved(old, (12.0, 0.0, 0.0)), name="Penthouse 2")
    twice, which = with_copy(gone, old, copy)
    assert which == Part("structures", "Penthouse 2")
    assert len(twice.surfaces) == 2, "the first has no roof any more"
    twice, _ = with_copy(ROOF, old, copy)
    assert twice.surfaces[3].name == "Penthouse 2 roof"
    assert twice.surfaces[1].holes == (old.outline, copy.outline)


def test_what_stands_on_a_building_goes_up_with_it() -> None:
    """A penthouse with a roof and a hole, and a parapet on the building; a mast beside it on the ground."""

    def box(half: float, x: float = 0.0) -> tuple[tuple[float, float], ...]:
        return ((x - half, -half), (x + half, -half), (x + half, half), (x - half, half))

    block = Structure(name="Block", kind="building", outline=box(10.0), base=0.0, top=16.0)
    house = Structure(name="House", kind="penthouse", outline=box(3.0), base=16.0, top=19.0)
    wall = Structure(
        name="Edge", kind="wall", outline=((-9.0, 9.0), (9.0, 9.0)), base=16.0, top=17.1
    )
    lamp = Structure(name="Lamp", kind="mast", outline=box(0.1, 2.0), base=19.0, top=21.0)
    mast = Structure(name="Mast", kind="mast", outline=box(0.2, 30.0), base=0.0, top=25.0)
    site = Site(name="s", antennas=(), structures=(block, house, wall, lamp, mast), surfaces=(
        Surface(name="Block roof", kind="roof", height=16.0, outline=block.outline, holes=(house.outline,)),
        Surface(name="House roof", kind="roof", height=19.0, outline=house.outline),
        Surface(name="Canopy", kind="roof", height=16.0, outline=box(2.0, 40.0)),
    ))  # fmt: skip
    up = with_changed(site, Part("structures", "Block"), replace(block, top=18.5))
    assert [(s.base, s.top) for s in up.structures] == [
        (0.0, 18.5), (18.5, 21.5), (18.5, 19.6), (21.5, 23.5), (0.0, 25.0),
    ]  # fmt: skip
    assert [s.height for s in up.surfaces] == [18.5, 21.5, 16.0]
    assert up.surfaces[0].holes == (house.outline,)
    assert with_changed(up, Part("structures", "Block"), block) == site
    # A new name or place lifts nothing.
    named = with_changed(site, Part("structures", "Block"), replace(block, name="Exchange"))
    assert named.structures[1:] == site.structures[1:]


def _block() -> Site:
    """A building with its roof, a lift room on it, and what stands there."""

    def box(half: float, x: float = 0.0) -> tuple[tuple[float, float], ...]:
        return ((x - half, -half), (x + half, -half), (x + half, half), (x - half, half))

    block = Structure(name="Block", kind="building", outline=box(10.0), base=0.0, top=16.0)
    house = Structure(name="House", kind="penthouse", outline=box(3.0), base=16.0, top=19.0)
    shed = Structure(name="Shed", kind="building", outline=box(2.0, 30.0), base=0.0, top=3.0)
    return Site(
        name="s", structures=(block, house, shed),
        antennas=(antenna("A", 8.0, 18.0), antenna("B", 10.5, 17.0), antenna("C", 30.0, 5.0)),
        surfaces=(
            Surface(name="Yard", kind="ground", height=0.0, outline=box(50.0)),
            Surface(name="Block roof", kind="roof", height=16.0, outline=block.outline, holes=(house.outline,)),
            Surface(name="House roof", kind="roof", height=19.0, outline=house.outline),
        ),
        ladders=(
            Ladder(name="Up the face", points=((10.2, 0.0, 0.0), (10.2, 0.0, 17.1))),
            Ladder(name="Up the house", points=((3.1, 0.0, 16.0), (3.1, 0.0, 19.0))),
            Ladder(name="Elsewhere", points=((30.0, 2.2, 0.0), (30.0, 2.2, 3.0))),
        ),
        access_points=(
            AccessPoint(name="Roof door", kind="door", position=(3.0, 1.0, 16.0)),
            AccessPoint(name="Hatch", kind="hatch", position=(0.0, 0.0, 19.0)),
            AccessPoint(name="Gate", kind="gate", position=(9.0, -20.0, 0.0)),
        ),
    )  # fmt: skip


def antenna(name: str, x: float, z: float) -> Antenna:
    carrier = Carrier(name="c", frequency=1e8, power=Power(transmitter=10.0))
    return Antenna(name=name, kind=WorstCase(gain=2.0), position=(x, 0.0, z), carriers=(carrier,))


@pytest.mark.parametrize("part", [Part("structures", "Block"), Part("surfaces", "Block roof")])
@pytest.mark.parametrize("by", [(0.0, 0.0, 2.5), (0.0, 0.0, -1.0), (5.0, -2.0, 0.0)])
def test_ways_in_and_ladders_go_where_the_roof_goes_and_antennas_are_named(
    part: Part, by: tuple[float, float, float]
) -> None:
    """A building and its roof are one, whichever is taken hold of; what stands on the ground stays."""
    site = _block()
    old: Any = value_of(site, part)
    new: Any = moved(old, by)
    if isinstance(new, Structure) and by[2]:
        new = replace(new, base=old.base)
    there = with_changed(site, part, new)
    east, north, up = by
    block, house, shed = there.structures
    assert (block.base, block.top) == (0.0, 16.0 + up)
    assert (house.base, house.top) == (16.0 + up, 19.0 + up)
    assert house.outline[0] == (-3.0 + east, -3.0 + north)
    assert shed == site.structures[2]
    roof, top = there.surfaces[1:]
    assert (roof.outline, roof.holes, roof.height) == (block.outline, (house.outline,), 16.0 + up)
    assert (top.outline, top.height) == (house.outline, 19.0 + up)
    assert [w.position for w in there.access_points] == [
        (3.0 + east, 1.0 + north, 16.0 + up), (east, north, 19.0 + up), (9.0, -20.0, 0.0),
    ]  # fmt: skip
    assert [one.points for one in there.ladders] == [
        ((10.2 + east, north, 0.0), (10.2 + east, north, 17.1 + up)),
        ((3.1 + east, north, 16.0 + up), (3.1 + east, north, 19.0 + up)),
        ((30.0, 2.2, 0.0), (30.0, 2.2, 3.0)),
    ]
    assert there.antennas == site.antennas
    assert left_behind(site, part, new) == ("A", "B")
    # Taken back, everything is where it was.
    back: Any = value_of(site, part)
    assert with_changed(there, part, back) == site


def test_the_door_in_the_wall_of_a_lift_room_goes_with_it() -> None:
    site = _block()
    house: Any = site.structures[1]
    there = with_changed(site, Part("structures", "House"), moved(house, (1.0, 2.0, 0.5)))
    assert [w.position for w in there.access_points] == [
        (4.0, 3.0, 16.5), (1.0, 2.0, 19.5), (9.0, -20.0, 0.0),
    ]  # fmt: skip
    higher = with_changed(site, Part("structures", "House"), replace(house, top=20.0))
    assert [w.position[2] for w in higher.access_points] == [16.0, 20.0, 0.0]


def test_nothing_is_left_behind_by_a_name_or_by_ground_that_is_corrected() -> None:
    site = _block()
    for part, new in (
        (Part("structures", "Block"), replace(site.structures[0], name="Exchange")),
        (Part("surfaces", "Yard"), replace(site.surfaces[0], height=0.4)),
        (Part("structures", "Shed"), replace(site.structures[2], top=4.0)),
    ):
        assert left_behind(site, part, new) == ()
        there = with_changed(site, part, new)
        assert (there.ladders, there.access_points) == (site.ladders, site.access_points)
    aside: Any = moved(site.structures[2], (1.0, 0.0, 0.0))
    assert left_behind(site, Part("structures", "Shed"), aside) == ("C",)
    there = with_changed(site, Part("structures", "Shed"), aside)
    assert [one.points[0] for one in there.ladders] == [
        (10.2, 0.0, 0.0), (3.1, 0.0, 16.0), (31.0, 2.2, 0.0),
    ]  # fmt: skip


def test_a_quarter_turn_is_clockwise_and_exact() -> None:
    roof = Surface(name="r", kind="roof", height=1.0, outline=((0.0, 0.0), (4.0, 0.0), (4.0, 2.0)))
    assert turned(roof, 90.0, (0.0, 0.0)).outline == ((0.0, 0.0), (0.0, -4.0), (2.0, -4.0))  # type: ignore[union-attr]
    assert turned(roof, 360.0) == roof
    assert middle(roof) == (2.0, 1.0)
    assert [wrapped(a) for a in (0.0, 180.0, -180.0, 350.0, -190.0)] == [
        0.0,
        180.0,
        180.0,
        -10.0,
        170.0,
    ]
    with pytest.raises(InputError):
        turned(roof, 400.0)
    with pytest.raises(InputError):
        moved(roof, (1e6, 0.0, 0.0))


@settings(max_examples=many(40), deadline=None)
@given(st.sampled_from(SHAPES), st.integers(0, 20))
def test_a_corner_more_and_less_is_the_same_shape(shape: Any, some: int) -> None:
    index = some % len(places(shape))
    put = with_place(shape, index, (7.0, 8.0))
    assert places(put)[index] == (7.0, 8.0)
    more = with_corner(shape, index, (7.0, 8.0))
    if more != shape:
        assert places(more)[index + 1] == (7.0, 8.0)
        assert without_corner(more, index + 1) == shape


def test_a_structure_keeps_its_middle_when_it_is_widened() -> None:
    mast = Structure(
        name="m", kind="mast", outline=((0.0, 0.0), (1.0, 0.0), (1.0, 2.0)), base=0.0, top=9.0
    )
    wide = with_width(mast, 4.0)
    assert (width_of(wide), middle(wide)) == (4.0, middle(mast))
    for wrong in (0.0, -1.0, 1e6, float("nan")):
        with pytest.raises(InputError):
            with_width(mast, wrong)
