"""Families of antennas that nobody tuned the kinds for: FM bays of several shapes, a slant panel, Yagis, small ones.

Their fields are for 1 W; ``em/README.md`` says how they were computed. A figure counts where the reference is
within 20 dB of an even spread of the power over the antenna.
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np

from core.antennas.base import Kind
from core.antennas.worst_case import REFLECTION, WorstCase
from core.arrays import Bools, Floats, Points
from core.validation import data
from core.validation.case import COMPUTED, NO_LIMIT, Case, Topic
from core.validation.family_members import LOWEST_DB, Member, load, members
from core.validation.spread import WAVELENGTHS, DistanceTable, Row, row

GROUP = "Distance to 100 % occupational"
DIRECTIONS = ("front", "beside", "behind", "above", "below")
STEEP = 60.0
"""Degrees of the way past the upper or lower end that count as above or below."""
LIMIT = 10.0
"""W/m²: occupational, 47 CFR 1.1310 Table 1, 30 to 300 MHz; above 300 MHz the powers are scaled to it as well."""
AWAY_WAVELENGTHS = (1.0, 3.0, 10.0)
MOST_WATTS = 2e5
"""A null of the pattern that takes more than this to reach the limit is left out."""

LINES = {
    "on the axis below": "below",
    "on the axis above": "above",
    "straight below, over the dipoles": "below",
    "straight above, over the reflector": "above",
    "level ray, azimuth 180 deg": "behind",
    "level ray, azimuth 90 deg": "beside",
    "ahead, on the boom": "ahead",
    "behind, on the boom": "behind",
    "beside the middle": "beside",
    "below the middle": "below",
}
"""Straight lines away from the metal, and what the report calls them."""


def _rows(name: str) -> dict[str, Floats]:
    return {key: np.array(rows) for key, rows in load(name)["points"].items()}


def _density(rows: Floats) -> Floats:
    """Return the larger of E²/377 and 377 H² (n,) of rows x, y, z, metal_wl, E, H."""
    return data.reference(rows[:, [0, 1, 2, 4, 5]])


@lru_cache
def _errors(member: Member, *, conservative: bool) -> tuple[tuple[Floats, Floats], ...]:
    """Return for each of a member's lines the errors in dB that count, and their places (n, 6) as in the file."""
    kind = member.make()
    found = []
    for table in _rows(member.name).values():
        error, counts = _counted(member, kind, table, conservative=conservative)
        found.append((error[counts], table[counts]))
    return tuple(found)


def _counted(
    member: Member, kind: Kind, rows: Floats, *, conservative: bool
) -> tuple[Floats, Bools]:
    """Return the errors in dB (n,) and which of them count."""
    found = load(member.name)
    points = rows[:, :3] - np.array(member.middle)
    unit = kind.unit_field(points, found["frequency_hz"], conservative=conservative)
    exact = _density(rows)
    metal = kind.outline(found["frequency_hz"]).reshape(-1, 3)
    low, high = metal.min(axis=0), metal.max(axis=0)
    low, high = (
        np.where([False, False, True] if high[2] - low[2] > high[0] - low[0] else [True, False, False], v, 0.0)
        for v in (low, high)
    )  # fmt: skip
    share = (np.arange(33) + 0.5) / 33
    on = low + share[:, None] * (high - low)
    even = np.mean([1.0 / np.sum((points - q) ** 2, axis=1) for q in on], axis=0) / (4.0 * np.pi)
    shown = member.watts(kind) * unit.power_density
    return data.decibels(shown / exact), ~unit.reactive & (exact > 0.01 * even)


def directions(kind: Kind, frequency: float, points: Points) -> Floats:
    """Return the index (n,) of DIRECTIONS that points of the antenna frame lie in.

    Parameters
    ----------
    kind : Kind
        The antenna.
    frequency : float
        Hz.
    points : array, shape (n, 3)
        m.
    """
    metal = kind.outline(frequency).reshape(-1, 3)
    outside = np.maximum(np.abs(points) - np.abs(metal).max(axis=0), 0.0)
    steep = np.degrees(np.arctan2(outside[:, 2], np.hypot(outside[:, 0], outside[:, 1]) + 1e-9))
    turn = np.degrees(np.abs(np.arctan2(points[:, 1], points[:, 0])))
    level = np.where(turn < 60.0, 0.0, np.where(turn <= 120.0, 1.0, 2.0))
    return np.where(steep >= STEEP, np.where(points[:, 2] > 0.0, 3.0, 4.0), level)


@lru_cache
def by_distance(*, conservative: bool) -> DistanceTable:
    """Return every member's errors by distance in wavelengths, of best estimates or of ``conservative`` figures."""
    rows = [_row(member, conservative=conservative) for member in members()]
    rows.append(_small(conservative=conservative))
    return DistanceTable(
        title="Families, conservative figures" if conservative else "Families, best estimates",
        about="FM bays of several shapes with feeds of several kinds, a slant panel and Yagis, as antennas known by "
        "their gain and length and as their own kind; small antennas as worst cases, at their worst places. Points "
        "within 20 dB of an even spread of the power.",
        edges=WAVELENGTHS,
        unit="wavelengths",
        rows=tuple(rows),
    )


@lru_cache
def by_direction() -> DistanceTable:
    """Return every member's shown errors by direction."""
    edges = tuple(float(i) for i in range(len(DIRECTIONS) + 1))
    rows = []
    for member in members():
        kind, frequency = member.make(), load(member.name)["frequency_hz"]
        middle = np.array(member.middle)
        parts = [
            (error, directions(kind, frequency, places[:, :3] - middle))
            for error, places in _errors(member, conservative=True)
        ]
        rows.append(row(kind.KEY, member.words, parts, edges, low=member.lowest))
    return DistanceTable(
        title="Families, conservative figures by direction",
        about="The same points. Above and below: steeper than 60° past the antenna's end; front within 60° of the "
        "boresight, beside to 120°.",
        edges=edges,
        unit="direction",
        rows=tuple(rows),
        names=DIRECTIONS,
    )


def _row(member: Member, *, conservative: bool) -> Row:
    parts = [(error, places[:, 3]) for error, places in _errors(member, conservative=conservative)]
    low = member.lowest if conservative else NO_LIMIT
    return row(member.make().KEY, member.words, parts, low=low)


def _small(*, conservative: bool) -> Row:
    """Return the worst case at the strongest place of small antennas at each distance, reflection taken off."""
    found = load("small-antennas")
    lam, parts = found["wavelength_m"], []
    for antenna in found["antennas"].values():
        rows = np.array(antenna["worst"])
        # Rounding must not take the nearest places inside the trust distance.
        points = np.zeros((len(rows), 3))
        points[:, 0] = rows[:, 3] * lam * (1.0 + 1e-9)
        kind = WorstCase(gain=antenna["gain_max_dbi"], size=0.0)
        unit = kind.unit_field(points, found["frequency_hz"], conservative=conservative)
        error = data.decibels(unit.power_density / REFLECTION / _density(rows))
        parts.append((error[~unit.reactive], rows[~unit.reactive, 3]))
    low = LOWEST_DB if conservative else NO_LIMIT
    return row(WorstCase.KEY, f"{len(parts)} small antennas", parts, low=low)


def distances() -> tuple[Case, ...]:
    """Return where the shown figure falls to the limit, for powers for which the reference does at a few distances."""
    cases: list[Case] = []
    for member in members():
        kind = member.make()
        topic = Topic(
            group=GROUP, title=f"{member.words} ({kind.KEY})", status=COMPUTED, unit="m", law="field",
            source="thin-wire method of moments (em/README.md); 10 W/m²",
        )  # fmt: skip
        for key, rows in _rows(member.name).items():
            if key in LINES:
                cases += _crossings(member, kind, topic, LINES[key], rows)
    return tuple(cases)


def _crossings(member: Member, kind: Kind, topic: Topic, words: str, rows: Floats) -> list[Case]:
    found = load(member.name)
    lam = found["wavelength_m"]
    rows = rows[np.argsort(rows[:, 3])]
    away, exact = rows[:, 3], _density(rows)
    # The line goes on straight, past the last place of the reference.
    way = rows[-1, :3] - rows[0, :3]
    way = way / np.linalg.norm(way)
    fine = np.geomspace(away[0], 30.0 * away[-1], 1200)
    points = rows[0, :3] + ((fine - away[0]) * lam)[:, None] * way - np.array(member.middle)
    shown = kind.unit_field(points, found["frequency_hz"], conservative=True).power_density
    shown = shown * member.watts(kind)
    dense = np.exp(np.interp(np.log(fine), np.log(away), np.log(exact)))
    dense[fine > away[-1]] = 0.0
    cases = []
    for wl in AWAY_WAVELENGTHS:
        if not away[0] < wl < away[-1]:
            continue
        level = float(np.interp(wl, fine, dense))
        truth, ours = (float(fine[np.flatnonzero(v >= level)[-1]]) * lam for v in (dense, shown))
        watts = LIMIT / level
        if watts > MOST_WATTS:
            continue
        cases.append(
            topic.case(f"{words}, {watts:.3g} W", "distance from the metal", truth, ours, low=0.5)
        )  # fmt: skip
    return cases
