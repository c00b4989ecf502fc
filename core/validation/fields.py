"""The distance tables: every kind against the reference fields, with and without what it adds."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from typing import Any

import numpy as np

from core.antennas.base import Kind
from core.antennas.mast import Mast
from core.antennas.mast_array import ArrayMast, MastArray
from core.antennas.whip import Whip
from core.arrays import Floats
from core.validation import data
from core.validation.case import NO_LIMIT
from core.validation.kinds import LOWEST_DB, errors, subjects
from core.validation.replay import replays
from core.validation.spread import METRES, WAVELENGTHS, DistanceTable, Row, row

Case = dict[str, Any]
"""One mast of am-monopoles.json."""


@lru_cache
def same_currents() -> DistanceTable:
    """Return superposition with the reference's own feed currents."""
    return DistanceTable(
        title="Exact fields with the feed currents of the reference",
        about="What the exact fields of the arms can do when the currents are known: no cover, no floor.",
        edges=WAVELENGTHS,
        unit="wavelengths",
        rows=replays(),
    )


@lru_cache
def free(*, conservative: bool) -> DistanceTable:
    """Return every kind but the masts on the reference antennas, by distance in wavelengths.

    Parameters
    ----------
    conservative : bool
        With the printed floors and decibels; else the best estimate.
    """
    rows = [errors(subject, conservative=conservative) for subject in subjects()]
    rows += whips(conservative=conservative)
    return DistanceTable(
        title="Conservative figures (what every map and reading shows)"
        if conservative
        else "Best estimates (without the printed cover and without floors)",
        about="With the decibels that every reading prints and the floors that fill nulls. May be high; may not "
        f"be more than {LOWEST_DB:g} dB low."
        if conservative
        else "Never shown unless asked for. In an ideal null a best estimate can be far too low; this table is "
        "why there are floors. Shown, not checked.",
        edges=WAVELENGTHS,
        unit="wavelengths",
        rows=tuple(rows),
    )


@lru_cache
def medium_wave(*, conservative: bool) -> DistanceTable:
    """Return masts, E and H apart, by distance in metres.

    Parameters
    ----------
    conservative : bool
        With the printed floors and decibels; else the best estimate.
    """
    return DistanceTable(
        title="AM masts, conservative figures, E and H apart"
        if conservative
        else "AM masts, best estimates, E and H apart",
        about="Below 3 MHz E and H have limits of their own. Points 1 to 2 m above perfect ground, 1 kW, "
        "0.55 to 1.6 MHz."
        + (f" May be high; may not be more than {LOWEST_DB:g} dB low." if conservative else ""),
        edges=METRES,
        unit="m",
        rows=tuple(_masts(conservative=conservative)),
    )


def _by_height() -> dict[float, list[Case]]:
    groups: dict[float, list[Case]] = {}
    for case in data.masts():
        groups.setdefault(case["height_wl"], []).append(case)
    return groups


def mast_of(case: Case, *, measured: bool) -> Mast:
    """Return the mast of a reference case, its base impedance given or estimated.

    Parameters
    ----------
    measured : bool
        The mast as the file has it.
    """
    resistance, reactance = case["solver"]["base_impedance_ohm"] if measured else (None, None)
    return Mast(
        height=case["height_m"],
        radius=case["tower_radius_m"],
        base_resistance=resistance,
        base_reactance=reactance,
    )


def mast_errors(kind: Kind, case: Case, *, conservative: bool) -> tuple[Floats, Floats, Floats]:
    """Return the errors of E and of H in dB and the distances in m, outside the trust distance.

    Parameters
    ----------
    kind : Kind
        The kind.
    case : Case
        The case.
    conservative : bool
        With the printed floors and decibels; else the best estimate.

    Returns
    -------
    tuple of arrays
        Each of the same shape as the arrays given.
    """
    rows = np.array(case["rows"])
    points = np.stack([0.6 * rows[:, 0], 0.8 * rows[:, 0], rows[:, 1]], axis=1)
    unit = kind.unit_field(points, case["frequency_hz"], conservative=conservative)
    e = data.decibels(unit.e2 * data.POWER / rows[:, 2] ** 2)
    h = data.decibels(unit.h2 * data.POWER / rows[:, 3] ** 2)
    trusted = ~unit.reactive
    return e[trusted], h[trusted], rows[trusted, 0]


def _masts(*, conservative: bool) -> list[Row]:
    rows: list[Row] = []
    for words, measured in (("base impedance given", True), ("base estimated", False)):
        for tall, group in _by_height().items():
            kinds: Sequence[Kind] = [mast_of(case, measured=measured) for case in group]
            rows += _mast_rows(
                kinds, group, f"{tall:g} λ, {words}", tall, conservative=conservative
            )
    every = data.masts()
    single = [
        MastArray(
            masts=(
                ArrayMast(
                    height=case["height_m"], field=1.0, phase=0.0, radius=case["tower_radius_m"]
                ),
            )
        )
        for case in every
    ]
    rows += _mast_rows(
        single, every, "array of one mast, all heights", 1.0, conservative=conservative
    )
    return rows


def _mast_rows(
    kinds: Sequence[Kind], group: Sequence[Case], words: str, tall: float, *, conservative: bool
) -> list[Row]:
    found = [
        mast_errors(kind, case, conservative=conservative)
        for kind, case in zip(kinds, group, strict=True)
    ]
    rows = []
    for i, field in enumerate(("E", "H")):
        low, high = LOWEST_DB, NO_LIMIT
        if not conservative:
            # The best estimate keeps near the reference: E everywhere, H up to just over a quarter wave.
            low, high = (
                (1.3, 3.1) if field == "E" else (1.4, 1.4) if tall < 0.4 else (NO_LIMIT,) * 2
            )
        parts = [(errors[i], errors[2]) for errors in found]
        rows.append(
            row(f"{kinds[0].KEY}, {field}", words, parts, METRES, low=low, high=high)
        )  # fmt: skip
    return rows


def whips(*, conservative: bool) -> list[Row]:
    """Return whips on the ground: the masts scaled down, S the larger of both, in wavelengths.

    For the same power S grows with the square of the scale. The points run from the foot outward, without
    nulls, so all of them count.

    Parameters
    ----------
    conservative : bool
        With the printed floors and decibels; else the best estimate.
    """
    rows = []
    for tall, group in _by_height().items():
        parts = []
        for case in group:
            scale = case["height_m"] / 2.5
            whip = Whip(length=2.5, mounting="ground", radius=case["tower_radius_m"] / scale)
            table = np.array(case["rows"])
            points = np.stack([table[:, 0], 0.0 * table[:, 0], table[:, 1]], axis=1) / scale
            unit = whip.unit_field(points, case["frequency_hz"] * scale, conservative=conservative)
            exact = np.maximum(table[:, 2] ** 2 / data.ETA_ROUND, table[:, 3] ** 2 * data.ETA_ROUND)
            error = data.decibels(unit.power_density / scale**2 * data.POWER / exact)
            pick = ~unit.reactive
            parts.append((error[pick], table[pick, 0] / case["wavelength_m"]))
        low = LOWEST_DB if conservative else NO_LIMIT
        rows.append(row(Whip.KEY, f"{tall:g} λ, on the ground", parts, low=low))
    return rows
