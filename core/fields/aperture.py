"""Power density near an antenna of which only the pattern and the length are known.

Near an antenna its pattern is not formed, but each part of its line still sends its share of the power into the
directions of the pattern. With the root of the gain F, in a cone that holds the parts of an element up to 0.2 λ off
the line, and r from the part (its sideways component shortened by half the antenna's width)

    S = P/(4π) mean of max(F², K)/r²,   tan(half-angle of the cone) = 0.2 λ/r,

over the line, or over any stretch of it as long as a uniform line with the file's half-power width, if that is more.
K fills what cancels far away but not close in. Own construction, held against computed antennas.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from core.arrays import Floats, Points
from core.patterns.caps import LEVELS, FieldTable

CONE_WAVELENGTHS = 0.2
FLOOR = 2.0
"""K is this times the tangent of the cone's half-angle."""
PARTS_PER_WAVELENGTH, FEWEST, MOST = 4, 8, 48
NEAREST_WAVELENGTHS = 0.1
_ENTRIES = 300_000


@dataclass(frozen=True, eq=False)
class Line:
    """Parts of a radiating line, m.

    Attributes
    ----------
    places : array, shape (p, 3)
        Middles of the parts, in the antenna frame.
    upright : bool
        The line runs along z, otherwise along x.
    half_width : float
        Half of the antenna's width: the sideways distance is shortened by it.
    cone : float
        What the tangent of a cone's half-angle is over r (0.2 λ).
    window : int
        Parts of the shortest stretch that may radiate all the power; all of them where not known to be fewer.
    floor : float
        K over the tangent; 0 without a floor.
    """

    places: Floats
    upright: bool
    half_width: float
    cone: float
    window: int
    floor: float

    @property
    def nearest(self) -> float:
        """Least r that counts."""
        return self.cone * NEAREST_WAVELENGTHS / CONE_WAVELENGTHS


def line(
    length: float, half_width: float, lam: float, *, upright: bool, part: float, conservative: bool
) -> Line:
    """Return the parts of a line.

    Parameters
    ----------
    length : float
        m.
    half_width : float
        Half of the antenna's width, m.
    lam : float
        Wavelength, m.
    upright : bool
        The line runs along z, otherwise along x.
    part : float
        How much of the line may radiate all the power; 1 is all of it.
    conservative : bool
        With cones, stretches and the floor; else the best estimate.
    """
    count = int(np.clip(np.ceil(PARTS_PER_WAVELENGTH * length / lam), FEWEST, MOST))
    along = ((np.arange(count) + 0.5) / count - 0.5) * length
    places = np.zeros((count, 3))
    places[:, 2 if upright else 0] = along
    window = min(max(round(part * count), 1), count)
    return Line(
        places,
        upright,
        half_width,
        CONE_WAVELENGTHS * lam if conservative else 0.0,
        window if conservative else count,
        FLOOR if conservative else 0.0,
    )


def spread_gain(line: Line, tables: tuple[FieldTable, ...], points: Points, least: float) -> Floats:
    """Return the mean of max(F², K)/r² (n,), 1/m², or its largest over the stretches.

    Parameters
    ----------
    line : Line
        The parts of the line.
    tables : tuple
        Fields of :func:`core.patterns.caps.field_tables`.
    points : array, shape (n, 3)
        Places in the antenna's frame, m.
    least : float
        Least r that counts, m.
    """
    rows = max(1, _ENTRIES // len(line.places))
    parts = [
        stretches(line, _parts(line, tables, points[i : i + rows], least))
        for i in range(0, len(points), rows)
    ]
    return np.concatenate(parts) if parts else np.zeros(0, points.dtype)


def stretches(line: Line, values: Floats) -> Floats:
    """Return the mean (n,) of values (n, p) over the line, or the largest over its stretches.

    Parameters
    ----------
    line : Line
        The parts of the line.
    values : array, shape (n, p)
        One for each part.
    """
    whole: Floats = values.mean(axis=1)
    count = values.shape[1]
    if line.window >= count:
        return whole
    run = np.cumsum(values, axis=1)
    most = run[:, line.window - 1 :].copy()
    most[:, 1:] -= run[:, : count - line.window]
    largest: Floats = np.maximum(whole, most.max(axis=1) / values.dtype.type(line.window))
    return largest


def apart(line: Line, points: Points) -> tuple[Floats, Floats, Floats]:
    """Return the steps along x, y and z from parts to points, each broadcastable to (n, p).

    Parameters
    ----------
    line : Line
        The parts of the line.
    points : array, shape (n, 3)
        Places in the antenna's frame, m.
    """
    x, y, z = (points[:, i, None] for i in range(3))
    places = line.places.astype(points.dtype)
    if line.upright:
        return x, y, z - places[None, :, 2]
    return x - places[None, :, 0], y, z


def shortened(line: Line, x: Floats, y: Floats, z: Floats) -> Floats:
    """Return r² (n, p) with the distance from the line shortened by half the antenna's width.

    Parameters
    ----------
    line : Line
        The parts of the line.
    x, y, z : array
        Steps from the parts, m.

    Returns
    -------
    array
    """
    across = np.hypot(x, y) if line.upright else np.hypot(y, z)
    across = np.maximum(across - across.dtype.type(line.half_width), 0.0)
    along = z if line.upright else x
    r2: Floats = across * across + along * along
    return r2


def _parts(line: Line, tables: tuple[FieldTable, ...], points: Points, least: float) -> Floats:
    """Return max(F², K)/r² (n, p) of each part."""
    real = points.dtype.type
    x, y, z = apart(line, points)
    r2 = np.maximum(shortened(line, x, y, z), real(least * least))
    across = np.hypot(x, y)
    azimuth = np.degrees(np.arctan2(-y, x))
    elevation = np.degrees(np.arctan2(z, across))
    shape = r2.shape
    if line.cone == 0.0:
        f = (
            tables[0]
            .at(np.broadcast_to(azimuth, shape).ravel(), np.broadcast_to(elevation, shape).ravel())
            .reshape(shape)
        )
        return f * f / r2
    tangent = real(line.cone) / np.sqrt(r2)
    f = _cone_field(
        tables, np.broadcast_to(azimuth, shape), np.broadcast_to(elevation, shape), tangent
    )
    return np.maximum(f * f, real(line.floor) * tangent) / r2


def _cone_field(
    tables: tuple[FieldTable, ...], azimuth: Floats, elevation: Floats, tangent: Floats
) -> Floats:
    """Return F in directions (degrees) and cones (tangents of half-angles), arrays of one shape."""
    nodes = LEVELS.astype(tangent.dtype)
    held = np.minimum(tangent, nodes[-1]).ravel()
    level = np.clip(np.searchsorted(nodes, held, side="right") - 1, 0, len(nodes) - 2)
    azimuth, elevation = azimuth.ravel(), elevation.ravel()
    out = np.empty_like(held)
    for k in range(int(level.min(initial=0)), int(level.max(initial=0)) + 1):
        mine = np.flatnonzero(level == k)
        if mine.size == 0:
            continue
        a, e = azimuth[mine], elevation[mine]
        low = tables[k].at(a, e)
        share = (held[mine] - nodes[k]) / (nodes[k + 1] - nodes[k])
        out[mine] = low + share * (tables[k + 1].at(a, e) - low)
    field: Floats = out.reshape(tangent.shape)
    return field
