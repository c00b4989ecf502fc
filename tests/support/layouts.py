"""Invented sites whose danger goes past what is drawn: small frames, undrawn ground, canopies, steps, neighbours.

Nothing here stands anywhere. Every site follows from its seed.
"""

from __future__ import annotations

import numpy as np

from core.site.places import Structure, Surface
from core.site.reflection import BY_SURFACES, Reflection, ReflectionKind
from core.site.site import Antenna, Carrier, Power, Site
from support.invented_antennas import (
    Family,
    dish,
    fm,
    generic,
    measured,
    sector,
    stick,
    unknown,
    yagi,
)

FAMILIES: tuple[Family, ...] = (fm, stick, sector, measured, dish, yagi, generic, unknown)
SETS = ("FCC", "ICNIRP2020", "SC6-2015")
REFLECTIONS = (BY_SURFACES, Reflection(ReflectionKind.NONE), Reflection(ReflectionKind.GROUND))

Outline = tuple[tuple[float, float], ...]


def rectangle(x: float, y: float, wide: float, deep: float, turn: float = 0.0) -> Outline:
    """Corners of a rectangle about (x, y), turned by degrees."""
    c, s = np.cos(np.radians(turn)), np.sin(np.radians(turn))
    half = ((-wide, -deep), (wide, -deep), (wide, deep), (-wide, deep))
    return tuple(
        (round(x + (u * c - v * s) / 2, 3), round(y + (u * s + v * c) / 2, 3)) for u, v in half
    )


def layout(seed: int) -> Site:
    """Return a site of one to four antennas over surfaces drawn at random."""
    rng = np.random.default_rng([2026, seed])
    roof = float(np.round(rng.uniform(3.0, 20.0), 1))
    surfaces = _surfaces(rng, roof)
    west, south, east, north = -8.0, -6.0, 8.0, 6.0
    antennas = []
    for i in range(int(rng.integers(1, 5))):
        offer = FAMILIES[int(rng.integers(len(FAMILIES)))](rng)
        up = float(rng.choice([0.4, 1.2, 2.5, 5.0]))
        antennas.append(
            Antenna(
                name=f"antenna {i + 1}", kind=offer.kind,
                position=(
                    round(float(rng.uniform(west, east)), 2), round(float(rng.uniform(south, north)), 2),
                    round(roof + up, 2),
                ),
                azimuth=float(rng.integers(0, 360)),
                carriers=tuple(
                    Carrier(
                        name=f"c{j}", frequency=f,
                        power=Power(transmitter=float(f"{0.3 * np.exp(rng.uniform(*np.log(offer.watts))):.3g}")),
                    )
                    for j, f in enumerate(offer.frequencies[:2])
                ),
            )
        )  # fmt: skip
    extent = None if rng.random() < 0.5 else (west - 1.0, south - 1.0, east + 1.0, north + 1.0)
    walls = ()
    if rng.random() < 0.4:
        line = ((west, north - 1.0), (east, north - 1.0))
        kind = str(rng.choice(["wall", "railing"]))
        walls = (Structure(name="Barrier", kind=kind, outline=line, base=roof, top=roof + 1.1),)
    return Site(
        name=f"layout {seed}", limit_set=str(rng.choice(SETS)), antennas=tuple(antennas), surfaces=surfaces,
        structures=walls, extent=extent, reflection=REFLECTIONS[int(rng.integers(len(REFLECTIONS)))],
    )  # fmt: skip


def _surfaces(rng: np.random.Generator, roof: float) -> tuple[Surface, ...]:
    """Return a roof, and what a coin decides of ground, canopy, step, platform and a neighbour's roof."""
    made = [Surface(name="Roof", kind="roof", height=roof, outline=rectangle(0, 0, 18, 14))]
    if rng.random() < 0.6:
        ground = rectangle(2, -1, *rng.choice([(24, 18), (60, 45), (400, 300)]))
        made.append(Surface(name="Ground", kind="ground", height=0.0, outline=ground))
    if rng.random() < 0.4:
        # Half of it lies below the roof.
        yard = rectangle(9, 0, 8, 10, float(rng.uniform(0, 40)))
        made.append(Surface(name="Yard", kind="ground", height=round(roof - 2.6, 2), outline=yard))
    if rng.random() < 0.5:
        step = float(rng.choice([0.15, 0.6, 1.5]))
        part = rectangle(-13.0, 2, 8, 10)
        made.append(Surface(name="Step", kind="roof", height=round(roof + step, 3), outline=part))
    if rng.random() < 0.4:
        canopy = rectangle(0, -8, 10, 6, float(rng.uniform(-20, 20)))
        made.append(
            Surface(name="Canopy", kind="platform", height=round(roof + 2.4, 2), outline=canopy)
        )
    if rng.random() < 0.4:
        beside = rectangle(30, 12, 12, 12, 15.0)
        made.append(
            Surface(name="Neighbour", kind="roof", height=round(roof + 0.8, 2), outline=beside)
        )
    return tuple(made)
