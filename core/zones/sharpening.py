"""Small zones asked for more finely: a hand's breadth along the edge is much of a zone of a square metre.

How finely a zone has to be searched so that little of it is not over the threshold is known once its size is. Outside
of what was found the proof stands, so the search goes on inside it only, and what it gives is the part that is left:
no larger than before but for specks, also where its work is ended.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import shapely

from core.proof.domains import Domain
from core.proof.lattice import OUTWARD
from core.proof.tolerance import Fineness
from core.zones.layout import Layout

EXCESS = 0.007
"""Part of a zone that a band along its edge as wide as the fineness may be: edges of columns lie one to two of those
out (own measurement), so that some hundredth of the area is not over."""

FINEST = 0.0015
"""m: edges are not asked for more finely."""

WORTH = 0.8
"""A search that would not ask for less than this part of the last one is not made."""

SMALLER = 0.25
"""Least part of the last fineness that is asked for at once: what is left then is smaller."""

MORE, AT_LEAST = 0.3, 30_000
"""Evaluations of a field that may be spent on it: part of what the first search took, and so many always (a second or
two). Counted, not timed: where the clock of the whole search ends nothing, the same site has the same zone on every
machine."""


def more_work(evaluations: int) -> float:
    """Return how many more evaluations may be spent on a zone.

    Parameters
    ----------
    evaluations : int
        What the first search took.
    """
    return max(MORE * evaluations, AT_LEAST)


def sharper(fineness: Fineness, parts: tuple[shapely.Geometry, ...]) -> Fineness | None:
    """Return how finely a zone is to be searched that was found to have these parts; None where it was fine enough.

    Parameters
    ----------
    fineness : Fineness
        How finely it was searched.
    parts : tuple of geometries
        Its parts on each floor, m.
    """
    area, length = (sum(float(getattr(p, name)) for p in parts) for name in ("area", "length"))
    if area <= 0.0:
        return None
    wanted = max(EXCESS * area / length, FINEST, SMALLER * fineness.metres)
    return replace(fineness, metres=wanted) if wanted < WORTH * fineness.metres else None


def within(layout: Layout, parts: tuple[shapely.Geometry, ...]) -> Layout:
    """Return the layout of a search inside parts of the floors, one for each domain.

    Parameters
    ----------
    layout : Layout
        That of the search that found them.
    parts : tuple of geometries
        What was found in each domain; everything outside is proven to be below the threshold.
    """
    domains, shapes = [], []
    for domain, part in zip(layout.domains, parts, strict=True):
        shape = part.buffer(OUTWARD, join_style="mitre")
        if domain.shape is not None:
            # Specks are grown, past the edge of their floor too.
            shape = shape.intersection(domain.shape)
        shapely.prepare(shape)
        domains.append(Domain(domain.layers, shape))
        shapes.append(shape)
    west, south, east, north = shapely.total_bounds(shapes)
    low, high = (np.array(corner, np.float64) for corner in layout.box)
    low[:2], high[:2] = np.maximum(low[:2], (west, south)), np.minimum(high[:2], (east, north))
    return replace(layout, box=(low, high), domains=tuple(domains))
