"""One place read in two states: both fractions and their difference, for a tier."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from core.changes.difference_map import decibels
from core.exposure.totals import exposure
from core.limits.tier import TIERS, Tier
from core.site.site import Site
from core.units import show_percent
from core.views.body import Body

Point = tuple[float, float, float]
NO_FIGURE = "no figure: reactive region, treat as over every limit"
_SMALL = 0.005
"""dB, or percent points, that are said to be no change."""


@dataclass(frozen=True, slots=True)
class PlaceChange:
    """What one body reads at a place before and after.

    ``was`` and ``now`` are fractions of the limit, of the tiers in their order; ``reactive`` says for before and
    after that there is no figure.
    """

    was: tuple[float, ...]
    now: tuple[float, ...]
    reactive: tuple[bool, bool]

    def words(self, tier: Tier) -> tuple[str, str, str]:
        """Return what is read before, after, and the change in dB and percent points.

        Parameters
        ----------
        tier : {"public", "occupational"}
            Whose limit.
        """
        i = TIERS.index(tier)
        both = (self.was[i], self.now[i])
        said = [
            NO_FIGURE if none else show_percent(one)
            for one, none in zip(both, self.reactive, strict=True)
        ]
        return said[0], said[1], self._change(*both)

    def _change(self, was: float, now: float) -> str:
        if any(self.reactive):
            return "no figure" if all(self.reactive) else "into or out of a reactive region"
        if was == now:
            return "none"
        rise, points = float(decibels(np.array(was), np.array(now))), 100.0 * (now - was)
        if not np.isfinite(rise):
            return f"{_points(points)}, {'out of' if was == 0.0 else 'to'} nothing"
        if abs(rise) < _SMALL and abs(points) < _SMALL:
            return "less than 0.005 dB"
        return f"{rise:+.2f} dB, {_points(points)}"


def _points(points: float) -> str:
    return (
        f"{points:+.0f} percent points"
        if abs(points) >= 1000.0
        else f"{points:+.3g} percent points"
    )


def read_both(before: Site, after: Site, places: tuple[Point, Point], body: Body) -> PlaceChange:
    """Return what a body reads before and after.

    Parameters
    ----------
    before, after : Site
        The two states.
    places : two of (x, y, z)
        Its feet, or the middle of a climber, m, in each state: a floor may have been raised.
    body : Body
        The column of heights that is exposed.

    Raises
    ------
    InputError
        If a site's data are inconsistent.
    """
    read = [
        exposure(site, np.array([place]), body)
        for site, place in zip((before, after), places, strict=True)
    ]
    was, now = (tuple(float(one.of(t).total[0]) for t in TIERS) for one in read)
    return PlaceChange(was, now, (bool(read[0].reactive[0]), bool(read[1].reactive[0])))
