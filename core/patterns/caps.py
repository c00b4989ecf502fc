"""A pattern raised to its largest value over cones of directions, as tables of field strength.

Close to an antenna the parts of an element are seen under directions of their own: what counts is the largest gain
in a cone round the direction of the element's middle. The cones of one table have one half-angle; between two
tables the field is interpolated in the tangent of the half-angle.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from core.arrays import Floats
from core.caches import kept
from core.patterns.lookup import Axis
from core.patterns.model import Pattern

_CONES = (1.0, 2.0, 3.0, 4.5, 6.8, 10.0, 15.0, 23.0, 40.0)
"""Half-angles of the tables' cones, degrees."""
_STEPS = (1.0, 1.0, 1.0, 1.5, 2.0, 3.0, 4.0, 5.0, 5.0)
"""Degrees between nodes of the tables: 180 is a multiple of each."""
_MORE = 0.6
"""A table serves cones of this many degrees less: between a pattern's own nodes lie lobes and nulls of its own."""
_EVEN = 0.2
"""Degrees by which a box may be cut for whole degrees: the cones are no more exact than that."""
LEVELS = np.array([0.0, *(np.radians(cone - _MORE) for cone in _CONES)])
"""Tangents of half-angles that the tables stand for; 0 is the pattern itself. Larger ones count as the last."""


@dataclass(frozen=True, eq=False)
class FieldTable:
    """Root of the gain at nodes of azimuth (-180 to 180, closed) and elevation, linear between them."""

    azimuth: Axis
    elevation: Axis
    values: Floats
    _flat: dict[str, Floats] = field(init=False, repr=False)

    def __post_init__(self) -> None:
        flat = np.ascontiguousarray(self.values).ravel()
        object.__setattr__(self, "_flat", {"float64": flat, "float32": flat.astype(np.float32)})

    def at(self, azimuth: Floats, elevation: Floats) -> Floats:
        """Return the field in directions (degrees, azimuth within ±180), arrays of one shape and dtype."""
        column, right = self.azimuth.locate(azimuth)
        row, above = self.elevation.locate(elevation)
        flat = self._flat[azimuth.dtype.name]
        stride = self.azimuth.nodes.size
        corner = row * stride + column
        low: Floats = flat[corner]
        low += right * (flat[corner + 1] - low)
        corner += stride
        high = flat[corner]
        high += right * (flat[corner + 1] - high)
        low += above * (high - low)
        return low


@kept
def field_tables(pattern: Pattern, *, upright: bool) -> tuple[FieldTable, ...]:
    """Return one table for each of LEVELS.

    Parameters
    ----------
    pattern : Pattern
        The 3-D pattern.
    upright : bool
        The antenna's line runs along z: near it boxes go farther up and down than cones.
    """
    own = _closed(pattern)
    fine = _regular(pattern, own)
    return (
        own,
        *(
            _raised(fine, cone, step, upright=upright)
            for cone, step in zip(_CONES, _STEPS, strict=True)
        ),
    )


def _closed(pattern: Pattern) -> FieldTable:
    values = 10.0 ** (np.hstack([pattern.table, pattern.table[:, :1]]) / 20.0)
    return FieldTable(
        Axis(np.append(pattern.azimuth, 180.0)), Axis(np.asarray(pattern.elevation)), values
    )


def _regular(pattern: Pattern, own: FieldTable) -> Floats:
    """Return fields (181, 360) at whole degrees, none of them below a node less than a degree away."""
    up, round_ = np.arange(-90.0, 90.5), np.arange(-180.0, 180.0)
    grid = np.meshgrid(round_, up)
    values = own.at(*(g.ravel() for g in grid)).reshape(181, 360)
    rows = np.floor(own.elevation.nodes + 90.0).astype(int)
    columns = np.floor(np.asarray(pattern.azimuth) + 180.0).astype(int)
    nodes = own.values[:, :-1]
    for row in (rows, np.minimum(rows + 1, 180)):
        for column in (columns, (columns + 1) % 360):
            np.maximum.at(values, (row[:, None], column[None, :]), nodes)
    return values


def _raised(fine: Floats, cone: float, step: float, *, upright: bool) -> FieldTable:
    """Return the largest field in cones of a half-angle in degrees, at nodes every ``step`` degrees.

    A cone is taken as a box of elevations and azimuths that holds it. Past a pole the meridian opposite goes on.
    For an upright line the box goes as far in the sine of the elevation as the cone does level.
    """
    tangent = float(np.radians(cone))
    half = float(np.degrees(np.arctan(tangent)))
    up = np.arange(-90.0, 90.0 + step / 2.0, step)
    low, high = up - half, up + half
    if upright:
        sine = np.sin(np.radians(up))
        reach = [np.degrees(np.arcsin(np.clip(sine + s * tangent, -1.0, 1.0))) for s in (-1.0, 1.0)]
        low, high = np.minimum(low, reach[0]), np.maximum(high, reach[1])
    lines = np.stack([_band(fine, a, b) for a, b in zip(low, high, strict=True)])
    across = np.minimum(np.ceil(half / np.maximum(np.cos(np.radians(up)), 1e-3)), 180).astype(int)
    values = np.stack([_around(line, k) for line, k in zip(lines, across, strict=True)])
    turn = np.arange(-180.0, 180.0 + step / 2.0, step)
    first = np.floor(turn + 180.0).astype(int) % 360
    second = np.ceil(turn + 180.0).astype(int) % 360
    values = np.maximum(values[:, first], values[:, second])
    return FieldTable(Axis(turn), Axis(up), values)


def _band(fine: Floats, low: float, high: float) -> Floats:
    """Return the largest field (360,) at whole degrees of elevation from low to high, either of them past a pole."""
    first, last = int(np.floor(low + _EVEN)) + 90, int(np.ceil(high - _EVEN)) + 90
    most: Floats = fine[max(first, 0) : min(last, 180) + 1].max(axis=0)
    if first < 0:
        most = np.maximum(most, np.roll(fine[: 1 - first].max(axis=0), 180))
    if last > 180:
        most = np.maximum(most, np.roll(fine[360 - last :].max(axis=0), 180))
    return most


def _around(line: Floats, reach: int) -> Floats:
    """Return the largest of a closed line (360,) within ``reach`` places on either side."""
    if reach >= 180:
        return np.full_like(line, line.max())
    out, width = np.concatenate([line[-reach:], line, line[: reach + 1]]), 1
    while 2 * width <= 2 * reach + 1:
        out = np.maximum(out[: len(out) - width], out[width:])
        width *= 2
    rest = 2 * reach + 1 - width
    most: Floats = np.maximum(out[:360], out[rest : rest + 360])
    return most
