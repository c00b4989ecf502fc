"""A fleet of generated sites: a plain loop against processes and a local cluster in one run, a kill, memory.

python tests/bench/fleet.py [--sites 200] [--workers 2]

Sites are invented (a second of work or less each); three broken ones are among them. Prints ratios of one run; what
else runs on the machine at that time falls on both sides of a ratio, but not evenly.
"""

from __future__ import annotations

import argparse
import json
import os
import resource
import signal
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from functools import partial
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))
sys.path.insert(0, str(Path(__file__).parents[1]))

from app.cli.zones import SOFTWARE
from core.fleet import distributed, processes
from core.fleet.plan import Plan
from core.fleet.run import Engine, run
from support.fleets import BROKEN, one_by_one, write_fleet
from support.places import ROOT


def timed(what: str, plan: Plan, table: Path, engine: Engine) -> float:
    """Run a fleet and return how long it took, s."""
    cpu, started = os.times(), time.perf_counter()
    fleet = run(plan, table, engine)
    seconds = time.perf_counter() - started
    now = os.times()
    spent = now.user - cpu.user + now.children_user - cpu.children_user
    names = sorted(a.name for a in fleet.broken)
    print(
        f"{what}: {seconds:.1f} s ({spent:.1f} s of processor), {len(fleet.sites)} sites, broken: "
        f"{', '.join(names)}", flush=True,
    )  # fmt: skip
    assert names == sorted(BROKEN)
    return seconds


def killed(folder: Path, table: Path, workers: int, after: int) -> list[str]:
    """Start the command, kill it when so many sites are done, and return them."""
    journal = table.with_name(f"{table.name}.journal")
    words = ["fleet", str(folder), "-o", str(table), "--workers", str(workers)]
    child = subprocess.Popen(
        [sys.executable, "-m", "app", *words], cwd=ROOT, stderr=subprocess.DEVNULL, stdout=subprocess.DEVNULL
    )  # fmt: skip
    while not journal.exists() or journal.read_bytes().count(b"\n") <= after:
        time.sleep(0.01)
    child.send_signal(signal.SIGKILL)
    child.wait()
    return [json.loads(line)["name"] for line in journal.read_bytes().split(b"\n")[1:-1]]


def resumed(folder: Path, table: Path, workers: int) -> tuple[list[str], int]:
    """Run the command again; return the files it worked on, and the peak memory of one of its processes, bytes."""
    words = ["fleet", str(folder), "-o", str(table), "--workers", str(workers)]
    done = subprocess.run(
        [sys.executable, "-m", "app", *words], cwd=ROOT, capture_output=True, text=True, check=False
    )  # fmt: skip
    assert done.returncode == 1, done.stderr
    names = [line.split(": ")[1] for line in done.stderr.splitlines() if " of " in line]
    return names, 1024 * resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    parser.add_argument("--sites", type=int, default=200)
    parser.add_argument("--workers", type=int, default=2)
    parser.add_argument("--busy", action="store_true", help="sites that take some ten times longer")
    args = parser.parse_args()
    with tempfile.TemporaryDirectory() as place:
        folder, tables = Path(place) / "sites", Path(place)
        names = write_fleet(folder, args.sites, broken=True, busy=args.busy)
        plan = Plan(folder=str(folder), software=SOFTWARE)
        print(f"load {os.getloadavg()[0]:.1f} on {os.cpu_count()} cores")
        engines: dict[str, Callable[[], Engine]] = {
            "plain loop": lambda: one_by_one,
            f"{args.workers} processes": lambda: partial(processes.answers, workers=args.workers),
        }
        seconds = {
            name: timed(name, plan, tables / f"{i}.csv", make())
            for i, (name, make) in enumerate(engines.items())
        }
        first, second = seconds.values()
        print(f"ratio {first / second:.2f}, {args.sites / second:.1f} sites a second")
        plain = (tables / "0.csv").read_bytes()
        assert (tables / "1.csv").read_bytes() == plain
        table = tables / "killed.csv"
        before = killed(folder, table, args.workers, len(names) // 2)
        after, peak = resumed(folder, table, args.workers)
        assert not set(before) & set(after), "something was repeated"
        assert table.read_bytes() == plain
        print(
            f"killed after {len(before)}, then {len(after)} more, none twice, the same table; "
            f"peak memory of a process {peak / 1e6:.0f} MB"
        )
        try:
            from distributed import LocalCluster
        except ImportError:
            print("dask.distributed is not here: no cluster")
            return
        with LocalCluster(n_workers=2, threads_per_worker=1, dashboard_address=None) as cluster:
            engine = partial(distributed.answers, address=cluster.scheduler_address)
            third = timed("local cluster of two workers", plan, tables / "cluster.csv", engine)
        assert (tables / "cluster.csv").read_bytes() == plain
        print(f"the same table, byte for byte; ratio {first / third:.2f}")


if __name__ == "__main__":
    main()
