"""Medium-wave masts and arrays of them."""

from __future__ import annotations

import numpy as np
import pytest

from core.antennas.mast import GROUND_COVER_DB, H_GROUND_COVER_DB, UP_COVER_DB, Mast
from core.antennas.mast_array import ArrayMast, MastArray
from core.errors import InputError
from core.exposure.sources import sources
from core.exposure.totals import exposure
from core.fields.arms import sphere
from core.site.reflection import Reflection, ReflectionKind
from core.site.site import Antenna, Carrier, Power, Site
from core.units import SPEED_OF_LIGHT, from_db
from core.validation.formulas import TOWER_ELEVATIONS, TOWERS

WL = SPEED_OF_LIGHT / 1e6
QUARTER = Mast(height=0.25 * WL)
PAIR = MastArray(
    masts=(
        ArrayMast(height=0.25 * WL, field=1.0, phase=0.0),
        ArrayMast(
            height=0.25 * WL, field=0.8, phase=-110.0, distance=0.25 * WL, bearing=45.0
        ),
    )
)  # fmt: skip
KINDS = [QUARTER, Mast(height=0.625 * WL, radius=0.5), PAIR]


def towards(azimuth: float, elevation: float, distance: float) -> np.ndarray:
    """A point in the antenna frame: azimuth clockwise off the boresight, degrees."""
    a, e = np.radians([azimuth, elevation])
    return distance * np.array([[np.cos(e) * np.cos(a), -np.cos(e) * np.sin(a), np.sin(e)]])


def scattered(seed: int, size: float, count: int = 400) -> np.ndarray:
    return np.random.default_rng(seed).uniform(-size, size, (count, 3))


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("conservative", [True, False])
def test_the_ground_mirrors(kind: Mast | MastArray, conservative: bool) -> None:
    points = scattered(1, 200.0)
    above = kind.unit_field(np.abs(points) * [1, 1, 1], 1e6, conservative=conservative)
    below = kind.unit_field(np.abs(points) * [1, 1, -1], 1e6, conservative=conservative)
    assert np.array_equal(above.e2, below.e2)
    assert np.array_equal(above.h2, below.h2)
    assert np.array_equal(above.reactive, below.reactive)
    assert np.array_equal(above.model, below.model)


@pytest.mark.parametrize("kind", KINDS)
def test_single_precision_agrees(kind: Mast | MastArray) -> None:
    points = scattered(2, 300.0)
    double = kind.unit_field(points, 1e6, conservative=True)
    single = kind.unit_field(points.astype(np.float32), 1e6, conservative=True)
    assert single.e2.dtype == single.h2.dtype == np.float32
    assert np.abs(10.0 * np.log10(single.e2 / double.e2)).max() < 0.05
    assert np.abs(10.0 * np.log10(single.h2 / double.h2)).max() < 0.05


@pytest.mark.parametrize("kind", KINDS)
def test_on_the_metal_the_field_is_finite_and_there_is_no_figure(kind: Mast | MastArray) -> None:
    ends = kind.outline(1e6)
    points = np.concatenate([ends[:, 0], ends[:, 1], ends.mean(axis=1)])
    for dtype in (np.float32, np.float64):
        unit = kind.unit_field(points.astype(dtype), 1e6, conservative=True)
        assert np.isfinite(unit.e2).all()
        assert np.isfinite(unit.h2).all()
        assert (unit.power_density > 0.0).all()
        assert unit.reactive.all()


@pytest.mark.parametrize("kind", KINDS)
def test_one_watt_leaves_above_the_ground(kind: Mast | MastArray) -> None:
    unit, solid = sphere(2.0)
    far = 1e4 * WL
    s = kind.unit_field(far * unit, 1e6, conservative=False).power_density * far**2
    # The lower half mirrors the upper, so the whole sphere counts it twice.
    assert float(s @ solid) == pytest.approx(2.0, rel=1e-5)
    assert 4.0 * np.pi * s.max() == pytest.approx(kind.directivity(1e6), rel=0.01)
    assert 4.0 * np.pi * s.max() <= kind.directivity(1e6) * 1.0001


def test_there_is_a_figure_from_a_metre_and_a_half_along_the_whole_mast() -> None:
    for z in (0.0, 1.0, 40.0, QUARTER.height):
        unit = QUARTER.unit_field(
            np.array([[1.49, 0.0, z], [1.5, 0.0, z]]), 1e6, conservative=True
        )  # fmt: skip
        assert unit.reactive.tolist() == [True, False]
    assert Mast(height=100.0, radius=1.0).trust(1e6) == 4.0


def test_what_is_added_is_in_the_notes() -> None:
    low, up = np.array([[30.0, 0.0, 1.5]]), np.array([[30.0, 0.0, 30.0]])
    # A quarter wave at 30 m: base terms hardly count, so the two figures differ by the cover alone.
    for points, code, cover in ((low, 0, GROUND_COVER_DB), (up, 1, UP_COVER_DB)):
        high = QUARTER.unit_field(points, 1e6, conservative=True)
        best = QUARTER.unit_field(points, 1e6, conservative=False)
        assert high.model[0] == code
        assert QUARTER.notes(1e6, conservative=True)[code].added_db == cover
        assert QUARTER.notes(1e6, conservative=False)[code].added_db == 0.0
        assert float(high.e2[0] / best.e2[0]) == pytest.approx(from_db(cover), rel=1e-6)
    assert QUARTER.unit_field(low, 1e6, conservative=True).h2[0] == pytest.approx(
        from_db(H_GROUND_COVER_DB) * QUARTER.unit_field(low, 1e6, conservative=False).h2[0]
    )


def test_a_measured_base_impedance_counts() -> None:
    point = np.array([[2.0, 0.0, 1.0]])
    plain = QUARTER.unit_field(point, 1e6, conservative=True)
    kinds = [
        Mast(height=QUARTER.height, base_resistance=42.0, base_reactance=x) for x in (24.0, 120.0)
    ]
    near, loud = (k.unit_field(point, 1e6, conservative=True) for k in kinds)
    assert float(near.e2[0] / plain.e2[0]) == pytest.approx(1.0, rel=0.05)
    # V = |Z| I: 127.1 instead of 48.4 ohm, and close to the base E goes with V.
    assert float(loud.e2[0] / near.e2[0]) == pytest.approx((127.1 / 48.4) ** 2, rel=0.05)
    assert kinds[0].problems(1e6) == ()
    assert "base impedance" in kinds[1].problems(1e6)[0]


@pytest.mark.parametrize(
    ("values", "field"),
    [
        ({"base_resistance": 42.0}, "base_reactance"),
        ({"base_reactance": 24.0}, "base_resistance"),
        ({"radius": 5.0, "height": 40.0}, "radius"),
    ],
)
def test_contradictions_are_one_clear_error(values: dict[str, float], field: str) -> None:
    with pytest.raises(InputError) as caught:
        Mast(**{"height": 75.0, **values})
    assert caught.value.field == field
    assert caught.value.fix


def test_doubtful_heights_and_frequencies_are_named() -> None:
    assert "wavelengths high" in Mast(height=250.0).problems(1e6)[0]
    assert any("not medium wave" in p for p in Mast(height=2.5, radius=0.01).problems(27e6))
    assert QUARTER.problems(1e6) == ()


def site_with(kind: Mast | MastArray, reflection: Reflection) -> Site:
    carrier = Carrier(name="invented", frequency=1e6, power=Power(transmitter=5000.0))
    antenna = Antenna(name="mast", kind=kind, position=(0.0, 0.0, 0.0), carriers=(carrier,))
    return Site(name="invented", antennas=(antenna,), reflection=reflection)


@pytest.mark.parametrize("kind", [QUARTER, PAIR])
def test_the_sites_reflection_is_not_applied_on_top(kind: Mast | MastArray) -> None:
    found = [
        exposure(site_with(kind, Reflection(r)), np.array([[20.0, 5.0, 1.5]]))
        for r in ReflectionKind
    ]
    totals = {float(x.public.total[0]) for x in found}
    assert len(totals) == 1
    (source,) = sources(site_with(kind, Reflection(ReflectionKind.FULL)))
    assert source.reflection.power_factor == 1.0
    assert "ground is part of this antenna's model" in source.reflection_words


# --- arrays -------------------------------------------------------------------------------------------


def test_an_array_of_one_mast_is_the_mast() -> None:
    array = MastArray(masts=(ArrayMast(height=QUARTER.height, field=1.0, phase=30.0),))
    points = scattered(3, 150.0)
    for name in ("e2", "h2"):
        one = getattr(QUARTER.unit_field(points, 1e6, conservative=False), name)
        assert getattr(array.unit_field(points, 1e6, conservative=False), name) == pytest.approx(
            one
        )


@pytest.mark.parametrize(("degrees", "values"), TOWERS)
def test_the_vertical_pattern_is_that_of_the_rules(
    degrees: float, values: tuple[float, ...]
) -> None:
    # f(θ) of 47 CFR 73.160(b)(1) (form from memory), computed for this project.
    mast = Mast(height=degrees / 360.0 * WL)
    points = np.concatenate([towards(0.0, e, 1e7 * WL) for e in TOWER_ELEVATIONS])
    field = np.sqrt(mast.unit_field(points, 1e6, conservative=False).e2)
    assert field / field[0] == pytest.approx(np.abs(values), abs=1e-3)


def test_close_to_a_mast_of_an_array_it_dominates() -> None:
    strong = MastArray(
        masts=(
            ArrayMast(height=75.0, field=1.0, phase=0.0),
            ArrayMast(height=75.0, field=0.05, phase=90.0, distance=75.0, bearing=0.0),
        )
    )
    point = np.array([[0.0, 2.5, 1.5]])
    array = strong.unit_field(point, 1e6, conservative=False)
    alone = Mast(height=75.0).unit_field(point, 1e6, conservative=False)
    assert 10.0 * abs(np.log10(array.h2[0] / alone.h2[0])) < 0.5


def test_no_credit_is_taken_for_a_null_of_the_array() -> None:
    # Cardioid: 90° apart, -90°, equal fields; the null points back along the line of the masts.
    cardioid = MastArray(
        masts=(
            ArrayMast(height=75.0, field=1.0, phase=0.0),
            ArrayMast(height=75.0, field=1.0, phase=-90.0, distance=0.25 * WL, bearing=0.0),
        )
    )
    back = towards(180.0, 0.0, 30 * WL)
    best = cardioid.unit_field(back, 1e6, conservative=False)
    high = cardioid.unit_field(back, 1e6, conservative=True)
    front = cardioid.unit_field(towards(0.0, 0.0, 30 * WL), 1e6, conservative=False)
    assert best.e2[0] < 1e-3 * front.e2[0]
    # Two equal masts blind to phase carry half of what they carry in phase.
    assert high.e2[0] > 0.5 * front.e2[0]


def test_masts_on_one_place_or_without_field_are_refused() -> None:
    mast = ArrayMast(height=75.0, field=1.0, phase=0.0)
    with pytest.raises(InputError, match="stands where an earlier mast stands"):
        MastArray(masts=(mast, mast))
    with pytest.raises(InputError, match="field ratio 0"):
        MastArray(masts=(ArrayMast(height=75.0, field=0.0, phase=0.0),))
    half_given = ArrayMast(height=75.0, field=1.0, phase=0.0, base_resistance=40.0)
    with pytest.raises(InputError) as caught:
        MastArray(masts=(half_given,))
    assert caught.value.field == "masts[0].base_reactance"
