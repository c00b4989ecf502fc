"""Changes one sign, factor or index of core at a time and prints which change no test sees.

    python tests/bench/mutants.py [--jobs N] [--only TEXT]

Each change is made in a copy of the project, where the tests that belong to it run until the first failure. A
change that survives is either a hole in the tests or explained in its row (tests/support/mutants.py).
"""

from __future__ import annotations

import argparse
import os
import shutil
import subprocess
import sys
import tempfile
import time
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

from support.mutants import MUTANTS, Mutant

ROOT = Path(__file__).parents[2]
SECONDS = 420


def tried(mutant: Mutant) -> tuple[str, float, str]:
    """Return caught, survived, too slow or error, the seconds it took, and the test that saw it."""
    started = time.perf_counter()
    with tempfile.TemporaryDirectory() as place:
        copy = Path(place) / "project"
        for name in ("core", "app", "tests", "demo_sites"):
            shutil.copytree(ROOT / name, copy / name, ignore=shutil.ignore_patterns("__pycache__"))
        for name in ("pyproject.toml", "README.md", "DEVELOPERS.md"):
            shutil.copy(ROOT / name, copy / name)
        path = copy / "core" / mutant.file
        text = path.read_text("utf-8")
        if text.count(mutant.old) != 1:
            return "error", 0.0, f"{text.count(mutant.old)} places match"
        path.write_text(text.replace(mutant.old, mutant.new), "utf-8")
        words = [
            sys.executable,
            "-m",
            "pytest",
            "-x",
            "-q",
            "-p",
            "no:cacheprovider",
            "--hypothesis-seed=0",
            # The table itself would see every change.
            "--ignore=tests/senses/test_mutants.py",
        ]
        tests = [t for t in mutant.tests.split() if (ROOT / t).exists()]
        try:
            done = subprocess.run(
                [*words, *tests], cwd=copy, capture_output=True, text=True, timeout=SECONDS, check=False,
                env={**os.environ, "QT_QPA_PLATFORM": "offscreen", "ISOFENCE_TESTS": "full"},
            )  # fmt: skip
        except subprocess.TimeoutExpired:
            return "too slow", time.perf_counter() - started, ""
    failed = [line for line in done.stdout.splitlines() if line.startswith(("FAILED", "ERROR"))]
    verdict = "survived" if done.returncode == 0 else "caught" if failed else "error"
    return verdict, time.perf_counter() - started, failed[0][:110] if failed else done.stdout[-200:]


def main() -> int:
    """Run, print, and return 1 if a change survived without a reason or a row no longer fits."""
    parser = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    parser.add_argument("--jobs", type=int, default=2)
    parser.add_argument("--only", default="", help="rows whose file or text holds this")
    args = parser.parse_args()
    rows = [m for m in MUTANTS if args.only in f"{m.file} {m.old}"]
    counts: dict[str, int] = {}
    bad = 0
    with ThreadPoolExecutor(args.jobs) as pool:
        for mutant, (verdict, seconds, seen) in zip(rows, pool.map(tried, rows), strict=True):
            counts[verdict] = counts.get(verdict, 0) + 1
            bad += verdict == "error" or (verdict == "survived" and not mutant.why)
            mark = "" if verdict in ("caught", "too slow") else "  <<<<"
            print(
                f"{verdict:9s} {seconds:5.0f} s  {mutant.file}: {mutant.old!r} -> {mutant.new!r}  {seen}{mark}",
                flush=True,
            )
    caught = counts.get("caught", 0) + counts.get("too slow", 0)
    print(f"{len(rows)} changes: {counts}; {100.0 * caught / max(len(rows), 1):.1f} % caught")
    for mutant in rows:
        if mutant.why:
            print(f"explained: {mutant.file}: {mutant.old!r}: {mutant.why}")
    return 1 if bad else 0


if __name__ == "__main__":
    sys.exit(main())
