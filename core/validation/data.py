"""The reference fields that come with the program, and how a figure is held against them.

They were computed for this project; ``em/README.md`` says how, and how good they are.
"""

from __future__ import annotations

import json
from functools import lru_cache
from pathlib import Path
from typing import Any

import numpy as np

from core.arrays import Bools, Floats, Points
from core.geometry import segment_distance

EM = Path(__file__).parent / "em"
PATTERNS = Path(__file__).parent / "patterns"

POWER = 1000.0
"""W radiated in every reference field."""
ETA_ROUND = 377.0
"""Ohm, as the reference files use it for their power densities."""
RANGE_DB = 20.0
"""Only points within this of the largest of their set count: in a null the reference itself is uncertain."""


@lru_cache
def load(name: str) -> dict[str, Any]:
    """Return a reference file as it stands.

    Parameters
    ----------
    name : str
        As it is called in the data or the file.
    """
    found: dict[str, Any] = json.loads((EM / f"{name}.json").read_text("utf-8"))
    return found


@lru_cache
def sets(name: str) -> dict[str, Floats]:
    """Return the point sets: rows x, y, z (m), E (V/m), H (A/m), E²/377 and 377 H² (W/m²).

    Parameters
    ----------
    name : str
        As it is called in the data or the file.
    """
    return {key: np.array(s["rows"]) for key, s in load(name)["points"].items()}


def reference(rows: Floats) -> Floats:
    """Return the larger of E²/377 and 377 H² (n,), W/m² for 1 kW.

    Parameters
    ----------
    rows : array
        Which of the rows.
    """
    larger: Floats = np.maximum(rows[:, 3] ** 2 / ETA_ROUND, rows[:, 4] ** 2 * ETA_ROUND)
    return larger


def strong(rows: Floats) -> Bools:
    """Return which rows (n,) are within 20 dB of the largest of their set."""
    s = reference(rows)
    return np.asarray(s > s.max() * 10.0 ** (-RANGE_DB / 10.0))


def decibels(ratio: Floats) -> Floats:
    """Return power ratios in dB; a null counts as -99.

    Returns
    -------
    array
        Same shape as the arrays given.
    """
    level: Floats = 10.0 * np.log10(np.maximum(ratio, 1.3e-10))
    return level


def metal_distance(name: str, points: Points) -> Floats:
    """Return the distance (n,) in m from points to the nearest metal of a reference antenna.

    Parameters
    ----------
    name : str
        As it is called in the data or the file.
    """
    antenna = load(name)["antenna"]
    nearest: Floats = np.full(len(points), np.inf)
    for start, end in _segments(antenna):
        np.minimum(nearest, segment_distance(points, start, end), out=nearest)
    given = antenna["parameters"]
    if "reflector_height_m" in given:
        wl = load(name)["wavelength_m"]
        half = np.array([0.0, given["width_wl"] * wl / 2.0, given["reflector_height_m"] / 2.0])
        middle = np.array([-given["stand_off_wl"] * wl, 0.0, 0.0])
        outside = np.maximum(np.abs(points - middle) - half, 0.0)
        np.minimum(nearest, np.linalg.norm(outside, axis=1), out=nearest)
    return nearest


def _segments(antenna: dict[str, Any]) -> list[tuple[Floats, Floats]]:
    if "wires" in antenna:
        return [(np.array(w["a_m"]), np.array(w["b_m"])) for w in antenna["wires"]]
    ends = []
    for e in antenna["elements"]:
        reach = np.array(e["axis"]) * e["length_m"] / 2.0
        ends.append((np.array(e["centre_m"]) - reach, np.array(e["centre_m"]) + reach))
    return ends


def masts() -> list[dict[str, Any]]:
    """Return the base-fed masts: rows distance (m), height (m), E (V/m), H (A/m) for 1 kW."""
    found: list[dict[str, Any]] = load("am-monopoles")["cases"]
    return found
