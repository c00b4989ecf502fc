"""Readings of surveys against the models, and how far a reading above its prediction raises what is shown.

The rule. A reading whose value is above the prediction for the states of then, and that nobody has explained, raises
every place within :attr:`Raise.radius` of it. There the total P of the models becomes P + max(δ, (k - 1) P): k is how
many times the prediction the reading is, δ the excess as a fraction of the limit, both at the upper end of the
instrument's uncertainty. The factor stands for an emitter on the list that is stronger than entered, the sum for one
that is not on the list; nobody knows which, so the larger counts. As the frequency of the excess is not known δ is held
against the strictest limit of the set; an excess in percent of another limit is converted at the carrier of the site
where it makes most. The radius is that of common practice without a source: ten metres, or
one wavelength of the longest wave on the site if that is more. Of several readings the largest raise counts, so that
one reading more never lowers a figure, and a reading below its prediction changes nothing.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np

from core.arrays import Bools, Floats, Points
from core.exposure.fractions import Exposure, modelled, split, weight
from core.limits.model import EDGE, LimitSet, LimitTable
from core.limits.sets import get_set
from core.limits.tier import Tier, tier_of
from core.site.site import Site
from core.site.state import Condition, State
from core.site.surveys import Measured, value_words
from core.units import ETA0, from_db, show_percent, to_db, wavelength
from core.views.body import POINT, Body

_ABSENT = State(Condition.OFF)

NEAR = 10.0
"""m about a reading within which it raises what is shown (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Comparison:
    """One reading beside its prediction.

    ``predicted`` is in the unit of :attr:`core.site.surveys.Measured.power`, for the states of then; None inside a
    reactive region, where there is no figure.
    """

    survey: str
    reading: Measured
    predicted: float | None

    @property
    def error_db(self) -> float | None:
        """How far the prediction is above the reading, dB; minus is low. None where one of them is nothing."""
        if not self.predicted or not self.reading.power:
            return None
        return to_db(self.predicted / self.reading.power)

    @property
    def is_above(self) -> bool:
        """Whether the reading is above its prediction."""
        return self.predicted is not None and self.reading.power > self.predicted

    @property
    def predicted_words(self) -> str:
        """The prediction in the reading's unit."""
        if self.predicted is None:
            return "no figure"
        return value_words(self.reading.shown(self.predicted), self.reading)


@dataclass(frozen=True, slots=True)
class Raise:
    """What one unexplained reading does to the places about it.

    Attributes
    ----------
    comparison : Comparison
        The reading and its prediction.
    radius : float
        m about the reading's place.
    factor : float
        How many times the models' total counts at least.
    public, occupational : float
        Fraction of the limit that is added at least.
    """

    comparison: Comparison
    radius: float
    factor: float
    public: float
    occupational: float

    @property
    def place(self) -> tuple[float, float, float]:
        """Where it was read, m."""
        return self.comparison.reading.position

    @property
    def name(self) -> str:
        """Survey and reading."""
        return f"{self.comparison.survey}, {self.comparison.reading.name}"

    def of(self, tier: Tier) -> float:
        """Return what is added at least, as a fraction of a tier's limit."""
        return self.public if tier == "public" else self.occupational

    def lowered(self, threshold: float, tier: Tier) -> float:
        """Return what the models' total must stay under for the raised one to stay under a threshold.

        Not over 0 where no total does.

        Parameters
        ----------
        threshold : float
            Fraction of the limit.
        """
        return min(threshold - self.of(tier), threshold / self.factor)

    def words(self, key: str) -> str:
        """Return the raise in one sentence.

        Parameters
        ----------
        key : str
            Of the limit set.
        """
        one = self.comparison
        x, y, z = self.place
        return (
            f"RAISED within {self.radius:.0f} m of {x:g}, {y:g}, {z:g} m: {self.name} read {one.reading.words} "
            f"(±{one.reading.uncertainty:g} dB), predicted {one.predicted_words}; every figure there counts "
            f"{self.factor:.3g} times, at least {show_percent(self.public)} of {key} public and "
            f"{show_percent(self.occupational)} of {key} occupational more, until the reading is explained"
        )


def comparisons(site: Site) -> tuple[Comparison, ...]:
    """Return every reading of a site's surveys beside its prediction, in their order.

    Raises
    ------
    InputError
        If the site's powers or frequencies are inconsistent.
    """
    readings = [(s.name, r) for s in site.surveys for r in s.readings]
    predicted: list[float | None] = [None] * len(readings)
    alike: dict[tuple[object, ...], list[int]] = {}
    for i, (_, reading) in enumerate(readings):
        alike.setdefault((reading.states, reading.limit_set or site.limit_set), []).append(i)
    for members in alike.values():
        first = readings[members[0]][1]
        then = as_it_was(site, first)
        points = np.array([readings[i][1].position for i in members], dtype=np.float64)
        found = modelled(then, points, POINT, whole=True)
        for column, i in enumerate(members):
            predicted[i] = _predicted(found, column, readings[i][1])
    return tuple(
        Comparison(survey, reading, value)
        for (survey, reading), value in zip(readings, predicted, strict=True)
    )


def as_it_was(site: Site, reading: Measured) -> Site:
    """Return the site with the states of a reading, and the limit set it was read against; without surveys.

    Parameters
    ----------
    reading : Measured
        The reading. An antenna that its states do not name counts as silent: it was not there.
    """
    then = dict(reading.states)
    antennas = tuple(replace(a, state=then.get(a.name, _ABSENT)) for a in site.antennas)
    key = reading.limit_set if reading.unit == "%" else site.limit_set
    return replace(site, antennas=antennas, surveys=(), limit_set=key)


def _predicted(found: Exposure, column: int, reading: Measured) -> float | None:
    """Return the prediction at one place in the unit of the reading's power."""
    if found.reactive[column]:
        return None
    e2, h2 = found.fields.e2[:, column], found.fields.h2[:, column]
    if reading.unit == "%":
        return float(found.of(reading.tier).total[column])
    if reading.unit == "V/m":
        return float(e2.sum())
    if reading.unit == "A/m":
        return float(h2.sum())
    return float(np.maximum(e2 / ETA0, h2 * ETA0).sum())


def raises(site: Site) -> tuple[Raise, ...]:
    """Return what the unexplained readings above their prediction raise; none where no survey is kept.

    Raises
    ------
    InputError
        If the site's powers or frequencies are inconsistent.
    """
    return _raises(site) if site.surveys else ()


@lru_cache(maxsize=16)
def _raises(site: Site) -> tuple[Raise, ...]:
    carriers = tuple(sorted({c.frequency for a in site.antennas for c in a.carriers}))
    radius = max([NEAR, *(wavelength(f) for f in carriers[:1])])
    limits = get_set(site.limit_set)
    found = []
    for one in comparisons(site):
        if not one.is_above or one.reading.explained.strip():
            continue
        assert one.predicted is not None
        upper = one.reading.power * from_db(one.reading.uncertainty)
        excess = upper - one.predicted
        found.append(
            Raise(
                one,
                radius,
                upper / one.predicted if one.predicted else 1.0,
                _most(one.reading, excess, limits, "public", carriers),
                _most(one.reading, excess, limits, "occupational", carriers),
            )
        )
    return tuple(found)


def _most(
    reading: Measured, excess: float, limits: LimitSet, tier: Tier, carriers: tuple[float, ...]
) -> float:
    """Return the largest fraction of a tier's limit that an excess can be; ``carriers`` are frequencies in Hz."""
    if reading.unit == "%" and (reading.limit_set, reading.tier) == (limits.key, tier):
        return excess
    read_against = f"{reading.limit_set} {reading.tier}" if reading.unit == "%" else ""
    squared, linear = _strictest(reading.squares, read_against, limits.key, tier, carriers)
    return max(squared * excess, linear * math.sqrt(excess))


@lru_cache(maxsize=64)
def _strictest(
    squares: tuple[float, float],
    read_against: str,
    key: str,
    tier: Tier,
    carriers: tuple[float, ...],
) -> tuple[float, float]:
    """Return the largest fraction that an excess of 1 makes of squared tables, and of linear ones.

    At any frequency; a percent of another limit at any of the carriers of the site, in Hz.
    """
    limits = get_set(key)
    other, _, other_tier = read_against.partition(" ")
    read_set = get_set(other) if other else None
    shapes = [squares]
    if read_set is not None:
        # A percent of another limit: as a plane wave, or of either field alone.
        shapes = [(1.0, 1.0 / ETA0**2), (1.0, 0.0), (0.0, 1.0)]
    most = {2: 0.0, 1: 0.0}
    for frequency in carriers if read_set is not None else _frequencies(limits):
        for e2, h2 in shapes:
            scale = 1.0
            if read_set is not None:
                one = max(
                    _fraction(e2, h2, t, read_set, frequency)
                    for t in read_set.of(tier_of(other_tier))
                    if t.exponent == 2
                )
                if one == 0.0:
                    continue
                scale = 1.0 / one
            for table in limits.of(tier):
                part = _fraction(scale * e2, scale * h2, table, limits, frequency)
                most[table.exponent] = max(most[table.exponent], part)
    return most[2], most[1]


def _frequencies(limits: LimitSet) -> list[float]:
    """Return the edges of every row in Hz, from both sides: laws are powers of the frequency between them."""
    edges = {edge for t in limits.tables for row in t.rows for edge in (row.low_hz, row.high_hz)}
    return [
        edge * (1.0 + side) for edge in edges if edge > 0.0 for side in (-4 * EDGE, 0.0, 4 * EDGE)
    ]


def _fraction(e2: float, h2: float, table: LimitTable, limits: LimitSet, frequency: float) -> float:
    """Return the fraction that a field makes of a table at a frequency in Hz."""
    w = weight(table.at(frequency), table, limits, frequency)
    electric, magnetic = split(np.array([e2]), np.array([h2]), np.zeros(1, bool), w)
    return max(float(electric[0]), float(magnetic[0]))


def within(one: Raise, foot: Points, body: Body) -> Bools:
    """Return which bodies (n,) with their foot at points (n, 3) a raise applies to: any height of them counts.

    Parameters
    ----------
    one : Raise
        The raise.
    body : Body
        The column of heights that is exposed.
    """
    x, y, z = one.place
    apart = vertical_gap(z, foot[:, 2], body)
    square = (foot[:, 0] - x) ** 2 + (foot[:, 1] - y) ** 2 + apart**2
    return np.asarray(square <= one.radius**2)


def vertical_gap(z: float, foot: Floats, body: Body) -> Floats:
    """Return how far above or below the columns of bodies a height is, shape (n,), m; 0 beside them.

    Parameters
    ----------
    z : float
        m above the site datum.
    foot : array
        Where the columns begin, m.
    body : Body
        The column of heights that is exposed.
    """
    low, high = foot + min(body.heights), foot + max(body.heights)
    return np.asarray(np.maximum(np.maximum(low - z, z - high), 0.0))


def added(
    all_raises: Sequence[Raise], foot: Points, body: Body, total: Floats, tier: Tier
) -> Floats:
    """Return what is added to the models' totals (n,) of bodies at points (n, 3).

    Parameters
    ----------
    all_raises : sequence of Raise
        Those of the site.
    foot : array, shape (n, 3)
        Where the bodies begin, m.
    body : Body
        The column of heights that is exposed.
    total : array, shape (n,)
        Fractions of the tier's limit.
    """
    most = np.zeros_like(total)
    for one in all_raises:
        more = np.maximum(one.of(tier), (one.factor - 1.0) * total).astype(total.dtype)
        np.maximum(most, np.where(within(one, foot, body), more, 0.0), out=most)
    return most


def raised_words(site: Site, most: int = 3) -> tuple[str, ...]:
    """Return what every page of the site has to say about its raised places, in sentences; the largest first.

    Parameters
    ----------
    most : int
        Places that are said one by one.
    """
    found = sorted(raises(site), key=lambda one: -one.factor)
    lines = [one.words(site.limit_set) for one in found[:most]]
    if len(found) > most:
        lines.append(
            f"RAISED about {len(found) - most} more readings of surveys that nobody has explained"
        )
    if found:
        lines.append(
            "A reading above its prediction means that the list of emitters or a model is wrong there, and perhaps "
            "elsewhere: find the cause before anybody relies on the map"
        )
    return tuple(lines)


def raises_at(site: Site, position: tuple[float, float, float], body: Body) -> tuple[Raise, ...]:
    """Return the raises that apply to one body, the largest factor first.

    Parameters
    ----------
    site : Site
        The site.
    position : (x, y, z)
        Of the body's foot, m.
    body : Body
        The column of heights that is exposed.
    """
    foot = np.array([position], dtype=np.float64)
    found = [one for one in raises(site) if within(one, foot, body)[0]]
    return tuple(sorted(found, key=lambda one: -one.factor))
