"""Corners of walls and surfaces against image theory, exact for endless conducting plates.

Fields of short elements and of the half-wave dipole after Balanis, Antenna Theory, chapter 4 (from memory).
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from numpy.typing import NDArray

from core.antennas.stack import Stack
from core.exposure.sources import Source, sources
from core.site.corner import Corner
from core.site.places import Structure, Surface
from core.site.site import Antenna, Carrier, Power, Site
from core.units import ETA0, wavelength

Cloud = NDArray[np.float64]
FAR = 400.0


def dipole(site_place: tuple[float, float, float], frequency: float, *things: object) -> Site:
    carrier = Carrier(name="c", frequency=frequency, power=Power(transmitter=1.0))
    kind = Stack(bay="vertical-dipole", bays=1, design_frequency=frequency)
    return Site(
        name="invented",
        antennas=(Antenna(name="a", kind=kind, position=site_place, carriers=(carrier,)),),
        surfaces=tuple(s for s in things if isinstance(s, Surface)),
        structures=tuple(s for s in things if isinstance(s, Structure)),
    )


def only(site: Site) -> Source:
    (source,) = sources(site)
    return source


def plane(height: float) -> Surface:
    """Return metal without an end that matters."""
    outline = ((-FAR, -FAR), (FAR, -FAR), (FAR, FAR), (-FAR, FAR))
    return Surface(name="deck", kind="roof", height=height, outline=outline, material="metal")


def bend(west: float, south: float, angle: float = 90.0, top: float = 200.0) -> Structure:
    """Return two walls that meet at (-west, -south): one to the east, the other turned from it by an angle."""
    c, s = np.cos(np.radians(angle)), np.sin(np.radians(angle))
    return Structure(
        name="bend", kind="wall", base=-200.0, top=top,
        outline=((-west + FAR, -south), (-west, -south), (-west + FAR * c, -south + FAR * s)),
    )  # fmt: skip


def element_fields(points: Cloud, at: Cloud, moments: Cloud, k: float) -> tuple[Cloud, Cloud]:
    """Return E and H (n, 3) of short current elements (m, 3), A·m, peak (Balanis eqs. 4-8 and 4-10, all terms)."""
    away = points[:, None] - at[None]
    r = np.linalg.norm(away, axis=2)[..., None]
    u = away / r
    kr = 1j * k * r
    phase = np.exp(-kr) / (4.0 * np.pi * r)
    along = np.sum(u * moments, axis=2)[..., None] * u
    near = 1.0 / kr + 1.0 / kr**2
    e = -1j * k * ETA0 * phase * ((moments - along) + near * (moments - 3.0 * along))
    h = 1j * k * phase * (1.0 + 1.0 / kr) * np.cross(moments[None], u)
    return e.sum(axis=1), h.sum(axis=1)


def half_wave(place: tuple[float, float, float], lam: float) -> tuple[Cloud, Cloud]:
    """Return 24 elements of a half-wave dipole with sinusoidal current that radiates 1 W (73.1 Ω, Balanis 4.6)."""
    step = 0.5 * lam / 24.0
    up = (np.arange(24) - 11.5) * step
    at = np.array(place) + np.column_stack([0.0 * up, 0.0 * up, up])
    current = np.sqrt(2.0 / 73.1) * np.cos(2.0 * np.pi * up / lam)
    return at, np.column_stack([0.0 * up, 0.0 * up, current * step])


def image(at: Cloud, moments: Cloud, origin: Cloud, normal: Cloud) -> tuple[Cloud, Cloud]:
    """Return the image in a conducting plate: the current along it turns round, that across it does not."""
    there = at - 2.0 * ((at - origin) @ normal)[:, None] * normal
    return there, -(moments - 2.0 * (moments @ normal)[:, None] * normal)


def exact(
    points: Cloud, place: tuple[float, float, float], lam: float, plates: list[tuple[Cloud, Cloud]]
) -> Cloud:
    """Return the larger of E²/η and η H² (n,), W/m², with all images in plates at right angles."""
    images = [half_wave(place, lam)]
    for origin, normal in plates:
        images += [image(*one, origin, normal) for one in images]
    fields = [element_fields(points, *one, 2.0 * np.pi / lam) for one in images]
    e, h = (sum(f[i] for f in fields) for i in (0, 1))
    squares = [0.5 * np.sum(np.abs(f) ** 2, axis=1) for f in (e, h)]
    return np.maximum(squares[0] / ETA0, squares[1] * ETA0)


def test_the_elements_radiate_a_watt_and_beam_as_a_half_wave_dipole() -> None:
    """Gain 1.643 broadside (Balanis 4.6): the exact fields that the corners are held against are sound."""
    far = exact(np.array([[1000.0, 0.0, 0.0]]), (0.0, 0.0, 0.0), 3.0, [])
    assert float(far[0]) * 4.0 * np.pi * 1000.0**2 == pytest.approx(1.643, rel=2e-3)


CASES = [
    (98e6, 3.0, 4.0, 4.0), (98e6, 1.2, 1.2, 1.2), (460e6, 2.0, 3.0, 3.0), (174e6, 0.43, 0.43, 2.0),
    (174e6, 5.0, 0.9, 0.7), (900e6, 0.6, 1.7, 2.4),
]  # fmt: skip


@pytest.mark.parametrize(("frequency", "west", "south", "up"), CASES)
@pytest.mark.parametrize("deck", [True, False])
def test_an_inner_corner_is_not_low(
    frequency: float, west: float, south: float, up: float, deck: bool
) -> None:
    """Places before both walls, to 25 wavelengths; 20 dB below an even spread nothing is compared."""
    lam = wavelength(frequency)
    place = (0.0, 0.0, up if deck else 0.0)
    site = dipole(place, frequency, bend(west, south), *([plane(0.0)] if deck else [plane(-150.0)]))
    rng = np.random.default_rng(int(frequency / 1e5 + 10 * west))
    away = lam * 0.5 * 50.0 ** rng.random(4000)
    turn, rise = 2.0 * np.pi * rng.random(4000), rng.uniform(0.02, 2.2, 4000)
    points = np.column_stack([away * np.cos(turn), away * np.sin(turn), rise])
    if not deck:
        points[:, 2] = away * rng.uniform(-0.5, 0.5, 4000)
    inside = (points[:, 0] > 0.05 - west) & (points[:, 1] > 0.05 - south)
    points = points[inside & (points[:, 2] > (0.02 if deck else -100.0))]
    axes = np.eye(3)
    plates = [(np.array([-west, 0.0, 0.0]), axes[0]), (np.array([0.0, -south, 0.0]), axes[1])]
    if deck:
        plates.append((np.zeros(3), axes[2]))
    true = exact(points, place, lam, plates)
    found = only(site).unit_field(points)
    shown = np.maximum(found.e2 / ETA0, found.h2 * ETA0)
    even = 1.0 / (4.0 * np.pi * np.sum((points - place) ** 2, axis=1))
    counts = ~found.reactive & (true > 0.01 * even)
    assert counts.sum() > 800
    low = 10.0 * np.log10(shown[counts] / true[counts])
    assert low.min() > -0.2


def test_without_the_corner_the_same_places_are_low() -> None:
    """Each plane alone, as it was counted before, misses what comes by several of them."""
    lam, place = wavelength(98e6), (0.0, 0.0, 1.2)
    source = only(dipole(place, 98e6, bend(1.2, 1.2), plane(0.0)))
    around = source.around
    alone = replace(around, turns=())
    assert (len(around.images), len(around.turns)) == (3, 4)
    axes = np.eye(3)
    plates = [(-1.2 * a, a) for a in axes[:2]] + [(np.zeros(3), axes[2])]
    turn = np.radians(np.arange(0.0, 90.0, 1.0))
    points = np.column_stack([40.0 * np.cos(turn), 40.0 * np.sin(turn), 0.0 * turn + 1.0])
    true = exact(points, place, lam, plates)
    low = [
        float(
            np.min(10.0 * np.log10(replace(source, around=a).unit_field(points).e2 / ETA0 / true))
        )
        for a in (alone, around)
    ]
    assert low[0] < -0.5 < 0.0 < low[1]


def corners_of(*things: object) -> list[Corner]:
    around = only(dipole((0.0, 0.0, 0.0), 300e6, *things)).around
    return list(around.turns)


def test_which_planes_make_a_corner() -> None:
    """Known cases: outer corners, walls apart, walls at other heights and opposite ones make none."""
    deck = plane(-5.0)
    square = corners_of(bend(2.0, 3.0), deck)
    assert sorted(len(c.planes) for c in square) == [2, 2, 2, 3]
    assert sorted(len(c.orders) for c in square) == [2, 2, 2, 6]
    # Under a right angle each order has an image of its own; over it the first wall hides some.
    for angle, images in ((70.0, 2), (120.0, 1)):
        found = corners_of(bend(2.0, 3.0, angle))
        assert [len(c.orders) for c in found if all(m.upright for m in c.planes)] == [1] * images
    block = Structure(name="b", kind="building", base=-9.0, top=9.0,
                      outline=((-9.0, -9.0), (-2.0, -9.0), (-2.0, -2.0), (-9.0, -2.0)))  # fmt: skip
    ground = Surface(name="g", kind="ground", height=-20.0, outline=deck.outline)
    # Two faces with the ground each, and not with each other: no wave goes round an outer corner.
    assert [len(c.planes) for c in corners_of(block, ground)] == [2, 2]
    assert not any(all(m.upright for m in c.planes) for c in corners_of(block, ground))
    low = Structure(
        name="l", kind="wall", base=-30.0, top=-6.0, outline=((-2.0, -40.0), (-2.0, 40.0))
    )
    assert not corners_of(low, deck)
    street = [
        Structure(name=n, kind="wall", base=-9.0, top=9.0, outline=((x, -40.0), (x, 40.0)))
        for n, x in (("w", -6.0), ("e", 6.0))
    ]
    assert all(not (c.planes[0].upright and c.planes[1].upright) for c in corners_of(*street, deck))


def test_the_image_in_two_walls_is_behind_both() -> None:
    """A known direction: for walls to the west and the south the antenna's image lies to the south-west."""
    (both,) = (c for c in corners_of(bend(2.0, 3.0)) if all(m.upright for m in c.planes))
    there = both.mirrored(np.array([[1.0, 1.0, 0.5]]))
    assert there[0] == pytest.approx([-5.0, -7.0, 0.5])
    (one, two) = next(iter(both.legs((0.0, 0.0, 0.0))))
    # Behind the first wall the wave comes from the antenna mirrored in it.
    assert one.antenna == (0.0, 0.0, 0.0)
    assert two.antenna == pytest.approx(tuple(one.mirror.mirrored(np.zeros((1, 3)))[0]))


def test_two_walls_at_any_angle_are_met_in_their_order() -> None:
    """The way from the antenna by the first wall and then the second is as long as from its image in both."""
    antenna, place = (0.0, 0.0, 0.0), np.array([[1.5, 0.5, 0.4]])
    found = [c for c in corners_of(bend(2.0, 3.0, 70.0)) if all(m.upright for m in c.planes)]
    assert len(found) == 2
    for corner in found:
        first, second = corner.planes
        image = second.mirrored(first.mirrored(np.array([antenna])))
        away = np.linalg.norm(corner.mirrored(place) - np.array(antenna))
        assert away == pytest.approx(np.linalg.norm(place - image))


def test_a_short_wall_sends_back_what_the_deck_has_sent_to_it() -> None:
    """By the deck and a wall 2 m high: the way meets the wall where the antenna's image in the deck sees it.

    Antenna 3 m over the deck and 3 m before the wall, at 3 GHz; place 1 m high and 3 m before it. The way comes from
    3 m under the deck and meets the wall 1 m under it, unfolded: 1 m over it, on the wall. From the antenna itself
    it would meet the wall at its upper end, 2 m: half a metre past it for a place of 2 m.
    """
    wall = Structure(
        name="w", kind="wall", base=0.0, top=2.0, outline=((-3.0, -40.0), (-3.0, 40.0))
    )
    found = dipole((0.0, 0.0, 3.0), 3e9, wall, plane(0.0))
    (corner,) = only(found).around.turns
    for up, whole in ((1.0, True), (2.0, True), (7.9, False)):
        # Unfolded the wave meets the wall halfway between -3 and the place.
        size = corner.coefficient(np.array([[0.0, 0.0, up]]), (0.0, 0.0, 3.0), 3e9)
        assert (float(size[0]) == 1.0) == whole
    alone = corner.planes[0] if corner.planes[0].upright else corner.planes[1]
    assert float(alone.coefficient(np.array([[0.0, 0.0, 2.0]]), (0.0, 0.0, 3.0), 3e9)[0]) < 1.0


def test_the_deck_first_and_then_the_wall_where_only_that_meets_it() -> None:
    """Antenna 1 m over the deck, place 4.5 m: the way by the deck meets the wall of 2 m at 1.75 m, unfolded halfway
    between -1 and 4.5. By the wall first it would be 2.75 m under the deck; straight from the antenna 2.75 m over it.
    """
    wall = Structure(
        name="w", kind="wall", base=0.0, top=2.0, outline=((-3.0, -40.0), (-3.0, 40.0))
    )
    (corner,) = only(dipole((0.0, 0.0, 1.0), 3e9, wall, plane(0.0))).around.turns
    place = np.array([[0.0, 0.0, 4.5]])
    assert float(corner.coefficient(place, (0.0, 0.0, 1.0), 3e9)[0]) == 1.0
    alone = next(m for m in corner.planes if m.upright)
    assert float(alone.coefficient(place, (0.0, 0.0, 1.0), 3e9)[0]) < 0.6


def test_the_reading_says_that_a_corner_is_counted() -> None:
    site = dipole((0.0, 0.0, 1.2), 98e6, bend(1.2, 1.2), plane(0.0))
    assert "by a wall and another one after the other" in only(site).reflection_words
    alone = dipole((0.0, 0.0, 1.2), 98e6, plane(0.0))
    assert "another one after the other" not in only(alone).reflection_words
