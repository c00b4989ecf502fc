"""Many readings at once: totals, category and the strongest emitter at each point."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from core.arrays import Bools, Floats, Points
from core.exposure.sources import Source, not_covered, sources, whole_column
from core.exposure.totals import exposure
from core.limits.categories import categories
from core.limits.sets import get_set
from core.site.poles import carrying_poles
from core.site.site import Site
from core.views.body import Body

_CHUNK = 8192


@dataclass(frozen=True, slots=True)
class Batch:
    """Readings at n points.

    ``category`` holds 1 to 4, or 0 where no verdict is possible because an emitter is outside the limit
    set, or a pole that carries a wave is near. ``strongest`` is the index of the source with the largest public share.
    """

    public: Floats
    occupational: Floats
    category: NDArray[np.int8]
    reactive: Bools
    strongest: NDArray[np.intp]
    names: tuple[str, ...]


def read_many(
    site: Site,
    points: Points,
    body: Body,
    progress: Callable[[float], None] | None = None,
) -> Batch:
    """Return the readings of bodies at points (n, 3), in float64.

    Parameters
    ----------
    body : Body
        The column of heights that is exposed.
    progress : Callable[[float], None] or None
        Told the part done, 0 to 1.

    Raises
    ------
    InputError
        If the site's powers or frequencies are inconsistent.
    """
    n = len(points)
    all_sources = sources(site)
    public, occupational = np.zeros(n), np.zeros(n)
    reactive, strongest = np.zeros(n, bool), np.zeros(n, np.intp)
    done = 0
    for column, rows in _alike(all_sources, np.asarray(points, dtype=np.float64), body):
        for start in range(0, len(rows), _CHUNK):
            part = rows[start : start + _CHUNK]
            one = exposure(site, points[part], column, whole=True)
            public[part], occupational[part] = one.public.total, one.occupational.total
            reactive[part] = one.reactive
            if all_sources:
                strongest[part] = np.argmax(one.public.shares, axis=0)
            done += len(part)
            if progress is not None:
                progress(done / n)
    category = np.asarray(categories(public, occupational), dtype=np.int8)
    category[reactive] = 4
    if not_covered(all_sources, get_set(site.limit_set)):
        category[category == 1] = 0
    for pole in carrying_poles(site):
        for height in body.heights:
            near = pole.near(np.asarray(points, dtype=np.float64) + np.array([0.0, 0.0, height]))
            category[near & (category < 4)] = 0
    if not all_sources:
        category[:] = 0
    return Batch(
        public, occupational, category, reactive, strongest, tuple(s.name for s in all_sources)
    )


def _alike(
    all_sources: Sequence[Source], points: Points, body: Body
) -> Iterator[tuple[Body, NDArray[np.intp]]]:
    """Yield bodies and the rows of points that have them, so that each place reads as it does alone."""
    level, which = np.unique(points[:, 2], return_inverse=True)
    alike: dict[Body, list[int]] = {}
    for i, z in enumerate(level.tolist()):
        alike.setdefault(whole_column(all_sources, body, z, z), []).append(i)
    for column, members in alike.items():
        yield column, np.flatnonzero(np.isin(which.ravel(), members))
