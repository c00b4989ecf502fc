"""The reference fields that come with the program, under the names the tests of this folder use."""

from __future__ import annotations

import numpy as np

from core.validation.data import POWER, decibels, load, reference, sets, strong

LOWEST_DB = -0.5
Z = np.array([0.0, 0.0, 1.0])
STACKS = ["stack-4x-1.0wl", "stack-12x-1.0wl"]

__all__ = ["LOWEST_DB", "POWER", "STACKS", "Z", "decibels", "load", "reference", "sets", "strong"]
