"""Everything an entry is held against, as totals that one set of bounds serves.

A total is a sum over the emitters: of one table of one tier, for the electric or the magnetic field, of all emitters
or of those with one averaging time; of the occupational tables also with each emitter divided by a garment's rating.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from core.arrays import Floats
from core.exposure.fractions import REACTIVE_FRACTION
from core.exposure.garment_use import Ratings
from core.limits.model import LimitTable
from core.limits.sets import get_set
from core.limits.tier import TIERS, Tier
from core.proof.enclosure import Enclosure, Total, enclosure
from core.site.site import Site
from core.views.body import POINT

_GRAIN, _GRAINS = 0.02, (0.001, 0.005)
"""Fraction of the occupational limit that bounding may add: in all, and for each radiator at least and at most. A
public limit is mostly five times lower."""

PUBLIC: Tier = "public"
OCCUPATIONAL: Tier = "occupational"
USE, UNRATED = "use", "unrated"


@dataclass(frozen=True, slots=True)
class Measure:
    """One total: what it is of, and the table (of its tier) it belongs to.

    ``window`` is the averaging time in s of the emitters in it; a ``whole`` total has all emitters of its table and
    is no average.
    """

    of: str
    table: int
    whole: bool
    window: float | None = None


@dataclass(frozen=True, slots=True)
class Measures:
    """The totals of a site: what bounds need, and what each column (totals,) means.

    ``held`` (radiators, totals) stands for a radiator in its reactive region. ``unaveraged`` are tables, as (tier,
    table), that allow no averaging for an emitter that radiates.
    """

    enclosed: Enclosure
    held: Floats
    columns: tuple[Measure, ...]
    unaveraged: tuple[tuple[Tier, int], ...]

    @property
    def grain(self) -> Floats:
        """How much of each total (totals,) may be added for each radiator to bound it."""
        one = float(np.clip(_GRAIN / max(len(self.enclosed.radiators), 1), *_GRAINS))
        return np.array([one * (5.0 if c.of == PUBLIC else 1.0) for c in self.columns])

    def of(self, what: str) -> list[int]:
        """Return the columns of all emitters of a tier, of the use, or of what is unrated."""
        return [i for i, c in enumerate(self.columns) if c.whole and c.of == what]

    def averaged(self, tier: Tier, table: int) -> dict[float, list[int]]:
        """Return the columns of a table by averaging time in s."""
        out: dict[float, list[int]] = {}
        for i, c in enumerate(self.columns):
            if c.window is not None and (c.of, c.table) == (tier, table):
                out.setdefault(c.window, []).append(i)
        return out

    @property
    def tables(self) -> tuple[tuple[Tier, int], ...]:
        """The tables that count, as (tier, table)."""
        found = [(t, c.table) for c in self.columns for t in TIERS if c.whole and c.of == t]
        return tuple(dict.fromkeys(found))


def measures(site: Site, rated: Ratings | None = None) -> Measures:
    """Return what the exposure on a site is held against.

    Parameters
    ----------
    site : Site
        The site, as planned.
    rated : Ratings, optional
        A garment against its emitters.
    """
    parts: list[tuple[str, Tier, Enclosure]] = [(t, t, enclosure(site, t, POINT)) for t in TIERS]
    if rated is not None:
        for what, divisors in ((USE, rated.divisors), (UNRATED, rated.unrated_divisors)):
            divided = enclosure(site, OCCUPATIONAL, POINT, divisors)
            parts.append((what, OCCUPATIONAL, divided))
    limit_set = get_set(site.limit_set)
    columns: list[Measure] = []
    coefficients: list[Floats] = []
    held: list[Floats] = []
    unaveraged: list[tuple[Tier, int]] = []

    def add(one: Measure, own: Floats, stands_for: Floats) -> None:
        columns.append(one)
        coefficients.append(own)
        held.append(stands_for)

    for what, tier, enclosed in parts:
        stands_for = _held(enclosed, limit_set.key, tier)
        if not enclosed.totals:
            add(Measure(what, 0, True), np.zeros((0, enclosed.coefficients.shape[2])), np.zeros(0))
        for j, total in enumerate(enclosed.totals):
            own = enclosed.coefficients[:, j]
            same = [i for i, t in enumerate(enclosed.totals) if t.table == total.table]
            limited = np.asarray(enclosed.coefficients[:, same].any(axis=(1, 2)))
            stays = np.where(limited, stands_for, 0.0)
            add(Measure(what, total.table, True), own, stays)
            if what not in TIERS:
                continue
            times = _times(enclosed, limit_set.of(tier)[total.table])
            if any(t is None for t, counts in zip(times, limited, strict=True) if counts):
                unaveraged.append((tier, total.table))
                continue
            for window in dict.fromkeys(t for t in times if t is not None):
                mine = np.array([t == window for t in times])
                group = np.where(mine[:, None], own, 0.0)
                add(Measure(what, total.table, False, window), group, np.where(mine, stays, 0.0))
    totals = tuple(Total(c.table, False, False) for c in columns)
    return Measures(
        replace(parts[0][2], totals=totals, coefficients=np.stack(coefficients, axis=1)),
        np.stack(held, axis=1),
        tuple(columns),
        tuple(dict.fromkeys(unaveraged)),
    )


def _held(enclosed: Enclosure, limit_set: str, tier: Tier) -> Floats:
    """Return what stands for each radiator (n,) in its reactive region."""
    out = np.zeros(len(enclosed.radiators))
    for i, radiator in enumerate(enclosed.radiators):
        for m in radiator.members:
            weak = enclosed.sources[m].absorbed(limit_set, tier)
            out[i] += REACTIVE_FRACTION if weak is None else weak
    return out


def _times(enclosed: Enclosure, table: LimitTable) -> list[float | None]:
    """Return the averaging time in s of each radiator in a table; None where there is none."""
    out: list[float | None] = []
    for radiator in enclosed.radiators:
        limit = table.at(radiator.frequency)
        minutes = None if limit is None else limit.averaging_minutes
        out.append(None if minutes is None else 60.0 * minutes)
    return out
