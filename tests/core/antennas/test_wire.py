"""Wire dipoles and whips, with and without ground."""

from __future__ import annotations

import numpy as np
import pytest

from core.antennas.base import Kind
from core.antennas.stack import Stack
from core.antennas.whip import Whip
from core.antennas.wire import LONG_COVER_DB, SHORT_COVER_DB, HfDipole
from core.errors import InputError
from core.exposure.sources import sources
from core.fields import half_arms as half
from core.fields.arms import sphere
from core.site.reflection import Reflection, ReflectionKind
from core.site.site import Antenna, Carrier, Power, Site
from core.units import SPEED_OF_LIGHT, from_db

F = 7.15e6
WL = SPEED_OF_LIGHT / F
FLAT = HfDipole(length=20.2, height=10.0)
VEE = HfDipole(length=20.2, height=12.0, droop=40.0, ground="perfect")
ALOFT = HfDipole(length=20.2, height=10.0, ground="none")
PLANE = Whip(length=0.25 * WL)
PLANTED = Whip(length=0.625 * WL, radius=0.01, mounting="ground")
KINDS = [FLAT, VEE, ALOFT, PLANE, PLANTED]


def scattered(seed: int, size: float, count: int = 300) -> np.ndarray:
    return np.random.default_rng(seed).uniform(-size, size, (count, 3))


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("conservative", [True, False])
def test_single_precision_agrees(kind: Kind, conservative: bool) -> None:
    points = scattered(1, 60.0)
    double = kind.unit_field(points, F, conservative=conservative)
    single = kind.unit_field(points.astype(np.float32), F, conservative=conservative)
    assert single.e2.dtype == single.h2.dtype == np.float32
    strong = double.e2 > 1e-8 * double.e2.max()
    assert np.abs(10.0 * np.log10(single.e2 / double.e2))[strong].max() < 0.05
    assert np.abs(10.0 * np.log10(single.h2 / double.h2))[strong].max() < 0.05


@pytest.mark.parametrize("kind", KINDS)
def test_on_the_metal_the_field_is_finite_and_there_is_no_figure(kind: Kind) -> None:
    ends = kind.outline(F)
    points = np.concatenate([ends[:, 0], ends[:, 1], ends.mean(axis=1)])
    for dtype in (np.float32, np.float64):
        for conservative in (True, False):
            unit = kind.unit_field(points.astype(dtype), F, conservative=conservative)
            assert np.isfinite(unit.e2).all()
            assert np.isfinite(unit.h2).all()
            assert (unit.e2 >= 0.0).all()
            assert (unit.h2 >= 0.0).all()
            assert unit.reactive.all()


@pytest.mark.parametrize("kind", KINDS)
def test_the_conservative_figure_is_never_below_the_best_estimate(kind: Kind) -> None:
    points = scattered(2, 60.0)
    high = kind.unit_field(points, F, conservative=True)
    best = kind.unit_field(points, F, conservative=False)
    assert np.all(high.e2 >= best.e2)
    assert np.all(high.h2 >= best.h2)


FAR = 2e3 * WL


def radiated_upwards(kind: Kind) -> float:
    """Power through the upper half sphere for 1 W."""
    unit, solid = sphere(3.0)
    s = kind.unit_field(FAR * unit, F, conservative=False).power_density * FAR**2
    share = np.where(np.abs(unit[:, 2]) < 1e-12, 0.5, unit[:, 2] > 0.0)
    return float((s * share) @ solid)


def highest_gain(kind: Kind) -> float:
    """Largest gain over isotropic on a fine grid of directions."""
    low = 0.0 if kind.has_own_ground else -90.0
    e, a = np.meshgrid(np.radians(np.arange(low, 90.1, 0.5)), np.radians(np.arange(0, 181, 15)))
    unit = np.stack([np.cos(e) * np.cos(a), np.cos(e) * np.sin(a), np.sin(e)], axis=-1)
    s = kind.unit_field(FAR * unit.reshape(-1, 3), F, conservative=False).power_density
    return 4.0 * np.pi * float(s.max()) * FAR**2


@pytest.mark.parametrize("kind", KINDS)
def test_the_stated_directivity_is_the_highest_gain(kind: Kind) -> None:
    assert highest_gain(kind) == pytest.approx(kind.directivity(F), rel=2e-3)


@pytest.mark.parametrize("kind", [VEE, PLANTED])
def test_over_perfect_ground_one_watt_goes_up(kind: Kind) -> None:
    assert radiated_upwards(kind) == pytest.approx(1.0, rel=1e-4)


@pytest.mark.parametrize("kind", [ALOFT, PLANE])
def test_in_free_space_one_watt_goes_out(kind: Kind) -> None:
    unit, solid = sphere(3.0)
    s = kind.unit_field(FAR * unit, F, conservative=False).power_density * FAR**2
    assert float(s @ solid) == pytest.approx(1.0, rel=1e-4)


def test_real_ground_keeps_part_of_the_watt() -> None:
    assert 0.6 < radiated_upwards(FLAT) < 0.9
    salt = HfDipole(length=20.2, height=10.0, permittivity=70.0, conductivity=5.0)
    assert 0.95 < radiated_upwards(salt) < 1.0


def test_a_straight_wire_in_free_space_is_a_single_dipole_of_a_stack() -> None:
    single = Stack(bay="vertical-dipole", bays=1, design_frequency=F, arm_length=20.2 / WL)
    points = scattered(3, 60.0) + np.array([0.0, 0.0, 10.0])
    away = np.linalg.norm(points - [0.0, 0.0, 10.0], axis=1) > 0.3 * WL
    turned = (points - [0.0, 0.0, 10.0])[:, [0, 2, 1]]
    wire = ALOFT.unit_field(points, F, conservative=False)
    dipole = single.unit_field(turned, F, conservative=False)
    assert 10.0 * np.log10(wire.h2 / dipole.h2)[away] == pytest.approx(0.0, abs=0.02)


def test_perfect_ground_leaves_no_electric_field_along_it() -> None:
    arms = VEE.arms(F, conservative=False)
    points = scattered(4, 40.0, 50) * [1.0, 1.0, 0.0]
    e, h = half.direct(arms, points)
    er, hr = half.reflected(arms, points, None)
    assert np.abs((e + er)[:, :2]).max() < 1e-12 * np.abs(e).max()
    assert np.abs((h + hr)[:, 2]).max() < 1e-12 * np.abs(h).max()


def test_very_good_ground_is_perfect_ground() -> None:
    arms = VEE.arms(F, conservative=False)
    points = np.abs(scattered(5, 40.0, 50)) + np.array([0.0, 0.0, 1.0])
    good = half.reflected(arms, points, 1.0 - 1e12j)
    perfect = half.reflected(arms, points, None)
    for a, b in zip(good, perfect, strict=True):
        assert np.abs(a - b).max() < 1e-4 * np.abs(b).max()


def test_the_ground_mirrors_what_is_below_it() -> None:
    points = np.abs(scattered(6, 40.0))
    for kind in (FLAT, PLANTED):
        above = kind.unit_field(points, F, conservative=True)
        below = kind.unit_field(points * [1, 1, -1], F, conservative=True)
        assert np.array_equal(above.e2, below.e2)


def test_inside_the_trust_distance_there_is_no_figure() -> None:
    # 0.03 wavelength for a thin wire, 0.1 for a thick one.
    step = 0.03 * WL
    points = np.array([[0.99 * step, 3.0, 10.0], [1.01 * step, 3.0, 10.0]])
    assert FLAT.unit_field(points, F, conservative=True).reactive.tolist() == [True, False]
    thick = HfDipole(length=20.2, height=10.0, radius=0.05)
    assert thick.trust(F) == pytest.approx(0.1 * WL)


def test_long_wires_get_more_added() -> None:
    assert FLAT.notes(F, conservative=True)[0].added_db == SHORT_COVER_DB
    assert FLAT.notes(28.4e6, conservative=True)[0].added_db == LONG_COVER_DB
    assert FLAT.notes(F, conservative=False)[0].added_db == 0.0
    below = np.array([[0.0, 0.0, 2.0]])
    ratio = (
        FLAT.unit_field(below, F, conservative=True).h2
        / FLAT.unit_field(below, F, conservative=False).h2
    )
    assert float(ratio[0]) == pytest.approx(from_db(SHORT_COVER_DB), rel=1e-3)


def test_nulls_over_ground_are_filled_when_conservative() -> None:
    # Over perfect ground straight up from half a wave: direct and reflected wave cancel.
    wire = HfDipole(length=20.2, height=0.5 * WL, ground="perfect")
    up = np.array([[0.0, 0.0, 20.0 * WL]])
    best = wire.unit_field(up, F, conservative=False).power_density[0]
    high = wire.unit_field(up, F, conservative=True).power_density[0]
    blind = 2.0 * ALOFT.unit_field(up, F, conservative=False).power_density[0]
    assert best < 0.02 * blind
    assert high == pytest.approx(blind * from_db(SHORT_COVER_DB), rel=0.3)


@pytest.mark.parametrize(
    ("values", "field"),
    [
        ({"length": 20.0, "height": 5.0, "droop": 60.0}, "height"),
        ({"length": 20.0, "height": 0.0}, "height"),
    ],
)
def test_a_wire_in_the_ground_is_refused(values: dict[str, float], field: str) -> None:
    with pytest.raises(InputError) as caught:
        HfDipole(**values)
    assert caught.value.field == field


def test_what_the_ground_model_was_not_checked_for_is_named() -> None:
    assert "wavelength above real ground" in HfDipole(length=40.0, height=5.0).problems(3.6e6)[0]
    assert FLAT.problems(F) == ()


def test_close_above_real_ground_the_current_is_not_less_than_in_free_space() -> None:
    low = HfDipole(length=20.2, height=0.5)
    current = abs(low.arms(F, conservative=True).loop[0])
    assert current >= abs(ALOFT.arms(F, conservative=False).loop[0]) * 0.999
    assert current > abs(low.arms(F, conservative=False).loop[0])


@pytest.mark.parametrize(("kind", "own"), [(FLAT, True), (VEE, True), (ALOFT, False),
                                          (PLANE, False), (PLANTED, True)])  # fmt: skip
def test_only_kinds_without_ground_take_the_sites_reflection(kind: Kind, own: bool) -> None:
    carrier = Carrier(name="invented", frequency=F, power=Power(transmitter=100.0))
    antenna = Antenna(name="wire", kind=kind, position=(0.0, 0.0, 0.0), carriers=(carrier,))
    site = Site(
        name="invented", antennas=(antenna,), reflection=Reflection(ReflectionKind.FULL)
    )  # fmt: skip
    (source,) = sources(site)
    assert kind.has_own_ground is own
    assert source.reflection.power_factor == (1.0 if own else 4.0)


# --- whips --------------------------------------------------------------------------------------------


def test_quarter_wave_ground_plane_gain() -> None:
    # Free space, level radials: 1.6 dBi computed for this project by method of moments.
    assert 10.0 * np.log10(PLANE.directivity(F)) == pytest.approx(1.6, abs=0.1)


def test_quarter_wave_on_the_ground_has_the_monopoles_gain() -> None:
    # 5.16 dBi, that is twice 1.6409 (computed for this project; textbook 5.15).
    whip = Whip(length=0.25 * WL, mounting="ground")
    assert whip.directivity(F) == pytest.approx(2.0 * 1.6409, rel=1e-3)


def test_the_current_of_the_whip_comes_out_of_its_radials() -> None:
    # H far below the ground plane on its axis vanishes, whatever the number of radials: no net current.
    for radials in (3, 4, 7):
        whip = Whip(length=0.25 * WL, radials=radials, droop=30.0)
        unit = whip.unit_field(np.array([[1e-3, 0.0, -0.6 * WL]]), F, conservative=False)
        beside = whip.unit_field(np.array([[0.6 * WL, 0.0, 0.0]]), F, conservative=False)
        assert unit.h2[0] < 1e-6 * beside.h2[0]


def test_whips_of_doubtful_length_or_thickness_are_named() -> None:
    assert "wavelengths long" in Whip(length=WL).problems(F)[0]
    assert PLANE.problems(F) == ()
    with pytest.raises(InputError, match="too thick"):
        Whip(length=0.1, radius=0.05)
