"""How far a site can exceed a threshold: cells outside of which, by the bounds alone, it does not.

Nothing is evaluated here, so the cells are coarse: a quarter of their distance to the antennas.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from core.arrays import Bools, Floats
from core.proof.assess import Assessor, Plane, marked, squared, summed
from core.proof.bounds.base import NOT_REACTIVE, ROUNDING
from core.proof.enclosure import Enclosure
from core.proof.kept import Guard
from core.proof.lattice import Indices, children, cover

_ACROSS = 8
_COARSE = 0.25
_FINEST = 1.0
"""m: cells beside an antenna are not made smaller."""
_PAIRS = 200_000
_MOST = 20_000
"""Cells of a level at most: more are not split, which makes the reach larger, never smaller."""


@dataclass(frozen=True, slots=True)
class _Cells:
    index: Indices
    layer: NDArray[np.intp]


def reach(
    enclosed: Enclosure,
    plane: Plane,
    within: tuple[Floats, Floats],
    threshold: float,
    known: shapely.Geometry,
    *,
    among: shapely.Geometry | None = None,
    box_only: bool = False,
    guards: list[Guard] | None = None,
    within_reach: list[Guard] | None = None,
) -> Floats:
    """Return boxes (n, 4) of a plane that hold every place over a threshold outside a known shape.

    Parameters
    ----------
    enclosed : Enclosure
        The radiators against the tier.
    plane : Plane
        Two directions with layers; at every layer all rises of the body are looked at.
    within : tuple of array
        Least and largest corner (2,) of what is looked at, m.
    threshold : float
        Fraction of the limit.
    known : geometry
        Cells inside of it are left out.
    among : geometry, optional
        Only cells that touch it count.
    box_only : bool
        Only the box of all of them is asked for: cells inside of what it is already are left out.
    guards : list, optional
        Takes the cells that were found to be under the threshold, to be weighed again.
    within_reach : list, optional
        Takes the others, those that are returned.

    Returns
    -------
    array, shape (n, 4)
        Least u and v, largest u and v, m; cells of several layers may lie on each other.
    """
    lattice, first = cover(*within, _ACROSS)
    at = Assessor(enclosed, plane, lattice)
    layers = np.arange(len(plane.layers))
    cells = _Cells(np.tile(first, (len(layers), 1)), np.repeat(layers, len(first)))
    emitters = _in_view(enclosed, plane)
    for shape in (known, among):
        if shape is not None:
            shapely.prepare(shape)
    box = np.array(known.bounds) if box_only else np.array([np.inf, np.inf, -np.inf, -np.inf])
    found = [np.zeros((0, 4))]
    level = 0
    while len(cells.index):
        low, high = (lattice.corners(cells.index + step, level) for step in (0, 1))
        squares = shapely.box(*low.T, *high.T)
        keep = ~shapely.covers(known, squares) & (low < within[1]).all(axis=1)
        keep &= ~((low >= box[:2]) & (high <= box[2:])).all(axis=1)
        if among is not None:
            keep &= shapely.intersects(among, squares)
        looked = _Cells(cells.index[keep], cells.layer[keep])
        over = _may_exceed(at, level, looked, threshold)
        if guards is not None and not over.all():
            guards.append(_guard(at, level, _Cells(looked.index[~over], looked.layer[~over])))
        keep[keep] = over
        cells, low, high = _Cells(cells.index[keep], cells.layer[keep]), low[keep], high[keep]
        side = lattice.side_at(level)
        off = np.maximum(np.maximum(low[:, None] - emitters, emitters - high[:, None]), 0.0)
        away = np.linalg.norm(off, axis=2).min(axis=1, initial=np.inf)
        # Flatter than it is high a cell gains nothing, and where there are too many they stay as they are.
        fine = side <= np.maximum(_COARSE * away, max(_FINEST, 2.0 * plane.span))
        fine |= len(low) > _MOST
        found.append(np.column_stack([low[fine], high[fine]]))
        if within_reach is not None and fine.any():
            within_reach.append(_guard(at, level, _Cells(cells.index[fine], cells.layer[fine])))
        if box_only and fine.any():
            box = np.concatenate([np.minimum(box[:2], low[fine].min(axis=0)), box[2:]])
            box = np.concatenate([box[:2], np.maximum(box[2:], high[fine].max(axis=0))])
        rest = _Cells(cells.index[~fine], cells.layer[~fine])
        # Two halvings at a time: with so few cells a level costs more than its cells.
        cells = _Cells(children(children(rest.index)), np.repeat(rest.layer, 16))
        level += 2
    return np.concatenate(found)


def _in_view(enclosed: Enclosure, plane: Plane) -> Floats:
    """Return view coordinates (e, 2) of the radiators."""
    places = np.array([r.position for r in enclosed.radiators]).reshape(-1, 3)
    seen: Floats = (places - plane.origin) @ plane.directions.T
    return seen


def _guard(at: Assessor, level: int, cells: _Cells) -> Guard:
    n, e = len(cells.index), len(at.enclosed.radiators)
    nothing = np.zeros((n, 0), np.float32)
    guard = Guard(
        at.plane, at.lattice, level, cells.index, cells.layer, nothing, nothing,
        np.zeros((n, 0), np.int8),
    )  # fmt: skip
    every = np.arange(e)
    bound = at.columns(level, cells, np.repeat(np.arange(n), e), np.tile(every, n))
    return guard.with_radiators([0] * e, every, bound)


def _may_exceed(at: Assessor, level: int, cells: _Cells, threshold: float) -> Bools:
    """Return which cells (n,) may be over the threshold, or reactive, at some height of the body."""
    n, e = len(cells.index), len(at.enclosed.radiators)
    out = np.zeros(n, bool)
    if e == 0:
        return out
    block = max(1, _PAIRS // e)
    for start in range(0, n, block):
        part = _Cells(cells.index[start : start + block], cells.layer[start : start + block])
        m = len(part.index)
        cell, radiator = np.repeat(np.arange(m), e), np.tile(np.arange(e), m)
        bound = at.columns(level, part, cell, radiator)
        most = at.enclosed.fractions(radiator, squared(bound.e), squared(bound.h))
        # What is no number is not under the threshold.
        over = ~(summed(cell, most, m) <= threshold * (1.0 - ROUNDING)).all(axis=1)
        out[start : start + m] = over | marked(cell, bound.reactive != NOT_REACTIVE, m)
    return out
