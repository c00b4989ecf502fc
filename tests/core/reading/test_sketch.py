"""What cannot be as it is drawn is asked about by its name; what is usual is not."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from app.cli.main import main
from core.antennas.dish import Dish
from core.antennas.panel import Panel, PanelBand
from core.antennas.stack import Stack
from core.files.site_writer import save_site
from core.reading.sketch import AHEAD, REACH, sketch_doubts
from core.site.places import AccessPoint, Anchor, Ladder, Structure, Surface
from core.site.site import Antenna, Carrier, Power, Site
from support.simple_sites import ground

SQUARE = ((-3.0, -3.0), (3.0, -3.0), (3.0, 3.0), (-3.0, 3.0))
PENTHOUSE = Structure(name="Lift room", kind="penthouse", outline=SQUARE, base=10.0, top=13.0)
ROOF = Surface(
    name="Roof", kind="roof", height=10.0, outline=tuple((5 * x, 5 * y) for x, y in SQUARE)
)
PANEL = Panel(
    length=2.0,
    width=0.3,
    bands=(PanelBand(low=7e8, high=9e8, elements=6, spacing=0.3, electrical_tilt=0.0),),
)


def antenna(x: float, y: float, z: float, azimuth: float, tilt: float = 0.0) -> Antenna:
    carrier = Carrier(name="c", frequency=8e8, power=Power(transmitter=20.0))
    return Antenna(
        name="a", kind=PANEL, position=(x, y, z), azimuth=azimuth, tilt=tilt, carriers=(carrier,)
    )


def said(one: Antenna, *structures: Structure) -> list[str]:
    site = Site(
        name="s",
        antennas=(one,),
        surfaces=(ground(99.0), ROOF),
        structures=structures or (PENTHOUSE,),
    )
    return [doubt.line for doubt in sketch_doubts(site)]


@pytest.mark.parametrize(
    ("x", "y", "azimuth", "met"),
    [
        (0.0, -5.0, 0.0, 2.0),  # south of it, looking north
        (0.0, 5.0, 180.0, 2.0),
        (-6.0, 0.0, 90.0, 3.0),
        (0.0, 5.0, 0.0, None),  # looking away
        (0.0, 3.2, 0.0, None),  # on its north face, looking north
        (6.0, 0.0, 90.0, None),
        (0.0, -3.0 - AHEAD - 0.1, 0.0, None),  # too far off to be a slip
        (5.0, -5.0, 0.0, None),  # past it
    ],
)
def test_a_panel_that_radiates_into_its_own_penthouse_is_asked_about(
    x: float, y: float, azimuth: float, met: float | None
) -> None:
    lines = said(antenna(x, y, 12.0, azimuth))
    if met is None:
        assert lines == []
    else:
        (line,) = lines
        assert line.startswith("a: radiates into the penthouse 'Lift room'")
        assert f"{met:.1f} m ahead" in line


def test_a_beam_that_passes_over_is_not_asked_about_and_one_that_is_tilted_into_it_is() -> None:
    assert said(antenna(0.0, -5.0, 14.0, 0.0)) == []
    assert len(said(antenna(0.0, -5.0, 14.0, 0.0, tilt=40.0))) == 1
    assert said(antenna(0.0, -5.0, 12.0, 0.0, tilt=-60.0)) == []


def test_azimuths_are_from_true_north_whatever_the_drawing() -> None:
    site = Site(
        name="s", antennas=(antenna(-6.0, 0.0, 12.0, 100.0),), surfaces=(ROOF,), structures=(PENTHOUSE,),
        anchor=Anchor(latitude=40.0, longitude=10.0, grid_north=100.0),
    )  # fmt: skip
    # The drawing's y axis looks to 100°, so the beam goes north on it, past the penthouse.
    assert list(sketch_doubts(site)) == []
    assert len(list(sketch_doubts(replace(site, anchor=None)))) == 1


def test_walls_count_towers_and_railings_do_not() -> None:
    line = ((-9.0, -3.0), (9.0, -3.0))
    for kind, count in (("wall", 1), ("railing", 0)):
        assert (
            len(
                said(
                    antenna(0.0, -5.0, 12.0, 0.0),
                    Structure(name="w", kind=kind, outline=line, base=10.0, top=13.0),
                )
            )
            == count
        )
    tower = replace(PENTHOUSE, kind="tower")
    assert said(antenna(0.0, -5.0, 12.0, 0.0), tower) == []


def test_an_antenna_inside_a_penthouse_is_asked_about_whatever_its_kind() -> None:
    stack = Stack(bay="vertical-dipole", bays=4, design_frequency=8e8)
    for kind in (PANEL, stack):
        (line,) = said(replace(antenna(0.0, 0.0, 12.0, 0.0), kind=kind))
        assert "hangs inside the penthouse" in line
    assert said(replace(antenna(0.0, 0.0, 14.0, 0.0), kind=stack)) == []
    assert said(replace(antenna(0.0, -5.0, 12.0, 0.0), kind=stack)) == []
    dish = Dish(diameter=0.6)
    assert len(said(replace(antenna(0.0, -5.0, 12.0, 0.0), kind=dish))) == 1


def drawn(**parts: object) -> list[str]:
    tower = Structure(
        name="T", kind="tower", outline=((20, 20), (21, 20), (21, 21)), base=0.0, top=60.0
    )
    site = Site(name="s", antennas=(), surfaces=(ground(99.0), ROOF), structures=(tower,))
    return [doubt.line for doubt in sketch_doubts(replace(site, **parts))]  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("points", "words"),
    [
        (((15.5, 0.0, 0.0), (15.5, 0.0, 10.5)), ()),  # ground to roof
        (((20.5, 19.5, 0.0), (20.5, 19.5, 60.0)), ()),  # up the tower
        (((20.5, 19.5, 0.0), (20.5, 19.5, 65.0)), ("ends in the air at 20.5, 19.5, 65 m",)),
        (((15.5, 0.0, 0.0), (15.5, 0.0, 7.0)), ("ends in the air",)),
        (((18.0, 0.0, 0.0), (18.0, 0.0, 10.0)), ("ends in the air",)),  # 3 m beside the roof
        (((40.0, 0.0, 5.0), (40.0, 0.0, 9.0)), ("begins in the air", "ends in the air")),
    ],
)  # fmt: skip
def test_a_ladder_that_ends_in_the_air_is_asked_about(
    points: tuple[tuple[float, float, float], ...], words: tuple[str, ...]
) -> None:
    lines = drawn(ladders=(Ladder(name="L", points=points),))
    assert len(lines) == len(words)
    for line, word in zip(lines, words, strict=True):
        assert line.startswith("L: ")
        assert word in line


@pytest.mark.parametrize(
    ("position", "asked"),
    [
        ((0.0, 0.0, 10.0), False), ((0.0, 0.0, 11.0), False), ((15.0 + REACH - 0.1, 0.0, 10.0), False),
        ((0.0, 0.0, 12.0), True), ((17.0, 0.0, 10.0), True), ((200.0, 0.0, 0.0), True), ((50.0, 0.0, 0.0), False),
    ],
)  # fmt: skip
def test_a_way_in_with_no_surface_is_asked_about(
    position: tuple[float, float, float], asked: bool
) -> None:
    lines = drawn(access_points=(AccessPoint(name="Hatch 1", kind="hatch", position=position),))
    assert [line.startswith("Hatch 1: no surface") for line in lines] == [True] * asked


def test_the_demo_sites_are_drawn_as_they_can_be(demo: Site) -> None:
    assert list(sketch_doubts(demo)) == []


def test_the_check_says_it_beside_the_name(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    site = Site(
        name="s",
        antennas=(antenna(0.0, -5.0, 12.0, 0.0),),
        surfaces=(ROOF,),
        structures=(PENTHOUSE,),
    )
    save_site(site, tmp_path / "s.json")
    assert main(["check", str(tmp_path / "s.json")]) == 1
    assert "a: radiates into the penthouse 'Lift room', 2.0 m ahead" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("change", "asked"),
    [
        ({}, ""),
        ({"base": 10.4, "top": 13.0}, ""),  # on a kerb
        ({"base": 11.0, "top": 14.0}, "its foot, at 11 m, is 1.0 m over everything"),
        ({"base": 12.0, "top": 15.0}, "its foot, at 12 m, is 2.0 m over everything"),
        ({"base": 0.0, "top": 3.0}, "is wholly inside the building 'Block'"),
        ({"base": 7.0, "top": 9.9}, "is wholly inside the building 'Block'"),
        ({"kind": "mast", "base": 0.0, "top": 30.0}, ""),  # comes up through the house
        ({"kind": "plant", "base": 11.0, "top": 12.0}, ""),  # on a frame
    ],
)
def test_a_house_in_the_air_or_in_another_is_asked_about(
    change: dict[str, object], asked: str
) -> None:
    block = Structure(name="Block", kind="building", outline=ROOF.outline, base=0.0, top=10.0)
    house = replace(PENTHOUSE, **change)  # type: ignore[arg-type]
    site = Site(name="s", antennas=(), surfaces=(ground(99.0), ROOF), structures=(block, house))
    lines = [doubt.line for doubt in sketch_doubts(site)]
    assert len(lines) == bool(asked)
    assert all(asked in line and line.startswith("Lift room: ") for line in lines)


@pytest.mark.parametrize(
    ("height", "asked"), [(10.0, ""), (10.3, ""), (12.0, "2.0 m over"), (8.0, "2.0 m under")]
)
def test_a_roof_that_has_left_its_house_is_asked_about(height: float, asked: str) -> None:
    block = Structure(name="Block", kind="building", outline=ROOF.outline, base=0.0, top=10.0)
    site = Site(
        name="s", antennas=(), structures=(block,),
        surfaces=(ground(99.0), replace(ROOF, height=height)),
    )  # fmt: skip
    lines = [doubt.line for doubt in sketch_doubts(site)]
    assert [asked in line for line in lines] == [True] * bool(asked)


def test_a_ladder_that_begins_inside_of_a_house_is_asked_about() -> None:
    block = Structure(name="Block", kind="building", outline=ROOF.outline, base=0.0, top=10.0)
    site = Site(name="s", antennas=(), structures=(block,), surfaces=(ground(99.0), ROOF))
    for foot, asked in ((10.0, False), (7.0, True)):
        ladder = Ladder(name="Rungs", points=((2.0, 2.0, foot), (2.0, 2.0, 11.0)))
        lines = [doubt.line for doubt in sketch_doubts(replace(site, ladders=(ladder,)))]
        assert [line.startswith("Rungs: begins inside the building 'Block'") for line in lines] == [
            True
        ] * asked
    # A fire escape climbs past the outside of it.
    outside = Ladder(name="Escape", points=((15.2, 0.0, 0.0), (15.2, 0.0, 10.0)))
    assert list(sketch_doubts(replace(site, ladders=(outside,)))) == []
