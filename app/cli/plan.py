"""The ``plan`` command: the least that has to be turned down, proven, as a lock-and-tag list."""

from __future__ import annotations

import argparse
import json
from pathlib import Path

import numpy as np

from app.cli.command import DONE, FINDING, Command
from app.cli.options import body_of, body_options, number, numbers, site_of, site_options
from core.entry.areas import at_place, in_box, on_ladder, on_surface
from core.entry.criteria import Criterion
from core.entry.job_plan import from_the_site, garment_criteria, job_plan, without_credit
from core.entry.lock_list import as_data, as_text
from core.entry.pieces import Area
from core.entry.planned import planned_site
from core.entry.plans import Plan
from core.entry.power_plan import power_plan
from core.errors import InputError
from core.exposure.surveyed import raises
from core.files.companions import check_along, take_along
from core.files.paths import same_file
from core.files.site_writer import save_site
from core.limits.tier import TIERS
from core.reading.provisos import uncounted
from core.site.site import Site
from core.site.states import AS_BUILT, put_in_force
from core.site.surfaces import MEANT, foot_height, has_surface
from core.text import LONGEST_NAME, check_text
from core.views.body import CLIMBING, STANDING, Body


def _options(parser: argparse.ArgumentParser) -> None:
    site_options(parser)
    where = parser.add_mutually_exclusive_group(required=True)
    where.add_argument("--at", type=numbers(3), metavar="X,Y,Z", help="for one place, m")
    where.add_argument("--ladder", metavar="NAME", help="for a ladder, or a --span of it")
    where.add_argument("--surface", metavar="NAME", help="for a surface, or a --region of it")
    where.add_argument("--job", metavar="NAME", help="for a job: its way, work and garment")
    where.add_argument(
        "--box", type=numbers(6), metavar="X,Y,Z,X,Y,Z", help="for a box between two corners, m"
    )
    parser.add_argument("--span", type=numbers(2), metavar="LOW,HIGH", help="heights, m")
    parser.add_argument("--region", type=numbers(4), metavar="W,S,E,N", help="piece of it, m")
    parser.add_argument("--target", type=number, metavar="P", help="percent of the limit (100)")
    parser.add_argument("--tier", choices=TIERS, help="whose limit (occupational)")
    parser.add_argument("--margin", type=number, metavar="DB", help="dB to stay under the target")
    parser.add_argument(
        "--garment-of",
        metavar="JOB",
        help="the rating of a job's garment, with its margin, as target",
    )
    body_options(parser)
    parser.add_argument("--when", default="", metavar="TEXT", help="for when it is asked")
    parser.add_argument("--json", action="store_true", help="print data instead of text")
    parser.add_argument(
        "--name", default="power plan", metavar="NAME", help="what the state is called with -o"
    )
    parser.add_argument(
        "-o", "--output", metavar="NEW.json", help="write the site with the plan in force"
    )


def plan_command(args: argparse.Namespace) -> int:
    """Find a plan, print it, and write the site with it in force if that is asked for."""
    check_text(args.when, "--when", LONGEST_NAME)
    for option, goes_with in (("span", "ladder"), ("region", "surface")):
        if getattr(args, option) is not None and getattr(args, goes_with) is None:
            raise InputError(
                f"goes with --{goes_with} only", field=f"--{option}", fix="Leave one of them out"
            )
    job_says = "--job" if args.job is not None else "--garment-of" if args.garment_of else ""
    told = ("target", "tier", "margin", *(("garment_of",) if job_says == "--job" else ()))
    for option in told if job_says else ():
        if getattr(args, option) is not None:
            raise InputError(
                "is what the job says",
                field=f"--{option.replace('_', '-')}",
                fix=f"Leave it out beside {job_says}",
            )
    site = site_of(args)
    output = _output(args)
    if output is not None:
        check_along(site, Path(args.site).parent, output.parent)
    if args.job is not None:
        job = site.job(args.job)
        found = from_the_site(site, job, job_plan(site, job))
    else:
        criteria = _criteria(site, args)
        silent = without_credit(site, criteria)
        found = power_plan(site, _area(site, args), criteria, silent=silent)
    if args.json:
        print(json.dumps(as_data(site, found, args.when), indent=2, ensure_ascii=False))
    else:
        print(as_text(site, found, args.when), end="")
    if found.best is None:
        return FINDING
    if output is not None:
        _write(site, found.best, output, args)
    return FINDING if uncounted(found.best.applied(site)) or raises(site) else DONE


def _criteria(site: Site, args: argparse.Namespace) -> tuple[Criterion, ...]:
    if args.garment_of is None:
        return (Criterion(args.tier or "occupational", _percent(args), args.margin or 0.0),)
    job = site.job(args.garment_of)
    criteria = garment_criteria(planned_site(site, job), job)
    if not criteria:
        raise InputError(
            "has no garment that gets credit",
            source=args.site,
            field=f'job "{job.name}"',
            fix="Give it one, complete, sound and inspected, with its training and reasons told",
        )
    return criteria


def _percent(args: argparse.Namespace) -> float:
    return 100.0 if args.target is None else float(args.target)


def _area(site: Site, args: argparse.Namespace) -> Area:
    if args.ladder is not None:
        return on_ladder(site.ladder(args.ladder), args.span, body_of(args, CLIMBING))
    if args.surface is not None:
        return on_surface(site, args.surface, args.region, body_of(args, STANDING))
    if args.box is not None:
        low, high = args.box[:3], args.box[3:]
        body = body_of(args, STANDING) if args.body or args.climber or args.average else None
        return in_box(low, high, body)
    return at_place(*_place(site, args))


def _place(site: Site, args: argparse.Namespace) -> tuple[tuple[float, float, float], Body]:
    """Return where a body is: standing where the height is that of a surface, else climbing."""
    x, y, z = args.at
    foot = float(foot_height(site, np.array([[x, y, z]]))[0])
    stands = has_surface(site, x, y) and abs(z - foot) <= MEANT
    body = body_of(args, STANDING if stands else CLIMBING)
    return ((x, y, foot) if body.heights == STANDING.heights else (x, y, z)), body


def _output(args: argparse.Namespace) -> Path | None:
    """Refuse what cannot be written before anything is computed."""
    if args.output is None:
        return None
    output = Path(args.output)
    if output.suffix.lower() != ".json":
        raise InputError(
            "is not a name for a site", source=args.output, field="-o", fix="End it in .json"
        )
    if same_file(output, args.site):
        raise InputError(
            "is the site that is read", source=args.output, field="-o", fix="Name a new file"
        )
    return output


def _write(site: Site, plan: Plan, output: Path, args: argparse.Namespace) -> None:
    planned = put_in_force(site, args.name, plan.states)
    copied = take_along(site, Path(args.site).parent, output.parent)
    save_site(planned, output)
    if not args.json:
        print(f"\nWritten with the state {args.name!r} in force; {AS_BUILT!r} is how it was.")
        for name in copied:
            print(output.parent / name)
        print(output)


COMMAND = Command(
    "plan",
    "the least that has to be turned down for a place, a ladder or an area, proven",
    _options,
    plan_command,
)
