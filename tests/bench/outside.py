"""Attack zones and fences from outside their frames: no place over that is neither in a zone nor said to be open.

    python tests/bench/outside.py [--sites N] [--places N] [--first SEED]

Each site of tests/support/layouts.py has its own surfaces, one above another, with and without extent, undrawn
ground, canopies and steps. Places lie up to ten times the frame away, on every floor and where nothing is drawn, at
heights of the body to the centimetre. Fences are fitted and checked on the same sites; where a check says that they
hold, places that are on their terraces outside of all of them are read. Exit code 1 if anything was over.
"""

from __future__ import annotations

import argparse
import multiprocessing
import sys
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))
sys.path.insert(0, str(Path(__file__).parents[1]))

import numpy as np
import shapely

from core.fences.site_fences import check_plan, fence_view, fit_plan
from core.proof.tolerance import Ceiling
from core.zones.site_zones import site_zone
from support.fenced import over_outside
from support.layouts import layout
from support.outside import throw

ASKED = (("public", 1.0), ("occupational", 1.0))


def work(task: tuple[int, int]) -> list[dict[str, object]]:
    """Prove, throw and fence one site; return a row for each zone."""
    seed, count = task
    site, rows = layout(seed), []
    for tier, threshold in ASKED:
        begin = time.process_time()
        one = site_zone(site, threshold, tier, fence_view(site), ceiling=Ceiling(120.0))
        seconds = time.process_time() - begin
        thrown = throw(site, one, tier, threshold, count, seed)
        fences = fit_plan(site, one)
        checks = check_plan(site, fences, one)
        loose = over_outside(site, one, fences, tier, threshold, count // 10, seed)
        outlines = [shapely.Polygon(f.outline) for f in fences]
        rows.append(
            {
                "seed": seed, "tier": tier, "area": one.area, "complete": one.complete, "open": one.open_sides,
                "seconds": seconds, "places": thrown.count, "worst": thrown.worst, "at": thrown.place,
                "floor": thrown.named, "over": thrown.over,
                "holds": all(c.holds for c in checks.values()),
                "says": [c.words() for c in checks.values() if not c.holds],
                "loose": loose, "corners": [len(f.outline) for f in fences],
                "ratio": sum(p.area for p in outlines) / one.area if one.area > 0.5 else None,
                "grown": sum(p.area for p in outlines) / one.region.buffer(0.5).area if one.area > 0.5 else None,
            }
        )  # fmt: skip
    return rows


def main() -> int:
    """Run and print; 1 if a place escaped or a fence held on paper only."""
    parser = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    parser.add_argument("--sites", type=int, default=40)
    parser.add_argument("--places", type=int, default=100_000)
    parser.add_argument("--first", type=int, default=0)
    args = parser.parse_args()
    tasks = [(seed, args.places) for seed in range(args.first, args.first + args.sites)]
    rows: list[dict] = []
    with multiprocessing.get_context("spawn").Pool() as pool:
        for some in pool.imap_unordered(work, tasks):
            for row in some:
                rows.append(row)
                bad = row["over"] or row["loose"] or not row["holds"]
                print(
                    f"{row['seed']} {row['tier']}: {row['area']:.1f} m², {row['seconds']:.1f} s, "
                    f"worst {row['worst']:.4f}"
                    f"{' OPEN ' + str(row['open']) if row['open'] else ''}{'' if row['complete'] else ' LOOSE'}"
                    f"{' BAD ' + str({k: row[k] for k in ('over', 'at', 'floor', 'loose', 'says')}) if bad else ''}",
                    flush=True,
                )
    bad = [r for r in rows if r["over"] or r["loose"]]
    corners = np.array([c for r in rows for c in r["corners"]])
    ratios, grown = (np.array([r[k] for r in rows if r[k] is not None]) for k in ("ratio", "grown"))
    print(
        f"{len(rows)} zones, {sum(r['places'] for r in rows)} places, {len(bad)} with a place over outside"
    )
    print(
        f"fences: {len(corners)}, {100 * np.mean(corners <= 8):.0f} % with at most 8 corners, most {corners.max()}"
    )
    print(
        f"area of fences to zone: median {np.median(ratios):.2f}, 95th {np.percentile(ratios, 95):.2f}"
    )
    print(f"to the zone grown by the margin: median {np.median(grown):.2f}")
    print(f"checks that do not hold: {sum(not r['holds'] for r in rows)}")
    return 1 if bad else 0


if __name__ == "__main__":
    sys.exit(main())
