"""The fields in ``em/``, computed for this project, and how figures are held against them."""

from __future__ import annotations

import json
from functools import lru_cache
from pathlib import Path
from typing import Any

import numpy as np

HERE = Path(__file__).parent / "em"
POWER = 1000.0
LOWEST_DB = -0.5
Z = np.array([0.0, 0.0, 1.0])


@lru_cache
def load(name: str) -> dict[str, Any]:
    found: dict[str, Any] = json.loads((HERE / f"{name}.json").read_text("utf-8"))
    return found


def sets(name: str) -> dict[str, np.ndarray]:
    """Rows x, y, z, E, H, S_E, S_H of every point set."""
    return {key: np.array(s["rows"]) for key, s in load(name)["points"].items()}


def reference(rows: np.ndarray) -> np.ndarray:
    """The larger of E²/377 and 377 H², W/m² for 1 kW."""
    return np.maximum(rows[:, 3] ** 2 / 377.0, rows[:, 4] ** 2 * 377.0)


def decibels(ratio: np.ndarray) -> np.ndarray:
    return 10.0 * np.log10(ratio)


def strong(rows: np.ndarray) -> np.ndarray:
    s = reference(rows)
    return s > s.max() / 100.0


STACKS = ["stack-4x-1.0wl", "stack-12x-1.0wl"]
