"""What a pattern's horizon says of the antenna: whether it has a forward direction, and a reflector."""

from __future__ import annotations

import numpy as np

from core.patterns.model import Pattern
from core.units import from_db

ROUND_DB = 4.0
"""A pattern whose horizon varies by less is drawn as one without a forward direction."""

BACKED_DB = 10.0
"""dB from the strongest azimuth to all within 45° of the rear: such an antenna has a reflector."""

_AZIMUTH = np.arange(0.0, 360.0, 5.0)


def is_round(pattern: Pattern) -> bool:
    """Return whether a pattern has no forward direction."""
    level = pattern.gain(_AZIMUTH, np.zeros_like(_AZIMUTH))
    return not level.max() > from_db(ROUND_DB) * level.min()


def has_reflector(pattern: Pattern) -> bool:
    """Return whether a pattern is weak all about its rear."""
    level = pattern.gain(_AZIMUTH, np.zeros_like(_AZIMUTH))
    behind = level[np.abs(_AZIMUTH - 180.0) <= 45.0].max()
    return bool(level.max() >= from_db(BACKED_DB) * behind)
