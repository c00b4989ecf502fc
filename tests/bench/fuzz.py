"""Mutated files and odd command lines by the thousand, and what of them was not one clear error.

    python tests/bench/fuzz.py [--seed N] [--files N] [--lines N] [KIND SEED ...]

Every case follows from its kind and its seed: name them to run one again. Files are shared out over sites,
patterns, points, pictures and antenna schedules; each case has ten seconds of work, and one that hangs in foreign code
ends with its process.
"""

from __future__ import annotations

import argparse
import multiprocessing
import random
import resource
import sys
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))
sys.path.insert(0, str(Path(__file__).parents[1]))

from support.hostile import KINDS, Tally, cases

SHARES = {"site": 0.5, "pattern": 0.25, "points": 0.1, "picture": 0.1, "schedule": 0.05}
_CHUNK = 250
_LONGEST = 3600.0
"""Seconds without any answer after which a process must have ended for hanging."""


def _work(task: tuple[str, range]) -> tuple[Tally, float]:
    tally = cases(*task)
    return tally, resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1e6


def main() -> int:
    """Run, print, and return 1 if anything was seen that must not be."""
    parser = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    parser.add_argument("--seed", type=int, default=1, help="first seed")
    parser.add_argument("--files", type=int, default=100_000, help="mutated files of all kinds")
    parser.add_argument("--lines", type=int, default=10_000, help="command lines")
    parser.add_argument("case", nargs="*", help="kind and seed of one case to run again")
    args = parser.parse_args()
    total = Tally()
    if args.case:
        kind, seed = " ".join(args.case[:-1]), int(args.case[-1])
        total = cases(kind, range(seed, seed + 1))
    else:
        counts = {kind: round(args.files * share) for kind, share in SHARES.items()}
        counts["command line"] = args.lines
        tasks = [
            (kind, range(first, min(first + _CHUNK, args.seed + counts[kind])))
            for kind in KINDS
            for first in range(args.seed, args.seed + counts[kind], _CHUNK)
        ]
        # Mixed, so that a run that is cut short has tried every kind.
        random.Random(args.seed).shuffle(tasks)
        print(f"seeds from {args.seed}: {counts}", flush=True)
        started, highest = time.perf_counter(), 0.0
        with multiprocessing.get_context("spawn").Pool(maxtasksperchild=20) as pool:
            answers = pool.imap_unordered(_work, tasks)
            for i in range(1, len(tasks) + 1):
                try:
                    tally, memory = answers.next(timeout=_LONGEST)
                except multiprocessing.TimeoutError:
                    total.fault("hung", "the process that ended says above where it was")
                    break
                total.add(tally)
                for what, named in tally.first.items():
                    print(f"FAULT {what}: {', '.join(named)}", flush=True)
                highest = max(highest, memory)
                if i % 40 == 0:
                    print(
                        f"{i} of {len(tasks)} chunks, {dict(total.runs)}, {dict(total.faults)}",
                        flush=True,
                    )
        print(f"{time.perf_counter() - started:.0f} s, largest process {highest:.2f} GB")
        if highest > 2.0:
            total.fault("over 2 GB", f"{highest:.2f} GB")
    for what, count in sorted(total.runs.items()):
        print(f"{what}: {count}")
    for what, count in total.faults.most_common():
        print(f"FAULT {what}: {count}")
        for case in total.first[what][:6]:
            print(f"    {case}")
    print("no fault" if not total.faults else f"{sum(total.faults.values())} faults")
    return 1 if total.faults else 0


if __name__ == "__main__":
    sys.exit(main())
