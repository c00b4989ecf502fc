"""Arrays of masts of unequal height against wires that are solved together: coupling bends their base currents."""

from __future__ import annotations

import numpy as np
import pytest

from core.antennas.mast_array import ArrayMast, MastArray
from core.units import SPEED_OF_LIGHT
from support.parallel_wires import Wire, Wires

F = 1e6
LAM = SPEED_OF_LIGHT / F
RADIUS = 0.3
FUNCTIONS = 31

ARRAYS = [
    ((0.25, 0.15), (0.0, 0.25), (1.0, -1.0j)),
    ((0.35, 0.2), (0.0, 0.25), (1.0, 1.0)),
    ((0.5, 0.25), (0.0, 0.25), (1.0, 1.0j)),
    ((0.5, 0.25), (0.0, 0.25), (0.3, 1.0)),
    ((0.55, 0.25, 0.19), (0.0, 0.3, 0.6), (1.0, 1.0, -1.0)),
    ((0.19, 0.25, 0.4), (0.0, 0.25, 0.5), (1.0, 0.6j, -0.5)),
    ((0.5, 0.45), (0.0, 0.2), (1.0, 0.2j)),
    ((0.25, 0.25), (0.0, 0.25), (1.0, 1.0j)),
]
"""Heights and places in wavelengths and the voltages of the masts: invented."""


def solved(
    heights: tuple[float, ...], places: tuple[float, ...], volts: tuple[complex, ...]
) -> tuple[Wires, MastArray]:
    """Masts with their images as wires fed in the middle, and the array that a licence would make of them."""
    wires = Wires(
        [
            Wire(x * LAM, 0.0, 0.0, 2.0 * h * LAM, RADIUS, v)
            for h, x, v in zip(heights, places, volts, strict=True)
        ],
        LAM,
        FUNCTIONS,
    )
    k = 2.0 * np.pi / LAM
    # A piecewise sinusoid of half-length d has the moment 2 tan(kd/2)/k.
    step = np.array(heights) * 2.0 * LAM / (FUNCTIONS + 1)
    moment = wires.current.reshape(len(heights), -1).sum(axis=1) * np.tan(k * step / 2.0)
    ratio = moment / moment[0]
    masts = tuple(
        ArrayMast(
            height=h * LAM,
            field=float(abs(r)),
            phase=float(np.degrees(np.angle(r))),
            distance=x * LAM,
            radius=RADIUS,
        )
        for h, x, r in zip(heights, places, ratio, strict=True)
    )
    return wires, MastArray(masts=masts)


@pytest.mark.parametrize(("heights", "places", "volts"), ARRAYS)
def test_neither_e_nor_h_is_low_beside_any_mast(
    heights: tuple[float, ...], places: tuple[float, ...], volts: tuple[complex, ...]
) -> None:
    wires, kind = solved(heights, places, volts)
    turn = np.radians(np.arange(0.0, 360.0, 45.0))
    points = np.array(
        [
            (x * LAM + r * np.cos(t), r * np.sin(t), z)
            for x, h in zip(places, heights, strict=True)
            for r in (2.0, 3.0, 5.0, 10.0, 20.0, 50.0, 100.0)
            for t in turn
            for z in (1.0, 2.0, 0.1 * h * LAM, 0.5 * h * LAM)
        ]
    )
    # 1 W above the ground is 2 W in all of space.
    e2, h2 = (2.0 * v for v in wires.squares(points))
    unit = kind.unit_field(points, F, conservative=True)
    counted = ~unit.reactive
    assert counted.sum() > 200
    for found, exact in ((unit.e2, e2), (unit.h2, h2)):
        error = 10.0 * np.log10(found / exact)[counted]
        assert error.min() > 0.0


def test_what_coupling_adds_is_nothing_for_one_mast_and_for_quarter_waves() -> None:
    near = np.array([[3.0, 0.0, 1.0]])
    tall, quarter = (
        ArrayMast(height=h * LAM, field=1.0, phase=0.0, distance=d, radius=RADIUS)
        for h, d in ((0.5, 0.0), (0.25, 0.25 * LAM))
    )
    alone = MastArray(masts=(tall,)).unit_field(near, F, conservative=True)
    both = MastArray(masts=(tall, quarter)).unit_field(near, F, conservative=True)
    # Half of the power goes to the other mast, and yet there is more H at the base of the half wave.
    assert both.h2[0] > 0.6 * alone.h2[0]
    pair = MastArray(
        masts=(quarter, ArrayMast(height=0.25 * LAM, field=1.0, phase=90.0, radius=RADIUS))
    )
    high, best = (pair.unit_field(near, F, conservative=c).h2[0] for c in (True, False))
    assert 10.0 * np.log10(high / best) < 2.0
