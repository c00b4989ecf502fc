"""Doubts about a site: what is unusual for its kind is asked about, what is usual is not."""

from __future__ import annotations

from dataclasses import replace

import pytest

from core.antennas.base import Kind
from core.antennas.dish import Dish
from core.antennas.generic import Generic
from core.antennas.kinds import KINDS
from core.antennas.panel import Panel, PanelBand
from core.antennas.stack import Stack
from core.antennas.yagi import Yagi
from core.reading.doubts import FARTHEST, LEAST_WATTS, USUAL_GAIN, USUAL_WATTS, doubts
from core.site.places import Structure
from core.site.site import Antenna, Carrier, Condition, Power, Site, State
from support.simple_sites import ground

PANEL = Panel(
    length=2.0,
    width=0.3,
    bands=(PanelBand(low=7e8, high=9e8, elements=6, spacing=0.3, electrical_tilt=0.0),),
)


def site_with(kind: Kind, frequency: float, power: Power, x: float = 0.0) -> Site:
    carrier = Carrier(name="c", frequency=frequency, power=power)
    antenna = Antenna(
        name="a", kind=kind, position=(x, 0.0, 20.0), contact="desk", carriers=(carrier,)
    )
    return Site(name="s", antennas=(antenna,), surfaces=(ground(20.0, 16.0),))


@pytest.mark.parametrize(
    ("kind", "frequency", "usual", "odd"),
    [
        (PANEL, 8e8, 80.0, 160e3),
        (Generic(entry="sector-700"), 8e8, 80.0, 160e3),
        (Dish(diameter=0.6), 18e9, 0.5, 500.0),
        (Yagi(gain=9.0, boom=1.2), 1.6e8, 100.0, 50e3),
        (Stack(bay="circular", bays=8, design_frequency=98e6, beam_tilt=0.0), 98e6, 25e3, 25e6),
    ],
)
def test_a_power_that_its_kind_never_gets_is_asked_about(
    kind: Kind, frequency: float, usual: float, odd: float
) -> None:
    for watts, asked in ((usual, False), (odd, True)):
        lines = doubts(site_with(kind, frequency, Power(transmitter=watts)))
        assert any("usually gets" in line for line in lines) == asked, lines


def test_a_gain_that_its_kind_never_has_is_asked_about() -> None:
    small = Dish(diameter=1.2)
    lines = doubts(site_with(small, 80e9, Power(transmitter=0.5, gain=61.0)))
    assert any("gain of 61 dBi is more than" in line for line in lines)
    lines = doubts(site_with(PANEL, 8e8, Power(transmitter=20.0, gain=16.0)))
    assert not any("usually has" in line for line in lines)


def test_an_antenna_far_from_everything_is_asked_about() -> None:
    power = Power(transmitter=20.0)
    assert not any("holds it up" in d for d in doubts(site_with(PANEL, 8e8, power)))
    lines = doubts(site_with(PANEL, 8e8, power, x=300.0))
    assert any("280 m from every surface and structure" in d for d in lines)
    mast = Structure(
        name="m",
        kind="mast",
        outline=((299.0, -1.0), (301.0, -1.0), (301.0, 1.0)),
        base=0.0,
        top=30.0,
    )
    held = replace(site_with(PANEL, 8e8, power, x=300.0), structures=(mast,))
    assert not any("holds it up" in d for d in doubts(held))
    assert not any(
        "holds it up" in d for d in doubts(site_with(PANEL, 8e8, power, 20.0 + 0.9 * FARTHEST))
    )


@pytest.mark.parametrize(("watts", "asked"), [(0.16, True), (1.5, False)])
def test_fewer_watts_than_its_kind_gets_are_asked_about(watts: float, *, asked: bool) -> None:
    """Watts entered where kilowatts were meant are a thousand times too few."""
    lines = doubts(site_with(PANEL, 8e8, Power(transmitter=watts)))
    assert any("check the unit of the power" in line for line in lines) is asked


def test_the_tables_of_usual_things_name_kinds_that_there_are() -> None:
    assert set(USUAL_WATTS) <= set(KINDS)
    assert set(LEAST_WATTS) <= set(KINDS)
    assert all(LEAST_WATTS[kind] < 0.01 * USUAL_WATTS[kind] for kind in LEAST_WATTS)
    assert set(USUAL_GAIN) == set(USUAL_WATTS)


@pytest.mark.parametrize(
    ("z", "asked"), [(20.0, False), (27.0, False), (28.0, True), (316.0, True)]
)
def test_an_antenna_high_above_its_roof_and_all_that_stands_there_is_asked_about(
    z: float, *, asked: bool
) -> None:
    one = site_with(PANEL, 8e8, Power(transmitter=40.0))
    block = Structure(
        name="Penthouse", kind="penthouse", base=16.0, top=19.5,
        outline=((-3.0, -3.0), (3.0, -3.0), (3.0, 3.0), (-3.0, 3.0)),
    )  # fmt: skip
    site = replace(
        one, structures=(block,), antennas=(replace(one.antennas[0], position=(0.0, 0.0, z)),)
    )
    said = [line for line in doubts(site) if "what holds it up" in line]
    assert bool(said) is asked
    # A mast that reaches it holds it; so does one that nobody has drawn, where nothing is drawn at all.
    mast = replace(block, name="Mast", kind="mast", top=z)
    assert not any("holds it up" in x for x in doubts(replace(site, structures=(block, mast))))
    assert not any("holds it up" in x for x in doubts(replace(site, structures=())))


def test_a_stick_of_two_way_radio_does_not_get_a_broadcasters_power() -> None:
    stick, fm = (
        Generic(entry="stick-850"),
        Stack(bay="vertical-dipole", bays=4, design_frequency=98e6),
    )
    for kind, frequency, watts, asked in (
        (stick, 870e6, 100.0, False),
        (stick, 870e6, 100e3, True),
        (fm, 98e6, 20e3, False),
    ):
        lines = doubts(site_with(kind, frequency, Power(transmitter=watts)))
        assert any("more than such an antenna" in line for line in lines) is asked


def test_a_gain_far_under_the_models_is_asked_about_for_dishes_too() -> None:
    low = site_with(Dish(diameter=0.6, gain=38.3), 18e9, Power(transmitter=0.1, gain=20.0))
    assert any("18.3 dB under the pattern's" in line for line in doubts(low))


def test_an_equal_antenna_in_the_same_place_is_asked_about() -> None:
    one = site_with(PANEL, 8e8, Power(transmitter=40.0))
    (first,) = one.antennas
    twice = replace(one, antennas=(first, replace(first, name="b")))
    assert [x for x in doubts(twice) if "entered twice" in x] == [
        "b: equal to a, in the same place: entered twice?"
    ]
    for other in ({"azimuth": 120.0}, {"position": (0.0, 0.5, 20.0)}, {"tilt": 2.0}):
        apart = replace(one, antennas=(first, replace(first, name="b", **other)))
        assert not any("entered twice" in x for x in doubts(apart))


@pytest.mark.parametrize(
    ("kind", "apart", "other", "asked"),
    [
        (Stack(bay="crossed-v", bays=4, design_frequency=98e6), 12.0, 98e6, True),
        (Stack(bay="crossed-v", bays=4, design_frequency=98e6), 12.0, 98.2e6, False),
        (Stack(bay="crossed-v", bays=4, design_frequency=98e6), 70.0, 98e6, False),
        (PANEL, 1.0, 98e6, False),  # sectors share frequencies, and not what they send
    ],
)
def test_parts_of_one_antenna_entered_apart_are_asked_about(
    kind: Kind, apart: float, other: float, *, asked: bool
) -> None:
    """Two halves of one stack: their fields add, and powers are up to 3 dB too few."""
    first = 8e8 if kind is PANEL else 98e6
    one = site_with(kind, first, Power(transmitter=100.0))
    (a,) = one.antennas
    x, y, z = a.position
    frequency = first if kind is PANEL else other
    carrier = replace(a.carriers[0], frequency=frequency)
    b = replace(a, name="b", position=(x, y, z + apart), carriers=(carrier,))
    lines = [line for line in doubts(replace(one, antennas=(a, b))) if "one transmitter" in line]
    assert [line.startswith("b: on the frequency of a") for line in lines] == [True] * asked
    off = replace(b, state=State(Condition.OFF))
    assert not any("one transmitter" in line for line in doubts(replace(one, antennas=(a, off))))


def test_dipoles_too_long_for_a_sine_are_asked_about() -> None:
    for length, asked in ((0.5, False), (1.25, True)):
        kind = Stack(bay="vertical-dipole", bays=1, design_frequency=460e6, arm_length=length)
        lines = doubts(site_with(kind, 460e6, Power(transmitter=50.0)))
        assert any("dipoles 1.25 wavelength long" in line for line in lines) is asked
