"""The cautions that stand wherever a figure is shown or printed."""

from __future__ import annotations

from collections.abc import Iterable

from core.exposure.sources import Source
from core.limits.currents import FCC_NOTE, contact_current_caution, current_limits
from core.limits.sets import DEFAULT_SET
from core.limits.tier import TIERS
from core.units import show_frequency

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


def contact_cautions(all_sources: Iterable[Source], set_key: str) -> tuple[str, ...]:
    """Return the contact-current cautions of the sources that radiate, each text once.

    Where a source is in the band of current limits, the limits on contact current that the set ``set_key``
    prints follow with their source, or that it prints none.

    Parameters
    ----------
    all_sources : Iterable[Source]
        Every carrier of the site with its power.
    """
    in_band: list[tuple[str, float]] = []
    for source in all_sources:
        text = contact_current_caution(source.carrier.frequency) if source.power > 0 else None
        if text:
            in_band.append((text, source.carrier.frequency))
    lines = [text for text, _ in in_band]
    lines += [_printed(set_key, frequency) for _, frequency in in_band]
    return tuple(dict.fromkeys(lines))


def _printed(set_key: str, frequency: float) -> str:
    """Return the limits on contact current that a set prints at a frequency in Hz."""
    parts = []
    for tier in TIERS:
        for row in current_limits(set_key, tier, frequency):
            if row.kind == "contact":
                touch = f" ({row.detail})" if row.detail else ""
                parts.append(
                    f"{row.at(tier, frequency):.3g} mA {tier}{touch} [{row.source}; {row.status}]"
                )
    if parts:
        return f"Contact current at {show_frequency(frequency)} is limited to {', '.join(parts)}."
    if set_key == DEFAULT_SET:
        return f"No limit of contact current: {FCC_NOTE}"
    return f"{set_key} prints no limit of contact current at {show_frequency(frequency)}."
