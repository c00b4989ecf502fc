"""What no figure of a site counts, or counts on trust: said wherever a map, a zone, a fence or a sign is."""

from __future__ import annotations

from core.exposure.sources import not_covered, sources
from core.exposure.surveyed import raised_words
from core.limits.sets import get_set
from core.site.poles import carrying_poles
from core.site.site import Antenna, Condition, Site

_AS_ON = (Condition.STANDBY, Condition.UNKNOWN)


def outside(site: Site) -> list[str]:
    """Return one line for each carrier that the site's set has no limit for.

    Raises
    ------
    InputError
        If the site cannot be computed at all.
    """
    return [
        f"{s.name}: outside the limit set {site.limit_set}: no verdict can be free of it"
        for s in not_covered(sources(site), get_set(site.limit_set))
    ]


def uncounted(site: Site) -> list[str]:
    """Return one line for each thing that no zone and no percent of the site counts: carriers, and poles.

    Raises
    ------
    InputError
        If the site cannot be computed at all.
    """
    return [*outside(site), *(pole.words for pole in carrying_poles(site))]


def silent(site: Site) -> list[str]:
    """Return one line for each antenna that counts as silent but can come back: off, and not locked out.

    Parameters
    ----------
    site : Site
        The site.
    """
    return [
        f"{a.name}: off but not locked out; it can come back while somebody is up"
        for a in site.antennas
        if a.state.condition is Condition.OFF
    ]


def on_trust(antenna: Antenna) -> str:
    """Return what is said of an antenna that counts as on though nobody says it is; "" of others.

    Parameters
    ----------
    antenna : Antenna
        Of the site.
    """
    condition = antenna.state.condition
    return f"{antenna.name}: {condition.value}" if condition in _AS_ON else ""


def provisos(site: Site) -> list[str]:
    """Return the lines that belong beside every zone, map, fence and sign of a site, gravest first.

    Raises
    ------
    InputError
        If the site cannot be computed at all.
    """
    lines = [f"NOT COUNTED: {line}" for line in (*uncounted(site), *silent(site))]
    trusted = [line for line in map(on_trust, site.antennas) if line]
    if trusted:
        lines.append(f"Counted at full power until locked out: {'; '.join(trusted)}")
    return [*raised_words(site), *lines]
