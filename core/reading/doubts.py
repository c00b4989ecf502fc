"""What a person should look at before trusting a site's figures: possible slips, not errors."""

from __future__ import annotations

from collections.abc import Iterator

import shapely

from core.exposure.sources import Source, not_covered, sources
from core.limits.sets import get_set
from core.site.site import Antenna, Condition, Site
from core.units import show_power, to_db

MOST_LOSS = 6.0
LEAST_POWER = 0.01
TALLEST = 650.0


def doubts(site: Site) -> list[str]:
    """Return every doubt about a site, one line each.

    Raises
    ------
    InputError
        If the site cannot be computed at all.
    """
    all_sources = sources(site)
    lines = list(_site_doubts(site))
    lines += uncounted(site)
    for antenna in site.antennas:
        lines += _antenna_doubts(site, antenna)
    for source in all_sources:
        lines += _power_doubts(source)
    return lines


def uncounted(site: Site) -> list[str]:
    """Return one line for each carrier that no zone and no percent of the site counts: its set has no limit for it.

    Raises
    ------
    InputError
        If the site cannot be computed at all.
    """
    return [
        f"{s.name}: outside the limit set {site.limit_set}: no verdict can be free of it"
        for s in not_covered(sources(site), get_set(site.limit_set))
    ]


def _site_doubts(site: Site) -> Iterator[str]:
    if not site.antennas:
        yield "no antenna is on the list: every figure is zero and means nothing"
    if not site.surfaces:
        yield "no surface is drawn: body columns stand on the site datum"
    outlines = [(s.name, s.outline) for s in site.surfaces]
    outlines += [(s.name, s.outline) for s in site.structures]
    for name, outline in outlines:
        if len(outline) > 2 and not shapely.Polygon(outline).is_valid:
            yield f"{name}: the outline crosses itself"


def _antenna_doubts(site: Site, antenna: Antenna) -> Iterator[str]:
    name, state = antenna.name, antenna.state
    if state.condition in (Condition.STANDBY, Condition.UNKNOWN):
        yield f"{name}: state {state.condition.value}, counted at full power"
    if state.condition is Condition.OFF:
        yield f"{name}: off but not locked out; it can come back"
    if state.condition is Condition.REDUCED and state.percent < 1.0:
        yield f"{name}: reduced to {state.percent:g} %: is a fraction meant?"
    if not antenna.contact.strip() or antenna.contact.strip().lower() == "not known":
        yield f"{name}: no contact to call"
    lowest = min((s.height for s in site.surfaces), default=0.0)
    z = antenna.position[2]
    if z < lowest or z > lowest + TALLEST:
        yield f"{name}: at {z:g} m above the datum, but the lowest surface is at {lowest:g} m"
    for carrier in antenna.carriers:
        for problem in antenna.kind.problems(carrier.frequency):
            yield f"{name}: {carrier.name}: {problem}"
        if carrier.power.loss > MOST_LOSS:
            yield f"{name}: {carrier.name}: {carrier.power.loss:g} dB of line loss is unusual and lowers every figure"


def _power_doubts(source: Source) -> Iterator[str]:
    kind, f = source.antenna.kind, source.carrier.frequency
    if source.radiated.power < LEAST_POWER:
        yield f"{source.name}: only {show_power(source.radiated.power)} radiated: check the unit of the power"
    gain, own = source.carrier.power.gain, to_db(kind.directivity(f))
    if gain is not None and not kind.is_envelope and gain < own - 3.0:
        yield f"{source.name}: stated gain {gain:.4g} dBi is {own - gain:.1f} dB under the pattern's: dBd?"
