"""Cost of proven zones against a plain full grid: ratios of one run, never a timed test.

    python tests/bench/zones.py

The grid uses the same field code in float64 at the spacing given; a strip of it is timed and scaled to
the whole, because the whole takes minutes. Sites are invented.
"""

from __future__ import annotations

import resource
import sys
import time
from dataclasses import replace
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))
sys.path.insert(0, str(Path(__file__).parents[1]))

import numpy as np

from core.antennas.panel import Panel, PanelBand
from core.antennas.stack import Stack
from core.exposure.totals import exposure
from core.proof.tolerance import Tolerance
from core.site.site import Antenna, Carrier, Power, Site
from core.views.body import POINT
from core.views.views import Height, PlanView
from core.zones.zone import Zone, zone
from support.generated_sites import generated

PANEL = Panel(
    length=2.0,
    width=0.35,
    bands=(PanelBand(low=7e8, high=9e8, elements=6, spacing=0.32, electrical_tilt=0.0),),
)
FM = Stack(bay="vertical-dipole", bays=4, design_frequency=98e6, beam_tilt=0.0)
STICK = Stack(bay="vertical-dipole", bays=8, design_frequency=450e6, spacing=0.85, beam_tilt=0.0)


def site(count: int, size: float) -> Site:
    """Return a site of ``count`` panels, sticks and FM stacks spread over a square."""
    rng = np.random.default_rng(3)
    antennas = []
    for i in range(count):
        kind, frequency, watts = ((PANEL, 751e6, 120.0), (STICK, 450e6, 100.0), (FM, 98e6, 800.0))[
            i % 3
        ]
        x, y = rng.uniform(-0.35 * size, 0.35 * size, 2)
        antennas.append(
            Antenna(
                name=f"a{i}",
                kind=kind,
                position=(float(x), float(y), float(rng.uniform(3.0, 12.0))),
                azimuth=float(rng.uniform(0, 360)),
                carriers=(Carrier(name="c", frequency=frequency, power=Power(transmitter=watts)),),
            )
        )
    return Site(name="bench", antennas=tuple(antennas))


def view(size: float) -> PlanView:
    half = size / 2.0
    return PlanView((-half, -half, half, half), Height(1.5), POINT)


def grid_seconds(chosen: Site, size: float, spacing: float) -> float:
    """Return the time of the full grid, from a strip of 200 000 points through the middle."""
    across = int(size / spacing)
    rows = max(1, 200_000 // across)
    u = np.tile((np.arange(across) + 0.5) * spacing - size / 2.0, rows)
    v = np.repeat((np.arange(rows) - rows / 2.0) * spacing, across)
    points = np.stack([u, v, np.full_like(u, 1.5)], axis=1)
    exposure(chosen, points[:1000])
    started = time.perf_counter()
    for start in range(0, len(points), 8192):
        exposure(chosen, points[start : start + 8192])
    return (time.perf_counter() - started) * across / rows


def said(what: str, one: Zone) -> None:
    """Print what a zone has cost, in all and for each metre of its edge."""
    edge = one.region.length
    print(
        f"  {what}: {one.seconds:6.2f} s, {one.evaluations} evaluations, edge {edge:.0f} m, "
        f"{one.evaluations / edge:.0f} evaluations a metre; {one.message}"
    )


def main() -> None:
    size = 200.0
    seven = site(7, size)
    zone(seven, 1.0, "public", view(size), Tolerance(percent=None, metres=1.0))
    print("7 antennas, 200 m × 200 m, public limit at 1.5 m, tolerance in metres alone")
    print(
        f"{'h m':>6} {'proven s':>9} {'evaluations':>12} {'grid s':>9} {'grid evals':>11} {'ratio':>7} {'area m²':>9}"
    )
    last: tuple[float, float] | None = None
    for spacing in (0.4, 0.2, 0.1, 0.05):
        found = zone(seven, 1.0, "public", view(size), Tolerance(percent=None, metres=spacing))
        grid = grid_seconds(seven, size, spacing)
        evals = 7 * (size / spacing) ** 2
        line = f"{spacing:6.2f} {found.seconds:9.2f} {found.evaluations:12d} {grid:9.1f} {evals:11.3g} "
        print(line + f"{grid / found.seconds:7.1f} {found.area:9.2f}")
        if last is not None:
            growth = np.log(found.evaluations / last[1]) / np.log(last[0] / spacing)
            print(f"       evaluations grow as 1/h^{growth:.2f}")
        last = spacing, float(found.evaluations)
    print("\ntolerance against excess (7 antennas): area over that at 0.5 % and 5 mm")
    exact = zone(seven, 1.0, "public", view(size), Tolerance(percent=0.5, metres=0.005)).area
    for percent, metres in ((1.0, 0.01), (2.0, 0.05), (5.0, 0.1), (10.0, 0.25)):
        one = zone(seven, 1.0, "public", view(size), Tolerance(percent=percent, metres=metres))
        print(
            f"  {percent:4.1f} % or {metres:4.2f} m: {100.0 * (one.area / exact - 1.0):6.2f} %, {one.seconds:5.2f} s"
        )
    print("\ngrowth with antennas, 400 m, 0.05 m or 1 %; the cost follows the length of the edge")
    for count in (15, 30, 60, 120):
        one = zone(
            site(count, 400.0), 1.0, "public", view(400.0), Tolerance(percent=1.0, metres=0.05)
        )
        said(f"{count:3d} antennas of three kinds", one)
    print("\nsites of unlike antennas, at the default tolerance, models made before")
    for key in ("roof", "best-estimate", "town", "sixty"):
        subject = generated(key)
        look = subject.looks[0]
        tier, threshold = look.asked[0]
        zone(subject.site, threshold, tier, look.view, Tolerance(percent=10.0, metres=1.0))
        one = zone(subject.site, threshold, tier, look.view)
        said(f"{len(subject.site.antennas):3d} antennas, {key}", one)
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1e6
    print(f"\npeak memory {peak:.2f} GB")
    off = replace(seven, antennas=())
    assert zone(off, 1.0, "public", view(size)).region.is_empty


if __name__ == "__main__":
    main()
