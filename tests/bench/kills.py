"""Kills during saves of every kind of file the program writes, and saves on a disk without room.

    python tests/bench/kills.py [--kills N] [--edits N] [--seed N]

A document is edited and saved at random until its process is killed: the file is whole, no finished edit is missing
after recovery, nothing is left beside it. Then, of each kind of file, a child saves two versions in turn through a
symbolic link until it is killed. Whole every time means: the file is one of the two versions; the next save leaves
nothing else in the folder; link and rights are kept.
"""

from __future__ import annotations

import argparse
import random
import sys
import tempfile
from collections import Counter
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))
sys.path.insert(0, str(Path(__file__).parents[1]))

from PySide6.QtCore import QCoreApplication

from support.editing import kept_after_kill
from support.killing import jobs, killed, without_room


def main() -> int:
    """Run, print, and return 1 if anything was not whole."""
    parser = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    parser.add_argument("--kills", type=int, default=540, help="shared out over the kinds of file")
    parser.add_argument("--edits", type=int, default=300, help="kills while a document is edited")
    parser.add_argument("--seed", type=int, default=1)
    args = parser.parse_args()
    rng = random.Random(args.seed)
    faults: Counter[str] = Counter()
    app = QCoreApplication([])
    with tempfile.TemporaryDirectory() as place:
        for i in range(args.edits):
            for fault in kept_after_kill(Path(place) / str(i), rng):
                faults[f"editing: {fault}"] += 1
    app.processEvents()
    print(f"editing and saving: {args.edits} kills", flush=True)
    known = jobs()
    with tempfile.TemporaryDirectory() as place:
        for name, job in known.items():
            count = -(-args.kills // len(known))
            for i in range(count):
                for fault in killed(job, Path(place) / f"{name} {i}", rng):
                    faults[f"{name}: {fault}"] += 1
            for fault in without_room(job, Path(place) / f"{name} without room"):
                faults[f"{name}, full disk: {fault}"] += 1
            print(f"{name}: {count} kills and a full disk", flush=True)
    for fault, number in faults.most_common():
        print(f"FAULT {number} times: {fault}")
    print("whole every time" if not faults else f"{sum(faults.values())} faults")
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main())
