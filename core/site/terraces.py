"""The walking heights of a site: the floors people stand on, one above another or side by side."""

from __future__ import annotations

from dataclasses import dataclass

import shapely
from shapely import MultiPolygon

from core.shapes import only_areas
from core.site.site import Site
from core.site.surfaces import surface_shape


@dataclass(frozen=True, slots=True)
class Floor:
    """All surfaces of one height, m; or what nobody drew, which counts as ground at the datum.

    ``names`` are those of the surfaces, empty where nothing is drawn; ``is_ground`` where one of them is ground.
    """

    height: float
    names: tuple[str, ...]
    shape: MultiPolygon
    is_ground: bool = False

    @property
    def is_drawn(self) -> bool:
        """Return whether there is a surface."""
        return bool(self.names)

    @property
    def words(self) -> str:
        """What it is called."""
        return ", ".join(self.names) if self.names else "where no surface is drawn"


def floors(site: Site) -> tuple[Floor, ...]:
    """Return what is drawn, highest first; floors may lie above one another.

    Parameters
    ----------
    site : Site
        The site.
    """
    out = []
    for height in sorted({s.height for s in site.surfaces}, reverse=True):
        here = [s for s in site.surfaces if s.height == height]
        shape = only_areas(shapely.union_all([surface_shape(s) for s in here]))
        if not shape.is_empty:
            ground = any(s.kind == "ground" for s in here)
            out.append(Floor(height, tuple(s.name for s in here), shape, ground))
    return tuple(out)


def undrawn(site: Site, region: tuple[float, float, float, float]) -> Floor:
    """Return the part of a plan without any surface, as a floor at the datum.

    Parameters
    ----------
    site : Site
        The site.
    region : tuple of float
        West, south, east, north, m.
    """
    return Floor(0.0, (), only_areas(shapely.box(*region).difference(walking_surfaces(site))))


DROP = 1.0
"""m: nobody steps over an edge where the next floor is this much lower or higher (common practice, no source)."""
_GAP = 0.5
"""m between floors that are drawn apart: less is stepped over."""


@dataclass(frozen=True, slots=True)
class Terrace:
    """Floors that people walk between: the steps from one to the next are smaller than a drop.

    Where its shape ends there is a drop, or a wall up to a higher floor; drawn ground never ends where the drawing
    does.
    """

    floors: tuple[Floor, ...]
    shape: MultiPolygon


def terraces(
    site: Site, region: tuple[float, float, float, float], drop: float = DROP
) -> tuple[Terrace, ...]:
    """Return what people walk about on without crossing an edge, highest first.

    Parameters
    ----------
    site : Site
        The site.
    region : tuple of float
        West, south, east, north, m: how far ground goes on that nobody drew.
    drop : float
        Least difference of height that counts as an edge, m.
    """
    waiting = [*floors(site), undrawn(site, region)]
    out = []
    while waiting:
        group, fresh = [], [waiting.pop(0)]
        while fresh:
            one = fresh.pop()
            group.append(one)
            next_to = [f for f in waiting if _walked_over(one, f, drop)]
            fresh += next_to
            waiting = [f for f in waiting if all(f is not g for g in next_to)]
        shape: shapely.Geometry = shapely.union_all([f.shape for f in group])
        if len(group) > 1:
            closing = _GAP / 2.0 + 1e-6
            shape = shape.buffer(closing, join_style="mitre").buffer(-closing, join_style="mitre")
        out.append(Terrace(tuple(sorted(group, key=lambda f: -f.height)), only_areas(shape)))
    return tuple(out)


def _walked_over(a: Floor, b: Floor, drop: float) -> bool:
    """Return whether people walk from one floor to the other."""
    goes_on = (a.is_ground and not b.is_drawn) or (b.is_ground and not a.is_drawn)
    return (goes_on or abs(a.height - b.height) < drop) and a.shape.distance(b.shape) <= _GAP


def walking_surfaces(site: Site) -> MultiPolygon:
    """Return everywhere on the plan where a surface is drawn.

    Parameters
    ----------
    site : Site
        The site.
    """
    return only_areas(shapely.union_all([surface_shape(s) for s in site.surfaces]))
