"""From a horizontal and a vertical cut to a pattern in every direction.

No method that works from two cuts is exact off both planes. The conservative ones were compared
with arrays and apertures computed in full: they were safe in those tests, which is not a proof.
Where a decision hangs on side lobes, use 3-D data or a measurement.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from core.patterns.envelope import UNKNOWN_LOSS
from core.patterns.model import ROUNDING, Cut, Grid, Pattern, PatternData
from core.patterns.twocuts import (
    Array,
    axes,
    is_pencil,
    is_steered,
    kink,
    limited,
    revolution,
    two_envelopes,
)

BEST_FLOOR = 30.0
"""dB, limit of the summed losses in the best estimate (as 3GPP TR 38.901 Table 7.3-1)."""


def conservative(data: PatternData, *, tolerance_db: float = 0.0) -> Pattern:
    """Return a pattern that errs high.

    A 3-D grid is used as it is. From two cuts, each brought to 0 dB at its own maximum:

    * fan and omnidirectional beams: the larger of the two monotone envelopes in dB of loss; the
      elevation cut's front and back halves each have their own envelope and the smaller loss of the
      two is used behind the antenna. Toward the zenith and nadir all azimuths become one direction,
      so the azimuth loss is read at the angle that shrinks with them;
    * pencil beams (half-power widths within a factor of 2): the smallest loss found at that angle
      off the axis or farther out on any of the four half-cuts, and no more than the sum of both
      envelopes. The first is right for dishes and end-fire arrays, but 2 dB too much loss on the
      diagonals of a square array, where the second holds.

    A missing cut counts as no loss at all. Losses end at 40 dB, at 20 dB where nothing was measured.
    Between samples the steepest possible lobe is added (see :func:`core.patterns.envelope.cautious`)
    and the table never has more loss than the rule it stands for.

    Compared with antennas computed in full this was safe to 0.1 dB, where the truth is within 30 dB
    of the peak, for panels, collinear stacks, rings of panels on masts up to 0.6 wavelengths in
    radius, arrays at boresight, dishes and end-fire arrays with at least ten samples in a half-power
    width. Known to fail: a ring of panels one wavelength from the mast's axis (1 dB short), four
    samples in a half-power width (0.4 dB), a beam steered 60 degrees to the side (11 dB: the
    result then says so), and cuts taken with the mechanical tilt in them.

    Parameters
    ----------
    data : PatternData
        With a grid or at least one cut.
    tolerance_db : float
        Pattern tolerance, 1 to 3 dB for catalogue data: every loss becomes that much smaller. The
        peak stays at the stated gain.

    Raises
    ------
    InputError
        If the data hold neither cut nor grid, or no gain.
    """
    gain = data.stated_gain()
    if data.grid is not None:
        azimuth, elevation, loss, remarks = _grid_loss(data.grid, gain)
        gain = max(gain, float(np.max(data.grid.gain)))
    else:
        azimuth, elevation, loss, remarks = _cut_loss(data)
    if tolerance_db > 0.0:
        remarks.append(f"{tolerance_db:g} dB tolerance")
    table = gain - np.maximum(loss - max(tolerance_db, 0.0), 0.0)
    return Pattern(azimuth, elevation, table, "; ".join(remarks), data.source, data.envelope)


def _cut_loss(data: PatternData) -> tuple[Array, Array, Array, list[str]]:
    azimuth, elevation, across, up = two_envelopes(data)
    if is_pencil(data):
        loss = np.minimum(revolution(data, azimuth, elevation), across + up)
        remarks = ["conservative: envelope of revolution, at most the sum of both (pencil beam)"]
    else:
        loss = np.maximum(across, up) - kink(across - up)
        remarks = ["conservative: larger of monotone envelopes"]
    if is_steered(data):
        remarks.append("the beam points to the side: two cuts do not bound it, use 3-D data")
    for word, cut in (("azimuth", data.azimuth), ("elevation", data.elevation)):
        if cut is None:
            remarks.append(f"no {word} cut: no loss by {word}")
        elif cut.loss.min() > ROUNDING:
            plane = "horizon " if word == "azimuth" and data.horizon_azimuth_cut else ""
            remarks.append(f"{plane}{word} cut raised {cut.loss.min():.2f} dB to its maximum")
    return azimuth, elevation, limited(data, azimuth, np.asarray(loss, dtype=np.float64)), remarks


def _grid_loss(grid: Grid, gain: float) -> tuple[Array, Array, Array, list[str]]:
    """Return the grid as losses below its own peak, which thereby rises to the stated gain."""
    azimuth, table = _from_minus_180(grid)
    remarks = [_grid_method(grid)]
    if gain - table.max() > ROUNDING:
        remarks.append(f"raised {gain - table.max():.2f} dB so that its peak is the stated gain")
    return azimuth, np.asarray(grid.elevation, dtype=np.float64), table.max() - table, remarks


def best_estimate(data: PatternData) -> Pattern:
    """Return the likeliest pattern, which can be too low off the two cuts: never for a clearance.

    Losses of the two cuts are added with a limit of 30 dB (common practice; the limit as in 3GPP
    TR 38.901), or, for a tilted antenna with a full elevation cut, joined by horizontal projection
    interpolation (:func:`hpi_loss`) with the same limit.

    Raises
    ------
    InputError
        If the data hold neither cut nor grid, or no gain.
    """
    gain = data.stated_gain()
    if data.grid is not None:
        azimuth, table = _from_minus_180(data.grid)
        method = _grid_method(data.grid)
        return Pattern(azimuth, data.grid.elevation, table, method, data.source, data.envelope)
    front, back, azimuth, elevation = _cut_readers(data)
    across = _azimuth_reader(data.azimuth)
    lh = across(azimuth)[None, :]
    lf, lb = front(elevation)[:, None], back(elevation)[:, None]
    cut = data.elevation
    if data.electrical_tilt != 0.0 and cut is not None and cut.full_circle:
        plane = 0.0 if data.horizon_azimuth_cut else -data.electrical_tilt
        at = np.array([plane])
        loss = hpi_loss(azimuth[None, :], lh, lf, lb, float(front(at)[0]), float(back(at)[0]))
        method = "best estimate: horizontal projection interpolation"
    else:
        loss = sum_loss(lh - lh.min(), lf)
        method = "best estimate: sum of both losses"
    table = gain - np.clip(loss, 0.0, BEST_FLOOR)
    method += f", {BEST_FLOOR:g} dB limit; can be too low off the cuts"
    return Pattern(azimuth, elevation, table, method, data.source, data.envelope)


def sum_loss(azimuth_loss: Array, elevation_loss: Array) -> Array:
    """Return ``L = LH + LV`` in dB (common practice).

    Parameters
    ----------
    azimuth_loss : Array
        Attenuation of the azimuth cut, dB.
    elevation_loss : Array
        Attenuation of the elevation cut, dB.
    """
    return azimuth_loss + elevation_loss


def hpi_loss(
    azimuth_deg: Array, across: Array, front: Array, back: Array, front0: float, back0: float
) -> Array:
    """Return horizontal projection interpolation in dB (form from memory).

    ``L = LH + (1 - |az|/180) (LVf - LVf0) + (|az|/180) (LVb - LVb0)``, where ``front0`` and
    ``back0`` are the elevation losses at the elevation in which the azimuth cut was taken.

    Parameters
    ----------
    azimuth_deg : Array
        Degrees clockwise.
    across : Array
        Place across the direction.
    front : Array
        Attenuation of the elevation cut ahead, dB.
    back : Array
        Attenuation of the elevation cut behind, dB.
    """
    share = np.abs(azimuth_deg) / 180.0
    return across + (1.0 - share) * (front - front0) + share * (back - back0)


def _from_minus_180(grid: Grid) -> tuple[Array, Array]:
    """Return the grid's azimuths and gains with a column at -180, read off the cell it lies in."""
    azimuth, gain = np.array(grid.azimuth, np.float64), np.array(grid.gain, np.float64)
    if azimuth[0] != -180.0:
        share = (180.0 - azimuth[-1]) / (azimuth[0] + 360.0 - azimuth[-1])
        column = (1.0 - share) * gain[:, -1:] + share * gain[:, :1]
        azimuth, gain = np.append(-180.0, azimuth), np.hstack((column, gain))
    return azimuth, gain


def _grid_method(grid: Grid) -> str:
    filled = 100.0 * float(np.mean(grid.filled))
    return "3-D data as given" + (f"; {filled:.0f} % of it missing, filled high" if filled else "")


def _azimuth_reader(cut: Cut | None) -> Callable[[Array], Array]:
    if cut is None:
        return np.zeros_like
    known = cut
    return lambda angle: np.nan_to_num(known.at(angle), nan=UNKNOWN_LOSS)


def _cut_readers(
    data: PatternData,
) -> tuple[Callable[[Array], Array], Callable[[Array], Array], Array, Array]:
    """Return the front and back elevation losses as functions, and table angles."""
    closed, elevation, _, _ = axes(data)
    cut = data.elevation
    if cut is None:
        return np.zeros_like, np.zeros_like, closed[:-1], elevation
    known = cut
    shift = float(known.loss.min())

    def front(angle: Array) -> Array:
        return np.nan_to_num(known.at(angle) - shift, nan=UNKNOWN_LOSS)

    def back(angle: Array) -> Array:
        return np.nan_to_num(known.at(180.0 - angle) - shift, nan=UNKNOWN_LOSS)

    return front, back, closed[:-1], elevation
