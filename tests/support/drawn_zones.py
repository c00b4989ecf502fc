"""Zones of a given shape, made without a search: for what is drawn of them."""

from __future__ import annotations

from collections.abc import Sequence

import shapely
from shapely import MultiPolygon

from core.views.views import PlanView
from core.zones.site_zones import SiteZones
from core.zones.steps import STEPS
from core.zones.zone import Zone


def boxes(
    view: PlanView, groups: Sequence[Sequence[tuple[float, float, float, float]]]
) -> SiteZones:
    """Return zones, from the outside in, whose pieces are rectangles (west, south, east, north), m."""
    zones = []
    for step, some in zip(STEPS, groups, strict=False):
        region = MultiPolygon([shapely.box(*one) for one in some])
        zone = Zone(view, step.tier, step.threshold, region, 0.0, 0.0, 1, 0.0, "proven", True)
        zones.append((step, zone))
    return SiteZones(view, tuple(zones))
