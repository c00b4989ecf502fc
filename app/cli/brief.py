"""The ``brief`` command: the crew's sheet of a planned entry."""

from __future__ import annotations

import argparse
import re
from pathlib import Path

from app import __version__
from app.cli.command import DONE, FINDING, Command
from app.cli.entry import job_of
from app.cli.options import site_options
from core.entry.entry import plan_entry
from core.entry.report import verdict_sentence
from core.errors import InputError
from core.files.fingerprint import fingerprint, matches
from core.files.site_file import load_site
from core.site.states import in_state


def _options(parser: argparse.ArgumentParser) -> None:
    site_options(parser)
    parser.add_argument("job", nargs="?", help="name of the job (may be left out if there is one)")
    parser.add_argument("-o", "--output", metavar="FILE", help="a .pdf, or a .png for a phone")
    parser.add_argument("--paper", default="A4", metavar="SIZE", help="A4, Letter or A3, across")
    parser.add_argument(
        "--date", default="", metavar="YYYY-MM-DD",
        help="the date in the title block (that of the site's revision, if left out)",
    )  # fmt: skip
    parser.add_argument("--feet", action="store_true", help="label in feet")
    parser.add_argument(
        "--match",
        metavar="CODE",
        help="only say whether the fingerprint on a sheet is that of SITE and JOB",
    )


def brief_command(args: argparse.Namespace) -> int:
    """Write the sheet, or match one; 1 where the crew may not go, or the sheet is not that of the file."""
    site = load_site(args.site)
    folder = Path(args.site).parent
    try:
        job = job_of(site, args.job)
        begun = in_state(site, args.state) if args.state else site
    except InputError as error:
        raise error if error.source else error.within(source=args.site) from None
    mark = fingerprint(begun, folder, job.name, __version__)
    if args.match is not None:
        return _match(args, mark)
    if args.output is None:
        raise InputError("is missing", field="-o", fix="Name the .pdf or .png to write")
    from app.draw.book import check_format
    from app.draw.brief_sheet import FORMATS, save_brief
    from app.draw.furniture import Setup
    from app.draw.paper import paper_of
    from app.draw.titles import check_setup

    path = Path(args.output)
    check_format(path, FORMATS)
    try:
        check_setup("", args.date)
        setup = Setup(paper=paper_of(args.paper), date=args.date, feet=args.feet)
    except InputError as error:
        raise InputError(error.message, field=f"--{error.field}", fix=error.fix) from None
    try:
        entry = plan_entry(site, job, args.state or "")
        save_brief(path, entry, setup, mark, folder=folder)
    except InputError as error:
        raise error if error.source else error.within(source=args.site) from None
    print(verdict_sentence(entry))
    print(f"fingerprint {mark}")
    print(args.output)
    return DONE if entry.verdict.is_go else FINDING


def _match(args: argparse.Namespace, mark: str) -> int:
    if args.output is not None:
        raise InputError("does not go with -o", field="--match", fix="Leave one of them out")
    if not re.fullmatch(r"[0-9a-fA-F]{12}", "".join(args.match.split())):
        raise InputError(
            f"{args.match!r} is no fingerprint",
            field="--match",
            fix="Type its 12 letters and digits",
        )
    same = matches(args.match, mark)
    print("the sheet is that of this file" if same else f"NOT THIS FILE: its fingerprint is {mark}")
    return DONE if same else FINDING


COMMAND = Command(
    "brief", "the crew's sheet of a job: PDF, or PNG for a phone", _options, brief_command
)
