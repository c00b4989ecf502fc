"""Columns of dipoles at the same places with the same phases, one a polarisation, their powers added."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from core.arrays import Floats, Points
from core.fields import arms as arm
from core.fields import one_arm
from core.fields.array_factor import FAR_ELEVATION, array_factor, direction_factor
from core.units import ETA0


@dataclass(frozen=True, slots=True)
class ColumnSum:
    """E² and H² (n,) of columns added in power: of their fields, and of their dipoles blind to phase."""

    e2: Floats
    h2: Floats
    e2_each: Floats
    h2_each: Floats

    def larger(self, other: ColumnSum) -> ColumnSum:
        """Return the larger of two, each number by itself."""
        return ColumnSum(*(np.maximum(getattr(self, n), getattr(other, n)) for n in self.__slots__))


def column_sums(columns: tuple[arm.Arms, ...], points: Points, *, quick: bool) -> ColumnSum:
    """Return the polarisations' fields at points added in power.

    With ``quick``, far out all polarisations share one array factor: same places, same phases,
    another lean.

    Parameters
    ----------
    columns : tuple[arm.Arms, ...]
        The columns of dipoles.
    points : array, shape (n, 3)
        Places, m; their precision is kept.
    """
    out = ColumnSum(*np.zeros((4, len(points)), points.dtype))
    r2 = np.einsum("ij,ij->i", points, points)
    far = quick & (r2 > arm.far_from(columns[0]) ** 2) & (points[:, 2] ** 2 < FAR_ELEVATION**2 * r2)
    if far.any():
        found = quick_sums(columns, points[far])
        for name in ColumnSum.__slots__:
            getattr(out, name)[far] = getattr(found, name)
    close = ~far
    if close.any():
        for column in columns:
            total = arm.arm_sum(column, points[close])
            for name in ColumnSum.__slots__:
                getattr(out, name)[close] += getattr(total, name)
    return out


def misfed(total: ColumnSum, share: float) -> ColumnSum:
    """Return the sums with fields raised by a share of that of the dipoles' powers added.

    Currents that differ from those assumed by that share, none knowing of the other, add no more on average.

    Parameters
    ----------
    total : ColumnSum
        The sums at places.
    share : float
        Of the current, 0 to 1.
    """

    def both(square: Floats, each: Floats) -> Floats:
        raised: Floats = (np.sqrt(square) + square.dtype.type(share) * np.sqrt(each)) ** 2
        return raised

    return ColumnSum(
        both(total.e2, total.e2_each), both(total.h2, total.h2_each), total.e2_each, total.h2_each
    )


def quick_sums(columns: tuple[arm.Arms, ...], points: Points) -> ColumnSum:
    """Return the same with one common direction, whatever the distance.

    Parameters
    ----------
    columns : tuple[arm.Arms, ...]
        The columns of dipoles.
    points : array, shape (n, 3)
        Places, m; their precision is kept.
    """
    first, real = columns[0], points.dtype.type
    unit = points / np.sqrt(np.einsum("ij,ij->i", points, points))[:, None]
    factor, each = array_factor(first.centre, first.current, first.k, points)
    element = _element(columns, unit)
    e2, own = (factor.real**2 + factor.imag**2) * element, each * element
    return ColumnSum(e2, e2 / real(ETA0**2), own, own / real(ETA0**2))


def far_intensity(columns: tuple[arm.Arms, ...], unit: Floats) -> Floats:
    """Return the radiation intensity (n,) in W/sr of the polarisations together towards directions.

    Parameters
    ----------
    columns : tuple[arm.Arms, ...]
        The columns of dipoles.
    unit : array, shape (n, 3)
        Unit vectors of directions.
    """
    first = columns[0]
    factor = direction_factor(first.centre, first.current, first.k, unit)
    even: Floats = (factor.real**2 + factor.imag**2) * _element(columns, unit) / ETA0
    return even


def _element(columns: tuple[arm.Arms, ...], unit: Floats) -> Floats:
    """Return |r E|² (n,) of one dipole of each column, V², for 1 A in the first column's."""
    first, real = columns[0], unit.dtype.type
    element: Floats = np.zeros(len(unit), unit.dtype)
    for column in columns:
        scale = abs(column.current[0] / first.current[0]) ** 2
        axis = column.axis[0].astype(unit.dtype)
        moment, cos_t = one_arm.element_moment(unit, axis, float(column.half_length[0]), first.k)
        element += real(scale) * moment**2 * (1.0 - cos_t**2)
    return element * real((ETA0 / (2.0 * np.pi)) ** 2)


def off_boresight(x: Floats, y: Floats, past: Floats | float) -> Floats:
    """Return the angle (n,) off the boresight in degrees, the way past an end counted as sideways.

    Parameters
    ----------
    x, y : array
        Ahead and to the side, m.
    past : array or float
        The way past the end, m.
    """
    angle: Floats = np.degrees(np.arctan2(np.hypot(y, past), x))
    return angle


def level_power(phi: Floats, lean: float, half: float) -> Floats:
    """Return the power (n,) of one leaning dipole round the horizon, 1 ahead.

    Parameters
    ----------
    phi : array
        Off the boresight, degrees.
    lean : float
        Of the dipole from the vertical, degrees.
    half : float
        Half its length, wavelengths.
    """
    turn = np.radians(np.atleast_1d(phi).astype(np.float64))
    unit = np.stack([np.cos(turn), np.sin(turn), 0.0 * turn], axis=1)
    axis = np.array([0.0, np.sin(np.radians(lean)), np.cos(np.radians(lean))])
    moment, cos_t = one_arm.element_moment(unit, axis, half, 2.0 * np.pi)
    ahead = 1.0 - np.cos(2.0 * np.pi * half)
    power: Floats = moment**2 * (1.0 - cos_t**2) / ahead**2
    return power
