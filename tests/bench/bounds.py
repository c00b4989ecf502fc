"""Hold the bounds of zones against antennas of any size; a long run.

    python tests/bench/bounds.py [--seconds S] [--seed N] [KIND ...]

``surrounded`` is any of them with roofs, ground, walls and towers about it (tests/support/surrounded.py).

Draws antennas of tests/support/wild_antennas.py and patches about them, and compares bound and majorant with
dense samples of the antenna's own field on each patch, in float64. Prints for each kind how many patches were
held and the largest field over its bound; exit code 1 if any exceeds it.
"""

from __future__ import annotations

import argparse
import sys
import time
from collections import Counter
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))
sys.path.insert(0, str(Path(__file__).parents[1]))

import numpy as np

from core.errors import InputError
from support.bound_checks import Ratios, around, ratios
from support.surrounded import patchwork, surrounded, surrounded_ratios
from support.wild_antennas import WILD, Draw

SURROUNDED = "surrounded"

PATCHES = 100
"""Patches about each antenna."""


def main() -> int:
    """Run the command; return its exit code."""
    by_name = {wild.__name__: wild for wild in WILD}
    known = (*by_name, SURROUNDED)
    parser = argparse.ArgumentParser(description=(__doc__ or "").split("\n")[0])
    parser.add_argument("kinds", nargs="*", metavar="KIND", help=f"any of {', '.join(known)}")
    parser.add_argument("--seconds", type=float, default=60.0, metavar="S")
    parser.add_argument("--seed", type=int, default=1, metavar="N")
    options = parser.parse_args()
    wrong = [name for name in options.kinds if name not in known]
    if wrong:
        parser.error(f"unknown kind {wrong[0]!r}")
    rng = np.random.default_rng(options.seed)
    names = tuple(options.kinds) or known
    held: Counter[str] = Counter()
    worst = {name: Ratios(0.0, 0.0, False, False, 1.0, 1.0) for name in names}
    faults = 0
    until = time.perf_counter() + options.seconds
    while time.perf_counter() < until:
        name = Draw(rng).one(names)
        if name == SURROUNDED:
            try:
                site = surrounded(rng)
                found = surrounded_ratios(site, patchwork(site, rng, PATCHES))
            except InputError:
                continue
            held[name] += PATCHES
            if not found.held:
                faults += 1
                print(f"FAULT {site}: {found}")
            worst[name] = max(worst[name], found, key=lambda r: max(r.sup, r.majorant))
            continue
        kind, frequency = by_name[name](Draw(rng))
        try:
            at = around(kind, frequency, rng, PATCHES)
        except InputError:
            # Larger than any antenna is, and refused.
            continue
        for conservative in (True, False):
            found = ratios(kind, frequency, conservative, at)
            held[name] += PATCHES
            if not found.held:
                faults += 1
                print(f"FAULT {kind} at {frequency!r} Hz, conservative {conservative}: {found}")
            worst[name] = max(worst[name], found, key=lambda r: max(r.sup, r.majorant))
    print(
        "| kind | patches | amplitude over supremum | square over majorant |\n|---|---:|---:|---:|"
    )
    for name in names:
        one = worst[name]
        print(f"| {name} | {held[name]} | {one.sup:.9f} | {one.majorant:.9f} |")
    return int(faults > 0)


if __name__ == "__main__":
    sys.exit(main())
