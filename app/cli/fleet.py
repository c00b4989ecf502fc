"""The ``fleet`` command: the same questions put to every site of a folder, as one table."""

from __future__ import annotations

import argparse
import os
import sys
from functools import partial
from pathlib import Path

from app.cli.command import DONE, FINDING, Command
from app.cli.options import number
from app.cli.zones import SOFTWARE
from core.errors import InputError, printable
from core.fleet import distributed, processes
from core.fleet.plan import Answer, Plan
from core.fleet.run import Engine, run
from core.limits.sets import get_set
from core.reading.cautions import SHORT

MOST_WORKERS = 256


def _options(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("folder", help="every site file under it")
    parser.add_argument("-o", "--output", metavar="TABLE.csv", required=True)
    parser.add_argument(
        "--limits", metavar="SET", help="hold every site against this limit set, not its own"
    )
    parser.add_argument(
        "--against", metavar="FOLDER", help="compare with the states before, under the same names"
    )
    parser.add_argument(
        "--workers", type=int, metavar="N", help="processes (default: one for each core)"
    )
    parser.add_argument(
        "--scheduler", metavar="ADDRESS", help="use a running dask.distributed scheduler instead"
    )
    parser.add_argument(
        "--percent", type=number, default=5.0, metavar="P", help="tolerance of zones, percent"
    )
    parser.add_argument(
        "--metres", type=number, default=0.1, metavar="M", help="tolerance of zones, metres"
    )
    parser.add_argument(
        "--seconds", type=number, default=600.0, metavar="S", help="ceiling for each zone"
    )


def fleet_command(args: argparse.Namespace) -> int:
    """Ask every site, write the table, and name the sites that could not be read."""
    plan = _plan(args)
    fleet = run(plan, Path(args.output), _engine(args), _told)
    sites, broken = len(fleet.sites), fleet.broken
    findings = sum((a.row or {}).get("finding") == "yes" for a in fleet.sites)
    left_out = [a.name for a in fleet.answers if a.row is None]
    if fleet.resumed:
        print(f"{fleet.resumed} were done by a run that was stopped, and not done again")
    for answer in broken:
        print(printable(f"BROKEN: {(answer.row or {})['error']}"))
    for name in fleet.gone:
        print(printable(f"GONE: {name}"))
    if left_out:
        print(printable(f"No sites, left out: {', '.join(left_out[:10])}{_more(len(left_out))}"))
    if plan.against:
        worse = sum((a.row or {}).get("worse") == "yes" for a in fleet.sites)
        print(f"{worse} worse for people than before")
    print(f"{sites} sites, {findings} with findings, {len(broken)} broken")
    print(SHORT)
    print(args.output)
    return FINDING if fleet.finding else DONE


def _plan(args: argparse.Namespace) -> Plan:
    """Return what is asked, refused before any work where it makes no sense."""
    if Path(args.output).suffix.lower() != ".csv":
        raise InputError("is not a CSV name", source=args.output, field="-o", fix="End it in .csv")
    if not 0.1 <= args.seconds <= 36_000.0:
        raise InputError(f"{args.seconds:g}", field="--seconds", fix="Use 0.1 to 36000")
    if args.limits:
        try:
            get_set(args.limits)
        except InputError as error:
            raise error.within("--limits") from None
    plan = Plan(
        folder=args.folder,
        against=args.against or "",
        limits=args.limits or "",
        percent=args.percent,
        metres=args.metres,
        seconds=args.seconds,
        software=SOFTWARE,
    )
    _ = plan.tolerance
    return plan


def _engine(args: argparse.Namespace) -> Engine:
    if args.scheduler:
        if args.workers is not None:
            raise InputError(
                "is the scheduler's own matter", field="--workers", fix="Leave it out beside --scheduler"
            )  # fmt: skip
        distributed.check_scheduler(args.scheduler, 10.0)
        return partial(distributed.answers, address=args.scheduler)
    workers = args.workers if args.workers is not None else os.cpu_count() or 1
    if not 1 <= workers <= MOST_WORKERS:
        raise InputError(f"{workers}", field="--workers", fix=f"Use 1 to {MOST_WORKERS}")
    return partial(processes.answers, workers=workers)


def _told(done: int, count: int, answer: Answer) -> None:
    """Say how far it is, beside what is printed at the end."""
    row = answer.row or {"result": "no site"}
    print(
        printable(f"{done} of {count}: {answer.name}: {row['result']}"), file=sys.stderr, flush=True
    )


def _more(count: int) -> str:
    return f" and {count - 10} more" if count > 10 else ""


COMMAND = Command(
    "fleet", "every site of a folder: zones, signs, fences, changes, as one table", _options, fleet_command
)  # fmt: skip
