"""The spans of a ladder that a climber may use, from what is proven of it, and the words for them."""

from __future__ import annotations

from collections.abc import Mapping

from core.exposure.sources import sources
from core.limits.tier import Tier
from core.reading.provisos import provisos
from core.site.places import Ladder
from core.site.site import Site
from core.views.body import CLIMBING, Body
from core.views.words import body_words
from core.zones.ladders import LadderZone, closed_spans, show_height

Spans = tuple[tuple[float, float], ...]
"""Pairs of a lower and an upper height, m."""


def left_free(closed: Spans, foot: float, top: float) -> Spans:
    """Return what spans leave of a way from ``foot`` to ``top``.

    Parameters
    ----------
    closed : tuple of (low, high)
        Spans nobody stops in, m.
    foot, top : float
        Ends of the way, m.
    """
    free, at = [], foot
    for low, high in sorted(closed):
        if min(low, top) > at:
            free.append((at, min(low, top)))
        at = max(at, high)
    if at < top:
        free.append((at, top))
    return tuple(free)


def free_spans(ladder: Ladder, zone: LadderZone, *, feet: bool = False) -> Spans:
    """Return the spans of heights (low, high) in m in which a climber stays under a threshold, by proof.

    They are what :func:`core.zones.ladders.closed_spans` leaves, so their ends are rounded away from the zone.

    Parameters
    ----------
    ladder : Ladder
        The ladder.
    zone : LadderZone
        What is proven of it.
    feet : bool
        Round to whole feet instead of tenths of a metre.
    """
    heights = [p[2] for p in ladder.points]
    low, top = min(heights), max(heights)
    return left_free(closed_spans(zone.intervals, feet=feet), low, top)


def climb_words(
    site: Site,
    ladder: Ladder,
    zones: Mapping[Tier, LadderZone],
    body: Body = CLIMBING,
    *,
    feet: bool = False,
) -> list[str]:
    """Return the spans of a ladder under each limit, one line a tier, and what limits what is said.

    Parameters
    ----------
    site : Site
        The site.
    ladder : Ladder
        One of its ladders.
    zones : mapping of Tier to LadderZone
        What is proven of it at the limits of both tiers.
    body : Body
        For whom; said where it is not a climber's peak.
    feet : bool
        Lengths in feet instead of metres.
    """
    if not site.antennas:
        return ["No emitter is on the site yet: nothing is said of its ladders"]
    lines = []
    for tier, zone in zones.items():
        said = ", ".join(
            f"{show_height(a, feet=feet)} to {show_height(b, feet=feet)}"
            for a, b in free_spans(ladder, zone, feet=feet)
        )
        words = f"Under {site.limit_set} {tier}: {said or 'nowhere'}"
        lines.append(
            words if zone.complete else f"{words}; the proof met its ceiling, it may be more"
        )
    if body != CLIMBING:
        lines.append(f"For a {body_words(body, feet=feet)} only")
    if not all(s.conservative for s in sources(site)):
        lines.append("BEST ESTIMATE: it can be low")
    return lines + provisos(site)
