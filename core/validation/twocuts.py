"""Patterns built from two cuts against the same antennas computed in full."""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache
from typing import Any

import numpy as np
from numpy.typing import NDArray

from core.patterns.build3d import conservative
from core.patterns.formulas.cellular import PlanarArray, m2101_array, tr38901_element
from core.patterns.model import Cut, PatternData
from core.validation.case import COMPUTED, Case, Topic

GROUP = "Patterns built from two cuts"
STRONG_DB = 30.0
"""Directions this far below the peak still count."""
LOWEST_DB = 0.1
"""How far below the antenna the built pattern may lie in any of them."""

Array = NDArray[np.float64]
Truth = Callable[[Any, Any], Array]
"""Level in dB, on any scale, from azimuth and elevation in degrees."""


def _stack(elevation: Array, count: int, spacing: float, tilt: float) -> Array:
    turn = 2 * np.pi * spacing * (np.sin(np.radians(elevation)) + np.sin(np.radians(tilt)))
    return np.asarray(np.abs(sum(np.exp(1j * k * turn) for k in range(count))) / count)


def _dipole(elevation: Array) -> Array:
    cosine = np.maximum(np.cos(np.radians(elevation)), 1e-9)
    return np.asarray(np.abs(np.cos(np.pi / 2 * np.sin(np.radians(elevation)))) / cosine)


def _level(field: Any) -> Array:
    return np.asarray(20 * np.log10(np.abs(field) + 1e-12))


def panel(spacing: float, tilt: float) -> Truth:
    """Return ten elements of 65 degrees, one above the other.

    Parameters
    ----------
    spacing : float
        Wavelengths or m, as the caller counts.
    tilt : float
        Degrees down.
    """
    return lambda a, e: tr38901_element(a, e) + _level(_stack(e, 10, spacing, tilt))


def array_8x8(**changes: float) -> Truth:
    """Return the 8 × 8 array of ITU-R M.2101 with its beam straight ahead."""
    return lambda a, e: m2101_array(a, e, PlanarArray(**changes))  # type: ignore[arg-type]


def collinear(spacing: float) -> Truth:
    """Return six dipoles with 3 degrees of electrical tilt.

    Parameters
    ----------
    spacing : float
        Wavelengths or m, as the caller counts.
    """
    return lambda a, e: _level(_stack(e, 6, spacing, 3.0) * _dipole(e)) + 0.0 * a


def ring(radius: float) -> Truth:
    """Return three panels of 65 degrees on a mast, four levels a wavelength apart, with phase.

    Parameters
    ----------
    radius : float
        m.
    """

    def at(a: Any, e: Any) -> Array:
        total: Any = 0.0
        for bearing in (0.0, 120.0, 240.0):
            element = tr38901_element(a - bearing, e, limit=25.0, vertical_limit=25.0)
            path = 2 * np.pi * radius * np.cos(np.radians(e)) * np.cos(np.radians(a - bearing))
            total = total + 10 ** (element / 20) * np.exp(1j * path)
        return _level(total * _stack(e, 4, 1.0, 0.0))

    return at


def _off_axis(a: Any, e: Any) -> Array:
    return np.asarray(np.arccos(np.clip(np.cos(np.radians(a)) * np.cos(np.radians(e)), -1.0, 1.0)))


def end_fire(spacing: float, extra: float) -> Truth:
    """Return eight upright dipoles in line, phased end-fire (``extra`` radians over the length).

    Parameters
    ----------
    spacing : float
        Wavelengths or m, as the caller counts.
    """

    def at(a: Any, e: Any) -> Array:
        turn = 2 * np.pi * spacing * (np.cos(_off_axis(a, e)) - 1.0) - extra / 8.0
        return _level(sum(np.exp(1j * k * turn) for k in range(8)) / 8.0 * _dipole(e))

    return at


@lru_cache(maxsize=1)
def _bessel() -> tuple[Array, Array]:
    """J1 from Bessel's integral, exact here to rounding for arguments below 100."""
    turn = (np.arange(2000) + 0.5) * np.pi / 2000
    x = np.linspace(0.0, 100.0, 20_001)[:-1]
    parts = [
        np.cos(turn[None, :] - part[:, None] * np.sin(turn)[None, :]).mean(axis=1)
        for part in np.split(x, 20)
    ]
    return x, np.concatenate(parts)


def dish(a: Any, e: Any) -> Array:
    """Return an even round aperture of 30 wavelengths with a Huygens source's obliquity factor.

    Parameters
    ----------
    e : Any
        Degrees up.
    """
    psi = _off_axis(a, e)
    x = np.pi * 30.0 * np.sin(psi)
    field = np.where(x < 1e-6, 1.0, 2.0 * np.interp(x, *_bessel()) / np.maximum(x, 1e-9))
    return _level(field * (1.0 + np.cos(psi)) / 2.0)


TRUTHS: dict[str, tuple[Truth, float, float | None]] = {
    "panel, close": (panel(0.7, 0.0), 1.0, 5.0),
    "panel": (panel(0.85, 0.0), 1.0, 5.0),
    "panel, 6 degrees down": (panel(0.85, 6.0), 1.0, 5.0),
    "panel, wide, 6 degrees down": (panel(0.95, 6.0), 0.5, None),
    "8 x 8 array": (array_8x8(), 1.0, None),
    "8 x 8 array, square": (array_8x8(row_spacing=0.5), 1.0, None),
    "8 x 8 array, 65 degree elements": (array_8x8(column_spacing=0.7, width=65.0), 0.9, None),
    "collinear": (collinear(0.7), 1.0, 10.0),
    "collinear, wide": (collinear(0.95), 1.0, 10.0),
    "ring": (ring(0.4), 1.0, None),
    "ring, thin mast": (ring(0.2), 1.0, None),
    "ring, thick mast": (ring(0.6), 1.0, None),
    "dish": (dish, 0.2, None),
    "end-fire": (end_fire(0.3, 0.0), 1.0, None),
    "end-fire, sharpened": (end_fire(0.2, 3.0), 1.0, None),
}
"""Antenna computed in full, step of its cuts, step of its azimuth cut where it differs (degrees)."""


def cuts_of(
    truth: Truth, step: float, az_step: float | None = None
) -> tuple[float, tuple[float, float], PatternData]:
    """Return the peak level, its direction, and the two cuts through it as a file holds them.

    Files have two decimals; so rounded, equal levels are equal on every machine.

    Parameters
    ----------
    truth : Truth
        The whole pattern.
    step : float
        Degrees between the samples.
    az_step : float or None
        Degrees between the samples in azimuth.
    """
    coarse_az, coarse_el = np.arange(-180.0, 180.0), np.linspace(-90.0, 90.0, 721)
    field = truth(coarse_az[None, :], coarse_el[:, None])
    row, column = np.unravel_index(np.round(field, 6).argmax(), field.shape)
    az0, el0 = float(coarse_az[column]), float(coarse_el[row])
    az = np.round(np.arange(-180.0, 180.0, az_step or step), 6)
    el = np.round(np.arange(-180.0, 180.0, step), 6)
    behind = np.abs(el) > 90.0
    across = truth(az, np.full(az.size, el0))
    up = truth(np.where(behind, az0 + 180.0, az0), np.where(behind, 180.0 - el, el))
    top = float(max(field.max(), across.max(), up.max()))
    return (
        top,
        (az0, el0),
        PatternData(
            name="invented",
            gain=0.0,
            azimuth=Cut(az, np.round(top - across, 2)),
            elevation=Cut(el, np.round(top - up, 2)),
            electrical_tilt=-el0,
        ),
    )


def directions(
    count: int, azimuth: float, elevation: float, spread: tuple[float, float]
) -> tuple[Array, Array]:
    """Return directions: ``count`` even over the sphere, and half as many more around a beam.

    Parameters
    ----------
    azimuth : float
        Degrees clockwise.
    elevation : float
        Degrees up.
    spread : tuple[float, float]
        Half-width of the range, degrees.
    """
    i = np.arange(count) + 0.5
    golden = 180.0 * (3.0 - 5.0**0.5)
    az = (golden * i) % 360.0 - 180.0
    el = np.degrees(np.arcsin(1.0 - 2.0 * i / count))
    more = np.arange(count // 2) + 0.5
    out = 3.0 * np.sqrt(more / more.size)
    turn = np.radians(golden * more)
    close = np.clip(elevation + spread[1] * out * np.sin(turn), -90.0, 90.0)
    return (
        np.concatenate((az, azimuth + spread[0] * out * np.cos(turn))),
        np.concatenate((el, close)),
    )


def twocuts() -> tuple[Case, ...]:
    """Return lowest, median and highest error of the built pattern for each antenna."""
    return tuple(row for name in TRUTHS for row in built(name))


@lru_cache
def built(name: str) -> tuple[Case, ...]:
    """Return the cases of one antenna of :data:`TRUTHS`.

    Parameters
    ----------
    name : str
        As it is called in the data or the file.
    """
    truth, step, az_step = TRUTHS[name]
    top, (az0, el0), data = cuts_of(truth, step, az_step)
    assert data.azimuth is not None
    assert data.elevation is not None
    spread = min(data.azimuth.width(), 60.0), min(data.elevation.width(), 60.0)
    azimuth, elevation = directions(60_000, az0, el0, spread)
    real = truth(azimuth, elevation) - top
    ours = 10.0 * np.log10(conservative(data).gain(azimuth, elevation))
    topic = Topic(
        group=GROUP, title=name.replace(" degrees", "°").replace(" degree", "°"), status=COMPUTED,
        unit="dB", law="level",
        source=f"the antenna in full, {azimuth.size} directions, those within {STRONG_DB:g} dB of the peak",
    )  # fmt: skip
    error = (ours - real)[real > -STRONG_DB]
    inputs = f"cuts every {step:g}°" + (f", azimuth every {az_step:g}°" if az_step else "")
    return (
        topic.case(inputs, "lowest error", 0.0, float(error.min()), low=LOWEST_DB),
        topic.case(inputs, "median error", 0.0, float(np.median(error))),
        topic.case(inputs, "highest error", 0.0, float(error.max())),
    )
