"""Surfaces, walls and steel about an antenna: known directions, known values, smooth hand-overs."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from core.antennas.dish import Dish
from core.antennas.generic import Generic
from core.antennas.panel import Panel, PanelBand
from core.antennas.stack import Stack
from core.antennas.yagi import Yagi
from core.exposure.sources import Source, sources
from core.exposure.totals import exposure
from core.files.site_file import load_site
from core.files.site_writer import save_site
from core.site.levels import levels
from core.site.mirrors import MATTERS, matter_of
from core.site.places import Structure, Surface
from core.site.reflection import GROUND_FACTOR, Reflection, ReflectionKind
from core.site.site import Antenna, Carrier, Kind, Power, Site
from core.site.steel import steel

DIPOLE = Stack(bay="vertical-dipole", bays=1, design_frequency=100e6)
PANEL = Panel(
    length=1.4,
    width=0.3,
    bands=(PanelBand(low=8e8, high=1e9, elements=5, spacing=0.25, electrical_tilt=0.0),),
)
FREE = Reflection(ReflectionKind.NONE)


def square(half: float, x: float = 0.0, y: float = 0.0) -> tuple[tuple[float, float], ...]:
    return ((x - half, y - half), (x + half, y - half), (x + half, y + half), (x - half, y + half))


def surface(kind: str, height: float, half: float = 50.0, **more: str) -> Surface:
    return Surface(
        name=f"{kind} {height:g}", kind=kind, height=height, outline=square(half), **more
    )


def site(kind: Kind, frequency: float, up: float, *surfaces: Surface, **more: object) -> Site:
    carrier = Carrier(name="c", frequency=frequency, power=Power(transmitter=100.0))
    one = Antenna(name="a", kind=kind, position=(0.0, 0.0, up), carriers=(carrier,))
    return Site(name="invented", antennas=(one,), surfaces=surfaces, **more)  # type: ignore[arg-type]


def only(found: Site) -> Source:
    (source,) = sources(found)
    return source


def amplitude(found: Site, *place: float) -> float:
    return float(np.sqrt(exposure(found, np.array([place])).fields.e2[0, 0]))


def test_far_out_over_soil_the_published_factor_comes_back() -> None:
    """FCC OET Bulletin 65 eq. 6 (EPA ground factor): 1.6 on the field, where direct and image are alike."""
    ground = site(DIPOLE, 100e6, 20.0, surface("ground", 0.0))
    free = replace(ground, reflection=FREE)
    place = (0.0, 2.0, 0.5)
    # Almost straight below the coefficient is at its least.
    far = (0.3, 0.0, 1e-3)
    ratio = amplitude(ground, *far) / amplitude(free, *far)
    assert 1.6 <= ratio <= 1.75
    assert amplitude(ground, *place) > amplitude(free, *place)


def test_metal_reflects_more_than_soil_and_salt_water_more_than_soil() -> None:
    place = (6.0, 0.0, 1.5)
    fields = {
        m: amplitude(site(DIPOLE, 100e6, 8.0, surface("ground", 0.0, material=m)), *place)
        for m in MATTERS
    }
    assert fields["soil"] <= fields["wet soil"] < fields["salt water"] < fields["metal"]
    assert fields["metal"] == fields["concrete"] == fields["other"]


def test_what_nobody_said_counts_as_the_careful_one() -> None:
    assert matter_of(surface("ground", 0.0)) is MATTERS["soil"]
    assert matter_of(surface("roof", 0.0)) is MATTERS["other"]
    assert matter_of(surface("platform", 0.0)) is MATTERS["other"]
    assert matter_of(surface("roof", 0.0, material="soil")) is MATTERS["soil"]


def test_only_surfaces_below_the_antenna_send_back_and_the_datum_where_none_is() -> None:
    many = site(DIPOLE, 100e6, 20.0, *(surface("platform", h) for h in (25.0, 4.0, 12.0)))
    assert [m.origin[2] for m in only(many).around.mirrors] == [4.0, 12.0]
    assert [m.origin[2] for m in only(site(DIPOLE, 100e6, 20.0)).around.mirrors] == [0.0]
    assert only(site(DIPOLE, 100e6, -2.0)).around.mirrors == ()


def test_two_surfaces_at_one_height_are_one_plane() -> None:
    halves = (
        Surface(name="east", kind="roof", height=9.0, outline=((0, -5), (5, -5), (5, 5), (0, 5))),
        Surface(name="west", kind="roof", height=9.0, outline=((-5, -5), (0, -5), (0, 5), (-5, 5))),
    )
    (mirror,) = only(site(DIPOLE, 100e6, 12.0, *halves)).around.mirrors
    assert sorted(mirror.half) == [5.0, 5.0]
    assert "east and west" in mirror.name


def test_a_roof_shades_those_on_it_from_the_ground_below() -> None:
    roof, ground = surface("roof", 16.0, 12.0), surface("ground", 0.0)
    both, alone = site(DIPOLE, 100e6, 20.0, roof, ground), site(DIPOLE, 100e6, 20.0, roof)
    assert amplitude(both, 5.0, 3.0, 17.0) == amplitude(alone, 5.0, 3.0, 17.0)
    assert amplitude(both, 40.0, 3.0, 17.0) > 1.1 * amplitude(alone, 40.0, 3.0, 17.0)
    # A platform is a grating, and an antenna that hangs beside the roof sees the ground.
    grating = site(DIPOLE, 100e6, 20.0, surface("platform", 16.0, 12.0), ground)
    assert amplitude(grating, 5.0, 3.0, 17.0) > amplitude(both, 5.0, 3.0, 17.0)
    beside = replace(both, antennas=(replace(both.antennas[0], position=(13.0, 0.0, 20.0)),))
    assert all(m.shade is None for m in only(beside).around.mirrors)


WALL = Structure(name="Wall", kind="wall", outline=((5.0, -20.0), (5.0, 20.0)), base=0.0, top=30.0)


def test_a_wall_sends_back_to_the_side_the_antenna_is_on() -> None:
    made = site(DIPOLE, 100e6, 15.0, structures=(WALL,))
    (wall,) = (m for m in only(made).around.mirrors if m.upright)
    assert wall.normal == (-1.0, 0.0, 0.0)
    here = np.array([[4.0, 0.0, 15.0]])
    assert wall.mirrored(here)[0].tolist() == [6.0, 0.0, 15.0]
    assert float(wall.coefficient(here, (0.0, 0.0, 15.0), 100e6)[0]) == 1.0
    assert float(wall.coefficient(np.array([[8.0, 0.0, 15.0]]), (0.0, 0.0, 15.0), 100e6)[0]) == 0.0
    free = replace(made, structures=())
    assert amplitude(made, 4.0, 0.0, 15.0) > 1.4 * amplitude(free, 4.0, 0.0, 15.0)
    assert amplitude(made, 9.0, 0.0, 15.0) == amplitude(free, 9.0, 0.0, 15.0)


def test_a_building_reflects_with_the_faces_that_the_antenna_is_before() -> None:
    for outline in (square(5.0, 20.0), square(5.0, 20.0)[::-1]):
        block = Structure(name="B", kind="building", outline=outline, base=0.0, top=30.0)
        found = only(site(DIPOLE, 100e6, 15.0, structures=(block,))).around.mirrors
        assert [m.normal for m in found if m.upright] == [(-1.0, 0.0, 0.0)]
    on_it = Structure(name="B", kind="building", outline=square(9.0), base=0.0, top=10.0)
    assert not any(
        m.upright for m in only(site(DIPOLE, 100e6, 15.0, structures=(on_it,))).around.mirrors
    )


def test_a_winding_wall_counts_as_a_simpler_one() -> None:
    """Hundreds of short pieces would each be an image; a line through them stands for them."""
    line = tuple((9.0 + 0.1 * (i % 2), -10.0 + 0.05 * i) for i in range(400))
    wall = Structure(name="w", kind="wall", outline=line, base=0.0, top=30.0)
    found = [
        m for m in only(site(DIPOLE, 100e6, 15.0, structures=(wall,))).around.mirrors if m.upright
    ]
    assert 1 <= len(found) <= 12
    before = [
        m for m in found if m.antenna_height((0.0, 0.0, 15.0)) == pytest.approx(9.05, abs=0.06)
    ]
    assert max(m.half[0] for m in before) > 9.0


def test_a_beam_that_meets_a_wall_comes_back_as_the_image_and_any_other_as_powers() -> None:
    """A panel looks north. A wall ahead of it gets its beam; one behind, or a parapet well below the beam, does not."""
    panel = replace(site(PANEL, 9e8, 15.0), reflection=Reflection())
    walls = {
        "ahead": Structure(name="w", kind="wall", outline=((-20, 9), (20, 9)), base=0.0, top=30.0),
        "behind": Structure(
            name="w", kind="wall", outline=((-20, -9), (20, -9)), base=0.0, top=30.0
        ),
        "below": Structure(name="w", kind="wall", outline=((-2, 1), (2, 1)), base=12.0, top=13.0),
    }
    found = {
        name: len(only(replace(panel, structures=(w,))).around.glows) for name, w in walls.items()
    }
    assert found == {"ahead": 0, "behind": 1, "below": 1}
    # Behind the panel, with the wall ahead: the beam comes back, well over what is there directly.
    ahead = replace(panel, structures=(walls["ahead"],))
    assert amplitude(ahead, 0.0, -4.0, 15.0) > 1.8 * amplitude(panel, 0.0, -4.0, 15.0)


def test_a_face_narrower_than_the_zone_sends_back_its_share() -> None:
    """A parapet of 1 m at 100 MHz, antenna 10 m and place 5 m before it: F² = λ h q/(h + q), 2a/F of the whole."""
    low = Structure(name="w", kind="wall", outline=((10, -40), (10, 40)), base=14.5, top=15.5)
    (wall,) = (
        m for m in only(site(DIPOLE, 100e6, 15.0, structures=(low,))).around.mirrors if m.upright
    )
    zone = np.sqrt(299_792_458.0 / 100e6 * 10.0 * 5.0 / 15.0)
    got = wall.coefficient(np.array([[5.0, 0.0, 15.0]]), (0.0, 0.0, 15.0), 100e6)
    assert float(got[0]) == pytest.approx(1.0 / zone)


@pytest.mark.parametrize(
    ("kind", "frequency"),
    [
        (PANEL, 9e8),
        (Generic(entry="sector-2600"), 2.6e9),
        (Yagi(gain=12.0, boom=1.2), 450e6),
        (Dish(diameter=0.6), 7e9),
    ],
)
@pytest.mark.parametrize("bearing", [0.0, 100.0, 130.0, 180.0, 250.0])
def test_a_wall_that_no_beam_meets_sends_back_no_less_than_the_image(
    kind: Kind, frequency: float, bearing: float
) -> None:
    """The antenna looks to a bearing, the wall stands 3 m south of it: behind, beside or half before its beam."""
    wall = Structure(name="w", kind="wall", outline=((-40, -3), (40, -3)), base=-60.0, top=120.0)
    free = replace(site(kind, frequency, 30.0), reflection=FREE)
    free = replace(free, antennas=(replace(free.antennas[0], azimuth=bearing),))
    made = replace(free, structures=(wall,), reflection=Reflection())
    source, alone = only(made), only(free)
    rng = np.random.default_rng(int(bearing))
    points = rng.uniform((-25.0, -2.9, 20.0), (25.0, 20.0, 40.0), (3000, 3))
    (mirror,) = (m for m in source.around.mirrors if m.upright)
    image = alone.unit_field(mirror.mirrored(points))
    direct = np.sqrt(alone.unit_field(points).e2)
    size = mirror.coefficient(points, (0.0, 0.0, 30.0), frequency)
    shown = np.sqrt(source.unit_field(points).e2)
    clear = ~image.reactive & (size > 0.0)
    true = direct + size * np.sqrt(image.e2)
    # Between the directions that are looked at it may be a little stronger.
    assert (20.0 * np.log10(shown / true))[clear].min() > -0.3


def test_walls_that_no_beam_meets_add_their_powers_and_then_in_phase() -> None:
    """A panel looks north, walls stand behind it and beside: together √(g² + g'²) over the direct field."""
    free = replace(site(PANEL, 9e8, 30.0), reflection=FREE)
    walls = [
        Structure(name=n, kind="wall", outline=line, base=0.0, top=60.0)
        for n, line in (("s", ((-40.0, -9.0), (40.0, -9.0))), ("w", ((-9.0, -5.5), (-9.0, -1.0))))
    ]
    here = np.array([[-3.0, -5.0, 29.0]])

    def added(*structures: Structure) -> float:
        made = replace(free, structures=structures, reflection=Reflection())
        sources_of = [only(made), only(replace(made, structures=()))]
        with_walls, without = (np.sqrt(s.unit_field(here).e2[0]) for s in sources_of)
        assert len(sources_of[0].around.glows) == len(structures)
        return float(with_walls - without)

    first, second = added(walls[0]), added(walls[1])
    # The first alone: the strongest wave to the mirrored place 13 m south of the antenna, over the way there.
    away = np.sqrt(3.0**2 + 13.0**2 + 1.0)
    level = float(levels(PANEL, 9e8, conservative=True).towards(np.array([[-13.0, 3.0, -1.0]]))[0])
    assert first == pytest.approx(np.sqrt(376.730313668) * level / away, rel=1e-6)
    assert second > 0.0
    assert added(*walls) == pytest.approx(np.hypot(first, second), rel=1e-6)


def test_levels_are_the_strongest_wave_to_each_side() -> None:
    """Known directions: a panel sends less behind and less straight down than ahead, and as much left as right."""
    found = levels(PANEL, 9e8, conservative=True)
    ahead, left, right, behind, down = (
        float(found.towards(np.array([way]))[0])
        for way in ([9.0, 0, 0], [0, 9.0, 0], [0, -9.0, 0], [-9.0, 0, 0], [0.1, 0, -9.0])
    )
    assert left == right
    assert ahead > 1.7 * left
    assert ahead > 3.0 * behind
    assert ahead > 3.0 * down
    assert ahead**2 >= PANEL.directivity(9e8) / (4.0 * np.pi)


def test_a_straight_wall_of_many_points_has_a_face() -> None:
    points = tuple((float(x), -4.0) for x in np.linspace(-20.0, 20.0, 30))
    many = Structure(name="w", kind="wall", outline=points, base=0.0, top=30.0)
    few = replace(many, outline=(points[0], points[-1]))
    made, other = (site(DIPOLE, 100e6, 15.0, structures=(w,)) for w in (many, few))
    assert amplitude(made, 3.0, 6.0, 14.0) == pytest.approx(amplitude(other, 3.0, 6.0, 14.0))
    assert amplitude(made, 3.0, 6.0, 14.0) > amplitude(replace(made, structures=()), 3.0, 6.0, 14.0)


def test_a_curved_wall_of_many_pieces_reads_as_one_of_fewer() -> None:
    """A quarter of a circle about the antenna, in 12 pieces and in 48, and an L that is drawn with many points."""
    reads = []
    for count in (13, 49):
        t = np.linspace(0.75 * np.pi, 1.25 * np.pi, count)
        arc = tuple((float(6.0 * np.cos(x)), float(6.0 * np.sin(x))) for x in t)
        wall = Structure(name="w", kind="wall", outline=arc, base=0.0, top=30.0)
        made = site(DIPOLE, 100e6, 15.0, structures=(wall,))
        assert 3 <= len([m for m in only(made).around.mirrors if m.upright]) <= 12
        reads.append(amplitude(made, 4.0, 0.5, 15.0))
    assert reads[1] > 0.9 * reads[0]
    legs = [(float(x), -4.0) for x in np.linspace(9.0, -3.0, 12)]
    legs += [(-3.0, float(y)) for y in np.linspace(-3.0, 8.0, 12)]
    many = Structure(name="w", kind="wall", outline=tuple(legs), base=0.0, top=30.0)
    few = replace(many, outline=((9.0, -4.0), (-3.0, -4.0), (-3.0, 8.0)))
    places = ((4.0, 2.0, 14.0), (1.0, 5.0, 16.0))
    for place in places:
        made, other = (
            amplitude(site(DIPOLE, 100e6, 15.0, structures=(w,)), *place) for w in (many, few)
        )
        assert made == pytest.approx(other, rel=0.02)


@pytest.mark.parametrize("turn", [0.0, 0.3, 1.1, 2.5])
def test_an_antenna_on_the_line_of_a_wall_hangs_before_it(turn: float) -> None:
    """Drawing snaps to lines: whatever rounding makes of it, the face counts as for one a hair before it."""
    c, s = np.cos(turn), np.sin(turn)

    def at(u: float, v: float) -> tuple[float, float]:
        return (7.3 + c * u - s * v, -2.1 + s * u + c * v)

    corners = tuple(at(u, v) for u, v in ((-13.7, 0.0), (-13.7, 9.0), (11.1, 9.0), (11.1, 0.0)))
    block = Structure(name="b", kind="building", outline=corners, base=0.0, top=40.0)
    place = (*at(1.0, -5.0), 15.0)
    figures = []
    for before in (0.0, 1e-6):
        one = site(DIPOLE, 100e6, 15.0, structures=(block,))
        antenna = replace(one.antennas[0], position=(*at(0.77, -before), 15.0))
        figures.append(amplitude(replace(one, antennas=(antenna,)), *place))
    assert figures[0] == pytest.approx(figures[1], rel=1e-3)
    assert (
        figures[0] > 1.5 * amplitude(replace(one, antennas=(antenna,), structures=()), *place) / 1.6
    )


MASTS = Structure(name="Tower", kind="tower", outline=square(0.4, 1.5), base=0.0, top=60.0)


def test_steel_raises_the_field_beside_it_and_an_antenna_beside_it_everywhere() -> None:
    plain = site(DIPOLE, 100e6, 30.0)
    beside = replace(plain, structures=(MASTS,))
    about = only(beside).around.steel
    assert about is not None
    # Own fits: 3.1 dB for a narrow tower within a wavelength; near it more where its members may resonate.
    assert about.beside_db == pytest.approx(3.1)
    at = np.array([0.05, 0.1, 0.2, 1.0, 30.0])
    for frequency, near in ((60e6, [7.3, 7.3, 6.0]), (120e6, [9.0, 9.0, 7.0])):
        one = steel((MASTS,), (0, 0, 30), frequency, backed=False, in_pattern=False, own=False)
        assert one is not None
        assert one.decibels(at) == pytest.approx([*near, 3.1, 3.1])
    far = (-40.0, 5.0, 31.0)
    assert 20.0 * np.log10(amplitude(beside, *far) / amplitude(plain, *far)) == pytest.approx(3.1)
    away = replace(plain, antennas=(replace(plain.antennas[0], position=(-60.0, 0.0, 30.0)),))
    far_off = only(replace(away, structures=(MASTS,))).around.steel
    assert far_off is not None
    # A wavelength over the 61.1 m to its nearest face.
    assert far_off.beside_db == pytest.approx(3.1 * 2.998 / 61.1, rel=1e-3)
    near_tower = (1.0, 0.0, 30.0)
    ratio = amplitude(replace(away, structures=(MASTS,)), *near_tower) / amplitude(
        away, *near_tower
    )
    assert 20.0 * np.log10(ratio) == pytest.approx(8.92, abs=0.1)


def test_steel_is_not_counted_twice_nor_behind_a_reflector_nor_in_a_best_estimate() -> None:
    beside = site(DIPOLE, 100e6, 30.0, structures=(MASTS,))
    measured = replace(beside.antennas[0], tower_in_pattern=True)
    about = only(replace(beside, antennas=(measured,))).around.steel
    assert about is not None
    assert about.decibels(np.array([0.1, 1.0, 30.0])) == pytest.approx([8.6, 0.0, 0.0])
    panel = only(site(PANEL, 9e8, 30.0, structures=(MASTS,))).around.steel
    assert panel is not None
    assert panel.beside_db == 0.0
    assert only(replace(beside, conservative=False)).around.steel is None
    assert steel((WALL,), (0, 0, 0), 1e8, backed=False, in_pattern=False, own=False) is None


def test_the_distance_from_steel_is_to_its_faces_inside_and_out_and_over_its_top() -> None:
    about = only(site(DIPOLE, 100e6, 30.0, structures=(MASTS,))).around.steel
    assert about is not None
    at = np.array([[1.5, 0.0, 10.0], [3.0, 0.0, 10.0], [1.9, 0.0, 64.0], [5.9, 0.0, 63.0]])
    assert about.distance(at) == pytest.approx([0.4, 1.1, 4.0, 5.0])


PATHS = {
    "up beside the roof's edge": ((9.0, 0.5, 5.0), (9.0, 0.5, 25.0)),
    "out over the edge": ((0.5, 0.7, 17.5), (40.0, 1.0, 17.5)),
    "up from the roof": ((3.0, 2.0, 16.0), (3.0, 2.0, 23.0)),
    "past the wall": ((-3.0, 12.0, 17.0), (20.0, 12.0, 17.0)),
    "over the wall": ((4.0, 12.0, 16.0), (4.0, 12.0, 30.0)),
    "through the tower": ((-12.0, -3.0, 18.0), (2.0, -2.5, 18.0)),
}


@pytest.mark.parametrize("path", PATHS.values(), ids=PATHS)
def test_nothing_steps_along_a_way_past_what_stands_there(
    path: tuple[tuple[float, ...], tuple[float, ...]],
) -> None:
    """No step over 0.15 dB in half a centimetre but what the same way without all this changes."""
    things = (
        Structure(name="w", kind="wall", outline=((2.0, 14.0), (9.0, 14.0)), base=16.0, top=18.0),
        Structure(name="t", kind="tower", outline=square(0.4, -5.0, -3.0), base=16.0, top=24.0),
    )
    made = site(
        DIPOLE, 100e6, 19.5, surface("roof", 16.0, 8.0), surface("ground", 0.0), structures=things
    )
    start, end = (np.array(p) for p in path)
    count = int(np.linalg.norm(end - start) / 0.005)
    points = start + np.linspace(0.0, 1.0, count)[:, None] * (end - start)
    with_all = only(made).unit_field(points).e2
    without = only(replace(made, reflection=FREE, structures=())).unit_field(points).e2
    steps, plain = (np.abs(np.diff(10.0 * np.log10(v))) for v in (with_all, without))
    assert steps.max() < 0.15 + plain.max()


def test_materials_and_patterns_with_towers_round_trip_and_are_refused_by_name(tmp_path) -> None:  # type: ignore[no-untyped-def]
    made = site(DIPOLE, 100e6, 15.0, surface("roof", 3.0, material="wet soil"))
    made = replace(made, antennas=(replace(made.antennas[0], tower_in_pattern=True),))
    save_site(made, tmp_path / "s.json")
    assert load_site(tmp_path / "s.json") == made
    with pytest.raises(Exception, match="not a material"):
        surface("roof", 0.0, material="straw")


def test_the_factors_stay_on_offer_under_their_names(tmp_path) -> None:  # type: ignore[no-untyped-def]
    made = replace(site(DIPOLE, 100e6, 15.0, surface("roof", 3.0)), reflection=GROUND_FACTOR)
    save_site(made, tmp_path / "s.json")
    assert '"ground 1.6"' in (tmp_path / "s.json").read_text("utf-8")
    assert load_site(tmp_path / "s.json").reflection == GROUND_FACTOR
    assert only(made).around.mirrors == ()
