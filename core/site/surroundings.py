"""What stands about an antenna and changes its field: planes that reflect, and steel."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from functools import cache, lru_cache, partial

import numpy as np
from numpy.typing import NDArray

from core.arrays import Floats, Points
from core.fields.spread import Spread
from core.geometry import to_local
from core.site.corner import Corner, Place, Sent, corners
from core.site.faces import is_met, strength
from core.site.levels import Levels, levels
from core.site.mirror import NULL_FILL, Matter, Mirror
from core.site.mirrors import mirrors, planes
from core.site.places import Structure, Surface
from core.site.reflection import Reflection, ReflectionKind
from core.site.site import Antenna, Site, State
from core.site.steel import Steel, steel


@dataclass(frozen=True, slots=True)
class Surroundings:
    """Mirrors and steel of one antenna at one frequency.

    Attributes
    ----------
    mirrors : tuple of Mirror
        The planes that send its wave back.
    steel : Steel or None
        Towers and masts.
    spread : Spread
        The isotropic value that nulls are filled with.
    fills : bool
        Whether nulls of its image in metal are filled: not for antennas with a reflector, whose own floors hold.
    images : tuple of Corner
        What is a field of its own: the antenna mirrored in a plane.
    turns : tuple of Corner
        What comes by several planes in turn, in phase with all else.
    glows : tuple of Corner
        Walls that no beam meets: their waves are added as powers, and then in phase to all else.
    levels : Levels or None
        How strongly the antenna looks in each direction at the most: for turns and glows, which are no fields of
        their own; None without any.
    """

    mirrors: tuple[Mirror, ...]
    steel: Steel | None
    spread: Spread
    fills: bool
    # They follow from the mirrors.
    images: tuple[Corner, ...] = field(default=(), compare=False)
    turns: tuple[Corner, ...] = field(default=(), compare=False)
    glows: tuple[Corner, ...] = field(default=(), compare=False)
    levels: Levels | None = field(default=None, compare=False)

    @property
    def sends_more(self) -> bool:
        """Whether there is more than images that are fields of their own."""
        return bool(self.turns or self.glows)

    @property
    def none(self) -> bool:
        """Whether nothing changes the field."""
        return not self.mirrors and self.steel is None

    def image_fill(self, image: Corner) -> float:
        """Return the share of the isotropic value under which an image is not taken."""
        return NULL_FILL if self.fills and image.conductor else 0.0

    def glow(
        self, points: Points, antenna: Place, frame: NDArray[np.float64], frequency: float
    ) -> Floats:
        """Return the root of the density (n,) of all but direct field and images, for 1 W, at site points (n, 3).

        Parameters
        ----------
        points : array, shape (n, 3)
            Site points, m.
        antenna : tuple of three floats
            The antenna's centre, site frame, m.
        frame : array, shape (3, 3)
            The antenna's axes in the site frame.
        frequency : float
            Hz.
        """
        turns, walls = (
            [self._root(corner, points, antenna, frame, frequency) for corner in group]
            for group in (self.turns, self.glows)
        )
        none = np.zeros(len(points), points.dtype)
        in_phase: Floats = sum(turns, none)
        powers: Floats = sum((root**2 for root in walls), none)
        return in_phase + np.sqrt(powers)

    def _root(
        self,
        corner: Corner,
        points: Points,
        antenna: Place,
        frame: NDArray[np.float64],
        frequency: float,
    ) -> Floats:
        root = corner.coefficient(points, antenna, frequency)
        sent = root > 0.0
        if self.levels is not None and sent.any():
            local = to_local(corner.mirrored(points[sent]), np.array(antenna), frame)
            away = np.sqrt(np.einsum("ni,ni->n", local, local))
            nearest = points.dtype.type(self.spread.least)
            root[sent] *= self.levels.towards(local) / np.maximum(away, nearest)
        return root


def surroundings(
    site: Site, antenna: Antenna, frequency: float, *, conservative: bool
) -> Surroundings:
    """Return what stands about an antenna of a site.

    A best estimate counts the mirrors, but neither steel nor floors.

    Parameters
    ----------
    site : Site
        The site.
    frequency : float
        Hz.
    conservative : bool
        With the printed floors and decibels; else the best estimate.
    """
    reflection = antenna.reflection or site.reflection
    return _surroundings(
        replace(antenna, state=State()),
        frequency,
        site.grid_north,
        reflection,
        site.surfaces,
        site.structures,
        conservative=conservative,
    )


@lru_cache(maxsize=4096)
def _surroundings(
    antenna: Antenna,
    frequency: float,
    grid_north: float,
    reflection: Reflection,
    surfaces: tuple[Surface, ...],
    structures: tuple[Structure, ...],
    *,
    conservative: bool,
) -> Surroundings:
    kind = antenna.kind
    outline = kind.outline(frequency).reshape(-1, 3)
    metal = outline @ antenna.frame(grid_north).T
    own = kind.has_own_ground
    found: tuple[Mirror, ...] = ()
    if reflection.kind is ReflectionKind.TWO_RAY and not own:
        matter = Matter(reflection.permittivity, reflection.conductivity, 0.0, False, "ground")
        found = planes(_two_ray_heights(reflection, antenna, surfaces), matter)
    elif reflection.kind is ReflectionKind.SURFACES and not own and not kind.has_own_reflection:
        found = mirrors(surfaces, structures, antenna.position, metal, frequency)
    about = None
    if conservative:
        about = steel(
            structures,
            antenna.position,
            frequency,
            backed=kind.is_backed,
            level=kind.is_level,
            in_pattern=antenna.tower_in_pattern,
            own=own,
        )
    low, high = float(outline[:, 2].min()), float(outline[:, 2].max())
    spread = Spread(low, high, max(kind.trust(frequency), 0.01))

    sent, looks = Sent((), (), ()), None
    if found:
        looks = levels(kind, frequency, conservative=conservative)
        by_face = partial(strength, antenna=antenna, levels=looks, grid_north=grid_north)
        sent = corners(
            found, antenna.position, cache(lambda f: is_met(by_face(f), antenna, frequency))
        )
    fills = conservative and not kind.is_backed
    return Surroundings(found, about, spread, fills, sent.images, sent.turns, sent.glows, looks)


def _two_ray_heights(
    reflection: Reflection, antenna: Antenna, surfaces: tuple[Surface, ...]
) -> tuple[float, ...]:
    """Return the heights that send a ray back: the one stated, or every surface below the antenna, as if endless."""
    if reflection.plane is not None:
        return (reflection.plane,)
    heights = sorted({s.height for s in surfaces if s.height <= antenna.position[2]})
    return tuple(heights) or (0.0,)


def words(around: Surroundings, reflection: Reflection) -> str:
    """Return what a reading says of an antenna's surroundings.

    Parameters
    ----------
    around : Surroundings
        What stands about it.
    reflection : Reflection
        How its reflected wave is counted.
    """
    if reflection.kind is ReflectionKind.TWO_RAY and around.mirrors:
        at = " and ".join(f"{m.origin[2]:g}" for m in around.mirrors)
        count = len(around.mirrors) + 1
        rays = {2: "two", 3: "three"}.get(count, str(count))
        return (
            f"{rays} rays, added as if in phase: reflection at {at} m from ground with relative "
            f"permittivity {reflection.permittivity:g} and {reflection.conductivity:g} S/m (Fresnel coefficients, the "
            "larger of both polarisations)"
        )
    if reflection.kind is ReflectionKind.SURFACES and around.mirrors:
        names = list(dict.fromkeys(m.name for m in around.mirrors))
        once = "each surface once"
        if around.turns:
            once += ", and what comes by a wall and another one after the other"
        if around.glows:
            once += (
                "; walls that no beam meets by the strongest wave that goes there, added as powers"
            )
        return f"reflected by {'; '.join(names)}; fields added as if in phase, {once}"
    return reflection.words
