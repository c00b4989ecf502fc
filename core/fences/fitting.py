"""Fences for a whole site in one call: lines on its floors and stops on its ladders, in the place of earlier ones."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace

from core.fences.site_fences import Fit, fence_view, fit_ladders, fit_plan
from core.limits.tier import Tier
from core.progress import Asked, Progress
from core.proof.tolerance import Ceiling
from core.site.places import Fence
from core.site.site import Site
from core.zones.site_zones import site_zone
from core.zones.zone import Zone

_FITTED = re.compile(r"fence (public|occupational) \d+|stops on .+, (public|occupational)")


@dataclass(frozen=True, slots=True)
class Fitted:
    """What a fit has made.

    Attributes
    ----------
    site : Site
        The site with its fences.
    made : tuple of Fence
        The new ones.
    replaced : tuple of str
        Names of fences of an earlier fit that are gone.
    zone : Zone
        The proven zone they were fitted to.
    """

    site: Site
    made: tuple[Fence, ...]
    replaced: tuple[str, ...]
    zone: Zone


def is_fitted(fence: Fence) -> bool:
    """Return whether a fence has the name of a fitted one.

    Parameters
    ----------
    fence : Fence
        A fence.
    """
    return _FITTED.fullmatch(fence.name) is not None


def fit_site(
    site: Site,
    tier: Tier,
    threshold: float = 1.0,
    settings: Fit | None = None,
    *,
    region: tuple[float, float, float, float] | None = None,
    known: Zone | None = None,
    feet: bool = False,
    progress: Progress | None = None,
    cancelled: Asked | None = None,
    ceiling: Ceiling | None = None,
) -> Fitted:
    """Return a site with fences around its zone and stops on every ladder that reaches into it.

    Fences of an earlier fit for the same tier and threshold give way, unless only a region was asked for; those that
    were drawn stay.

    Parameters
    ----------
    site : Site
        The site.
    tier : Tier
        Whose limit.
    threshold : float
        Fraction of the limit.
    settings : Fit or None
        Margins and corners.
    region : (west, south, east, north) or None
        Fit only in a piece of the plan, m.
    known : Zone or None
        The zone of the whole plan, where it is proven already.
    feet : bool
        Round stops to whole feet.
    progress : Progress or None
        Told the part done, 0 to 1.
    cancelled : Asked or None
        Asked between pieces of work; True stops it.
    ceiling : Ceiling or None
        Where each search stops; the default where None.

    Raises
    ------
    InputError
        If the settings make no sense, or the site is inconsistent.
    """
    settings = settings or Fit()
    view = fence_view(site)
    if region is not None:
        view = replace(view, region=region)
    found = known
    if found is None:
        found = site_zone(
            site, threshold, tier, view, within=region is not None,
            progress=progress, cancelled=cancelled, ceiling=ceiling,
        )  # fmt: skip
    old = [
        f
        for f in site.fences
        if region is None and is_fitted(f) and (f.tier, f.threshold) == (tier, threshold)
    ]
    kept = tuple(f for f in site.fences if f not in old)
    made = fit_plan(replace(site, fences=kept), found, settings)
    made += fit_ladders(
        site,
        tier,
        threshold,
        margin=settings.on_ladders,
        feet=feet,
        cancelled=cancelled,
        ceiling=ceiling,
    )
    names = {f.name for f in made}
    # A ladder has one set of stops for a tier: those of the last fit.
    kept = tuple(f for f in kept if f.name not in names)
    gone = tuple(f.name for f in site.fences if f not in kept)
    return Fitted(replace(site, fences=(*kept, *made)), made, gone, found)
