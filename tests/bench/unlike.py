"""Unlike antennas: a site of sixty, no two the same, from nothing to its first maps, beside as many like ones.

    python tests/bench/unlike.py [--full] [SEED ...]

``--full`` draws the full pictures too.

The bar is 2 s of one core's work for models and first look of sixty unlike ones together.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Callable
from functools import partial
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))
sys.path.insert(0, str(Path(__file__).parents[1]))

import numpy as np

from app.window.pane import COARSE, FINE, ROUGH, shape
from core.exposure.raster import LayerCache, raster
from core.exposure.sources import sources
from core.site.places import Surface
from core.site.site import Antenna, Site
from core.views.defaults import default_elevation, default_plan
from support.invented_antennas import (
    Offer,
    dish,
    fm,
    measured,
    powered,
    sector,
    stick,
    television,
    turnstile,
    whip,
    yagi,
)  # fmt: skip

FAMILIES = (sector, fm, stick, sector, television, dish, yagi, whip, turnstile, stick, measured)
YARD = ((-60.0, -60.0), (60.0, -60.0), (60.0, 60.0), (-60.0, 60.0))


def tower(seed: int, count: int, *, like: bool = False) -> Site:
    """Return an invented tower with so many antennas of all kinds; ``like`` ones of a kind have the same parameters."""
    rng = np.random.default_rng(seed)
    drawn: dict[str, Offer] = {}
    antennas = []
    for i in range(count):
        family = FAMILIES[i % len(FAMILIES)]
        offer = family(rng)
        if like:
            offer = drawn.setdefault(family.__name__, offer)
        angle, out = rng.uniform(0.0, 2.0 * np.pi), rng.uniform(1.2, 3.0)
        carriers = powered(offer, rng)
        at = float(out * np.sin(angle)), float(out * np.cos(angle)), float(rng.uniform(4.0, 60.0))
        antennas.append(
            Antenna(
                name=f"{i + 1} {family.__name__} (invented)",
                kind=offer.kind,
                position=at,
                azimuth=float(np.degrees(angle)),
                carriers=carriers,
            )
        )
    return Site(
        name=f"tower of {count} (invented)",
        antennas=tuple(antennas),
        surfaces=(Surface(name="Yard", kind="ground", height=0.0, outline=YARD),),
    )


def work_of(step: Callable[[], object]) -> float:
    """Return the seconds of the process's own work that a step takes, on all its threads."""
    before = time.process_time()
    step()
    return time.process_time() - before


def measure(site: Site, cells: tuple[int, ...]) -> dict[str, float]:
    """Return seconds by what was done, in the order in which a window does it."""
    plan = default_plan(site)
    cut = default_elevation(site, 0.0)
    cache = LayerCache()
    took = {"models": work_of(partial(sources, site))}
    for across in cells:
        for name, view in (("plan", plan), ("elevation", cut)):
            look = partial(raster, site, view, shape(view, across), cache, quick=across != FINE)
            took[f"{name}, {across} cells across"] = work_of(look)
    return took


def main() -> None:
    """Print a line for each step: unlike, like, and their ratio."""
    full = "--full" in sys.argv
    cells = (ROUGH, COARSE, FINE) if full else (ROUGH, COARSE)
    sources(tower(1000, 1))
    for seed in [int(word) for word in sys.argv[1:] if word.isdigit()] or (1, 2, 3):
        unlike, like = tower(seed, 60), tower(seed + 500, 60, like=True)
        count = sum(len(a.carriers) for a in unlike.antennas)
        print(f"seed {seed}: 60 antennas, {count} carriers; seconds of work: unlike, like, ratio")
        there, beside = measure(unlike, cells), measure(like, cells)
        for word, taken in there.items():
            print(f"  {word:28} {taken:7.2f} {beside[word]:7.2f} {taken / beside[word]:6.1f}")
        first = sum(t for word, t in there.items() if word == "models" or f" {ROUGH} " in word)
        print(f"  {'models and first look':28} {first:7.2f}", flush=True)


if __name__ == "__main__":
    main()
