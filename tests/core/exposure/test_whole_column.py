"""A body is a whole column: no beam is so narrow that it passes between the heights that are looked at."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from core.antennas.base import Kind
from core.antennas.beam_array import BeamArray
from core.antennas.dish import Dish
from core.antennas.generic import Generic
from core.antennas.panel import Panel, PanelBand
from core.antennas.stack import Stack
from core.exposure.raster import raster
from core.exposure.totals import exposure
from core.site.places import Ladder, Surface
from core.site.site import Antenna, Carrier, Power, Site
from core.views.body import CLIMBING, POINT, STANDING, Body, resolved
from core.views.views import ON_SURFACE, ElevationView, PlanView
from core.zones.ladders import ladder_zone
from core.zones.zone import zone
from support.effort import many
from support.simple_sites import FREE

SQUARE = ((-9.0, -9.0), (9.0, -9.0), (9.0, 9.0), (-9.0, 9.0))


def site_with(kind: Kind, frequency: float, height: float, tilt: float = 0.0) -> Site:
    """A roof at 0 m and an antenna at x = -2 m that looks east along it."""
    carrier = Carrier(name="c", frequency=frequency, power=Power(transmitter=1.0))
    return Site(
        name="column",
        antennas=(
            Antenna(
                name="a",
                kind=kind,
                position=(-2.0, 0.0, height),
                azimuth=90.0,
                tilt=tilt,
                carriers=(carrier,),
            ),
        ),
        surfaces=(Surface(name="roof", kind="roof", height=0.0, outline=SQUARE),),
        reflection=FREE,
        extent=(-9.0, -9.0, 9.0, 9.0),
    )


def searched(site: Site, x: float, low: float, high: float) -> float:
    """Return the largest public total over a column at millimetres."""
    z = np.arange(low, high + 1e-9, 0.002)
    at = np.stack([np.full(len(z), x), np.zeros(len(z)), z], axis=1)
    return float(exposure(site, at, POINT).public.total.max())


SMALL_PANEL = Panel(
    length=0.13, width=0.06, bands=(PanelBand(low=25e9, high=27e9, elements=20, spacing=0.006),)
)


NARROW: list[tuple[Kind, float]] = [
    (Dish(diameter=0.1), 80e9),
    (Dish(diameter=0.3), 18e9),
    (Generic(entry="dish-0-6-m"), 18e9),
    (SMALL_PANEL, 26e9),
    (BeamArray(rows=8, columns=8), 28e9),
]


@settings(max_examples=many(30), deadline=None)
@given(
    st.sampled_from(NARROW),
    st.floats(0.05, 1.95),
    st.floats(-1.4, 6.0),
    st.floats(-8.0, 8.0),
)
def test_the_peak_of_a_body_is_that_of_the_whole_column(
    antenna: tuple[Kind, float], height: float, x: float, tilt: float
) -> None:
    site = site_with(*antenna, height, tilt)
    shown = float(exposure(site, np.array([[x, 0.0, 0.0]]), STANDING).public.total[0])
    assert 10.0 * np.log10(shown / searched(site, x, 0.0, 2.0)) > -0.5
    climber = float(exposure(site, np.array([[x, 0.0, 1.0]]), CLIMBING).public.total[0])
    assert climber == pytest.approx(shown, rel=1e-9)


@pytest.mark.parametrize("height", [0.62, 1.13, 1.385])
def test_reading_raster_and_zone_agree_on_a_beam_between_two_quarter_metres(height: float) -> None:
    site = site_with(Dish(diameter=0.1), 80e9, height)
    truth = searched(site, 0.5, 0.0, 2.0)
    read = float(exposure(site, np.array([[0.5, 0.0, 0.0]]), STANDING).public.total[0])
    view = PlanView((0.45, -0.05, 0.55, 0.05), ON_SURFACE, STANDING)
    drawn = float(raster(site, view, (5, 5)).public[2, 2])
    up = ElevationView((0.5, 0.0), 0.0, (-0.05, 0.05), (0.5, 1.5), CLIMBING)
    climbing = raster(site, up, (4, 5))
    middle = float(climbing.public[:, 2].max())
    for value in (read, drawn, middle):
        assert 10.0 * np.log10(value / truth) == pytest.approx(0.0, abs=0.5)
    region = zone(site, 0.8 * truth, "public", view).region
    assert region.contains(shapely.Point(0.5, 0.0))
    spans = ladder_zone(
        site, Ladder(name="l", points=((0.5, 0.0, -1.0), (0.5, 0.0, 3.0))), 0.8 * truth, "public"
    ).intervals
    (span,) = spans
    # The climber's middle is within 1 m of the beam: all of the column counts, feet and head alike.
    assert span.low == pytest.approx(height - 1.0, abs=0.06)
    assert span.high == pytest.approx(height + 1.0, abs=0.06)


def test_a_level_beam_over_all_heads_asks_for_no_more_heights() -> None:
    at = np.array([[1.0, 0.0, 0.0]])
    dish = Dish(diameter=0.1)
    assert len(exposure(site_with(dish, 80e9, 5.0), at, STANDING).body.heights) == 9
    assert len(exposure(site_with(dish, 80e9, 5.0, 40.0), at, STANDING).body.heights) > 100
    # What stands for a class is asked, not the class.
    named = Generic(entry="dish-0-6-m")
    assert len(exposure(site_with(named, 18e9, 1.0), at, STANDING).body.heights) == 17
    stick = Stack(bay="vertical-dipole", bays=2, design_frequency=450e6)
    assert len(exposure(site_with(stick, 450e6, 1.0), at, STANDING).body.heights) == 9


@given(st.floats(0.01, 5.0))
def test_a_resolved_body_keeps_its_ends_and_its_old_heights(narrowest: float) -> None:
    fine = resolved(STANDING, narrowest)
    assert fine.heights[0] == 0.0
    assert fine.heights[-1] == 2.0
    assert np.isin(np.round(STANDING.heights, 9), np.round(fine.heights, 9)).all()
    step = float(np.diff(fine.heights).max())
    assert step <= max(0.25 * narrowest, 0.25 / 16.0) * (1.0 + 1e-6)
    assert resolved(Body((0.0,)), narrowest) == Body((0.0,))
