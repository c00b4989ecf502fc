"""What was evaluated of a cell's radiators in one step of a search, so that it is not evaluated twice."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from core.arrays import Floats
from core.proof.assess import Assessor
from core.proof.cells import Open
from core.proof.parts import Parts, shared
from core.proof.settling import at_heights


@dataclass(frozen=True, slots=True)
class Seen:
    """Majorants and values (s, totals, corners) of pairs; ``at`` tells where by the pair's row, -1 where nowhere."""

    at: NDArray[np.intp]
    over: Floats
    value: Floats


def evaluated(
    at: Assessor, level: int, cells: Open, parts: Parts | None, seen: Seen
) -> tuple[Floats, Floats]:
    """Return majorants and values of all pairs of cells at all heights, those that were seen as they were.

    Parameters
    ----------
    at : Assessor
        Who evaluates.
    level : int
        Level of the lattice.
    cells : Open
        With their pairs.
    parts : Parts or None
        What their bounds are made of.
    seen : Seen
        What was evaluated in this step.

    Returns
    -------
    over, value : array, shape (pairs × heights, totals, corners)
    """
    own, h = cells.pairs, len(at.plane.rises)
    pairs = at_heights(own, np.arange(len(own)), h)
    before = np.repeat(seen.at[own.row], h)
    new = np.flatnonzero(before < 0)
    row = new // h
    got = at.evaluate(
        level, cells, pairs.part(new), own.known.part(row), shared(parts, own.row[row])
    )
    if len(new) == len(pairs):
        return got
    old = np.flatnonzero(before >= 0)
    out = []
    for fresh, known in zip(got, (seen.over, seen.value), strict=True):
        both = np.empty((len(pairs), *fresh.shape[1:]))
        both[new], both[old] = fresh, known[before[old]]
        out.append(both)
    return out[0], out[1]
