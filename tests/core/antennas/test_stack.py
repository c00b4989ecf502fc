"""Bays of known and unknown shape: against short elements summed here, and on shapes nobody tuned for."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.antennas.stack import BAYS, CIRCULAR, UNKNOWN, Stack
from core.arrays import Floats
from core.fields.arms import far_pattern, mean_cone_intensity
from core.units import ETA0, SPEED_OF_LIGHT
from support.effort import many

FREQUENCY = 98e6
LAM = SPEED_OF_LIGHT / FREQUENCY
K = 2.0 * np.pi / LAM
STACKED = (1, 2, 5, 8)


def short_elements(points: Floats, places: Floats, moments: Floats) -> tuple[Floats, Floats]:
    """Return E² and H² of short current elements (Balanis, Antenna Theory, eqs. 4-8 and 4-10, from memory)."""
    e, h = np.zeros((2, len(points), 3), np.complex128)
    for place, m in zip(places, moments, strict=True):
        v = points - place
        r = np.linalg.norm(v, axis=1)[:, None]
        u, j = v / r, 1.0 / (1j * K * r)
        wave, along = np.exp(-1j * K * r) / r, (u @ m)[:, None]
        e += (
            -1j
            * K
            * ETA0
            / (4 * np.pi)
            * wave
            * (m - u * along + (j + j * j) * (m - 3 * u * along))
        )
        h += 1j * K / (4 * np.pi) * wave * (1 + j) * np.cross(np.broadcast_to(m, u.shape), u)
    return (abs(e) ** 2).sum(axis=1), (abs(h) ** 2).sum(axis=1)


def wire(corners: Floats, count: int, current: complex = 1.0) -> tuple[Floats, Floats]:
    """Return places and moments of a wire fed in its middle, its current sin k(l - s)."""
    run = np.concatenate([[0.0], np.cumsum(np.linalg.norm(np.diff(corners, axis=0), axis=1))])
    edges = np.linspace(0.0, run[-1], count + 1)
    at = np.stack([np.interp(edges, run, corners[:, i]) for i in range(3)], axis=1)
    middle = (edges[1:] + edges[:-1]) / 2.0
    flow = np.sin(K * (run[-1] / 2.0 - np.abs(middle - run[-1] / 2.0)))
    return (at[1:] + at[:-1]) / 2.0, np.diff(at, axis=0) * (current * flow)[:, None]


def swept_v(bend: float, lean: float = 45.0) -> tuple[Floats, Floats]:
    """Return two dipoles crossed at ±``lean`` from the vertical in quadrature, arms swept back from +x."""
    b, t, leg = np.radians(bend), np.radians(lean), 0.235 * LAM
    parts = []
    for side, current in ((1.0, 1.0), (-1.0, 1j)):
        u = np.array([0.0, side * np.sin(t), np.cos(t)])
        feed = np.array([side * 0.02 * LAM, 0.0, 0.0])
        back = leg * np.sin(b) * np.array([-1.0, 0.0, 0.0])
        ends = np.array(
            [feed - leg * np.cos(b) * u + back, feed, feed + leg * np.cos(b) * u + back]
        )
        parts.append(wire(ends, 40, current))
    return np.concatenate([p[0] for p in parts]), np.concatenate([p[1] for p in parts])


def stubbed_ring(radius: float, stub: float) -> tuple[Floats, Floats]:
    """Return a level open ring whose ends turn up and down."""
    turn = np.radians(np.linspace(15.0, 345.0, 40))
    ring = radius * LAM * np.stack([np.cos(turn), np.sin(turn), 0.0 * turn], axis=1)
    up = np.array([[0.0, 0.0, stub * LAM]])
    return wire(np.concatenate([ring[:1] + up, ring, ring[-1:] - up]), 80)


def helical(length: float, pitch: float) -> tuple[Floats, Floats]:
    """Return one helical turn of a wire of a length, both in wavelengths."""
    radius = np.sqrt(length**2 - pitch**2) / (2.0 * np.pi) * LAM
    q = np.linspace(0.015, 0.985, 60)
    t = 2.0 * np.pi * q
    return wire(
        np.stack([radius * np.cos(t), radius * np.sin(t), (q - 0.5) * pitch * LAM], axis=1), 60
    )


def tilted_pair(slant: float, radius: float) -> tuple[Floats, Floats]:
    """Return two dipoles either side of the pole, leaning opposite ways."""
    t, half, parts = np.radians(slant), 0.235 * LAM, []
    for a in (0.0, np.pi):
        c = radius * LAM * np.array([np.cos(a), np.sin(a), 0.0])
        u = np.array([-np.sin(a) * np.sin(t), np.cos(a) * np.sin(t), np.cos(t)])
        parts.append(wire(np.array([c - half * u, c + half * u]), 30))
    return np.concatenate([p[0] for p in parts]), np.concatenate([p[1] for p in parts])


def stacked(bay: tuple[Floats, Floats], bays: int, spacing: float) -> tuple[Floats, Floats]:
    """Return equal bays one above another, their mean intensity round the horizon 1 W/sr."""
    heights = (np.arange(bays) - (bays - 1) / 2.0) * spacing * LAM
    places = np.concatenate([bay[0] + [0.0, 0.0, z] for z in heights])
    moments = np.tile(bay[1], (bays, 1))
    turn = np.radians(np.arange(0.0, 360.0, 5.0))
    out = np.stack([np.cos(turn), np.sin(turn), 0.0 * turn], axis=1)
    m = np.exp(1j * K * (out @ places.T)) @ moments
    m = m - out * np.sum(m * out, axis=1)[:, None]
    mean = (K * ETA0 / (4 * np.pi)) ** 2 * (abs(m) ** 2).sum(axis=1).mean() / ETA0
    return places, moments / np.sqrt(mean)


def around(bays: int, spacing: float, seed: int, count: int = 600) -> Floats:
    """Return places beside, above and below a stack, from 0.3 to 9 wavelengths off its line."""
    rng = np.random.default_rng(seed)
    top = (bays - 1) / 2.0 * spacing * LAM
    away = LAM * np.exp(rng.uniform(np.log(0.3), np.log(9.0), count))
    way = rng.normal(size=(count, 3))
    way /= np.linalg.norm(way, axis=1, keepdims=True)
    ends = np.sign(way[:, 2]) * top
    beside = rng.uniform(-top, top, count)
    low = np.where(rng.random(count) < 0.5, ends, beside)
    way[low != ends, 2] = 0.0
    return away[:, None] * way + np.stack([0.0 * low, 0.0 * low, low], axis=1)


def lowest_db(stack: Stack, places: Floats, moments: Floats, points: Floats) -> float:
    """Return how far the shown figure is above short elements of the same horizon at the worst place that counts."""
    e2, h2 = short_elements(points, places, moments)
    truth = np.maximum(e2 / ETA0, h2 * ETA0)
    unit = stack.unit_field(points, FREQUENCY, conservative=True)
    shown = unit.power_density * 4.0 * np.pi / stack.licence_gain(FREQUENCY)
    even = np.mean([1.0 / np.sum((points - p) ** 2, axis=1) for p in places], axis=0)
    counts = ~unit.reactive & (truth > 0.01 * even)
    assert counts.sum() > 100
    return float(10.0 * np.log10((shown / truth)[counts]).min())


SHAPES = {
    "crossed-v": (lambda: swept_v(45.0), {}),
    "ring-stub": (lambda: stubbed_ring(0.075, 0.09), {}),
    "helix": (lambda: helical(0.5, 0.118), {}),
    "slant-pair": (lambda: tilted_pair(45.0, 0.12), {}),
}


@pytest.mark.parametrize("bay", SHAPES)
@pytest.mark.parametrize("bays", STACKED)
def test_a_known_shape_is_the_sum_of_its_short_elements(bay: str, bays: int) -> None:
    """The best estimate is the field itself, to the pieces' half decibel at 0.1 wavelength."""
    places, moments = stacked(SHAPES[bay][0](), bays, 0.9)
    stack = Stack(bay=bay, bays=bays, design_frequency=FREQUENCY, spacing=0.9, beam_tilt=0.0)
    points = around(bays, 0.9, bays)
    e2, h2 = short_elements(points, places, moments)
    unit = stack.unit_field(points, FREQUENCY, conservative=False)
    # The same watt: that of equal currents, whatever others count beside them.
    scale = 1.0 / mean_cone_intensity(stack.arms(FREQUENCY), 0.0)
    even = np.mean([1.0 / np.sum((points - p) ** 2, axis=1) for p in places], axis=0)
    for ours, exact in ((unit.e2, e2), (unit.h2 * ETA0**2, h2 * ETA0**2)):
        counts = ~unit.reactive & (exact / ETA0 > 0.03 * even)
        off = 10.0 * np.log10(ours[counts] * scale / exact[counts])
        assert np.abs(off).max() < 0.6
        assert np.abs(np.median(off)) < 0.1


@settings(max_examples=many(25), deadline=None)
@given(
    st.one_of(
        st.tuples(st.just(swept_v), st.floats(0.0, 55.0), st.floats(39.0, 51.0)),
        st.tuples(st.just(stubbed_ring), st.floats(0.06, 0.09), st.floats(0.05, 0.12)),
        st.tuples(st.just(helical), st.floats(0.45, 0.5), st.floats(0.08, 0.16)),
        st.tuples(st.just(tilted_pair), st.floats(38.0, 52.0), st.floats(0.06, 0.16)),
    ),
    st.integers(1, 10),
    st.sampled_from([0.5, 0.75, 0.9, 1.0]),
)
def test_unknown_bays_are_never_low_whatever_their_shape(
    shape: tuple, bays: int, spacing: float
) -> None:
    build, *sizes = shape
    places, moments = stacked(build(*sizes), bays, spacing)
    stack = Stack(
        bay=UNKNOWN, bays=bays, design_frequency=FREQUENCY, spacing=spacing, beam_tilt=0.0
    )
    points = around(bays, spacing, bays, 300)
    assert lowest_db(stack, places, moments, points) > -0.5


def test_behind_arms_swept_far_back_unknown_bays_are_not_low() -> None:
    """The place that decides the ring's part of the envelope: near the backs of swept arms, at the bays' heights."""
    places, moments = stacked(swept_v(54.76, 48.72), 5, 1.0)
    stack = Stack(bay=UNKNOWN, bays=5, design_frequency=FREQUENCY, beam_tilt=0.0)
    turn = np.radians(np.arange(0.0, 360.0, 6.0))
    ring = np.stack([np.cos(turn), np.sin(turn)], axis=1) * 0.4 * LAM
    levels = np.arange(-2.2, 2.21, 0.1) * LAM
    points = np.concatenate([np.column_stack([ring, np.full(len(turn), z)]) for z in levels])
    assert -0.5 < lowest_db(stack, places, moments, points) < 1.0


def test_below_unknown_bays_there_is_a_field_and_below_a_ring_there_is_none() -> None:
    """The case that was low: eight bays, straight below."""
    at = np.array([[0.6, 0.6, -3.5 * LAM - 8.0]])
    level = {
        bay: Stack(bay=bay, bays=8, design_frequency=FREQUENCY, beam_tilt=0.0)
        .unit_field(at, FREQUENCY, conservative=True)
        .power_density[0]
        for bay in ("slant-ring", "crossed-v", UNKNOWN)
    }
    assert level[UNKNOWN] > level["crossed-v"] > 2.0 * level["slant-ring"]


def test_the_licence_of_unknown_bays_is_the_mean_round_the_horizon() -> None:
    stack = Stack(bay="crossed-v", bays=4, design_frequency=FREQUENCY, beam_tilt=0.0)
    turn = np.radians(np.arange(0.0, 360.0, 1.0))
    out = np.stack([np.cos(turn), np.sin(turn), 0.0 * turn], axis=1)
    rounds = [
        4.0 * np.pi * (abs(far_pattern(fed, out)) ** 2).sum(axis=1) / ETA0
        for fed in stack.feeds(FREQUENCY, conservative=True)
    ]
    least = min(one.mean() for one in rounds)
    assert stack.licence_gain(FREQUENCY) == pytest.approx(least, rel=1e-3)
    assert rounds[0].max() > 1.1 * rounds[0].mean()


def test_crossed_v_dipoles_face_their_boresight() -> None:
    """Arms swept back leave more of the field ahead than behind the sweep's hollow, one way round."""
    stack = Stack(bay="crossed-v", bays=1, design_frequency=FREQUENCY, bend=45.0, beam_tilt=0.0)
    ahead, behind = (
        stack.arms(FREQUENCY).centre[:, 0].max(),
        stack.arms(FREQUENCY).centre[:, 0].min(),
    )
    assert -behind > 4.0 * max(ahead, 0.01)
    assert stack.has_boresight


def test_every_circular_bay_is_circular() -> None:
    assert set(BAYS) - set(CIRCULAR) == {"vertical-dipole", "turnstile"}
    for bay in CIRCULAR:
        assert Stack(bay=bay, bays=1, design_frequency=FREQUENCY, beam_tilt=0.0).is_circular


def test_a_reading_says_what_knowing_the_shape_would_bring() -> None:
    stack = Stack(bay=UNKNOWN, bays=4, design_frequency=FREQUENCY, beam_tilt=0.0)
    assert "UNKNOWN" in stack.assumptions()[0]
    assert "naming the shape" in stack.assumptions()[0].replace("  ", " ")
