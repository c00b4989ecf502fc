"""Every constant that a bound states for a factor, held against a numeric supremum: random places, then uphill.

Each function is looked at along a line that passes a metre (or a radian) away, in the direction that makes its
derivative largest. A constant below the supremum is a hole in the proofs; one far above it only costs time, so each
line says how far above it may be.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest

from core.antennas import dish as ds
from core.fields.mast_base import Drive
from core.fields.unit_field import ramp
from core.proof.bounds import dish as dish_bound
from core.proof.bounds.angles import azimuth_jet, curve, slope_jet, spread
from core.proof.bounds.base import Patches
from core.proof.bounds.jet import Jet
from core.proof.bounds.scalar import spread_curve
from core.proof.bounds.sight import sight
from core.proof.bounds.wires import base_jets
from support.bound_checks import patches

Vector = np.ndarray
STEP = 1e-4


def uphill(
    f: Callable[[Vector], float], draw: Callable[[np.random.Generator], Vector], *, draws: int = 400
) -> float:
    """Return the supremum of f: the best of random draws, each of the best eight then moved uphill in ever smaller
    random steps."""
    rng = np.random.default_rng(11)
    starts = sorted((draw(rng) for _ in range(draws)), key=f)[-8:]
    best = -np.inf
    for x in starts:
        value, size = f(x), 0.3
        while size > 1e-4:
            tries = x + size * rng.normal(size=(12, len(x)))
            values = [f(t) for t in tries]
            top = int(np.argmax(values))
            gained = values[top] - value
            if gained > 0.0:
                x, value = tries[top], values[top]
            if gained < 1e-3 * abs(value):
                size *= 0.6
        best = max(best, value)
    return best


def unit(v: Vector) -> Vector:
    return np.asarray(v / np.linalg.norm(v))


def slopes(f: Callable[[Vector], Vector], p: Vector, d: Vector) -> tuple[Vector, Vector]:
    """Return first and second derivative of f at p along d (fourth order differences)."""
    at = {i: np.asarray(f(p + i * STEP * d)) for i in (-2, -1, 0, 1, 2)}
    first = (8.0 * (at[1] - at[-1]) - (at[2] - at[-2])) / (12.0 * STEP)
    second = (16.0 * (at[1] + at[-1]) - (at[2] + at[-2]) - 30.0 * at[0]) / (12.0 * STEP**2)
    return first, second


def most(f: Callable[[Vector], Vector], order: int) -> float:
    """Return the largest |derivative| of a function of place, times the distance 1 m of the place from the origin."""

    def size(x: Vector) -> float:
        return float(np.linalg.norm(slopes(f, unit(x[:3]), unit(x[3:]))[order - 1]))

    return uphill(size, lambda rng: rng.normal(size=6))


E1, Z = np.array([1.0, 0.0, 0.0]), np.array([0.0, 0.0, 1.0])


def flat(p: Vector) -> Vector:
    """The part of a place across the z axis."""
    return np.array([p[0], p[1], 0.0])


# --- factors of the closed forms of wires (core.proof.bounds.wires) ------------------------------------------

FACTORS: list[tuple[str, Callable[[Vector], Vector], int, float, float]] = [
    # what, function one metre away, order, constant that the bound states, how far above it may be
    ("1/r", lambda p: 1.0 / np.linalg.norm(p), 1, 1.0, 1.01),
    ("1/r", lambda p: 1.0 / np.linalg.norm(p), 2, 2.0, 1.01),
    ("cosine", lambda p: p[2] / np.linalg.norm(p), 1, 1.0, 1.01),
    ("cosine", lambda p: p[2] / np.linalg.norm(p), 2, 2.0 / np.sqrt(3.0), 1.01),
    ("unit vector", unit, 1, 1.0, 1.01),
    ("unit vector", unit, 2, 2.0 / np.sqrt(3.0), 1.01),
]


@pytest.mark.parametrize(("what", "f", "order", "stated", "factor"), FACTORS)
def test_factors_of_wires_are_as_large_as_stated(
    what: str, f: Callable[[Vector], Vector], order: int, stated: float, factor: float
) -> None:
    sup = most(f, order)
    assert sup * (1.0 - 1e-5) <= stated <= factor * sup, what


def test_the_direction_from_an_axis_turns_no_faster_than_stated() -> None:
    """ρ̂ = (cos φ, sin φ): ρ̂'' has sin²2a + sin⁴a = 4s - 3s² in s = sin²a, at most 4/3: 2/√3 of the 2 stated."""

    def size(order: int) -> float:
        def at(x: Vector) -> float:
            d = unit(x[:3])
            return float(np.linalg.norm(slopes(lambda p: unit(flat(p)), E1, d)[order - 1]))

        return uphill(at, lambda rng: rng.normal(size=3))

    assert size(1) == pytest.approx(1.0, rel=1e-4)
    assert size(2) == pytest.approx(2.0 / np.sqrt(3.0), rel=1e-4)


def test_the_base_terms_of_a_mast_bend_no_more_than_their_jet() -> None:
    """V/(d ln(2d/a)) · h²/(h² + x²) with d the distance to the mast's line and x that to its feed, at places within a
    few heights: what lifts them over a chord stays under the jet, which is at most four times as much there."""
    drive = Drive(
        k=2.0 * np.pi / 300.0, height=60.0, radius=0.2, loop=1.0 + 0j, volts=1.0, amps=1.0
    )

    def parts(p: Vector) -> Vector:
        d, x2 = np.hypot(p[0], p[1]), float(p @ p)
        fade = drive.height**2 / (drive.height**2 + x2)
        return np.array(
            [
                drive.volts / (d * np.log(2.0 * d / drive.radius)) * fade,
                drive.amps / (2.0 * np.pi * d) * np.sqrt(fade),
            ]
        )

    def ratio(x: Vector, part: int) -> float:
        p = np.array([np.exp(np.clip(x[0], 0.0, 5.0)), 0.0, abs(x[1]) * 60.0])
        d = unit(x[2:])
        scale = 0.02 * p[0] / STEP
        second = slopes(lambda q: parts(p + scale * (q - p)), p, d)[1][part] / scale**2
        jet = base_jets(drive, np.array([p[0]]), np.array([np.linalg.norm(p)]), 1)[part]
        return float(-second / jet.m2[0])

    for part in (0, 1):
        top = uphill(
            lambda x, part=part: ratio(x, part), lambda rng: rng.normal(size=5) * [2, 1, 1, 1, 1]
        )
        assert 0.25 < top <= 1.0


# --- angles (core.proof.bounds.angles) -----------------------------------------------------------------------


def segment(place: Vector, direction: Vector) -> Patches:
    tiny = np.full(1, 1e-12)
    return Patches(place[None], direction[None, None], tiny, tiny)


def test_an_azimuth_turns_no_faster_than_stated() -> None:
    """φ' = sin a/ρ and φ'' = -sin 2a/ρ²: one each at a metre."""
    jet = azimuth_jet(segment(E1, Z))
    for order, stated in ((1, jet.m1), (2, jet.m2)):

        def size(x: Vector, order: int = order) -> float:
            return float(abs(slopes(lambda p: np.arctan2(p[1], p[0]), E1, unit(x))[order - 1]))

        sup = uphill(size, lambda rng: rng.normal(size=3))
        assert sup * (1.0 - 1e-5) <= float(stated[0]) <= 1.01 * sup


@pytest.mark.parametrize("off", [2.0, 20.0, 45.0, 80.0, 150.0])
def test_an_angle_off_an_axis_bends_no_more_than_stated(off: float) -> None:
    """A metre away, ``off`` degrees from the x axis: 1 + |cot t| is at most twice the largest bend there."""
    t = np.radians(off)
    place = np.array([np.cos(t), np.sin(t), 0.0])
    one = np.ones(1)
    jet = slope_jet(one, off * one, off * one, 1)

    def angle(p: Vector) -> Vector:
        return np.arctan2(np.hypot(p[1], p[2]), p[0])

    for order, stated in ((1, jet.m1), (2, jet.m2)):

        def size(x: Vector, order: int = order) -> float:
            return float(abs(slopes(angle, place, unit(x))[order - 1]))

        sup = uphill(size, lambda rng: rng.normal(size=3))
        assert sup * (1.0 - 1e-4) <= float(stated[0]) <= 2.0 * sup


def test_a_ball_is_seen_under_no_more_than_its_spread() -> None:
    """Directions to places in a ball of 1 m whose centre is d away: at most arcsin(1/d) off that to the centre."""
    for d in (1.0001, 1.3, 4.0, 100.0):

        def off(x: Vector, d: float = d) -> float:
            place = d * E1 + unit(x)
            return float(np.degrees(np.arctan2(np.hypot(place[1], place[2]), place[0])))

        sup = uphill(off, lambda rng: rng.normal(size=3))
        stated = float(spread(np.array([d]), np.ones(1))[0])
        assert sup <= stated <= 1.01 * sup
    assert spread(np.array([0.5]), np.ones(1))[0] == 180.0


@pytest.mark.parametrize("power", [1.0, 4.0, 40.0])
def test_a_curve_from_samples_is_above_its_function(power: float) -> None:
    """cosⁿ over random ranges of an angle: value, slope and bend against 4,001 places of each range."""
    made = curve(lambda t: np.cos(np.radians(t)) ** power, -80.0, 80.0)
    rng = np.random.default_rng(5)
    low = rng.uniform(-80.0, 79.0, 60)
    high = np.minimum(low + 10.0 ** rng.uniform(-3.0, 1.5, 60), 80.0)
    for a, b in zip(low, high, strict=True):
        t = np.radians(np.linspace(a, b, 4001))
        c, s = np.cos(t), np.sin(t)
        exact = (
            c**power,
            power * c ** (power - 1.0) * s,
            power * (power - 1.0) * c ** (power - 2.0) * s * s - power * c**power,
        )
        tops = (np.array([a]), np.array([b]))
        for table, values in zip((made.value, made.first, made.second), exact, strict=True):
            assert float(np.abs(values).max()) <= float(table.over(*tops)[0])
    whole = np.array([-80.0]), np.array([80.0])
    # The largest bend of cosⁿ is n, straight ahead.
    assert float(made.second.over(*whole)[0]) <= 1.03 * max(power, 1.0)


# --- distances to convex sets, ramps, dishes -------------------------------------------------------------------


def test_one_over_the_distance_to_a_segment_bends_down_by_one_over_its_cube() -> None:
    def fall(p: Vector) -> Vector:
        return 1.0 / np.hypot(np.hypot(p[0], p[1]), max(abs(p[2]) - 2.0, 0.0))

    def down(x: Vector) -> float:
        place = np.array([1.0, 0.0, 0.0]) if x[3] > 0.0 else unit(x[:3]) + 2.0 * Z
        if abs(place[2] - 2.0) < 1e-2:
            place = np.array([1.0, 0.0, 0.5])
        away = 1.0 / float(fall(place))
        return float(-slopes(fall, place, unit(x[4:]))[1]) * away**3

    sup = uphill(down, lambda rng: rng.normal(size=7))
    one = np.ones(1)
    assert sup * (1.0 - 1e-5) <= float(spread_curve(one, one, 1)[0]) <= 1.01 * sup


def test_the_ramp_and_its_root_bend_no_more_than_stated() -> None:
    """t²(3 - 2t) over a width w: slope 1.5/w, bend 6/w²; its root, which a dish's spill-over has as an amplitude."""
    width = 15.0
    t = np.linspace(0.0, width, 20_001)
    y = ramp(t, 0.0, width)
    step = t[1]
    slope, bend = np.diff(y) / step, np.diff(y, 2) / step**2
    assert 0.99 * 1.5 / width <= slope.max() <= 1.5 / width
    assert 0.99 * 6.0 / width**2 <= np.abs(bend).max() <= 6.0 / width**2 * (1.0 + 1e-6)
    root = np.sqrt(y)
    down = -np.diff(root, 2)[5:] / step**2
    angle = np.diff(root)[5:] / step
    w = np.radians(width)
    turned = np.degrees(1.0) ** 2 * down.max(), np.degrees(1.0) * angle.max()
    assert w == pytest.approx(dish_bound._WIDTH)
    # t'² ≤ 1/r² takes the bend, t'' ≤ (1 + cot 65°)/r² the slope.
    sup = turned[0] + (1.0 + 1.0 / np.tan(np.radians(ds.SPILL_FROM))) * turned[1]
    assert sup <= dish_bound._SPILL_ROOT <= 2.0 * sup


def test_the_evenly_lit_aperture_bends_down_by_less_than_five_over_its_near_end() -> None:
    """2 ln sin(πN/2x) from x = N on: -(that)'' N² has its supremum below 5, in fact near 4.9."""
    x = np.linspace(1.0, 40.0, 400_001)
    phi = np.pi / (2.0 * x)
    # u = 2 ln sin φ, φ' = -φ/x: u'' = 2 [φ''cot φ - φ'²/sin²φ] with φ'' = 2φ/x².
    bend = 2.0 * (2.0 * phi / x**2 / np.tan(phi) - (phi / x) ** 2 / np.sin(phi) ** 2)
    sup = float(-bend.min())
    assert sup <= 5.0 <= 1.3 * sup


# --- lines of sight ---------------------------------------------------------------------------------------------


@pytest.mark.parametrize("taken_out", [True, False])
@pytest.mark.parametrize("distance", [3.0, 30.0])
def test_path_differences_stay_under_rate_and_bend_of_the_sight(
    distance: float, taken_out: bool
) -> None:
    """ψ = r₀ - r_n from every point of every source, all over random patches."""
    rng = np.random.default_rng(2)
    centres = rng.normal(size=(5, 3)) * [0.3, 0.3, 1.0]
    size = np.full(5, 0.2)
    reference = centres.mean(axis=0)
    at = patches(3, distance, 2, 60)
    away = np.linalg.norm(at.centre[:, None] - centres, axis=2)
    nearest = np.maximum(away - at.radius[:, None] - size, 1e-3)
    seen = sight(at, centres, reference, size, nearest, 2.0, taken_out=taken_out)
    top_rate, top_bend = 0.0, 0.0
    for _ in range(40):
        inside = rng.uniform(-1.0, 1.0, (60, 2)) * at.half[:, None]
        place = at.centre + np.einsum("nd,ndi->ni", inside, at.directions)
        source = centres + size[:, None] * (rng.uniform(-1.0, 1.0, (5, 1)) * Z)
        ray = place[:, None] - source
        r = np.linalg.norm(ray, axis=2)
        ray0 = place - reference
        r0 = np.linalg.norm(ray0, axis=1)
        keep = r > 1.01 * nearest
        along = np.einsum("nmi,ndi->nmd", ray / r[:, :, None], at.directions)
        along0 = np.einsum("ni,ndi->nd", ray0 / r0[:, None], at.directions)[:, None]
        bend0 = (1.0 - along0**2) / r0[:, None, None]
        if not taken_out:
            along0, bend0 = 0.0 * along0, 0.0 * bend0
        rate = np.sqrt(np.square(along0 - along).sum(axis=2)) / seen.rate
        bend = np.abs(bend0 - (1.0 - along**2) / r[:, :, None]).sum(axis=2) / seen.bend
        top_rate, top_bend = max(top_rate, rate[keep].max()), max(top_bend, bend[keep].max())
    assert 0.3 < top_rate <= 1.0 + 1e-9
    assert 0.3 < top_bend <= 1.0 + 1e-9


def test_unit_vectors_differ_by_no_more_than_dunkl_and_williams_say() -> None:
    """|û - v̂| ≤ 2 |u - v|/(|u| + |v|), with equality for vectors of one length."""

    def ratio(x: Vector) -> float:
        u, v = x[:3], x[3:]
        return float(
            np.linalg.norm(unit(u) - unit(v))
            * (np.linalg.norm(u) + np.linalg.norm(v))
            / max(np.linalg.norm(u - v), 1e-6)
        )

    assert uphill(ratio, lambda rng: rng.normal(size=6)) == pytest.approx(2.0, rel=1e-4)


def test_sums_of_jets_are_no_smaller_than_the_largest_of_their_functions() -> None:
    """|v + w| with both in phase: value, slope and bend add, and stacked vectors add as squares."""
    one = Jet(np.full(1, 3.0), np.full(1, 1.0), np.full(1, 2.0))
    two = Jet(np.full(1, 4.0), np.full(1, 0.5), np.full(1, 1.0))
    assert [float(m[0]) for m in ((one + two).m0, (one + two).m1, (one + two).m2)] == [7, 1.5, 3]
    both = Jet(
        *(
            np.stack([a, b], axis=-1)
            for a, b in ((one.m0, two.m0), (one.m1, two.m1), (one.m2, two.m2))
        )
    )
    assert float(both.root_total().m0[0]) == pytest.approx(5.0)
    assert float(both.total().m0[0]) == pytest.approx(7.0)
