"""ITU-R F.1336-5, peak side-lobe forms. Levels in dBi, angles in degrees.

As peak envelopes they radiate 1.7 to 2.3 dB more than an antenna can: the excess is on the safe
side, and a gain check against directivity does not apply.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from core.patterns.model import wrap

Array = NDArray[np.float64]


class SideLobes(NamedTuple):
    """The factors kp, kh and kv of recommends 3.1."""

    kp: float = 0.7
    kh: float = 0.8
    kv: float = 0.7


TYPICAL = SideLobes()
IMPROVED = SideLobes(kp=0.7, kh=0.7, kv=0.3)


def f1336_omni(elevation: ArrayLike, *, gain: float, k: float = 0.7, tilt: float = 0.0) -> Array:
    """Return an omnidirectional pattern, recommends 2.1 (400 MHz to 70 GHz).

    Parameters
    ----------
    gain : float
        dBi; the half-power width is ``107.6 * 10^(-gain/10)``.
    k : float
        Side-lobe factor: 0.7 for typical antennas up to about 3 GHz, 0 for improved ones.
    tilt : float
        Electrical tilt, positive down: the recommendation stretches the angles so that the poles
        stay where they are.
    elevation : array_like
        Degrees up.
    """
    angle = np.abs(f1336_tilted(elevation, tilt))
    width = 107.6 * 10.0 ** (-0.1 * gain)
    shoulder = width * np.sqrt(1.0 - np.log10(k + 1.0) / 1.2)
    ratio = np.maximum(angle / width, 1.0)
    far = gain - 12.0 + 10.0 * np.log10(ratio**-1.5 + k)
    return np.asarray(np.where(angle < shoulder, gain - 12.0 * (angle / width) ** 2, far))


def f1336_tilted(elevation: ArrayLike, tilt: float) -> Array:
    """Return the elevation at which an untilted pattern is read when it is tilted electrically.

    Parameters
    ----------
    tilt : float
        Degrees down.
    """
    raised = np.asarray(elevation, dtype=np.float64) + tilt
    return np.asarray(90.0 * raised / np.where(raised >= 0.0, 90.0 + tilt, 90.0 - tilt))


def f1336_sector(
    azimuth: ArrayLike,
    elevation: ArrayLike,
    *,
    gain: float,
    width: float,
    vertical_width: float | None = None,
    lobes: SideLobes = TYPICAL,
) -> Array:
    """Return a sector pattern, recommends 3.1 (400 MHz to 6 GHz).

    Parameters
    ----------
    gain, width : float
        dBi, and the horizontal half-power width (up to about 120).
    vertical_width : float or None
        ``31000 * 10^(-gain/10) / width`` if not known.
    lobes : SideLobes
        :data:`TYPICAL` or :data:`IMPROVED`.
    azimuth : array_like
        Degrees clockwise.

    Notes
    -----
    Of several forms of the constant C in circulation only this one reaches the back level at 90
    degrees of elevation, so it is taken as right (by continuity). The printed shoulder of the main
    lobe leaves a step of 0.14 dB.
    """
    kp, kh, kv = lobes
    up3 = 31000.0 * 10.0 ** (-0.1 * gain) / width if vertical_width is None else vertical_width
    xh = np.abs(wrap(azimuth)) / width
    xv = np.abs(np.asarray(elevation, dtype=np.float64)) / up3
    back = -12.0 + 10.0 * np.log10(1.0 + 8.0 * kp) - 15.0 * np.log10(180.0 / up3)

    def horizontal(x: Array) -> Array:
        bend = 3.0 * (1.0 - 0.5**-kh)
        far = -12.0 * np.maximum(x, 0.5) ** (2.0 - kh) - bend
        return np.asarray(np.maximum(np.where(x <= 0.5, -12.0 * x**2, far), back))

    knee = 4.0**-1.5 + kv
    slope = 10.0 * np.log10((180.0 / up3) ** 1.5 * knee / (1.0 + 8.0 * kp)) / np.log10(22.5 / up3)
    offset = 12.0 - slope * np.log10(4.0) - 10.0 * np.log10(knee)
    shoulder = np.sqrt(1.0 - 0.36 * kv)
    safe = np.maximum(xv, shoulder)
    vertical = np.select(
        [xv < shoulder, xv < 4.0, xv < 90.0 / up3],
        [
            -12.0 * xv**2,
            -12.0 + 10.0 * np.log10(safe**-1.5 + kv),
            -offset - slope * np.log10(safe),
        ],
        back,
    )
    behind = horizontal(np.asarray(180.0 / width))
    across = horizontal(xh)
    return np.asarray(gain + across + (across - behind) / -behind * vertical)


def f1336_sector_above_6ghz(
    azimuth: ArrayLike, elevation: ArrayLike, *, gain: float, width: float, vertical_width: float
) -> Array:
    """Return a sector pattern, recommends 3.2 (6 to 70 GHz).

    As printed: the form for directions more than 90 degrees off the axis starts several dB below
    the one in front, so the level steps down at the sides.

    Parameters
    ----------
    azimuth : array_like
        Degrees clockwise.
    elevation : array_like
        Degrees up.
    gain : float
        dBi.
    width : float
        Half-power width in azimuth, degrees.
    vertical_width : float
        Half-power width in elevation, degrees.
    """
    phi = np.abs(wrap(azimuth))
    theta = np.radians(np.asarray(elevation, dtype=np.float64))
    turn = np.radians(phi)
    psi = np.degrees(np.arccos(np.clip(np.cos(turn) * np.cos(theta), -1.0, 1.0)))
    alpha = np.arctan2(np.tan(theta), np.sin(turn))
    front = np.hypot(np.cos(alpha) / width, np.sin(alpha) / vertical_width)
    u = np.radians(90.0 * np.maximum(phi - width, 0.0) / (180.0 - width))
    side = np.hypot(np.cos(u) / width, np.sin(u) / vertical_width)
    back = np.hypot(np.cos(theta) * side, np.sin(theta) / vertical_width)
    x = psi * np.where(psi <= 90.0, front, back)
    far = gain - 12.0 - 15.0 * np.log10(np.maximum(x, 1.0))
    return np.asarray(np.where(x < 1.0, gain - 12.0 * x**2, far))


def f1336_low_gain(off_axis: ArrayLike, *, gain: float) -> Array:
    """Return a low-gain pattern of revolution, recommends 4 (from memory; up to about 20 dBi).

    Fits small Yagis and panels seen as pencil beams. ``off_axis`` is the angle from the beam axis.
    """
    angle = np.abs(wrap(off_axis))
    width = np.sqrt(27000.0 * 10.0 ** (-0.1 * gain))
    first = 1.9 * width
    second = first * 10.0 ** ((gain - 6.0) / 32.0)
    return np.select(
        [angle < 1.08 * width, angle < first, angle < second],
        [
            gain - 12.0 * (angle / width) ** 2,
            np.full_like(angle, gain - 14.0),
            gain - 14.0 - 32.0 * np.log10(np.maximum(angle / first, 1.0)),
        ],
        -8.0,
    )
