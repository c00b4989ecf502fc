"""What a plan has to reach, and how much each emitter takes of it at places."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from core.arrays import Floats
from core.errors import InputError
from core.exposure.fractions import split, weight
from core.exposure.sources import Source, fields
from core.limits.model import LimitSet
from core.limits.tier import Tier, tier_of
from core.proof.bounds.base import ROUNDING
from core.units import from_db

BEYOND = 1e6
"""What a radiating emitter takes of a criterion in its reactive region: no figure there is under anything."""
_CHUNK = 4096


@dataclass(frozen=True, slots=True)
class Criterion:
    """A percent of a tier's limit that no place of an area may exceed, less a margin in dB.

    ``ratings`` divide what an emitter counts (as a garment's rating of its band does, in times of the limit), by the
    emitter's name with its carrier ("FM main: 97.3"); those it does not name count in full, those at inf not at all.
    """

    tier: Tier
    percent: float = 100.0
    margin: float = 0.0
    ratings: Mapping[str, float] = field(default_factory=dict)
    words: str = ""

    def __post_init__(self) -> None:
        tier_of(self.tier)
        if not (math.isfinite(self.percent) and 0.001 <= self.percent <= 1e6):
            raise InputError(
                f"{self.percent:g} % is no target", field="target", fix="Use 0.001 to 1000000 %"
            )
        if not 0.0 <= self.margin <= 40.0:
            raise InputError(f"{self.margin:g} dB", field="margin", fix="Use 0 to 40 dB")
        for name, rating in self.ratings.items():
            if not rating >= 1.0:
                raise InputError(
                    f"{rating:g} for {name!r} is no rating",
                    field="ratings",
                    fix="Give times of the limit, 1 for no credit",
                )

    @property
    def threshold(self) -> float:
        """The fraction of the limit, or of what the ratings leave of it, that may not be exceeded."""
        return self.percent / 100.0 * from_db(-self.margin)

    @property
    def is_over_the_limit(self) -> bool:
        """Whether it lets people into more than the limit without a garment being counted."""
        return self.threshold > 1.0 and not self.ratings

    def divisors(self, all_sources: Sequence[Source]) -> Floats:
        """Return what each source's power is divided by (sources,)."""
        return np.array([float(self.ratings.get(s.name, 1.0)) for s in all_sources])

    def said(self, limit_set: str) -> str:
        """Return the criterion in words."""
        if self.words:
            return self.words
        less = f" with {self.margin:g} dB of margin" if self.margin else ""
        what = "of the garment's rating" if self.ratings else f"of {limit_set} {self.tier}"
        return f"{self.percent:g} % {what}{less}"


@dataclass(frozen=True, slots=True)
class Shares:
    """What the sources take of every criterion's totals at places, at full power.

    Attributes
    ----------
    points : array, shape (n, 3)
    parts : array, shape (sources, n, totals)
        As parts of the criterion's threshold; :data:`BEYOND` in a reactive region.
    linear : bool array, shape (totals,)
        Where a total follows the root of the power (nerve stimulation).
    """

    points: NDArray[np.float64]
    parts: Floats
    linear: NDArray[np.bool_]

    def at(self, factors: Floats) -> Floats:
        """Return the largest total (n,) with the sources' powers at factors (sources,)."""
        return np.asarray(self.totals(factors).max(axis=1))

    def totals(self, factors: Floats) -> Floats:
        """Return the totals (n, totals) with the sources' powers at factors (sources,)."""
        out = np.zeros(self.parts.shape[1:])
        for source, factor in zip(self.parts, factors, strict=True):
            if factor > 0.0:
                out += self.scaled(source, float(factor))
        return out

    def scaled(self, parts: Floats, factor: float) -> Floats:
        """Return parts (..., totals) of a source at a factor of its power; what is beyond stays so."""
        if factor <= 0.0:
            return np.zeros_like(parts)
        by = np.where(self.linear, math.sqrt(factor), factor)
        return np.asarray(np.where(parts >= BEYOND, BEYOND, parts * by))

    def joined(self, other: Shares) -> Shares:
        """Return the shares at the places of both."""
        return Shares(
            np.concatenate([self.points, other.points]),
            np.concatenate([self.parts, other.parts], axis=1),
            self.linear,
        )

    def part(self, rows: NDArray[np.intp]) -> Shares:
        """Return the shares at some of the places."""
        return Shares(self.points[rows], self.parts[:, rows], self.linear)


def shares(
    all_sources: Sequence[Source],
    limit_set: LimitSet,
    criteria: Sequence[Criterion],
    points: NDArray[np.float64],
) -> Shares:
    """Return what sources take of criteria at points (n, 3).

    Parameters
    ----------
    all_sources : sequence of Source
        At the power that is meant by full.
    limit_set : LimitSet
        The limits in force.
    criteria : sequence of Criterion
        What is to be reached.
    """
    columns = [
        (criterion, table, magnetic)
        for criterion in criteria
        for table in limit_set.of(criterion.tier)
        for magnetic in (False, True)
    ]
    linear = np.array([table.exponent == 1 for _, table, _ in columns])
    parts = np.zeros((len(all_sources), len(points), len(columns)))
    divisors = [criterion.divisors(all_sources) for criterion in criteria]
    for start in range(0, len(points), _CHUNK):
        rows = slice(start, start + _CHUNK)
        at = fields(all_sources, points[rows])
        for i, source in enumerate(all_sources):
            if source.power <= 0.0:
                continue
            f = source.carrier.frequency
            for j, (criterion, table, magnetic) in enumerate(columns):
                by = divisors[criteria.index(criterion)][i]
                w = weight(table.at(f), table, limit_set, f)
                quiet = np.zeros_like(at.reactive[i])
                both = split(at.e2[i] / by, at.h2[i] / by, quiet, w)
                part = both[1 if magnetic else 0] / (criterion.threshold * (1.0 - ROUNDING))
                parts[i, rows, j] = np.where(at.reactive[i], BEYOND, np.minimum(part, BEYOND))
    return Shares(points, parts, linear)
