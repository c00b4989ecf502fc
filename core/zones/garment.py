"""Where a garment is not enough, proven: the same searches with each emitter divided by the rating of its band.

Beyond the garment is what lies over the occupational limit and where its use leaves too little margin, or emitters
outside its bands make too much; and what lies over ten times the limit. Each of these is a proven zone, so what is left
out of the combination is proven too. Where the garment gives no credit at all it ends at the occupational limit.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import shapely
from shapely import MultiPolygon

from core.arrays import Floats
from core.exposure.garment_use import Ratings, allowed_use, ratings
from core.exposure.sources import sources
from core.limits.categories import UPPER_STEP
from core.limits.sets import get_set
from core.progress import Asked, Progress, part_of
from core.proof.tolerance import Ceiling, Tolerance
from core.shapes import only_areas
from core.site.garment import Garment
from core.site.places import Ladder
from core.site.site import Site
from core.views.body import CLIMBING, Body
from core.views.views import View
from core.zones.ladders import LadderZone, in_words, interval_of, ladder_zone, merged
from core.zones.zone import Part, Zone, zone

Span = tuple[float, float]


def garment_zone(
    site: Site,
    garment: Garment,
    margin: float,
    view: View,
    tolerance: Tolerance | None = None,
    *,
    progress: Progress | None = None,
    cancelled: Asked | None = None,
    ceiling: Ceiling | None = None,
) -> Zone:
    """Return the region of a view in which a garment can be not enough.

    Parameters
    ----------
    site : Site
        The site.
    garment : Garment
        The garment.
    margin : float
        dB that have to be left under its rating.
    view, tolerance, progress, cancelled, ceiling
        As :func:`core.zones.zone.zone`.

    Raises
    ------
    InputError, core.progress.Cancelled
        As :func:`core.zones.zone.zone`.
    """
    rated = _rated(site, garment)
    asked = _searches(rated, margin)
    found = [
        zone(
            site, threshold, "occupational", view, tolerance,
            progress=part_of(progress, i, len(asked)), cancelled=cancelled, ceiling=ceiling,
            divisors=divisors,
        )
        for i, (threshold, divisors) in enumerate(asked)
    ]  # fmt: skip
    if len(found) == 1:
        why = "; ".join(rated.reasons)
        return replace(
            found[0], message=f"{found[0].message}; {garment.name} gives no credit: {why}"
        )
    over, beyond = found[0], found[2:]

    def combined(shapes: Sequence[MultiPolygon]) -> MultiPolygon:
        return only_areas(
            shapely.union(shapes[0].intersection(shapely.union_all(shapes[2:])), shapes[1])
        )

    region = combined([z.region for z in found])
    parts = tuple(
        Part(same[0].floor, combined([p.region for p in same]))
        for same in zip(*(z.parts for z in found), strict=True)
    )
    unseen = shapely.union_all([z.undecided for z in found]).intersection(region)
    loose = [z.message for z in found if not z.complete]
    said = "proven: nowhere" if region.is_empty else f"proven; {beyond[0].message.split('; ')[-1]}"
    return replace(
        over,
        region=region,
        parts=parts,
        metres=max(z.metres for z in found),
        share=max(z.share for z in found),
        evaluations=sum(z.evaluations for z in found),
        seconds=sum(z.seconds for z in found),
        message=loose[0] if loose else said,
        complete=not loose,
        undecided=only_areas(unseen),
    )


def garment_ladder(
    site: Site,
    ladder: Ladder,
    garment: Garment,
    margin: float,
    tolerance: Tolerance | None = None,
    *,
    body: Body = CLIMBING,
    feet: bool = False,
    cancelled: Asked | None = None,
    ceiling: Ceiling | None = None,
) -> LadderZone:
    """Return the intervals of a ladder in which a garment can be not enough for a climber.

    Parameters
    ----------
    site : Site
        The site.
    ladder : Ladder
        The ladder.
    garment : Garment
        The garment.
    margin : float
        dB that have to be left under its rating.
    tolerance, body, feet, cancelled, ceiling
        As :func:`core.zones.ladders.ladder_zone`.

    Raises
    ------
    InputError
        As :func:`core.zones.zone.zone`.
    """
    rated = _rated(site, garment)
    found = [
        ladder_zone(
            site, ladder, threshold, "occupational", body, tolerance,
            feet=feet, cancelled=cancelled, ceiling=ceiling, divisors=divisors,
        )
        for threshold, divisors in _searches(rated, margin)
    ]  # fmt: skip
    spans = [[(i.start, i.end) for i in one.intervals] for one in found]
    over, *rest = spans
    if rest:
        ten, *beyond = rest
        both = _common(over, merged([s for part in beyond for s in part]))
        over = merged([*both, *ten])
    points = np.array(ladder.points, dtype=np.float64)
    intervals = tuple(interval_of(points, start, end) for start, end in over)
    name = f"what {garment.name} is good for"
    if rated.reasons:
        name = f"the occupational limit, where {garment.name} gives no credit"
    return replace(
        found[0],
        intervals=intervals,
        evaluations=sum(z.evaluations for z in found),
        seconds=sum(z.seconds for z in found),
        complete=all(z.complete for z in found),
        words=in_words(intervals, name, feet=feet),
    )


def _rated(site: Site, garment: Garment) -> Ratings:
    return ratings(garment, sources(site), get_set(site.limit_set))


def _searches(rated: Ratings, margin: float) -> list[tuple[float, Floats | None]]:
    """Return threshold and divisors of each search: over the limit, over ten times, beyond the garment."""
    limit: list[tuple[float, Floats | None]] = [(1.0, None)]
    if rated.reasons:
        return limit
    limit += [(UPPER_STEP, None), (allowed_use(margin), rated.divisors)]
    return [*limit, (1.0, rated.unrated_divisors)] if rated.unrated else limit


def _common(one: Sequence[Span], other: Sequence[Span]) -> list[Span]:
    """Return where both of two lists of spans are."""
    both = ((max(a[0], b[0]), min(a[1], b[1])) for a in one for b in other)
    return [(low, high) for low, high in both if low <= high]
