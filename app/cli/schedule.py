"""The ``schedule`` command: the antenna table of a site out, and one taken in."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

from app.cli.command import DONE, FINDING, Command
from core.errors import InputError
from core.files.atomic import write_file
from core.files.companions import take_along
from core.files.paths import same_file
from core.files.schedule.numbers import COMMA, POINT
from core.files.schedule.table import read_table_text
from core.files.schedule.taking import Taken, take
from core.files.schedule.writer import schedule_text
from core.files.site_file import load_site
from core.files.site_writer import save_site
from core.site.site import Site

_SIGNS = {"point": POINT, "comma": COMMA}


def _options(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("site")
    parser.add_argument(
        "-o", "--output", metavar="FILE", help="the table as .csv; with --take the new site"
    )
    parser.add_argument(
        "--take", metavar="FILE.csv", help="take a table: say what it changes, write it with -o"
    )
    parser.add_argument(
        "--decimal",
        choices=tuple(_SIGNS),
        help="decimal sign of the table, where it leaves it open",
    )


def schedule(args: argparse.Namespace) -> int:
    """Write the antenna table of a site, or take one."""
    site = load_site(args.site)
    if args.take is not None:
        return _take(site, args)
    if args.decimal is not None:
        raise InputError("goes with --take only", field="--decimal", fix="Leave it out")
    text = schedule_text(site)
    if args.output is None:
        sys.stdout.write(text)
        return DONE
    if Path(args.output).suffix.lower() != ".csv":
        raise InputError(f"{args.output!r} is no .csv", field="-o", fix="Name a .csv file")
    write_file(args.output, text)
    print(args.output)
    return DONE


def _take(site: Site, args: argparse.Namespace) -> int:
    output = None if args.output is None else Path(args.output)
    if output is not None and output.suffix.lower() != ".json":
        raise InputError(f"{args.output!r} is no .json", field="-o", fix="Name the new site file")
    if output is not None and same_file(output, args.site):
        raise InputError(
            "is the site that is read", source=args.output, field="-o", fix="Name a new file"
        )
    folder = Path(args.site).parent
    try:
        taken = take(site, read_table_text(args.take), folder, _SIGNS.get(args.decimal))
    except InputError as error:
        raise error if error.source else error.within(source=args.take) from None
    _say(taken)
    if output is not None:
        for name in take_along(taken.site, folder, output.parent):
            print(output.parent / name)
        save_site(taken.site, output)
        print(output)
    elif taken.changes:
        print("Nothing is written. Add -o NEW.json to write the site with these changes")
    return FINDING if taken.problems else DONE


def _say(taken: Taken) -> None:
    """Print what is taken, what is not, and what was left open."""
    for change in taken.changes:
        print(f"{'new' if change.new else 'changed'} {change.antenna}: {'; '.join(change.lines)}")
    for problem in taken.problems:
        print(f"NOT TAKEN: {problem.line()}")
    for row in taken.held:
        print(f"NOT TAKEN: row {row}: another row of the same antenna has a problem")
    for number, words in taken.settled.items():
        print(f"NOTE: row {number}: {'; '.join(words)}, as the table's other numbers are written")
    for note in taken.notes:
        print(f"NOTE: {note}")
    print(taken.words())


COMMAND = Command(
    "schedule", "the antenna table of a site out, or one taken in", _options, schedule
)
