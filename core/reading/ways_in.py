"""Doubts about the ways in that are open to the public: in a zone, beside one, or shut in by a fence."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import shapely

from core.exposure.totals import exposure
from core.reading.doubt import Doubt
from core.site.places import AccessPoint, Fence
from core.site.site import Site
from core.site.surfaces import standing_on
from core.units import show_percent
from core.views.body import STANDING

REACH = 1.0
"""m about a way in where somebody stands who opens it or reads its sign (common practice, no source)."""
_RINGS = (0.25, 0.5, 0.75, 1.0)
_AROUND = 16


def shut_in(site: Site, fence: Fence) -> tuple[str, ...]:
    """Return the names of the ways in for the public that stand inside a fence.

    Parameters
    ----------
    site : Site
        The site.
    fence : Fence
        A fence; one of a ladder shuts nothing in.
    """
    if not fence.outline:
        return ()
    shape = shapely.make_valid(shapely.Polygon(fence.outline))
    return tuple(
        a.name for a in site.access_points if a.public and shape.contains(shapely.Point(a.position[:2]))
    )  # fmt: skip


def ways_in_doubts(site: Site) -> Iterator[Doubt]:
    """Yield the doubts about a site's ways in for the public.

    What is said of places beside a way in is seen at some places, not proven; a zone is.

    Parameters
    ----------
    site : Site
        The site.

    Raises
    ------
    InputError
        If the site's powers or frequencies are inconsistent.
    """
    for access in site.access_points:
        if access.public and site.antennas:
            yield from _exposed(site, access)
    for fence in site.fences:
        for name in shut_in(site, fence):
            way = next(a for a in site.access_points if a.name == name)
            yield _about(way, f"{name}: open to the public, but inside {fence.name}")


def _about(way: AccessPoint, line: str) -> Doubt:
    return Doubt(line, "way in", way.name, way.position)


def _exposed(site: Site, access: AccessPoint) -> Iterator[Doubt]:
    x, y, z = access.position
    foot, _, _ = standing_on(site, x, y, z)
    turns = 2.0 * np.pi * np.arange(_AROUND) / _AROUND
    ring = np.stack([np.cos(turns), np.sin(turns), np.zeros(_AROUND)], axis=1)
    places = np.concatenate([np.zeros((1, 3)), *(REACH * part * ring for part in _RINGS)])
    totals = exposure(site, places + np.array([x, y, foot]), STANDING).public.total
    here, worst = float(totals[0]), float(totals.max())
    what = f"of {site.limit_set} public"
    if here > 1.0:
        said = f"{show_percent(here)} {what} where one stands there"
        yield _about(access, f"{access.name}: open to the public, but {said}")
    elif worst > 1.0:
        said = f"{show_percent(worst)} {what} within {REACH:g} m of it"
        yield _about(access, f"{access.name}: open to the public, but {said}")
