"""Readings against the models: what is above raises what is shown, what is below changes nothing."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.exposure.fractions import modelled
from core.exposure.raster import raster
from core.exposure.surveyed import NEAR, comparisons, raises
from core.exposure.totals import exposure
from core.reading.provisos import provisos
from core.reading.reading import read
from core.reading.report import as_data, as_text
from core.site.site import Site
from core.site.state import Condition, State
from core.units import ETA0
from core.views.body import CLIMBING, POINT, STANDING
from core.views.views import ElevationView, PlanView
from support.effort import many
from support.simple_sites import isotropic
from support.surveyed import PLACE, measured, open_ground, with_readings

SITE = open_ground()
OFF = State(Condition.OFF)


def total(site: Site, x: float = PLACE[0], y: float = 0.0, z: float = PLACE[2]) -> float:
    return float(exposure(site, np.array([[x, y, z]])).public.total[0])


def field_at_place() -> float:
    return math.sqrt(float(modelled(SITE, np.array([PLACE])).fields.e2[0, 0]))


def test_the_prediction_is_in_the_unit_of_the_reading() -> None:
    e = field_at_place()
    expected = {"V/m": e, "A/m": e / ETA0, "W/m²": e**2 / ETA0, "mW/cm²": e**2 / ETA0 / 10.0}
    for unit, value in expected.items():
        one = comparisons(with_readings(SITE, measured(1.0, unit)))[0]
        assert one.predicted is not None
        assert one.reading.shown(one.predicted) == pytest.approx(value, rel=0.02)
    percent = measured(50.0, "%", limit_set="FCC", tier="public")
    one = comparisons(with_readings(SITE, percent))[0]
    assert one.predicted == pytest.approx(total(SITE), rel=1e-12)


def test_the_sign_of_an_error_minus_is_a_prediction_that_is_low() -> None:
    e = field_at_place()
    high, low = (comparisons(with_readings(SITE, measured(k * e)))[0] for k in (0.5, 2.0))
    assert high.error_db == pytest.approx(20.0 * math.log10(2.0))
    assert low.error_db == pytest.approx(-20.0 * math.log10(2.0))


def test_a_reading_above_raises_its_place_to_what_was_read() -> None:
    raised = with_readings(SITE, measured(2.0 * field_at_place()))
    assert total(raised) >= 4.0 * total(SITE) * (1 - 1e-9)
    percent = measured(300.0, "%", limit_set="FCC", tier="public")
    assert total(with_readings(SITE, percent)) == pytest.approx(3.0)


def test_where_the_models_give_more_the_factor_counts_and_where_less_the_excess() -> None:
    # Read four times the prediction: k is 4, the excess three times the prediction there (arithmetic).
    here = total(SITE)
    raised = with_readings(SITE, measured(400.0 * here, "%", limit_set="FCC", tier="public"))
    nearer, farther = PLACE[0] - 6.0, PLACE[0] + 6.0
    assert total(SITE, nearer) > here > total(SITE, farther)
    assert total(raised, nearer) == pytest.approx(4.0 * total(SITE, nearer))
    assert total(raised, farther) == pytest.approx(total(SITE, farther) + 3.0 * here)


def test_the_uncertainty_counts_on_top() -> None:
    exact = measured(300.0, "%", limit_set="FCC", tier="public")
    loose = replace(exact, uncertainty=3.0)
    assert total(with_readings(SITE, loose)) == pytest.approx(3.0 * 10**0.3)


def test_a_reading_at_or_below_the_prediction_changes_nothing_anywhere() -> None:
    points = np.random.default_rng(1).uniform((-40, -40, 0), (40, 40, 20), (500, 3))
    before = exposure(SITE, points).public.total
    for share in (0.0, 0.1, 0.999):
        below = with_readings(SITE, measured(share * field_at_place(), uncertainty=6.0))
        assert raises(below) == ()
        np.testing.assert_array_equal(exposure(below, points).public.total, before)


def test_an_explained_reading_raises_nothing() -> None:
    value = 3.0 * field_at_place()
    why = "a generator set stood beside the probe, J. Moss, 2026-11-21"
    assert raises(with_readings(SITE, measured(value)))
    assert raises(with_readings(SITE, measured(value, explained=why))) == ()
    assert raises(with_readings(SITE, measured(value, explained="  ")))


def test_the_excess_is_held_against_the_strictest_limit_of_the_set() -> None:
    # 47 CFR 1.1310 Table 1(B): 27.5 V/m, 0.073 A/m and 0.2 mW/cm² from 30 to 300 MHz are its lowest.
    silent = replace(SITE, antennas=(replace(SITE.antennas[0], state=OFF),))
    for value, unit in ((27.5, "V/m"), (0.073, "A/m"), (0.2, "mW/cm²"), (2.0, "W/m²")):
        one = raises(with_readings(silent, measured(value, unit, states=())))[0]
        assert one.public == pytest.approx(1.0, rel=0.01), unit
        assert one.factor == 1.0
    # Table 1(A): 61.4 V/m there for occupational exposure.
    assert raises(with_readings(silent, measured(61.4, states=())))[0].occupational == (
        pytest.approx(1.0, rel=0.01)
    )


def test_a_percent_of_another_tier_is_turned_at_the_frequencies_of_the_site() -> None:
    # 47 CFR 1.1310: at 900 MHz f/300 against f/1500 mW/cm², five times.
    silent = measured(20.0, "%", limit_set="FCC", tier="occupational", states=())
    one = raises(with_readings(SITE, silent))[0]
    assert one.occupational == pytest.approx(0.2)
    assert one.public == pytest.approx(1.0, rel=0.01)


def test_what_the_site_is_switched_to_later_does_not_hide_the_excess() -> None:
    raised = with_readings(SITE, measured(2.0 * field_at_place()))
    off = replace(raised, antennas=(replace(raised.antennas[0], state=OFF),))
    assert raises(off) == raises(raised)
    assert total(off) == pytest.approx(raises(raised)[0].public)
    # An emitter that is put on the list afterwards was not there when it was read.
    more = replace(raised, antennas=(*raised.antennas, isotropic("new", 900e6, 1e6, (21, 0, 5))))
    assert raises(more)[0].factor == raises(raised)[0].factor


def test_states_of_then_are_those_it_is_compared_with() -> None:
    tenth = measured(field_at_place(), states=(("source", State(Condition.REDUCED, 10.0)),))
    one = comparisons(with_readings(SITE, tenth))[0]
    assert one.error_db == pytest.approx(-10.0)
    unknown = measured(1.0, states=(("source", State(Condition.UNKNOWN)),))
    assert comparisons(with_readings(SITE, unknown))[0].predicted == pytest.approx(
        field_at_place() ** 2
    )


def test_the_raise_ends_at_its_radius_and_a_long_wave_reaches_farther() -> None:
    raised = with_readings(SITE, measured(500.0, "%", limit_set="FCC", tier="public"))
    inside, outside = PLACE[0] + NEAR - 0.01, PLACE[0] + NEAR + 0.01
    assert total(raised, inside) > 4.0
    assert total(raised, outside) == total(SITE, outside)
    body = exposure(raised, np.array([[PLACE[0], 0.0, PLACE[2] + NEAR + 0.5]]), CLIMBING)
    assert body.public.raised[0] > 0.0
    long = replace(raised, antennas=(*raised.antennas, isotropic("AM", 1e6, 10.0, (500, 0, 30))))
    assert raises(long)[0].radius == pytest.approx(299.792458)


def test_inside_a_reactive_region_there_is_nothing_to_compare() -> None:
    near = replace(SITE.antennas[0], position=(20.0, 0.0, 1.5))
    site = with_readings(replace(SITE, antennas=(near,)), measured(1000.0))
    assert comparisons(site)[0].predicted is None
    assert raises(site) == ()


READINGS = st.lists(
    st.tuples(
        st.floats(-30.0, 30.0), st.floats(-30.0, 30.0), st.floats(0.0, 20.0),
        st.floats(0.0, 400.0), st.floats(0.0, 6.0), st.sampled_from(["V/m", "W/m²", "%"]),
    ),
    min_size=1, max_size=6,
)  # fmt: skip


@settings(max_examples=many(25), deadline=None)
@given(READINGS)
def test_one_reading_more_never_lowers_a_figure(
    drawn: list[tuple[float, float, float, float, float, str]],
) -> None:
    made = [
        measured(v, unit, position=(x, y, z), uncertainty=u, limit_set="FCC" if unit == "%" else "")
        for x, y, z, v, u, unit in drawn
    ]
    points = np.random.default_rng(3).uniform((-40, -40, 0), (40, 40, 20), (60, 3))
    before = exposure(SITE, points, STANDING)
    for count in range(1, len(made) + 1):
        after = exposure(with_readings(SITE, *made[:count]), points, STANDING)
        for tier in ("public", "occupational"):
            assert (after.of(tier).total >= before.of(tier).total).all()
        before = after


def test_maps_readings_and_points_are_raised_alike() -> None:
    site = with_readings(SITE, measured(80.0), measured(60.0, position=(-15.0, 5.0, 9.0)))
    assert len(raises(site)) == 2
    plan = PlanView((-30.0, -20.0, 30.0, 20.0), body=STANDING)
    upright = ElevationView((0.0, 0.0), 90.0, (-30.0, 30.0), (0.0, 20.0), CLIMBING)
    for view in (plan, upright):
        drawn = raster(site, view, (24, 30))
        u0, v0, u1, v1 = drawn.bounds
        rows, columns = drawn.public.shape
        u = u0 + (np.arange(columns) + 0.5) * (u1 - u0) / columns
        v = v0 + (np.arange(rows) + 0.5) * (v1 - v0) / rows
        points = view.to_site(site, np.tile(u, rows), np.repeat(v, columns))
        exact = exposure(site, points, view.body).public
        assert (exact.raised > 0.0).any()
        np.testing.assert_allclose(drawn.public.ravel(), exact.total, rtol=2e-3)


def test_every_reading_and_every_page_says_that_it_is_raised() -> None:
    site = with_readings(SITE, measured(80.0))
    at = read(site, PLACE, POINT)
    assert "RAISED within 10 m of 20, 0, 1.5 m" in as_text(at)
    assert "read 80 V/m" in as_text(at)
    assert as_data(at)["raised"] == list(at.raised)
    assert at.public.raised == pytest.approx(at.public.total - total(SITE))
    assert "above the prediction" in at.public.fix
    # Elsewhere the reading is not raised, but what the page of the site says is.
    far = read(site, (-30.0, 0.0, 1.5), POINT)
    assert far.raised == ()
    assert provisos(site)[0].startswith("RAISED")
    assert provisos(SITE) == []
