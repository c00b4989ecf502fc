"""Families of antennas that nobody tuned the kinds for: FM bays of several shapes, a slant panel, Yagis, small ones.

Their fields are for 1 W; ``em/README.md`` says how they were computed. A figure counts where the reference is
within 20 dB of an even spread of the power over the antenna.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import numpy as np

from core.antennas.base import Kind
from core.antennas.measured import Measured
from core.antennas.stack import Stack
from core.antennas.worst_case import REFLECTION, WorstCase
from core.antennas.yagi import Yagi
from core.arrays import Bools, Floats, Points
from core.patterns.model import Cut, Grid, PatternData, wrap
from core.validation import data
from core.validation.case import COMPUTED, NO_LIMIT, Case, Topic
from core.validation.spread import WAVELENGTHS, DistanceTable, Row, row

LOWEST_DB, CUTS_DB = 0.5, 1.3
"""How far a figure may lie below the reference, and from two cuts, whose plane may not be the strongest."""

GROUP = "Distance to 100 % occupational"
DIRECTIONS = ("front", "beside", "behind", "above", "below")
STEEP = 60.0
"""Degrees of the way past the upper or lower end that count as above or below."""
LIMIT = 10.0
"""W/m²: occupational, 47 CFR 1.1310 Table 1, 30 to 300 MHz; above 300 MHz the powers are scaled to it as well."""
AWAY_WAVELENGTHS = (1.0, 3.0, 10.0)
MOST_WATTS = 2e5
"""A null of the pattern that takes more than this to reach the limit is left out."""

STACKS = {
    "fm-crossed-v-8x-1wl-98mhz": "8 crossed-V bays",
    "fm-slant-pair-12x-1wl-98mhz": "12 bays of two slanted dipoles",
    "fm-ring-stub-8x-1wl-94mhz": "8 stubbed rings",
    "fm-helix-4x-1wl-94mhz": "4 helical turns",
    "fm-array-crossed-v-nullfill-6x-1wl-98mhz": "6 crossed-V bays, null fill",
    "fm-array-vertical-dipole-cosine-8x-0.9wl-98mhz": "8 dipoles, cosine taper",
    "fm-array-vertical-dipole-decay-6x-0.85wl-160mhz": "6 dipoles fed from one end",
}
PANELS = {"panel-5x-0.8wl-3deg-850mhz": "slant panel of 5"}
YAGIS = {
    "yagi-3el-145mhz": "Yagi of 3",
    "yagi-5el-150mhz": "Yagi of 5",
    "yagi-10el-440mhz": "Yagi of 10",
}
BAYS: dict[str, dict[str, Any]] = {
    "fm-crossed-v-8x-1wl-98mhz": {"bay": "crossed-v", "bend": 30.0},
    "fm-slant-pair-12x-1wl-98mhz": {"bay": "slant-pair"},
    "fm-ring-stub-8x-1wl-94mhz": {"bay": "ring-stub"},
    "fm-helix-4x-1wl-94mhz": {"bay": "helix"},
}
"""The shapes of bays, as a user would say them."""
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


@dataclass(frozen=True, slots=True, kw_only=True)
class Member:
    """A kind set up as one antenna of a family; ``middle`` is its place in the reference's frame.

    With ``by_erp`` its power is given as that of the reference's horizon, else as 1 W.
    """

    name: str
    words: str
    make: Callable[[], Kind]
    middle: tuple[float, float, float] = (0.0, 0.0, 0.0)
    lowest: float = LOWEST_DB
    by_erp: bool = False

    def watts(self, kind: Kind) -> float:
        """Return the power the kind is taken to radiate."""
        if not self.by_erp:
            return 1.0
        level, _, elevation = _gain(self.name)
        horizon = float(np.mean(10.0 ** (level[elevation == 0.0] / 10.0)))
        return horizon / kind.licence_gain(_load(self.name)["frequency_hz"])


def _load(name: str) -> dict[str, Any]:
    return data.load(f"family-{name}")


def _rows(name: str) -> dict[str, Floats]:
    return {key: np.array(rows) for key, rows in _load(name)["points"].items()}


def _density(rows: Floats) -> Floats:
    """Return the larger of E²/377 and 377 H² (n,) of rows x, y, z, metal_wl, E, H."""
    return data.reference(rows[:, [0, 1, 2, 4, 5]])


def table_of(name: str) -> PatternData:
    """Return the gain of an antenna as a file that holds every direction.

    Parameters
    ----------
    name : str
        Of the reference file, without ``family-``.
    """
    level, azimuth, elevation = _gain(name)
    frequency = _load(name)["frequency_hz"]
    return PatternData(
        name="invented",
        frequency=frequency,
        band=(0.98 * frequency, 1.02 * frequency),
        gain=float(level.max()),
        grid=Grid(azimuth, elevation, level, np.zeros(level.shape, bool)),
    )


def cuts_of(name: str) -> PatternData:
    """Return the two cuts of an antenna: round the horizon, and up and down through its front.

    Parameters
    ----------
    name : str
        Of the reference file, without ``family-``.
    """
    level, azimuth, elevation = _gain(name)
    frequency = _load(name)["frequency_hz"]
    front, back = level[:, azimuth == 0.0][:, 0], level[:, azimuth == -180.0][:, 0]
    up = np.concatenate([elevation, 180.0 - elevation[1:-1]])
    levels = np.concatenate([front, back[1:-1]])
    order = np.argsort(wrap(up))
    fine = np.arange(-180.0, 180.0, 5.0)
    level_round = np.interp(fine, azimuth, level[len(elevation) // 2], period=360.0)
    gain = float(level.max())
    return PatternData(
        name="invented",
        frequency=frequency,
        band=(0.98 * frequency, 1.02 * frequency),
        gain=gain,
        azimuth=Cut(fine, gain - level_round),
        elevation=Cut(wrap(up)[order], gain - levels[order]),
    )


def _gain(name: str) -> tuple[Floats, Floats, Floats]:
    """Return gain (dBi) over azimuth (clockwise) and elevation, both ascending."""
    given = _load(name)["gain"]
    level = np.array(given["tenths"]) / 10.0
    if len(level) == 1:
        level = np.repeat(level, 2, axis=0)
        given = {**given, "phi_step": 180.0}
    azimuth = wrap(-given["phi_step"] * np.arange(len(level)))
    order = np.argsort(azimuth)
    elevation = np.linspace(-90.0, 90.0, level.shape[1])
    return level[order].T[::-1], azimuth[order], elevation


def _measured(name: str, pattern: Callable[[str], PatternData]) -> Measured:
    found = _load(name)
    given, lam = found["antenna"], found["wavelength_m"]
    along = "boom_m" in given
    if "reflector_height_m" in given:
        length, width = given["reflector_height_m"], given["reflector_width_m"]
    else:
        length = given["boom_m"] if along else given["length_m"]
        width = 0.5 * lam if along else 2.0 * given["radius_m"]
    return Measured(
        file="gain of the reference",
        length=length,
        width=width,
        runs="boresight" if along else "upright",
        feed="series" if "decay" in name else "branched",
        data=pattern(name),
    )


def _yagi(name: str) -> Yagi:
    given = _load(name)["antenna"]
    return Yagi(gain=given["gain_max_dbi"], boom=given["boom_m"], elements=given["elements"])


def _stack(name: str, shape: dict[str, Any]) -> Stack:
    found = _load(name)
    given = found["antenna"]
    return Stack(
        bays=given["bays"],
        spacing=given["spacing_wl"],
        design_frequency=found["frequency_hz"],
        **shape,
    )


def _middle(name: str) -> tuple[float, float, float]:
    """Between dipoles and reflector of a panel, whose dipoles are at x = 0."""
    found = _load(name)
    return (-0.5 * found["antenna"].get("stand_off_wl", 0.0) * found["wavelength_m"], 0.0, 0.0)


@lru_cache
def members() -> tuple[Member, ...]:
    """Return every kind on every antenna it can stand for."""
    every = STACKS | PANELS | YAGIS

    def pattern(name: str, build: Callable[[str], PatternData], how: str, low: float) -> Member:
        return Member(
            name=name,
            words=f"{every[name]}, {how}",
            make=lambda: _measured(name, build),
            middle=_middle(name),
            lowest=low,
        )

    def as_yagi(name: str) -> Member:
        return Member(name=name, words=YAGIS[name], make=lambda: _yagi(name))

    def as_stack(name: str, shape: dict[str, Any], how: str, *, by_erp: bool) -> Member:
        return Member(
            name=name,
            words=f"{STACKS[name]}, {how}",
            make=lambda: _stack(name, shape),
            by_erp=by_erp,
        )

    unknown: dict[str, Any] = {"bay": "circular"}
    shaped = [name for name in every if "vertical-dipole" not in name]
    return (
        *(pattern(name, table_of, "full table", LOWEST_DB) for name in every),
        *(pattern(name, cuts_of, "two cuts", CUTS_DB) for name in shaped),
        *(as_yagi(name) for name in YAGIS),
        *(as_stack(name, shape, "shape known", by_erp=False) for name, shape in BAYS.items()),
        *(as_stack(name, unknown, "shape not known", by_erp=False) for name in BAYS),
        *(as_stack(name, unknown, "shape not known, by ERP", by_erp=True) for name in BAYS),
    )


def _counted(
    member: Member, kind: Kind, rows: Floats, *, conservative: bool
) -> tuple[Floats, Bools]:
    """Return the errors in dB (n,) and which of them count."""
    found = _load(member.name)
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
        kind, frequency = member.make(), _load(member.name)["frequency_hz"]
        parts = []
        for table in _rows(member.name).values():
            error, counts = _counted(member, kind, table, conservative=True)
            where = directions(kind, frequency, table[:, :3] - np.array(member.middle))
            parts.append((error[counts], where[counts]))
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
    kind = member.make()
    parts = []
    for table in _rows(member.name).values():
        error, counts = _counted(member, kind, table, conservative=conservative)
        parts.append((error[counts], table[counts, 3]))
    low = member.lowest if conservative else NO_LIMIT
    return row(kind.KEY, member.words, parts, low=low)


def _small(*, conservative: bool) -> Row:
    """Return the worst case at the strongest place of small antennas at each distance, reflection taken off."""
    found = _load("small-antennas")
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
    found = _load(member.name)
    lam = found["wavelength_m"]
    rows = rows[np.argsort(rows[:, 3])]
    away, exact = rows[:, 3], _density(rows)
    # The line goes on straight, past the last place of the reference.
    way = rows[-1, :3] - rows[0, :3]
    way = way / np.linalg.norm(way)
    fine = np.geomspace(away[0], 30.0 * away[-1], 4000)
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
