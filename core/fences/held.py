"""The checks of a site's fences together with the zones that they were made against, for a map of both."""

from __future__ import annotations

from core.fences.fence import Check
from core.fences.site_fences import check_site, fence_view
from core.limits.tier import Tier
from core.progress import Asked
from core.proof.tolerance import Ceiling
from core.site.site import Site
from core.site.terraces import DROP
from core.views.views import PlanView
from core.zones.site_zones import SiteZones, site_zone, unknown_sides
from core.zones.steps import Step, step_asked
from core.zones.zone import Zone


def check_with_zones(
    site: Site,
    *,
    cancelled: Asked | None = None,
    ceiling: Ceiling | None = None,
    drop: float = DROP,
) -> tuple[dict[str, Check], SiteZones | None]:
    """Return the check of every fence, and what the fences on the plan hold back, from the outside in.

    There are no zones where no fence stands on the plan.

    Parameters
    ----------
    site : Site
        The site.
    cancelled : Asked or None
        Asked between pieces of work; True stops it.
    ceiling : Ceiling or None
        Where the search stops; the default where None.
    drop : float
        Least difference of height that counts as an edge, m.

    Raises
    ------
    InputError
        As :func:`core.fences.site_fences.check_site`.
    """
    held: list[tuple[Step, Zone]] = []

    def known(tier: Tier, threshold: float, view: PlanView) -> Zone:
        one = site_zone(site, threshold, tier, view, cancelled=cancelled, ceiling=ceiling)
        held.append((step_asked(tier, threshold), one))
        return one

    checks = check_site(site, cancelled=cancelled, ceiling=ceiling, known=known, drop=drop)
    # What holds the other is larger.
    held.sort(key=lambda one: -one[1].area)
    if not held:
        return checks, None
    lowest = min((step for step, _ in held), key=lambda s: (s.tier != "public", s.threshold))
    unknown = unknown_sides(site, lowest.threshold, lowest.tier)
    return checks, SiteZones(fence_view(site), tuple(held), unknown)
