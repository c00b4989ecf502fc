"""The cautions that stand wherever a figure is shown or printed."""

from __future__ import annotations

from collections.abc import Iterable

from core.exposure.sources import Source
from core.limits.currents import contact_current_caution

SHORT = (
    "Planning estimate for trained people. Confirm with a calibrated meter before entry. "
    "Local codes, site rules and licensed practice decide."
)

FULL = (
    "A planning estimate. It does not replace measurement by a trained person with a calibrated "
    "instrument.",
    "It is only as good as the list of emitters: modelled sources only. Treat an unknown source as "
    "hazardous until it is verified.",
    "The law and the site rules where you work decide, and licensed practice; they win over this page.",
    "Occupational limits are for trained, authorised people only. For everybody else the public limit "
    "counts.",
    "Low exposure does not protect against falls, electric shock, contact current, burns, arcs, rigging, "
    "weather or heat.",
    "Before entry confirm the power state with the owner, lock and tag, and check with a meter. Power can "
    "come back.",
    "With an implant or a pregnancy ask the RF safety lead and a doctor first.",
    "Stop work on an alarm, warmth, tingling or doubt. If anything changes, stop and get a new plan.",
)


def contact_cautions(all_sources: Iterable[Source]) -> tuple[str, ...]:
    """Return the contact-current cautions of the sources that radiate, each text once."""
    texts = (contact_current_caution(s.carrier.frequency) for s in all_sources if s.power > 0)
    return tuple(dict.fromkeys(t for t in texts if t))
