"""Fractions, totals and shares: trade facts, worked sums and properties."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.antennas.stack import Stack
from core.exposure.fractions import split, weight
from core.exposure.totals import exposure
from core.geometry import axes
from core.limits.sets import get_set
from core.site.site import Antenna, Carrier, Condition, Power, Site, State
from core.units import ETA0
from core.views.body import STANDING, Body
from support.effort import many
from support.simple_sites import FREE, isotropic


def fractions(
    limit_set: str, tier: str, frequency: float, e: float, h: float
) -> tuple[float, float]:
    """Electric and magnetic fraction of one emitter's fields against the first table of a tier."""
    chosen = get_set(limit_set)
    table = chosen.of(tier)[0]
    w = weight(table.at(frequency), table, chosen, frequency)
    electric, magnetic = split(np.array([e * e]), np.array([h * h]), np.array([False]), w)
    return float(electric[0]), float(magnetic[0])


def plane_wave_fraction(tier: str, frequency: float, s: float) -> float:
    electric, magnetic = fractions("FCC", tier, frequency, (s * ETA0) ** 0.5, (s / ETA0) ** 0.5)
    return max(electric, magnetic)


def test_6_8_milliwatt_at_100_megahertz_is_680_percent_of_the_occupational_limit() -> None:
    # Common practice, no source: the limit there is 1 mW/cm², so 6.8 mW/cm² is a factor of 6.8.
    assert plane_wave_fraction("occupational", 100e6, 10.0) == pytest.approx(1.0, rel=5e-3)
    assert plane_wave_fraction("occupational", 100e6, 68.0) == pytest.approx(6.8, rel=5e-3)


def test_worked_sum_of_an_am_an_fm_and_a_cellular_station() -> None:
    # Fineness: FCC OET Bulletin 65 (from memory); limits 47 CFR 1.1310 Table 1; figures by arithmetic:
    # AM 1.0 MHz 200 V/m, 0.60 A/m; FM 98.1 MHz 0.06 mW/cm²; cellular 869 MHz 0.10 mW/cm².
    for tier, e_total, h_total in (("public", 0.5787, 0.6081), ("occupational", 0.2006, 0.2300)):
        am = fractions("FCC", tier, 1.0e6, 200.0, 0.60)
        others = plane_wave_fraction(tier, 98.1e6, 0.6) + plane_wave_fraction(tier, 869e6, 1.0)
        assert am[0] + others == pytest.approx(e_total, abs=1.5e-3)
        assert am[1] + others == pytest.approx(h_total, abs=1.5e-3)


def test_worked_sum_against_the_public_limit() -> None:
    # FM 40 µW/cm², 600 MHz 80, 850 MHz 30, AM 1 MHz 50 V/m and 0.2 A/m: 46.80 % (by arithmetic from
    # 47 CFR 1.1310 Table 1); the magnetic side of the AM station counts, 1.506 %.
    total = (
        plane_wave_fraction("public", 98e6, 0.4)
        + plane_wave_fraction("public", 600e6, 0.8)
        + plane_wave_fraction("public", 850e6, 0.3)
        + fractions("FCC", "public", 1e6, 50.0, 0.2)[1]
    )
    assert total == pytest.approx(0.4680, abs=2e-3)


def test_icnirp_2020_below_30_megahertz_adds_the_electric_and_the_magnetic_fraction() -> None:
    # ICNIRP 2020 Table 5 (from memory): at 1 MHz public 300 V/m and 2.2 A/m; adding is the safe reading.
    electric, magnetic = fractions("ICNIRP2020", "public", 1e6, 150.0, 1.1)
    assert electric == magnetic == pytest.approx(0.5, rel=1e-6)


def test_an_emitter_outside_the_set_has_no_fraction_and_is_reported(
    one_source: Callable[[float, float], Site],
) -> None:
    from core.reading.reading import read

    reading = read(one_source(200e3, 1000.0), (300.0, 0.0, 0.0))
    assert reading.category is None
    assert "source: only" in reading.uncovered
    assert "No verdict" in reading.verdict


def stack_site(power: float, azimuth: float = 0.0, turn: float = 0.0) -> Site:
    c, s = np.cos(np.radians(turn)), np.sin(np.radians(turn))
    kind = Stack(bay="slant-ring", bays=4, design_frequency=98e6, beam_tilt=0.0)
    first = Antenna(
        name="fm",
        kind=kind,
        position=(3.0 * c, -3.0 * s, 20.0),
        azimuth=azimuth + turn,
        carriers=(Carrier(name="98", frequency=98e6, power=Power(transmitter=power)),),
    )
    second = replace(
        first,
        name="stick",
        kind=Stack(bay="vertical-dipole", bays=2, design_frequency=450e6, beam_tilt=3.0),
        position=(-2.0 * s, -2.0 * c, 12.0),
        carriers=(Carrier(name="450", frequency=450e6, power=Power(transmitter=power / 50)),),
    )
    return Site(name="stacks", antennas=(first, second), reflection=FREE)


coordinates = st.floats(-60.0, 60.0)


@settings(max_examples=many(25), deadline=None)
@given(x=coordinates, y=coordinates, z=st.floats(0.0, 40.0), turn=st.floats(0.0, 360.0))
def test_turning_site_and_antennas_together_changes_nothing(
    x: float, y: float, z: float, turn: float
) -> None:
    c, s = np.cos(np.radians(turn)), np.sin(np.radians(turn))
    turned = np.array([[x * c + y * s, -x * s + y * c, z]])
    before = exposure(stack_site(1000.0), np.array([[x, y, z]]))
    after = exposure(stack_site(1000.0, turn=turn), turned)
    assert after.public.total[0] == pytest.approx(before.public.total[0], rel=1e-6)


@settings(max_examples=many(25), deadline=None)
@given(x=coordinates, y=coordinates, z=st.floats(0.0, 40.0), power=st.floats(0.1, 1e5))
def test_doubling_the_power_doubles_the_percent(x: float, y: float, z: float, power: float) -> None:
    point = np.array([[x, y, z]])
    once, twice = exposure(stack_site(power), point), exposure(stack_site(2.0 * power), point)
    if not once.reactive[0]:
        assert twice.public.total[0] == pytest.approx(2.0 * once.public.total[0], rel=1e-12)
    assert once.occupational.shares.sum(axis=0)[0] == pytest.approx(
        once.occupational.total[0], rel=1e-12
    )


@settings(max_examples=10, deadline=None)
@given(order=st.permutations(range(5)), x=coordinates, y=coordinates)
def test_totals_do_not_depend_on_the_order_of_the_antennas(
    order: list[int], x: float, y: float
) -> None:
    antennas = [
        isotropic(f"a{i}", 1e6 * 10.0**i, 50.0 * (i + 1), (float(i), 0.0, 3.0)) for i in range(5)
    ]
    point = np.array([[x, y, 0.0]])
    straight = exposure(Site(name="s", antennas=tuple(antennas)), point)
    mixed = exposure(Site(name="s", antennas=tuple(antennas[i] for i in order)), point)
    assert mixed.public.total[0] == pytest.approx(straight.public.total[0], rel=1e-12)


def test_far_out_free_space_falls_with_the_square_of_the_distance() -> None:
    site = stack_site(1000.0)
    along = np.array([[1.0, 0.3, 0.0]]) / np.hypot(1.0, 0.3)
    far = [exposure(site, along * r + [0.0, 0.0, 20.0]).public.total[0] for r in (2000.0, 4000.0)]
    assert far[0] / far[1] == pytest.approx(4.0, rel=0.01)


def test_the_body_column_takes_the_peak_or_the_mean(
    one_source: Callable[[float, float], Site],
) -> None:
    site = one_source(100e6, 1000.0)
    points = np.array([[0.0, 4.0, -1.0]])
    peak = exposure(site, points, STANDING)
    mean = exposure(site, points, replace(STANDING, average=True))
    single = [
        exposure(site, points + np.array([0, 0, z])).public.total[0] for z in STANDING.heights
    ]
    assert peak.public.total[0] == pytest.approx(max(single), rel=1e-12)
    assert mean.public.total[0] == pytest.approx(np.mean(single), rel=1e-12)
    assert peak.body.heights[peak.public.height[0]] == 1.0


@pytest.mark.parametrize(
    ("condition", "share"),
    [
        (Condition.ON, 1.0),
        (Condition.STANDBY, 1.0),
        (Condition.UNKNOWN, 1.0),
        (Condition.OFF, 0.0),
        (Condition.LOCKED_OUT, 0.0),
        (Condition.REDUCED, 0.25),
    ],
)
def test_standby_and_unknown_count_as_on_and_locked_out_as_silent(
    condition: Condition, share: float, one_source: Callable[[float, float], Site]
) -> None:
    site = one_source(100e6, 1000.0)
    point = np.array([[5.0, 0.0, 0.0]])
    full = exposure(site, point).public.total[0]
    state = State(condition, 25.0 if condition is Condition.REDUCED else 100.0)
    changed = replace(site, antennas=(replace(site.antennas[0], state=state),))
    assert exposure(changed, point).public.total[0] == pytest.approx(share * full)


def test_inside_a_reactive_region_every_fraction_is_held_far_over_the_limit(demo: Site) -> None:
    for antenna in demo.antennas:
        if antenna.state.factor == 0.0:
            continue
        metal = antenna.kind.outline(antenna.carriers[0].frequency)[0].mean(axis=0)
        frame = axes(antenna.azimuth, antenna.tilt, antenna.roll)
        at = exposure(demo, (frame @ metal + antenna.position)[None, :], Body((0.0,)))
        assert at.reactive[0], antenna.name
        assert at.public.total[0] >= 100.0
        assert at.occupational.total[0] >= 100.0


@pytest.mark.parametrize("average", [False, True])
def test_nothing_is_negative_nan_or_infinite_on_a_fine_grid_through_every_antenna(
    demo: Site, average: bool
) -> None:
    for antenna in demo.antennas:
        step = np.arange(-0.4, 0.41, 0.05)
        x, y, z = (a.ravel() for a in np.meshgrid(step, step, np.arange(-1.5, 1.6, 0.5)))
        points = np.stack([x, y, z], axis=1) + antenna.position
        result = exposure(demo, points, Body((-0.25, 0.0, 0.25), average))
        for values in (
            result.public.total,
            result.occupational.total,
            result.fields.e2,
            result.fields.h2,
        ):
            assert np.all(np.isfinite(values))
            assert np.all(values >= 0.0)


@pytest.mark.parametrize("turn", [30.0, -75.0])
def test_azimuths_are_from_true_north_when_the_grid_is_turned(roof: Site, turn: float) -> None:
    """The same site drawn on a grid whose y axis points to azimuth ``turn`` reads the same."""
    c, s = np.cos(np.radians(turn)), np.sin(np.radians(turn))

    def on_grid(x: float, y: float) -> tuple[float, float]:
        return x * c - y * s, x * s + y * c

    antennas = tuple(
        replace(a, position=(*on_grid(a.position[0], a.position[1]), a.position[2]))
        for a in roof.antennas
    )
    surfaces, structures = (
        tuple(replace(s, outline=tuple(on_grid(*p) for p in s.outline)) for s in things)
        for things in (roof.surfaces, roof.structures)
    )
    turned = replace(
        roof,
        antennas=antennas,
        surfaces=surfaces,
        structures=structures,
        anchor=replace(roof.anchor, grid_north=turn),
    )
    places = [(6.0, 18.0, 17.0), (25.0, -14.0, 17.5), (-3.0, 1.0, 21.0)]
    before = exposure(roof, np.array(places))
    after = exposure(turned, np.array([(*on_grid(x, y), z) for x, y, z in places]))
    np.testing.assert_allclose(after.public.total, before.public.total, rtol=1e-9)
