"""The worst case is not passed by small antennas, reactive fields included."""

from __future__ import annotations

import numpy as np
import pytest

from core.antennas.worst_case import REFLECTION, WorstCase
from core.units import ETA0, SPEED_OF_LIGHT, to_db, wavelength
from support.parallel_wires import Wire, Wires

F = 100e6
LAM = SPEED_OF_LIGHT / F


def shown(kind: WorstCase, points: np.ndarray) -> np.ndarray:
    """S without the full reflection that the kind has in it, W/m² for 1 W."""
    return kind.unit_field(points, F, conservative=True).power_density / REFLECTION


def element_fields(distance: np.ndarray, polar: float) -> np.ndarray:
    """Largest of both power densities of a short current element that radiates 1 W.

    Three-term closed form: C. A. Balanis, Antenna Theory, ch. 4. The small loop has E and H exchanged.
    """
    x = 2.0 * np.pi * distance / LAM
    far = 1.5 / (4.0 * np.pi * distance**2)
    s, c = np.sin(polar), np.cos(polar)
    electric = far * (s**2 * (1.0 - x**-2 + x**-4) + 4.0 * c**2 * (x**-2 + x**-4))
    magnetic = far * s**2 * (1.0 + x**-2)
    return np.maximum(electric, magnetic)


@pytest.mark.parametrize("polar", np.radians([0.0, 20.0, 45.0, 70.0, 90.0]))
def test_a_short_dipole_or_a_small_loop_is_not_stronger_anywhere(polar: float) -> None:
    kind = WorstCase(gain=to_db(1.5), size=0.0)
    distance = LAM * 10.0 ** np.linspace(-1.3, 2.0, 300)
    way = np.array([np.sin(polar), 0.0, np.cos(polar)])
    ratio = shown(kind, distance[:, None] * way) / element_fields(distance, polar)
    assert ratio.min() >= 1.0 - 1e-9
    if polar == 0.0:
        # Along the axis it is exact close in: nothing is given away there.
        assert ratio[:10] == pytest.approx(1.0)


@pytest.mark.parametrize("length", [0.05, 0.1, 0.25, 0.47, 0.6])
@pytest.mark.parametrize("apart", [0.0, 0.06, 0.12])
def test_wires_and_close_pairs_are_not_stronger_from_a_twentieth_of_a_wavelength(
    length: float, apart: float
) -> None:
    one = Wire(-apart * LAM / 2, 0.0, 0.0, length * LAM, 1e-3, 1.0)
    other = Wire(apart * LAM / 2, 0.0, 0.0, length * LAM, 1e-3, -1.0j)
    wires = Wires([one, other] if apart else [one], LAM)
    turn = np.linspace(0.0, np.pi, 61)
    plane = np.stack([np.sin(turn), 0.0 * turn, np.cos(turn)], axis=1)
    ways = np.concatenate([plane, plane[:, [1, 0, 2]]])
    size = float(np.hypot(length, apart)) * LAM
    kind = WorstCase(gain=to_db(wires.gain(ways).max()), size=size)
    for wl in (0.05, 0.08, 0.12, 0.2, 0.4, 1.0, 3.0):
        points = ways * (size / 2.0 + wl * 1.001 * LAM)
        unit = kind.unit_field(points, F, conservative=True)
        assert not unit.reactive.any()
        error = 10.0 * np.log10(shown(kind, points) / wires.density(points))
        assert error.min() > -0.3


def test_which_way_it_is_turned_is_not_known() -> None:
    kind = WorstCase(gain=3.0, size=2.0)
    points = 4.0 * np.vstack([np.eye(3), -np.eye(3), np.full((1, 3), 3.0**-0.5)])
    s = shown(kind, points)
    assert s == pytest.approx(s[0])
    far = np.array([[1e5, 0.0, 0.0]])
    assert shown(kind, far)[0] * 4.0 * np.pi * 1e10 == pytest.approx(10.0**0.3, rel=1e-4)


def test_nearer_than_a_twentieth_of_a_wavelength_there_is_no_figure() -> None:
    kind = WorstCase(gain=0.0, size=1.0)
    points = np.array([[0.5 + wl * wavelength(F), 0.0, 0.0] for wl in (0.049, 0.051)])
    for dtype in (np.float32, np.float64):
        unit = kind.unit_field(points.astype(dtype), F, conservative=True)
        assert unit.reactive.tolist() == [True, False]
        assert unit.e2.dtype == dtype
        assert unit.e2 == pytest.approx(unit.h2 * ETA0**2, rel=1e-5)
