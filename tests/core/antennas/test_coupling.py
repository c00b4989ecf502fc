"""Bays that couple: published impedances, and fields of stacks fed with equal voltages that nobody tuned for."""

from __future__ import annotations

import json

import numpy as np
import pytest

from core.antennas.bay_shapes import Sizes, bay_of
from core.antennas.coupling import _mutual, _resistance, fed_alike
from core.antennas.stack import COUPLED, REACTANCES, Stack, bay_weights, stack_heights
from core.fields.arms import arm_sum, peak_intensity
from core.fields.unit_field import raised
from core.units import SPEED_OF_LIGHT
from support.places import ROOT

FREQUENCY = 98e6
LAM = SPEED_OF_LIGHT / FREQUENCY
K = 2.0 * np.pi / LAM
SIZES = Sizes(0.5, 0.23, 4, 45.0, 45.0, 0.09, 0.118)
FOUND = json.loads((ROOT / "tests" / "reference" / "coupled-stacks.json").read_text())


def stack_of(row: dict) -> Stack:
    keys = ("bay", "bays", "spacing", "beam_tilt")
    of = {key: row[key] for key in keys}
    return Stack(design_frequency=FOUND["frequency"], **of, **row["sizes"])


@pytest.mark.parametrize(
    ("apart", "ohms"), [(0.5, -12.52 - 29.91j), (1.0, 4.01 + 17.73j)]
)  # fmt: skip
def test_half_wave_dipoles_beside_each_other_have_the_published_impedances(
    apart: float, ohms: complex
) -> None:
    """73.1 Ω alone; side by side the induced-EMF values (Balanis, Antenna Theory, chapter 8, from memory)."""
    bay = bay_of("turnstile", SIZES, LAM, K)
    flow = np.abs(bay.current).astype(np.complex128)
    alone = _resistance(bay, flow, 2, K)
    assert np.diag(alone) == pytest.approx([73.13, 73.13], abs=0.1)
    assert abs(alone[0, 1]) < 1e-9
    mutual = _mutual(bay, flow, 2, apart * LAM, K)
    assert np.diag(mutual) == pytest.approx([ohms, ohms], abs=0.15)
    assert abs(mutual[0, 1]) + abs(mutual[1, 0]) < 1e-6, "crossed dipoles do not couple"


def test_dipoles_end_to_end_hardly_couple() -> None:
    bay = bay_of("vertical-dipole", SIZES, LAM, K)
    mutual = _mutual(bay, bay.current, 1, LAM, K)
    assert abs(mutual[0, 0]) < 0.1 * 73.0


@pytest.mark.parametrize(("bay", "apart"), [("crossed-v", 0.9), ("slant-ring", 0.6)])
def test_what_one_bay_gives_up_it_takes_down(bay: str, apart: float) -> None:
    """Reciprocity, and currents that solve all impedances as they are between each two bays."""
    one = bay_of(bay, SIZES, LAM, K)
    flow = np.abs(one.current).astype(np.complex128)
    ports = int(one.port.max()) + 1
    up, down = (_mutual(one, flow, ports, z * LAM, K) for z in (apart, -apart))
    assert up == pytest.approx(down.T, rel=1e-2, abs=0.2)
    heights = stack_heights(2, apart * LAM)
    found = fed_alike(one, heights, np.ones(2, np.complex128), K, 0.3)
    own = _resistance(one, flow, ports, K).astype(np.complex128)
    own += 0.3j * np.mean(np.diag(own)) * np.eye(ports)
    lead = np.array([one.current[one.port == p][0] for p in range(ports)])
    loops = np.linalg.solve(np.block([[own, down], [up, own]]), np.tile(lead / abs(lead), 2))
    assert found == pytest.approx(loops.reshape(2, ports)[:, one.port] * flow, rel=0.02, abs=1e-4)


def test_a_feed_that_is_stiff_has_equal_currents() -> None:
    bay, heights = bay_of("crossed-v", SIZES, LAM, K), stack_heights(6, 0.95 * LAM)
    weights = bay_weights(heights, K, 2.0, 0.1)
    stiff = fed_alike(bay, heights, weights, K, 1e7)
    equal = np.outer(weights, bay.current)
    assert stiff / stiff[0, 0] == pytest.approx(equal / equal[0, 0], abs=1e-5)
    loose = fed_alike(bay, heights, weights, K, 0.0)
    spread = np.abs(loose[:, 0] / weights)
    assert spread.max() > 1.25 * spread.min()


@pytest.mark.parametrize("row", FOUND["stacks"], ids=lambda r: f"{r['bay']}-{r['bays']}")
def test_stacks_fed_with_equal_voltages_are_never_low(row: dict) -> None:
    """Own method-of-moments fields (what the file says); equal currents alone are 2 to 7 dB low on each of these."""
    stack, points = stack_of(row), np.array(row["points"])
    at, true = points[:, :3], points[:, 3]
    shown = stack.unit_field(at, FOUND["frequency"], conservative=True)
    over = 10.0 * np.log10(shown.power_density / true)
    assert over[~shown.reactive].min() > 0.5
    total = arm_sum(stack.arms(FOUND["frequency"]), at)
    e2, h2 = raised(
        np.stack([np.maximum(total.e2, total.e2_each), np.maximum(total.h2, total.h2_each)]), 0.0
    )
    equal = np.maximum(e2 / 376.730313668, h2 * 376.730313668)
    assert (10.0 * np.log10(equal / true)).min() < -2.0


@pytest.mark.parametrize("bay", [*COUPLED, "slant-ring"])
def test_gains_are_the_least_of_all_currents(bay: str) -> None:
    stack = Stack(bay=bay, bays=5, spacing=0.9, design_frequency=FREQUENCY, beam_tilt=1.0)
    feeds = stack.feeds(FREQUENCY, conservative=True)
    assert len(feeds) == (1 + len(REACTANCES) if bay in COUPLED else 1)
    assert stack.feeds(FREQUENCY, conservative=False) == feeds[:1]
    gains = [4.0 * np.pi * peak_intensity(fed) for fed in feeds]
    assert stack.directivity(FREQUENCY) == pytest.approx(min(gains))
    single = Stack(bay=bay, bays=1, design_frequency=FREQUENCY, beam_tilt=0.0)
    assert len(single.feeds(FREQUENCY, conservative=True)) == 1


def test_close_bays_couple_whatever_their_shape() -> None:
    for spacing, feeds in ((0.5, 3), (0.9, 1)):
        stack = Stack(
            bay="slant-pair", bays=8, spacing=spacing, design_frequency=FREQUENCY, beam_tilt=0.0
        )
        assert len(stack.feeds(FREQUENCY, conservative=True)) == feeds
    sticks = Stack(bay="vertical-dipole", bays=8, spacing=0.5, design_frequency=FREQUENCY)
    assert len(sticks.feeds(FREQUENCY, conservative=True)) == 1
