"""Errors of many points as a table: the lowest and the highest in every range of distances."""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass

import numpy as np

from core.arrays import Floats
from core.validation.case import NO_LIMIT

Span = tuple[float, float]
"""Lowest and highest error in dB."""

WAVELENGTHS = (0.0, 0.1, 0.2, 0.3, 0.5, 1.0, 2.0, 5.0, 10.0, 20.0, math.inf)
"""Ranges of the distance to the nearest metal, wavelengths."""
METRES = (1.5, 2.0, 3.0, 5.0, 10.0, 20.0, 50.0, 100.0, math.inf)
"""Ranges of the distance from a medium-wave mast, m: all of them are deep in its near field."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """Errors of one kind on one reference antenna.

    Attributes
    ----------
    kind, antenna : str
        Key of the kind (or the model), and what it stands for.
    spans : tuple
        Lowest and highest error in dB in each range; None where no point lies.
    count : int
        Points that counted.
    allowed_low, allowed_high : float
        dB; infinite where nothing is promised.
    """

    kind: str
    antenna: str
    spans: tuple[Span | None, ...]
    count: int
    allowed_low: float = NO_LIMIT
    allowed_high: float = NO_LIMIT

    @property
    def low(self) -> float:
        """Lowest error of all points, dB."""
        return min(span[0] for span in self.spans if span)

    @property
    def high(self) -> float:
        """Highest error of all points, dB."""
        return max(span[1] for span in self.spans if span)

    @property
    def passed(self) -> bool:
        """True when both are allowed."""
        return self.low >= -self.allowed_low and self.high <= self.allowed_high


@dataclass(frozen=True, slots=True, kw_only=True)
class DistanceTable:
    """A table of rows over ranges of distance in ``unit``, or over classes that have ``names``."""

    title: str
    about: str
    edges: tuple[float, ...]
    unit: str
    rows: tuple[Row, ...]
    names: tuple[str, ...] = ()

    @property
    def ranges(self) -> tuple[str, ...]:
        """The ranges as column heads."""
        if self.names:
            return self.names
        words = []
        for low, high in itertools.pairwise(self.edges):
            if math.isinf(high):
                words.append(f"{low:g}+")
            elif low == 0.0:
                words.append(f"< {high:g}")
            else:
                words.append(f"{low:g}-{high:g}")
        return tuple(words)


def spans(errors: Floats, distance: Floats, edges: tuple[float, ...]) -> tuple[Span | None, ...]:
    """Return the lowest and highest of errors (n,) in each range of distances (n,).

    Parameters
    ----------
    edges : tuple[float, ...]
        Edges of the ranges.
    """
    found: list[Span | None] = []
    for low, high in itertools.pairwise(edges):
        inside = errors[(distance >= low) & (distance < high)]
        found.append((float(inside.min()), float(inside.max())) if inside.size else None)
    return tuple(found)


def row(
    kind: str,
    antenna: str,
    parts: list[tuple[Floats, Floats]],
    edges: tuple[float, ...] = WAVELENGTHS,
    *,
    low: float = NO_LIMIT,
    high: float = NO_LIMIT,
) -> Row:
    """Return a row from (errors, distances) of several point sets.

    Parameters
    ----------
    kind : str
        The kind.
    antenna : str
        Position of the antenna, m.
    parts : list[tuple[Floats, Floats]]
        What is put together, one after another.
    edges : tuple[float, ...]
        Edges of the ranges.
    low : float
        Least value.
    high : float
        Largest value.
    """
    errors = np.concatenate([p[0] for p in parts])
    distance = np.concatenate([p[1] for p in parts])
    return Row(
        kind=kind,
        antenna=antenna,
        spans=spans(errors, distance, edges),
        count=errors.size,
        allowed_low=low,
        allowed_high=high,
    )
