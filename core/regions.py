"""Proven regions: every point whose exposure reaches a threshold lies inside.

A quadtree over the view. Cells whose majorant stays below the threshold are dropped, cells that lie above
are kept, the rest is halved until its slack is under the tolerance. On a last cell the majorant is
multilinear, so only the part where its concave envelope reaches the threshold is kept: a convex polygon,
not the whole cell. Whatever is undecided when a ceiling is met counts as inside.
"""

from __future__ import annotations

import os
import time
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass

import numpy as np
import shapely
from shapely import MultiPolygon

from core.arrays import Floats
from core.assess import Assessor, Plane
from core.cells import Leaves, Open, Rule, join, whole
from core.enclosure import Enclosure
from core.quadtree import Lattice, above, boxes, cover, joined
from core.search import Search
from core.slices import Cancelled

ACROSS = 8
_BLOCK = 1024
_DEEPEST = 40


@dataclass(frozen=True, slots=True)
class Ceiling:
    """How long and how far a search may go; past it the result is looser, never unproven.

    ``seconds`` of wall time; ``cells`` undecided at once (a cell of the search takes a few kilobytes
    for each height of the body).
    """

    seconds: float = 60.0
    cells: int = 200_000


@dataclass(frozen=True, slots=True)
class Found:
    """The finished cells of a search.

    ``metres`` and ``share`` are the largest slacks on the boundary: how far the region may reach past
    the true one, and how far below the threshold (as a fraction of it) the field may be at its edge.
    ``stopped`` tells which ceiling was met, if any.
    """

    lattice: Lattice
    leaves: tuple[Leaves, ...]
    metres: float
    share: float
    evaluations: int
    seconds: float
    stopped: str


def search(
    found: Enclosure,
    plane: Plane,
    bounds: tuple[Floats, Floats],
    rule: Rule,
    ceiling: Ceiling,
    *,
    domain: shapely.Geometry | None = None,
    progress: Callable[[float], None] | None = None,
    cancelled: Callable[[], bool] | None = None,
    started: float | None = None,
) -> Found:
    """Return the cells that may reach the rule's threshold, over a box or segment in view coordinates.

    Raises
    ------
    InputError
        If an antenna kind has no bound.
    Cancelled
        If ``cancelled`` says so.
    """
    begin = time.perf_counter()
    deadline = (started if started is not None else begin) + ceiling.seconds
    lattice, index = cover(*bounds, ACROSS)
    pool = ThreadPoolExecutor(os.cpu_count() or 1)
    run = Search(Assessor(found, plane, lattice, pool), rule)
    cells = _within(run, run.start(index), 0, domain)
    leaves: list[Leaves] = []
    level, stopped, first = 0, "", max(_measure(run, cells, 0), 1e-12)
    if not found.emitters:
        cells = cells.part(slice(0, 0))
    while len(cells):
        last = level >= _last_level(lattice, rule)
        if len(cells) > ceiling.cells:
            stopped = f"{ceiling.cells} undecided cells"
        pending: list[Open] = []
        for start in range(0, len(cells), _BLOCK):
            block = cells.part(slice(start, start + _BLOCK))
            if cancelled is not None and cancelled():
                raise Cancelled
            if not stopped and time.perf_counter() > deadline:
                stopped = f"{ceiling.seconds:g} s"
            if stopped:
                leaves.append(_given_up(run, level, block))
                continue
            done, rest = run.step(level, block, last)
            leaves.append(done)
            pending.append(_within(run, rest, level + 1, domain))
        if not pending:
            break
        cells = join(pending)
        level += 1
        if progress is not None:
            left = _measure(run, cells, level) / first
            progress(min(0.99, -np.log2(max(left, 1e-9)) / max(_last_level(lattice, rule), 1)))
    pool.shutdown()
    metres = max((float(leaf.metres.max()) for leaf in leaves if len(leaf.metres)), default=0.0)
    share = max((float(leaf.share.max()) for leaf in leaves if len(leaf.share)), default=0.0)
    return Found(
        lattice,
        tuple(leaves),
        metres,
        share,
        run.at.evaluations,
        time.perf_counter() - begin,
        stopped,
    )


def _last_level(lattice: Lattice, rule: Rule) -> int:
    finest = rule.metres if rule.metres > 0 else 1e-3
    return int(np.clip(np.ceil(np.log2(lattice.side * 1.5 / finest)), 0, _DEEPEST))


def _measure(run: Search, cells: Open, level: int) -> float:
    return float(len(cells) * run.at.lattice.side_at(level) ** cells.index.shape[1])


def _within(run: Search, cells: Open, level: int, domain: shapely.Geometry | None) -> Open:
    """Return the cells that touch the domain."""
    if domain is None or len(cells) == 0:
        return cells
    low = run.at.lattice.corners(cells.index, level)
    high = run.at.lattice.corners(cells.index + 1, level)
    square = shapely.box(low[:, 0], low[:, 1], high[:, 0], high[:, 1])
    return cells.part(np.asarray(shapely.intersects(domain, square)))


def _given_up(run: Search, level: int, cells: Open) -> Leaves:
    """Return cells as inside, with the side as their slack."""
    diagonal = run.at.lattice.side_at(level) * float(np.sqrt(cells.index.shape[1]))
    return whole(level, cells.index, metres=diagonal, share=np.inf)


def shape_of(result: Found, threshold: float) -> MultiPolygon:
    """Return the region of a search in a plane."""
    shapes = []
    for leaf in result.leaves:
        full = (leaf.values >= threshold).all(axis=1)
        shapes.append(boxes(result.lattice, leaf.index[full], leaf.level))
        if full.all():
            continue
        index = leaf.index[~full]
        steps = np.array([[0, 0], [1, 0], [0, 1], [1, 1]])
        grid = (index[:, None, :] + steps).reshape(-1, 2)
        corners = result.lattice.corners(grid, leaf.level).reshape(-1, 4, 2)
        shapes.append(above(corners, leaf.values[~full], threshold))
    if not shapes:
        return MultiPolygon()
    return joined(np.concatenate(shapes))


def intervals_of(result: Found, threshold: float) -> list[tuple[float, float]]:
    """Return the intervals, ascending and joined, of a search along a line."""
    pieces: list[tuple[float, float]] = []
    for leaf in result.leaves:
        low = result.lattice.corners(leaf.index, leaf.level)[:, 0]
        side = result.lattice.side_at(leaf.level)
        a, b = leaf.values.T
        # Where an end is below, the straight majorant crosses on the way from the other end.
        with np.errstate(invalid="ignore", divide="ignore"):
            cut = np.where(a != b, (threshold - a) / (b - a), 0.0)
        start = np.where(a >= threshold, 0.0, cut)
        end = np.where(b >= threshold, 1.0, cut)
        some = (a >= threshold) | (b >= threshold)
        pieces += zip(low[some] + side * start[some], low[some] + side * end[some], strict=True)
    joined_up: list[tuple[float, float]] = []
    for low_end, high_end in sorted((float(x), float(y)) for x, y in pieces):
        if joined_up and low_end <= joined_up[-1][1] + 1e-6:
            joined_up[-1] = (joined_up[-1][0], max(joined_up[-1][1], high_end))
        else:
            joined_up.append((low_end, high_end))
    return joined_up
