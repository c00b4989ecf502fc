"""Whether a site in some state keeps its criteria everywhere in an area, by the search for proven zones."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from core.arrays import Floats
from core.entry.criteria import Criterion
from core.entry.pieces import Area, Piece
from core.exposure.sources import Source
from core.progress import Asked
from core.proof.enclosure import enclosure
from core.proof.lattice import OUTWARD
from core.proof.search import FIRST_FOUND, Outcome, search
from core.proof.tolerance import Ceiling, Tolerance
from core.site.site import Site
from core.views.body import POINT

TOLERANCES = (Tolerance(2.0, 0.02), Tolerance(0.3, 0.005), Tolerance(0.02, 0.002))
"""Tried one after the other: what a coarse search cannot decide a finer one may."""
_HEIGHTS = 0.02
_MOST = 200
"""Places of a search that are looked at, at most."""


@dataclass(frozen=True, slots=True)
class Proof:
    """What a search says of an area.

    Attributes
    ----------
    proven : bool
        No place of it is over any criterion.
    doubtful : array, shape (n, 3)
        Places to look at, where it is not proven.
    stopped : bool
        A ceiling was met before the search could tell.
    """

    proven: bool
    doubtful: NDArray[np.float64]
    stopped: bool = False


def prove(
    site: Site,
    all_sources: Sequence[Source],
    area: Area,
    criteria: Sequence[Criterion],
    fineness: int,
    *,
    seconds: float = 60.0,
    cancelled: Asked | None = None,
) -> Proof:
    """Return whether a site keeps its criteria everywhere in an area, or places where it may not.

    Parameters
    ----------
    site : Site
        The site in the state that is meant.
    all_sources : sequence of Source
        Its sources.
    area : Area
        Where.
    criteria : sequence of Criterion
        What is to be kept.
    fineness : int
        Which of :data:`TOLERANCES` is used.
    seconds : float
        Ceiling of wall time for each piece.
    cancelled : Asked or None
        Asked between pieces of work; True stops it.

    Raises
    ------
    core.progress.Cancelled
        If asked to stop.
    """
    for criterion in criteria:
        enclosed = enclosure(site, criterion.tier, POINT, criterion.divisors(all_sources))
        for piece in area.pieces:
            asked = TOLERANCES[fineness].fineness(criterion.threshold)
            outcome = search(
                enclosed,
                piece.plane,
                piece.box,
                asked,
                Ceiling(seconds=seconds),
                domains=piece.domains,
                cancelled=cancelled,
                first=True,
                across=piece.across,
            )
            if outcome.stopped or any(len(leaf.index) for leaf in outcome.leaves):
                ceiling = outcome.stopped not in ("", FIRST_FOUND)
                return Proof(False, _places(outcome, piece), ceiling)
    return Proof(True, np.zeros((0, 3)))


def _places(outcome: Outcome, piece: Piece) -> NDArray[np.float64]:
    """Return corners and middles of the cells found, site points (n, 3), of all heights where they are cubes."""
    lattice = outcome.lattice
    found: list[Floats] = []
    for leaf in outcome.leaves:
        if len(leaf.index):
            some = np.linspace(0, len(leaf.index) - 1, min(len(leaf.index), _MOST)).astype(int)
            low = lattice.corners(leaf.index[some], leaf.level)
            half = 0.5 * lattice.side_at(leaf.level)
            found += [low + half * np.array(step) for step in np.ndindex(*(3,) * low.shape[1])]
    if not found:
        return np.zeros((0, 3))
    view = np.unique(np.concatenate(found), axis=0)
    wide = view.shape[1]
    view = np.clip(view, piece.low[:wide], piece.high[:wide])
    if piece.shape is not None:
        near = piece.shape.buffer(OUTWARD, join_style="mitre")
        view = view[shapely.intersects_xy(near, view[:, 0], view[:, 1])]
    if len(view) > _MOST:
        view = view[np.linspace(0, len(view) - 1, _MOST).astype(int)]
    return piece.column(view, _HEIGHTS) if len(view) else np.zeros((0, 3))
