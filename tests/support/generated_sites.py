"""Twelve invented sites, made from fixed seeds, to hold proven zones against: 1 to 60 antennas of every kind.

Nothing here stands anywhere. Each comes with the views and thresholds that are asked of it; views are
sized so that the zones take a part of them, not all or nothing.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from core.site.places import Structure, Surface
from core.site.reflection import BY_SURFACES, Reflection, ReflectionKind
from core.site.site import Antenna, Carrier, Condition, Power, Site, State
from core.views.body import CLIMBING, POINT, STANDING, Body
from core.views.views import ON_SURFACE, ElevationView, Height, PlanView, View
from support.invented_antennas import (
    ALL,
    RAISED,
    Family,
    beams,
    dish,
    fm,
    generic,
    mast,
    masts,
    measured,
    sector,
    stick,
    television,
    turnstile,
    unknown,
    whip,
    wire,
    yagi,
)

MEAN = Body(STANDING.heights, average=True)
CLIMBING_MEAN = Body(CLIMBING.heights, average=True)
THREE = Body((0.0, 1.0, 2.0), average=True)

FREE = Reflection(ReflectionKind.NONE)
FULL = Reflection(ReflectionKind.FULL)
GROUND = Reflection(ReflectionKind.GROUND)
TWO_RAY = Reflection(ReflectionKind.TWO_RAY)


@dataclass(frozen=True, slots=True)
class Look:
    """A view with what is asked of it: (tier, threshold as a fraction of the limit)."""

    view: View
    asked: tuple[tuple[str, float], ...]


@dataclass(frozen=True, slots=True)
class Subject:
    """A site and how it is looked at."""

    site: Site
    looks: tuple[Look, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Recipe:
    """How a site is drawn: families in turn, places in a square of half-side ``reach`` and in a span of
    heights, m; ``power`` scales what is usual, so that the zones fit into the views."""

    seed: int
    families: Sequence[Family]
    count: int
    reach: float
    heights: tuple[float, float]
    limit_set: str
    reflection: Reflection
    looks: tuple[Look, ...]
    power: float = 1.0
    tilted: bool = False
    conservative: bool = True
    surfaces: tuple[Surface, ...] = ()
    structures: tuple[Structure, ...] = ()


def _square(half: float, x: float = 0.0, y: float = 0.0) -> tuple[tuple[float, float], ...]:
    return ((x - half, y - half), (x + half, y - half), (x + half, y + half), (x - half, y + half))


def _plan(half: float, height: float | None, body: Body, *asked: tuple[str, float]) -> Look:
    """Return a plan at a height above the datum, or on the surfaces."""
    at = ON_SURFACE if height is None else Height(height)
    return Look(PlanView((-half, -half, half, half), at, body), asked)


def _upright(
    azimuth: float, half: float, up: tuple[float, float], body: Body, *asked: tuple[str, float]
) -> Look:
    return Look(ElevationView((0.3, -0.2), azimuth, (-half, half), up, body), asked)


_YARD = Surface(name="Yard", kind="ground", height=0.0, outline=_square(200.0))
_ROOFS = (
    Surface(
        name="Yard", kind="ground", height=0.0, outline=_square(80.0), holes=(_square(15.0, 1.0, 2.0),)
    ),
    Surface(
        name="Roof", kind="roof", height=12.0, outline=_square(15.0, 1.0, 2.0),
        holes=(_square(2.0, -6.0, -5.0),),
    ),
    Surface(name="Plant room", kind="roof", height=15.5, outline=_square(4.0, 3.0, 4.0)),
    # Lower than the roof it overlaps, and turned against the lattice.
    Surface(
        name="Canopy", kind="platform", height=9.0,
        outline=((12.0, -20.0), (24.0, -12.0), (19.0, -4.0), (8.0, -13.0)),
    ),
)  # fmt: skip
_BUILT = (
    Structure(name="Plant room", kind="penthouse", outline=_square(4.0, 3.0, 4.0), base=12.0, top=15.5),
    Structure(name="Parapet", kind="wall", outline=((-14.0, 17.0), (16.0, 17.0)), base=12.0, top=13.1),
    Structure(name="Mast", kind="mast", outline=_square(0.15, -4.0, 5.0), base=12.0, top=21.0),
)  # fmt: skip
_TOWER = (Structure(name="Tower", kind="tower", outline=_square(0.6), base=0.0, top=112.0),)

_RECIPES: dict[str, _Recipe] = {
    "one-mast": _Recipe(
        seed=11, families=(mast,), count=1, reach=0.0, heights=(0.0, 0.0),
        limit_set="FCC", reflection=GROUND, power=1.0, surfaces=(_YARD,),
        looks=(
            _plan(12.0, None, MEAN, ("public", 1.0), ("occupational", 0.5)),
            _upright(20.0, 20.0, (0.5, 60.0), POINT, ("public", 1.0)),
        ),
    ),
    "one-panel": _Recipe(
        seed=12, families=(sector,), count=1, reach=0.0, heights=(6.0, 6.0),
        limit_set="ICNIRP2020", reflection=FREE, tilted=True,
        looks=(
            _plan(6.0, 5.6, POINT, ("public", 1.0), ("occupational", 1.0)),
            _upright(35.0, 5.0, (1.0, 11.0), CLIMBING, ("public", 1.0)),
        ),
    ),
    "two-directional": _Recipe(
        seed=13, families=(masts, wire), count=2, reach=10.0, heights=(0.0, 0.0),
        limit_set="ICNIRP2020", reflection=FREE, surfaces=(_YARD,),
        looks=(_plan(25.0, None, STANDING, ("public", 1.0), ("occupational", 0.5)),),
    ),
    "shortwave-field": _Recipe(
        seed=14, families=(wire, whip, wire), count=5, reach=40.0, heights=(8.0, 14.0),
        limit_set="IEEE-C95.1-2019", reflection=GROUND,
        looks=(
            _plan(70.0, 1.5, POINT, ("public", 0.2)),
            _upright(75.0, 60.0, (0.5, 40.0), POINT, ("public", 0.5), ("occupational", 0.2)),
        ),
    ),
    "dishes": _Recipe(
        seed=15, families=(dish, unknown, dish), count=8, reach=6.0, heights=(20.0, 30.0),
        limit_set="EU", reflection=FREE, tilted=True,
        looks=(
            _plan(40.0, 25.0, CLIMBING, ("public", 0.5)),
            _upright(140.0, 40.0, (10.0, 40.0), POINT, ("public", 1.0), ("occupational", 1.0)),
        ),
    ),
    "roof": _Recipe(
        seed=16, families=(sector, beams, dish, measured), count=12, reach=13.0, heights=(14.0, 18.0),
        limit_set="FCC", reflection=FULL, surfaces=_ROOFS, power=0.5,
        looks=(_plan(45.0, None, STANDING, ("public", 1.0), ("occupational", 1.0)),),
    ),
    "fm-hill": _Recipe(
        seed=17, families=(fm, yagi, turnstile, stick), count=6, reach=15.0, heights=(14.0, 30.0),
        limit_set="SC6-2015", reflection=TWO_RAY, surfaces=(_YARD,),
        looks=(
            _plan(80.0, None, MEAN, ("public", 1.0)),
            _upright(110.0, 40.0, (0.0, 50.0), POINT, ("occupational", 1.0), ("occupational", 10.0)),
        ),
    ),
    "television": _Recipe(
        seed=18, families=(television, fm, generic), count=7, reach=2.0, heights=(60.0, 110.0),
        limit_set="ICNIRP1998", reflection=BY_SURFACES, structures=_TOWER,
        looks=(
            _upright(60.0, 40.0, (45.0, 125.0), CLIMBING, ("occupational", 1.0)),
            _upright(150.0, 40.0, (45.0, 125.0), CLIMBING_MEAN, ("public", 2.0)),
        ),
    ),
    "two-way": _Recipe(
        seed=19, families=(stick, whip, yagi, generic, measured, unknown), count=16, reach=18.0,
        heights=(4.0, 12.0), limit_set="FCC", reflection=TWO_RAY, tilted=True, surfaces=(_YARD,),
        power=0.1, looks=(_plan(40.0, 3.0, POINT, ("public", 1.0), ("public", 0.3), ("occupational", 0.7)),),
    ),
    "best-estimate": _Recipe(
        seed=20, families=RAISED, count=24, reach=35.0, heights=(5.0, 25.0),
        limit_set="ICNIRP2020", reflection=BY_SURFACES, conservative=False, surfaces=_ROOFS,
        structures=_BUILT,
        looks=(
            _plan(50.0, None, THREE, ("public", 1.0)),
            _upright(5.0, 60.0, (0.0, 35.0), POINT, ("public", 3.0)),
        ),
    ),
    "town": _Recipe(
        seed=21, families=(sector, sector, beams, stick, dish), count=40, reach=80.0,
        heights=(4.0, 20.0), limit_set="EU", reflection=GROUND, surfaces=(_YARD,),
        looks=(_plan(120.0, 4.0, POINT, ("public", 1.0)),),
    ),
    "sixty": _Recipe(
        seed=22, families=ALL, count=60, reach=140.0, heights=(4.0, 20.0),
        limit_set="FCC", reflection=GROUND, power=0.6, tilted=True,
        looks=(
            _plan(200.0, 1.5, POINT, ("public", 1.0), ("occupational", 1.0)),
            _upright(45.0, 150.0, (0.2, 40.0), POINT, ("occupational", 0.5)),
        ),
    ),
}  # fmt: skip

KEYS = tuple(_RECIPES)


def generated(key: str) -> Subject:
    """Return the invented site of a key, always the same."""
    recipe = _RECIPES[key]
    rng = np.random.default_rng(recipe.seed)
    antennas = tuple(_antenna(rng, recipe, i) for i in range(recipe.count))
    site = Site(
        name=f"{key} (invented)",
        story=f"Invented from seed {recipe.seed}; stands nowhere.",
        antennas=antennas,
        limit_set=recipe.limit_set,
        reflection=recipe.reflection,
        conservative=recipe.conservative,
        surfaces=recipe.surfaces,
        structures=recipe.structures,
    )
    return Subject(site, recipe.looks)


def _antenna(rng: np.random.Generator, recipe: _Recipe, i: int) -> Antenna:
    family = recipe.families[i % len(recipe.families)]
    offer = family(rng)
    x, y = (float(v) for v in np.round(rng.uniform(-recipe.reach, recipe.reach, 2), 2))
    grounded = offer.kind.has_own_ground
    z = 0.0 if grounded else round(float(rng.uniform(*recipe.heights)), 2)
    tilt, roll = np.round(rng.uniform([-3.0, -5.0], [12.0, 5.0]), 1)
    turned = recipe.tilted and not grounded
    low, high = offer.watts
    carriers = tuple(
        Carrier(
            name=f"carrier {n + 1}",
            frequency=f,
            power=Power(
                transmitter=float(
                    f"{recipe.power * np.exp(rng.uniform(np.log(low), np.log(high))):.3g}"
                ),
                loss=float(rng.integers(0, 4)) / 2.0,
            ),
        )
        for n, f in enumerate(offer.frequencies)
    )
    # On a full site some are not simply on, and some have their own word on reflection and estimate.
    state = State(Condition.REDUCED, 40.0) if i % 7 == 5 else State()
    if i % 11 == 9:
        state = State(Condition.LOCKED_OUT)
    return Antenna(
        name=f"{i + 1} {family.__name__} (invented)",
        kind=offer.kind,
        position=(x, y, z),
        azimuth=float(rng.integers(0, 360)),
        tilt=float(tilt) if turned else 0.0,
        roll=float(roll) if turned else 0.0,
        carriers=carriers,
        state=state,
        reflection=TWO_RAY if i % 8 == 6 and not grounded else None,
        conservative=False if i % 9 == 7 else None,
    )
