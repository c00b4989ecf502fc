"""Transmitters so weak that their whole power, absorbed in one spot, keeps the limits of absorption.

Inside an antenna's reactive region no field is known, but no more power can be absorbed than the transmitter gives.
Held against the smallest mass that local absorption is averaged over, that is a figure (the low-power exclusion of
IEC 62479:2010 4.2 and Annex A, from memory).
"""

from __future__ import annotations

from dataclasses import dataclass

from core.limits.model import Status
from core.limits.tier import Tier

LOW_HZ, HIGH_HZ = 10e6, 6e9
"""Below, nerves and currents have limits of their own; above, absorption is counted by area."""


@dataclass(frozen=True, slots=True)
class LocalAbsorption:
    """Limits of local absorption of head and trunk in W/kg, and the mass in g each is averaged over."""

    public: float
    occupational: float
    grams: float
    source: str
    status: Status


_TEN_GRAMS = (2.0, 10.0, 10.0)
LOCAL = {
    "FCC": LocalAbsorption(1.6, 8.0, 1.0, "47 CFR 1.1310(b), (c)", "confirmed"),
    "ICNIRP2020": LocalAbsorption(*_TEN_GRAMS, "ICNIRP 2020 Table 2", "from memory"),
    "ICNIRP1998": LocalAbsorption(*_TEN_GRAMS, "ICNIRP 1998 Table 4", "from memory"),
    "EU": LocalAbsorption(
        *_TEN_GRAMS, "1999/519/EC Annex II; 2013/35/EU Annex III", "confirmed via another text"
    ),
    "IEEE-C95.1-2019": LocalAbsorption(*_TEN_GRAMS, "IEEE C95.1-2019 Table 5", "from memory"),
    "SC6-2015": LocalAbsorption(1.6, 8.0, 1.0, "Safety Code 6 (2015) Table 4", "from memory"),
}
"""By the key of the limit set."""


def absorbed(limit_set: str, tier: Tier, power: float, frequency: float) -> float | None:
    """Return the part of the local absorption limit that a whole power makes in the smallest mass.

    Parameters
    ----------
    limit_set : str
        Key of the set.
    tier : {"public", "occupational"}
        Whose limit.
    power : float
        Average power in W that goes into the antenna.
    frequency : float
        Hz.

    Returns
    -------
    float or None
        Fraction of the limit; None where the set or the frequency has no such limit.

    Examples
    --------
    >>> absorbed("FCC", "public", 0.001, 433e6)
    0.625
    """
    limit = LOCAL.get(limit_set)
    if limit is None or not LOW_HZ < frequency < HIGH_HZ:
        return None
    allowed = limit.public if tier == "public" else limit.occupational
    return power / (allowed * limit.grams * 1e-3)
