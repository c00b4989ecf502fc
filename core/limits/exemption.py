"""Which single sources need no routine evaluation: 47 CFR 1.1307(b)(3)(i)(C)."""

from __future__ import annotations

import math
from dataclasses import dataclass

from core.errors import InputError
from core.limits.law import evaluate
from core.limits.model import EDGE, Status
from core.units import wavelength


@dataclass(frozen=True, slots=True)
class ExemptionRow:
    """A band in Hz and its threshold: ERP in W for each square metre of distance squared."""

    low_hz: float
    high_hz: float
    erp_per_r2: str
    status: Status


EXEMPTION_SOURCE = "47 CFR 1.1307(b)(3)(i)(C) Table 1"

EXEMPTION_TABLE = (
    ExemptionRow(0.3e6, 1.34e6, "1920", "from memory"),
    ExemptionRow(1.34e6, 30e6, "3450/f^2", "from memory"),
    ExemptionRow(30e6, 300e6, "3.83", "confirmed"),
    ExemptionRow(300e6, 1.5e9, "0.0128 f", "confirmed"),
    ExemptionRow(1.5e9, 100e9, "19.2", "from memory"),
)
"""The rows from memory follow, rounded, from the general population limit at four times the
free-space power density: ERP = S pi R² / 1.64."""

EXEMPTION_TEXT = (
    "An exempt source needs no routine evaluation of its own. It still has to comply, and it still "
    "counts in the sum with its neighbours."
)


def exempt_erp(frequency_hz: float, distance_m: float) -> float | None:
    """Return the largest ERP in W with which a single source is exempt from evaluation.

    Parameters
    ----------
    frequency_hz : float
        Frequency in Hz.
    distance_m : float
        Separation of source and person in m.

    Returns
    -------
    float or None
        ERP against a half-wave dipole; None outside 0.3 MHz to 100 GHz and nearer than
        lambda/(2 pi), where the table does not apply. On a band edge the smaller value.

    Raises
    ------
    InputError
        If frequency or distance is not a positive number.
    """
    for name, value, unit in (
        ("frequency", frequency_hz, "Hz"),
        ("distance", distance_m, "m"),
    ):
        if not 0.0 < value < math.inf:
            raise InputError(
                f"a {name} of {value} {unit} cannot be used",
                field=name,
                fix="Give a number above zero",
            )
    if distance_m < wavelength(frequency_hz) / (2.0 * math.pi):
        return None
    thresholds = [
        evaluate(row.erp_per_r2, frequency_hz) * distance_m**2
        for row in EXEMPTION_TABLE
        if row.low_hz * (1.0 - EDGE) <= frequency_hz <= row.high_hz * (1.0 + EDGE)
    ]
    return min(thresholds, default=None)
