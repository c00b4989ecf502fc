"""The zones a site is divided into, named by what they mean; window and command line use this call."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from core.exposure.surveyed import raises
from core.limits.tier import Tier
from core.progress import Asked, Cancelled, Progress, part_of
from core.proof.tolerance import Ceiling, Tolerance, check_threshold
from core.site.site import Site
from core.views.defaults import site_extent
from core.views.views import ElevationView, View
from core.zones.extent import (
    PLAN_SIDES,
    Extent,
    open_sides,
    sides,
    sides_of,
    sides_past,
    unknown_ground,
    whole_view,
)
from core.zones.garment import garment_ladder, garment_zone
from core.zones.ladders import LadderZone, ladder_zone
from core.zones.raised import holding, with_raises
from core.zones.steps import STEPS, Step
from core.zones.zone import Zone, zone


@dataclass(frozen=True, slots=True)
class SiteZones:
    """The zones of one view, from the outside in.

    ``view`` is what is looked at; the zones reach as far as the danger, unless only a region was asked for
    (``within``). ``unknown`` are the sides on which somebody could be over the outermost threshold at a place
    where no surface is drawn.
    """

    view: View
    zones: tuple[tuple[Step, Zone], ...]
    unknown: tuple[str, ...] = ()
    within: bool = False

    @property
    def steps(self) -> tuple[Step, ...]:
        """Their boundaries."""
        return tuple(step for step, _ in self.zones)

    @property
    def complete(self) -> bool:
        """False when a ceiling stopped a search; the zones are then looser, never unproven."""
        return all(z.complete for _, z in self.zones)

    @property
    def message(self) -> str:
        """The first thing to know about how exact the zones are."""
        loose = [z.message for _, z in self.zones if not z.complete]
        return loose[0] if loose else self.zones[0][1].message

    @property
    def notes(self) -> tuple[str, ...]:
        """What has to be known besides, in sentences: where they are open, unknown or out of sight."""
        return notes(self)


def site_zones(
    site: Site,
    view: View,
    tolerance: Tolerance | None = None,
    *,
    steps: Sequence[Step] = STEPS,
    within: bool = False,
    progress: Progress | None = None,
    cancelled: Asked | None = None,
    ceiling: Ceiling | None = None,
) -> SiteZones:
    """Return the proven zones of a site as a view shows them.

    Parameters
    ----------
    site : Site
        The site.
    tolerance : Tolerance or None
        How exact the region is asked to be; the default where None.
    steps : Sequence[Step]
        Boundaries from the outside in.
    within : bool
        Search no farther than the view; the zones then say on which sides they are open.
    ceiling : Ceiling or None
        Where the search stops; the default where None.

    Raises
    ------
    InputError, core.progress.Cancelled
        As :func:`core.zones.zone.zone`.
    """
    zones = []
    extents: dict[Tier, Extent] = {}
    if not within:
        # What holds a zone holds those over higher thresholds.
        for tier in dict.fromkeys(s.tier for s in steps):
            least = min(s.threshold for s in steps if s.tier == tier)
            check_threshold(least)
            extents[tier] = whole_view(site, least, tier, view)
    for i, step in enumerate(steps):
        told = part_of(progress, i, len(steps))
        extent = extents.get(step.tier)
        if step.garment is not None:
            raised = bool(raises(site))
            shown = view if extent is None else extent.view
            shown = holding(site, shown) if raised and extent is not None else shown
            one = garment_zone(
                site, step.garment, step.margin, shown, tolerance,
                progress=told, cancelled=cancelled, ceiling=ceiling,
            )  # fmt: skip
            if raised:
                one, _ = with_raises(site, one, tolerance, whole=True)
            unsearched = () if extent is None else extent.open_sides
            if within:
                unsearched = open_sides(site, step.threshold, step.tier, view)
            zones.append((step, replace(one, open_sides=unsearched)))
            continue
        one = site_zone(
            site, step.threshold, step.tier, view, tolerance,
            within=within, extent=extent, progress=told, cancelled=cancelled, ceiling=ceiling,
        )  # fmt: skip
        zones.append((step, one))
    return SiteZones(view, tuple(zones), _unknown(site, view, steps), within)


def site_zone(
    site: Site,
    threshold: float,
    tier: Tier,
    view: View,
    tolerance: Tolerance | None = None,
    *,
    within: bool = False,
    extent: Extent | None = None,
    progress: Progress | None = None,
    cancelled: Asked | None = None,
    ceiling: Ceiling | None = None,
) -> Zone:
    """Return a proven zone as far as it goes; with ``within`` no farther than the view.

    Parameters
    ----------
    site : Site
        The site.
    threshold : float
        Fraction of the limit.
    tier : {"public", "occupational"}
        Whose limit.
    view : PlanView or ElevationView
        What is looked at.
    tolerance, progress, cancelled, ceiling
        As :func:`core.zones.zone.zone`.
    within : bool
        Search no farther than the view.
    extent : Extent, optional
        What is known to hold it.

    Raises
    ------
    InputError, core.progress.Cancelled
        As :func:`core.zones.zone.zone`.
    """
    check_threshold(threshold)
    if within:
        searched, unsearched = view, open_sides(site, threshold, tier, view)
    else:
        extent = extent or whole_view(site, threshold, tier, view)
        searched, unsearched = extent.view, extent.open_sides
    raised = bool(raises(site))
    if raised and not within:
        searched = holding(site, searched)
    one = zone(
        site, threshold, tier, searched, tolerance,
        progress=part_of(progress, 0, 2) if raised else progress, cancelled=cancelled, ceiling=ceiling,
    )  # fmt: skip
    if raised:
        one, beyond = with_raises(
            site, one, tolerance,
            progress=part_of(progress, 1, 2), cancelled=cancelled, ceiling=ceiling,
        )  # fmt: skip
        past = sides_past(beyond, view)
        unsearched = tuple(s for s in sides(view) if s in (*unsearched, *past))
    return replace(one, open_sides=unsearched)


def _unknown(site: Site, view: View, steps: Sequence[Step]) -> tuple[str, ...]:
    """Return the sides on which unknown ground lies, for a plan on the walking surfaces."""
    if isinstance(view, ElevationView) or not view.height.above_surface:
        return ()
    lowest = min(steps, key=lambda s: (s.tier != "public", s.threshold))
    return unknown_sides(site, lowest.threshold, lowest.tier)


def unknown_sides(site: Site, threshold: float, tier: Tier) -> tuple[str, ...]:
    """Return the sides on which somebody could be over a threshold at a place where no surface is drawn.

    Parameters
    ----------
    site : Site
        The site.
    threshold : float
        Fraction of the limit.
    tier : {"public", "occupational"}
        Whose limit.
    """
    if not site.antennas:
        return ()
    west, south, east, north = site_extent(site)
    middle = (west + east) / 2.0, (south + north) / 2.0
    return sides_of(unknown_ground(site, threshold, tier), middle)


def unknown_words(unknown: Sequence[str]) -> str:
    """Return what is said of unknown ground, "" where there is none.

    Parameters
    ----------
    unknown : sequence of str
        Sides as :func:`unknown_sides` names them.
    """
    if not unknown:
        return ""
    return (
        f"UNKNOWN: no surface is drawn {joined(unknown)} within reach of the antennas; ground, roofs and "
        "neighbours at other heights there are not looked at. Draw them"
    )


def notes(zones: SiteZones) -> tuple[str, ...]:
    """Return what has to be known besides the areas, in sentences.

    Parameters
    ----------
    zones : SiteZones
        The zones.
    """
    lines = []
    for step, one in zones.zones:
        if one.open_sides and zones.within:
            lines.append(
                f"OPEN: only what was asked for was searched; {step.words} may go on {joined(one.open_sides)}"
            )
        elif one.open_sides:
            lines.append(
                f"OPEN: {step.words} may go on {joined(one.open_sides)}, beyond 100 km from the datum"
            )
    past = [(step, beyond_frame(one, zones.view)) for step, one in zones.zones]
    lines += [
        f"{step.words.capitalize()}: goes on beyond the picture {joined(past_sides)}"
        for step, past_sides in past
        if past_sides and not zones.within
    ]
    hidden = [
        f"{one.hidden.area:.1f} m² {step.words}" for step, one in zones.zones if one.hidden.area
    ]
    if hidden:
        lines.append(f"On surfaces below others (dashed): {', '.join(hidden)}")
    bare = [f"{one.undrawn.area:.1f} m² {s.words}" for s, one in zones.zones if one.undrawn.area]
    if bare:
        lines.append(
            f"Where no surface is drawn, counted as ground at the datum: {', '.join(bare)}"
        )
    if zones.unknown:
        lines.append(unknown_words(zones.unknown))
    return tuple(lines)


def beyond_frame(one: Zone, view: View) -> tuple[str, ...]:
    """Return the sides, in words, on which a zone reaches out of a view's frame.

    Parameters
    ----------
    one : Zone
        The zone.
    view : PlanView or ElevationView
        What is drawn.
    """
    return sides_past(one.region, view)


def joined(names: Sequence[str]) -> str:
    """Return sides in words: "to the west and north".

    Parameters
    ----------
    names : sequence of str
        Sides as an extent names them.
    """
    if set(names) == set(PLAN_SIDES):
        return "all around"
    words = [f"to the {s}" if s in PLAN_SIDES else s for s in names]
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"


def ladder_zones(
    site: Site,
    tolerance: Tolerance | None = None,
    *,
    feet: bool = False,
    steps: Sequence[Step] = STEPS,
    ceiling: Ceiling | None = None,
    cancelled: Asked | None = None,
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
    cancelled : callable
        Asked between pieces of work; True stops with :class:`core.progress.Cancelled`.

    Raises
    ------
    Cancelled
        If asked to stop.
    """
    found = []
    for ladder in site.ladders:
        for step in steps:
            if cancelled is not None and cancelled():
                raise Cancelled
            if step.garment is not None:
                one = garment_ladder(
                    site, ladder, step.garment, step.margin, tolerance, feet=feet, ceiling=ceiling
                )
            else:
                one = ladder_zone(
                    site, ladder, step.threshold, step.tier,
                    tolerance=tolerance, feet=feet, ceiling=ceiling, cancelled=cancelled,
                )  # fmt: skip
            found.append((step, one))
    return tuple(found)
