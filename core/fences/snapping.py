"""What a hand-drawn line snaps to: corners and edges of surfaces, structures and fences."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from core.fences.outlines import Place
from core.site.site import Site


@dataclass(frozen=True, slots=True)
class Snapped:
    """A place on the plan, m. ``what`` names the thing it was drawn to; empty where it is free."""

    place: Place
    what: str = ""
    corner: bool = False


@dataclass(frozen=True, slots=True)
class Targets:
    """Corners (n, 2) and edges (m, 2, 2) in plan m, each with the name of what it belongs to."""

    corners: NDArray[np.float64]
    corner_names: tuple[str, ...]
    edges: NDArray[np.float64]
    edge_names: tuple[str, ...]


def targets(site: Site, leave_out: Collection[str] = ()) -> Targets:
    """Return what lines snap to on a site; fences named in ``leave_out`` do not count.

    Of fences only the corners count: two fences beside each other are not one line.
    """
    corners: list[Place] = []
    corner_names: list[str] = []
    edges: list[tuple[Place, Place]] = []
    edge_names: list[str] = []
    for name, places, closed in _lines(site):
        corners += places
        corner_names += [name] * len(places)
        ends = [*places[1:], places[0]] if closed else places[1:]
        sides = list(zip(places, ends, strict=False))
        edges += sides
        edge_names += [name] * len(sides)
    for fence in site.fences:
        if fence.name not in leave_out:
            corners += fence.outline
            corner_names += [fence.name] * len(fence.outline)
    return Targets(
        np.array(corners, dtype=np.float64).reshape(-1, 2), tuple(corner_names),
        np.array(edges, dtype=np.float64).reshape(-1, 2, 2), tuple(edge_names),
    )  # fmt: skip


def _lines(site: Site) -> Iterable[tuple[str, list[Place], bool]]:
    """Yield (name, corners, whether closed); what stands comes first: its name says more."""
    for structure in site.structures:
        yield structure.name, list(structure.outline), structure.kind not in structure.LINES
    for surface in sorted(site.surfaces, key=lambda s: -s.height):
        yield surface.name, list(surface.outline), True
        for hole in surface.holes:
            yield surface.name, list(hole), True


def snap(targets_near: Targets, place: Place, reach: float) -> Snapped:
    """Return a place drawn to a corner within ``reach`` m, else to an edge, else as it is.

    Parameters
    ----------
    targets_near : Targets
        What can be snapped to.
    """
    at = np.array(place)
    if len(targets_near.corners):
        away = np.hypot(*(targets_near.corners - at).T)
        nearest = int(np.argmin(away))
        if away[nearest] <= reach:
            x, y = targets_near.corners[nearest]
            return Snapped(
                (float(x), float(y)), f"corner of {targets_near.corner_names[nearest]}", True
            )
    if len(targets_near.edges):
        on = nearest_on(targets_near.edges, at)
        away = np.hypot(*(on - at).T)
        nearest = int(np.argmin(away))
        if away[nearest] <= reach:
            x, y = on[nearest]
            return Snapped((float(x), float(y)), f"edge of {targets_near.edge_names[nearest]}")
    return Snapped(place)


def nearest_on(edges: NDArray[np.float64], at: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the places (m, 2) on straight edges (m, 2, 2) that are nearest to a place (2,).

    Parameters
    ----------
    at : array
        A place, m.
    """
    start, along = edges[:, 0], edges[:, 1] - edges[:, 0]
    square = (along**2).sum(axis=1)
    share = ((at - start) * along).sum(axis=1) / np.where(square > 0.0, square, 1.0)
    nearest: NDArray[np.float64] = start + np.clip(share, 0.0, 1.0)[:, None] * along
    return nearest
