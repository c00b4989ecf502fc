"""Zones weighed again from kept bounds beside fresh proofs, for both demo sites: one run, never a timed test.

    python tests/bench/followed.py [SITE/VIEW ...]

Bounds are kept of a site as it is; then one emitter at a time is turned to a half, and the zones of all three
boundaries are asked for, from kept bounds and anew. Seconds are of this process's own processors, on one thread.
"""

from __future__ import annotations

import os
import sys
import time
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import TypeVar

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
os.environ.setdefault("OMP_NUM_THREADS", "1")
sys.path.insert(0, str(Path(__file__).parents[2]))

import numpy as np

from core.caches import SHARED
from core.files.site_file import load_site
from core.proof.tolerance import Ceiling
from core.site.site import Condition, Site, State
from core.views.defaults import default_elevation, default_plan
from core.views.views import View
from core.zones.following import follow, keep
from core.zones.site_zones import SiteZones, site_zones

DEMOS = sorted((Path(__file__).parents[2] / "demo_sites").glob("*/*.json"))
KEPT = Ceiling(seconds=120.0, cells=60_000)
FRESH = Ceiling(seconds=1800.0)
T = TypeVar("T")


def timed(act: Callable[[], T]) -> tuple[float, T]:
    """Return seconds of the process's own work, and what came out."""
    started = time.process_time()
    out = act()
    return time.process_time() - started, out


def halved(site: Site, i: int) -> Site:
    """Return a site with one antenna at half its power."""
    antennas = list(site.antennas)
    antennas[i] = replace(antennas[i], state=State(Condition.REDUCED, 50.0))
    return replace(site, antennas=tuple(antennas))


def areas(zones: SiteZones) -> str:
    """Return the areas of all boundaries, m²."""
    return " / ".join(f"{one.area:.4g}" for _, one in zones.zones)


def said(name: str, site: Site, view: View) -> None:
    """Print one line."""
    SHARED.clear()
    # Models of antennas are made before anything is timed.
    site_zones(halved(site, 0), view, ceiling=Ceiling(seconds=0.1))
    kept, _ = timed(lambda: keep(site, view, ceiling=KEPT))
    size = SHARED.size / 1e6
    spent = [timed(lambda i=i: follow(halved(site, i), view)) for i in range(len(site.antennas))]
    looks = [found for _, found in spent if found is not None]
    median, most = float(np.median([s for s, _ in spent])), max(s for s, _ in spent)
    fresh, proven = timed(lambda: site_zones(halved(site, 0), view, ceiling=FRESH))
    print(
        f"{name}: kept in {kept:.1f} s, {size:.0f} MB in all; weighed again {median:.3f} s (at most {most:.3f} s; "
        f"{len(looks)} of {len(spent)}), fresh {fresh:.1f} s, ratio {fresh / median:.0f}; "
        f"areas {areas(looks[0])} m², fresh {areas(proven)} m²",
        flush=True,
    )


def main(wanted: list[str]) -> None:
    """Print one line for each demo site and view."""
    for path in DEMOS:
        site = load_site(path)
        for name, view in (("plan", default_plan(site)), ("elevation", default_elevation(site))):
            if not wanted or f"{path.stem}/{name}" in wanted:
                said(f"{path.stem}, {name}", site, view)


if __name__ == "__main__":
    main(sys.argv[1:])
