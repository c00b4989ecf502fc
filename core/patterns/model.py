"""What a pattern file holds, and the ready table that exposure is predicted from.

Everywhere: azimuth clockwise seen from above, elevation positive up, both in degrees in the
antenna's own frame (0, 0 is straight ahead); loss in dB is positive below the antenna's peak; gain
is total power (both polarisations) over isotropic.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import ArrayLike, NDArray

from core.arrays import Bools, Floats, frozen
from core.errors import InputError
from core.patterns.boxmax import BoxMaximum
from core.patterns.lookup import Axis

ROUNDING = 0.05
"""dB by which a level may lie above the stated peak before it is called an error, not rounding."""
DEEPEST = 200.0
"""dB; deeper losses mean "nothing measured" and are cut here so that sums stay finite."""
_HEADROOM_DB = 1e-5
_SLACK_DEG = 1e-4


def wrap(angle: ArrayLike) -> NDArray[np.float64]:
    """Return angles in degrees brought to [-180, 180).

    Returns
    -------
    array
        Same shape as the arrays given.
    """
    turned = np.mod(np.asarray(angle, dtype=np.float64) + 180.0, 360.0) - 180.0
    return np.where(turned >= 180.0, -180.0, turned)


@dataclass(frozen=True, slots=True, eq=False)
class Cut:
    """One plane cut of an antenna pattern.

    Parameters
    ----------
    angles : array (n,)
        Degrees, strictly increasing, in [-180, 180). Azimuth cuts: clockwise seen from above.
        Elevation cuts: up, 0 is the forward horizon, beyond +-90 is behind the antenna.
    loss : array (n,)
        dB below the antenna's peak. Values down to -0.05 dB are rounding and become 0; losses over
        200 dB become 200 dB.

    Raises
    ------
    ValueError
        If the arrays do not fit together, are not finite, not increasing, or a level lies above
        the peak.
    """

    angles: Floats
    loss: Floats

    def __post_init__(self) -> None:
        angles = frozen(self.angles)
        loss = np.array(self.loss, dtype=np.float64)
        if angles.ndim != 1 or angles.shape != loss.shape or angles.size < 1:
            raise ValueError("a cut needs as many losses as angles, and at least one")
        if not (np.all(np.isfinite(angles)) and np.all(np.isfinite(loss))):
            raise ValueError("angles and losses must be finite numbers")
        if np.any(np.diff(angles) <= 0.0) or angles[0] < -180.0 or angles[-1] >= 180.0:
            raise ValueError("angles must increase strictly and lie in [-180, 180)")
        if np.any(loss < -ROUNDING - 1e-9):
            raise ValueError("a level lies above the antenna's peak")
        object.__setattr__(self, "angles", angles)
        object.__setattr__(self, "loss", frozen(np.clip(loss, 0.0, DEEPEST)))

    @property
    def full_circle(self) -> bool:
        """True if the angles go round: the gap across +-180 is no wider than the steps elsewhere.

        A file whose end point was left out (gap of two steps, at most 45 degrees) counts as full.
        """
        if self.angles.size < 3:
            return False
        widest = float(np.max(np.diff(self.angles)))
        gap = 360.0 - float(self.angles[-1] - self.angles[0])
        return gap <= 1.001 * widest or gap <= min(2.001 * widest, 45.0)

    @property
    def peak_angle(self) -> float:
        """Angle of the smallest loss; the one nearest to straight ahead where several are equal."""
        least = np.flatnonzero(self.loss <= self.loss.min())
        return float(self.angles[least[np.argmin(np.abs(self.angles[least]))]])

    def at(self, angle_deg: ArrayLike) -> NDArray[np.float64]:
        """Return the loss in dB, linear in dB between samples; NaN where the cut says nothing."""
        angle = wrap(angle_deg)
        if self.full_circle:
            return np.asarray(np.interp(angle, self.angles, self.loss, period=360.0))
        return np.asarray(
            np.interp(angle, self.angles, self.loss, left=np.nan, right=np.nan), dtype=np.float64
        )

    def width(self, down_db: float = 3.0) -> float:
        """Return the width in degrees of the main lobe ``down_db`` below the cut's own peak.

        360 for a full circle that never falls that far; otherwise the part the cut covers.
        """
        peak, floor = self.peak_angle, float(self.loss.min())
        return min(sum(self._fall(sign, peak, floor + down_db) for sign in (1.0, -1.0)), 360.0)

    def _fall(self, sign: float, peak: float, level: float) -> float:
        """Return how far from the peak, to one side, the loss first passes ``level``."""
        distance = np.round(np.mod(sign * (self.angles - peak), 360.0), 9) % 360.0
        if not self.full_circle:
            distance = np.where(sign * (self.angles - peak) < 0.0, np.inf, distance)
        order = np.argsort(distance)
        distance, loss = distance[order], self.loss[order]
        over = np.flatnonzero((loss > level) & np.isfinite(distance))
        if over.size == 0:
            return 180.0 if self.full_circle else float(np.max(distance[np.isfinite(distance)]))
        k = int(over[0])
        share = (level - loss[k - 1]) / (loss[k] - loss[k - 1])
        return float(distance[k - 1] + share * (distance[k] - distance[k - 1]))


@dataclass(frozen=True, slots=True, eq=False)
class Grid:
    """A pattern given in many directions, completed to the whole sphere.

    ``azimuth`` (na,) ascending in [-180, 180), ``elevation`` (ne,) ascending from -90 to 90,
    ``gain`` (ne, na) dBi, never NaN, ``filled`` (ne, na) true where the file gave no value and a
    cautious one was put in.
    """

    azimuth: Floats
    elevation: Floats
    gain: Floats
    filled: Bools

    def __post_init__(self) -> None:
        for name in ("azimuth", "elevation", "gain"):
            object.__setattr__(self, name, frozen(getattr(self, name)))
        shape = (self.elevation.size, self.azimuth.size)
        if self.gain.shape != shape or self.filled.shape != shape:
            raise ValueError(f"gain and filled must have shape {shape}")
        if not np.all(np.isfinite(self.gain)):
            raise ValueError("every direction needs a finite gain")


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PatternData:
    """Everything a pattern file says that the prediction needs, with the reader's warnings.

    Parameters
    ----------
    name, maker : str
        As the file gives them.
    frequency : float
        Hz, of the pattern. NaN if the file does not say.
    band : tuple of float
        Low and high band edge in Hz.
    gain : float
        dBi, total power at the peak: the largest of the gains the file states, because the
        prediction must hold anywhere in the band.
    azimuth, elevation : Cut or None
        The two principal cuts, total power.
    grid : Grid or None
        A full 3-D pattern; wins over the cuts.
    envelope : bool
        The levels are upper bounds rather than a measurement.
    electrical_tilt : float
        Degrees, positive down, already in the cuts.
    horizon_azimuth_cut : bool
        The azimuth cut was taken in the horizon plane of a tilted antenna, so its maximum is below
        the antenna's peak.
    notes : tuple of str
        Every warning the reader raised, with its code, line and tag.
    source : str
        File name.
    gain_known : bool
        False when the file states no gain (a table of relative field): :meth:`with_gain` first.
    mid_gain : float or None
        dBi at mid band, if stated; equal to or below ``gain``.
    """

    name: str
    maker: str = ""
    frequency: float = float("nan")
    band: tuple[float, float] = (float("nan"), float("nan"))
    gain: float
    azimuth: Cut | None = None
    elevation: Cut | None = None
    grid: Grid | None = None
    envelope: bool = False
    electrical_tilt: float = 0.0
    horizon_azimuth_cut: bool = False
    notes: tuple[str, ...] = ()
    source: str = ""
    gain_known: bool = True
    mid_gain: float | None = None

    def with_gain(self, gain_dbi: float) -> PatternData:
        """Return the same pattern with its peak at ``gain_dbi``."""
        grid = self.grid
        if grid is not None:
            grid = replace(grid, gain=grid.gain + (gain_dbi - self.gain))
        return replace(self, gain=gain_dbi, grid=grid, gain_known=True, mid_gain=None)

    def stated_gain(self) -> float:
        """Return ``gain``.

        Raises
        ------
        InputError
            If the file states none.
        """
        if not self.gain_known or not np.isfinite(self.gain):
            raise InputError(
                "the pattern gives relative levels only, without a gain",
                source=self.source,
                field="gain",
                fix="Give the antenna's gain in dBi or dBd",
            )
        return self.gain


@dataclass(frozen=True, slots=True, eq=False)
class Pattern:
    """A ready 3-D table of total-power gain in the antenna frame.

    Parameters
    ----------
    azimuth : array (na,)
        Ascending from -180, below 180; steps may differ.
    elevation : array (ne,)
        Ascending from -90 to 90; steps may differ.
    table : array (ne, na)
        Gain in dBi at the nodes. Between nodes the gain is bilinear in dB.
    method : str
        How the table was made, for the report.
    source : str
        Where the data came from.
    envelope : bool
        The levels are upper bounds, so they may radiate more than the antenna can.
    """

    azimuth: Floats
    elevation: Floats
    table: Floats
    method: str = ""
    source: str = ""
    envelope: bool = False
    _across: Axis = field(init=False, repr=False)
    _up: Axis = field(init=False, repr=False)
    _flat: dict[str, Floats] = field(init=False, repr=False)
    _boxes: BoxMaximum | None = field(init=False, repr=False, default=None)

    def __post_init__(self) -> None:
        for name in ("azimuth", "elevation", "table"):
            object.__setattr__(self, name, frozen(getattr(self, name)))
        azimuth, elevation = self.azimuth, self.elevation
        if self.table.shape != (elevation.size, azimuth.size) or elevation.size < 2:
            raise ValueError("table must have shape (elevations, azimuths), two elevations or more")
        if azimuth[0] != -180.0 or azimuth[-1] >= 180.0 or np.any(np.diff(azimuth) <= 0.0):
            raise ValueError("azimuth must ascend from -180 and stay below 180")
        if elevation[0] != -90.0 or elevation[-1] != 90.0 or np.any(np.diff(elevation) <= 0.0):
            raise ValueError("elevation must ascend from -90 to 90")
        if not np.all(np.isfinite(self.table)):
            raise ValueError("every node needs a finite gain")
        object.__setattr__(self, "_across", Axis(np.append(azimuth, 180.0)))
        object.__setattr__(self, "_up", Axis(elevation))
        closed = np.ascontiguousarray(np.hstack((self.table, self.table[:, :1])))
        flat = {"float64": closed.ravel(), "float32": closed.ravel().astype(np.float32)}
        object.__setattr__(self, "_flat", flat)

    @property
    def peak(self) -> float:
        """Largest gain in dBi."""
        return float(self.table.max())

    def gain(self, azimuth_deg: ArrayLike, elevation_deg: ArrayLike) -> Floats:
        """Return linear power gain in directions of the antenna frame.

        Parameters
        ----------
        azimuth_deg, elevation_deg : array_like
            Finite degrees, broadcast together. Azimuth may have any number of turns; elevation is
            held to [-90, 90].

        Returns
        -------
        array
            Same shape; float32 if both inputs are float32 arrays, otherwise float64.
        """
        azimuth, elevation = np.asarray(azimuth_deg), np.asarray(elevation_deg)
        both32 = azimuth.dtype == np.float32 and elevation.dtype == np.float32
        kind = np.dtype(np.float32 if both32 else np.float64)
        azimuth, elevation = np.broadcast_arrays(
            azimuth.astype(kind, copy=False), elevation.astype(kind, copy=False)
        )
        shape = azimuth.shape
        azimuth, elevation = np.atleast_1d(azimuth), np.atleast_1d(elevation)
        turned = azimuth - kind.type(360.0) * np.floor(
            (azimuth + kind.type(180.0)) * kind.type(1.0 / 360.0)
        )
        column, right = self._across.locate(turned)
        row, above = self._up.locate(elevation)
        flat = self._flat[kind.name]
        stride = self.azimuth.size + 1
        corner = row * stride + column
        low = flat[corner]
        low += right * (flat[corner + 1] - low)
        corner += stride
        high = flat[corner]
        high += right * (flat[corner + 1] - high)
        low += above * (high - low)
        return np.asarray(np.exp(low * kind.type(np.log(10.0) / 10.0))).reshape(shape)

    def gain_max_over(
        self, az_lo: ArrayLike, az_hi: ArrayLike, el_lo: ArrayLike, el_hi: ArrayLike
    ) -> NDArray[np.float64]:
        """Return an upper bound of :meth:`gain` over angular boxes, for proofs.

        A box runs clockwise from ``az_lo`` to ``az_hi`` (across +-180 if need be; one turn or more
        is the whole circle) and up from ``el_lo`` to ``el_hi``. The bound is the largest node of
        all cells the box touches and of few cells around them, so it holds for every direction in
        the box, in float32 as well. Arrays broadcast.
        """
        level = self.level_max_over(az_lo, az_hi, el_lo, el_hi)
        return np.asarray(10.0 ** (level / 10.0), dtype=np.float64)

    def level_max_over(
        self, az_lo: ArrayLike, az_hi: ArrayLike, el_lo: ArrayLike, el_hi: ArrayLike
    ) -> NDArray[np.float64]:
        """Return the bound of :meth:`gain_max_over` as the table has it: in decibels."""
        boxes = self._boxes
        if boxes is None:
            boxes = BoxMaximum(self.table)
            object.__setattr__(self, "_boxes", boxes)
        az_lo, az_hi, el_lo, el_hi = np.broadcast_arrays(
            *(np.asarray(edge, dtype=np.float64) for edge in (az_lo, az_hi, el_lo, el_hi))
        )
        span = np.where(az_hi < az_lo, np.mod(az_hi - az_lo, 360.0), az_hi - az_lo)
        whole = span >= 360.0 - 2.0 * _SLACK_DEG
        start = wrap(az_lo - _SLACK_DEG)
        stop = np.where(whole, start, start + span + 2.0 * _SLACK_DEG)
        count = self.azimuth.size
        first = np.searchsorted(self.azimuth, start, side="right") - 1
        last = np.where(
            stop < 180.0,
            np.searchsorted(self.azimuth, stop, side="left"),
            count + np.searchsorted(self.azimuth, stop - 360.0, side="left"),
        )
        last = np.where(whole, first + count - 1, np.minimum(last, first + count - 1))
        top = self.elevation.size - 1
        bottom = np.searchsorted(self.elevation, el_lo - _SLACK_DEG, side="right") - 1
        upper = np.searchsorted(self.elevation, el_hi + _SLACK_DEG, side="left")
        rows = np.clip(bottom, 0, top), np.clip(upper, 0, top)
        return np.asarray(boxes.over(rows[0], np.maximum(*rows), first, last) + _HEADROOM_DB)
