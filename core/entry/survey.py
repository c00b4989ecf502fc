"""A survey beside its prediction: how far off the map is, where it is raised, and which readings may confirm it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import timedelta
from typing import Any

import numpy as np

from core.exposure.fractions import modelled
from core.exposure.surveyed import Comparison, Raise, as_it_was, comparisons, raises
from core.site.places import check_unique
from core.site.site import Site
from core.site.state import Condition
from core.site.surveys import Survey, check_time
from core.text import some
from core.units import show_percent
from core.views.body import POINT

CALIBRATED_FOR = timedelta(days=366)
"""How long a calibration is taken to hold (common practice, no source: the maker's interval decides)."""

_UNSURE = (Condition.STANDBY, Condition.UNKNOWN)

PRACTICE = (
    "A reading below its prediction lowers nothing by itself. It may stand in place of the calculation only where the "
    "instrument was in calibration and right for the bands, the user trained, every source known to be at its most "
    "(or the reading scaled up to it), all the places to be occupied covered, and the highest place of each found.",
    "Where the state of a source was not known, or it ran below its most, the calculation stands over a lower reading.",
    "Several readings at one place add as fractions of each limit, not as volts per metre.",
    "A screening survey can set a boundary; where people come close to the limit a detailed one is needed.",
)
"""When a measurement may override a calculation (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class SurveyReport:
    """Readings beside their predictions.

    Attributes
    ----------
    limit_set : str
        Key of the site's limits.
    comparisons : tuple of Comparison
        Every reading that could be used.
    raises : tuple of Raise
        What those above their prediction, and not explained, raise.
    bias_db, scatter_db, worst_low_db : float or None
        Mean, standard deviation and least of the predictions' errors in dB: minus is low. None where nothing
        can be compared (the scatter needs two).
    predicted : tuple of float or None
        The prediction of each as a fraction of the site's occupational limit; None where there is no figure.
    """

    limit_set: str
    comparisons: tuple[Comparison, ...]
    raises: tuple[Raise, ...]
    bias_db: float | None
    scatter_db: float | None
    worst_low_db: float | None
    predicted: tuple[float | None, ...] = ()


@dataclass(frozen=True, slots=True)
class Pair:
    """One reading as a point of a plot: what was read and predicted, percent of the occupational limit."""

    name: str
    predicted: float
    read: float
    raised: bool


def pairs(report: SurveyReport) -> tuple[Pair, ...]:
    """Return the readings as points of a plot; those without a figure on one of the two sides have none.

    A reading in another unit is as many times the predicted percent as it is times its own prediction.

    Parameters
    ----------
    report : SurveyReport
        The readings beside their predictions.
    """
    raised = {(r.comparison.survey, r.comparison.reading.name) for r in report.raises}
    out = []
    for one, fraction in zip(report.comparisons, report.predicted, strict=True):
        if not fraction or not one.predicted or not one.reading.power:
            continue
        key = one.survey, one.reading.name
        percent = 100.0 * fraction
        times = one.reading.power / one.predicted
        out.append(Pair(one.reading.name, percent, times * percent, key in raised))
    return tuple(out)


def _fractions(site: Site, compared: Sequence[Comparison]) -> tuple[float | None, ...]:
    """Return the prediction at each reading as a fraction of the site's occupational limit, states as of then."""
    out: list[float | None] = [None] * len(compared)
    alike: dict[object, list[int]] = {}
    for i, one in enumerate(compared):
        if one.predicted is not None:
            alike.setdefault(one.reading.states, []).append(i)
    for members in alike.values():
        then = replace(as_it_was(site, compared[members[0]].reading), limit_set=site.limit_set)
        points = np.array([compared[i].reading.position for i in members], dtype=np.float64)
        found = modelled(then, points, POINT).occupational.total
        for column, i in enumerate(members):
            out[i] = float(found[column])
    return tuple(out)


def survey_report(site: Site, survey: Survey | None = None) -> SurveyReport:
    """Return the readings of a survey beside their predictions, or those of all that the site keeps.

    Parameters
    ----------
    survey : Survey or None
        One that the site need not keep.

    Raises
    ------
    InputError
        If the site's powers or frequencies are inconsistent.
    """
    asked = site if survey is None else replace(site, surveys=(survey,))
    compared = comparisons(asked)
    errors = [c.error_db for c in compared if c.error_db is not None]
    mean = math.fsum(errors) / len(errors) if errors else None
    scatter = None
    if mean is not None and len(errors) > 1:
        scatter = math.sqrt(math.fsum((e - mean) ** 2 for e in errors) / (len(errors) - 1))
    return SurveyReport(
        site.limit_set,
        compared,
        raises(asked),
        mean,
        scatter,
        min(errors, default=None),
        _fractions(asked, compared),
    )


def kept(site: Site, survey: Survey) -> Site:
    """Return the site with a survey kept in it.

    Raises
    ------
    InputError
        If it has one of that name, or too many readings.
    """
    check_unique([s.name for s in (*site.surveys, survey)], "surveys", "survey")
    return replace(site, surveys=(*site.surveys, survey))


def doubts_of(one: Comparison) -> tuple[str, ...]:
    """Return why a reading cannot stand in place of the calculation, in words.

    Parameters
    ----------
    one : Comparison
        The reading with its prediction.
    """
    reading = one.reading
    out = []
    unknown = [name for name, state in reading.states if state.condition in _UNSURE]
    less = [name for name, state in reading.states if state.factor < 1.0]
    if unknown:
        out.append(f"state of {some(unknown, 1)} not known")
    if less:
        out.append(f"{some(less, 1)} not at full power")
    calibrated, read_on = check_time(reading.calibrated, ""), check_time(reading.time, "")
    if calibrated is None or not reading.instrument:
        out.append("instrument or its calibration not recorded")
    elif read_on is None:
        out.append("time of the reading not recorded")
    elif read_on.date() - calibrated.date() > CALIBRATED_FOR:
        out.append("calibrated more than a year before")
    if one.predicted is None:
        out.append("inside a reactive region: no figure to compare with")
    return tuple(out)


def as_text(report: SurveyReport) -> str:
    """Return the report as text: what it says, a table, the raised places, the words of practice."""
    lines = [*summary(report), ""]
    rows = [("reading", "x, y, z in m", "read", "predicted", "error", "")]
    for one in report.comparisons:
        error = "" if one.error_db is None else f"{one.error_db:+.1f} dB"
        place = ", ".join(f"{v:g}" for v in one.reading.position)
        rows.append((one.reading.name, place, one.reading.words, one.predicted_words, error, note_of(one)))  # fmt: skip
    widths = [max(len(row[i]) for row in rows) for i in range(5)]
    for row in rows:
        cells = [cell.ljust(width) for cell, width in zip(row[:5], widths, strict=True)]
        lines.append("  ".join([*cells, row[5]]).rstrip())
    lines += ["", *(f"{r.words(report.limit_set)}." for r in report.raises)]
    doubtful = [doubts_of(c) for c in report.comparisons]
    count = sum(1 for d in doubtful if d)
    if count:
        reasons = dict.fromkeys(reason for d in doubtful for reason in d)
        lines.append(
            f"{count} of {len(doubtful)} readings cannot stand in place of the calculation: {'; '.join(reasons)}."
        )
    lines += list(PRACTICE)
    return "\n".join(lines) + "\n"


def note_of(one: Comparison) -> str:
    """Return what the table says beside a reading: whether it is above, and whether that is explained.

    Parameters
    ----------
    one : Comparison
        The reading with its prediction.
    """
    if one.predicted is None:
        return "no figure there"
    if not one.is_above:
        return ""
    return f"above: {one.reading.explained}" if one.reading.explained.strip() else "ABOVE, raised"


def summary(report: SurveyReport) -> tuple[str, ...]:
    """Return what a survey says in a few lines.

    Parameters
    ----------
    report : SurveyReport
        The readings beside their predictions.
    """
    count = len(report.comparisons)
    above = [c for c in report.comparisons if c.is_above]
    lines = [
        f"{count} reading{'' if count == 1 else 's'}: {len(above)} above the prediction, "
        f"{len(report.raises)} of them not explained"
    ]
    if report.bias_db is not None:
        assert report.worst_low_db is not None
        scatter = "" if report.scatter_db is None else f", scatter {report.scatter_db:.1f} dB"
        lines.append(
            f"Prediction less reading (minus is low): bias {report.bias_db:+.1f} dB{scatter}, lowest "
            f"{report.worst_low_db:+.1f} dB"
        )
    if report.raises:
        worst = max(report.raises, key=lambda r: r.factor)
        places = "place" if len(report.raises) == 1 else "places"
        lines.append(
            f"The map is RAISED about {len(report.raises)} {places}, most at {worst.name}: {worst.factor:.3g} times, "
            f"at least {show_percent(worst.public)} of {report.limit_set} public more"
        )
    return tuple(lines)


def as_data(report: SurveyReport) -> dict[str, Any]:
    """Return the report as JSON-ready data; errors are of the prediction, minus is low."""
    return {
        "limit_set": report.limit_set,
        "rows": [_row(one) for one in report.comparisons],
        "bias_db": report.bias_db,
        "scatter_db": report.scatter_db,
        "worst_low_db": report.worst_low_db,
        "raised": [_place(one, report.limit_set) for one in report.raises],
        "practice": list(PRACTICE),
    }


def _at(position: tuple[float, float, float]) -> dict[str, float]:
    return dict(zip("xyz", position, strict=True))


def _row(one: Comparison) -> dict[str, object]:
    r = one.reading
    return {
        "name": r.name,
        "at": _at(r.position),
        "unit": f"% {r.limit_set} {r.tier}" if r.unit == "%" else r.unit,
        "measured": r.value,
        "uncertainty_db": r.uncertainty,
        "predicted": None if one.predicted is None else r.shown(one.predicted),
        "error_db": one.error_db,
        "above": one.is_above,
        "explained": r.explained,
        "doubts": list(doubts_of(one)),
    }


def _place(one: Raise, key: str) -> dict[str, object]:
    return {
        "name": one.comparison.reading.name,
        "at": _at(one.place),
        "radius_m": one.radius,
        "factor": one.factor,
        "added_percent": {"public": 100.0 * one.public, "occupational": 100.0 * one.occupational},
        "words": one.words(key),
    }
