"""Power plans: time and proof of the optimum for many emitters along a ladder, and on a roof.

    python tests/bench/plans.py

The bar is 40 emitters of 4 steps each over a 60 m ladder in under 5 s on an idle core.
"""

from __future__ import annotations

import sys
import time
from dataclasses import replace
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))
sys.path.insert(0, str(Path(__file__).parents[1]))

import numpy as np

from core.entry.areas import on_ladder, on_surface
from core.entry.criteria import Criterion
from core.entry.pieces import Area
from core.entry.power_plan import PowerPlan, power_plan
from core.exposure.sources import sources
from core.site.allowance import Allowance
from core.site.places import Ladder, Structure, Surface
from core.site.site import Antenna, Site
from support.invented_antennas import (
    dish,
    fm,
    powered,
    sector,
    stick,
    television,
    turnstile,
    whip,
    yagi,
)

FAMILIES = (sector, stick, yagi, sector, fm, dish, stick, whip, sector, turnstile, television)
STEPS = (75.0, 50.0, 30.0, 25.0, 20.0, 10.0, 5.0)
SQUARE = ((-0.6, -0.6), (0.6, -0.6), (0.6, 0.6), (-0.6, 0.6))
YARD = ((-60.0, -60.0), (60.0, -60.0), (60.0, 60.0), (-60.0, 60.0))


def tower(seed: int, count: int, height: float = 60.0) -> Site:
    """Return an invented tower with so many antennas about its ladder, of all kinds, each with 4 steps."""
    rng = np.random.default_rng(seed)
    antennas = []
    for i in range(count):
        offer = FAMILIES[i % len(FAMILIES)](rng)
        angle, out = rng.uniform(0.0, 2.0 * np.pi), rng.uniform(1.2, 3.0)
        carriers = powered(offer, rng)
        antennas.append(
            Antenna(
                name=f"{i + 1} {FAMILIES[i % len(FAMILIES)].__name__} (invented)",
                kind=offer.kind,
                position=(
                    float(out * np.sin(angle)),
                    float(out * np.cos(angle)),
                    float(rng.uniform(4.0, height)),
                ),
                azimuth=float(np.degrees(angle)),
                carriers=carriers,
                owner=f"owner {int(rng.integers(0, 1 + count // 3))} (invented)",
                allows=Allowance(steps=(*rng.choice(STEPS, 3, replace=False).tolist(), 0.0)),
            )
        )  # fmt: skip
    return Site(
        name=f"tower of {count} (invented)",
        antennas=tuple(antennas),
        surfaces=(Surface(name="Yard", kind="ground", height=0.0, outline=YARD),),
        structures=(Structure(name="Tower", kind="tower", outline=SQUARE, base=0.0, top=height),),
        ladders=(Ladder(name="Ladder", points=((0.0, 0.7, 0.0), (0.0, 0.7, height))),),
    )


def said(found: PowerPlan) -> str:
    """Return what was found in one line, with the bound."""
    if found.best is None or found.least is None:
        change = len(found.change.broken) if found.change is not None else "?"
        return f"none ({change} rules in the way)"
    best, least = found.best, found.least
    return (
        f"{len(best.steps)} emitters, {len(best.owners)} owners, {best.lost:.0f} W; proven least "
        f"{least.touched:g}, {least.owners:g}, {least.lost:.0f} W ({'exact' if least.exact else 'NOT exact'}); "
        f"{least.branches} branches, {least.rounds} rounds, {least.places} places, {least.passed} passed over; "
        f"{len(found.others)} next best"
    )


def timed(what: str, site: Site, area: Area, criterion: Criterion, others: int = 0) -> None:
    """Print how long a plan takes, and what it is."""
    wall, work = time.perf_counter(), time.process_time()
    found = power_plan(site, area, (criterion,), others=others)
    wall, work = time.perf_counter() - wall, time.process_time() - work
    print(f"{what}: {wall:.2f} s ({work:.2f} s of work); {said(found)}", flush=True)


def main() -> None:
    """Print a line for each case."""
    for seed in (1, 2, 3):
        site = tower(seed, 40)
        # What any figure of the site needs once: the antennas' models and their whole power.
        work = time.process_time()
        sources(site)
        print(f"models of 40 antennas, seed {seed}: {time.process_time() - work:.2f} s of work")
        ladder = on_ladder(site.ladders[0])
        for percent in (100.0, 300.0):
            for others in (0, 2):
                what = f"60 m ladder, 40 emitters, seed {seed}, {percent:g} %, {others} next best"
                timed(what, site, ladder, Criterion("occupational", percent), others)
    site = replace(tower(4, 12), ladders=())
    for size in (4.0, 20.0):
        area = on_surface(site, "Yard", (3.0, 3.0, 3.0 + size, 3.0 + size))
        timed(f"yard {size:g} m square, 12 emitters", site, area, Criterion("public"))


if __name__ == "__main__":
    main()
