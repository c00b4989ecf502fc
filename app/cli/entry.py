"""The ``entry`` command: whether a job may go, stop by stop, with its garment and its stays."""

from __future__ import annotations

import argparse
import json
import sys

from app.cli.command import DONE, FINDING, Command
from app.cli.options import site_options
from core.entry.entry import plan_entry
from core.entry.job_plan import from_the_site, job_plan
from core.entry.report import as_data, as_text
from core.errors import InputError
from core.files.site_file import load_site
from core.site.job import Job
from core.site.site import Site
from core.site.states import in_state


def _options(parser: argparse.ArgumentParser) -> None:
    site_options(parser)
    parser.add_argument(
        "job", nargs="?", help="name of a job of the site; may be left out if it has one"
    )
    parser.add_argument("--json", action="store_true", help="print data instead of text")


def job_of(site: Site, name: str | None) -> Job:
    """Return the job that is meant.

    Raises
    ------
    InputError
        If there is none of that name, or it is not clear which is meant.
    """
    if name is not None:
        return site.job(name)
    if not site.jobs:
        raise InputError(
            "has no job", field="jobs", fix="Add a job with its route to the site file"
        )
    if len(site.jobs) > 1:
        raise InputError(
            f"has {len(site.jobs)} jobs",
            field="jobs",
            fix=f"Name one of {', '.join(j.name for j in site.jobs)}",
        )
    return site.jobs[0]


def entry_command(args: argparse.Namespace) -> int:
    """Print a planned entry."""
    site = load_site(args.site)
    try:
        job = job_of(site, args.job)
        begun = in_state(site, args.state) if args.state else site
        entry = plan_entry(site, job, args.state or "")
        plan = None if entry.verdict.is_go else from_the_site(begun, job, job_plan(begun, job))
    except InputError as error:
        raise error if error.source else error.within(source=args.site) from None
    if args.json:
        sys.stdout.write(json.dumps(as_data(entry, plan), indent=2, ensure_ascii=False) + "\n")
    else:
        sys.stdout.write(as_text(entry, plan))
    return DONE if entry.verdict.is_go else FINDING


COMMAND = Command(
    "entry", "whether a job may go: route, stays, garment, stop by stop", _options, entry_command
)
