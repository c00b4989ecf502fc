"""Directivity by integration over the sphere, and what it says about a stated gain."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from core.patterns.build3d import hpi_loss, sum_loss
from core.patterns.envelope import UNKNOWN_LOSS
from core.patterns.model import Cut

Array = NDArray[np.float64]


def solid_angles(azimuth: ArrayLike, elevation: ArrayLike) -> Array:
    """Return the solid angle in sr that each node (ne, na) of a table stands for.

    Bands reach half-way to the neighbours and end at the poles, so their weight is the exact
    ``dphi [sin(upper edge) - sin(lower edge)]`` and all of them add up to 4 pi.

    Parameters
    ----------
    azimuth : array_like
        Degrees clockwise.
    elevation : array_like
        Degrees up.
    """
    az = np.asarray(azimuth, dtype=np.float64)
    el = np.asarray(elevation, dtype=np.float64)
    steps = np.diff(az, append=az[0] + 360.0)
    turn = np.radians(0.5 * (steps + np.roll(steps, 1)))
    edges = np.concatenate(([-90.0], 0.5 * (el[1:] + el[:-1]), [90.0]))
    band = np.diff(np.sin(np.radians(edges)))
    return np.asarray(band[:, None] * turn[None, :])


def mean_gain(azimuth: ArrayLike, elevation: ArrayLike, level_db: ArrayLike) -> float:
    """Return the mean linear power gain over the sphere of a table (ne, na) in dB.

    For levels in dBi this is the radiation efficiency and cannot exceed 1; envelopes do exceed it.

    Parameters
    ----------
    azimuth : array_like
        Degrees clockwise.
    elevation : array_like
        Degrees up.
    """
    power = 10.0 ** (np.asarray(level_db, dtype=np.float64) / 10.0)
    return float(np.sum(power * solid_angles(azimuth, elevation)) / (4.0 * np.pi))


def directivity(azimuth: ArrayLike, elevation: ArrayLike, level_db: ArrayLike) -> float:
    """Return the directivity in dBi of a table (ne, na) in dB on any common scale.

    ``D = 4 pi Umax / integral of U`` (IEEE Std 145). The elevation step must be at most half the
    half-power width and the peak must lie on a node, or D comes out low.

    Parameters
    ----------
    azimuth : array_like
        Degrees clockwise.
    level_db : array_like
        Level by direction, dB.
    """
    level = np.asarray(level_db, dtype=np.float64)
    top = float(level.max())
    return -10.0 * float(np.log10(mean_gain(azimuth, elevation, level - top)))


def directivity_from_cuts(
    azimuth: Cut, elevation: Cut, *, method: str = "sum", azimuth_plane: float | None = None
) -> float:
    """Return the directivity in dBi that two cuts imply.

    Parameters
    ----------
    azimuth, elevation : Cut
        A cut that does not go round counts 20 dB where it is silent.
    method : {"sum", "hpi", "max"}
        How the losses are joined. Sum and horizontal projection interpolation come within 0.1 dB of
        the truth for panels; the larger loss radiates more and comes out about 1 dB low, so never
        judge a gain by it.
    azimuth_plane : float or None
        Elevation at which the azimuth cut was taken, for ``hpi``; the elevation peak by default.

    Raises
    ------
    ValueError
        If it cannot be used.
    """
    step = min(0.5, elevation.width() / 20.0)
    rows = int(np.ceil(180.0 / step))
    az = np.unique(np.concatenate((np.arange(-180.0, 180.0), azimuth.angles)))
    el = np.unique(np.concatenate((np.linspace(-90.0, 90.0, rows + 1), elevation.angles)))
    el = el[np.abs(el) <= 90.0]
    across = np.nan_to_num(azimuth.at(az), nan=UNKNOWN_LOSS)[None, :]
    front = np.nan_to_num(elevation.at(el), nan=UNKNOWN_LOSS)[:, None]
    back = np.nan_to_num(elevation.at(180.0 - el), nan=UNKNOWN_LOSS)[:, None]
    if method == "sum":
        loss = sum_loss(across, front)
    elif method == "max":
        loss = np.maximum(across, front)
    elif method == "hpi":
        plane = elevation.peak_angle if azimuth_plane is None else azimuth_plane
        ends = np.nan_to_num(elevation.at([plane, 180.0 - plane]), nan=UNKNOWN_LOSS)
        loss = hpi_loss(az[None, :], across, front, back, float(ends[0]), float(ends[1]))
    else:
        raise ValueError(f"method must be sum, hpi or max, not {method!r}")
    return directivity(az, el, -loss)


def gain_check(stated_dbi: float, directivity_dbi: float) -> tuple[str, str]:
    """Return how a stated gain fits the directivity of its pattern.

    Gain is directivity times efficiency, so it cannot be larger. Skip this for envelopes, which
    radiate more than they can by design. Thresholds are common practice, no published source.

    Parameters
    ----------
    stated_dbi : float
        dBi, as stated.
    directivity_dbi : float
        dBi, from the pattern.

    Returns
    -------
    severity : {"ok", "warn", "strong"}
    text : str
        One sentence with both figures.
    """
    excess = stated_dbi - directivity_dbi
    figures = f"stated gain {stated_dbi:.2f} dBi, directivity of the cuts {directivity_dbi:.2f} dBi"
    if excess < -3.0:
        return "warn", f"{figures}: large losses, a dBd number read as dBi, or too wide a pattern"
    if excess <= 0.5:
        return "ok", f"{figures}: plausible"
    if excess <= 1.5:
        return "warn", f"{figures}: more than possible; rounding or coarse cuts"
    if abs(excess - 2.15) <= 0.35:
        return "strong", f"{figures}: 2.15 dB too high, so dBd and dBi are probably mixed up"
    return "strong", f"{figures}: not possible; wrong unit, wrong cut, or an envelope"
