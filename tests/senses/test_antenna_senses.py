"""One known direction for every sign and angle of an antenna, in site coordinates (x east, y north, z up).

Each expectation is what a person at the place would say; none is computed with the code under test. A reversed
sign anywhere between the site file and the field turns one of them round.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from core.antennas.base import Kind
from core.antennas.beam_array import BeamArray
from core.antennas.dish import Dish
from core.antennas.mast_array import ArrayMast, MastArray
from core.antennas.measured import Measured
from core.antennas.panel import Panel, PanelBand
from core.antennas.panel_ring import PanelRing
from core.antennas.stack import BAYS, Stack
from core.antennas.wire import HfDipole
from core.antennas.yagi import Yagi
from core.exposure.totals import exposure
from core.geometry import axes
from core.patterns.model import Cut, PatternData
from core.site.places import Anchor
from core.site.site import Antenna, Carrier, Power, Site
from support.simple_sites import FREE

Place = tuple[float, float, float]


def site_with(
    kind: Kind,
    frequency: float,
    *,
    north: float = 0.0,
    at: Place = (0.0, 0.0, 0.0),
    floors: bool = True,
    **mount: float,
) -> Site:
    """A site with one antenna of 100 W; ``mount`` has azimuth, tilt and roll; floors may hide a sense."""
    antenna = Antenna(
        name="a",
        kind=kind,
        position=at,
        carriers=(Carrier(name="c", frequency=frequency, power=Power(transmitter=100.0)),),
        **mount,  # type: ignore[arg-type]
    )
    anchor = Anchor(latitude=50.0, longitude=10.0, grid_north=north)
    return Site(name="s", antennas=(antenna,), reflection=FREE, anchor=anchor, conservative=floors)


def stronger(site: Site, here: Place, there: Place) -> float:
    """Return how many times the exposure here is that of there."""
    both = exposure(site, np.array([here, there])).public.total
    return float(both[0] / both[1])


PANEL = Panel(
    length=2.6,
    width=0.3,
    bands=(
        PanelBand(
            low=790e6, high=960e6, elements=8, spacing=0.3, azimuth_width=65.0, electrical_tilt=0.0
        ),
    ),
)
TILTED = Panel(
    length=2.6,
    width=0.3,
    bands=(
        PanelBand(
            low=790e6, high=960e6, elements=8, spacing=0.3, azimuth_width=65.0, electrical_tilt=8.0
        ),
    ),
)


# --- azimuth: clockwise from true north --------------------------------------------------------------------

FORWARD: list[tuple[Kind, float]] = [
    (PANEL, 850e6),
    (Dish(diameter=1.2), 6e9),
    (Yagi(gain=12.0, boom=2.0), 150e6),
    (
        PanelRing(levels=4, spacing=1.15, faces=1, radius=0.4, panel_height=1.0, beam_tilt=0.0),
        557e6,
    ),
    (BeamArray(rows=8, columns=8, steer_azimuth=20.0), 3.5e9),
]


@pytest.mark.parametrize(("kind", "frequency"), FORWARD, ids=lambda v: getattr(v, "KEY", ""))
def test_an_antenna_that_faces_east_is_strongest_in_the_east(kind: Kind, frequency: float) -> None:
    site = site_with(kind, frequency, azimuth=90.0)
    assert stronger(site, (60.0, 0.0, 0.0), (-60.0, 0.0, 0.0)) > 1.5
    assert stronger(site, (60.0, 0.0, 0.0), (0.0, 60.0, 0.0)) > 1.5
    north = site_with(kind, frequency, azimuth=0.0)
    assert stronger(north, (0.0, 60.0, 0.0), (0.0, -60.0, 0.0)) > 1.5


@pytest.mark.parametrize(("kind", "frequency"), FORWARD, ids=lambda v: getattr(v, "KEY", ""))
def test_azimuths_are_true_where_the_grid_is_turned(kind: Kind, frequency: float) -> None:
    """The y axis of the site points east (grid north 90° clockwise of true north): facing east is facing +y."""
    site = site_with(kind, frequency, north=90.0, azimuth=90.0)
    assert stronger(site, (0.0, 60.0, 0.0), (0.0, -60.0, 0.0)) > 1.5
    assert stronger(site, (0.0, 60.0, 0.0), (60.0, 0.0, 0.0)) > 1.5


# --- tilt: positive is down ----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("kind", "frequency"), [*FORWARD[:3], FORWARD[4]], ids=lambda v: getattr(v, "KEY", "")
)
def test_a_mechanical_tilt_of_ten_degrees_looks_down(kind: Kind, frequency: float) -> None:
    """100 m north, 17.6 m below is 10° down; as far above is 20° off the boresight."""
    if isinstance(kind, BeamArray):
        kind = replace(kind, steer_up=0.0, steer_down=0.0)
    site = site_with(kind, frequency, tilt=10.0)
    assert stronger(site, (0.0, 100.0, -17.6), (0.0, 100.0, 17.6)) > 1.1


def test_the_back_of_a_tilted_panel_looks_up() -> None:
    """A panel facing north and tilted down by 12° has its back lobe 12° up in the south."""
    site = site_with(Dish(diameter=0.6), 6e9, tilt=60.0)
    assert stronger(site, (0.0, 50.0, -86.6), (0.0, -50.0, -86.6)) > 1.1


@pytest.mark.parametrize("bay", [*BAYS])
def test_a_beam_tilt_of_a_stack_looks_down_all_round(bay: str) -> None:
    stack = Stack(bay=bay, bays=8, design_frequency=98e6, beam_tilt=6.0)
    site = site_with(stack, 98e6)
    for x, y in ((400.0, 0.0), (-400.0, 0.0), (0.0, 400.0), (280.0, -280.0)):
        assert stronger(site, (x, y, -42.0), (x, y, 42.0)) > 2.0


def test_an_electrical_tilt_of_a_panel_looks_down() -> None:
    site = site_with(TILTED, 850e6)
    assert stronger(site, (0.0, 100.0, -14.0), (0.0, 100.0, 14.0)) > 3.0


def test_an_electrical_tilt_looks_down_behind_the_panel_too() -> None:
    """Electrical tilt is a cone: the beam goes down on all sides, unlike a mechanical one."""
    site = site_with(TILTED, 850e6)
    assert stronger(site, (70.7, 70.7, -14.0), (70.7, 70.7, 14.0)) > 2.0


def test_a_beam_tilt_of_a_panel_ring_looks_down() -> None:
    ring = PanelRing(levels=8, spacing=1.15, faces=4, radius=0.45, panel_height=1.0, beam_tilt=3.0)
    site = site_with(ring, 557e6)
    assert stronger(site, (0.0, 400.0, -21.0), (0.0, 400.0, 21.0)) > 2.0


def test_null_fill_fills_below_the_horizon_where_the_lower_half_leads() -> None:
    """The lower half of the bays has more field: the sum of a stack is not the same up and down close by."""
    stack = Stack(bay="vertical-dipole", bays=8, design_frequency=98e6, null_fill=0.4)
    site = site_with(stack, 98e6)
    assert stronger(site, (4.0, 0.0, -10.7), (4.0, 0.0, 10.7)) > 1.3


def test_a_beam_steered_down_is_stronger_below() -> None:
    kind = BeamArray(rows=12, columns=8, steer_azimuth=10.0, steer_up=-10.0, steer_down=20.0)
    site = site_with(kind, 3.5e9)
    assert stronger(site, (0.0, 100.0, -26.8), (0.0, 100.0, 26.8)) > 3.0


# --- roll: clockwise as seen from behind -----------------------------------------------------------------------


def test_a_roll_turns_clockwise_as_seen_from_behind() -> None:
    """Facing north with electrical tilt, rolled 90°: what was up is east, so the beam that looked down looks west."""
    site = site_with(TILTED, 850e6, roll=90.0)
    assert stronger(site, (-14.0, 100.0, 0.0), (14.0, 100.0, 0.0)) > 3.0


def test_azimuth_comes_first_then_tilt_then_roll() -> None:
    """Facing east, rolled 90°: what was up is south, so the tilted beam looks to the north of east."""
    site = site_with(TILTED, 850e6, azimuth=90.0, roll=90.0)
    assert stronger(site, (100.0, 14.0, 0.0), (100.0, -14.0, 0.0)) > 3.0


# --- patterns: azimuth clockwise, elevation up -----------------------------------------------------------------


def lopsided() -> Measured:
    """Strong to the right of forward and below, weak to the left and above."""
    azimuth, elevation = np.arange(-180.0, 180.0, 5.0), np.arange(-90.0, 90.1, 5.0)
    around = np.interp(azimuth, [-180.0, -90.0, 0.0, 90.0], [20.0, 15.0, 0.0, 3.0], period=360.0)
    upright = np.interp(elevation, [-90.0, -30.0, 0.0, 30.0, 90.0], [30.0, 3.0, 0.0, 15.0, 30.0])
    data = PatternData(
        name="invented",
        azimuth=Cut(azimuth, around),
        elevation=Cut(elevation, upright),
        gain=8.0,
    )
    return Measured(file="p.csv", length=0.5, data=data)


def test_positive_azimuths_of_a_pattern_are_clockwise() -> None:
    """Facing north, clockwise is east."""
    site = site_with(lopsided(), 850e6)
    assert stronger(site, (200.0, 0.0, 0.0), (-200.0, 0.0, 0.0)) > 5.0


def test_positive_elevations_of_a_pattern_are_up() -> None:
    site = site_with(lopsided(), 850e6)
    assert stronger(site, (0.0, 200.0, -115.5), (0.0, 200.0, 115.5)) > 5.0


def test_a_pattern_turns_with_the_antenna() -> None:
    """Facing south, clockwise is west."""
    site = site_with(lopsided(), 850e6, azimuth=180.0)
    assert stronger(site, (-200.0, 0.0, 0.0), (200.0, 0.0, 0.0)) > 5.0


def test_a_pattern_close_in_has_the_same_senses_as_far_out() -> None:
    long = replace(lopsided(), length=6.0)
    site = site_with(long, 850e6, floors=False)
    assert stronger(site, (8.0, 0.0, 0.0), (-8.0, 0.0, 0.0)) > 2.0


# --- faces, masts, wires ------------------------------------------------------------------------------------------


def test_the_faces_of_a_ring_are_counted_clockwise() -> None:
    """Four faces, only the second one fed: it looks 90° clockwise of the first, which looks north."""
    ring = PanelRing(
        levels=2, spacing=1.15, faces=4, radius=0.45, panel_height=1.0,
        face_fields=(0.0, 1.0, 0.0, 0.0), beam_tilt=0.0)  # fmt: skip
    site = site_with(ring, 557e6)
    assert stronger(site, (60.0, 0.0, 0.0), (-60.0, 0.0, 0.0)) > 3.0


def masts(bearing: float, phase: float) -> MastArray:
    """Two masts a quarter wave apart at 1 MHz, equal fields; the second at a bearing with a phase."""
    return MastArray(
        masts=(
            ArrayMast(height=75.0, field=1.0, phase=0.0),
            ArrayMast(height=75.0, field=1.0, phase=phase, distance=75.0, bearing=bearing),
        )
    )


def test_two_masts_in_quadrature_radiate_towards_the_one_that_lags() -> None:
    """Quarter wave apart, 90° behind: the cardioid of the textbook points from the leading mast to the lagging
    one (Kraus, Antennas, end-fire pair, from memory)."""
    site = site_with(masts(bearing=0.0, phase=-90.0), 1e6, floors=False)
    assert stronger(site, (0.0, 2000.0, 2.0), (0.0, -2000.0, 2.0)) > 10.0
    turned = site_with(masts(bearing=0.0, phase=90.0), 1e6, floors=False)
    assert stronger(turned, (0.0, -2000.0, 2.0), (0.0, 2000.0, 2.0)) > 10.0


def test_bearings_of_masts_are_clockwise() -> None:
    site = site_with(masts(bearing=90.0, phase=-90.0), 1e6, floors=False)
    assert stronger(site, (2000.0, 0.0, 2.0), (-2000.0, 0.0, 2.0)) > 10.0


def test_a_wire_lies_across_its_boresight() -> None:
    """A half-wave dipole facing north lies east and west: nothing goes along it."""
    wire = HfDipole(length=10.0, height=30.0, ground="none")
    site = site_with(wire, 14.2e6)
    assert stronger(site, (0.0, 300.0, 30.0), (300.0, 0.0, 30.0)) > 10.0


def test_a_panel_of_a_ring_hangs_on_its_own_side() -> None:
    """Facing north, only the second face fed: its panel hangs 5 m east of the middle. 2 m ahead of it the field is
    (12/2)² = 36 times that 12 m ahead; were it on the other side, (22/12)² = 3.4 times."""
    ring = PanelRing(
        levels=1, spacing=1.0, faces=4, radius=5.0, panel_height=0.4,
        face_fields=(0.0, 1.0, 0.0, 0.0), beam_tilt=0.0)  # fmt: skip
    site = site_with(ring, 557e6)
    assert stronger(site, (7.0, 0.0, 0.0), (17.0, 0.0, 0.0)) > 15.0


def test_axes_stay_a_right_handed_frame_and_left_goes_up_in_a_roll() -> None:
    """Seen from behind a clockwise quarter turn brings the left side to the top (facing north, left is west)."""
    forward, left, up = axes(0.0, 0.0, 90.0).T
    assert forward == pytest.approx((0.0, 1.0, 0.0), abs=1e-12)
    assert left == pytest.approx((0.0, 0.0, 1.0), abs=1e-12)
    assert up == pytest.approx((1.0, 0.0, 0.0), abs=1e-12)
    for mount in ((30.0, 0.0, 0.0), (200.0, 12.0, 0.0), (310.0, -7.0, 55.0)):
        assert np.linalg.det(axes(*mount)) == pytest.approx(1.0)


def test_the_arrow_of_an_antenna_points_where_it_faces_on_a_turned_grid() -> None:
    """The y axis points to the true east: an antenna that faces east is drawn along +y."""
    site = site_with(PANEL, 850e6, north=90.0, azimuth=90.0)
    assert site.frame_of(site.antennas[0])[:, 0] == pytest.approx((0.0, 1.0, 0.0), abs=1e-12)
