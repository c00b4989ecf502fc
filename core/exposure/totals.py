"""The exposure of a site as everything shows it: what the models give, raised where a survey read more."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from core.arrays import Points
from core.exposure.fractions import Exposure, TierExposure, modelled
from core.exposure.surveyed import Raise, added, raises
from core.limits.tier import Tier
from core.site.site import Site
from core.views.body import POINT, Body


def exposure(site: Site, points: Points, body: Body = POINT, *, whole: bool = False) -> Exposure:
    """Return the exposure of bodies that stand (or hang) at points (n, 3), in float64.

    Parameters
    ----------
    body : Body
        The column of heights that is exposed.
    whole : bool
        Whether it already has all the heights that narrow beams ask for.

    Raises
    ------
    InputError
        If the site's powers or frequencies are inconsistent.
    """
    found = modelled(site, points, body, whole=whole)
    all_raises = raises(site)
    if not all_raises:
        return found
    foot = np.asarray(points, dtype=np.float64)
    return replace(
        found,
        public=_raised(found.public, all_raises, foot, found.body, "public"),
        occupational=_raised(found.occupational, all_raises, foot, found.body, "occupational"),
    )


def _raised(
    one: TierExposure, all_raises: tuple[Raise, ...], foot: Points, body: Body, tier: Tier
) -> TierExposure:
    more = added(all_raises, foot, body, one.total, tier)
    return replace(one, total=one.total + more, raised=more)
