"""The zones a site is divided into, named by what they mean; window and command line use this call."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from core.limits.tier import Tier
from core.progress import Asked, Progress, part_of
from core.proof.tolerance import Ceiling, Tolerance
from core.site.site import Site
from core.views.views import View
from core.zones.ladders import LadderZone, ladder_zone
from core.zones.zone import Zone, zone


@dataclass(frozen=True, slots=True)
class Step:
    """A boundary by its meaning.

    Attributes
    ----------
    key, tier : str
    threshold : float
        Fraction of the tier's limit.
    words, meaning : str
        What the zone is called, and what it means for a person.
    """

    key: str
    tier: Tier
    threshold: float
    words: str
    meaning: str

    def label(self, limit_set: str) -> str:
        """Return the words with their number."""
        return f"{self.words} (over {100.0 * self.threshold:g} % of {limit_set} {self.tier})"


STEPS = (
    Step(
        "public",
        "public",
        1.0,
        "over the public limit",
        "trained and authorised people only; everybody else stays out",
    ),
    Step(
        "occupational",
        "occupational",
        1.0,
        "over the occupational limit",
        "nobody enters without an entry plan: power down, keep away, or protective garment within its rating",
    ),
    Step(
        "ten times",
        "occupational",
        10.0,
        "over ten times the occupational limit",
        "nobody enters while the transmitters are on",
    ),
)
"""From the outside in."""


def step_asked(tier: Tier, threshold: float) -> Step:
    """Return the boundary of any part of a tier's limit.

    Parameters
    ----------
    threshold : float
        Fraction of the limit.
    """
    meaning = "a boundary that was asked for; the limits themselves are at 100 %"
    return Step(tier, tier, threshold, "zone asked for", meaning)


@dataclass(frozen=True, slots=True)
class SiteZones:
    """The zones of one view, from the outside in, on the walking surfaces where it is a plan."""

    view: View
    zones: tuple[tuple[Step, Zone], ...]

    @property
    def complete(self) -> bool:
        """False when a ceiling stopped a search; the zones are then looser, never unproven."""
        return all(z.complete for _, z in self.zones)

    @property
    def message(self) -> str:
        """The first thing to know about how exact the zones are."""
        loose = [z.message for _, z in self.zones if not z.complete]
        return loose[0] if loose else self.zones[0][1].message


def site_zones(
    site: Site,
    view: View,
    tolerance: Tolerance | None = None,
    *,
    steps: Sequence[Step] = STEPS,
    progress: Progress | None = None,
    cancelled: Asked | None = None,
    ceiling: Ceiling | None = None,
) -> SiteZones:
    """Return the proven zones of a view.

    Parameters
    ----------
    site : Site
        The site.
    tolerance : Tolerance or None
        How exact the region is asked to be; the default where None.
    steps : Sequence[Step]
        Boundaries from the outside in.
    ceiling : Ceiling or None
        Where the search stops; the default where None.

    Raises
    ------
    InputError, core.progress.Cancelled
        As :func:`core.zones.zone.zone`.
    """
    zones = []
    for i, step in enumerate(steps):
        one = zone(
            site,
            step.threshold,
            step.tier,
            view,
            tolerance,
            progress=part_of(progress, i, len(steps)),
            cancelled=cancelled,
            ceiling=ceiling,
        )
        zones.append((step, one.on_surfaces(site)))
    return SiteZones(view, tuple(zones))


def ladder_zones(
    site: Site,
    tolerance: Tolerance | None = None,
    *,
    feet: bool = False,
    steps: Sequence[Step] = STEPS,
    ceiling: Ceiling | None = None,
) -> tuple[tuple[Step, LadderZone], ...]:
    """Return the intervals of every ladder for every step.

    Parameters
    ----------
    site : Site
        The site.
    tolerance : Tolerance or None
        How exact the region is asked to be; the default where None.
    feet : bool
        Lengths in feet instead of metres.
    ceiling : Ceiling or None
        Where the search stops; the default where None.
    """
    return tuple(
        (
            step,
            ladder_zone(
                site,
                ladder,
                step.threshold,
                step.tier,
                tolerance=tolerance,
                feet=feet,
                ceiling=ceiling,
            ),
        )
        for ladder in site.ladders
        for step in steps
    )
