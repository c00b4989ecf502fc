"""Published limits of currents in the body below 110 MHz, for the notes of a briefing.

A field map says nothing of the current that flows when a person touches metal in the field, so
nothing here is computed from a field.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from core.limits.law import evaluate
from core.limits.model import EDGE, Status
from core.limits.tier import Tier

CURRENT_BAND_HZ = 110e6
"""Highest frequency of the published current limits."""

MEDIUM_WAVE_HZ = 3e6
"""Up to here the mast itself is usually the antenna (common practice, no source)."""

FCC_NOTE = (
    "47 CFR 1.1310 has no limit for induced or contact current. The order of 1996 (FCC 96-326, 61 "
    "FR 41006) discussed them and adopted none (outcome from memory)."
)


@dataclass(frozen=True, slots=True, kw_only=True)
class CurrentLimit:
    """One printed row: the limit of a current in mA for each tier, as :mod:`core.limits.law` text.

    ``kind`` is "limb" for the current induced through an arm or a leg and "contact" for the current
    at a touch; ``detail`` says which limb or touch. ``averaging_minutes`` is None where the value
    is instantaneous or no time is known.
    """

    set_key: str
    kind: Literal["limb", "contact"]
    low_hz: float
    high_hz: float
    public: str | None = None
    occupational: str | None = None
    averaging_minutes: float | None = None
    detail: str = ""
    source: str
    status: Status

    def at(self, tier: Tier, frequency_hz: float) -> float | None:
        """Return the limit in mA, or None where the row has none."""
        law = self.public if tier == "public" else self.occupational
        if law is None or not (
            self.low_hz * (1.0 - EDGE) <= frequency_hz <= self.high_hz * (1.0 + EDGE)
        ):
            return None
        return evaluate(law, frequency_hz)


CURRENT_LIMITS: tuple[CurrentLimit, ...] = (
    CurrentLimit(
        set_key="ICNIRP1998",
        kind="limb",
        low_hz=10e6,
        high_hz=110e6,
        public="45",
        averaging_minutes=6.0,
        source="ICNIRP 1998 Table 9, as quoted in 1999/519/EC",
        status="confirmed",
    ),
    CurrentLimit(
        set_key="ICNIRP1998",
        kind="limb",
        low_hz=10e6,
        high_hz=110e6,
        occupational="100",
        averaging_minutes=6.0,
        source="ICNIRP 1998 Table 9",
        status="from memory",
    ),
    CurrentLimit(
        set_key="ICNIRP1998",
        kind="contact",
        low_hz=0.0,
        high_hz=2.5e3,
        public="0.5",
        occupational="1.0",
        source="ICNIRP 1998 Table 8; same in ICNIRP 2010, reprinted in Bioelectromagnetism",
        status="confirmed via another text",
    ),
    CurrentLimit(
        set_key="ICNIRP1998",
        kind="contact",
        low_hz=2.5e3,
        high_hz=100e3,
        public="0.2 fk",
        occupational="0.4 fk",
        source="ICNIRP 1998 Table 8; same in ICNIRP 2010, reprinted in Bioelectromagnetism",
        status="confirmed via another text",
    ),
    CurrentLimit(
        set_key="ICNIRP1998",
        kind="contact",
        low_hz=100e3,
        high_hz=10e6,
        public="20",
        occupational="40",
        source="ICNIRP 1998 Table 8; same in ICNIRP 2010, reprinted in Bioelectromagnetism",
        status="confirmed via another text",
    ),
    CurrentLimit(
        set_key="ICNIRP1998",
        kind="contact",
        low_hz=10e6,
        high_hz=110e6,
        public="20",
        occupational="40",
        source="ICNIRP 1998 Table 8",
        status="from memory",
    ),
    CurrentLimit(
        set_key="ICNIRP2020",
        kind="limb",
        low_hz=100e3,
        high_hz=110e6,
        public="45",
        occupational="100",
        averaging_minutes=6.0,
        source="ICNIRP 2020, limb current reference levels",
        status="from memory",
    ),
    CurrentLimit(
        set_key="ICNIRP2020",
        kind="contact",
        low_hz=100e3,
        high_hz=110e6,
        public="10",
        occupational="20",
        detail="no reference level: guidance on pain, about 10 mA for children, 20 mA for adults",
        source="ICNIRP 2020, text on contact current",
        status="from memory",
    ),
    CurrentLimit(
        set_key="EU",
        kind="limb",
        low_hz=10e6,
        high_hz=110e6,
        occupational="100",
        averaging_minutes=6.0,
        source="2013/35/EU Annex III, reproduced in the German TREMF HF part 2",
        status="confirmed via another text",
    ),
    CurrentLimit(
        set_key="EU",
        kind="contact",
        low_hz=100e3,
        high_hz=110e6,
        occupational="40",
        source="2013/35/EU Annex III, reproduced in the German TREMF HF part 2",
        status="confirmed via another text",
    ),
    CurrentLimit(
        set_key="EU",
        kind="contact",
        low_hz=100e3,
        high_hz=10e6,
        occupational="15",
        detail="touch, peak value against stimulation; German law only",
        source="German EMFV 2016",
        status="confirmed",
    ),
    CurrentLimit(
        set_key="EU",
        kind="contact",
        low_hz=100e3,
        high_hz=10e6,
        occupational="75",
        detail="grip, peak value against stimulation; German law only",
        source="German EMFV 2016",
        status="confirmed",
    ),
    CurrentLimit(
        set_key="IEEE-C95.1-2019",
        kind="limb",
        low_hz=100e3,
        high_hz=110e6,
        public="45",
        occupational="100",
        detail="each foot",
        source="IEEE C95.1-2019, induced current",
        status="from memory",
    ),
    CurrentLimit(
        set_key="IEEE-C95.1-2019",
        kind="limb",
        low_hz=100e3,
        high_hz=110e6,
        public="90",
        occupational="200",
        detail="both feet",
        source="IEEE C95.1-2019, induced current",
        status="from memory",
    ),
    CurrentLimit(
        set_key="IEEE-C95.1-2019",
        kind="contact",
        low_hz=100e3,
        high_hz=110e6,
        public="16.7",
        occupational="50",
        detail="touch",
        source="IEEE C95.1-2019, contact current",
        status="from memory",
    ),
    CurrentLimit(
        set_key="IEEE-C95.1-2019",
        kind="contact",
        low_hz=100e3,
        high_hz=110e6,
        occupational="100",
        detail="grip",
        source="IEEE C95.1-2019, contact current",
        status="from memory",
    ),
    CurrentLimit(
        set_key="SC6-2015",
        kind="limb",
        low_hz=3e3,
        high_hz=400e3,
        public="100 f",
        occupational="225 f",
        detail="each foot",
        source="Safety Code 6 (2015), induced current",
        status="low confidence",
    ),
    CurrentLimit(
        set_key="SC6-2015",
        kind="limb",
        low_hz=400e3,
        high_hz=110e6,
        public="40",
        occupational="90",
        averaging_minutes=6.0,
        detail="each foot",
        source="Safety Code 6 (2015), induced current",
        status="low confidence",
    ),
    CurrentLimit(
        set_key="SC6-2015",
        kind="contact",
        low_hz=3e3,
        high_hz=100e3,
        public="200 f",
        occupational="400 f",
        source="Safety Code 6 (2015), contact current",
        status="low confidence",
    ),
    CurrentLimit(
        set_key="SC6-2015",
        kind="contact",
        low_hz=100e3,
        high_hz=110e6,
        public="20",
        occupational="40",
        source="Safety Code 6 (2015), contact current",
        status="low confidence",
    ),
)
"""Every published current limit; the FCC has none, see :data:`FCC_NOTE`."""


def current_limits(set_key: str, tier: Tier, frequency_hz: float) -> tuple[CurrentLimit, ...]:
    """Return the rows of a set that limit a current of a tier at a frequency in Hz.

    Parameters
    ----------
    set_key : str
        Key of the limit set.
    """
    return tuple(
        row
        for row in CURRENT_LIMITS
        if row.set_key == set_key and row.at(tier, frequency_hz) is not None
    )


def contact_current_caution(frequency_hz: float) -> str | None:
    """Return the caution on touching metal that goes with an emitter, or None above 110 MHz.

    Parameters
    ----------
    frequency_hz : float
        Frequency in Hz. Up to 3 MHz the caution speaks of the mast itself as well.

    Notes
    -----
    Common practice at medium-wave sites; the band is that of the published current limits.
    """
    if frequency_hz > CURRENT_BAND_HZ * (1.0 + EDGE):
        return None
    caution = (
        "Contact current is a separate check: percent of the limit says nothing of shock or burn "
        "from touching metal in this field (guy wires, cranes, cables, ladders)."
    )
    if frequency_hz <= MEDIUM_WAVE_HZ * (1.0 + EDGE):
        caution += (
            " A mast that is fed as the antenna is live metal; touching or climbing it while "
            "energised is not covered by this map."
        )
    return caution
