"""Beside a dish its figure is no lower than the field of a round aperture.

The reference is the scalar field of a round aperture, integrated by core.validation.dish_field (Huygens sources
on the aperture, textbook form); no number here is from a publication.
"""

from __future__ import annotations

import numpy as np
import pytest

from core.antennas.dish import BESIDE, Dish, axis_chain
from core.units import SPEED_OF_LIGHT, from_db, to_db
from core.validation.dish_field import Light, aperture, even, tapered

ACROSS = np.concatenate([np.linspace(1.0, 3.0, 41), np.geomspace(3.0, 30.0, 60)])


@pytest.mark.parametrize("ratio", [8.0, 20.0, 60.0])
@pytest.mark.parametrize("ahead", [0.05, 0.55, 1.0, 5.0, 15.0])
def test_one_diameter_off_the_axis_and_more_it_is_never_low(ratio: float, ahead: float) -> None:
    points = np.stack([np.full_like(ACROSS, ahead), ACROSS, 0.0 * ACROSS], axis=1)
    for light in (tapered, even):
        exact, gain = aperture(ratio, light, ahead, ACROSS)
        kind = Dish(diameter=1.0, gain=to_db(gain))
        unit = kind.unit_field(points, SPEED_OF_LIGHT * ratio, conservative=True)
        assert (unit.power_density / exact).min() > 1.0


def pedestal(edge_db: float, power: float) -> Light:
    """Return a parabola to some power on a pedestal: how feeds light dishes (Balanis, 12.5, from memory)."""
    edge = 10.0 ** (-edge_db / 20.0)
    return lambda radius: edge + (1.0 - edge) * (1.0 - radius**2) ** power


@pytest.mark.parametrize(
    ("edge_db", "power"),
    [(0.0, 1.0), (10.0, 1.0), (15.0, 1.0), (20.0, 1.0), (15.0, 1.5), (12.0, 2.0)],
)
@pytest.mark.parametrize("ratio", [12.0, 40.0])
def test_on_its_axis_it_is_not_low_however_it_is_lit(
    edge_db: float, power: float, ratio: float
) -> None:
    """From two diameters to the far field, on the axis, where the published near value is up to 1.9 dB low."""
    frequency, across = SPEED_OF_LIGHT * ratio, np.array([0.0])
    ahead = np.geomspace(2.0, 4.0 * ratio, 60)
    exact, gains = zip(
        *(aperture(ratio, pedestal(edge_db, power), a, across) for a in ahead), strict=True
    )
    kind = Dish(diameter=1.0, gain=to_db(gains[0]))
    points = np.column_stack([ahead, 0.0 * ahead, 0.0 * ahead])
    unit = kind.unit_field(points, frequency, conservative=True)
    low = 10.0 * np.log10(unit.power_density / np.ravel(exact))
    assert low.min() > -0.5
    assert low[-1] < 0.1


def test_the_beam_does_not_reach_sideways_for_ever() -> None:
    """At 100 diameters beside the aperture what is left is spill-over, not the near field's 1/100."""
    kind, frequency = Dish(diameter=0.3, gain=40.0), 26e9
    chain = axis_chain(0.3, from_db(40.0), SPEED_OF_LIGHT / frequency)
    at = np.array([[1.0, 30.0, 0.0]])
    s = float(kind.unit_field(at, frequency, conservative=True).power_density[0])
    assert s < 1e-3 * BESIDE * chain.near
    isotropic = 1.0 / (4.0 * np.pi * (30.0**2 + 1.0))
    assert s >= isotropic * (1.0 - 1e-9)
