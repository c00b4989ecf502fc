"""The difference of two states over a view: two rasters of one view, in percent points and in decibels."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from core.arrays import Bools
from core.changes.content import sharing
from core.exposure.raster import LayerCache, Raster, raster
from core.exposure.sources import sources, whole_column
from core.limits.tier import Tier
from core.progress import Asked, Progress, part_of
from core.site.site import Site
from core.views.views import ElevationView, View

LEAST = 0.01
"""Fraction of the limit: where both states are under it, decibels say nothing a person needs (own choice)."""


@dataclass(frozen=True, slots=True)
class ChangeMap:
    """Two states over one view, cell by cell.

    ``before`` and ``after`` have the same cells. Each state is held against its own limit set.
    """

    before: Raster
    after: Raster

    @property
    def no_figure(self) -> Bools:
        """Cells (rows, columns) inside a reactive region before or after: there is no figure, and so no difference."""
        return self.before.reactive | self.after.reactive

    def points(self, tier: Tier) -> NDArray[np.float64]:
        """Return the rise (rows, columns) in percent points of the limit; minus is a fall.

        Parameters
        ----------
        tier : {"public", "occupational"}
            Whose limit.
        """
        was, now = self._of(tier)
        return 100.0 * (now - was)

    def decibels(self, tier: Tier) -> NDArray[np.float64]:
        """Return the rise (rows, columns) in dB; 0 where both are nothing, ± inf where one of them is.

        Parameters
        ----------
        tier : {"public", "occupational"}
            Whose limit.
        """
        return decibels(*self._of(tier))

    def slight(self, tier: Tier) -> Bools:
        """Return the cells (rows, columns) that are under :data:`LEAST` in both states.

        Parameters
        ----------
        tier : {"public", "occupational"}
            Whose limit.
        """
        was, now = self._of(tier)
        return np.asarray(np.maximum(was, now) < LEAST)

    def _of(self, tier: Tier) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        was, now = (r.of(tier).astype(np.float64) for r in (self.before, self.after))
        return was, now


def decibels(was: NDArray[np.float64], now: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return rises (of the shape of what is given) in dB; 0 where both are the same, ± inf where one is nothing.

    Parameters
    ----------
    was, now : array
        Fractions of the limit.
    """
    with np.errstate(divide="ignore", invalid="ignore"):
        rise = 10.0 * np.log10(now / was)
    return np.where(was == now, 0.0, rise)


def change_map(
    before: Site,
    after: Site,
    view: View,
    shape: tuple[int, int],
    cache: LayerCache | None = None,
    *,
    cancelled: Asked | None = None,
    progress: Progress | None = None,
) -> ChangeMap:
    """Return two states of a site over one view; layers of antennas that did not change are computed once.

    Parameters
    ----------
    before, after : Site
        The two states.
    view : PlanView or ElevationView
        What is looked at.
    shape : (rows, columns)
        Wanted resolution; see :func:`core.exposure.raster.raster`.
    cache : LayerCache or None
        Where layers are kept.
    cancelled : callable
        Asked between pieces of work; True stops with :class:`core.progress.Cancelled`.
    progress : callable
        Told the part done, 0 to 1.

    Raises
    ------
    InputError
        If the raster would be too large, or a site's data are inconsistent.
    """
    cache = cache or LayerCache()
    after = sharing(before, after)
    view = _same_column(before, after, view, shape)
    first, second = (
        raster(
            site, view, shape, cache, cancelled=cancelled, progress=part_of(progress, i, 2)
        )
        for i, site in enumerate((before, after))
    )  # fmt: skip
    return ChangeMap(first, second)


def _same_column(before: Site, after: Site, view: View, shape: tuple[int, int]) -> View:
    """Return the view with a body fine enough for the beams of both states, so that both have the same cells."""
    both = (*sources(before), *sources(after))
    while True:
        if isinstance(view, ElevationView):
            low, high = view.up
        else:
            feet = [view.points(site, shape)[:, 2] for site in (before, after)]
            low, high = min(float(f.min()) for f in feet), max(float(f.max()) for f in feet)
        body = whole_column(both, view.body, low, high)
        if body == view.body:
            return view
        view = replace(view, body=body)
